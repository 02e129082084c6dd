//! What is asked back.
use super::{exampled, understood};
use crate::card::{Card, Sort, Unfinished};
use crate::client::index::PackIndex;
use crate::typing::{self, assign::assign};
use crate::understand::choose::Outcome;
use crate::understand::speak;

/// The card of a question back, or of what is no question.
pub(super) fn asked_back(outcome: Outcome, text: &str, index: Option<&PackIndex>) -> Card {
    let nameless = PackIndex::default();
    match outcome {
        Outcome::Ask { question, command, option, offers, choices } => {
            let mut card = Card::saying(Sort::Question, exampled(question, index));
            if let Some(option) = option {
                let told = speak::understood(index.unwrap_or(&nameless), text);
                let said = typing::tokens(text, index);
                let typed = || understood(&assign(text, &said, command, index));
                // Of a fight the grammar of sides says who was found on which side.
                let fought = ["matchup", "duel", "needed", "compare"].contains(&command.name);
                card.text.extend(if fought { told } else { typed() });
                let text = format!("/{} {}", command.name, text.trim());
                card.unfinished = Some(Unfinished { text, option: Some(option), lines: option == "list" });
            }
            let said = offers.iter().filter_map(|offer| speak::sentence(index.unwrap_or(&nameless), offer));
            said.for_each(|sentence| card.follow_up(sentence.clone(), sentence));
            if !offers.is_empty() && card.follow_ups.is_empty() {
                card.headline = speak::unshown(&card.headline);
            }
            choices.into_iter().for_each(|choice| card.follow_up(choice.clone(), choice));
            card
        }
        Outcome::Nothing | Outcome::Answer(_) => Card::saying(
            Sort::Refusal,
            "That is not a question I can answer. `/help` shows what I know, for example `/check 2d6 7+`.",
        ),
    }
}
