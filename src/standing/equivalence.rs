//! Whether each candidate is no worse than one blend, within a margin: what the runs of two blends still leave open of
//! their difference, test by test and over the main failure modes of the machine.

use crate::catalogue::{Mode, Use};
use crate::records::{Asked, BlendCode, GateOutcome, Role, TestKey, TrialRecords};
use crate::standing::evidence::{Cell, exact};
use crate::standing::levels::Block;
use crate::standing::prepare::{Prepared, Test};
use crate::standing::shifts::{Adjust, shifts};
use crate::standing::spread::Spread;
use crate::standing::summary::{GateStanding, Standing};
use crate::standing::verdicts::share_a_block;
use crate::standing::{NotSorting, NotWeighed};
use crate::stats::cell::{Distribution, Grid, Likelihoods, Mixture, Posterior, Prior};
use crate::stats::difference::{Part, quantile_of_parts, quantile_of_values};
use crate::stats::lattice;
use crate::stats::observation::Observation;
use crate::stats::severity::BlockShift;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What a trial answers that asks whether candidates are no worse than one blend.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalence {
    /// The blend that they are held against.
    pub against: BlendCode,
    /// By how many critical differences of single runs one may be worse.
    pub margin: f64,
    /// Every candidate but that blend, in the trial's order.
    pub candidates: Vec<NoWorse>,
}

/// The answer for one candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct NoWorse {
    /// The candidate.
    pub blend: BlendCode,
    /// What can be said of it.
    pub answer: Answer,
    /// Test by test; those that the question leaves out are not there.
    pub tests: Vec<ComparedTest>,
    /// Main failure modes of the machine that no test run on both scores, and no requirement with a result.
    pub untested: Vec<Mode>,
    /// Requirements that it has not clearly met.
    pub unmet: Vec<GateStanding>,
}

/// Whether a candidate is no worse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Answer {
    /// Every test that was run lies inside the margin, every main mode is tested, every requirement met.
    Yes,
    /// Something is left open.
    Open,
    /// Worse by more than the margin in a test, or a requirement failed.
    No,
}

/// Two blends in one test.
#[derive(Clone, Debug, PartialEq)]
pub struct ComparedTest {
    /// Method and quantity.
    pub key: TestKey,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// What is said of the two.
    pub told: Result<Told, NotTold>,
}

/// What the runs of two blends say of their difference, on the working scale of the test; positive where the candidate is
/// better.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// The difference: of the means where all runs are readings, severity adjusted.
    pub difference: f64,
    /// 5 % point of what is left open.
    pub lo: f64,
    /// 95 % point.
    pub hi: f64,
    /// What one run on each must differ by to be told apart: the repeatability where the two share a rig and campaign,
    /// else the reproducibility. It is the yardstick of the margin, and does not shrink with the number of runs.
    pub critical: f64,
    /// Where the difference lies beside the margin.
    pub within: Within,
    /// Whether runs of both ended beyond the scale of the test, where it tells nothing apart.
    pub both_capped: bool,
}

/// Where a difference lies beside a margin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Within {
    /// No worse by more than the margin, whatever the runs leave open.
    Inside,
    /// It may be worse by more.
    Open,
    /// Worse by more, whatever the runs leave open.
    Worse,
}

/// Why nothing is said of two blends in a test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotTold {
    /// One of the two, or both, have no result.
    NotRun(Vec<BlendCode>),
    /// A run of one was stopped for cause.
    Stopped(BlendCode),
    /// Nothing says how far its results scatter.
    NoPrecision,
    /// It does not tell good from poor oils in this trial, so that no difference there means nothing.
    DoesNotSort(NotSorting),
}

impl Answer {
    /// Its word for programs.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

impl Told {
    /// By how many critical differences the candidate may still be worse; 0 where it cannot be.
    pub fn worst(&self) -> f64 {
        (-self.lo / self.critical).max(0.0)
    }

    /// By how many critical differences the candidate is worse at least; 0 where it need not be.
    pub fn least(&self) -> f64 {
        (-self.hi / self.critical).max(0.0)
    }
}

impl NoWorse {
    /// The tests that say something, with what they say.
    pub fn told(&self) -> impl Iterator<Item = (&ComparedTest, &Told)> {
        let tests = self.tests.iter();
        tests.filter_map(|test| Some((test, test.told.as_ref().ok()?)))
    }

