//! Answers about units against the table: the pack's rules played figure by figure, never by way of a chain.
use pipwright_shared::rules::Books;
use pipwright_shared::rules::matchup::{Fielded, Situation};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::{Most, Per};
use pipwright_shared::wire::mistake::MistakeKind;
use pipwright_tests::ask::try_ask;
use pipwright_tests::simulate::may_be;
use pipwright_tests::table::fight::{Encounter, Field};
use pipwright_tests::table::{Hand, Marker};
use serde_json::{Value, json};

/// The chance with which one right claim is turned down: that of 4.5 standard deviations.
const DOUBT: f64 = 7e-6;

/// A unit picked at random: its numbers of models and options, and how a request says them.
fn pick(pack: &Pack, unit: usize, most: u32, rng: &mut fastrand::Rng) -> (Fielded, Value) {
    let book = &pack.units[unit];
    let (least, highest) = book.models;
    let models = rng.u32(least..=highest.min(most).max(least));
    let mut options: Vec<(usize, u32)> = Vec::new();
    let free: Vec<usize> = (0..book.options.len())
        .filter(|at| book.options[*at].inside.is_none() && book.options[*at].requires.is_empty())
        .collect();
    if let Some(at) = rng.choice(&free).copied().filter(|_| rng.u8(0..2) == 0) {
        let option = &book.options[at];
        let times = match option.most {
            Most::Times(times) => times.min(1),
            Most::PerModels(_) => option.most.of(models),
        };
        if times > 0 {
            options.push((at, if option.per == Per::Weapon { rng.u32(1..=times) } else { 1 }));
        }
    }
    let said: Vec<String> =
        options.iter().map(|(at, times)| format!("{times} {}", book.options[*at].named.label)).collect();
    let request = json!({"unit": book.named.id, "models": models, "options": said});
    (Fielded { unit, models, options, ..Fielded::default() }, request)
}

/// How both sides stand in each turn, and how a request says it.
struct Stand {
    /// For each side: arcs and covers that it shows, whether it moves, its flags.
    arcs: [usize; 2],
    covers: [usize; 2],
    moved: [bool; 2],
    flags: [Vec<bool>; 2],
    bands: Vec<usize>,
}

impl Stand {
    fn new(pack: &Pack, turns: usize, rng: &mut fastrand::Rng) -> Self {
        let words = &pack.situations;
        let mut bands: Vec<usize> = (0..turns).map(|_| rng.usize(0..words.ranges.len())).collect();
        bands.sort_unstable_by(|one, other| other.cmp(one));
        let mut flags = || words.flags.iter().map(|_| rng.u8(0..3) == 0).collect::<Vec<_>>();
        let flags = [flags(), flags()];
        Self {
            arcs: [0, 1].map(|_| rng.usize(0..words.arcs.len())),
            covers: [0, 1].map(|_| rng.usize(0..words.covers.len())),
            moved: [0, 1].map(|_| rng.bool()),
            flags,
            bands,
        }
    }

    fn situation(&self, side: usize, turn: usize) -> Situation {
        let (arc, cover) = (self.arcs[1 - side], self.covers[1 - side]);
        let (range, moved, flags) = (self.bands[turn], self.moved[side], self.flags[side].clone());
        Situation { arc, range, distance: None, cover, moved, flags }
    }

    fn own(&self, pack: &Pack, side: usize) -> Value {
        let words = &pack.situations;
        let mut said = json!({
            "arc": words.arcs[self.arcs[side]].named.id,
            "cover": words.covers[self.covers[side]].named.id,
            "moved": self.moved[side],
        });
        for (flag, set) in words.flags.iter().zip(&self.flags[side]) {
            said[&flag.id] = json!(set);
        }
        said
    }

    fn bands<'a>(&self, pack: &'a Pack) -> Vec<&'a str> {
        self.bands.iter().map(|band| pack.situations.ranges[*band].word.named.id.as_str()).collect()
    }
}

