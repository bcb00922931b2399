//! Single runs: who would be in front without one of them, and with one of them moved by the test's repeatability.

use crate::records::{BlendCode, RunResult, TestKey};
use crate::standing::choice::Choice;
use crate::standing::evidence::Block;
use crate::standing::fit_cache::MeansOf;
use crate::standing::kernel::{self, Anchors, CellData, Fitted};
use crate::standing::prepare::{Case, Prepared};
use crate::standing::rests_on::key_at;
use crate::standing::without_results::{Part, without_part};
use crate::standing::{LeaveOut, LeftOut};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Scores this close are level.
const LEVEL: f64 = 1e-9;
/// Runs that are told of at least, those nearest to a change (ours).
const TOLD: usize = 6;
/// Runs that are told of at most, where many of them change who is in front (ours).
const MOST_TOLD: usize = 12;

/// One run of a blend, with everything that was measured in it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct RunOf<'p> {
    method: &'p str,
    blend: &'p BlendCode,
    block: &'p Block,
    date: Option<Date>,
    replicate: u32,
}

/// Where the results of a run stand: fitted test, and their places in the cell of its blend.
type Places = BTreeMap<usize, Vec<usize>>;

/// How a run is called.
pub(crate) fn run_name(blend: &BlendCode, date: Option<Date>, replicate: u32) -> String {
    match date {
        Some(date) => format!("{blend}, run {replicate} of {date}"),
        None => format!("{blend}, run {replicate}"),
    }
}

/// How many runs were left out in turn, and those nearest to a change of who is in front.
///
/// Which they are is found from mean positions, with scatter and severity held; for those told of everything is
/// computed again without the run.
pub(crate) fn leave_outs(
    case: Case,
    prepared: &Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> (usize, Vec<LeaveOut>) {
    let (Some(_), Some(front)) = (prepared.fitted.as_ref(), kernel.front_runner) else {
        return (0, Vec::new());
    };
    let runs: Vec<(RunOf, Places)> = runs_that_count(prepared, choice, kernel).into_iter().collect();
    let mut margins: Vec<(f64, &RunOf, &Places)> = runs
        .par_iter()
        .map(|(run, places)| (margin_without(case, prepared, kernel, run, places), run, places))
        .collect();
    margins.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    let changing = margins.iter().filter(|(margin, ..)| *margin <= LEVEL).count();
    let told = &margins[..margins.len().min(changing.clamp(TOLD, MOST_TOLD))];
    let outs = told.par_iter().map(|(_, run, places)| {
        let several = case
            .records
            .method(run.method)
            .is_some_and(|method| method.several_specimens_per_run);
        let part = Part {
            left_out: LeftOut::Run,
            name: run_name(run.blend, run.date, run.replicate),
            tests: places.keys().map(|at| key_at(prepared, *at)).collect(),
            holds: &|result| run.holds(result, several),
        };
        without_part(case, prepared, choice, prepared.candidates[front], part)
    });
    (runs.len(), outs.collect())
}

impl RunOf<'_> {
    /// Whether a result was measured in this run; of several specimens, each.
    fn holds(&self, result: &RunResult, several_specimens: bool) -> bool {
        result.key.method == self.method
            && &result.blend == self.blend
            && &result.block() == self.block
            && result.date == self.date
            && (several_specimens || result.replicate == self.replicate)
    }
}

/// Runs of the candidates in the standing and of the two reference oils, in tests that are weighed.
fn runs_that_count<'p>(
    prepared: &'p Prepared,
    choice: &Choice,
    kernel: &kernel::Standing,
) -> BTreeMap<RunOf<'p>, Places> {
    let in_standing = |blend: &BlendCode| {
        kernel
            .ranked
            .iter()
            .any(|place| prepared.candidates[*place] == blend)
    };
    let mut runs: BTreeMap<RunOf, Places> = BTreeMap::new();
    for at in (0..choice.weights.len()).filter(|at| choice.weights[*at] > 0.0) {
        let evidence = &prepared.tests[prepared.fitted_tests[at]].evidence;
        let anchors = [evidence.good, evidence.poor];
        let counts = |blend: &BlendCode| in_standing(blend) || anchors.contains(&Some(blend));
        for cell in evidence.cells.iter().filter(|cell| counts(cell.blend)) {
            for (index, run) in cell.runs.iter().enumerate() {
                let of = RunOf {
                    method: &evidence.test.key.method,
                    blend: cell.blend,
                    block: &run.block,
                    date: run.date,
                    replicate: run.replicate,
                };
                runs.entry(of).or_default().entry(at).or_default().push(index);
            }
        }
    }
    runs
}

