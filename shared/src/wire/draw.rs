//! `draw`: tokens or cards out of a bag, without putting them back.
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{PreparedQuery, Question};
use super::summary::{Chance, Summary};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::draw::{Colour, Draw, DrawAnswer, DrawError};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A bag, and how it is drawn from.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DrawRequest {
    /// How many tokens of each colour; 1 to 1000 in all, of at most 50 colours.
    #[schema(example = json!({"red": 4, "blue": 3, "end": 1}))]
    pub contents: BTreeMap<String, u32>,
    /// How many are drawn, unless the drawing ends before; all of them where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub draws: Option<u32>,
    /// The drawing ends with the token that brings any of these colours to its number.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = json!({"end": 1}))]
    pub ends_on: Option<BTreeMap<String, u32>>,
    /// What is hoped for: the chance that all of these come together is answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = json!({"red": 2, "blue": 1}))]
    pub wanted: Option<BTreeMap<String, u32>>,
    /// Work in exact fractions and show them in every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// What comes out of the bag.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DrawOutcome {
    /// How many tokens are drawn, the one that ends the drawing counted in.
    pub drawn: Summary,
    /// For each colour, what comes of it.
    pub colours: BTreeMap<String, ColourOdds>,
    /// With `ends_on`: the drawing was ended by a colour, not by the number of draws.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ended: Option<Chance>,
    /// With `ends_on`: when.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ends: Option<Vec<EndRow>>,
    /// With `wanted`: the chance of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wanted: Option<WantedOdds>,
}

/// What comes of one colour.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ColourOdds {
    /// How many of it are drawn.
    pub drawn: Summary,
    /// At least one is.
    pub any: Chance,
    /// The first token of all is of this colour.
    pub first: Chance,
}

/// Whether a colour ends the drawing with one draw.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct EndRow {
    /// Which draw, from 1.
    pub draw: u32,
    /// With this draw.
    pub chance: f64,
    /// With this draw or before.
    pub by: f64,
}

/// The chance of all that is wanted together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WantedOdds {
    /// So many or more of each colour that was named.
    pub at_least: Chance,
    /// Exactly so many of each of them.
    pub exactly: Chance,
}

/// A bag ready to be drawn from.
#[derive(Clone, Debug)]
pub struct PreparedDraw {
    draw: Draw,
    exact: bool,
}

impl PreparedDraw {
    /// The bag and the draws.
    pub fn draw(&self) -> &Draw {
        &self.draw
    }
}

impl Question for DrawRequest {
    const PATH: &'static str = "draw";
    type Prepared = PreparedDraw;

    fn resolve(self, _catalog: &PackCatalog) -> Result<PreparedDraw, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        for (field, named) in [("ends_on", &self.ends_on), ("wanted", &self.wanted)] {
            for name in named.iter().flat_map(BTreeMap::keys).filter(|name| !self.contents.contains_key(*name)) {
                let at = pointer(format_args!("/{field}"), name);
                mistakes.push(Mistake::value(at, "there is no token of this colour in the contents"));
            }
        }
        if self.contents.len() > 50 {
            mistakes.push(Mistake::value("/contents", "at most 50 colours"));
        }
        let total = self.contents.values().fold(0u32, |sum, count| sum.saturating_add(*count));
        let find = |map: &Option<BTreeMap<String, u32>>, name: &str| map.as_ref()?.get(name).copied();
        let colours = self.contents.iter().map(|(name, count)| Colour {
            name: name.clone(),
            count: *count,
            ends_on: find(&self.ends_on, name),
            wanted: find(&self.wanted, name),
        });
        let draw = match Draw::new(colours.collect(), self.draws.unwrap_or(total)) {
            Ok(draw) => Some(draw),
            Err(errors) => {
                for error in errors {
                    let at = match &error {
                        DrawError::Tokens => "/contents".to_owned(),
                        DrawError::Draws => "/draws".to_owned(),
                        DrawError::EndsOnNone(name) => pointer("/ends_on", name),
                    };
                    mistakes.push(Mistake::value(at, error.to_string()));
                }
                None
            }
        };
        mistakes.or(draw.map(|draw| PreparedDraw { draw, exact: self.exact.unwrap_or(false) }))
    }
}

impl PreparedDraw {
    fn ends(&self) -> bool {
        self.draw.contents().iter().any(|colour| colour.ends_on.is_some())
    }

    fn summarise<N: Number>(&self, of: &DrawAnswer<N>) -> DrawOutcome {
        let each = self.draw.contents().iter().zip(&of.colours).zip(&of.first);
        let colours = each.map(|((colour, drawn), first)| {
            let odds =
                ColourOdds { drawn: drawn.into(), any: Chance::from(&drawn.at_least(1)), first: Chance::from(first) };
            (colour.name.clone(), odds)
        });
        let mut by = N::zero();
        let ends = of.ends.iter().zip(1..).map(|(chance, draw)| {
            by.add(chance);
            EndRow { draw, chance: chance.to_f64(), by: by.to_f64().min(1.0) }
        });
        DrawOutcome {
            drawn: Summary::from(&of.drawn),
            colours: colours.collect(),
            ended: self.ends().then(|| Chance::from(&of.ended)),
            ends: self.ends().then(|| ends.collect()),
            wanted: of.wanted.as_ref().map(|(at_least, exactly)| WantedOdds {
                at_least: Chance::from(at_least),
                exactly: Chance::from(exactly),
            }),
        }
    }
}

impl PreparedQuery for PreparedDraw {
    type Answer = DrawOutcome;

    fn canonical(&self) -> impl Serialize {
        let colours = self.draw.contents().iter();
        let colours: Vec<_> =
            colours.map(|c| serde_json::json!([c.name.as_str(), c.count, c.ends_on, c.wanted])).collect();
        serde_json::json!({ "draw": colours, "draws": self.draw.draws(), "exact": self.exact })
    }

    fn price(&self) -> Work {
        price::draw(&self.draw, self.exact)
    }

    fn bytes(&self) -> Work {
        bytes::draw(&self.draw, self.exact)
    }

    fn answer(&self, token: &CancellationToken) -> Result<DrawOutcome, Cancelled> {
        Ok(if self.exact {
            self.summarise(&self.draw.evaluate::<Exact>(token)?)
        } else {
            self.summarise(&self.draw.evaluate::<f64>(token)?)
        })
    }
}
