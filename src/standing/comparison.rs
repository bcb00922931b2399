//! One trial judged, with what was asked of it.

use crate::records::{Term, TermScale, TrialRecords};
use crate::resemblance::{Scale, Scales};
use crate::standing::{ContactDuty, Sensitivity, Standing, WhatIf};
use std::sync::Arc;

/// One trial judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The records behind it, as what was asked has them.
    pub records: Arc<TrialRecords>,
    /// What was asked.
    pub what_if: WhatIf,
    /// What another duty has changed in each contact of the machine.
    pub duty: Vec<ContactDuty>,
    /// The standing under what was asked.
    pub standing: Standing,
    /// The standing as it is, when what was asked differs from it.
    pub as_it_is: Option<Standing>,
}

/// A trial's resemblance with what it decides.
#[derive(Clone, Debug, PartialEq)]
pub struct ResemblanceView {
    /// The comparison, whose tests carry the ten terms.
    pub comparison: Comparison,
    /// What each term counts.
    pub scales: Vec<ScaleLine>,
    /// Who is in front when single numbers are doubled or halved.
    pub sensitivity: Arc<Sensitivity>,
}

/// What one term counts, with what it would count by default and why it differs.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleLine {
    /// The term.
    pub term: Term,
    /// What it counts in this view.
    pub now: Scale,
    /// What it counts in the trial.
    pub of_trial: Scale,
    /// The default.
    pub usual: Scale,
    /// The newest change in this trial, with its reason.
    pub newest: Option<TermScale>,
}

impl ScaleLine {
    /// Whether the trial departs from the default here.
    pub fn is_changed(&self) -> bool {
        self.of_trial != self.usual
    }

    /// Whether this view departs from the trial here.
    pub fn is_asked(&self) -> bool {
        self.now != self.of_trial
    }
}

/// The ten terms of a comparison, in their order.
pub fn scale_lines(comparison: &Comparison) -> Vec<ScaleLine> {
    scale_lines_of(&comparison.records.term_scales, &comparison.what_if)
}

/// The same, from the changes that a trial keeps and a question.
pub(crate) fn scale_lines_of(changes: &[TermScale], what_if: &WhatIf) -> Vec<ScaleLine> {
    let (usual, of_trial) = (Scales::default(), Scales::of_trial(changes));
    let now = what_if.scales_over(changes);
    let line = |term| ScaleLine {
        term,
        now: now.of(term),
        of_trial: of_trial.of(term),
        usual: usual.of(term),
        newest: TermScale::newest(changes, term).cloned(),
    };
    Term::ALL.into_iter().map(line).collect()
}
