//! The best legal lists, held against all lists of small made-up books: worth asked one candidate and one target at a time,
//! legality asked of the list, and every list tried.
//!
//! `PIPWRIGHT_BUILD=200` tries 200 books in place of a few.
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::ask::ask;
use serde_json::{Value, json};
use std::cmp::Ordering;
use std::fmt::Write as _;

/// A book of few units, some of them soldiers and one a light crawler, beside the pack's own, which are left out.
fn book(rng: &mut fastrand::Rng) -> String {
    let mut book = "format = 1\npack = \"canal-guild\"\n".to_owned();
    for at in 0..rng.u32(2..=3) {
        let (drill, force, vigour) = (rng.u32(3..=5), rng.u32(3..=9), rng.u32(1..=2));
        let (points, least, more) = (rng.u32(30..=90), rng.u32(1..=3), rng.u32(0..=2));
        let role = *rng.choice(&["foot-bands", "crews", "light"]).expect("roles");
        let limits = match rng.u8(0..4) {
            0 => "unique = true\n",
            _ => "",
        };
        let each = if more > 0 { format!("each_more = {}\n", rng.u32(5..=30)) } else { String::new() };
        write!(
            book,
            "\n[[weapon]]\nid = \"gun-{at}\"\nstats = {{ shots = {}, force = {force}, bore = \"pin\" }}\nreach = 24\n\
             \n[[unit]]\nid = \"made-{at}\"\nlabel = \"Made {at}\"\nkind = \"foot\"\nrole = \"{role}\"\npoints = {points}\n\
             models = {{ least = {least}, most = {} }}\n{each}{limits}\
             stats = {{ drill = \"{drill}+\", nerve = 20, pace = 0, bulk = 3, vigour = {vigour}, grit = \"6+\" }}\n\
             weapons = [\"gun-{at}\"]\n",
            rng.u32(1..=4),
            least + more,
        )
        .expect("written");
    }
    book
}

/// A list: how many of each candidate.
type Counts = Vec<usize>;

struct Tried {
    /// Lines, each with its points and what it is worth against each target.
    candidates: Vec<(Value, u64, Vec<f64>)>,
    /// The weight of each target, and whether it is armoured.
    targets: Vec<(f64, bool)>,
    total: bool,
}

impl Tried {
    fn mean(&self, at: usize, counts: impl Fn(bool) -> bool) -> f64 {
        let all = || self.targets.iter().zip(&self.candidates[at].2).filter(|((_, armoured), _)| counts(*armoured));
        let weight: f64 = all().map(|((weight, _), _)| weight).sum();
        all().map(|((part, _), value)| part * value).sum::<f64>() / weight
    }

    fn sum(&self, list: &Counts, of: impl Fn(usize) -> f64) -> f64 {
        list.iter().enumerate().filter(|(_, count)| **count > 0).map(|(at, count)| of(at) * *count as f64).sum()
    }

    fn value(&self, list: &Counts) -> f64 {
        self.sum(list, |at| self.mean(at, |_| true))
    }

    fn primary(&self, list: &Counts) -> f64 {
        if self.total {
            return self.value(list);
        }
        let group = |armoured: bool| self.sum(list, |at| self.mean(at, |other| other == armoured));
        group(true).min(group(false))
    }

    fn points(&self, list: &Counts) -> u64 {
        list.iter().enumerate().map(|(at, count)| self.candidates[at].1 * *count as u64).sum()
    }

    /// The better one comes first: by the objective, the total, the points, the lines.
    fn order(&self, a: &Counts, b: &Counts) -> Ordering {
        let near = |one: f64, other: f64| {
            if (one - other).abs() <= 1e-9 * one.abs().max(1.0) { Ordering::Equal } else { other.total_cmp(&one) }
        };
        let lines = |list: &Counts| list.iter().sum::<usize>();
        near(self.primary(a), self.primary(b))
            .then(near(self.value(a), self.value(b)))
            .then(self.points(a).cmp(&self.points(b)))
            .then(lines(a).cmp(&lines(b)))
    }
}

