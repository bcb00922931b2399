//! What a contact comes to, for a page: its eleven terms in trade units, what else is computed, its area to scale.

use crate::app::Oil;
use crate::contact::terms::ContactTerms;
use crate::drawing::drawing_of_preset;
use crate::records::Preset;
use crate::resemblance::Term;
use crate::units::Interval;
use crate::web::contact_view::DrawingView;
use crate::web::figures;
use crate::web::preferences::preferences;

/// What a contact comes to.
pub(crate) struct Computed {
    /// Each term with its value.
    pub(crate) terms: Vec<(Term, String)>,
    /// Why the terms cannot be computed; empty where they can.
    pub(crate) problem: String,
    pub(crate) marks: Vec<&'static str>,
    /// What else follows from geometry, load and speed; empty for a stated contact.
    pub(crate) further: Vec<(&'static str, String)>,
    /// The contact to scale.
    pub(crate) drawing: DrawingView,
}

impl Computed {
    /// What a preset comes to with an oil; its terms were computed with the same one.
    pub(crate) fn of(preset: &Preset, oil: Option<&Oil>, terms: &Result<ContactTerms, String>) -> Self {
        let (terms, problem, marks) = match terms {
            Ok(terms) => (
                term_values(terms),
                String::new(),
                terms.notes.iter().map(|note| note.words()).collect(),
            ),
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
                "at the severe end of the duty",
            ),
        }
    }
}

/// `0.7 to 1.5 GPa`, `8 to 47 MPa`.
fn pressure(range: Interval) -> String {
    let (per_unit, unit) = if range.hi() >= 0.1e9 {
        (1e9, "GPa")
    } else {
        (1e6, "MPa")
    };
    let numbers = figures::range_in(range, per_unit, unit);
    format!("{numbers} {}", figures::measured_unit(unit))
}

/// The eleven terms in trade units; what is not known says so.
pub(crate) fn term_values(terms: &ContactTerms) -> Vec<(Term, String)> {
    let value = |term: Term| term_value(term, terms).unwrap_or_else(|| "not known".to_string());
    Term::ALL.into_iter().map(|term| (term, value(term))).collect()
}

fn term_value(term: Term, terms: &ContactTerms) -> Option<String> {
    let number = |range: Interval| figures::range(range, 1.0);
    match term {
        Term::Pressure => {
            let mean = terms
                .mean_pressure_pa
                .map(|mean| format!("mean {}", pressure(mean)));
            both(terms.max_pressure_pa.map(pressure), mean)
        }
        Term::Sliding => terms.sliding_m_s.map(|speed| format!("{} m/s", number(speed))),
        Term::Entrainment => terms
            .entrainment_m_s
            .map(|speed| format!("{} m/s", number(speed))),
        Term::SlideRoll => terms.slide_roll.map(number),
        Term::Shape => {
            let shape = terms.shape?.word();
            Some(match terms.ellipticity {
                Some(ratio) => format!("{shape}, longer over shorter axis {}", number(ratio)),
                None => shape.to_string(),
            })
        }
        Term::Motion => terms.motion.map(|motion| motion.word().to_string()),
        Term::ContactTemperature => {
            let degrees = |range: Interval| figures::measured_range(range, "°C");
            let bulk = terms
                .bulk_temperature_c
                .map(|bulk| format!("bulk {}", degrees(bulk)));
            both(terms.contact_temperature_c.map(degrees), bulk)
        }
        Term::FilmRatio => terms.film_ratio.map(number),
        Term::Materials => terms.materials.map(|materials| materials.word().to_string()),
        Term::TimeInContact => {
            let share = terms.time_share?;
            Some(format!("{} %", figures::range(share, 0.01)))
        }
        Term::Supply => terms.supply.map(|supply| supply.word().to_string()),
    }
}

/// What is known of two texts, with a semicolon between.
fn both(first: Option<String>, second: Option<String>) -> Option<String> {
    match (first, second) {
        (Some(first), Some(second)) => Some(format!("{first}; {second}")),
        (first, second) => first.or(second),
    }
}
