//! Who is in front when a number of one term is doubled or halved: one row per term.

use crate::prose::standing::per_cent;
use crate::records::{TermScale, TrialSlug};
use crate::resemblance::Term;
use crate::standing::{Moved, MovedLine, Sensitivity, Tried, WhatIf};
use crate::web::figures;
use crate::web::pages::weights::address;

/// One term with its four changes: importance twice and half, halving distance twice and half.
pub(crate) struct MovedRow {
    pub(crate) term: Term,
    /// `None` where there is nothing to change: an importance of 0, a table of words.
    pub(crate) cells: Vec<Option<MovedCell>>,
}

/// One change.
pub(crate) struct MovedCell {
    /// `3 to 6`, `factor 2 to factor 4`.
    pub(crate) numbers: String,
    /// Where the page shows it; empty where the number is beyond what can be asked.
    pub(crate) href: String,
    /// Share of draws in which the front-runner as it is ranks first then.
    pub(crate) share: String,
    /// Who is in front instead; empty where nobody else is.
    pub(crate) front: String,
    /// Who leads then, where that changes; empty otherwise.
    pub(crate) leads: String,
}

impl MovedCell {
    /// Whether anything changes.
    pub(crate) fn changes(&self) -> bool {
        !self.front.is_empty() || !self.leads.is_empty()
    }
}

pub(super) fn rows(sensitivity: &Sensitivity, trial: &TrialSlug, asked: &WhatIf) -> Vec<MovedRow> {
    if sensitivity.front_runner.is_none() {
        return Vec::new();
    }
    let columns = [
        (Moved::Importance, 2.0),
        (Moved::Importance, 0.5),
        (Moved::Halving, 2.0),
        (Moved::Halving, 0.5),
    ];
    let cell = |term: Term, (moved, times): (Moved, f64)| {
        let mut lines = sensitivity.lines.iter();
        let line = lines.find(|line| {
            let tried = line.tried;
            (tried.term, tried.moved, tried.times) == (term, moved, times)
        })?;
        Some(cell_of(line, trial, asked))
    };
    let row = |term: Term| MovedRow {
        term,
        cells: columns.map(|column| cell(term, column)).into_iter().collect(),
    };
    Term::ALL.into_iter().map(row).collect()
}

fn cell_of(line: &MovedLine, trial: &TrialSlug, asked: &WhatIf) -> MovedCell {
    let say = |number: f64| match line.tried.moved {
        Moved::Importance => figures::figure(number),
        Moved::Halving => line.tried.term.measure().words(&figures::figure(number)),
    };
    MovedCell {
        numbers: format!("{} to {}", say(line.tried.from), say(line.tried.to)),
        href: href(&line.tried, trial, asked),
        share: line.p_best.map(per_cent).unwrap_or_default(),
        front: match (line.changes_front, &line.front_runner) {
            (false, _) => String::new(),
            (true, None) => "nobody".to_string(),
            (true, Some(front)) => front.to_string(),
        },
        leads: match (line.changes_leader, &line.leader) {
            (false, _) => String::new(),
            (true, None) => "no leader can be named".to_string(),
            (true, Some(leader)) => format!("{leader} may be called the leader"),
        },
    }
}

/// The page under the change; empty where the number is beyond what can be asked.
fn href(tried: &Tried, trial: &TrialSlug, asked: &WhatIf) -> String {
    let sound = match tried.moved {
        Moved::Importance => TermScale::checked_importance(tried.to),
        Moved::Halving => TermScale::checked_halving(tried.term, tried.to),
    };
    if sound.is_err() {
        return String::new();
    }
    address(trial, &tried.asked(asked))
}
