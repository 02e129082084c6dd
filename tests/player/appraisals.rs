//! The page of a unit: what it takes from each target, how long it stands under each attacker, how it mends itself, what its
//! options and its neighbours are worth. Long because each sort of figure on a page is fought out in its own way.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Named;
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::chances::{chance, mean, merged};
use pipwright_tests::table::fight::{Encounter, Engagement, First};
use pipwright_tests::table::lay::Lay;
use pipwright_tests::table::{Company, Muster, Setting, asked, price};
use serde_json::{Value, json};
use std::cell::RefCell;
use std::collections::HashMap;

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let mut request = made::side(pack, 6, false, rng);
    let mut one = || made::side(pack, 6, false, rng);
    request["against"] = json!([one(), one()]);
    request["turns"] = json!(4);
    request["pack"] = json!(pack.named.id);
    request
}

/// What is appraised, against whom, over so many turns.
struct Page<'a> {
    pack: &'a Pack,
    unit: Muster,
    targets: Vec<Muster>,
    attackers: Vec<Muster>,
    turns: usize,
    lay: Lay,
    /// What one attack takes on average, by who, whom, from where and how far.
    taken: RefCell<HashMap<String, f64>>,
}

fn called(named: &Named, name: &str) -> bool {
    named.label == name || named.id == name
}

impl<'a> Page<'a> {
    fn read(pack: &'a Pack, request: &Value) -> Option<Self> {
        let board = |units: &[pipwright_shared::rules::model::limits::BoardUnit]| {
            let one = |of: &pipwright_shared::rules::model::limits::BoardUnit| Muster {
                unit: of.unit,
                models: of.models,
                options: of.options.iter().map(|option| (*option, 1)).collect(),
                ..Muster::default()
            };
            units.iter().map(one).collect::<Vec<_>>()
        };
        let against: Option<Vec<Muster>> = match &request["against"] {
            Value::Array(all) => Some(all.iter().map(|of| asked::side(pack, of)).collect::<Option<_>>()?),
            _ => None,
        };
        let turns = request["turns"].as_u64().unwrap_or(pack.board.turns.into());
        Some(Self {
            pack,
            unit: asked::side(pack, request)?,
            targets: against.clone().unwrap_or_else(|| board(&pack.board.targets)),
            attackers: against.unwrap_or_else(|| board(&pack.board.attackers)),
            turns: usize::try_from(turns).ok()?,
            lay: Lay::default(),
            taken: RefCell::default(),
        })
    }

    /// The setting that a row names.
    fn setting(&self, row: &Value) -> Option<Setting> {
        let (words, mut setting) = (&self.pack.situations, Setting::usual(self.pack));
        if let Some(arc) = row["arc"].as_str() {
            setting.arc = words.arcs.iter().position(|word| called(&word.named, arc))?;
        }
        let range = row["range"].as_str()?;
        setting.range = words.ranges.iter().position(|band| called(&band.word.named, range))?;
        if let Some(without) = row["without"].as_str() {
            setting.without = vec![self.pack.rules.iter().position(|rule| called(&rule.named, without))?];
        }
        Some(setting)
    }