/// All lists that a limit pays for.
fn lists(costs: &[u64], limit: u64) -> Vec<Counts> {
    let Some((cost, rest)) = costs.split_first() else { return vec![Vec::new()] };
    let most = limit / cost;
    let each = (0..=most).flat_map(|count| {
        let others = lists(rest, limit - count * cost).into_iter();
        others.map(move |list| std::iter::once(usize::try_from(count).expect("few")).chain(list).collect())
    });
    each.collect()
}

fn check(seed: u64) {
    let mut rng = fastrand::Rng::with_seed(seed);
    let (book, limit) = (book(&mut rng), rng.u64(90..=260));
    let against = json!([{"unit": "quay-rifles", "models": 5}, {"unit": "heron-carriage"}]);
    let pack = PackCatalog::demo().pack(Some("canal-guild")).expect("the pack");
    let own: Vec<&str> = pack.units.iter().map(|unit| unit.named.id.as_str()).collect();
    let total = rng.bool();
    let request = json!({
        "pack": "canal-guild", "book": book, "limit": limit, "against": against, "exclude": own,
        "objective": if total { "total" } else { "balanced" },
    });
    let answer = ask("build", request.clone());
    let listed = |lines: &Value| {
        ask("list-points", json!({"pack": "canal-guild", "book": book, "limit": limit, "lines": lines}))
    };
    // The candidates, from the description alone: at up to four sizes, as these units have no options.
    let mut candidates = Vec::new();
    let made = pipwright_shared::rules::PackCatalog::demo();
    let whole =
        made.read_with(&pack, vec![pipwright_shared::rules::fault::Source::new("book", &book)]).expect("a book");
    for unit in whole.units.iter().filter(|unit| !own.contains(&unit.named.id.as_str())) {
        let (least, most) = unit.models;
        let mut sizes: Vec<u32> =
            (0..4).map(|i| least + (f64::from(i) * f64::from(most - least) / 3.0).round() as u32).collect();
        sizes.dedup();
        for models in sizes {
            let line = json!({"unit": unit.named.id, "models": models});
            let sum = listed(&json!([line]));
            let alone = ["models", "unit-share"];
            let refused = sum["problems"].as_array().expect("problems").iter();
            if refused.into_iter().any(|problem| alone.contains(&problem["code"].as_str().expect("a code"))) {
                continue;
            }
            let worth = |target: &Value| {
                let league = json!({"pack": "canal-guild", "book": book, "units": [line], "board": [target]});
                ask("worth", league)["rows"][0]["value"].as_f64().expect("a value")
            };
            let values = against.as_array().expect("targets").iter().map(worth).collect();
            candidates.push((line.clone(), sum["total"].as_u64().expect("points"), values));
        }
    }
    let weight = |line: &Value| {
        let sum = ask("list-points", json!({"pack": "canal-guild", "lines": [line]}));
        sum["total"].as_u64().expect("points") as f64
    };
    let targets = vec![(weight(&against[0]), false), (weight(&against[1]), true)];
    let tried = Tried { candidates, targets, total };
    let costs: Vec<u64> = tried.candidates.iter().map(|(_, points, _)| *points).collect();
    let lines = |list: &Counts| -> Value {
        let each = list.iter().zip(&tried.candidates).filter(|(count, _)| **count > 0);
        each.map(|(count, (line, ..))| {
            let mut line = line.clone();
            line["count"] = json!(count);
            line
        })
        .collect()
    };
    let mut legal: Vec<Counts> = lists(&costs, limit)
        .into_iter()
        .filter(|list| list.iter().sum::<usize>() > 0 && listed(&lines(list))["legal"] == true)
        .collect();
    legal.sort_by(|a, b| tried.order(a, b));
    let mut before: Vec<Counts> = Vec::new();
    let plans = answer["plans"].as_array().expect("plans");
    for at in 0..3 {
        let fresh = |list: &&Counts| {
            let new = |(at, count): (usize, &usize)| {
                count.saturating_sub(before.iter().map(|plan| plan[at]).max().unwrap_or(0))
            };
            before.is_empty() || list.iter().enumerate().map(new).sum::<usize>() >= 2
        };
        let right = legal.iter().find(fresh);
        let (Some(right), Some(plan)) = (right, plans.get(at)) else {
            assert!(right.is_none() && plans.get(at).is_none(), "seed {seed}, plan {at}: {right:?}, {answer}");
            break;
        };
        let said: Counts = tried
            .candidates
            .iter()
            .map(|(line, ..)| {
                let fits = |sum: &&Value| sum["unit"] == line["unit"] && sum["models"] == line["models"];
                let found = plan["lines"].as_array().expect("lines").iter().find(fits);
                found.map_or(0, |sum| usize::try_from(sum["count"].as_u64().expect("a count")).expect("few"))
            })
            .collect();
        let order = tried.order(&said, right);
        assert_eq!(order, Ordering::Equal, "seed {seed}, plan {at}: {said:?} not {right:?} in {request}: {answer}");
        let value = tried.value(&said);
        let near =
            |said: &Value, right: f64| (said.as_f64().expect("a number") - right).abs() <= 1e-9 * right.abs().max(1.0);
        assert!(near(&plan["value"]["total"], value), "seed {seed}: {plan} and {value}");
        assert!(near(&plan["bound"], tried.primary(&said)) && plan["proven"] == true, "seed {seed}: {plan}");
        let sum = listed(&lines(&said));
        assert_eq!((&sum["legal"], &sum["total"]), (&json!(true), &plan["total"]), "seed {seed}: {plan}");
        // The text form is read back as the same list.
        let text = json!({"pack": "canal-guild", "book": book, "limit": limit, "text": plan["text"]});
        let again = ask("list-points", text);
        assert_eq!((&again["legal"], &again["total"]), (&json!(true), &plan["total"]), "seed {seed}: {plan}: {again}");
        before.push(said);
    }
    assert_eq!(answer["problems"].as_array().is_none_or(Vec::is_empty), !plans.is_empty(), "seed {seed}: {answer}");
}

