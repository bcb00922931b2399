//! Importance of each term and the distance at which its similarity halves.
//!
//! All of it is our own judgement: the literature holds no accepted score of similarity between tribological contacts.
//! What is not ours is the list of properties and that some are first-order (wear-test attributes, M. B. Peterson and
//! W. O. Winer (eds.), ASTM STP 615; R. G. Bayer, *Mechanical Wear Fundamentals and Testing*).

use crate::resemblance::Term;

/// Least similarity that a term can have, so that one mismatch does not erase nine likenesses.
pub const LEAST_SIMILARITY: f64 = 0.02;
/// Similarity that an unknown term counts with.
pub const UNKNOWN_SIMILARITY: f64 = 0.5;
/// Sliding speeds below this are alike, m/s.
pub const SLIDING_FLOOR_M_S: f64 = 0.001;
/// Film ratios are brought into this range: beyond it more or less film makes no difference.
pub const FILM_RATIO_RANGE: (f64, f64) = (0.05, 4.0);
/// Above this pressure, Pa, a film ratio has no meaning.
pub const FILM_PRESSURE_LIMIT_PA: f64 = 3.5e9;
/// Factor of friction power density beyond which a test is more severe in kind.
pub const FRICTION_POWER_FACTOR: f64 = 10.0;

/// Weight of a term among the ten.
pub fn importance(term: Term) -> f64 {
    match term {
        Term::Pressure => 3.0,
        Term::TimeInContact | Term::Supply => 1.0,
        _ => 2.0,
    }
}

/// Distance on the term's scale at which similarity is one half; `None` for terms that compare words.
pub fn halving_distance(term: Term) -> Option<f64> {
    match term {
        Term::Pressure => Some(2f64.ln()),
        Term::Sliding => Some(5f64.ln()),
        Term::SlideRoll => Some(0.8),
        Term::Shape => Some(1.0),
        Term::ContactTemperature => Some(60.0),
        Term::FilmRatio => Some(4f64.ln()),
        Term::TimeInContact => Some(30f64.ln()),
        Term::Motion | Term::Materials | Term::Supply => None,
    }
}

/// Similarity at a distance: halves at the halving distance, falls as the square of it.
pub fn similarity_at(distance: f64, halving: f64) -> f64 {
    (-(distance / halving).powi(2)).exp2().max(LEAST_SIMILARITY)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The defaults are a decision; changing one must be seen.
    #[test]
    fn the_defaults_are_these() {
        let importances: Vec<f64> = Term::ALL.into_iter().map(importance).collect();
        assert_eq!(importances, [3.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 1.0, 1.0]);
        assert_eq!(halving_distance(Term::SlideRoll), Some(0.8));
        assert_eq!(halving_distance(Term::ContactTemperature), Some(60.0));
        assert_eq!(halving_distance(Term::Pressure), Some(2f64.ln()));
    }

    #[test]
    fn similarity_is_one_at_no_distance_and_one_half_at_the_halving_distance() {
        assert_eq!(similarity_at(0.0, 0.8), 1.0);
        assert!((similarity_at(0.8, 0.8) - 0.5).abs() < 1e-12);
        assert_eq!(similarity_at(1e3, 0.8), LEAST_SIMILARITY);
    }
}
