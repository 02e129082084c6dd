//! Drawing tokens or cards without putting them back: how many of each colour come, and when the drawing ends.
//!
//! The drawing stops after `draws` tokens, or as soon as one of the ending colours has come as often as it must.
//! Only the ending colours decide that, so they are followed one by one and all the others as one heap; how the
//! heap's draws fall among its colours is worked out afterwards.
use super::cancellation::{CancellationToken, Cancelled};
use super::distribution::Distribution;
use super::number::Number;

mod share;
use share::{all_wanted, each_share};

/// A bag, and how it is drawn from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draw {
    contents: Vec<Colour>,
    draws: u32,
}

/// The tokens of one colour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Colour {
    /// What it is called.
    pub name: String,
    /// How many there are.
    pub count: u32,
    /// With this many of them drawn the drawing ends.
    pub ends_on: Option<u32>,
    /// How many of them are wanted.
    pub wanted: Option<u32>,
}

/// What can be wrong with a bag.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DrawError {
    /// No token, or too many of them.
    #[error("1 to 1000 tokens in all")]
    Tokens,
    /// More draws than tokens, or none.
    #[error("1 draw to as many as there are tokens")]
    Draws,
    /// An ending that comes before the first draw.
    #[error("the drawing ends on 1 or more of a colour")]
    EndsOnNone(String),
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawAnswer<N> {
    /// How many tokens are drawn.
    pub drawn: Distribution<N>,
    /// An ending colour stopped the drawing, its last token counted among the draws.
    pub ended: N,
    /// For each draw, the chance that an ending colour stops the drawing with it.
    pub ends: Vec<N>,
    /// For each colour, how many of it are drawn.
    pub colours: Vec<Distribution<N>>,
    /// For each colour, the chance that the first token is of it.
    pub first: Vec<N>,
    /// All that is wanted is among the tokens drawn: that much or more of each, and exactly that much of each.
    pub wanted: Option<(N, N)>,
}

/// One way for the drawing to stop: how many of each ending colour, how many of the heap.
struct Stop<N> {
    ending: Vec<u32>,
    heap: u32,
    chance: N,
}

impl Draw {
    /// A bag and the most draws from it.
    ///
    /// # Errors
    /// Every mistake found.
    pub fn new(contents: Vec<Colour>, draws: u32) -> Result<Self, Vec<DrawError>> {
        let total: u64 = contents.iter().map(|colour| u64::from(colour.count)).sum();
        let mut errors = Vec::new();
        if !(1..=1_000).contains(&total) {
            errors.push(DrawError::Tokens);
        } else if draws == 0 || u64::from(draws) > total {
            errors.push(DrawError::Draws);
        }
        let never = contents.iter().filter(|colour| colour.ends_on == Some(0));
        errors.extend(never.map(|colour| DrawError::EndsOnNone(colour.name.clone())));
        if errors.is_empty() { Ok(Self { contents, draws }) } else { Err(errors) }
    }

    /// The colours.
    pub fn contents(&self) -> &[Colour] {
        &self.contents
    }

    /// The most draws.
    pub fn draws(&self) -> u32 {
        self.draws
    }

    /// All the tokens.
    pub fn total(&self) -> u32 {
        self.contents.iter().map(|colour| colour.count).sum()
    }

    /// For each colour that may end the drawing, after how many of it.
    pub fn ending(&self) -> impl Iterator<Item = u32> + Clone {
        self.contents.iter().filter_map(Colour::ending)
    }

    /// For each colour that is wanted, how many there are and how many are wanted.
    pub fn wanted(&self) -> impl Iterator<Item = (u32, u32)> {
        self.contents.iter().filter_map(|colour| colour.wanted.map(|wanted| (colour.count, wanted)))
    }

