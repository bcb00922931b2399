//! Who would be in front without some of the results: those of a rig, of a block, of a run, or runs that are doubted.
//! The tests stay, with their weights and with what is left. And who would be with one run moved by the repeatability.

use crate::catalogue::MethodId;
use crate::records::{BlendCode, RigId, RunResult, TestKey};
use crate::standing::doubted::Doubted;
use crate::standing::facts::Known;
use crate::standing::fit_cache::{MeansOf, Rest};
use crate::standing::kernel::{Anchors, CellData, Fitted, Ranking, ShortRanking as Without};
use crate::standing::prepare::{Case, Departure, Prepared, prepare};
use crate::standing::rests_on::key_at;
use crate::standing::weights::Choice;
use crate::standing::{LeaveOut, LeftOut, NamedRun};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The trial judged without some results, on the same streams and with the same weights, and whether whoever is in front
/// may be called the leader; `None` where nothing is left that can be weighed.
fn without_results(known: &Known, leaves_out: &dyn Fn(&RunResult) -> bool) -> Option<(Without, bool)> {
    let Known {
        case,
        prepared,
        choice,
        ..
    } = *known;
    let places = case.records.results.iter().enumerate();
    let gone: Vec<usize> = places
        .filter(|(_, result)| leaves_out(result))
        .map(|(place, _)| place)
        .collect();
    let rest = case
        .known
        .rests
        .get_or((case.what_if.head_room.to_bits(), gone), || {
            rest(case, prepared, leaves_out)
        })?;
    let selection = choice.weighing(weights_by_key(prepared, choice, &rest.tests));
    known.without_on(&rest.fitted, &rest.tests, &selection).pop()
}

fn rest(case: Case, prepared: &Prepared, leaves_out: &dyn Fn(&RunResult) -> bool) -> Option<Arc<Rest>> {
    let departure = Departure {
        leaves_out,
        from: Some(prepared),
        ..Departure::NONE
    };
    let rest = prepare(case, departure);
    Some(Arc::new(Rest {
        tests: rest.fitted_keys(),
        fitted: rest.fitted?,
    }))
}

/// What is left out.
pub(crate) struct Part<'p> {
    /// The thing.
    pub(crate) left_out: LeftOut,
    /// Tests whose results it touches.
    pub(crate) tests: Vec<TestKey>,
    /// Which results fall away.
    pub(crate) holds: &'p dyn Fn(&RunResult) -> bool,
}

/// Who is in front without some results, of tests that stay with what is left.
pub(crate) fn without_part(known: &Known, front: &BlendCode, part: Part) -> LeaveOut {
    let found = without_results(known, part.holds);
    let without = found.as_ref().map(|(without, _)| without);
    LeaveOut {
        may_be_named: found.as_ref().is_some_and(|(_, may_be_named)| *may_be_named),
        ..LeaveOut::of(part.left_out, part.tests, without, known.prepared, front)
    }
}

/// Who is in front without each of the doubted results, and without all of one blend in one test that are named. Of runs
/// that lie too far apart each is left out in turn, since nothing says which of them is wrong.
pub(crate) fn without_doubted(known: &Known, doubted: &[Doubted]) -> Vec<LeaveOut> {
    let Some(front) = known.front() else {
        return Vec::new();
    };
    let weighed = known.choice.weighed().map(|at| key_at(known.prepared, at));
    let weighed: BTreeSet<TestKey> = weighed.collect();
    let mut sets: Vec<Vec<&RunResult>> = Vec::new();
    let mut named: BTreeMap<(&TestKey, &BlendCode), Vec<&RunResult>> = BTreeMap::new();
    for one in doubted.iter().filter(|one| weighed.contains(one.key)) {
        for result in &one.results {
            add_set(&mut sets, vec![*result]);
            let of_cell = named.entry((one.key, one.blend)).or_default();
            if one.names_them() && !of_cell.iter().any(|known| std::ptr::eq(*known, *result)) {
                of_cell.push(*result);
            }
        }
    }
    let several = named.into_values().filter(|results| results.len() > 1);
    several.for_each(|results| add_set(&mut sets, results));
    let out = |results: Vec<&RunResult>| {
        let part = Part {
            left_out: LeftOut::DoubtedRuns(results.iter().map(|result| NamedRun::of(result)).collect()),
            tests: results.iter().take(1).map(|result| result.key.clone()).collect(),
            holds: &|result| results.iter().any(|one| std::ptr::eq(*one, result)),
        };
        without_part(known, front, part)
    };
    sets.into_iter().map(out).collect()
}

