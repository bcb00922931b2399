//! The eleven terms of one test contact beside one machine contact, and what they come to.

use crate::contact::term::Term;
use crate::contact::terms::Motion;
use crate::units::Interval;

/// What stands on one side of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub enum TermValue {
    /// A range in SI units (°C for temperatures, 1 to 100 for ellipticity).
    Range(Interval),
    /// A word of a closed list.
    Word(&'static str),
    /// Not known.
    Unknown,
}

/// One term of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct TermLikeness {
    /// Which term.
    pub term: Term,
    /// The test's side.
    pub test: TermValue,
    /// The machine's side.
    pub machine: TermValue,
    /// Distance on the term's scale; `None` for words and where a side is unknown.
    pub distance: Option<f64>,
    /// 0.002 to 1; `None` where the term is left out.
    pub similarity: Option<f64>,
    /// Its weight among the eleven.
    pub importance: f64,
    /// Why the term is left out or marked.
    pub remark: Option<Remark>,
}

impl TermLikeness {
    /// Whether a mismatch here is not made good by likeness elsewhere: the first-order terms, and motion where one side
    /// frets.
    pub fn is_first_order(&self) -> bool {
        let frets = |side: &TermValue| *side == TermValue::Word(Motion::Fretting.word());
        self.term.is_first_order()
            || (self.term == Term::Motion && (frets(&self.test) || frets(&self.machine)))
    }
}

/// What is to be known of a term.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remark {
    /// It is not known on one side, and counts one half.
    Unknown,
    /// Bulk temperatures are compared: the contact temperature of one side is not stated.
    BulkTemperatures,
    /// Left out: the test scores seizure.
    ScoresSeizure,
    /// Left out: above [`FILM_PRESSURE_LIMIT_PA`](crate::resemblance::scales::FILM_PRESSURE_LIMIT_PA) a film ratio has no
    /// meaning.
    BeyondFilms,
}

/// A property in which a test can lie beyond the machine's severe end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum Beyond {
    /// Maximum pressure, by more than its halving distance, a factor 2 unless the trial has another.
    Pressure,
    /// Sliding speed, by more than its halving distance, a factor 5.
    #[strum(serialize = "sliding speed")]
    Sliding,
    /// Slide-roll ratio, by more than its halving distance, 0.8.
    #[strum(serialize = "slide-roll ratio")]
    SlideRoll,
    /// Contact temperature, by more than its halving distance, 60 K.
    #[strum(serialize = "contact temperature")]
    ContactTemperature,
    /// Friction power density, by more than a factor 10.
    #[strum(serialize = "friction power")]
    FrictionPower,
}

impl Beyond {
    /// Its word.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// How closely one test contact resembles one machine contact.
#[derive(Clone, Debug, PartialEq)]
pub struct Resemblance {
    /// The eleven terms.
    pub terms: Vec<TermLikeness>,
    /// 0 to 1; `None` where pressure, sliding or slide-roll ratio is unknown on either side: shown, not weighed.
    pub value: Option<f64>,
    /// Where the test lies beyond the machine's severe end.
    pub beyond: Vec<Beyond>,
}

impl Resemblance {
    /// Likeness over all terms that are not left out, each by its importance; `None` where none of them has any.
    ///
    /// # Formula
    /// `G = exp(sum w_i ln s_i / sum w_i)`.
    pub fn over_all_terms(&self) -> Option<f64> {
        let counted = || {
            self.terms
                .iter()
                .filter_map(|term| Some((term.importance, term.similarity?)))
        };
        let weight: f64 = counted().map(|(importance, _)| importance).sum();
        let log_sum: f64 = counted().map(|(importance, s)| importance * s.ln()).sum();
        (weight > 0.0).then(|| (log_sum / weight).exp())
    }

    /// The first-order term that is least alike, and its similarity `F`; of equal ones the first. `None` where all of them
    /// are left out.
    pub fn least_first_order(&self) -> Option<(Term, f64)> {
        let first_order = self.terms.iter().filter(|term| term.is_first_order());
        let mut least: Option<(Term, f64)> = None;
        for (term, similarity) in first_order.filter_map(|term| Some((term.term, term.similarity?))) {
            if least.is_none_or(|(_, known)| similarity < known) {
                least = Some((term, similarity));
            }
        }
        least
    }

