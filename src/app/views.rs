//! What the app hands to pages, JSON and command line.

use crate::app::CandidateScore;
use crate::intake::Fault;
use crate::records::{MachineSlug, TrialSlug, TrialStatus};
use crate::standing::Severity;
use crate::store::Added;
use jiff::civil::Date;

/// One line of the list of trials.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialLine {
    /// Slug.
    pub trial: TrialSlug,
    /// Title.
    pub title: String,
    /// Question.
    pub question: String,
    /// Machine.
    pub machine: MachineSlug,
    /// The machine's name.
    pub machine_name: String,
    /// Status.
    pub status: TrialStatus,
    /// Opened.
    pub opened_on: Option<Date>,
    /// Whether the data is invented.
    pub invented: bool,
    /// Who leads, where the evidence carries it.
    pub leader: Option<String>,
    /// Who is in front.
    pub front_runner: Option<String>,
    /// Share of draws in which the front-runner ranks first.
    pub p_best: Option<f64>,
    /// Number of cautions.
    pub cautions: usize,
    /// The most severe of them.
    pub worst: Option<Severity>,
    /// The scores of its candidates, the best first, those that are out last.
    pub candidates: Vec<CandidateScore>,
    /// Whether the evidence differs from that of its newest signed decision.
    pub evidence_changed: bool,
}

/// What to list; empty fields ask for everything.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct TrialQuery {
    /// Words, each of which must begin a word of a trial's texts.
    pub words: String,
    /// Machine slug.
    pub machine: String,
    /// Machine kind.
    pub kind: String,
    /// Method id.
    pub method: String,
    /// Component name.
    pub component: String,
    /// Status word.
    pub status: String,
    /// Year opened.
    pub year: String,
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
