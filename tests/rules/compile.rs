//! Matchups and the chains that they come down to.
use pipwright_shared::odds::chain::{Kind, Target};
use pipwright_shared::odds::halt::Halt;
use pipwright_shared::rules::Books;
use pipwright_shared::rules::compile::compile;
use pipwright_shared::rules::matchup::{Fielded, Matchup, Situation};

#[test]
#[ignore = "for looking at"]
fn look() {
    let pack = Books::demo().pack(None).unwrap();
    let field =
        |name: &str, models: u32| Fielded { unit: pack.find.units.find(name).unwrap(), models, ..Default::default() };
    for (a, m, t, n) in [
        ("barges", 3, "heron", 1),
        ("heron", 1, "sappers", 5),
        ("quay rifles", 5, "dyke", 10),
        ("dredge", 1, "wharf captain", 1),
        ("heron", 1, "bittern", 1),
    ] {
        let matchup = Matchup {
            pack: pack.clone(),
            attacker: field(a, m),
            target: field(t, n),
            situation: Situation::usual(&pack),
            with: vec![],
            without: vec![],
        };
        let start = std::time::Instant::now();
        let done = compile(&matchup).unwrap();
        let took = start.elapsed();
        println!("=== {a} v {t}: {took:?}");
        for (spot, reason) in &done.reasons {
            println!("{spot:?} {}: {}", reason.rule, reason.effect);
        }
        for note in &done.acted {
            println!("acted {}: {}", pack.rules[note.rule].named.label, note.why);
        }
        for note in &done.idle {
            println!("idle {}: {}", pack.rules[note.rule].named.label, note.why);
        }
        for (w, why) in &done.silent {
            println!("silent {}: {why}", pack.weapons[*w].named.label);
        }
        for v in done.chain.volleys() {
            println!("{} x {:?}", v.attackers, v.attacks);
            for s in &v.steps {
                match &s.kind {
                    Kind::Roll(r) => println!("   {} {:?} {:?} {}", s.name, s.by, r.roll.aim, r.roll.modifier),
                    Kind::Penetrate(p) => println!("   {} {:?}", s.name, p),
                }
            }
        }
        match done.chain.target() {
            Target::Soldiers(s) => println!("{s:?}"),
            Target::Armoured(a) => println!("{a:?}"),
        }
        let answer = done.chain.evaluate::<f64>(false, &Halt::default()).unwrap();
        println!("destroyed {}", answer.destroyed);
    }
}
