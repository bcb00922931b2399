//! From the run log of a four-ball extreme-pressure test to its results (ASTM D2783, rules partly from memory): last
//! non-seizure load, weld point, load-wear index.

mod table;
#[cfg(test)]
mod tests;

use crate::catalogue::readings::StepBounds;

pub use table::{compensation_scar_mm, hertz_scar_mm, ladder_kgf, step_kgf};

/// A scar up to this share of the compensation line's is one without seizure (ASTM D2783, seen in a digest).
pub const NON_SEIZURE: f64 = 1.05;
/// Steps below the weld point that enter the index.
pub const IN_INDEX: usize = 10;
/// Loads that a four-ball machine applies, kgf (ours, wide).
pub const LOADS_KGF: [f64; 2] = [1.0, 2000.0];
/// Diameter of a ball, mm: no scar is wider.
pub const BALL_MM: f64 = 12.7;
/// Where balls do not weld, the load at which the mean scar reaches this counts as the weld point, mm (ASTM D2783, from
/// memory).
pub const WELD_SCAR_MM: f64 = 4.0;
/// Loads within this share of each other are one load.
const SAME_LOAD: f64 = 1e-9;
/// A scar is read to a hundredth of a millimetre, so that it may read half of that too small.
const HALF_READING_MM: f64 = 0.005;

/// What a run at one load left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// A mean scar, mm.
    Scar(f64),
    /// The balls welded.
    Weld,
}

/// One run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Applied load, kgf.
    pub load_kgf: f64,
    /// What it left.
    pub outcome: Outcome,
}

/// A run that cannot stand as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunFault {
    /// Its place in the log, from 0.
    pub row: usize,
    /// What is wrong.
    pub problem: RunProblem,
}

/// What is wrong with a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RunProblem {
    /// A load outside what a machine applies.
    Load,
    /// No scar, or one wider than a ball.
    Scar,
    /// A scar smaller than the unworn contact, which is so many mm.
    BelowUnworn(f64),
    /// A scar above a load that welded.
    Welded,
    /// The load of another run, by its place from 0.
    SameLoad(usize),
}

/// Where a scar comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScarFrom {
    /// From the run.
    Measured,
    /// From the table of the compensation line, or between two of its steps.
    CompensationLine,
    /// From the smooth stand-in outside the table.
    StandIn,
}

/// One load of the finished log.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Load, kgf.
    pub load_kgf: f64,
    /// Scar, mm.
    pub scar_mm: f64,
    /// Where the scar comes from.
    pub scar_from: ScarFrom,
    /// Scar of the unworn contact, mm.
    pub hertz_scar_mm: f64,
    /// Scar of the compensation line, mm.
    pub compensation_scar_mm: f64,
    /// Load times unworn over measured scar, kgf.
    pub corrected_kgf: f64,
    /// Place among the ten steps of the index, from 1; `None` for a load outside it.
    pub in_index: Option<usize>,
}

impl Level {
    /// Whether the scar is one without seizure.
    pub fn is_without_seizure(&self) -> bool {
        self.scar_mm <= NON_SEIZURE * self.compensation_scar_mm + 1e-9
    }
}

/// Why a result is missing.
#[derive(Clone, Debug, PartialEq)]
pub enum Missing {
    /// No run welded: the weld point lies above this load, kgf.
    NoWeld(f64),
    /// The lowest run was already beyond the compensation line, kgf.
    SeizedFromTheStart(f64),
    /// No run left a scar.
    NoScar,
    /// The ladder has only so many steps below the weld point.
    FewSteps(usize),
    /// Steps of the index, kgf, that were not run and may not be taken from the compensation line.
    NotRun(Vec<f64>),
}

/// Results of a run log.
#[derive(Clone, Debug, PartialEq)]
pub struct EpResult {
    /// Last non-seizure load, kgf.
    pub last_non_seizure_kgf: Result<f64, Missing>,
    /// Weld point, kgf.
    pub weld_kgf: Result<f64, Missing>,
    /// Between which loads, kgf, the balls weld: the greatest that was run below the weld point, and the weld point. Where two
    /// runs disagree at one load, the loads next to it.
    pub weld_bounds: StepBounds,
    /// The smallest load, kgf, that was run above the last non-seizure load.
    pub seized_at_kgf: Option<f64>,
    /// Load-wear index, kgf.
    pub load_wear_index_kgf: Result<f64, Missing>,
    /// Every load with a scar, rising.
    pub levels: Vec<Level>,
}