    /// The one of these that a row is about; nothing where two could be meant.
    fn one<'m>(&self, all: &'m [Muster], name: &Value, models: &Value) -> Option<&'m Muster> {
        let fits = |one: &&Muster| {
            called(&self.pack.units[one.unit].named, name.as_str().unwrap_or_default())
                && models.as_u64() == Some(one.models.into())
        };
        let mut found = all.iter().filter(fits);
        found.next().filter(|_| found.next().is_none())
    }

    fn encounter(&self, attacker: &Muster, target: &Muster, setting: &Setting) -> Encounter<'a> {
        // Side a only stands there, and is attacked before it mends itself; in a single attack it is side a that attacks.
        let settings = vec![setting.clone(); self.turns];
        Encounter {
            pack: self.pack,
            sides: [target.clone(), attacker.clone()],
            settings: [settings.clone(), settings],
            first: First::B,
            unanswered: true,
            laid_on: None,
        }
    }

    /// One attack in a setting.
    fn blow<T>(
        &self,
        attacker: &Muster,
        target: &Muster,
        setting: &Setting,
        of: impl FnOnce(&Engagement<'_>) -> T,
    ) -> T {
        let mut encounter = self.encounter(attacker, target, setting);
        encounter.sides.reverse();
        of(&Engagement::new(&encounter, &self.lay))
    }

    /// Where an attack does not take most, what takes more.
    fn better(&self, attacker: &Muster, target: &Muster, setting: &Setting) -> Option<String> {
        let at = |range: usize| {
            let setting = Setting { range, ..setting.clone() };
            let key = format!("{attacker:?} {target:?} {setting:?}");
            if let Some(known) = self.taken.borrow().get(&key) {
                return *known;
            }
            let taken = self.blow(attacker, target, &setting, |field| field.taken());
            self.taken.borrow_mut().insert(key, taken);
            taken
        };
        let here = at(setting.range);
        let bands = self.pack.situations.ranges.iter().enumerate();
        let better = bands.map(|(range, band)| (at(range), band)).find(|(taken, _)| *taken > here + 1e-9);
        better.map(|(taken, band)| format!("{} takes {taken}, not {here}", band.word.named.id))
    }
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let (page, answer) = (Page::read(pack, request)?, affordable("appraisal", request)?);
    let mut found = Differences::default();
    found.number("cost", &answer["cost"]["points"], price::of(pack, &page.unit) as f64);
    let rows = |name: &str| answer[name].as_array().cloned().unwrap_or_default();
    for row in rows("attacks") {
        attack(&page, &row, &mut found);
    }
    for row in rows("damage") {
        game(&page, &row, &mut found);
    }
    for row in rows("survival") {
        life(&page, &row, &mut found);
    }
    for row in rows("approach") {
        came_on(&page, &row, &mut found);
    }
    for keep in rows("protections") {
        for row in keep["under"].as_array().into_iter().flatten() {
            protected(&page, &keep["rule"], row, &mut found);
        }
    }
    let (takes, stands) = page.worth(&page.unit);
    found.number("takes", &answer["worth"]["takes"], takes);
    found.number("stands", &answer["worth"]["stands"], stands);
    // One of each kind is fought out to the end; which one goes by the request.
    let pick = |name: &str| {
        let all = rows(name);
        let at = request.to_string().len() % all.len().max(1);
        all.get(at).cloned()
    };
    if let Some(row) = pick("options") {
        with_option(&page, &row, &mut found);
    }
    for (name, own) in [("helpers", true), ("helped", false)] {
        if let Some(row) = pick(name) {
            near(&page, &row, own, &mut found);
        }
    }
    // Large units take the player too long; of the others the figures are made in the same way.
    if let Some(row) = pick("comparators").filter(|row| row["models"].as_u64().is_some_and(|models| models <= 6)) {
        let other = asked::side(pack, &json!({"unit": row["unit_id"], "models": row["models"]}))?;
        found.number("points of a comparator", &row["points"], price::of(pack, &other) as f64);
        compared(&page, "comparator", &other, &row["worth"], &mut found);
    }
    let company = Company::muster(pack, &page.unit);
    mending(&page, &company, &answer["repair"], &mut found);
    for row in rows("checks") {
        let name = row["check"].as_str().unwrap_or_default();
        let check = pack.checks.iter().position(|plan| called(&plan.named, name)).expect("a check");
        let asked = i32::try_from(row["asked"].as_i64().unwrap_or(0)).expect("few");
        let passes = company.passes(check, &Setting { asked, ..Setting::usual(pack) }).unwrap_or(f64::NAN);
        found.number(name, &row["passes"], passes);
        let turns = i32::try_from(page.turns).expect("few");
        found.number(&format!("{name} fails once"), &row["fails_once"], 1.0 - passes.powi(turns));
    }
    Some(found.0)
}