    /// Everything that comes of the draws.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// The draws times the states of the ending colours; for each other colour the draws times its tokens.
    pub fn evaluate<N: Number>(&self, token: &CancellationToken) -> Result<DrawAnswer<N>, Cancelled> {
        let (stops, ends) = self.stops::<N>(token)?;
        let mut ended = N::zero();
        ends.iter().for_each(|chance| ended.add(chance));
        let mut drawn = vec![N::zero(); self.draws as usize + 1];
        let mut heaps = vec![N::zero(); self.draws as usize + 1];
        for stop in &stops {
            drawn[(stop.ending.iter().sum::<u32>() + stop.heap) as usize].add(&stop.chance);
            heaps[stop.heap as usize].add(&stop.chance);
        }
        let heap = self.heap();
        let mut place = 0;
        let mut colours = Vec::with_capacity(self.contents.len());
        for colour in &self.contents {
            token.check()?;
            let mut counts = vec![N::zero(); colour.count as usize + 1];
            if colour.ending().is_some() {
                stops.iter().for_each(|stop| counts[stop.ending[place] as usize].add(&stop.chance));
                place += 1;
            } else {
                each_share(colour.count, heap, self.draws.min(heap), |drawn, shares| {
                    N::add_scaled(&mut counts, &heaps[drawn as usize], shares);
                });
            }
            colours.push(distribution(counts));
        }
        let total = u64::from(self.total());
        Ok(DrawAnswer {
            drawn: distribution(drawn),
            ended,
            ends,
            colours,
            first: self.contents.iter().map(|colour| N::ratio(u64::from(colour.count), total)).collect(),
            wanted: self.wanted().next().is_some().then(|| all_wanted(self, &stops)),
        })
    }

    /// Tokens of colours that end nothing.
    fn heap(&self) -> u32 {
        self.contents.iter().filter(|colour| colour.ending().is_none()).map(|colour| colour.count).sum()
    }

    /// All the ways to stop, and for each draw the chance that an ending colour stops it there.
    fn stops<N: Number>(&self, token: &CancellationToken) -> Result<(Vec<Stop<N>>, Vec<N>), Cancelled> {
        let ending: Vec<(u32, u32)> =
            self.contents.iter().filter_map(|colour| Some((colour.count, colour.ending()?))).collect();
        let states = ending.iter().fold(1, |states, (_, needed)| states * (*needed as usize + 1));
        let heap = self.heap();
        let mut going = vec![N::zero(); states];
        going[0] = N::one();
        let mut stops = Vec::new();
        let mut ends = Vec::new();
        for draw in 0..self.draws {
            token.check()?;
            let left = u64::from(self.total() - draw);
            let mut next = vec![N::zero(); states];
            let mut ended = N::zero();
            for (state, chance) in going.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
                let counts = read(state, &ending);
                let of_heap = draw - counts.iter().sum::<u32>();
                if heap > of_heap {
                    next[state].add_product(chance, &N::ratio(u64::from(heap - of_heap), left));
                }
                let mut stride = 1;
                for (place, (count, needed)) in ending.iter().enumerate() {
                    if *count > counts[place] {
                        let came = chance.times(&N::ratio(u64::from(count - counts[place]), left));
                        if counts[place] + 1 == *needed {
                            ended.add(&came);
                            let mut ending = counts.clone();
                            ending[place] += 1;
                            stops.push(Stop { ending, heap: of_heap, chance: came });
                        } else {
                            next[state + stride].add(&came);
                        }
                    }
                    stride *= *needed as usize + 1;
                }
            }
            ends.push(ended);
            going = next;
        }
        for (state, chance) in going.into_iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let ending = read(state, &ending);
            let heap = self.draws - ending.iter().sum::<u32>();
            stops.push(Stop { ending, heap, chance });
        }
        Ok((stops, ends))
    }
}

impl Colour {
    /// The number that ends the drawing, where there are so many.
    fn ending(&self) -> Option<u32> {
        self.ends_on.filter(|needed| *needed <= self.count)
    }
}

/// How many of each ending colour a state stands for.
fn read(mut state: usize, ending: &[(u32, u32)]) -> Vec<u32> {
    let mut digit = |needed: u32| {
        let count = state % (needed as usize + 1);
        state /= needed as usize + 1;
        count as u32
    };
    ending.iter().map(|(_, needed)| digit(*needed)).collect()
}

fn distribution<N: Number>(counts: Vec<N>) -> Distribution<N> {
    Distribution::new(0, counts).unwrap_or_else(|| Distribution::certain(0)).normalised()
}
