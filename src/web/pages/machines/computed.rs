//! What a contact comes to, for a page: terms, what else is computed, its area to scale.

use crate::app::Oil;
use crate::contact::terms::ContactTerms;
use crate::drawing::drawing_of_preset;
use crate::records::Preset;
use crate::web::contact_view::DrawingView;
use crate::web::figures;
use crate::web::pages::machines::terms::{TermRow, term_rows};
use crate::web::pages::machines::words;
use crate::web::preferences::preferences;

/// What a contact comes to.
pub(crate) struct Computed {
    pub(crate) terms: Vec<TermRow>,
    /// Why the terms cannot be computed; empty where they can.
    pub(crate) problem: String,
    pub(crate) marks: Vec<String>,
    /// What else follows from geometry, load and speed; empty for a stated contact.
    pub(crate) further: Vec<(&'static str, String)>,
    /// The contact to scale.
    pub(crate) drawing: DrawingView,
}

impl Computed {
    /// What a preset comes to with an oil; its terms were computed with the same one.
    pub(crate) fn of(preset: &Preset, oil: Option<&Oil>, terms: &Result<ContactTerms, String>) -> Self {
        let (terms, problem, marks) = match terms {
            Ok(terms) => (term_rows(terms), String::new(), terms.notes.clone()),
            Err(problem) => (Vec::new(), problem.clone(), Vec::new()),
        };
        let further = if preset.word() == "stated" {
            Vec::new()
        } else {
            preset.computed(oil).unwrap_or_default()
        };
        let further = further.into_iter().map(|(label, range, unit)| {
            let unit = if unit == "-" { "" } else { unit };
            (label, figures::measured_range(range, unit))
        });
        Self {
            terms,
            problem,
            marks,
            further: further.collect(),
            drawing: DrawingView::new(
                drawing_of_preset(preset, preferences()),
                words::AT_THE_SEVERE_END_OF_THE_DUTY,
            ),
        }
    }
}
