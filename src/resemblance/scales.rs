//! Importance of each term and the distance at which its similarity halves.
//!
//! All of it is our own judgement: the literature holds no accepted score of similarity between tribological contacts.
//! What is not ours is the list of properties and that some are first-order (wear-test attributes, M. B. Peterson and
//! W. O. Winer (eds.), ASTM STP 615; R. G. Bayer, *Mechanical Wear Fundamentals and Testing*).

use crate::records::TermScale;
use crate::resemblance::Term;
use std::collections::BTreeMap;

/// Similarity down to which it halves with the square of the distance; beyond, it falls with the square itself.
pub const FAR_SIMILARITY: f64 = 0.02;
/// Least similarity that a distance can have, so that one mismatch does not erase ten likenesses.
pub const LEAST_SIMILARITY: f64 = 0.002;
/// Similarity that an unknown term counts with.
pub const UNKNOWN_SIMILARITY: f64 = 0.5;
/// Sliding speeds below this are alike, m/s.
pub const SLIDING_FLOOR_M_S: f64 = 0.001;
/// Film ratios are brought into this range: below it is boundary lubrication all the same, above it full film all the same.
pub const FILM_RATIO_RANGE: (f64, f64) = (0.3, 4.0);
/// Rolling speeds below this are alike, m/s.
pub const ENTRAINMENT_FLOOR_M_S: f64 = 0.001;
/// Slide-roll ratios are brought down to this, that of a body on one that stands still.
pub const GREATEST_SLIDE_ROLL: f64 = 2.0;
/// Above this pressure, Pa, a film ratio has no meaning.
pub const FILM_PRESSURE_LIMIT_PA: f64 = 3.5e9;
/// Factor of friction power density beyond which a test is more severe in kind.
pub const FRICTION_POWER_FACTOR: f64 = 10.0;

/// What one term counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Weight of the term among the eleven, 0 to 10.
    pub importance: f64,
    /// Where similarity is one half, in the term's own measure (a factor, K, decades, a difference); `None` for terms
    /// that compare words.
    pub halving: Option<f64>,
}

/// What each of the eleven terms counts: the defaults, or those of a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct Scales {
    of_terms: BTreeMap<Term, Scale>,
}

impl Default for Scales {
    fn default() -> Self {
        Self {
            of_terms: Term::ALL.into_iter().map(|term| (term, usual(term))).collect(),
        }
    }
}

/// The default of a term.
fn usual(term: Term) -> Scale {
    let (importance, halving) = match term {
        Term::Pressure => (3.0, Some(2.0)),
        Term::Sliding => (2.0, Some(5.0)),
        Term::Entrainment => (1.0, Some(10.0)),
        Term::SlideRoll => (2.0, Some(0.8)),
        Term::Shape => (2.0, Some(1.0)),
        Term::ContactTemperature => (2.0, Some(60.0)),
        Term::FilmRatio => (2.0, Some(4.0)),
        Term::Motion | Term::Materials => (2.0, None),
        Term::TimeInContact => (1.0, Some(30.0)),
        Term::Supply => (1.0, None),
    };
    Scale { importance, halving }
}

impl Scales {
    /// Those of a trial: for each term its newest change, else the default. The order of the changes does not matter.
    pub fn of_trial(changes: &[TermScale]) -> Self {
        let mut scales = Self::default();
        for term in Term::ALL {
            if let Some(newest) = TermScale::newest(changes, term) {
                let halving = newest.halving.or(usual(term).halving);
                scales.of_terms.insert(
                    term,
                    Scale {
                        importance: newest.importance,
                        halving,
                    },
                );
            }
        }
        scales
    }

    /// With another scale for one term; a term that compares words keeps its table.
    pub fn with(mut self, term: Term, scale: Scale) -> Self {
        let halving = usual(term).halving.and(scale.halving.or(self.of(term).halving));
        self.of_terms.insert(term, Scale { halving, ..scale });
        self
    }

    /// What a term counts.
    pub fn of(&self, term: Term) -> Scale {
        self.of_terms.get(&term).copied().unwrap_or_else(|| usual(term))
    }

    /// Weight of a term among the eleven.
    pub fn importance(&self, term: Term) -> f64 {
        self.of(term).importance
    }

    /// Distance on the term's scale at which similarity is one half; `None` for terms that compare words.
    pub fn halving_distance(&self, term: Term) -> Option<f64> {
        self.of(term).halving.map(|said| term.measure().distance(said))
    }
}

