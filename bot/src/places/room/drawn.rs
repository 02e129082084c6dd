//! A card as the page gets it: every text made harmless, the chart drawn.
use crate::card::{Card, Sort};
use crate::places::plain::{line, text};
use crate::saying::percent;
use pipwright_shared::report::palette::Theme;
use serde::Serialize;

/// A card for the page.
#[derive(Clone, Debug, Serialize)]
pub struct Drawn {
    sort: &'static str,
    headline: String,
    read_as: String,
    lines: Vec<Pair>,
    text: Vec<String>,
    steps: Vec<Step>,
    chart: Option<Chart>,
    notes: Vec<String>,
    follow_ups: Vec<FollowUp>,
    link: Option<Link>,
    /// The pack that the room plays by from now on, where it has changed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pack: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
struct Pair {
    label: String,
    value: String,
}

#[derive(Clone, Debug, Serialize)]
struct Step {
    name: String,
    text: String,
    because: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct Chart {
    title: String,
    svg: String,
    /// The same for those who read it.
    bars: Vec<Pair>,
}

#[derive(Clone, Debug, Serialize)]
struct FollowUp {
    label: String,
    says: String,
}

#[derive(Clone, Debug, Serialize)]
struct Link {
    text: String,
    /// Where people can reach it.
    address: Option<String>,
}

impl Drawn {
    /// Draws a card; permanent links stand below `links`, where people can reach the service.
    pub fn of(card: &Card, links: Option<&str>) -> Self {
        let pair = |label: &str, value: &str| Pair { label: line(label), value: line(value) };
        let lines = |texts: &[String]| texts.iter().map(|text| line(text)).collect();
        let step = |step: &crate::card::Step| Step {
            name: line(&step.name),
            text: line(&step.text),
            because: lines(&step.because),
        };
        let chart = |chart: &crate::card::Chart| Chart {
            title: line(&chart.title),
            svg: line(&chart.svg(Theme::Light)),
            bars: chart.bars.iter().map(|bar| pair(&bar.label, &percent(bar.chance))).collect(),
        };
        let follow_up = |way: &crate::card::FollowUp| FollowUp { label: line(&way.label), says: text(&way.says) };
        let link =
            |link: &crate::link::Link| Link { text: link.to_string(), address: links.map(|links| link.at(links)) };
        Self {
            sort: match card.sort {
                Sort::Answer => "answer",
                Sort::Question => "question",
                Sort::Refusal => "refusal",
                Sort::Trouble => "trouble",
            },
            headline: line(&card.headline),
            read_as: line(&card.read_as),
            lines: card.lines.iter().map(|line| pair(&line.label, &line.value)).collect(),
            text: card.text.iter().map(|paragraph| text(paragraph)).collect(),
            steps: card.steps.iter().map(step).collect(),
            chart: card.chart.as_ref().map(chart),
            notes: lines(&card.notes),
            follow_ups: card.follow_ups.iter().map(follow_up).collect(),
            link: card.link.as_ref().map(link),
            pack: card.pack.clone(),
        }
    }
}
