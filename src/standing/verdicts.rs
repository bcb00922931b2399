//! Each candidate against each reference oil in one test: better, worse, or not to be told apart.

use crate::catalogue::PrecisionKind;
use crate::records::{BlendCode, Role};
use crate::standing::evidence::{Cell, exact};
use crate::standing::kernel::Who;
use crate::standing::levels::Block;
use crate::standing::prepare::{Prepared, Test};
use crate::standing::shifts::{Adjust, shifts};
use crate::standing::strip::who;
use crate::stats::dunnett::{Freedom, ManyToOne};
use crate::stats::observation::Observation;
use crate::stats::precision::{DIFFERENCE_95, critical_difference_apart};
use crate::stats::severity::BlockShift;
use serde::Serialize;
use std::collections::BTreeMap;

/// Probability from which a censored cell counts as better than another (ours: the 5 % of a critical difference, half of
/// it on each side).
pub const TOLD_APART: f64 = 0.975;
/// Chance that any of the simultaneous intervals of equal blends leaves out 0.
const BEYOND: f64 = 0.05;

/// How one blend stands to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Apart {
    /// Better.
    Better,
    /// Not to be told apart.
    Alike,
    /// Worse.
    Worse,
}

/// Limits of a difference that hold for all candidates of the test together (Dunnett), on its working scale.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Simultaneous {
    /// Lower limit.
    pub lo: f64,
    /// Upper limit.
    pub hi: f64,
    /// Probability of so large a difference, anywhere among them, between equal blends.
    pub adjusted_p: f64,
}

/// The difference of two means on the working scale of the test; positive where the candidate is better, whichever way
/// the quantity runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// The candidate's mean less the reference's, turned so that greater is better, severity adjusted.
    pub by: f64,
    /// What equal blends exceed once in twenty.
    pub critical: f64,
    /// Whether the two share a block: then repeatability sets the critical difference, otherwise
    /// reproducibility.
    pub share_a_block: bool,
    /// Limits for all candidates at once; `None` where they cannot be computed.
    pub simultaneous: Option<Simultaneous>,
}

impl Difference {
    /// By the limits for all candidates at once, which stand beside the word; where there are none, by the critical
    /// difference.
    fn apart(&self) -> Apart {
        match self.simultaneous {
            Some(limits) if limits.lo > 0.0 => Apart::Better,
            Some(limits) if limits.hi < 0.0 => Apart::Worse,
            Some(_) => Apart::Alike,
            None => Apart::of_means(self.by, self.critical),
        }
    }
}

/// A candidate against a reference oil in one test.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The candidate.
    pub blend: BlendCode,
    /// The reference oil.
    pub reference: BlendCode,
    /// What can be said.
    pub apart: Apart,
    /// The difference of the means, where all runs of both are readings.
    pub difference: Option<Difference>,
    /// Probability that the candidate is better, from the censored results of both; `None` where means are compared.
    pub p_better: Option<f64>,
}

/// All verdicts of a test, reference by reference, candidates in the trial's order. Where neither means nor
/// probabilities can be had there is none.
pub(crate) fn verdicts(prepared: &Prepared, place: usize) -> Vec<Verdict> {
    let test = &prepared.tests[place];
    let of_role = |role: Role| {
        let cells = test.evidence.cells.iter();
        cells.filter(move |cell| cell.role == role && cell.is_run())
    };
    let means = Means::of(test);
    let mut all = Vec::new();
    for reference in of_role(Role::Reference) {
        let differences = means.as_ref().and_then(|means| {
            let candidates: Vec<&Cell> = of_role(Role::Candidate).collect();
            means.differences(&candidates, reference)
        });
        for candidate in of_role(Role::Candidate) {
            let known = differences.as_ref().and_then(|of| of.get(candidate.blend));
            let verdict = match known {
                Some(difference) => Some(by_difference(candidate, reference, *difference)),
                None => by_probability(prepared, place, candidate, reference),
            };
            all.extend(verdict);
        }
    }
    all
}

