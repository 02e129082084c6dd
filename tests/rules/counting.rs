//! Units counted as people count them. What is expected is written by hand from the label and the unit book.
use pipwright_shared::report::counting::{Counted, Forms};
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Pack;
use std::sync::Arc;

fn pack(id: &str) -> Arc<Pack> {
    PackCatalog::demo().pack(Some(id)).expect("a demo pack")
}

#[test]
fn models_or_units_whichever_people_count() {
    let said = [
        ("canal-guild", "dyke-hands", 5, "five Dyke Hands"),
        ("canal-guild", "dyke-hands", 1, "one Dyke Hand"),
        ("canal-guild", "lock-wardens", 1, "one Lock Warden"),
        ("canal-guild", "lock-wardens", 12, "12 Lock Wardens"),
        // Three to a crew: twenty people are six full crews and one of two.
        ("canal-guild", "bolt-gun-crew", 20, "7 Bolt-gun Crews (20 models)"),
        ("canal-guild", "bolt-gun-crew", 21, "seven Bolt-gun Crews"),
        ("canal-guild", "bolt-gun-crew", 3, "one Bolt-gun Crew"),
        ("canal-guild", "bolt-gun-crew", 2, "one Bolt-gun Crew (2 models)"),
        ("canal-guild", "ram-barge", 3, "three Ram Barges"),
        ("canal-guild", "tinker-cutter", 2, "two Tinker's Cutters"),
        // Three to six in a gang, and the moot's own words for models.
        ("sedge-moot", "tar-gang", 5, "one Tar Gang (5 bodies)"),
        ("sedge-moot", "tar-gang", 7, "2 Tar Gangs (7 bodies)"),
        ("sedge-moot", "stake-crew", 1, "one Stake Crew (1 body)"),
        ("sedge-moot", "herb-wife", 2, "two Herb Wives"),
        ("sedge-moot", "wallow-oxen", 1, "one Wallow Ox"),
        ("sedge-moot", "drum-ox", 2, "two Drum Oxen"),
        ("sedge-moot", "punt-gunners", 1, "one boat of Punt Gunners"),
        ("sedge-moot", "punt-gunners", 3, "three boats of Punt Gunners"),
        ("floe-run", "dog-team", 4, "four Dogs"),
        ("floe-run", "deck-hands", 0, "no Deck Hands"),
        ("floe-run", "rack-crew", 0, "no Rack Crews"),
    ];
    for (id, unit, models, wanted) in said {
        let pack = pack(id);
        let unit = pack.units.iter().find(|one| one.named.id == unit).expect("a unit of the pack");
        assert_eq!(unit.counting(&pack).say(models), wanted);
    }
}

#[test]
fn a_number_of_what_is_counted_means_so_many_models() {
    let pack = pack("canal-guild");
    let unit = |id: &str| pack.units.iter().find(|one| one.named.id == id).expect("a unit").counting(&pack);
    assert_eq!(unit("bolt-gun-crew").models_of(2), 6);
    assert_eq!(unit("dyke-hands").models_of(8), 8);
    assert_eq!(unit("bolt-gun-crew").digits(6), "2 Bolt-gun Crews");
    assert_eq!(unit("dyke-hands").digits(8), "8 Dyke Hands");
}

/// Each unit of every pack has two names, and a number of it is found again by either of them.
#[test]
fn every_unit_has_two_names_and_is_found_by_both() {
    for pack in PackCatalog::demo().packs() {
        for (at, unit) in pack.units.iter().enumerate() {
            let (one, several) = &unit.forms;
            assert_ne!(one, several, "{}", unit.named.label);
            assert_eq!(pack.find.units.find(one), Ok(at), "{one}");
            assert_eq!(pack.find.units.find(several), Ok(at), "{several}");
            // People say "nine of a gang" and "four dogs", and "two gun crews": the former are counted by the head.
            let by_the_head = ["grapnel-gang", "tally-crew", "dog-team"].contains(&unit.named.id.as_str());
            let crew = ["Crew", "Gang", "Team"].iter().any(|end| unit.named.label.ends_with(end)) && !by_the_head;
            assert_eq!(unit.counted == Counted::Units, crew, "{}", unit.named.label);
        }
    }
}

/// English nouns, from any grammar.
#[test]
fn names_are_formed_where_english_is_regular() {
    let formed = |label: &str| {
        let forms = Forms::of(label, None, None);
        (forms.singular, forms.plural)
    };
    let both = |one: &str, several: &str| (Some(one.to_owned()), Some(several.to_owned()));
    for (label, one, several) in [
        ("Ram Barge", "Ram Barge", "Ram Barges"),
        ("Ferry", "Ferry", "Ferries"),
        ("Torch", "Torch", "Torches"),
        ("Compass", "Compass", "Compasses"),
        ("Lamp Boxes", "Lamp Box", "Lamp Boxes"),
        ("Decoys", "Decoy", "Decoys"),
        ("Sentries", "Sentry", "Sentries"),
        ("Skiff", "Skiff", "Skiffs"),
    ] {
        assert_eq!(formed(label), both(one, several), "{label}");
    }
    for label in ["Oxen", "Type 34", "Keeper of the Lock", "Fire Wolf", "Hippopotamus", "Cavalry", "Boatmen", "Buffalo"]
    {
        assert_eq!(formed(label), (None, None), "{label}");
    }
}
