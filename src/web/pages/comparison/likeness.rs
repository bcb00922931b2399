//! The comparison of a test's contact with each machine contact, term by term, in words.

use crate::prose::resemblance::remark;
use crate::prose::standing::per_cent;
use crate::resemblance::{Term, TermLikeness, TermValue};
use crate::standing::{ContactLikeness, TestStanding};
use crate::web::figures;

/// One machine contact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ContactRow {
    pub(crate) name: String,
    /// The contact of the test that is laid beside it.
    pub(crate) of_test: String,
    pub(crate) share: String,
    pub(crate) resemblance: String,
    pub(crate) relevance: String,
    pub(crate) beyond: String,
    /// Likeness over all terms, `G`.
    pub(crate) over_all: String,
    /// The first-order term that is least alike, with its similarity `F`.
    pub(crate) least: String,
    pub(crate) terms: Vec<TermRow>,
}

/// One term.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TermRow {
    pub(crate) label: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) test: String,
    pub(crate) machine: String,
    pub(crate) similarity: String,
    pub(crate) importance: String,
    pub(crate) remark: &'static str,
    /// Whether a mismatch here is not made good by likeness elsewhere.
    pub(crate) first_order: bool,
}

impl ContactRow {
    /// The term in a row of the table; every contact lists the same eleven.
    pub(crate) fn term(&self, row: &usize) -> &TermRow {
        &self.terms[*row]
    }
}

/// All machine contacts of a test.
pub(crate) fn rows(test: &TestStanding) -> Vec<ContactRow> {
    test.contacts.iter().map(row).collect()
}

fn row(contact: &ContactLikeness) -> ContactRow {
    let likeness = &contact.resemblance;
    let beyond: Vec<&str> = likeness.beyond.iter().map(|beyond| beyond.word()).collect();
    ContactRow {
        name: contact.contact.clone(),
        of_test: contact.of_test.clone(),
        share: per_cent(contact.share),
        resemblance: likeness
            .value
            .map_or_else(|| "unknown".to_string(), figures::position),
        relevance: figures::position(contact.relevance),
        beyond: beyond.join(", "),
        over_all: likeness
            .over_all_terms()
            .map_or_else(|| "unknown".to_string(), figures::position),
        least: match likeness.least_first_order() {
            None => "unknown".to_string(),
            Some((_, similarity)) if similarity >= 1.0 => {
                format!("none, all four {}", figures::position(1.0))
            }
            Some((term, similarity)) => {
                format!(
                    "{}, {}",
                    term.label().to_lowercase(),
                    figures::position(similarity)
                )
            }
        },
        terms: likeness.terms.iter().map(term).collect(),
    }
}

fn term(likeness: &TermLikeness) -> TermRow {
    let (unit, per_unit) = unit_of(likeness.term);
    TermRow {
        label: likeness.term.label(),
        unit: figures::measured_unit(unit),
        test: side(&likeness.test, per_unit, unit),
        machine: side(&likeness.machine, per_unit, unit),
        similarity: likeness
            .similarity
            .map_or_else(|| "left out".to_string(), figures::position),
        importance: figures::position(likeness.importance),
        remark: likeness.remark.map(remark).unwrap_or_default(),
        first_order: likeness.is_first_order(),
    }
}

/// The unit a term is shown in, and how many SI units that is.
fn unit_of(term: Term) -> (&'static str, f64) {
    match term {
        Term::Pressure => ("GPa", 1e9),
        Term::Sliding | Term::Entrainment => ("m/s", 1.0),
        Term::ContactTemperature => ("°C", 1.0),
        Term::Shape => ("longer over shorter axis", 1.0),
        Term::TimeInContact => ("share of its time", 1.0),
        Term::SlideRoll | Term::Motion | Term::FilmRatio | Term::Materials | Term::Supply => ("", 1.0),
    }
}

fn side(value: &TermValue, per_unit: f64, unit: &'static str) -> String {
    match value {
        TermValue::Range(range) => figures::range_in(*range, per_unit, unit),
        TermValue::Word(word) => (*word).to_string(),
        TermValue::Unknown => "not known".to_string(),
    }
}
