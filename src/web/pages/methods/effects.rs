//! What a change of a method does to each term of its contact, as a table shows it.

use crate::app::TermsChange;
use crate::contact::terms::ContactTerms;
use crate::resemblance::Term;
use crate::units::{Interval, Unit};
use crate::web::figures;
use crate::web::pages::machines::computed::term_values;
use crate::web::preferences::preferences;

/// A term before and after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct EffectRow {
    pub(super) term: Term,
    pub(super) before: String,
    pub(super) after: String,
    pub(super) change: String,
}

/// The table of one contact, a row per term.
pub(super) fn effect_rows(change: &TermsChange) -> Vec<EffectRow> {
    let before = term_values(&change.before).into_iter();
    let rows = before.zip(term_values(&change.after));
    rows.map(|((term, before), (_, after))| EffectRow {
        term,
        before,
        after,
        change: difference(term, &change.before, &change.after),
    })
    .collect()
}

/// The factor of a magnitude, the difference of a temperature, or that a word is another one.
fn difference(term: Term, before: &ContactTerms, after: &ContactTerms) -> String {
    let interval = |terms: &ContactTerms| match term {
        Term::Pressure => terms.max_pressure_pa.or(terms.mean_pressure_pa),
        Term::Sliding => terms.sliding_m_s,
        Term::Entrainment => terms.entrainment_m_s,
        Term::SlideRoll => terms.slide_roll,
        Term::Shape => terms.ellipticity,
        Term::ContactTemperature => terms.contact_temperature_c.or(terms.bulk_temperature_c),
        Term::FilmRatio => terms.film_ratio,
        Term::TimeInContact => terms.time_share,
        Term::Motion | Term::Materials | Term::Supply => None,
    };
    let word = |terms: &ContactTerms| match term {
        Term::Shape => terms.shape.map(|word| word.word()),
        Term::Motion => terms.motion.map(|word| word.word()),
        Term::Materials => terms.materials.map(|word| word.word()),
        Term::Supply => terms.supply.map(|word| word.word()),
        _ => None,
    };
    if word(before) != word(after) {
        return "another one".to_string();
    }
    match (interval(before), interval(after)) {
        (Some(before), Some(after)) if before == after => "same".to_string(),
        (Some(before), Some(after)) if term == Term::ContactTemperature => {
            let kelvin = preferences().in_unit(Unit::Kelvin);
            let by = |a: f64, b: f64| {
                let text = format!("{:+.0}", kelvin.difference(b - a)).replace('-', "\u{2212}");
                preferences().dress(&text)
            };
            let unit = format!(" {}", kelvin.word());
            let (lo, hi) = (by(before.lo(), after.lo()), by(before.hi(), after.hi()));
            both(&lo, &hi, "", &unit)
        }
        (Some(before), Some(after)) => factor(before, after),
        (None, Some(_)) => "known now".to_string(),
        (Some(_), None) => "not known any more".to_string(),
        (None, None) => "same".to_string(),
    }
}

fn factor(before: Interval, after: Interval) -> String {
    let of = |a: f64, b: f64| {
        if a == b {
            figures::fixed(1.0, 2)
        } else if a == 0.0 {
            "from 0".to_string()
        } else {
            figures::fixed(b / a, 2)
        }
    };
    let (lo, hi) = (of(before.lo(), after.lo()), of(before.hi(), after.hi()));
    both(&lo, &hi, "× ", "")
}

/// One text where both ends agree, else both.
fn both(lo: &str, hi: &str, sign: &str, unit: &str) -> String {
    if lo == hi {
        format!("{sign}{lo}{unit}")
    } else {
        format!("{sign}{lo} to {hi}{unit}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(lo: f64, hi: f64) -> Option<Interval> {
        Interval::new(lo, hi)
    }

    #[test]
    fn a_magnitude_has_a_factor_and_a_temperature_a_difference() {
        let before = ContactTerms {
            sliding_m_s: between(0.2, 0.4),
            contact_temperature_c: between(80.0, 90.0),
            film_ratio: between(0.0, 1.0),
            ..ContactTerms::default()
        };
        let after = ContactTerms {
            sliding_m_s: between(0.4, 0.8),
            contact_temperature_c: between(70.0, 120.0),
            film_ratio: None,
            ..ContactTerms::default()
        };
        assert_eq!(difference(Term::Sliding, &before, &after), "× 2.00");
        assert_eq!(
            difference(Term::ContactTemperature, &before, &after),
            "\u{2212}10 to +30 K"
        );
        assert_eq!(difference(Term::FilmRatio, &before, &after), "not known any more");
        assert_eq!(difference(Term::SlideRoll, &before, &after), "same");
        assert_eq!(
            factor(between(0.0, 2.0).unwrap(), between(1.0, 3.0).unwrap()),
            "× from 0 to 1.50"
        );
    }
}
