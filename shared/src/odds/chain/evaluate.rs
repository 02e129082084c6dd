//! The answer to a chain.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::armour::ArmourSpace;
use super::count::{self, Rolls, Tally};
use super::either::EitherSpace;
use super::gate::Attempts;
use super::graph::{Graph, Node};
use super::prepared::Prepared;
use super::{Aftermath, By, Chain, Kind, Step, Target, Volley, When, penetrate, statuses, table};

/// What comes of a chain.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer<N> {
    /// For each volley, its steps.
    pub steps: Vec<Vec<StepAnswer<N>>>,
    /// Attacks of all volleys.
    pub attacks: Distribution<N>,
    /// Successes past all steps.
    pub through: Distribution<N>,
    /// What the target loses.
    pub lost: Lost<N>,
    /// The chance that nothing is left.
    pub destroyed: N,
    /// Backfires that were not saved, where a step can backfire.
    pub backfires: Option<Distribution<N>>,
    /// The chance of each effect afterwards.
    pub aftermath: Vec<(String, N)>,
    /// Of each effect that comes with an attack: what comes of that, given that it happens.
    pub attacks_after: Vec<Option<Answer<N>>>,
    /// The values of the target's counters in the end.
    pub counters: Vec<(String, Distribution<N>)>,
    /// The chance that each effect of the counters holds in the end.
    pub effects: Vec<(String, N)>,
}

/// What comes of one step.
#[derive(Clone, Debug, PartialEq)]
pub struct StepAnswer<N> {
    /// The mean number of times that it is rolled, re-rolls not counted.
    pub reached: f64,
    /// The chance that one ordinary roll is in the attacker's favour.
    pub chance: N,
    /// How many came past it, where asked for.
    pub passed: Option<Distribution<N>>,
}

/// What the target loses.
#[derive(Clone, Debug, PartialEq)]
pub enum Lost<N> {
    /// Of soldiers.
    Soldiers {
        /// Points of health.
        health: Distribution<N>,
        /// Models.
        models: Distribution<N>,
    },
    /// Of armour.
    Armoured {
        /// Points of structure; a wreck counts all it had.
        structure: Distribution<N>,
        /// Units.
        wrecked: Distribution<N>,
        /// For each status, the chance that it came up on any unit.
        statuses: Vec<(String, N)>,
    },
}

/// The chance that one ordinary roll of a step is in the attacker's favour.
pub fn step_chance<N: Number>(step: &Step) -> N {
    match &step.kind {
        Kind::Roll(roll) => {
            let favours = |success: bool| success == (step.by == By::Attacker);
            if let Some((successes, all)) = roll.roll.ways_to_success() {
                return N::of_ways(if favours(true) { successes } else { all - successes }, all);
            }
            let mut sum = N::zero();
            let ends = roll.roll.score::<N>().outcomes;
            ends.iter().filter(|(outcome, _)| favours(outcome.success)).for_each(|(_, chance)| sum.add(chance));
            sum
        }
        Kind::Table(step) => table::goes_on(step),
        Kind::Penetrate(step) => {
            let [_, (_, mut graze), (_, breach)] = penetrate::score::<N>(step, &super::Change::default());
            graze.add(&breach);
            graze
        }
    }
}

/// The chance that one ordinary penetration roll just equals the armour; nothing where that is a breach, or of another step.
pub fn equal_chance<N: Number>(step: &Step) -> Option<N> {
    match &step.kind {
        Kind::Penetrate(step) if !step.equal_breaches => {
            let [_, (_, equals), _] = penetrate::score::<N>(step, &super::Change::default());
            Some(equals)
        }
        Kind::Penetrate(_) | Kind::Roll(_) | Kind::Table(_) => None,
    }
}

/// Whether a step or the gate speaks of backfires, likely or not.
fn can_backfire(volley: &Volley) -> bool {
    let backfires = |step: &Step| matches!(&step.kind, Kind::Roll(roll) if roll.roll.backfire.is_some());
    volley.gate.as_ref().is_some_and(|gate| gate.roll.backfire.is_some()) || volley.steps.iter().any(backfires)
}

