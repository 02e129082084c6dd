//! The program against the second player of the packs' rules, on requests made up at random.
//!
//! `PIPWRIGHT_PLAYER=500` asks 500 of each kind in place of a few; `PIPWRIGHT_PLAYER_SEED` asks others.
mod appraisals;
mod assignments;
mod contests;
mod differences;
mod duels;
mod leagues;
mod lists;
mod made;
mod matchups;

use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Pack;
use pipwright_tests::shrink::shrink;
use serde_json::Value;

/// A number from the environment.
fn from_environment(name: &str, otherwise: u64) -> u64 {
    let Ok(text) = std::env::var(name) else { return otherwise };
    text.parse().unwrap_or_else(|_| panic!("{name} is no number: {text}"))
}

/// How many are asked of a kind, where few are usual.
fn asked(usual: u64) -> u64 {
    from_environment("PIPWRIGHT_PLAYER", usual)
}

/// What is made up of a seed for a pack and what is asked.
fn rng(pack: &Pack, kind: &str, count: u64) -> fastrand::Rng {
    let text = format!("{} {kind} {count}", pack.named.id);
    let hash = text
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3));
    fastrand::Rng::with_seed(hash.wrapping_add(from_environment("PIPWRIGHT_PLAYER_SEED", 0)))
}

/// Asks so many questions over all packs in turn and says all that differs, each in its smallest form. A question that is
/// too much work for the program is not compared; that is rare, or else nothing is shown.
fn compare(
    kind: &str,
    usual: u64,
    make: impl Fn(&Pack, &mut fastrand::Rng) -> Value,
    differences: impl Fn(&Pack, &Value) -> Option<Vec<String>>,
) {
    let books = PackCatalog::demo();
    let (mut wrong, mut refused, asked) = (Vec::new(), 0, asked(usual));
    for count in 0..asked {
        let packs = books.packs();
        let pack = &packs[usize::try_from(count).expect("few") % packs.len()];
        let request = make(pack, &mut rng(pack, kind, count));
        let Some(found) = differences(pack, &request) else {
            refused += 1;
            continue;
        };
        if found.is_empty() {
            continue;
        }
        let differ = |request: &Value| differences(pack, request).unwrap_or_default();
        // A page says in each of its rows what it is about.
        let rows = matches!(kind, "appraisal" | "assign" | "worth");
        let small = if rows { request } else { shrink(kind, request, |request| !differ(request).is_empty()) };
        let found = if rows { found } else { differ(&small) };
        wrong.push(format!("{kind} {small}\n  {}", found.join("\n  ")));
    }
    assert!(wrong.is_empty(), "{} of {asked}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(refused * 20 <= asked, "{refused} of {asked} are too much work");
}
