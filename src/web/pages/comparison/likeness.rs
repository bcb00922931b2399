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
    pub(crate) is: Is,
}

/// How a term is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Is {
    Alike,
    Unlike,
    LeftOut,
}

/// From this similarity on a term is told as alike (ours).
pub(crate) const TOLD_AS_ALIKE: f64 = 0.9;

impl Is {
    fn of(similarity: Option<f64>) -> Self {
        match similarity {
            None => Self::LeftOut,
            Some(similarity) if similarity >= TOLD_AS_ALIKE => Self::Alike,
            Some(_) => Self::Unlike,
        }
    }
}

impl ContactRow {
    /// The terms that are not alike.
    pub(crate) fn unlike(&self) -> Vec<&TermRow> {
        self.those(Is::Unlike).collect()
    }

    /// The other terms, in words: those that are alike, and those that are left out.
    pub(crate) fn rest(&self) -> String {
        let alike = self
            .those(Is::Alike)
            .map(|term| format!("{} {}", term.label.to_lowercase(), term.similarity));
        let left_out = self.those(Is::LeftOut).map(|term| {
            let why = term.remark.strip_prefix("left out: ").unwrap_or(term.remark);
            let why = if why.is_empty() { "not compared" } else { why };
            format!("{} ({why})", term.label.to_lowercase())
        });
        let listed = |kind: &str, words: Vec<String>| match words.is_empty() {
            true => String::new(),
            false => format!("{kind}: {}. ", words.join(", ")),
        };
        let words = listed("Alike", alike.collect()) + &listed("Left out", left_out.collect());
        words.trim_end().to_string()
    }

    fn those(&self, is: Is) -> impl Iterator<Item = &TermRow> {
        self.terms.iter().filter(move |term| term.is == is)
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
                format!("none, all of them {}", figures::position(1.0))
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
        is: Is::of(likeness.similarity),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_term_is_told_as_alike_from_nine_tenths() {
        for (similarity, is) in [
            (Some(0.89), Is::Unlike),
            (Some(0.9), Is::Alike),
            (Some(1.0), Is::Alike),
            (None, Is::LeftOut),
        ] {
            assert_eq!(Is::of(similarity), is);
        }
    }
}