/// One blend against another in one test, whatever their roles; the critical difference judges. `None` where not both
/// were run, or neither means nor probabilities can be had.
pub(crate) fn between(
    prepared: &Prepared,
    place: usize,
    one: &BlendCode,
    other: &BlendCode,
) -> Option<Verdict> {
    let test = &prepared.tests[place];
    let run = |blend: &BlendCode| {
        let mut cells = test.evidence.cells.iter();
        cells.find(|cell| cell.blend == blend && cell.is_run())
    };
    let (one, other) = (run(one)?, run(other)?);
    let difference = Means::of(test).and_then(|means| {
        Some(Difference {
            by: means.mean(one)? - means.mean(other)?,
            critical: critical_difference(test, one, other)?,
            share_a_block: share_a_block(one, other),
            simultaneous: None,
        })
    });
    match difference {
        Some(difference) => Some(by_difference(one, other, difference)),
        None => by_probability(prepared, place, one, other),
    }
}

impl Apart {
    /// Of two means, from their difference and what equal blends exceed once in twenty.
    fn of_means(by: f64, critical: f64) -> Self {
        if by.abs() <= critical {
            Self::Alike
        } else if by > 0.0 {
            Self::Better
        } else {
            Self::Worse
        }
    }

    /// From the probabilities of being better and of being worse: equal at the cap is neither.
    fn of_probabilities(p_better: f64, p_worse: f64) -> Self {
        if p_better >= TOLD_APART {
            Self::Better
        } else if p_worse >= TOLD_APART {
            Self::Worse
        } else {
            Self::Alike
        }
    }
}

fn by_difference(candidate: &Cell, reference: &Cell, difference: Difference) -> Verdict {
    Verdict {
        blend: candidate.blend.clone(),
        reference: reference.blend.clone(),
        apart: difference.apart(),
        difference: Some(difference),
        p_better: None,
    }
}

fn by_probability(prepared: &Prepared, place: usize, candidate: &Cell, reference: &Cell) -> Option<Verdict> {
    let at = prepared.fitted_tests.iter().position(|fitted| *fitted == place)?;
    let fitted = prepared.fitted.as_ref()?;
    let of = |cell: &Cell| -> Option<Who> {
        who(&prepared.tests[place].evidence, &prepared.candidates, cell.blend)
    };
    let (own, others) = (of(candidate)?, of(reference)?);
    let p_better = fitted.probability_better(at, own, others)?;
    let p_worse = fitted.probability_better(at, others, own)?;
    Some(Verdict {
        blend: candidate.blend.clone(),
        reference: reference.blend.clone(),
        apart: if are_neighbours(&prepared.tests[place], candidate, reference) {
            Apart::Alike
        } else {
            Apart::of_probabilities(p_better, p_worse)
        },
        difference: None,
        p_better: Some(p_better),
    })
}

/// Whether the precision of the test counts steps of its ladder, and the two were read no further apart than it: such
/// loads are not told apart however often each was read, as a single one held against another is not.
fn are_neighbours(test: &Test<'_>, one: &Cell, other: &Cell) -> bool {
    let quantity = test.evidence.quantity;
    let in_steps = quantity.precision.as_ref();
    let Some(precision) = in_steps.filter(|precision| precision.kind == PrecisionKind::Steps) else {
        return false;
    };
    let steps = quantity.scale.steps();
    let steps: Option<Vec<f64>> = steps
        .iter()
        .map(|step| quantity.scale.to_working(*step))
        .collect();
    let within = if share_a_block(one, other) {
        precision.repeatability
    } else {
        precision.reproducibility_or_twice()
    };
    let places = steps.and_then(|steps| Some((middle_step(one, &steps)?, middle_step(other, &steps)?)));
    places.is_some_and(|(one, other)| one.abs_diff(other) as f64 <= within)
}

