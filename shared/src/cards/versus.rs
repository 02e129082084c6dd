//! The card of two lists against each other.
use super::Card;
use crate::report::saying::{count, mean};
use crate::wire::compare_lists::{CompareListsAnswer, ListShowing};

/// The card of two lists: what each of their units does and how long it lasts.
pub fn card(answer: &CompareListsAnswer) -> Card {
    let mut card = Card { headline: answer.sentence.clone(), ..Card::default() };
    let points = |list: &ListShowing| format!("{} ({})", list.label, count(list.points, "point", "points"));
    card.read_as = format!("{} v {}, {} turns", points(&answer.a), points(&answer.b), answer.turns);
    for list in [&answer.a, &answer.b] {
        for row in &list.rows {
            let all = row.survives >= f64::from(answer.turns);
            let survives = match all {
                true => format!("survives all {} turns", answer.turns),
                false => format!("survives {} of {} turns", mean(row.survives), answer.turns),
            };
            card.line(
                row.name.clone(),
                format!("destroys {} points for its {}; {survives}", mean(row.takes), row.points),
            );
        }
    }
    card.notes.push(
        "Each unit attacks those of the other list in turn, at its best range, as long as it survives their attacks, and a \
         fresh one takes the place of what is destroyed. Nobody moves, and units do not help each other: this shows \
         how well the lists match up; it is not a forecast of a game."
            .into(),
    );
    card
}
