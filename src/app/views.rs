//! What the app hands to pages, JSON and command line.

use crate::app::Summary;
use crate::intake::Fault;
use crate::store::{Added, TrialFilter, TrialHead};

/// One line of the list of trials.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialLine {
    /// The trial.
    pub head: TrialHead,
    /// What it came to when it was judged last.
    pub summary: Summary,
}

/// What to list, and which page of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialQuery {
    /// What to find.
    pub filter: TrialFilter,
    /// Page, from 1.
    pub page: usize,
}

/// A page of the list, with how many trials there are in all.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialList {
    /// How many match.
    pub total: usize,
    /// Those of this page.
    pub trials: Vec<TrialLine>,
}

/// What became of a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loaded {
    /// How many records of each kind are new or were there already.
    pub added: Added,
    /// What somebody should know about it.
    pub warnings: Vec<Fault>,
}
