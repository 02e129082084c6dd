//! A card as a message: the sentence that settles it first, then short lines, the chart as a picture, buttons to ask on.
use super::button::Press;
use super::payload::{Attachment, Embed, Footer, Image, Message};
use super::text::{Text, harmless, length};
use crate::card::{Card, Chart, Sort};
use crate::link::Link;
use crate::places::plain;
use pipwright_shared::report::palette::Theme;

/// The name of the picture, where a message has one.
pub const PICTURE: &str = "chart.png";

/// The longest address that the platform takes.
const LONGEST_LINK: usize = 2048;

/// A message with its picture.
#[derive(Clone, Debug, Default)]
pub struct Drawn {
    /// The message.
    pub message: Message,
    /// The picture, as PNG.
    pub picture: Option<Vec<u8>>,
}

impl Drawn {
    /// One sentence.
    pub fn saying(text: &str) -> Self {
        Self { message: Message::saying(text), picture: None }
    }
}

/// A chart painted; none where it can't be, and the answer then goes without.
fn painted(chart: &Chart) -> Option<Vec<u8>> {
    chart.png().inspect_err(|error| tracing::error!(%error, "a chart could not be painted")).ok()
}

/// Draws a card; permanent links stand below `links`, where people can reach the service.
pub fn card(card: &Card, links: Option<&str>) -> Drawn {
    let mut message = Message::saying(&card.headline);
    let picture = card.chart.as_ref().and_then(painted);
    let mut embed = Embed { title: Text::marked(&card.read_as), color: stripe(card.sort), ..Embed::default() };
    let mut parts: Vec<Vec<String>> = Vec::new();
    for line in &card.lines {
        parts.extend([said(&line.label), own(": **"), said(&line.value), own("**\n")]);
    }
    for text in &card.text {
        parts.extend([harmless(&plain::text(text)), own("\n")]);
    }
    for note in &card.notes {
        parts.extend([own("-# "), said(note), own("\n")]);
    }
    embed.description = Text::of(parts);
    let linked = card.link.as_ref().is_some_and(|link| place(&mut embed, link, links));
    if let Some(chart) = card.chart.as_ref().filter(|_| picture.is_some()) {
        embed.image = Some(Image { url: format!("attachment://{PICTURE}") });
        message.attachments.push(Attachment { id: 0, filename: PICTURE, description: Text::plain(&chart.alt) });
    }
    buttons(&mut message, card, linked);
    let bare = embed.description.is_empty() && embed.title.is_empty() && embed.image.is_none() && !linked;
    message.embeds = (!bare).then_some(embed);
    Drawn { message, picture }
}

/// The working of a card.
pub fn steps(card: &Card) -> Message {
    if card.steps.is_empty() {
        return Message::saying("There is nothing more to show: the answer is all of its working.");
    }
    let mut message = Message::saying(&card.headline);
    let mut parts: Vec<Vec<String>> = Vec::new();
    for step in &card.steps {
        parts.extend([own("**"), said(&step.name), own("** "), said(&step.text), own("\n")]);
        for reason in &step.because {
            parts.extend([own("-# "), said(reason), own("\n")]);
        }
    }
    let title = Text::marked(&card.read_as);
    message.embeds = Some(Embed { title, description: Text::of(parts), color: stripe(card.sort), ..Embed::default() });
    message
}

/// The link of the answer that a message holds.
pub fn link_of(url: Option<&str>, footer: Option<&str>) -> Option<Link> {
    [footer, url].into_iter().flatten().find_map(|text| crate::link::parse(text.trim()))
}

/// Puts the link where a pressed button finds it again.
fn place(embed: &mut Embed, link: &Link, links: Option<&str>) -> bool {
    let address = links.map(|links| link.at(links));
    if address.as_deref().map_or_else(|| length(&link.to_string()), length) > LONGEST_LINK {
        return false;
    }
    match address {
        Some(address) => {
            embed.title = std::mem::take(&mut embed.title).or("This answer");
            embed.url = Some(address);
        }
        None => embed.footer = Some(Footer { text: Text::plain(&link.to_string()) }),
    }
    true
}

fn buttons(message: &mut Message, card: &Card, linked: bool) {
    for way in &card.follow_ups {
        let press = match &card.unfinished {
            Some(unfinished) => Press::Ask(unfinished.with(&way.says)),
            None if linked && !way.says.starts_with('/') => Press::Again(way.says.clone()),
            None => Press::Ask(way.says.clone()),
        };
        message.components.add(&way.label, press.id());
    }
    if let Some(unfinished) = &card.unfinished {
        message.components.add("Answer", Press::Form(unfinished.clone()).id());
    }
    if linked && !card.steps.is_empty() {
        message.components.add("Steps", Press::Steps.id());
    }
}

fn said(text: &str) -> Vec<String> {
    harmless(&plain::line(text))
}

fn own(text: &str) -> Vec<String> {
    vec![text.to_owned()]
}

/// The colour at the side; what it says stands in words as well.
fn stripe(sort: Sort) -> u32 {
    let colours = Theme::Light.palette();
    let colour = match sort {
        Sort::Answer => colours.strong,
        Sort::Question => colours.faint,
        Sort::Refusal | Sort::Trouble => colours.alarm,
    };
    u32::from_str_radix(colour.trim_start_matches('#'), 16).unwrap_or_default()
}