impl Chain {
    /// Everything that comes of the chain; `passed` asks for how many came past each step.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// About attacks times the states of the target, see [`super::super::price`].
    pub fn evaluate<N: Number>(&self, passed: bool, token: &CancellationToken) -> Result<Answer<N>, Cancelled> {
        let mut answer = self.evaluate_volleys(passed, token)?;
        let of = |after: &Aftermath| after.attack.as_ref().map(|chain| chain.evaluate(passed, token)).transpose();
        answer.attacks_after = self.aftermath.iter().map(of).collect::<Result<_, _>>()?;
        Ok(answer)
    }

    fn evaluate_volleys<N: Number>(&self, passed: bool, token: &CancellationToken) -> Result<Answer<N>, Cancelled> {
        let read = self.target.counters().read_by(&self.volleys, false);
        let names = match &self.target {
            Target::Soldiers(_) => Vec::new(),
            Target::Armoured(armoured) => statuses(&self.volleys, armoured),
        };
        let inner = |volley| match &self.target {
            Target::Soldiers(_) => EitherSpace::new(&self.target, Some(volley), &self.volleys),
            Target::Armoured(armoured) => {
                EitherSpace::Armour(ArmourSpace::new(armoured, Some(volley), &self.volleys, &names))
            }
        };
        let prepared = Prepared::new(self, &read, inner);
        // Counts are followed where no chance of a mark stands beside the states.
        let aux_width = names.len() + 1;
        let plain = (aux_width > 1 && (!read.is_empty() || self.aftermath.iter().any(counts_passed)))
            .then(|| Prepared::plain(self));
        let counting = plain.as_ref().unwrap_or(&prepared);
        let start = match &prepared.space().inner {
            EitherSpace::Soldiers(_) => prepared.start(1),
            EitherSpace::Armour(space) => prepared.space().begin(&space.begin(), aux_width),
        };
        let mut shot = self.resolve_volleys(&prepared, counting, (start, aux_width), passed, token)?;
        let left = self.passed_while_left(counting, token)?;
        let end = prepared.space().alone(&std::mem::take(&mut shot.end), aux_width);
        let (lost, destroyed) = match &prepared.space().inner {
            EitherSpace::Soldiers(space) => {
                let health = project(&end, |state| space.health_lost(state));
                let models = project(&end, |state| space.removed(state));
                (Lost::Soldiers { health, models }, end.last().cloned().unwrap_or_else(N::zero))
            }
            EitherSpace::Armour(space) => {
                let (end, seen) = space.end(end);
                let structure = project(&end, |state| space.structure_lost(state));
                let wrecked = project(&end, |state| space.wrecked(state));
                let mut destroyed = N::zero();
                let gone = end.iter().enumerate().filter(|(state, _)| space.is_nothing_left(*state));
                gone.for_each(|(_, chance)| destroyed.add(chance));
                let statuses = names.iter().map(|name| (*name).to_owned()).zip(seen).collect();
                (Lost::Armoured { structure, wrecked, statuses }, destroyed)
            }
        };
        let (counters, effects) = self.counted(&read, token)?;
        Ok(Answer { counters, effects, ..self.sum_up(shot, lost, destroyed, left) })
    }

