//! Lists and boards of the demo packs: legal, with their totals added up by hand.
use pipwright_shared::points::{self, Code, List, text};
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Pack;
use std::sync::Arc;

fn pack(id: &str) -> Arc<Pack> {
    PackCatalog::demo().pack(Some(id)).expect("a demo pack")
}

fn read(pack: &Pack, text: &str) -> List {
    let pasted = text::read(pack, text);
    assert_eq!(pasted.problems, [], "{text}");
    List { limit: pasted.limit.unwrap_or(pack.limits.points), lines: pasted.lines }
}

fn legal(id: &str, text: &str, total: u64) {
    let pack = pack(id);
    let list = read(&pack, text);
    assert_eq!(points::problems(&pack, &list), []);
    assert_eq!(points::total(&pack, &list), total);
}

/// Reeve 45 + coat 8 = 53; Herb Wife 30
/// Peat Cutters, 10: 26 + 5 x 4 = 46, forks 10 x 1, two mauls 8: 64
/// Withy Bows, 8: 35 + 3 x 6 = 53, bog-oak 8 x 2 = 16: 69
/// Door Bearers, 6: 48 + elder 8 = 56
/// Fowlers 52, Wallow Oxen 50, Punt Gunners 70
/// 53 + 30 + 64 + 69 + 56 + 52 + 50 + 70 = 444
/// What is none, or too many, is no line.
#[test]
fn none_of_a_unit_is_no_line() {
    let guild = pack("canal-guild");
    for text in ["0x heron carriage", "ram barge x0", "1001x ram barge", "ram barge + 0 signal mast", "0 ram barge"] {
        let pasted = text::read(&guild, text);
        assert_eq!(pasted.problems.len(), 1, "{text}: {:?}", pasted.lines);
    }
}

#[test]
fn a_moot_is_called_out() {
    let list = "500 points\nMoot Reeve + eelskin coat\nHerb Wife\n10x Peat Cutters + throwing forks + 2 stake mauls\n\
        Withy Bows (8), bog-oak bows\nDoor Bearers + elder\nFowlers\nWallow Oxen\nPunt Gunners";
    legal("sedge-moot", list, 444);
}

/// Master 60 + bell 10 = 70; Pilot 40
/// Deck Hands, 10: 35 + 5 x 6 = 65, hooks 10 x 1, two line guns 16: 91
/// Drift Rifles, 6: 60 + 12 = 72, two walrus rifles 30: 102
/// Rack Crew 70 + great rack 30 = 100; Pivot Gun Crew 95
/// Dog Team, 5: 48 + 12 = 60; Sail Sledge 65 + mast 15 = 80; Stove Sledge 55
/// Tread Hauler 150 + great rack 35 = 185
/// 70 + 40 + 91 + 102 + 100 + 95 + 60 + 80 + 55 + 185 = 878
#[test]
fn a_convoy_sets_out() {
    let list = "900 points\nConvoy Master + night bell\nIce Pilot\n10x Deck Hands + flensing hooks + 2 line guns\n\
        Drift Rifles (6), 2 walrus rifles\nRack Crew + great rack\nPivot Gun Crew\nDog Team (5)\n\
        Sail Sledge + lookout mast\nStove Sledge\nTread Hauler + great rack";
    legal("floe-run", list, 878);
}

/// What a list of one unit lacks anyway.
const OF_THE_WHOLE: [Code; 3] = [Code::RoleLeast, Code::RoleShareLeast, Code::UnitsLeast];

#[test]
fn every_unit_of_a_board_may_be_fielded_so() {
    for pack in PackCatalog::demo().packs() {
        let (targets, attackers) = (&pack.board.targets, &pack.board.attackers);
        assert!(targets.len() >= 5 && attackers.len() >= 5, "{}", pack.named.id);
        for unit in targets.iter().chain(attackers) {
            let options = unit.options.iter().map(|option| (*option, 1)).collect();
            let line = points::Line { number: 1, unit: unit.unit, count: 1, models: unit.models, options };
            let list = List { limit: 100_000, lines: vec![line] };
            let mut problems = points::problems(pack, &list);
            problems.retain(|problem| !OF_THE_WHOLE.contains(&problem.code));
            assert_eq!(problems, [], "{}", pack.units[unit.unit].named.id);
        }
    }
}

/// Twelve units or more, and every unit may stand in some list: its role is not closed, and its cost is within its share.
#[test]
fn every_unit_can_be_had() {
    for pack in PackCatalog::demo().packs() {
        assert!(pack.units.len() >= 12, "{}", pack.named.id);
        for (at, unit) in pack.units.iter().enumerate() {
            let line = points::Line { number: 1, unit: at, count: 1, models: unit.models.0, options: Vec::new() };
            let list = List { limit: pack.limits.points, lines: vec![line] };
            let mut problems = points::problems(pack, &list);
            problems.retain(|problem| !OF_THE_WHOLE.contains(&problem.code));
            assert_eq!(problems, [], "{}", unit.named.id);
        }
    }
}