/// The place on a ladder of the step at which the middle run of a cell failed, of an even number the lower of the two;
/// `None` where a run is a bound.
fn middle_step(cell: &Cell, steps: &[f64]) -> Option<usize> {
    let place = |run: &crate::standing::evidence::Run| match run.observation {
        Observation::Between { hi, .. } => steps.iter().position(|step| (step - hi).abs() < 1e-9),
        _ => None,
    };
    let mut places: Vec<usize> = cell.runs.iter().map(place).collect::<Option<_>>()?;
    places.sort_unstable();
    places.get(places.len().checked_sub(1)? / 2).copied()
}

/// Means of cells that consist of readings only, with severity taken off.
struct Means<'t, 'a> {
    test: &'t Test<'a>,
    shifts: BTreeMap<Block, BlockShift>,
}

impl<'t, 'a> Means<'t, 'a> {
    fn of(test: &'t Test<'a>) -> Option<Self> {
        let spread = test.spread.as_ref()?;
        let shifts = shifts(&test.evidence, spread, Adjust::Severity);
        Some(Self { test, shifts })
    }

    /// Mean of a cell turned so that greater is better; `None` where a run is a bound or was stopped.
    fn mean(&self, cell: &Cell) -> Option<f64> {
        let sign = self.test.evidence.quantity.better.sign();
        let reading = |run: &crate::standing::evidence::Run| {
            let shift = self.shifts.get(&run.block).map_or(0.0, |shift| shift.mean);
            exact(run.observation).map(|value| sign * (value - shift))
        };
        let mut readings: Vec<f64> = cell.runs.iter().map(reading).collect::<Option<_>>()?;
        readings.sort_by(f64::total_cmp);
        let whole = cell.stopped.is_empty() && !readings.is_empty();
        whole.then(|| readings.iter().sum::<f64>() / readings.len() as f64)
    }

    /// Differences of all candidates that have a mean from one reference; `None` where that has none.
    fn differences(
        &self,
        candidates: &[&'t Cell<'a>],
        reference: &Cell,
    ) -> Option<BTreeMap<&'t BlendCode, Difference>> {
        let of_reference = self.mean(reference)?;
        let compared: Vec<(&Cell, f64)> = candidates
            .iter()
            .filter_map(|cell| Some((*cell, self.mean(cell)? - of_reference)))
            .collect();
        let spread = self.test.spread.as_ref()?;
        let within = |cell: &Cell| spread.sd_of(cell.blend).powi(2) / cell.runs.len() as f64;
        // What two blocks differ by is charged to the candidate, since the reference is common to all.
        let apart = |cell: &Cell| {
            if share_a_block(cell, reference) {
                0.0
            } else {
                2.0 * spread.between_variance
            }
        };
        let variances: Vec<f64> = compared
            .iter()
            .map(|(cell, _)| within(cell) + apart(cell))
            .collect();
        let deviation = spread.deviation();
        let freedom = if deviation.is_known() {
            Freedom::Known
        } else {
            Freedom::Estimated(deviation.freedom)
        };
        let together = ManyToOne::new(&variances, within(reference), freedom);
        let critical = together
            .as_ref()
            .and_then(|together| together.critical_value(BEYOND));
        let limits = |by: f64, variance: f64| {
            let error = (variance + within(reference)).sqrt();
            let half = critical? * error;
            Some(Simultaneous {
                lo: by - half,
                hi: by + half,
                adjusted_p: together.as_ref()?.adjusted_p(by / error),
            })
        };
        let difference = |((cell, by), variance): (&(&Cell, f64), &f64)| {
            Some(Difference {
                by: *by,
                critical: critical_difference(self.test, cell, reference)?,
                share_a_block: share_a_block(cell, reference),
                simultaneous: limits(*by, *variance),
            })
        };
        let found = compared.iter().zip(&variances).map(difference);
        let blends = candidates
            .iter()
            .filter(|cell| self.mean(cell).is_some())
            .map(|cell| cell.blend);
        Some(
            blends
                .zip(found)
                .filter_map(|(blend, found)| Some((blend, found?)))
                .collect(),
        )
    }
}