/// The results of a run log, in any order of its rows.
///
/// # Formula
/// Corrected load = `P Dh / X`, X the scar, `Dh = 0.0873 mm P^(1/3)`. Last non-seizure load: the highest load up to which
/// every scar lies within 5 % of the compensation line. Weld point: the lowest load that welded, or left a scar of 4 mm or more. Load-wear index: the sum of
/// the corrected loads of the ten standard steps immediately below the weld point, over ten. A step of those that was not
/// run takes the compensation line's scar where it lies below the last non-seizure load; otherwise there is no index.
///
/// # Errors
/// Every run that cannot stand: a load outside 1 to 2000 kgf, a scar that is none or smaller than the unworn contact, a
/// load given twice with scars, a scar above a load that welded. One that welded at the load of a scar disagrees with it.
pub fn evaluate(runs: &[Run]) -> Result<EpResult, Vec<RunFault>> {
    let fault = |row| problem_of(runs, row).map(|problem| RunFault { row, problem });
    let faults: Vec<RunFault> = (0..runs.len()).filter_map(fault).collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let runs: Vec<Run> = runs.iter().map(with_weld_scar).collect();
    let runs = runs.as_slice();
    let mut levels: Vec<Level> = runs.iter().filter_map(measured).collect();
    levels.sort_by(|a, b| a.load_kgf.total_cmp(&b.load_kgf));
    let welded = lowest_weld(runs);
    let highest = runs.iter().map(|run| run.load_kgf).fold(0.0, f64::max);
    let last_non_seizure_kgf = last_non_seizure(&levels);
    let last_good = last_non_seizure_kgf.as_ref().ok().copied();
    let above = |load: &f64| last_good.is_some_and(|last| *load > last * (1.0 + SAME_LOAD));
    let seized_at_kgf = runs.iter().map(|run| run.load_kgf).filter(above).reduce(f64::min);
    let load_wear_index_kgf = match welded {
        None => Err(Missing::NoWeld(highest)),
        Some(weld) => index_below(weld, last_non_seizure_kgf.as_ref().ok(), &mut levels),
    };
    Ok(EpResult {
        last_non_seizure_kgf,
        weld_kgf: welded.ok_or(Missing::NoWeld(highest)),
        weld_bounds: weld_bounds(runs, welded),
        seized_at_kgf,
        load_wear_index_kgf,
        levels,
    })
}

/// A scar as wide as a weld counts as one.
fn with_weld_scar(run: &Run) -> Run {
    match run.outcome {
        Outcome::Scar(scar) if scar >= WELD_SCAR_MM => Run {
            outcome: Outcome::Weld,
            ..*run
        },
        _ => *run,
    }
}

/// Between which loads the balls weld; `welded` is the lowest load that did.
fn weld_bounds(runs: &[Run], welded: Option<f64>) -> StepBounds {
    let loads = |has_welded: bool| {
        let of_outcome = runs
            .iter()
            .filter(move |run| (run.outcome == Outcome::Weld) == has_welded);
        of_outcome.map(|run| run.load_kgf)
    };
    let Some(welded) = welded else {
        return StepBounds {
            passed: loads(false).reduce(f64::max),
            ..StepBounds::default()
        };
    };
    let passed = loads(false).filter(|load| *load < welded * (1.0 - SAME_LOAD));
    let is_at = |load: f64| (load / welded - 1.0).abs() < SAME_LOAD;
    let disagree_at = loads(false).any(is_at).then_some(welded);
    let above = |load: &f64| *load > welded * (1.0 + SAME_LOAD);
    let next = || ladder_kgf().find(above);
    StepBounds {
        passed: passed.reduce(f64::max),
        failed: match disagree_at {
            Some(_) => loads(true).filter(above).reduce(f64::min).or_else(next),
            None => Some(welded),
        },
        disagree_at,
    }
}

