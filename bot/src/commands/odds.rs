//! `/odds`: an attack from plain numbers, when no unit book knows the unit.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::{Trouble, typed};
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::typing::Value;
use pipwright_shared::cards::Who;
use pipwright_shared::cards::attack::{Attack, attack_card};
use pipwright_shared::cards::words::{Written, step_words};
use pipwright_shared::wire::chain::ChainForm;
use pipwright_shared::wire::matchup::RuleNotes;
use pipwright_shared::wire::odds::{OddsAnswer, OddsRequest};
use pipwright_shared::wire::step::StepForm;
use serde_json::{Map, Value as Json, json};

/// The definition.
pub const ODDS: Command = Command {
    name: "odds",
    about: "An attack from plain numbers: what gets through, what is lost",
    words: &["shots", "attacks", "hitting", "wounding", "saving", "penetrating"],
    options: &[
        Opt::new("attacks", Kind::Amount, "How many attacks, such as 20 or 2d6")
            .cues(&["attack", "shot", "dice", "swing", "blow"])
            .required("How many attacks are there? Say it like 20 shots.")
            .bare(),
        Opt::new("hit", Kind::Needs, "What a hit needs, such as 3+")
            .cues(&["hits", "hitting"])
            .required("What does a hit need? Bare numbers fill hit, wound and save in order: 3s 4s 5s.")
            .bare(),
        Opt::new("wound", Kind::Needs, "What a wound needs").cues(&["wounds", "wounding"]).bare(),
        Opt::new("save", Kind::Needs, "What the defender's save needs").cues(&["saves", "saving"]).bare(),
        Opt::new("ignore", Kind::Needs, "What ignoring each point of damage needs").cues(&["ignores", "ignoring"]),
        Opt::new("attackers", Kind::Number, "How many attackers make those attacks each").cues(&[
            "attackers",
            "gun",
            "crew",
        ]),
        Opt::new("damage", Kind::Amount, "The damage of each attack that comes through").cues(&["damage"]),
        Opt::new("models", Kind::Number, "How many models the target has")
            .cues(&["model", "target", "figure", "soldier", "guy", "guys", "men", "people", "troops"]),
        Opt::new("health", Kind::Number, "The health of each model").cues(&["health"]),
        Opt::new("pierce", Kind::Dice, "The dice of a penetration roll, such as 2d6+9")
            .cues(&["piercing", "penetrate", "penetrates", "penetrating", "penetration"])
            .bare(),
        Opt::new("armour", Kind::Number, "The armour that a penetration roll has to beat").cues(&["armor", "against"]),
        Opt::new("structure", Kind::Number, "The structure of an armoured target").cues(&["hull"]),
        Opt::new("breach", Kind::Number, "Structure lost to a breach").cues(&["breaches"]),
        Opt::new("graze", Kind::Number, "Structure lost to a graze").cues(&["grazes"]),
        Opt::new("critical", Kind::Number, "The face from which a hit is critical").cues(&["criticals"]),
        Opt::new("extra", Kind::Amount, "Extra hits of a critical").cues(&["extras"]),
        Opt::new("reroll", Kind::Reroll, "What is rolled again: put it behind the step it belongs to").many(),
        Opt::new("left", Kind::Number, "What is left of the target's structure").cues(&["remaining"]),
        Opt::new(
            "no_save",
            Kind::Flag(&["no save", "no saves", "without save", "without saves", "no armour"]),
            "There is no save",
        ),
        Opt::new("low_fails", Kind::Flag(&["ones always fail", "1s always fail"]), "A natural 1 always fails"),
    ],
    shares: &[],
    examples: &[
        "/odds 20 shots 3s 4s 5s rerolling 1s",
        "/odds 10 attacks hit 3+ wound 4+ save 5+ damage 2 vs 5 models health 2",
        "/odds 3 shots 4+ piercing 2d6+9 armour 16 structure 4",
    ],
    path: Some("/v1/odds"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let question = question(&asked)?;
    let answer: OddsAnswer = asked.api.ask("/v1/odds", &question).await?;
    let who = who(&question);
    let named = is_named(&question);
    let many = !who.starts_with("one ");
    let whose = Who { name: who.clone(), many };
    let chain = ChainForm::from(typed::<OddsRequest>(&question)?);
    let written: Vec<Written<'_>> = question.steps().iter().map(written).collect();
    let attack = Attack {
        who: &whose,
        whom: "the target",
        chain: &chain,
        written: &written,
        rules: &RuleNotes::default(),
        counts_through: !named,
        crew_of: Some("models"),
    };
    let mut card = attack_card(&attack, &answer);
    card.read_as = described(&who, &question, named)?;
    let first = question.at("/steps/0");
    if first.reroll().is_none() {
        card.follow_up("re-roll ones", "what about rerolling 1s");
    }
    if let Some(harder) = harder(first.need()) {
        card.follow_up("harder to hit", format!("what about hitting on {harder}"));
    }
    card.link = Some(Link::new("/v1/odds", question));
    Ok(card)
}

/// The amounts of a step as they were written.
fn written(step: &Json) -> Written<'_> {
    let critical = step.critical();
    Written { dice: step.dice().as_str(), extra: critical.extra().as_str(), damage: critical.damage().as_str() }
}