/// Adds results that are not there yet.
fn add_set<'r>(sets: &mut Vec<Vec<&'r RunResult>>, results: Vec<&'r RunResult>) {
    let same = |known: &Vec<&RunResult>| {
        known.len() == results.len() && known.iter().zip(&results).all(|(a, b)| std::ptr::eq(*a, *b))
    };
    if !sets.iter().any(same) {
        sets.push(results);
    }
}

/// The weights of a choice for another preparation, by test; a test that is not there weighs nothing.
pub(crate) fn weights_by_key(prepared: &Prepared, choice: &Choice, other: &[TestKey]) -> Vec<f64> {
    let by_key: BTreeMap<TestKey, f64> = (0..choice.weights.len())
        .map(|at| (key_at(prepared, at), choice.weights[at]))
        .collect();
    let weight = |key: &TestKey| by_key.get(key).copied().unwrap_or(0.0);
    other.iter().map(weight).collect()
}

/// Scores this close are level.
const LEVEL: f64 = 1e-9;
/// Runs that are told of at least, those nearest to a change (ours).
const TOLD: usize = 6;
/// Runs that are told of at most, where many of them change who is in front (ours).
const MOST_TOLD: usize = 12;

/// One run of a blend, with everything that was measured in it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct RunOf<'p> {
    method: &'p MethodId,
    blend: &'p BlendCode,
    rig: &'p str,
    date: Option<Date>,
    replicate: u32,
}

/// Where the results of a run stand: fitted test, and their places in the cell of its blend.
type Places = BTreeMap<usize, Vec<usize>>;

/// How many runs were left out in turn, and those nearest to a change of who is in front.
///
/// Which they are is found from mean positions, with scatter and severity held; for those told of everything is
/// computed again without the run.
pub(crate) fn single_runs(known: &Known) -> (usize, Vec<LeaveOut>) {
    let Some(front) = known.front() else {
        return (0, Vec::new());
    };
    let runs: Vec<(RunOf, Places)> = runs_that_count(known).into_iter().collect();
    let mut margins: Vec<(f64, &RunOf, &Places)> = runs
        .par_iter()
        .map(|(run, places)| (margin_without(known, run, places), run, places))
        .collect();
    margins.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    let told = &margins[..how_many_told(margins.iter().map(|(margin, ..)| *margin))];
    let outs = told.par_iter().map(|(_, run, places)| {
        let several = known
            .case
            .records
            .method(run.method)
            .is_some_and(|method| method.several_specimens_per_run);
        let part = Part {
            left_out: LeftOut::Run(NamedRun {
                blend: run.blend.clone(),
                replicate: run.replicate,
                date: run.date,
            }),
            tests: places.keys().map(|at| key_at(known.prepared, *at)).collect(),
            holds: &|result| run.holds(result, several),
        };
        without_part(known, front, part)
    });
    (runs.len(), outs.collect())
}

/// Of how many runs is told, from the leads of the front-runner without each: of those that change who is in front,
/// but of six at least and twelve at most where there are so many.
fn how_many_told(margins: impl ExactSizeIterator<Item = f64>) -> usize {
    let all = margins.len();
    let changing = margins.filter(|margin| *margin <= LEVEL).count();
    all.min(changing.clamp(TOLD, MOST_TOLD))
}

impl RunOf<'_> {
    /// Whether a result was measured in this run; of several specimens, each.
    fn holds(&self, result: &RunResult, several_specimens: bool) -> bool {
        &result.key.method == self.method
            && &result.blend == self.blend
            && result.rig.as_ref().map_or("", RigId::as_str) == self.rig
            && result.date == self.date
            && (several_specimens || result.replicate == self.replicate)
    }
}