fn lowest_weld(runs: &[Run]) -> Option<f64> {
    let runs = runs.iter().map(with_weld_scar);
    let welded = runs.filter(|run| run.outcome == Outcome::Weld);
    welded.map(|run| run.load_kgf).min_by(f64::total_cmp)
}

/// What stands against one run, seen beside all others.
fn problem_of(runs: &[Run], row: usize) -> Option<RunProblem> {
    let run = runs[row];
    let [least, most] = LOADS_KGF;
    if !(least..=most).contains(&run.load_kgf) {
        return Some(RunProblem::Load);
    }
    let Outcome::Scar(scar) = run.outcome else {
        return None;
    };
    if !(scar > 0.0 && scar <= BALL_MM) {
        return Some(RunProblem::Scar);
    }
    let unworn = hertz_scar_mm(run.load_kgf);
    if scar < unworn - HALF_READING_MM {
        return Some(RunProblem::BelowUnworn(unworn));
    }
    let is_scar = scar < WELD_SCAR_MM;
    if is_scar && lowest_weld(runs).is_some_and(|weld| weld * (1.0 + SAME_LOAD) < run.load_kgf) {
        return Some(RunProblem::Welded);
    }
    let same = |other: &Run| {
        other.outcome != Outcome::Weld && (other.load_kgf / run.load_kgf - 1.0).abs() < SAME_LOAD
    };
    runs[..row].iter().position(same).map(RunProblem::SameLoad)
}

fn measured(run: &Run) -> Option<Level> {
    match run.outcome {
        Outcome::Weld => None,
        Outcome::Scar(scar_mm) => Some(level(run.load_kgf, scar_mm, ScarFrom::Measured)),
    }
}

fn level(load_kgf: f64, scar_mm: f64, scar_from: ScarFrom) -> Level {
    let hertz_scar_mm = hertz_scar_mm(load_kgf);
    Level {
        load_kgf,
        scar_mm,
        scar_from,
        hertz_scar_mm,
        compensation_scar_mm: compensation_scar_mm(load_kgf).0,
        corrected_kgf: load_kgf * hertz_scar_mm / scar_mm,
        in_index: None,
    }
}

fn last_non_seizure(levels: &[Level]) -> Result<f64, Missing> {
    let first = levels.first().ok_or(Missing::NoScar)?;
    let before_seizure = levels.iter().take_while(|level| level.is_without_seizure());
    before_seizure
        .last()
        .map(|level| level.load_kgf)
        .ok_or(Missing::SeizedFromTheStart(first.load_kgf))
}

/// The index below a weld point; marks its steps, and adds those taken from the compensation line.
fn index_below(weld: f64, last_good: Option<&f64>, levels: &mut Vec<Level>) -> Result<f64, Missing> {
    let below = ladder_kgf()
        .rev()
        .filter(|step| *step < weld && step_kgf(weld) != Some(*step));
    let mut steps: Vec<f64> = below.take(IN_INDEX).collect();
    if steps.len() < IN_INDEX {
        return Err(Missing::FewSteps(steps.len()));
    }
    steps.reverse();
    let mut not_run = Vec::new();
    for (place, step) in steps.iter().enumerate() {
        let run = levels
            .iter()
            .position(|level| step_kgf(level.load_kgf) == Some(*step));
        let at = match run {
            Some(at) => at,
            None if last_good.is_some_and(|last| step < last) => {
                let (scar, from) = compensation_scar_mm(*step);
                levels.push(level(*step, scar, from));
                levels.len() - 1
            }
            None => {
                not_run.push(*step);
                continue;
            }
        };
        levels[at].in_index = Some(place + 1);
    }
    if !not_run.is_empty() {
        // A part of an index would be taken for one.
        levels.retain(|level| level.scar_from == ScarFrom::Measured);
        levels.iter_mut().for_each(|level| level.in_index = None);
        return Err(Missing::NotRun(not_run));
    }
    levels.sort_by(|a, b| a.load_kgf.total_cmp(&b.load_kgf));
    let counted = levels.iter().filter(|level| level.in_index.is_some());
    Ok(counted.map(|level| level.corrected_kgf).sum::<f64>() / IN_INDEX as f64)
}
