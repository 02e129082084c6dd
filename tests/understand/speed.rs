//! How long a message takes to be read, with a pack of usual size and with one of 2,000 units.
//!
//! The times are printed, not judged: another program may lengthen them. What is judged is the ratio of what both take of the
//! processor, within one run.
use super::judge::Judge;
use pipwright_bot::client::index::PackIndex;
use pipwright_bot::understand::understand;
use pipwright_shared::wire::packs::PackAnswer;
use pipwright_tests::spent::spent;
use serde_json::json;
use std::time::{Duration, Instant};

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_large_pack_is_read_nearly_as_fast() {
    let judge = Judge::start().await;
    let small = judge.index("canal-guild").await;
    let large = large();
    let says: Vec<String> =
        super::all().into_iter().filter(|case| case.pack == "canal-guild").map(|case| case.say).collect();
    let ((small, little), (large, much)) = (times(&says, &small), times(&says, &large));
    let at = |times: &[Duration], share: usize| times[(times.len() - 1) * share / 100];
    println!("22 units: half within {:?}, 99 of 100 within {:?}", at(&small, 50), at(&small, 99));
    println!("2,000 units: half within {:?}, 99 of 100 within {:?}", at(&large, 50), at(&large, 99));
    // 10 ms stand against 2 ms.
    println!("of the processor: {little:?} and {much:?}");
    assert!(much <= little * 5, "{much:?} against {little:?}");
}

/// How long each takes, and all of them together of this thread's processor.
fn times(says: &[String], index: &PackIndex) -> (Vec<Duration>, Duration) {
    // The names are indexed once.
    understand("3 v 4", index, None);
    let read = || -> Vec<Duration> {
        let one = |say: &String| {
            let start = Instant::now();
            std::hint::black_box(understand(say, index, None));
            start.elapsed()
        };
        says.iter().map(one).collect()
    };
    let (mut times, took) = spent(read);
    times.sort();
    (times, took.cpu)
}

/// 2,000 units whose names are made of syllables.
fn large() -> PackIndex {
    const FIRST: [&str; 20] = [
        "bal", "cor", "dun", "fen", "gor", "hul", "jas", "kel", "lom", "mur", "nal", "pel", "quor", "rus", "sab",
        "tor", "ulm", "vex", "wol", "zan",
    ];
    const LAST: [&str; 10] = ["dak", "ferin", "gast", "horn", "lith", "mond", "nock", "polt", "rusk", "tarn"];
    let units: Vec<_> = (0..2_000)
        .map(|at| {
            let name =
                format!("{}{} {}{}", FIRST[at % 20], LAST[at / 20 % 10], FIRST[at / 200 % 20], LAST[(at * 7) % 10]);
            json!({"id": name.replace(' ', "-"), "name": name, "role": "foot", "singular": name, "plural": name,
                "counted": "models", "points": 10, "least": 5, "most": 20, "armoured": false})
        })
        .collect();
    let units = serde_json::from_value(json!(units)).expect("units as the service names them");
    PackIndex::from(PackAnswer { id: "large".into(), name: "Large".into(), die: 6, units, ..PackAnswer::default() })
}