pub(crate) fn share_a_block(a: &Cell, b: &Cell) -> bool {
    !a.blocks().is_disjoint(&b.blocks())
}

/// Critical difference of two blends' means: by repeatability where they share a block, else by reproducibility.
///
/// same block: r sqrt((1/n_a + 1/n_b) / 2); else: sqrt(R^2 - r^2 (1 - 1/(2 n_a) - 1/(2 n_b))), where n counts runs
/// (ISO 5725-6, from memory). Where a blend's replicates depart from the others', from the variances of the two means.
pub(crate) fn critical_difference(test: &Test, a: &Cell, b: &Cell) -> Option<f64> {
    let spread = test.spread.as_ref()?;
    let runs = |cell: &Cell| (cell.runs.len() + cell.stopped.len()).max(1);
    let (r, big_r) = (spread.repeatability, spread.reproducibility);
    if spread.departing.contains_key(a.blend) || spread.departing.contains_key(b.blend) {
        let of_mean = |cell: &Cell| spread.sd_of(cell.blend).powi(2) / runs(cell) as f64;
        let between = if share_a_block(a, b) {
            0.0
        } else {
            2.0 * spread.between_variance
        };
        return Some(0.5f64.sqrt() * DIFFERENCE_95 * (of_mean(a) + of_mean(b) + between).sqrt());
    }
    Some(if share_a_block(a, b) {
        critical_difference_apart(r, r, runs(a), runs(b))
    } else {
        critical_difference_apart(r, big_r, runs(a), runs(b))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A step that no rounding swallows.
    const A_LITTLE: f64 = 1e-9;

    /// ISO 5725-6: a difference is significant where it exceeds the critical difference.
    #[test]
    fn means_are_told_apart_beyond_the_critical_difference() {
        for (by, apart) in [
            (0.2 - A_LITTLE, Apart::Alike),
            (0.2, Apart::Alike),
            (0.2 + A_LITTLE, Apart::Better),
            (A_LITTLE - 0.2, Apart::Alike),
            (-0.2, Apart::Alike),
            (-0.2 - A_LITTLE, Apart::Worse),
        ] {
            assert_eq!(Apart::of_means(by, 0.2), apart, "{by}");
        }
    }

    /// Limits that leave out 0 and a difference beyond the critical one need not go together.
    #[test]
    fn the_word_follows_the_limits_that_stand_beside_it() {
        for (lo, hi, apart) in [
            (A_LITTLE, 0.6, Apart::Better),
            (0.0, 0.6, Apart::Alike),
            (-0.1, 0.7, Apart::Alike),
            (-0.6, 0.0, Apart::Alike),
            (-0.6, -A_LITTLE, Apart::Worse),
        ] {
            let simultaneous = Some(Simultaneous {
                lo,
                hi,
                adjusted_p: 0.05,
            });
            let difference = Difference {
                by: (lo + hi) / 2.0,
                critical: 0.2,
                share_a_block: true,
                simultaneous,
            };
            assert_eq!(difference.apart(), apart, "{lo} to {hi}");
        }
    }

    #[test]
    fn censored_results_are_told_apart_from_a_probability_of_0_975_on_either_side() {
        for (p, better, worse) in [
            (0.975 - A_LITTLE, Apart::Alike, Apart::Alike),
            (0.975, Apart::Better, Apart::Worse),
            (0.975 + A_LITTLE, Apart::Better, Apart::Worse),
        ] {
            assert_eq!(Apart::of_probabilities(p, 1.0 - p), better, "{p}");
            assert_eq!(Apart::of_probabilities(1.0 - p, p), worse, "{p}");
        }
        // both at the cap
        assert_eq!(Apart::of_probabilities(0.01, 0.02), Apart::Alike);
    }
}