/// What attacks: `20 attacks`, `3 attackers with d6 attacks each`.
pub(super) fn who(question: &Json) -> String {
    let attacks = question.attacks().words();
    match question.attackers() {
        Some(1) => format!("one attacker with {}", times_attacks(&attacks)),
        Some(attackers) => format!("{attackers} attackers with {} each", times_attacks(&attacks)),
        None if attacks == "1" => "one attack".to_owned(),
        None => format!("{attacks} attacks"),
    }
}

fn times_attacks(attacks: &str) -> String {
    if attacks == "1" { "one attack".to_owned() } else { format!("{attacks} attacks") }
}

pub(super) fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let mut question = asked.question();
    for option in ["attacks", "attackers", "damage"] {
        asked.put(&mut question, option, &format!("/{option}"));
    }
    asked.need(&question, "attacks", "/attacks")?;
    let mut steps = Steps::of(&question, asked.die());
    for name in ["hit", "wound", "save"] {
        if let Some(needs) = asked.read.given(name) {
            steps.set(name, "needs", needs.json());
        }
    }
    if asked.read.has("no_save") {
        steps.0.retain(|step| step.name() != Some("save"));
    }
    if asked.read.has("pierce") || asked.read.has("armour") {
        penetration(asked, &mut steps)?;
    }
    if steps.0.is_empty() {
        return Err(asked.lacks("hit", Vec::new()));
    }
    rerolls(asked, &mut steps);
    if let Some(critical) = asked.read.given("critical") {
        let extra = asked.read.given("extra").map_or(json!(1), Value::json);
        steps.set("hit", "critical", json!({"on": critical.json(), "extra": extra}));
    }
    if asked.read.has("low_fails") {
        steps.0.iter_mut().for_each(|step| set(step, "/low_fails", json!(true)));
    }
    let armoured = steps.0.iter().any(|step| step.kind() == Some("penetrate"));
    set(&mut question, "/steps", Json::Array(steps.0));
    target(asked, &mut question, armoured)?;
    Ok(question)
}

/// The steps by name, in the order in which they are rolled.
struct Steps(Vec<Json>, u32);

impl Steps {
    fn of(question: &Json, die: u32) -> Self {
        Self(question.steps().to_vec(), die)
    }

    fn set(&mut self, name: &str, field: &str, value: Json) {
        const ORDER: [&str; 4] = ["hit", "wound", "penetrate", "save"];
        let place = |name: &str| ORDER.iter().position(|known| *known == name);
        let at = self.0.iter().position(|step| step.name() == Some(name)).unwrap_or_else(|| {
            let mut step = Map::from_iter([("name".to_owned(), json!(name))]);
            if self.1 != 6 {
                step.insert("die".into(), json!(self.1));
            }
            if name == "save" {
                step.insert("by".into(), json!("defender"));
            }
            let at = self.0.iter().position(|step| step.name().and_then(place) > place(name));
            let at = at.unwrap_or(self.0.len());
            self.0.insert(at, Json::Object(step));
            at
        });
        set(&mut self.0[at], &format!("/{field}"), value);
    }
}

fn penetration(asked: &Asked<'_>, steps: &mut Steps) -> Result<(), Halt> {
    let known = steps.0.iter().any(|step| step.kind() == Some("penetrate"));
    if !known {
        steps.set("penetrate", "kind", json!("penetrate"));
        steps.set("penetrate", "graze", json!({"structure": 0}));
        steps.set("penetrate", "breach", json!({"structure": 1}));
    }
    if let Some(dice) = asked.read.given("pierce") {
        steps.set("penetrate", "dice", dice.json());
    }
    match asked.read.number("armour") {
        Some(armour) => steps.set("penetrate", "against", json!(armour)),
        None if !known => return Err(Halt::missing("armour", "How thick is the armour? Say it like armour 14.")),
        None => {}
    }
    for effect in ["graze", "breach"] {
        if let Some(structure) = asked.read.number(effect) {
            steps.set("penetrate", effect, json!({"structure": structure}));
        }
    }
    Ok(())
}

