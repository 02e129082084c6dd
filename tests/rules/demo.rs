//! The demo packs read without a fault and hold what they promise.
use pipwright_shared::packs;
use pipwright_shared::rules::{PackCatalog, read};

#[test]
fn every_demo_pack_reads() {
    for files in packs::demo() {
        if let Err(faults) = read::read(&files) {
            let all: Vec<String> = faults.iter().map(ToString::to_string).collect();
            panic!("{}", all.join("\n"));
        }
    }
    assert_eq!(PackCatalog::demo().packs().len(), packs::demo().len());
}
