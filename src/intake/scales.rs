//! trial_scales.csv: what the terms of the resemblance count in a trial, every change with its reason.

use crate::intake::Fault;
use crate::intake::cells::{Cells, Range};
use crate::intake::folder::{Folder, Names};
use crate::records::rows::TRIAL_SCALES;
use crate::records::{ScaleFault, Term, TermScale, TrialSlug};
use std::collections::BTreeMap;

pub(crate) fn term_scales(folder: &mut Folder) -> Vec<TermScale> {
    let rows = folder.read(TRIAL_SCALES, term_scale);
    refuse_two_at_once(folder, &rows);
    rows.into_iter().map(|(_, scale)| scale).collect()
}

fn term_scale(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<TermScale> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let term = cells.word("term", Term::from_word, &Term::allowed());
    let importance = cells
        .number("importance", Range::Any)
        .and_then(|number| sound(cells, TermScale::checked_importance(number)));
    let halving = cells.optional_number("halving", Range::Any);
    let halving = match (term, halving) {
        (Some(term), Some(Some(number))) => sound(cells, TermScale::checked_halving(term, number)).map(Some),
        (Some(term), Some(None)) if term.measure().word().is_some() => {
            cells.refuse("halving", "is empty; this term has a halving distance")
        }
        (_, halving) => halving,
    };
    let reason = match cells.trimmed("reason") {
        "" => cells.refuse("reason", "is empty; a change says why"),
        _ => Some(cells.text("reason")),
    };
    let entered_at = TermScale::moment(cells.trimmed("entered_at")).or_else(|| {
        cells.refuse(
            "entered_at",
            "is no moment; write one such as 2026-11-24T09:30:00Z",
        )
    });
    Some(TermScale {
        trial: trial?,
        term: term?,
        importance: importance?,
        halving: halving?,
        reason: reason?,
        entered_at: entered_at?,
    })
}

fn sound(cells: &mut Cells<'_>, checked: Result<f64, ScaleFault>) -> Option<f64> {
    checked.map_or_else(|fault| cells.refuse(fault.field(), fault.to_string()), Some)
}

/// Of two changes at one moment neither would be the newer one.
fn refuse_two_at_once(folder: &mut Folder, rows: &[(u64, TermScale)]) {
    let mut seen: BTreeMap<(&TrialSlug, Term, &str), u64> = BTreeMap::new();
    for (line, scale) in rows {
        let key = (&scale.trial, scale.term, scale.entered_at.as_str());
        if let Some(first) = seen.get(&key) {
            let problem = format!("trial, term, entered_at stands in line {first} already");
            let fault = Fault::new(TRIAL_SCALES.name, *line, "entered_at", &scale.entered_at, problem);
            folder.faults.push(fault);
        } else {
            seen.insert(key, *line);
        }
    }
}