/// A re-roll belongs to the step named behind it; else to the step just before it where more steps follow; else to the hit.
fn rerolls(asked: &Asked<'_>, steps: &mut Steps) {
    let needs: Vec<_> =
        asked.read.args.iter().filter(|arg| matches!(arg.option, "hit" | "wound" | "save" | "pierce")).collect();
    for arg in asked.read.all("reroll") {
        let before = needs.iter().rev().find(|need| need.span.end <= arg.span.start);
        let follows = needs.iter().any(|need| need.span.start >= arg.span.end);
        let step = match before {
            Some(before) if follows || needs.len() == 1 => before.option,
            _ => "hit",
        };
        steps.set(if step == "pierce" { "penetrate" } else { step }, "reroll", arg.value.json());
    }
}

fn target(asked: &Asked<'_>, question: &mut Json, armoured: bool) -> Result<(), Halt> {
    if armoured {
        asked.put(question, "structure", "/target/structure");
        let structure = question.target().structure();
        let structure = structure.ok_or_else(|| {
            Halt::missing("structure", "How much structure does the target have? Say it like structure 4.")
        })?;
        if let Some(left) = asked.read.number("left") {
            set(question, "/target/hurt", json!(structure.saturating_sub(left)));
        }
        return Ok(());
    }
    asked.put(question, "models", "/target/models");
    asked.put(question, "health", "/target/health");
    if let Some(ignore) = asked.read.given("ignore") {
        let mut roll = json!({"needs": ignore.json()});
        if asked.die() != 6 {
            set(&mut roll, "/die", json!(asked.die()));
        }
        set(question, "/target/ignore", roll);
    }
    let implied = asked.before.as_ref().is_some_and(|before| !is_named(before)) && !asked.read.has("models");
    if question.target().models().is_none() || implied {
        let models = if asked.read.has("health") { 1 } else { most(question) };
        set(question, "/target/models", json!(models));
    }
    Ok(())
}

/// Whether a target was named: it is not just as large as what can come through.
pub(super) fn is_named(question: &Json) -> bool {
    let target = question.target();
    let sized = target.models() != Some(most(question)) || target.health().is_some();
    sized || target.structure().is_some()
}

/// As many models as attacks can be: where no target was named, what comes through is the question.
fn most(question: &Json) -> u64 {
    let attacks = question.attacks();
    let most = attacks.as_u64().or_else(|| {
        let (number, faces) = attacks.as_str()?.split_once('d')?;
        let (faces, more) = faces.split_once('+').unwrap_or((faces, "0"));
        Some(number.parse().unwrap_or(1) * faces.parse::<u64>().ok()? + more.parse::<u64>().ok()?)
    });
    (most.unwrap_or(1) * question.attackers().unwrap_or(1)).clamp(1, 100)
}

/// The next harder need of a hit.
fn harder(needs: Option<&str>) -> Option<String> {
    let least: u32 = needs?.strip_suffix('+')?.parse().ok()?;
    Some(format!("{}+", least + 1))
}

pub(super) fn described(who: &str, question: &Json, named: bool) -> Result<String, Trouble> {
    let mut parts = vec![who.to_owned()];
    let mut dice = question.steps().iter().map(|step| step.die().unwrap_or(6));
    let die = dice.next().filter(|die| *die != 6 && dice.all(|other| other == *die));
    parts.extend(die.map(|die| format!("d{die}s")));
    for step in question.steps() {
        parts.push(step_words(&typed::<StepForm>(step)?, written(step)));
    }
    let target = question.target();
    parts.extend(question.damage().said().map(|damage| format!("damage {}", damage.words())));
    if let Some(structure) = target.structure() {
        parts.push(format!("structure {structure}"));
    } else if let Some(models) = target.models().filter(|_| named) {
        let health = target.health().unwrap_or(1);
        parts.push(if health > 1 {
            let each = if models == 1 { "" } else { " each" };
            format!("against {} with {health} wounds{each}", crate::saying::count(models, "model", "models"))
        } else {
            format!("against {}", crate::saying::count(models, "model", "models"))
        });
    }
    if let Some(needs) = target.ignore().need() {
        parts.push(format!("ignore {needs}"));
    }
    Ok(parts.join(", "))
}
