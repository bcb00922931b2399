//! Who would be in front otherwise: under other assumptions, or with something left out.

use crate::records::{BlendCode, TestKey};
use std::collections::BTreeMap;

/// Who would be in front under another assumption.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// The assumption.
    pub what: String,
    /// Who is in front; `None` when nothing is left to weigh.
    pub front_runner: Option<BlendCode>,
    /// Its share of first places.
    pub p_best: Option<f64>,
    /// Score and share of first places of every candidate of the standing, where anything is left to weigh.
    pub candidates: BTreeMap<BlendCode, (f64, f64)>,
}

/// What was left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftOut {
    /// One quantity.
    Quantity,
    /// One method with all its quantities.
    Method,
    /// All results of one rig.
    Rig,
    /// All extreme-condition screens.
    ExtremeScreens,
    /// All results of one laboratory.
    Laboratory,
    /// All results of one rig in one campaign.
    Block,
    /// One run of one blend, with everything that was measured in it.
    Run,
    /// One result that is doubted.
    DoubtedRun,
}

impl LeftOut {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Quantity => "quantity",
            Self::Method => "method",
            Self::Rig => "rig",
            Self::ExtremeScreens => "all screens",
            Self::Laboratory => "laboratory",
            Self::Block => "campaign",
            Self::Run => "run",
            Self::DoubtedRun => "doubted run",
        }
    }
}

/// Who would be in front with something left out.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaveOut {
    /// What kind of thing.
    pub left_out: LeftOut,
    /// Its name: the key, the method id, the rig or laboratory, the rig and campaign, the blend and its run, or
    /// `all extreme screens`.
    pub name: String,
    /// Tests that fall away.
    pub tests: Vec<TestKey>,
    /// Whether all that falls away are extreme-condition screens.
    pub extreme: bool,
    /// Who is in front then; `None` when nothing is left to weigh.
    pub front_runner: Option<BlendCode>,
    /// Share of draws in which that one ranks first.
    pub p_best: Option<f64>,
    /// Probability that the front changes: share of draws in which another than the front-runner of everything ranks
    /// first; `None` when nothing is left to weigh.
    pub p_changes: Option<f64>,
    /// Whether somebody else is in front, or nothing is left.
    pub changes: bool,
}