#[test]
fn lists_are_the_best_of_all() {
    let books = std::env::var("PIPWRIGHT_BUILD").map_or(3, |text| text.parse().expect("a number"));
    (0..books).for_each(check);
}

#[test]
fn the_packs_have_proven_lists() {
    for (pack, limit) in [("canal-guild", 1_000), ("floe-run", 1_000), ("sedge-moot", 1_000)] {
        let answer = ask("build", json!({"pack": pack, "limit": limit}));
        let plans = answer["plans"].as_array().expect("plans");
        assert_eq!(plans.len(), 3, "{pack}: {answer}");
        for plan in plans {
            let sum = ask("list-points", json!({"pack": pack, "limit": limit, "text": plan["text"]}));
            assert_eq!((&sum["legal"], &sum["total"]), (&json!(true), &plan["total"]), "{pack}: {plan}: {sum}");
            assert_eq!(plan["proven"], true, "{pack}: {plan}");
        }
    }
}

#[test]
fn where_no_list_is_legal_the_limits_that_clash_are_named() {
    let nothing = ask("build", json!({"pack": "canal-guild", "limit": 0}));
    assert!(
        nothing["plans"].as_array().expect("plans").is_empty() && !nothing["problems"][0]["text"].is_null(),
        "{nothing}"
    );
    // The only light crawlers that it may take are left out, and a list needs one.
    let pack = PackCatalog::demo().pack(Some("canal-guild")).expect("the pack");
    let light = pack.roles.iter().position(|role| role.named.id == "light").expect("a role");
    let exclude: Vec<&str> =
        pack.units.iter().filter(|unit| unit.role == light).map(|unit| unit.named.id.as_str()).collect();
    let answer = ask("build", json!({"pack": "canal-guild", "limit": 1_000, "exclude": exclude}));
    let codes: Vec<&str> =
        answer["problems"].as_array().expect("problems").iter().filter_map(|one| one["code"].as_str()).collect();
    assert_eq!(codes, ["role-least"], "{answer}");
}