/// Similarity at a distance.
///
/// # Formula
/// `s = 2^-((d/h)^2)` with the halving distance h, down to 0.02, which is reached at `d0 = h sqrt(log2 50)`, 2.376 h; beyond
/// it `0.02 (d0/d)^2`, at least 0.002: far things keep an order. Ours.
pub fn similarity_at(distance: f64, halving: f64) -> f64 {
    let far = halving * FAR_SIMILARITY.recip().log2().sqrt();
    if distance <= far {
        (-(distance / halving).powi(2)).exp2()
    } else {
        (FAR_SIMILARITY * (far / distance).powi(2)).max(LEAST_SIMILARITY)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::TrialSlug;

    /// The defaults are a decision; changing one must be seen.
    #[test]
    fn the_defaults_are_these() {
        let scales = Scales::default();
        let importances: Vec<f64> = Term::ALL.map(|term| scales.importance(term)).to_vec();
        assert_eq!(
            importances,
            [3.0, 2.0, 1.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 1.0, 1.0]
        );
        let halvings = Term::ALL.map(|term| scales.halving_distance(term));
        let (ln, some) = (|factor: f64| Some(factor.ln()), Some::<f64>);
        assert_eq!(
            halvings,
            [
                ln(2.0),
                ln(5.0),
                ln(10.0),
                some(0.8),
                some(1.0),
                None,
                some(60.0),
                ln(4.0),
                None,
                ln(30.0),
                None
            ]
        );
    }

    #[test]
    fn similarity_is_one_at_no_distance_and_one_half_at_the_halving_distance() {
        assert_eq!(similarity_at(0.0, 0.8), 1.0);
        assert!((similarity_at(0.8, 0.8) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn far_things_keep_an_order_down_to_the_least_similarity() {
        let far = 2.376;
        assert!((similarity_at(far * 0.999, 1.0) - 0.02013).abs() < 1e-4);
        assert!((similarity_at(far, 1.0) - FAR_SIMILARITY).abs() < 2e-5);
        assert!((similarity_at(far * 1.001, 1.0) - 0.01996).abs() < 1e-4);
        assert!((similarity_at(2.0 * far, 1.0) - 0.25 * FAR_SIMILARITY).abs() < 1e-5);
        let last = far * 10f64.sqrt();
        assert!(similarity_at(0.99 * last, 1.0) > LEAST_SIMILARITY);
        assert!((similarity_at(last, 1.0) - LEAST_SIMILARITY).abs() < 1e-6);
        assert_eq!(similarity_at(1.01 * last, 1.0), LEAST_SIMILARITY);
        assert_eq!(similarity_at(1e9, 1.0), LEAST_SIMILARITY);
    }

    fn change(term: Term, importance: f64, halving: Option<f64>, entered_at: &str) -> TermScale {
        TermScale {
            trial: TrialSlug::new("a").unwrap(),
            term,
            importance,
            halving,
            reason: "why".into(),
            entered_at: entered_at.into(),
        }
    }

    #[test]
    fn the_newest_change_of_a_term_counts_in_whatever_order_they_come() {
        let mut changes = vec![
            change(Term::Pressure, 5.0, Some(3.0), "2026-11-24T09:00:00.000Z"),
            change(Term::Pressure, 1.0, Some(2.0), "2026-11-25T09:00:00.000Z"),
            change(Term::Supply, 0.0, None, "2026-11-23T09:00:00.000Z"),
        ];
        let scales = Scales::of_trial(&changes);
        assert_eq!(scales.importance(Term::Pressure), 1.0);
        assert_eq!(scales.halving_distance(Term::Pressure), Some(2f64.ln()));
        assert_eq!(scales.importance(Term::Supply), 0.0);
        assert_eq!(scales.of(Term::Sliding), usual(Term::Sliding));
        changes.reverse();
        assert_eq!(Scales::of_trial(&changes), scales);
        assert_eq!(Scales::of_trial(&[]), Scales::default());
    }

    #[test]
    fn a_table_of_words_takes_no_halving_distance() {
        let scale = Scale {
            importance: 4.0,
            halving: Some(3.0),
        };
        let scales = Scales::default().with(Term::Motion, scale);
        assert_eq!(scales.importance(Term::Motion), 4.0);
        assert_eq!(scales.halving_distance(Term::Motion), None);
    }
}