    /// The first-order term that decides `F`; `None` where none of them is below 1.
    pub fn decides_f(&self) -> Option<Term> {
        let (term, similarity) = self.least_first_order()?;
        (similarity < 1.0).then_some(term)
    }

    /// The term that takes most off the resemblance, through `G` by its importance and through `F` where it decides that;
    /// `None` where no term is below 1.
    pub fn most_limiting(&self) -> Option<&TermLikeness> {
        let counted = || self.terms.iter().filter(|term| term.similarity.is_some());
        let weight: f64 = counted().map(|term| term.importance).sum();
        let decides_f = self.decides_f();
        let loss = |term: &TermLikeness| {
            let of_all = if weight > 0.0 {
                term.importance / weight
            } else {
                0.0
            };
            let of_first_order = if decides_f == Some(term.term) { 1.0 } else { 0.0 };
            let log = term.similarity.map_or(0.0, f64::ln);
            -0.5 * (of_all + of_first_order) * log
        };
        let greatest = counted().max_by(|a, b| loss(a).total_cmp(&loss(b)));
        greatest.filter(|term| loss(term) > 0.0)
    }

    /// `sqrt(G F)` of the terms; where no term has importance `F` stands alone.
    pub(crate) fn computed(&self) -> Option<f64> {
        let needed = [Term::Pressure, Term::Sliding, Term::SlideRoll];
        let unknown =
            |likeness: &TermLikeness| needed.contains(&likeness.term) && likeness.distance.is_none();
        if self.terms.iter().any(unknown) {
            return None;
        }
        let first_order = self.least_first_order().map_or(1.0, |(_, similarity)| similarity);
        let geometric = self.over_all_terms().unwrap_or(first_order);
        Some((geometric * first_order).sqrt())
    }

    /// Whether the test goes beyond the severe end of this contact: an extreme-condition screen where it runs specimens.
    pub fn is_beyond(&self) -> bool {
        self.beyond.len() >= 2
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(similarities: &[(Option<f64>, f64)]) -> Resemblance {
        let term = |(term, (similarity, importance)): (Term, &(Option<f64>, f64))| TermLikeness {
            term,
            test: TermValue::Word("here"),
            machine: TermValue::Word("there"),
            distance: Some(1.0),
            similarity: *similarity,
            importance: *importance,
            remark: None,
        };
        Resemblance {
            terms: Term::ALL.into_iter().zip(similarities).map(term).collect(),
            value: None,
            beyond: Vec::new(),
        }
    }

    #[test]
    fn nothing_limits_what_is_alike_in_every_term() {
        assert_eq!(of(&[(Some(1.0), 2.0); 11]).most_limiting(), None);
        assert_eq!(of(&[(None, 2.0); 11]).most_limiting(), None);
    }

    proptest! {
        /// Without the loss through F, which another term would decide then, no term takes more off.
        #[test]
        fn no_other_term_takes_more_off(
            terms in prop::collection::vec((0.002..1.0f64, 0.0..5.0f64), 11),
        ) {
            let given: Vec<(Option<f64>, f64)> = terms.iter().map(|(s, w)| (Some(*s), *w)).collect();
            let whole = of(&given);
            let Some(limit) = whole.most_limiting() else { return Ok(()) };
            let weight: f64 = terms.iter().map(|(_, w)| w).sum();
            let first_order = whole.least_first_order().map(|(term, _)| term);
            // ln R = (G's share + F's share) / 2, term by term
            let taken = |term: &TermLikeness| {
                let of_f = f64::from(u8::from(first_order == Some(term.term)));
                -(term.importance / weight + of_f) * term.similarity.unwrap_or(1.0).ln() / 2.0
            };
            for term in &whole.terms {
                prop_assert!(taken(term) <= taken(limit) + 1e-12);
            }
            let all: f64 = whole.terms.iter().map(taken).sum();
            prop_assert!((all + whole.computed().unwrap_or(0.0).ln()).abs() < 1e-9);
        }
    }
}
