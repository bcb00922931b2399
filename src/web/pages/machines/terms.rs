//! The ten terms of a contact in trade units, for pages.

use crate::contact::terms::ContactTerms;
use crate::resemblance::Term;
use crate::units::Interval;
use crate::web::figures;
use crate::web::pages::machines::words;

/// One of the ten terms of a contact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TermRow {
    pub(crate) term: &'static str,
    pub(crate) label: &'static str,
    pub(crate) value: String,
}

/// `0.7 to 1.5 GPa`, `8 to 47 MPa`.
fn pressure(range: Interval) -> String {
    if range.hi() >= 0.1e9 {
        format!(
            "{} {}",
            figures::range_in(range, 1e9, "GPa"),
            figures::measured_unit("GPa")
        )
    } else {
        format!(
            "{} {}",
            figures::range_in(range, 1e6, "MPa"),
            figures::measured_unit("MPa")
        )
    }
}

/// The ten terms in trade units; what is not known says so.
pub(crate) fn term_rows(terms: &ContactTerms) -> Vec<TermRow> {
    let plain = |range: Option<Interval>, unit: &str| {
        range.map(|range| {
            format!("{} {unit}", figures::range(range, 1.0))
                .trim()
                .to_string()
        })
    };
    let value = |term: Term| match term {
        Term::Pressure => {
            let mean = terms.mean_pressure_pa.map(|mean| words::mean(&pressure(mean)));
            let both = [terms.max_pressure_pa.map(pressure), mean];
            Some(both.into_iter().flatten().collect::<Vec<_>>().join("; ")).filter(|text| !text.is_empty())
        }
        Term::Sliding => plain(terms.sliding_m_s, "m/s"),
        Term::SlideRoll => plain(terms.slide_roll, ""),
        Term::Shape => terms.shape.map(|shape| match terms.ellipticity {
            Some(ratio) => words::shape_with_axis_ratio(shape.word(), &figures::range(ratio, 1.0)),
            None => shape.word().to_string(),
        }),
        Term::Motion => terms.motion.map(|motion| motion.word().to_string()),
        Term::ContactTemperature => {
            let bulk = terms
                .bulk_temperature_c
                .map(|bulk| words::bulk(&figures::measured_range(bulk, "°C")));
            let contact = (terms.contact_temperature_c).map(|range| figures::measured_range(range, "°C"));
            let both: Vec<String> = [contact, bulk].into_iter().flatten().collect();
            Some(both.join("; ")).filter(|text| !text.is_empty())
        }
        Term::FilmRatio => plain(terms.film_ratio, ""),
        Term::Materials => terms.materials.map(|materials| materials.word().to_string()),
        Term::TimeInContact => terms
            .time_share
            .map(|share| format!("{} %", figures::range(share, 0.01))),
        Term::Supply => terms.supply.map(|supply| supply.word().to_string()),
    };
    let row = |term: Term| TermRow {
        term: term.word(),
        label: term.label(),
        value: value(term).unwrap_or_else(|| words::NOT_KNOWN.to_string()),
    };
    Term::ALL.into_iter().map(row).collect()
}