/// By how much the front-runner's mean score is above the best other one without a run; minus infinity where a test
/// loses its scale.
fn margin_without(
    case: Case,
    prepared: &Prepared,
    kernel: &kernel::Standing,
    run: &RunOf,
    places: &Places,
) -> f64 {
    let mut scores = kernel.scores.clone();
    for (at, gone) in places {
        let part = kernel.weights[*at] / kernel.total_weight;
        let without = (*at, run.blend.to_string(), gone.clone());
        let key = (case.what_if.head_room.to_bits(), without);
        let means = case
            .known
            .means
            .get_or(key, || means_without(prepared, run, *at, gone));
        let Some(means) = means else {
            return f64::NEG_INFINITY;
        };
        for (place, mean) in means {
            scores[place] += part * (mean - kernel.mean_positions[place][*at]);
        }
    }
    lead_of_front(kernel, &scores)
}

/// Mean positions that a test without some runs of a blend moves: candidate and mean; `None` where it loses its scale.
fn means_without(prepared: &Prepared, run: &RunOf, at: usize, gone: &[usize]) -> Option<MeansOf> {
    let fitted = prepared.fitted.as_ref()?;
    let input = &fitted.input().tests[at];
    let candidate = prepared.candidates.iter().position(|blend| *blend == run.blend);
    if let Some(place) = candidate {
        let cell = without(&input.candidates[place], gone);
        return Some(vec![(place, fitted.mean_position_with(at, &cell).ok()?)]);
    }
    let evidence = &prepared.tests[prepared.fitted_tests[at]].evidence;
    let mut test = input.clone();
    test.anchors = match (test.anchors, evidence.good == Some(run.blend)) {
        (Anchors::Two { good, poor }, true) => Anchors::Two {
            good: without(&good, gone),
            poor,
        },
        (Anchors::Two { good, poor }, false) => Anchors::Two {
            good,
            poor: without(&poor, gone),
        },
        (
            Anchors::One {
                good,
                reproducibility,
            },
            _,
        ) => Anchors::One {
            good: without(&good, gone),
            reproducibility,
        },
    };
    let means = fitted.mean_positions_with(&test).ok()?;
    Some(means.into_iter().enumerate().collect())
}

fn without(cell: &CellData, gone: &[usize]) -> CellData {
    let kept = cell
        .observations
        .iter()
        .enumerate()
        .filter(|(index, _)| !gone.contains(index));
    CellData {
        observations: kept.map(|(_, observation)| *observation).collect(),
    }
}

/// Score of the front-runner less the best other score; infinity where it is alone.
fn lead_of_front(kernel: &kernel::Standing, scores: &[f64]) -> f64 {
    let Some(front) = kernel.front_runner else {
        return f64::INFINITY;
    };
    let others = kernel.ranked.iter().filter(|place| **place != front);
    let best = others
        .map(|place| scores[*place])
        .fold(f64::NEG_INFINITY, f64::max);
    scores[front] - best
}

/// Runs of one blend in one test of which one, moved by the repeatability, would change who is in front.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MovedRun {
    /// The test.
    pub(crate) key: TestKey,
    /// The quantity's label.
    pub(crate) label: String,
    /// The blend: the front-runner or the runner-up.
    pub(crate) blend: BlendCode,
    /// How many runs it has there.
    pub(crate) runs: usize,
}

/// Where a single run of the front-runner or the runner-up, moved by the repeatability, would change who is in front:
/// the cell is computed again with that run moved.
pub(crate) fn moved_by_r(prepared: &Prepared, choice: &Choice, kernel: &kernel::Standing) -> Vec<MovedRun> {
    let (Some(front), Some(lead), Some(fitted)) = (
        kernel.front_runner,
        kernel.lead.as_ref(),
        prepared.fitted.as_ref(),
    ) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for at in (0..choice.weights.len()).filter(|at| choice.weights[*at] > 0.0) {
        let test = &prepared.tests[prepared.fitted_tests[at]];
        let Some(spread) = test.spread.as_ref() else {
            continue;
        };
        let better = test.evidence.quantity.better.sign() * spread.repeatability;
        for (place, by) in [(front, -better), (lead.rival, better)] {
            let blend = prepared.candidates[place];
            let runs = test.evidence.cell(blend).map_or(0, |cell| cell.runs.len());
            let changes = |index: usize| changes_when_moved(fitted, kernel, (at, place, index), by);
            if (0..runs).any(changes) {
                let key = test.evidence.key().clone();
                let label = test.evidence.quantity.label.clone();
                found.push(MovedRun {
                    key,
                    label,
                    blend: blend.clone(),
                    runs,
                });
            }
        }
    }
    found
}

/// Whether somebody else is in front when one result (its test, candidate and place in the cell) is moved.
fn changes_when_moved(
    fitted: &Fitted,
    kernel: &kernel::Standing,
    (at, place, index): (usize, usize, usize),
    by: f64,
) -> bool {
    let mut cell = fitted.input().tests[at].candidates[place].clone();
    let Some((observation, _)) = cell.observations.get_mut(index) else {
        return false;
    };
    *observation = observation.shifted(by);
    let Ok(mean) = fitted.mean_position_with(at, &cell) else {
        return false;
    };
    let mut scores = kernel.scores.clone();
    scores[place] += kernel.weights[at] / kernel.total_weight * (mean - kernel.mean_positions[place][at]);
    lead_of_front(kernel, &scores) < -LEVEL
}