    /// On the states of `prepared`, so many numbers to each; counts that depend on the target are followed in `counting`.
    fn resolve_volleys<N: Number>(
        &self,
        prepared: &Prepared<'_, N>,
        counting: &Prepared<'_, N>,
        (mut state, aux_width): (Vec<N>, usize),
        passed: bool,
        token: &CancellationToken,
    ) -> Result<Shot<N>, Cancelled> {
        let mut shot = Shot {
            end: Vec::new(),
            steps: Vec::with_capacity(self.volleys.len()),
            attacks: Distribution::certain(0),
            through: Distribution::certain(0),
            backfires: None,
            passed: Vec::new(),
        };
        for (index, volley) in self.volleys.iter().enumerate() {
            let (graphs, depends) = (&prepared.graphs[index], prepared.depends(index));
            let Some(graph) = graphs.first() else { continue };
            let attempts = Attempts::of(volley);
            let attacks = &attempts.all;
            let run = prepared.run(index);
            let follows = depends.then(|| counting.run(index));
            let alone = if depends { counting.space().first_of(&state, aux_width) } else { Vec::new() };
            let mut rolls = Rolls::new();
            let counted = |counter: Tally, rolls: &mut Rolls| {
                let Some(run) = &follows else {
                    let of_attack = count::of_attack(graph, counter);
                    return Ok(match counter {
                        Tally::Backfires => attempts.backfires(&of_attack),
                        _ => attacks.compound(&of_attack),
                    });
                };
                let most = most_counted(graphs, counter, &attempts);
                rolls.clear();
                rolls.resize(volley.steps.len(), 0.0);
                run.count(&alone, &attempts, counter, most, rolls, token)
            };
            let through = counted(Tally::Through, &mut rolls)?;
            if !depends {
                let mean = attacks.expected();
                rolls = count::rolls_of_attack(graph, volley.steps.len());
                rolls.iter_mut().for_each(|roll| *roll *= mean);
            }
            let mut spare = Rolls::new();
            if can_backfire(volley) {
                let more = counted(Tally::Backfires, &mut spare)?;
                shot.backfires = Some(shot.backfires.map_or(more.clone(), |sum| sum.convolve(&more)));
            }
            let mut steps = Vec::with_capacity(volley.steps.len());
            for (at, step) in volley.steps.iter().enumerate() {
                let wanted = |after: &Aftermath| matches!(&after.when, When::Passed(name) if *name == step.name);
                let after = self.aftermath.iter().any(wanted);
                let count =
                    if passed || after { Some(counted(Tally::Passed(at), &mut spare)?.normalised()) } else { None };
                if let Some(count) = count.as_ref().filter(|_| after) {
                    shot.passed.push((step.name.clone(), count.clone()));
                }
                let count = count.filter(|_| passed);
                steps.push(StepAnswer {
                    reached: rolls[at],
                    chance: graph.favours[at].clone().unwrap_or_else(|| step_chance(step)),
                    passed: count,
                });
            }
            shot.steps.push(steps);
            shot.attacks = shot.attacks.convolve(attacks);
            shot.through = shot.through.convolve(&through);
            state = run.apply_attacks_beside(state, &attempts, aux_width, None, token)?;
        }
        shot.end = state;
        if self.volleys.len() > 1 && (0..self.volleys.len()).any(|volley| prepared.depends(volley)) {
            self.count_jointly(counting, &mut shot, token)?;
        }
        Ok(shot)
    }

    /// Where the numbers differ with what is hit, counts of several volleys depend on each other through the
    /// state between them: they are followed through all volleys.
    fn count_jointly<N: Number>(
        &self,
        prepared: &Prepared<'_, N>,
        shot: &mut Shot<N>,
        token: &CancellationToken,
    ) -> Result<(), Cancelled> {
        let counted = |of: &dyn Fn(&Volley) -> Option<Tally>| {
            let counters: Vec<_> = self.volleys.iter().map(of).collect();
            let attacks: Vec<_> = self.volleys.iter().map(Attempts::<N>::of).collect();
            let most =
                |at: usize| counters[at].map_or(0, |counter| most_counted(&prepared.graphs[at], counter, &attacks[at]));
            let aux_width = (0..attacks.len()).map(most).sum::<usize>() + 1;
            let mut state = prepared.start(aux_width);
            for (index, attacks) in attacks.iter().enumerate() {
                let run = prepared.run_for_counts(index);
                state = run.count_on(state, attacks, counters[index], aux_width, token)?;
            }
            let mut counts = vec![N::zero(); aux_width];
            state.chunks(aux_width).for_each(|part| N::add_scaled(&mut counts, &N::one(), part));
            Ok(Distribution::new(0, counts).unwrap_or_else(|| Distribution::certain(0)).normalised())
        };
        shot.through = counted(&|_| Some(Tally::Through))?;
        if shot.backfires.is_some() {
            shot.backfires = Some(counted(&|_| Some(Tally::Backfires))?);
        }
        let names: Vec<String> = shot.passed.iter().map(|(name, _)| name.clone()).collect();
        shot.passed.clear();
        for name in names {
            if shot.passed.iter().all(|(known, _)| *known != name) {
                let index = |volley: &Volley| volley.steps.iter().position(|step| step.name == name);
                let passed = counted(&|volley| index(volley).map(Tally::Passed))?;
                shot.passed.push((name, passed));
            }
        }
        Ok(())
    }