    /// The test that leaves the greatest difference to the worse open.
    pub fn greatest(&self) -> Option<(&ComparedTest, &Told)> {
        self.told()
            .max_by(|a, b| a.1.worst().total_cmp(&b.1.worst()).then(b.0.key.cmp(&a.0.key)))
    }
}

/// What a trial answers; `None` where it asks which blend to choose.
pub(crate) fn equivalence(
    records: &TrialRecords,
    prepared: &Prepared,
    standing: &Standing,
) -> Option<Equivalence> {
    let Asked::NoWorse { against, margin } = records.trial.asked() else {
        return None;
    };
    let others = records
        .with_role(Role::Candidate)
        .filter(|blend| *blend != against);
    let asked = Case {
        records,
        prepared,
        standing,
        against,
        margin,
    };
    Some(Equivalence {
        against: against.clone(),
        margin,
        candidates: others.map(|blend| asked.of(blend)).collect(),
    })
}

struct Case<'c, 'a> {
    records: &'c TrialRecords,
    prepared: &'c Prepared<'a>,
    standing: &'c Standing,
    against: &'c BlendCode,
    margin: f64,
}

impl<'a> Case<'_, 'a> {
    fn of(&self, blend: &BlendCode) -> NoWorse {
        let tests = self.tests();
        let compared: Vec<ComparedTest> = tests.iter().map(|test| self.compared(test, blend)).collect();
        let gates = self.standing.gates.iter().filter(|gate| &gate.blend == blend);
        let unmet: Vec<GateStanding> = gates
            .filter(|gate| gate.outcome != GateOutcome::Pass)
            .cloned()
            .collect();
        let untested = self.untested(blend, &tests, &compared);
        NoWorse {
            blend: blend.clone(),
            answer: answer(&compared, &untested, &unmet),
            tests: compared,
            untested,
            unmet,
        }
    }

    /// The tests that are weighed and that the question leaves in.
    fn tests(&self) -> Vec<&Test<'a>> {
        let tests = self.prepared.tests.iter();
        let asked = tests.filter(|test| test.evidence.test.used_to == Use::Weigh);
        asked
            .filter(|test| self.excluded(test) != Some(&NotWeighed::LeftOut))
            .collect()
    }

    fn excluded(&self, test: &Test) -> Option<&NotWeighed> {
        self.standing.test(test.evidence.key())?.excluded.as_ref()
    }

    fn compared(&self, test: &Test, blend: &BlendCode) -> ComparedTest {
        let evidence = &test.evidence;
        ComparedTest {
            key: evidence.key().clone(),
            label: evidence.quantity.label.clone(),
            standard: evidence.method.standard.clone(),
            told: self.told(test, blend),
        }
    }

    fn told(&self, test: &Test, blend: &BlendCode) -> Result<Told, NotTold> {
        let run = |blend: &BlendCode| test.evidence.cell(blend).filter(|cell| cell.is_run());
        let (Some(own), Some(other)) = (run(blend), run(self.against)) else {
            let missing = [blend, self.against]
                .into_iter()
                .filter(|blend| run(blend).is_none());
            return Err(NotTold::NotRun(missing.cloned().collect()));
        };
        if let Some(cell) = [own, other].into_iter().find(|cell| !cell.stopped.is_empty()) {
            return Err(NotTold::Stopped(cell.blend.clone()));
        }
        if let Some(NotWeighed::DoesNotSort { reason, .. }) = self.excluded(test) {
            return Err(NotTold::DoesNotSort(*reason));
        }
        let spread = test.spread.as_ref().ok_or(NotTold::NoPrecision)?;
        let open = Pair::new(test, spread)
            .open(own, other)
            .ok_or(NotTold::NoPrecision)?;
        let critical = if share_a_block(own, other) {
            spread.repeatability
        } else {
            spread.reproducibility
        };
        let capped = |cell: &Cell| {
            let top = test.evidence.working_cap();
            let beyond = |observation| matches!(observation, Observation::Above(from) if Some(from) >= top);
            top.is_some() && cell.runs.iter().any(|run| beyond(run.observation))
        };
        Ok(Told {
            difference: open.mean,
            lo: open.lo,
            hi: open.hi,
            critical,
            within: within(open.lo, open.hi, self.margin * critical),
            both_capped: capped(own) && capped(other),
        })
    }

    /// Main modes of the machine that neither a test which says something scores, nor a requirement with a result.
    fn untested(&self, blend: &BlendCode, tests: &[&Test], compared: &[ComparedTest]) -> Vec<Mode> {
        let main: BTreeSet<Mode> = (self.records.machine.contacts.iter())
            .flat_map(|contact| contact.main_modes.iter().copied())
            .collect();
        let by_test = |mode: Mode| {
            let mut both = tests.iter().zip(compared);
            both.any(|(test, one)| one.told.is_ok() && test.evidence.quantity.scores(mode))
        };
        let by_gate = |mode: Mode| {
            let gates = self.prepared.tests.iter().map(|test| &test.evidence);
            let mut gates = gates.filter(|evidence| evidence.test.used_to == Use::Gate);
            gates.any(|evidence| {
                let run = evidence.cell(blend).is_some_and(|cell| !cell.results.is_empty());
                run && evidence.quantity.scores(mode)
            })
        };
        main.into_iter()
            .filter(|mode| !by_test(*mode) && !by_gate(*mode))
            .collect()
    }
}

