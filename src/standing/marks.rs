//! What is known against single runs, in a word that a plot can show.

use crate::records::RunResult;
use crate::standing::doubted::{Doubted, Why};
use crate::standing::rig_chart::RigChart;
use std::collections::BTreeMap;

/// A run under other conditions than those that count: shown, not pooled.
pub const OTHER_CONDITIONS: &str = "other conditions";

/// Marks by result. Of several against one run the first holds: suspect, far apart, out of control.
pub(crate) struct RunMarks {
    /// By address: every result is one row of one records.
    by_result: BTreeMap<*const RunResult, &'static str>,
}

impl RunMarks {
    /// Marks of doubted runs and of runs in out-of-control spans, of all tests of a records.
    pub(crate) fn new(doubted: &[Doubted], out_of_control: &[Vec<(&RunResult, RigChart)>]) -> Self {
        let mut by_result = BTreeMap::new();
        for (result, _) in out_of_control.iter().flatten() {
            by_result.insert(std::ptr::from_ref(*result), "rig out of control");
        }
        let marked_last = |one: &&Doubted| matches!(one.why, Why::Marked { .. });
        let (marked, far_apart): (Vec<&Doubted>, Vec<&Doubted>) = doubted.iter().partition(marked_last);
        for (doubts, mark) in [(far_apart, "beyond the critical range"), (marked, "suspect")] {
            for result in doubts.iter().flat_map(|one| &one.results) {
                by_result.insert(std::ptr::from_ref(*result), mark);
            }
        }
        Self { by_result }
    }

    /// The mark of a result.
    pub(crate) fn of(&self, result: &RunResult) -> Option<&'static str> {
        self.by_result.get(&std::ptr::from_ref(result)).copied()
    }
}