    fn sum_up<N: Number>(&self, shot: Shot<N>, lost: Lost<N>, destroyed: N, left: Vec<Option<Vec<N>>>) -> Answer<N> {
        let each = self.aftermath.iter().zip(left);
        let chance = |(after, left): (&Aftermath, Option<Vec<N>>)| {
            let chance = match left {
                Some(counts) => after.chance((0..).zip(&counts)),
                None => after.chance_of(&self.target, &lost, &shot.passed),
            };
            (after.effect.clone(), chance)
        };
        let aftermath = each.map(chance).collect();
        Answer {
            steps: shot.steps,
            attacks: shot.attacks.normalised(),
            through: shot.through.normalised(),
            backfires: shot.backfires.map(Distribution::normalised),
            lost,
            destroyed,
            aftermath,
            attacks_after: Vec::new(),
            counters: Vec::new(),
            effects: Vec::new(),
        }
    }
}

/// What the volleys came to.
struct Shot<N> {
    end: Vec<N>,
    steps: Vec<Vec<StepAnswer<N>>>,
    attacks: Distribution<N>,
    through: Distribution<N>,
    backfires: Option<Distribution<N>>,
    /// For the aftermath: a step's name and how many came past it.
    passed: Vec<(String, Distribution<N>)>,
}

/// How much all attacks of a volley can add to a count at most.
pub(super) fn most_counted<N: Number>(graphs: &[Graph<N>], counter: Tally, attempts: &Attempts<N>) -> usize {
    let of_gate = if counter == Tally::Backfires { attempts.most_of_gate() } else { 0 };
    let most = graphs.iter().map(|graph| most_per_attack(graph, counter)).max().unwrap_or(0);
    attempts.all.highest() as usize * most + of_gate
}

fn counts_passed(after: &Aftermath) -> bool {
    matches!(after.when, When::Passed(_))
}

/// How much one attack can add to a count at most.
fn most_per_attack<N: Number>(graph: &Graph<N>, counter: Tally) -> usize {
    let mut most: Vec<usize> = Vec::with_capacity(graph.nodes.len());
    for node in &graph.nodes {
        most.push(match node {
            Node::AttackOutcome(_) => usize::from(counter == Tally::Through),
            Node::Step { step, variants } => {
                let branches = variants.iter().flat_map(|variant| &variant.branches);
                let of_branch = |branch: &super::graph::Branch<N>| {
                    let own = usize::from(counter.of_branch(*step, branch));
                    let Some(next) = &branch.next else { return own };
                    let extra = next.extra.as_ref().map_or(0, |(extra, node)| {
                        let each = most[*node] + usize::from(counter == Tally::Passed(*step));
                        extra.highest() as usize * each
                    });
                    own + most[next.main] + extra
                };
                branches.map(of_branch).max().unwrap_or(0)
            }
        });
    }
    most.pop().unwrap_or(0)
}

/// The distribution of what `read` makes of the states.
pub(super) fn project<N: Number>(states: &[N], read: impl Fn(usize) -> i64) -> Distribution<N> {
    let values = states.iter().enumerate().filter(|(_, chance)| !chance.is_zero());
    let pairs = values.map(|(state, chance)| (read(state), chance));
    let (mut lowest, mut highest) = (i64::MAX, i64::MIN);
    pairs.clone().for_each(|(value, _)| (lowest, highest) = (lowest.min(value), highest.max(value)));
    let mut chances = vec![N::zero(); usize::try_from(highest - lowest + 1).unwrap_or(1)];
    pairs.for_each(|(value, chance)| chances[(value - lowest) as usize].add(chance));
    Distribution::new(lowest, chances).unwrap_or_else(|| Distribution::certain(0)).normalised()
}
