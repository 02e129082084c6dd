//! Things that require or replace each other in a ring.
use super::super::model::change::Rule;
use super::super::model::unit::{Unit, UnitOption};
use super::ids::Section;
use super::node::Fields;

/// Notes every ring as a mistake at its first member.
pub(super) fn check(rule_tables: &Section<'_>, rules: &[Rule], unit_tables: &Section<'_>, units: &[Unit]) {
    let name = |names: Vec<&str>| names.join(" → ");
    for ring in rings(rules.len(), |at| &rules[at].replaces) {
        let names = ring.iter().map(|at| rules[*at].named.id.as_str()).collect();
        let message = format!("rules replace each other in a ring: {}", name(names));
        wrong_at(&rule_tables.tables[ring[0]], "replaces", message);
    }
    for ring in rings(units.len(), |at| &units[at].needs_unit) {
        let names = ring.iter().map(|at| units[*at].named.id.as_str()).collect();
        let message = format!("units require each other in a ring: {}", name(names));
        wrong_at(&unit_tables.tables[ring[0]], "needs_unit", message);
    }
}

/// The same for the options of one unit.
pub(super) fn of_options(tables: &Section<'_>, options: &[UnitOption]) {
    for ring in rings(options.len(), |option| &options[option].requires) {
        let names: Vec<&str> = ring.iter().map(|option| options[*option].named.id.as_str()).collect();
        let message = format!("options require each other in a ring: {}", names.join(" → "));
        wrong_at(&tables.tables[ring[0]], "requires", message);
    }
}

fn wrong_at(fields: &Fields<'_>, key: &'static str, message: String) {
    match fields.get(key) {
        Some(node) => node.wrong(message),
        None => fields.wrong(message),
    }
}

/// The rings of a graph, each once, beginning and ending with its first member.
fn rings<'a>(count: usize, next: impl Fn(usize) -> &'a Vec<usize>) -> Vec<Vec<usize>> {
    #[derive(Clone, Copy, PartialEq)]
    enum Seen {
        No,
        OnPath,
        Done,
    }
    let mut seen = vec![Seen::No; count];
    let mut found = Vec::new();
    for start in 0..count {
        // A path of members, each with the number of its followers that were visited.
        let mut path: Vec<(usize, usize)> = Vec::new();
        if seen[start] == Seen::No {
            seen[start] = Seen::OnPath;
            path.push((start, 0));
        }
        while let Some((at, visited)) = path.last_mut() {
            match next(*at).get(*visited) {
                None => {
                    seen[*at] = Seen::Done;
                    path.pop();
                }
                Some(follower) => {
                    *visited += 1;
                    match seen[*follower] {
                        Seen::Done => {}
                        Seen::No => {
                            seen[*follower] = Seen::OnPath;
                            path.push((*follower, 0));
                        }
                        Seen::OnPath => {
                            let members = path.iter().map(|(member, _)| *member);
                            let mut ring: Vec<usize> = members.skip_while(|member| member != follower).collect();
                            ring.push(*follower);
                            found.push(ring);
                        }
                    }
                }
            }
        }
    }
    found
}
