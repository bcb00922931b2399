//! What each term counts, in words, with the fields that ask for something else.

use crate::app::ScaleChange;
use crate::app::question;
use crate::prose::resemblance::scale_words;
use crate::records::TermScale;
use crate::resemblance::{Scale, Term};
use crate::standing::ScaleLine;
use crate::standing::WhatIf;
use crate::web::figures;
use crate::web::pages::resemblance::words;
use crate::web::preferences::preferences;

/// One term.
pub(crate) struct ScaleRow {
    pub(crate) term: &'static str,
    pub(crate) label: &'static str,
    pub(crate) is_first_order: bool,
    /// Whether it compares words by a table.
    pub(crate) is_table: bool,
    pub(crate) unit: &'static str,
    pub(crate) importance: String,
    pub(crate) halving: String,
    /// The same as a bare number, empty for a table.
    pub(crate) halving_number: String,
    /// The default where the trial or this view departs from it, in words.
    pub(crate) usual: String,
    /// What the trial counts where this view departs from it.
    pub(crate) of_trial: String,
    /// Why and when the trial departs, or went back.
    pub(crate) reason: String,
    pub(crate) asked_importance: String,
    pub(crate) asked_halving: String,
    /// The numbers that take the trial back to the default; `None` where it does not depart.
    pub(crate) back: Option<(String, String)>,
}

/// One change that was kept.
pub(crate) struct HistoryRow {
    pub(crate) label: &'static str,
    pub(crate) numbers: String,
    pub(crate) reason: String,
    pub(crate) when: String,
}

pub(super) fn rows(lines: &[ScaleLine], asked: &WhatIf) -> Vec<ScaleRow> {
    lines.iter().map(|line| row(line, asked)).collect()
}

fn row(line: &ScaleLine, asked: &WhatIf) -> ScaleRow {
    let term = line.term;
    let typed = asked.scales.get(&term).copied().unwrap_or_default();
    let text = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    let reason = line
        .newest
        .as_ref()
        .map(|newest| format!("{} ({})", newest.reason, figures::moment(&newest.entered_at)));
    ScaleRow {
        term: term.word(),
        label: term.label(),
        is_first_order: term.is_first_order(),
        is_table: line.usual.halving.is_none(),
        unit: unit(term),
        importance: figures::figure(line.now.importance),
        halving: halving_words(term, line.now),
        halving_number: line.now.halving.map(figures::figure).unwrap_or_default(),
        usual: if line.now == line.usual && !line.is_changed() {
            String::new()
        } else {
            scale_in_words(term, line.usual)
        },
        of_trial: if line.is_asked() {
            scale_in_words(term, line.of_trial)
        } else {
            String::new()
        },
        reason: reason.unwrap_or_default(),
        asked_importance: text(typed.importance),
        asked_halving: text(typed.halving),
        back: line
            .is_changed()
            .then(|| (line.usual.importance.to_string(), text(line.usual.halving))),
    }
}

/// What stands behind the field of a halving distance.
fn unit(term: Term) -> &'static str {
    match term.measure().word() {
        Some("difference") | None => "",
        Some(word) => word,
    }
}

fn halving_words(term: Term, scale: Scale) -> String {
    let said = scale
        .halving
        .map(|said| term.measure().words(&figures::figure(said)));
    said.unwrap_or_else(|| words::A_TABLE_OF_PAIRS.to_string())
}

/// A scale as the app says it, with the reader's decimal sign.
fn scale_in_words(term: Term, scale: Scale) -> String {
    scale_words(term, scale, preferences())
}

/// What this view counts otherwise than the trial; empty where nothing.
pub(super) fn asked_words(lines: &[ScaleLine]) -> String {
    let asked = lines.iter().filter(|line| line.is_asked());
    let words: Vec<String> = asked
        .map(|line| {
            words::instead_of(
                line.term.label(),
                &scale_in_words(line.term, line.now),
                &scale_in_words(line.term, line.of_trial),
            )
        })
        .collect();
    words.join("; ")
}

/// The fields of a question that are not about scales.
pub(super) fn other_fields(asked: &WhatIf) -> Vec<(String, String)> {
    let others = WhatIf {
        scales: Default::default(),
        ..asked.clone()
    };
    question::fields(&others)
}

/// The form that keeps a change, filled with the one term that is asked for, where it is one.
pub(super) fn typed(lines: &[ScaleLine], asked: &WhatIf) -> ScaleChange {
    let mut scales = asked.scales.iter();
    let (Some((term, scale)), None) = (scales.next(), scales.next()) else {
        return ScaleChange::default();
    };
    let departs = lines.iter().any(|line| line.term == *term && line.is_asked());
    let text = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    if departs {
        ScaleChange {
            term: term.word().to_string(),
            importance: text(scale.importance),
            halving: text(scale.halving),
            reason: String::new(),
        }
    } else {
        ScaleChange::default()
    }
}

/// Every change that was kept, the newest first.
pub(super) fn history(changes: &[TermScale]) -> Vec<HistoryRow> {
    let mut sorted: Vec<&TermScale> = changes.iter().collect();
    sorted.sort_by(|a, b| b.entered_at.cmp(&a.entered_at).then(a.term.cmp(&b.term)));
    let row = |change: &TermScale| HistoryRow {
        label: change.term.label(),
        numbers: scale_in_words(
            change.term,
            Scale {
                importance: change.importance,
                halving: change.halving,
            },
        ),
        reason: change.reason.clone(),
        when: figures::moment(&change.entered_at),
    };
    sorted.into_iter().map(row).collect()
}