fn seen(claims: &mut Vec<String>, what: &str, chance: f64, seen: u64, runs: u64) {
    if !may_be(chance, seen, runs, DOUBT) {
        #[expect(clippy::cast_precision_loss, reason = "few runs")]
        claims.push(format!("{what}: {chance:.4} claimed, {:.4} seen", seen as f64 / runs as f64));
    }
}

/// Every row of a distribution, and what is seen of values that it does not have.
fn rows(claims: &mut Vec<String>, what: &str, of: &Value, values: &[u64]) {
    let runs = values.len() as u64;
    let count = |value: u64| values.iter().filter(|other| **other == value).count() as u64;
    let mut known = 0;
    for row in of["distribution"].as_array().expect("rows") {
        let value = row["value"].as_u64().expect("a value");
        known += count(value);
        seen(claims, &format!("{what} {value}"), row["chance"].as_f64().expect("a chance"), count(value), runs);
    }
    seen(claims, &format!("{what} of another number"), 0.0, runs - known, runs);
}

/// One duel, asked and played. Nothing where the question is refused as too much work.
fn duel(pack: &Pack, seed: u64, runs: u64, marker: &Marker) -> Option<(Value, Vec<String>, bool)> {
    let mut rng = fastrand::Rng::with_seed(seed);
    let turns = 4;
    let (a, of_a) = pick(pack, rng.usize(0..pack.units.len()), 8, &mut rng);
    let (b, of_b) = pick(pack, rng.usize(0..pack.units.len()), 8, &mut rng);
    let stand = Stand::new(pack, turns, &mut rng);
    let mut first = *rng.choice(&["a", "b", "roll", "together"]).expect("four");
    let mut request = json!({
        "pack": pack.named.id, "a": of_a, "b": of_b, "turns": turns, "first": first,
        "situation": {"range": stand.bands(pack)},
    });
    request["a"]["situation"] = stand.own(pack, 0);
    request["b"]["situation"] = stand.own(pack, 1);
    let answer = match try_ask("duel", request.clone()) {
        Err(mistakes) if mistakes.iter().all(|mistake| mistake.pointer == "/first") => {
            first = "a";
            request["first"] = json!(first);
            try_ask("duel", request.clone())
        }
        answer => answer,
    };
    let answer = match answer {
        Ok(answer) => answer,
        Err(mistakes) if mistakes.iter().all(|mistake| mistake.kind == MistakeKind::TooMuchWork) => return None,
        Err(mistakes) => panic!("{request}: {mistakes:?}"),
    };
    let situations = [0, 1].map(|side| (0..turns).map(|turn| stand.situation(side, turn)).collect());
    let encounter = Encounter { pack, sides: [a, b], situations, first };
    let field = Field::new(&encounter, marker);
    let ready = field.ready();
    let mut hand = Hand(fastrand::Rng::with_seed(seed + 1_000));
    let endings: Vec<_> = (0..runs).map(|_| ready.fight(&mut hand)).collect();
    let mut claims = Vec::new();
    for (side, name) in ["a", "b"].into_iter().enumerate() {
        for turn in 0..turns {
            let gone = endings.iter().filter(|ending| ending.gone[side].is_some_and(|by| by <= turn)).count() as u64;
            let chance = answer["turns"][turn][format!("{name}_destroyed")].as_f64().expect("a chance");
            seen(&mut claims, &format!("{name} destroyed by turn {}", turn + 1), chance, gone, runs);
        }
        let left: Vec<u64> = endings.iter().map(|ending| ending.left[side] as u64).collect();
        rows(&mut claims, &format!("{name} left"), &answer[name]["left"], &left);
    }
    let last = &answer["turns"][turns - 1];
    let lively = ["a_destroyed", "b_destroyed"].iter().any(|side| last[side].as_f64().is_some_and(|gone| gone > 0.05));
    Some((request, claims, lively))
}

