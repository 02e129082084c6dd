//! Broken files: every mistake is told with its file, line, column, the words at fault and what would mend it.
use pipwright_shared::odds::cancellation::CancellationToken;
use pipwright_shared::packs;
use pipwright_shared::rules::fault::{Fault, Weight};
use pipwright_shared::rules::{PackCatalog, check::check};
use pipwright_tests::laid::{Case, cases};

/// Whether the fault is what the case wants, where it wants it.
fn is(fault: &Fault, case: &Case) -> bool {
    fault.file == case.file
        && (fault.line, fault.column) == case.place
        && fault.words == case.words
        && fault.message == case.says
        && fault.suggestion.as_deref().unwrap_or_default().contains(&case.mend)
}

/// Holds the faults of every case against what it wants.
fn hold(table: &str, weight: Weight, least: usize) {
    let cases = cases(table);
    assert!(cases.len() >= least, "{} cases", cases.len());
    let mut wrong = Vec::new();
    for case in cases {
        let found = check(&PackCatalog::demo(), case.files.clone(), &CancellationToken::default()).faults;
        let told = found.iter().any(|fault| fault.weight == weight && is(fault, &case));
        if !told || found.len() != 1 + case.more {
            let found: Vec<String> = found.iter().map(|fault| format!("    {fault} [{}]", fault.words)).collect();
            let (line, column) = case.place;
            let wanted = format!("{}:{line}:{column}: {} [{}]", case.file, case.says, case.words);
            wrong.push(format!("{}\n  wanted\n    {wanted}\n  found\n{}", case.title, found.join("\n")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn every_mistake_is_told_where_it_stands() {
    hold(include_str!("broken.txt"), Weight::Mistake, 40);
}

#[test]
fn every_warning_is_told_where_it_stands() {
    hold(include_str!("warnings.txt"), Weight::Warning, 20);
}

#[test]
fn sound_packs_bring_no_warning() {
    for files in packs::demo().into_iter().chain([packs::starter("our-club")]) {
        let checked = check(&PackCatalog::default(), files, &CancellationToken::default());
        let all: Vec<String> = checked.faults.iter().map(ToString::to_string).collect();
        assert!(checked.pack.is_some() && all.is_empty(), "{}", all.join("\n"));
    }
}

#[test]
fn a_unit_book_alone_is_held_against_the_rules_that_are_there() {
    let [_, units] = <[_; 2]>::try_from(packs::starter("our-club")).expect("two files");
    let alone = check(&PackCatalog::default(), vec![units.clone()], &CancellationToken::default()).faults;
    assert_eq!(alone.len(), 1, "{alone:?}");
    assert_eq!((alone[0].line, alone[0].words.as_str()), (4, "\"our-club\""));
    // Of the rules beneath it nothing is said: they are not among the files.
    let pack = PackCatalog::demo().packs()[0].clone();
    let book = format!("format = 1\npack = \"{}\"\n\n[[weapon]]\nid = \"spare-oar\"\n", pack.named.id);
    let faults = check(
        &PackCatalog::demo(),
        vec![pipwright_shared::rules::fault::Source::new("oars.toml", book)],
        &CancellationToken::default(),
    )
    .faults;
    assert!(faults.iter().all(|fault| fault.file == "oars.toml") && !faults.is_empty(), "{faults:?}");
}