fn attack(page: &Page<'_>, row: &Value, found: &mut Differences) {
    let (Some(target), Some(setting)) =
        (page.one(&page.targets, &row["target"], &row["target_models"]), page.setting(row))
    else {
        return;
    };
    let models = u32::try_from(row["models"].as_u64().expect("models")).expect("few");
    let attacker = Muster { models, ..page.unit.clone() };
    page.blow(&attacker, target, &setting, |field| {
        let (company, ends) = (&field.sides[1], field.blow().ends);
        let (frame, began) = (&company.frame, company.began());
        let fallen = mean(&ends, |end| i64::try_from(began.standing - end.standing).expect("few"));
        let lost = mean(&ends, |end| frame.points(began) - frame.points(*end));
        let (taken, share) = if frame.armoured {
            (lost, lost / frame.points(began) as f64)
        } else {
            (fallen, fallen / began.standing as f64)
        };
        let what =
            format!("attack on {} {} from {} at {}", row["target_models"], row["target"], row["arc"], row["range"]);
        found.number(&format!("{what}: takes"), &row["expected"], taken);
        found.number(&format!("{what}: destroys"), &row["destroyed"], chance(&ends, |end| end.standing == 0));
        found.number(&format!("{what}: points"), &row["points"], share * price::of(page.pack, target) as f64);
    });
}

fn game(page: &Page<'_>, row: &Value, found: &mut Differences) {
    let (Some(target), Some(setting)) =
        (page.one(&page.targets, &row["target"], &row["target_models"]), page.setting(row))
    else {
        return;
    };
    let what = format!("game against {} {} at {}", row["target_models"], row["target"], row["range"]);
    found.0.extend(page.better(&page.unit, target, &setting).map(|better| format!("{what}: {better}")));
    let encounter = page.encounter(&page.unit, target, &setting);
    let field = Engagement::new(&encounter, &page.lay);
    let ending = field.fight();
    let left =
        merged(ending.left.iter().map(|(bodies, chance)| (i64::try_from(bodies[0].standing).expect("few"), *chance)));
    let left = mean(&left, |left| *left);
    found.number(&format!("{what}: left"), &row["left"], left);
    found.number(&format!("{what}: destroys"), &row["destroyed"], ending.gone[page.turns - 1][0]);
    let share = 1.0 - left / f64::from(target.models);
    found.number(&format!("{what}: points"), &row["points"], share * price::of(page.pack, target) as f64);
}

fn life(page: &Page<'_>, row: &Value, found: &mut Differences) {
    let (Some(attacker), Some(setting)) =
        (page.one(&page.attackers, &row["attacker"], &row["attacker_models"]), page.setting(row))
    else {
        return;
    };
    let what = format!(
        "life under {} {} from {} at {} without {}",
        row["attacker_models"], row["attacker"], row["arc"], row["range"], row["without"]
    );
    if row["without"].is_null() {
        found.0.extend(page.better(attacker, &page.unit, &setting).map(|better| format!("{what}: {better}")));
    }
    let encounter = page.encounter(attacker, &page.unit, &setting);
    let field = Engagement::new(&encounter, &page.lay);
    let ending = field.fight();
    let mut stood = 0.0;
    for (turn, gone) in ending.gone.iter().enumerate() {
        stood += 1.0 - gone[0];
        found.number(&format!("{what}: stands after turn {}", turn + 1), &row["standing"][turn], 1.0 - gone[0]);
    }
    found.number(&format!("{what}: stood"), &row["stood"], stood);
}

impl Page<'_> {
    /// Where an attacker stands in each turn: as the pack says, or at its best range from the usual side.
    fn lane(&self, attacker: &Muster, unit: &Muster) -> Vec<Setting> {
        let (stated, usual) = (&self.pack.board.approach, Setting::usual(self.pack));
        let mut settings: Vec<Setting> =
            stated.iter().map(|place| Setting { range: place.range, arc: place.arc, ..usual.clone() }).collect();
        let last = settings.last().cloned().unwrap_or_else(|| self.best(attacker, unit));
        settings.resize(self.turns, last);
        settings
    }

    /// The setting at the range at which one attack takes most: the usual range of equals.
    fn best(&self, attacker: &Muster, unit: &Muster) -> Setting {
        let usual = Setting::usual(self.pack);
        let at = |range: usize| {
            let setting = Setting { range, ..usual.clone() };
            (self.blow(attacker, unit, &setting, |field| field.taken()), setting)
        };
        let mut best = at(usual.range);
        for range in (0..self.pack.situations.ranges.len()).filter(|range| *range != usual.range) {
            let other = at(range);
            if other.0 > best.0 + 1e-10 {
                best = other;
            }
        }
        best.1
    }

    /// The chance of standing after each turn, attacked along these settings.
    fn standing(&self, attacker: &Muster, unit: &Muster, settings: Vec<Setting>) -> Vec<f64> {
        let mut encounter = self.encounter(attacker, unit, &settings[0]);
        encounter.settings = [settings.clone(), settings];
        Engagement::new(&encounter, &self.lay).fight().gone.iter().map(|gone| 1.0 - gone[0]).collect()
    }

    /// The mean points that a unit destroys in a game, and the mean share of a game that it stands.
    fn worth(&self, unit: &Muster) -> (f64, f64) {
        let mut takes = 0.0;
        for target in &self.targets {
            let encounter = self.encounter(unit, target, &self.best(unit, target));
            let ending = Engagement::new(&encounter, &self.lay).fight();
            let left: f64 = ending.left.iter().map(|(bodies, chance)| bodies[0].standing as f64 * chance).sum();
            takes += (1.0 - left / f64::from(target.models)) * price::of(self.pack, target) as f64;
        }
        let mut stands = 0.0;
        for attacker in &self.attackers {
            let standing = self.standing(attacker, unit, self.lane(attacker, unit));
            stands += standing.iter().sum::<f64>() / self.turns as f64;
        }
        (takes / self.targets.len() as f64, stands / self.attackers.len() as f64)
    }
}