#[test]
fn duels_are_as_they_are_fought() {
    let books = Books::demo();
    let packs = books.packs();
    let (marker, mut wrong, mut asked, mut busy, mut lively) = (Marker::default(), Vec::new(), 0, 0, 0);
    let each = 30_usize.div_ceil(packs.len());
    for pack in packs {
        let mut found = 0;
        for seed in 0.. {
            let Some((request, claims, moved)) = duel(pack, seed, 2_000, &marker) else {
                busy += 1;
                assert!(busy < 10, "too many duels are too much work");
                continue;
            };
            found += 1;
            lively += usize::from(moved);
            if !claims.is_empty() {
                wrong.push(format!("{request}\n  {}", claims.join("\n  ")));
            }
            if found == each {
                break;
            }
        }
        asked += found;
    }
    assert!(asked >= 30, "{asked} pairs");
    // Where nobody ever falls, nothing is shown.
    assert!(lively * 3 > asked, "somebody falls in {lively} of {asked} duels only");
    assert!(wrong.is_empty(), "{} of {asked} duels:\n{}", wrong.len(), wrong.join("\n"));
}

/// One attack of one unit on another.
fn blow(pack: &Pack, attacker: usize, seed: u64, runs: u64, marker: &Marker) -> (Value, Vec<String>) {
    let mut rng = fastrand::Rng::with_seed(seed);
    let (a, of_a) = pick(pack, attacker, 6, &mut rng);
    let (b, of_b) = pick(pack, rng.usize(0..pack.units.len()), 6, &mut rng);
    let stand = Stand::new(pack, 1, &mut rng);
    let mut situation = stand.own(pack, 0);
    let target = stand.own(pack, 1);
    (situation["arc"], situation["cover"]) = (target["arc"].clone(), target["cover"].clone());
    situation["range"] = json!(stand.bands(pack)[0]);
    let request = json!({"pack": pack.named.id, "attacker": of_a, "target": of_b, "situation": situation});
    let answer = match try_ask("matchup", request.clone()) {
        Ok(answer) => answer,
        Err(mistakes) => panic!("{request}: {mistakes:?}"),
    };
    let situations = [0, 1].map(|side| vec![stand.situation(side, 0)]);
    let armoured = pack.kinds[pack.units[b.unit].kind].body.is_armoured();
    let encounter = Encounter { pack, sides: [a, b], situations, first: "a" };
    let field = Field::new(&encounter, marker);
    let ready = field.ready();
    let mut hand = Hand(fastrand::Rng::with_seed(seed + 7));
    let blows: Vec<_> = (0..runs).map(|_| ready.blow(&mut hand)).collect();
    let values = |of: fn(&pipwright_tests::table::fight::Blow) -> u64| blows.iter().map(of).collect::<Vec<_>>();
    let fallen = values(|blow| blow.fallen as u64);
    let points = values(|blow| blow.points.unsigned_abs());
    let mut claims = Vec::new();
    if armoured {
        rows(&mut claims, "wrecked", &answer["wrecked"], &fallen);
        rows(&mut claims, "structure", &answer["structure"], &points);
    } else {
        rows(&mut claims, "models", &answer["models"], &fallen);
        rows(&mut claims, "health", &answer["health_lost"], &points);
        let effects = answer["aftermath"].as_object().map(|all| all.values().collect::<Vec<_>>()).unwrap_or_default();
        if let [effect] = effects[..] {
            let runs_away = blows.iter().filter(|blow| blow.runs).count() as u64;
            seen(&mut claims, "aftermath", effect["chance"].as_f64().expect("a chance"), runs_away, runs);
        }
    }
    (request, claims)
}

#[test]
fn matchups_are_as_they_are_fought() {
    let books = Books::demo();
    let (marker, mut wrong, mut asked) = (Marker::default(), Vec::new(), 0);
    for pack in books.packs() {
        for attacker in 0..pack.units.len() {
            for again in 0..4 {
                let seed = (attacker * 4 + again) as u64;
                let (request, claims) = blow(pack, attacker, seed, 1_000, &marker);
                asked += 1;
                if !claims.is_empty() {
                    wrong.push(format!("{request}\n  {}", claims.join("\n  ")));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {asked} matchups:\n{}", wrong.len(), wrong.join("\n"));
}
