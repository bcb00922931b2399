//! trial_scales.csv: what the terms of the resemblance count in a trial, every change with its reason.

use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::prose::faults::scale_fault;
use crate::records::table::column;
use crate::records::{Term, TermScale, TrialSlug};
use std::collections::BTreeMap;

pub(crate) fn term_scales(folder: &mut Folder) -> Vec<TermScale> {
    let rows = folder.read_with(term_scale);
    refuse_two_at_once(folder, &rows);
    rows.into_iter().map(|(.., scale)| scale).collect()
}

fn term_scale(cells: &mut Cells<'_>) -> Option<((), TermScale)> {
    let scale: Option<((), TermScale)> = cells.record();
    let (term, halving) = (
        cells.peek::<Term>(&column("term")),
        cells.peek(&column("halving")),
    );
    let importance = cells.peek::<f64>(&column("importance"));
    let importance = importance.and_then(|number| TermScale::checked_importance(number).err());
    let importance = importance.map(scale_fault);
    let halving = match (term, halving) {
        (Some(term), Some(Some(number))) => TermScale::checked_halving(term, number).err().map(scale_fault),
        (Some(term), Some(None)) if term.measure().word().is_some() => {
            Some("is empty; this term has a halving distance")
        }
        _ => None,
    };
    let no_reason = cells.trimmed("reason").is_empty();
    let no_reason = no_reason.then_some("is empty; a change says why");
    let is_sound = [
        cells.passes("importance", importance),
        cells.passes("halving", halving),
        cells.passes("reason", no_reason),
    ];
    let entered_at = TermScale::moment(cells.trimmed("entered_at")).or_else(|| {
        cells.refuse(
            "entered_at",
            "is no moment; write one such as 2026-11-24T09:30:00Z",
        )
    });
    let ((), scale) = scale.filter(|_| is_sound == [true; 3])?;
    let entered_at = entered_at?;
    Some(((), TermScale { entered_at, ..scale }))
}

/// Of two changes at one moment neither would be the newer one.
fn refuse_two_at_once(folder: &mut Folder, rows: &[(u64, (), TermScale)]) {
    let mut seen: BTreeMap<(&TrialSlug, Term, &str), u64> = BTreeMap::new();
    for (line, (), scale) in rows {
        let key = (&scale.trial, scale.term, scale.entered_at.as_str());
        if let Some(first) = seen.get(&key) {
            let problem = format!("trial, term, entered_at stands in line {first} already");
            folder.refuse::<TermScale>(*line, "entered_at", &scale.entered_at, problem);
        } else {
            seen.insert(key, *line);
        }
    }
}
