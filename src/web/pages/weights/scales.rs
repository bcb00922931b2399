//! What each term counts, in words, with the fields that ask for something else.

use crate::app::ScaleChange;
use crate::prose::resemblance::scale_words;
use crate::records::TermScale;
use crate::resemblance::{Scale, Term};
use crate::standing::ScaleLine;
use crate::standing::WhatIf;
use crate::web::figures;
use crate::web::preferences::preferences;

/// One term.
pub(crate) struct ScaleRow {
    pub(crate) term: Term,
    /// Whether it compares words by a table.
    pub(crate) is_table: bool,
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
        term,
        is_table: line.usual.halving.is_none(),
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
pub(super) fn unit(term: Term) -> &'static str {
    match term.measure().word() {
        Some("difference") | None => "",
        Some(word) => word,
    }
}

fn halving_words(term: Term, scale: Scale) -> String {
    let said = scale
        .halving
        .map(|said| term.measure().words(&figures::figure(said)));
    said.unwrap_or_else(|| "a table of pairs".to_string())
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
            let [now, of_trial] = [line.now, line.of_trial].map(|scale| scale_in_words(line.term, scale));
            format!("{} {now} instead of {of_trial}", line.term.label())
        })
        .collect();
    words.join("; ")
}

/// The form that keeps a change, filled with the one term that is asked for, where it is one.
pub(super) fn typed(lines: &[ScaleLine], asked: &WhatIf) -> ScaleChange {
    let mut scales = asked.scales.iter();
    let (Some((term, scale)), None) = (scales.next(), scales.next()) else {
        return ScaleChange::default();
    };
    if !lines.iter().any(|line| line.term == *term && line.is_asked()) {
        return ScaleChange::default();
    }
    let text = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    ScaleChange {
        term: term.word().to_string(),
        importance: text(scale.importance),
        halving: text(scale.halving),
        reason: String::new(),
    }
}

/// Every change that was kept, the newest first.
pub(super) fn history(changes: &[TermScale]) -> Vec<&TermScale> {
    let mut sorted: Vec<&TermScale> = changes.iter().collect();
    sorted.sort_by(|a, b| b.entered_at.cmp(&a.entered_at).then(a.term.cmp(&b.term)));
    sorted
}

/// What a kept change counts, in words.
pub(super) fn change_in_words(change: &TermScale) -> String {
    let scale = Scale {
        importance: change.importance,
        halving: change.halving,
    };
    scale_in_words(change.term, scale)
}