fn came_on(page: &Page<'_>, row: &Value, found: &mut Differences) {
    let Some(attacker) = page.one(&page.attackers, &row["attacker"], &row["attacker_models"]) else { return };
    let mut settings = page.lane(attacker, &page.unit);
    if let Some(without) = row["without"].as_str() {
        let rule = page.pack.rules.iter().position(|rule| called(&rule.named, without)).expect("a rule");
        settings.iter_mut().for_each(|setting| setting.without = vec![rule]);
    }
    for (turn, stands) in page.standing(attacker, &page.unit, settings).into_iter().enumerate() {
        let what = format!("coming on, {} without {}: turn {}", row["attacker"], row["without"], turn + 1);
        found.number(&what, &row["standing"][turn], stands);
    }
}

fn protected(page: &Page<'_>, rule: &Value, row: &Value, found: &mut Differences) {
    let (Some(attacker), Some(setting)) =
        (page.one(&page.attackers, &row["attacker"], &row["attacker_models"]), page.setting(row))
    else {
        return;
    };
    let rule = rule.as_str().expect("a name");
    let at = page.pack.rules.iter().position(|known| called(&known.named, rule)).expect("a rule");
    for (name, without) in [("with", Vec::new()), ("without", vec![at])] {
        let settings = vec![Setting { without, ..setting.clone() }; page.turns];
        let stood: f64 = page.standing(attacker, &page.unit, settings).iter().sum();
        let what = format!("{rule} under {} from {} at {}: {name}", row["attacker"], row["arc"], row["range"]);
        found.number(&what, &row[name], stood);
    }
}

fn compared(page: &Page<'_>, what: &str, unit: &Muster, said: &Value, found: &mut Differences) {
    let (takes, stands) = page.worth(unit);
    found.number(&format!("{what}: takes"), &said["takes"], takes);
    found.number(&format!("{what}: stands"), &said["stands"], stands);
    let cost = price::of(page.pack, unit) as f64;
    if cost > 0.0 {
        found.number(&format!("{what}: per point"), &said["per_point"], takes * stands / cost);
    }
}

fn with_option(page: &Page<'_>, row: &Value, found: &mut Differences) {
    let book = &page.pack.units[page.unit.unit].options;
    let option = |name: &str| book.iter().position(|option| called(&option.named, name)).expect("an option");
    let mut unit = page.unit.clone();
    unit.options
        .extend(row["needs"].as_array().into_iter().flatten().map(|name| (option(name.as_str().expect("a name")), 1)));
    let what = format!("option {}", row["option"]);
    compared(page, &format!("{what}, without"), &unit, &row["without"], found);
    let before = price::of(page.pack, &unit);
    unit.options.push((option(row["option"].as_str().expect("a name")), 1));
    compared(page, &what, &unit, &row["with"], found);
    found.number(&format!("{what}: points"), &row["points"], (price::of(page.pack, &unit) - before) as f64);
}