/// Where what is left open, from its 5 % to its 95 % point, lies beside a margin on the same scale.
fn within(lo: f64, hi: f64, margin: f64) -> Within {
    if lo >= -margin {
        Within::Inside
    } else if hi < -margin {
        Within::Worse
    } else {
        Within::Open
    }
}

fn answer(tests: &[ComparedTest], untested: &[Mode], unmet: &[GateStanding]) -> Answer {
    let told = || tests.iter().filter_map(|test| test.told.as_ref().ok());
    let worse = told().any(|told| told.within == Within::Worse);
    let failed = unmet.iter().any(|gate| gate.outcome == GateOutcome::Fail);
    let idle = |test: &ComparedTest| matches!(test.told, Err(NotTold::DoesNotSort(_)));
    let all_inside = tests
        .iter()
        .all(|test| idle(test) || test.told.as_ref().is_ok_and(|told| told.within == Within::Inside));
    if worse || failed {
        Answer::No
    } else if all_inside && told().next().is_some() && untested.is_empty() && unmet.is_empty() {
        Answer::Yes
    } else {
        Answer::Open
    }
}

/// Mean, 5 % and 95 % point of a difference.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Ends {
    mean: f64,
    lo: f64,
    hi: f64,
}

/// A test in which two blends are compared.
struct Pair<'t, 'a> {
    test: &'t Test<'a>,
    spread: &'t Spread,
    shifts: BTreeMap<Block, BlockShift>,
    sign: f64,
}

/// Dimensions of the lattice over which censored results are averaged.
const OWN: usize = 0;
const OTHER: usize = 1;
const SHIFT: usize = 2;
const DOUBT: usize = 3;
const OTHER_DOUBT: usize = 4;

/// The grid of censored results reaches this many deviations of the largest part beyond the data, as that of a standing.
const MARGIN: f64 = 8.0;
const MOST_MARGIN: f64 = 40.0;

impl<'t, 'a> Pair<'t, 'a> {
    fn new(test: &'t Test<'a>, spread: &'t Spread) -> Self {
        Self {
            test,
            spread,
            shifts: shifts(&test.evidence, spread, Adjust::Severity),
            sign: test.evidence.quantity.better.sign(),
        }
    }

    /// Turned so that greater is better, severity taken off.
    fn observations(&self, cell: &Cell) -> Vec<Observation> {
        let turned = |run: &crate::standing::evidence::Run| {
            let shift = self.shifts.get(&run.block).map_or(0.0, |shift| shift.mean);
            let adjusted = run.observation.shifted(-shift);
            if self.sign < 0.0 {
                adjusted.mirrored()
            } else {
                adjusted
            }
        };
        cell.runs.iter().map(turned).collect()
    }

    /// Variance of what is open of the shifts between the two: it cancels where both ran alike in each block.
    fn open_shift(&self, own: &Cell, other: &Cell) -> f64 {
        let share = |cell: &Cell, block: &Block| {
            let here = cell.runs.iter().filter(|run| &run.block == block).count();
            here as f64 / cell.runs.len().max(1) as f64
        };
        let each = self.shifts.iter();
        each.map(|(block, shift)| (share(own, block) - share(other, block)).powi(2) * shift.variance)
            .sum()
    }

    fn open(&self, own: &Cell, other: &Cell) -> Option<Ends> {
        let readings = |cell: &Cell| -> Option<Vec<f64>> {
            let mut readings: Vec<f64> = self
                .observations(cell)
                .into_iter()
                .map(exact)
                .collect::<Option<_>>()?;
            readings.sort_by(f64::total_cmp);
            Some(readings)
        };
        match (readings(own), readings(other)) {
            (Some(read), Some(others)) => self.of_readings((own, &read), (other, &others)),
            _ => self.of_bounds(own, other),
        }
    }