/// Runs of the candidates in the standing and of the two reference oils, in tests that are weighed.
fn runs_that_count<'p>(known: &Known<'p, '_>) -> BTreeMap<RunOf<'p>, Places> {
    let Known {
        prepared,
        choice,
        kernel,
        ..
    } = *known;
    let in_standing = |blend: &BlendCode| {
        let mut ranked = kernel.ranked.iter();
        ranked.any(|place| prepared.candidates[*place] == blend)
    };
    let mut runs: BTreeMap<RunOf, Places> = BTreeMap::new();
    for at in choice.weighed() {
        let evidence = &prepared.fitted_test(at).evidence;
        let anchors = [evidence.good, evidence.poor];
        let counts = |blend: &BlendCode| in_standing(blend) || anchors.contains(&Some(blend));
        for cell in evidence.cells.iter().filter(|cell| counts(cell.blend)) {
            for (index, run) in cell.runs.iter().enumerate() {
                let of = RunOf {
                    method: &evidence.test.key.method,
                    blend: cell.blend,
                    rig: &run.block.rig,
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
fn margin_without(known: &Known, run: &RunOf, places: &Places) -> f64 {
    let Known { case, kernel, .. } = *known;
    let mut scores = kernel.scores.clone();
    for (at, gone) in places {
        let part = kernel.weights[*at] / kernel.total_weight;
        let without = (*at, run.blend.to_string(), gone.clone());
        let key = (case.what_if.head_room.to_bits(), without);
        let means = case
            .known
            .means
            .get_or(key, || means_without(known, run, *at, gone));
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
fn means_without(known: &Known, run: &RunOf, at: usize, gone: &[usize]) -> Option<MeansOf> {
    let Known { prepared, fitted, .. } = *known;
    let input = &fitted.input().tests[at];
    let candidate = prepared.candidates.iter().position(|blend| *blend == run.blend);
    if let Some(place) = candidate {
        let cell = without(&input.candidates[place], gone);
        return Some(vec![(place, fitted.mean_position_with(at, &cell).ok()?)]);
    }
    let evidence = &prepared.fitted_test(at).evidence;
    let mut test = input.clone();
    match &mut test.anchors {
        Anchors::Two { good, .. } | Anchors::Good { good, .. } if evidence.good == Some(run.blend) => {
            *good = without(good, gone);
        }
        Anchors::Two { poor, .. } | Anchors::Poor { poor, .. } => *poor = without(poor, gone),
        Anchors::Good { .. } => (),
    }
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
        own_deviation: cell.own_deviation,
    }
}

/// Score of the front-runner less the best other score; infinity where it is alone.
fn lead_of_front(kernel: &Ranking, scores: &[f64]) -> f64 {
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
pub struct MovedRun {
    /// The test.
    pub key: TestKey,
    /// The quantity's label.
    pub label: String,
    /// The blend: the front-runner or the runner-up.
    pub blend: BlendCode,
    /// How many runs it has there.
    pub runs: usize,
}

/// Where a single run of the front-runner or the runner-up, moved by the repeatability, would change who is in front:
/// the cell is computed again with that run moved.
pub(crate) fn moved_by_r(known: &Known) -> Vec<MovedRun> {
    let Known {
        prepared,
        choice,
        fitted,
        kernel,
        ..
    } = *known;
    let (Some(front), Some(lead)) = (kernel.front_runner, kernel.lead.as_ref()) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for at in choice.weighed() {
        let test = prepared.fitted_test(at);
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
    kernel: &Ranking,
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_six_to_twelve_runs_is_told_of_all_that_change_who_is_in_front_where_there_are_so_many() {
        for (changing, of, told) in [
            (0, 5, 5),
            (0, 6, 6),
            (0, 7, 6),
            (6, 20, 6),
            (7, 20, 7),
            (11, 20, 11),
            (12, 20, 12),
            (13, 20, 12),
        ] {
            let margins = |run| if run < changing { -0.1 } else { 0.1 };
            assert_eq!(how_many_told((0..of).map(margins)), told, "{changing} of {of}");
        }
    }

    #[test]
    fn a_run_without_which_the_scores_are_level_changes_who_is_in_front() {
        for (margin, told) in [
            (-LEVEL, 8),
            (0.0, 8),
            (0.9 * LEVEL, 8),
            (LEVEL, 8),
            (1.1 * LEVEL, 6),
        ] {
            assert_eq!(how_many_told([margin; 8].into_iter()), told, "{margin}");
        }
    }
}
