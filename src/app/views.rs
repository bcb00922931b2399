//! What the app hands to pages, JSON and command line.

use crate::app::Summary;
use crate::intake::Fault;
use crate::store::{Added, Hit, TrialFilter, TrialHead, TrialOrder};

/// One line of the list of trials.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialLine {
    /// The trial.
    pub head: TrialHead,
    /// What it came to when it was judged last.
    pub summary: Summary,
    /// Where the words that were searched for stand.
    pub hits: Vec<Hit>,
}

/// What to list, and which page of it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialQuery {
    /// What to find.
    pub filter: TrialFilter,
    /// Page, from 1.
    pub page: usize,
    /// In which order.
    pub sort: Sort,
    /// Whether it is turned round.
    pub is_reversed: bool,
}

/// By what the list of trials is ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// By what the file holds of each trial.
    Kept(TrialOrder),
    /// By what can be said: leaders first, then by how often whoever is first comes first.
    Verdict,
    /// By the gravest caution, then by their number.
    Caution,
}

impl TrialQuery {
    /// All trials as the list shows them unasked: the open ones first.
    pub fn open_first() -> Self {
        Self {
            sort: Sort::Kept(TrialOrder::OpenFirst),
            ..Self::default()
        }
    }
}

impl Default for Sort {
    fn default() -> Self {
        Self::Kept(TrialOrder::default())
    }
}

impl Sort {
    /// Whether it needs every trial judged, which is done where all stand on one page.
    pub fn needs_judging(self) -> bool {
        !matches!(self, Self::Kept(_))
    }
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