    /// Deviations of a blend's runs, equally likely; whether they are its own and not those of the test.
    fn deviations(&self, cell: &Cell) -> (Vec<f64>, bool) {
        match self.spread.departing.get(cell.blend) {
            Some(own) => (own.in_parts(), true),
            None => (self.spread.deviation().in_parts(), false),
        }
    }

    fn of_readings(&self, (own, read): (&Cell, &[f64]), (other, others): (&Cell, &[f64])) -> Option<Ends> {
        let mean = |readings: &[f64]| readings.iter().sum::<f64>() / readings.len() as f64;
        let difference = mean(read) - mean(others);
        let shift = self.open_shift(own, other);
        let ((sds, is_own), (its, is_its_own)) = (self.deviations(own), self.deviations(other));
        let part = |(sd, its): (&f64, &f64)| -> Part {
            let of_means = sd * sd / read.len() as f64 + its * its / others.len() as f64;
            (difference, (of_means + shift).sqrt())
        };
        let parts: Vec<Part> = if is_own || is_its_own {
            let pairs = sds.iter().flat_map(|sd| its.iter().map(move |its| (sd, its)));
            pairs.map(part).collect()
        } else {
            sds.iter().zip(&its).map(part).collect()
        };
        Some(Ends {
            mean: difference,
            lo: quantile_of_parts(&parts, 0.05)?,
            hi: quantile_of_parts(&parts, 0.95)?,
        })
    }

    /// Where a run is a bound: over a lattice of what is known of both, held at the cap, beyond which the test tells
    /// nothing apart.
    fn of_bounds(&self, own: &Cell, other: &Cell) -> Option<Ends> {
        let cells = self.test.evidence.cells.iter();
        let ends = cells
            .flat_map(|cell| self.observations(cell))
            .map(Observation::ends);
        let range = ends.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        let prior = Prior::of_results(range, self.spread.within_sd);
        let known = |cell: &Cell| {
            let (sds, is_own) = self.deviations(cell);
            let largest = sds.iter().copied().fold(0.0, f64::max);
            let margin = (MARGIN * largest).min(MOST_MARGIN * self.spread.within_sd);
            let grid = Grid::covering(prior, Some(range), margin);
            let observations = self.observations(cell);
            let part = |sd: f64| {
                let likelihoods = Likelihoods::new(grid, sd);
                Posterior::from_likelihoods(prior, &likelihoods, &observations).map(Distribution::Gridded)
            };
            let parts: Option<Vec<Distribution>> = sds.into_iter().map(part).collect();
            Some((Mixture::new(parts?)?, is_own))
        };
        let ((own_value, is_own), (other_value, is_its_own)) = (known(own)?, known(other)?);
        let doubt = |dimension: usize| {
            let axis = lattice::axis(dimension);
            move |point: usize| axis.coordinate(point)
        };
        let shifts = lattice::axis(SHIFT);
        let of_other = if is_own || is_its_own { OTHER_DOUBT } else { DOUBT };
        let own_at = own_value.on_lattice(OWN, doubt(DOUBT));
        let other_at = other_value.on_lattice(OTHER, doubt(of_other));
        let shift = self.open_shift(own, other).sqrt();
        let evidence = &self.test.evidence;
        let top = evidence
            .working_cap()
            .filter(|_| self.sign > 0.0)
            .unwrap_or(f64::INFINITY);
        let at = |point: usize| {
            let moved = own_at[point] + shift * shifts.normal(point);
            moved.min(top) - other_at[point].min(top)
        };
        let differences: Vec<f64> = (0..lattice::POINTS).map(at).collect();
        Some(Ends {
            mean: differences.iter().sum::<f64>() / differences.len() as f64,
            lo: quantile_of_values(&differences, 0.05)?,
            hi: quantile_of_values(&differences, 0.95)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const A_LITTLE: f64 = 1e-9;

    #[test]
    fn what_is_open_lies_inside_a_margin_up_to_it_and_is_worse_beyond_it() {
        for (lo, hi, expected) in [
            (-1.0 + A_LITTLE, 2.0, Within::Inside),
            (-1.0, 2.0, Within::Inside),
            (-1.0 - A_LITTLE, 2.0, Within::Open),
            (-3.0, -1.0 + A_LITTLE, Within::Open),
            (-3.0, -1.0, Within::Open),
            (-3.0, -1.0 - A_LITTLE, Within::Worse),
            (4.0, 5.0, Within::Inside),
        ] {
            assert_eq!(within(lo, hi, 1.0), expected, "{lo} {hi}");
        }
    }
}
