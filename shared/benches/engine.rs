//! How quick the engine is: the questions that it has to answer in time, each with its target.
//!
//! `cargo bench -p pipwright-shared` measures each with its heap allocations, then prints the report of figure against
//! target. With a name behind it (`-- duel`) only what bears the name is measured, without the report.
use divan::{AllocProfiler, Bencher, black_box};
use pipwright_shared::odds::{
    blast::{AimAt, Base, Blast, Counts, Point, Scatter, Under},
    cancellation::CancellationToken,
    chain::{Backfire, By, Chain, Counters, Gain, Group, Kind, RollStep, Soldiers, Step, Target, Volley},
    dice::{Amount, Dice},
    duel::{Duel, First, Side, TimedVolley},
    number::{Exact, Number},
    roll::{Needs, Roll},
};
use std::io::Write;
use std::time::Instant;

#[global_allocator]
static ALLOCATIONS: AllocProfiler = AllocProfiler::system();

fn main() {
    divan::main();
    // Cargo itself says `--bench`; anything else asks for less than all.
    if std::env::args().skip(1).all(|argument| argument == "--bench") {
        report().expect("a place to print to");
    }
}

/// What is measured, and in how many microseconds it is to be done.
struct Question {
    name: &'static str,
    micros: f64,
    answer: Box<dyn Fn()>,
}

const NAMES: [&str; 5] = [
    "chain of 3 steps, 20 attacks, 10 models",
    "chain of 3 steps, 1,000 attacks, 200 models",
    "duel, 10 against 10 of health 2, 6 turns",
    "blast, 30 bases, 2d6 scatter",
    "chain of 3 steps, 20 attacks, 10 models, exact",
];

fn questions() -> [Question; 5] {
    fn chain<N: Number>(attackers: u32, models: u32) -> Box<dyn Fn()> {
        let chain =
            Chain::new(vec![volley(attackers, 2, "4+ 3+ 5+")], soldiers(models, 1), Vec::new()).expect("a chain");
        Box::new(move || drop(black_box(chain.evaluate::<N>(false, &CancellationToken::default()))))
    }
    let side = || Side {
        target: soldiers(10, 2),
        attack: vec![TimedVolley::always(volley(1, 1, "4+ 3+ 5+"))],
        aftermath: Vec::new(),
        repair: None,
        sheds: Vec::new(),
    };
    let duel = Duel::new(side(), side(), First::A, 6).expect("a duel");
    let blast = scattered();
    let answers: [(f64, Box<dyn Fn()>); 5] = [
        (5.0, chain::<f64>(10, 10)),
        (300.0, chain::<f64>(500, 200)),
        (500.0, Box::new(move || drop(black_box(duel.evaluate::<f64>(&CancellationToken::default()))))),
        (20.0, Box::new(move || drop(black_box(blast.evaluate())))),
        (2_000.0, chain::<Exact>(10, 10)),
    ];
    let mut names = NAMES.into_iter();
    answers.map(|(micros, answer)| Question { name: names.next().unwrap_or_default(), micros, answer })
}

/// Attackers with so many attacks each: a hit, a wound, and a save by the other side.
fn volley(attackers: u32, attacks: u16, needs: &str) -> Volley {
    let die = Dice::one(6).expect("a die");
    let step = |(name, needs): (&str, &str)| Step {
        name: name.into(),
        by: if name == "save" { By::Defender } else { By::Attacker },
        kind: Kind::Roll(RollStep {
            roll: Roll::plain(die, needs.parse().expect("a need")),
            critical: Gain::none(),
            margins: Vec::new(),
            backfire: Backfire { needs: Needs::Never, die, harm: Amount::fixed(0) },
        }),
        counts: Vec::new(),
    };
    let steps = ["hit", "wound", "save"].into_iter().zip(needs.split(' ')).map(step).collect();
    Volley {
        attackers,
        attacks: Amount::fixed(attacks).into(),
        gate: None,
        steps,
        damage: Amount::fixed(1),
        counts: Vec::new(),
        by_counter: Vec::new(),
        spill: None,
        ignore: None,
    }
}

fn soldiers(models: u32, health: u32) -> Target {
    let group = Group { models, health, ignore: None, then: Vec::new() };
    Target::Soldiers(Soldiers { groups: vec![group], spill: false, hurt: 0, counters: Counters::default() })
}

/// Five ranks of six with a little between them; the aim is off the middle, so that no two bases are alike.
fn scattered() -> Blast {
    let base = |n: u32| Base { centre: Point { x: f64::from(n % 6) * 35.0, y: f64::from(n / 6) * 35.0 }, radius: 12.5 };
    Blast {
        radius: 63.5,
        under: Under::Bases((0..30).map(base).collect(), Counts::Touched),
        aim: AimAt::Point(Point { x: 80.0, y: 61.0 }),
        scatter: Some(Scatter {
            dice: Amount::Dice(Dice::new(2, 6, 0).expect("dice")),
            reduce: 0,
            unit: 25.4,
            on_target: Exact::zero(),
        }),
    }
}

#[divan::bench(args = NAMES)]
fn engine(bencher: Bencher, name: &str) {
    let question = questions().into_iter().find(|question| question.name == name).expect("a question of this name");
    bencher.bench_local(|| (question.answer)());
}

/// The median of many measurements of each, beside its target.
fn report() -> std::io::Result<()> {
    let mut out = std::io::stdout();
    writeln!(out, "\n| what | takes (us) | reach (us) | |\n| --- | ---: | ---: | --- |")?;
    for Question { name, micros, answer } in questions() {
        let mut taken: Vec<f64> = (0..2_000)
            .map(|_| {
                let start = Instant::now();
                answer();
                start.elapsed().as_secs_f64() * 1e6
            })
            .collect();
        taken.sort_by(f64::total_cmp);
        let median = taken[taken.len() / 2];
        let verdict = if median < micros { "reached" } else { "MISSED" };
        writeln!(out, "| {name} | {median:.2} | {micros} | {verdict} |")?;
    }
    Ok(())
}