fn near(page: &Page<'_>, row: &Value, own: bool, found: &mut Differences) {
    let side = json!({"unit": row["unit_id"], "models": row["unit_models"], "near": [row["near_id"]]});
    let helped = asked::side(page.pack, &side).expect("names are ids");
    let mut alone = if own { page.unit.clone() } else { Muster { near: Vec::new(), ..helped.clone() } };
    let what = format!("{} near {}", row["unit"], row["near"]);
    compared(page, &format!("{what}, alone"), &alone, &row["without"], found);
    alone.near.extend(helped.near);
    compared(page, &what, &alone, &row["with"], found);
    let value = |of: &Value| of["takes"].as_f64().expect("a mean") * of["stands"].as_f64().expect("a share");
    found.number(&format!("{what}: gained"), &row["gained"], value(&row["with"]) - value(&row["without"]));
}

/// Half of the points of the figure in front missing, a whole game without further harm. Figures that have fallen do not
/// come back, so that those of a single point have nothing to mend.
fn mending(page: &Page<'_>, company: &Company<'_>, said: &Value, found: &mut Differences) {
    let usual = Setting::usual(page.pack);
    let repair = company.repair(&usual).filter(|_| company.frame.capacity(company.began().standing) > 1);
    if said.is_null() != repair.is_none() {
        let ours = if repair.is_some() { "something" } else { "nothing" };
        found.0.push(format!("repair: the program says {said}, the player mends {ours}"));
    }
    if said.is_null() || repair.is_none() {
        return;
    }
    let repair = repair.expect("it mends itself");
    let capacity = company.frame.capacity(company.began().standing);
    let missing = (capacity / 2).max(1);
    found.number("capacity", &said["capacity"], capacity as f64);
    found.number("missing", &said["missing"], missing as f64);
    found.number("chance of a repair roll", &said["chance"], repair.chance);
    let mut now = vec![(missing, 1.0)];
    for _ in 0..page.turns {
        now = merged(now.iter().flat_map(|(missing, chance)| {
            repair.restored(*missing).into_iter().map(move |(back, part)| (missing - back, chance * part))
        }));
    }
    found.number("restored", &said["restored"], mean(&now, |left| missing - left));
    found.number("any restored", &said["any_restored"], chance(&now, |left| *left < missing));
}

#[test]
fn appraisals_are_as_they_are_fought() {
    compare("appraisal", 8, made, differences);
}

/// Where the program and the player once differed: models unlike the others under weapons that deny some of them their last
/// roll, points of those who have fallen, and one rule that a unit carries and somebody near it as well.
#[test]
fn what_once_differed() {
    let books = PackCatalog::demo();
    for request in [
        json!({"pack": "sedge-moot", "unit": "door-bearers", "models": 6, "options": ["door-elder"], "near": ["snipe-walkers"],
            "turns": 4, "against": [{"unit": "tar-gang", "models": 6, "near": ["stake-crew"]}]}),
        json!({"pack": "sedge-moot", "unit": "wallow-oxen", "models": 2, "near": ["herb-wife"], "turns": 4,
            "against": [{"unit": "snipe-walkers", "models": 4}]}),
        json!({"pack": "floe-run", "unit": "oil-crew", "models": 3, "near": ["stove-sledge"], "turns": 4,
            "against": [{"unit": "rack-crew", "models": 3}]}),
        json!({"pack": "sedge-moot", "unit": "door-bearers", "models": 6, "near": ["coot-punt"], "turns": 4,
            "against": [{"unit": "coot-punt", "near": ["eel-spears", "stake-crew"]},
                {"unit": "snipe-walkers", "models": 5, "near": ["drum-ox"]}]}),
        json!({"pack": "sedge-moot", "unit": "door-bearers", "models": 6, "near": ["coot-punt"], "turns": 4, "options": ["door-elder"],
            "against": [{"unit": "coot-punt", "near": ["eel-spears", "stake-crew"]},
                {"unit": "snipe-walkers", "models": 5, "near": ["drum-ox"]}]}),
        json!({"pack": "canal-guild", "unit": "lamp-skiff", "models": 1, "options": ["skiff-mast"],
            "near": ["lamp-skiff + skiff-mast"], "turns": 4, "against": [{"unit": "culverin-crew", "models": 4}]}),
    ] {
        let pack = books.packs().iter().find(|pack| request["pack"] == json!(pack.named.id)).expect("a pack");
        let found = differences(pack, &request).expect("not too much work");
        assert_eq!(found, Vec::<String>::new(), "{request}");
    }
}
