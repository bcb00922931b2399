//! One test contact beside one machine contact.

use crate::contact::terms::{ContactTerms, ShapeClass};
use crate::resemblance::scales::{
    FILM_PRESSURE_LIMIT_PA, FILM_RATIO_RANGE, FRICTION_POWER_FACTOR, SLIDING_FLOOR_M_S, UNKNOWN_SIMILARITY,
    similarity_at,
};
use crate::resemblance::{Beyond, Resemblance, Scales, Term, TermLikeness, TermValue, tables};
use crate::units::Interval;

/// Whether the quantity scores seizure: a film ratio has no meaning for what happens without a film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scores {
    /// It scores seizure.
    Seizure,
    /// It scores something else.
    OtherModes,
}

/// Compares a test's contact with a machine's in ten terms.
///
/// # Formula
/// `value = sqrt(G F)`, where `G = exp(sum w_i ln s_i / sum w_i)` over the terms that are not left out and `F` is the
/// smallest similarity among pressure, sliding speed, slide-roll ratio and materials. Ours; see the `scales` module.
pub fn compare(test: &ContactTerms, machine: &ContactTerms, scores: Scores, scales: &Scales) -> Resemblance {
    let terms = Term::ALL
        .into_iter()
        .map(|term| likeness(term, test, machine, scores, scales));
    let mut resemblance = Resemblance {
        value: None,
        beyond: beyond(test, machine, scales),
        terms: terms.collect(),
    };
    resemblance.value = resemblance.computed();
    resemblance
}

fn likeness(
    term: Term,
    test: &ContactTerms,
    machine: &ContactTerms,
    scores: Scores,
    scales: &Scales,
) -> TermLikeness {
    let ranges = |test, machine, onto_scale: fn(f64) -> f64| ranges(term, test, machine, onto_scale, scales);
    match term {
        Term::Motion => words(
            term,
            test.motion,
            machine.motion,
            |motion| motion.word(),
            tables::of_motions,
            scales,
        ),
        Term::Materials => words(
            term,
            test.materials,
            machine.materials,
            |materials| materials.word(),
            tables::of_materials,
            scales,
        ),
        Term::Supply => words(
            term,
            test.supply,
            machine.supply,
            |supply| supply.word(),
            tables::of_supplies,
            scales,
        ),
        Term::Shape => shape(test, machine, scales),
        Term::ContactTemperature => contact_temperature(test, machine, scales),
        Term::FilmRatio => film_ratio(test, machine, scores, scales),
        Term::Pressure => {
            let both_conformal = is_conformal(test) && is_conformal(machine);
            let side = |terms: &ContactTerms| {
                if both_conformal {
                    terms.mean_pressure_pa
                } else {
                    pressure(terms)
                }
            };
            ranges(side(test), side(machine), f64::ln)
        }
        Term::Sliding => ranges(test.sliding_m_s, machine.sliding_m_s, |v| {
            v.max(SLIDING_FLOOR_M_S).ln()
        }),
        Term::SlideRoll => ranges(test.slide_roll, machine.slide_roll, |ratio| ratio),
        Term::TimeInContact => ranges(test.time_share, machine.time_share, |share| share.max(1e-6).ln()),
    }
}

fn is_conformal(terms: &ContactTerms) -> bool {
    terms.shape == Some(ShapeClass::Conformal)
}

/// Maximum pressure; a conformal contact that states only its mean is known by that.
fn pressure(terms: &ContactTerms) -> Option<Interval> {
    terms.max_pressure_pa.or(if is_conformal(terms) {
        terms.mean_pressure_pa
    } else {
        None
    })
}

fn range_value(range: Option<Interval>) -> TermValue {
    range.map_or(TermValue::Unknown, TermValue::Range)
}

fn ranges(
    term: Term,
    test: Option<Interval>,
    machine: Option<Interval>,
    onto_scale: impl Fn(f64) -> f64,
    scales: &Scales,
) -> TermLikeness {
    let scaled = |range: Option<Interval>| range.and_then(|range| range.map(&onto_scale));
    let distance = scaled(test)
        .zip(scaled(machine))
        .map(|(test, machine)| test.gap(machine));
    let halving = scales.halving_distance(term).unwrap_or(1.0);
    let similarity = distance.map_or(UNKNOWN_SIMILARITY, |distance| similarity_at(distance, halving));
    TermLikeness {
        term,
        test: range_value(test),
        machine: range_value(machine),
        distance,
        similarity: Some(similarity),
        importance: scales.importance(term),
        remark: if distance.is_none() {
            "not known on one side: counts one half"
        } else {
            ""
        },
    }
}

fn words<T: Copy>(
    term: Term,
    test: Option<T>,
    machine: Option<T>,
    word: impl Fn(T) -> &'static str,
    similarity_of: impl Fn(T, T) -> f64,
    scales: &Scales,
) -> TermLikeness {
    let similarity = test
        .zip(machine)
        .map(|(test, machine)| similarity_of(test, machine));
    let value = |side: Option<T>| side.map_or(TermValue::Unknown, |known| TermValue::Word(word(known)));
    TermLikeness {
        term,
        test: value(test),
        machine: value(machine),
        distance: None,
        similarity: Some(similarity.unwrap_or(UNKNOWN_SIMILARITY)),
        importance: scales.importance(term),
        remark: if similarity.is_none() {
            "not known on one side: counts one half"
        } else {
            ""
        },
    }
}

fn shape(test: &ContactTerms, machine: &ContactTerms, scales: &Scales) -> TermLikeness {
    let by_class = test
        .shape
        .zip(machine.shape)
        .and_then(|(a, b)| tables::of_shapes(a, b));
    let by_ellipticity = ranges(
        Term::Shape,
        test.ellipticity,
        machine.ellipticity,
        f64::log10,
        scales,
    );
    match by_class {
        None => by_ellipticity,
        Some(similarity) => {
            let value = |terms: &ContactTerms| {
                terms
                    .shape
                    .map_or(TermValue::Unknown, |s| TermValue::Word(s.word()))
            };
            TermLikeness {
                test: value(test),
                machine: value(machine),
                distance: None,
                similarity: Some(similarity),
                remark: "",
                ..by_ellipticity
            }
        }
    }
}

fn contact_temperature(test: &ContactTerms, machine: &ContactTerms, scales: &Scales) -> TermLikeness {
    let term = Term::ContactTemperature;
    if machine.contact_temperature_c.is_some() {
        return ranges(
            term,
            test.contact_temperature_c,
            machine.contact_temperature_c,
            |t| t,
            scales,
        );
    }
    let by_bulk = ranges(
        term,
        test.bulk_temperature_c,
        machine.bulk_temperature_c,
        |t| t,
        scales,
    );
    let known = by_bulk.distance.is_some();
    TermLikeness {
        remark: if known {
            "bulk temperatures: the machine's contact temperature is not stated"
        } else {
            by_bulk.remark
        },
        ..by_bulk
    }
}

fn film_ratio(test: &ContactTerms, machine: &ContactTerms, scores: Scores, scales: &Scales) -> TermLikeness {
    let (least, most) = FILM_RATIO_RANGE;
    let clipped = |terms: &ContactTerms| terms.film_ratio.map(|range| range.clamp(least, most));
    let compared = ranges(Term::FilmRatio, clipped(test), clipped(machine), f64::ln, scales);
    let beyond_film = test
        .max_pressure_pa
        .is_some_and(|pressure| pressure.hi() > FILM_PRESSURE_LIMIT_PA);
    let remark = match (scores, beyond_film) {
        (Scores::Seizure, _) => "left out: the test scores seizure",
        (_, true) => "left out: above 3.5 GPa a film ratio has no meaning",
        _ => return compared,
    };
    TermLikeness {
        similarity: None,
        distance: None,
        remark,
        ..compared
    }
}

/// Where the test lies beyond the machine's severe end by more than the halving distance. Shape and time in contact
/// never count.
fn beyond(test: &ContactTerms, machine: &ContactTerms, scales: &Scales) -> Vec<Beyond> {
    let temperature = |terms: &ContactTerms| {
        if machine.contact_temperature_c.is_some() {
            terms.contact_temperature_c
        } else {
            terms.bulk_temperature_c
        }
    };
    let floor = SLIDING_FLOOR_M_S;
    let halving = |term: Term| scales.halving_distance(term).unwrap_or(f64::INFINITY);
    let least_power = pressure(machine).map_or(f64::MIN_POSITIVE, |p| p.hi() * floor);
    let checks = [
        (
            Beyond::Pressure,
            excess(pressure(test), pressure(machine), f64::ln),
            halving(Term::Pressure),
        ),
        (
            Beyond::Sliding,
            excess(test.sliding_m_s, machine.sliding_m_s, |v| v.max(floor).ln()),
            halving(Term::Sliding),
        ),
        (
            Beyond::SlideRoll,
            excess(test.slide_roll, machine.slide_roll, |ratio| ratio),
            halving(Term::SlideRoll),
        ),
        (
            Beyond::ContactTemperature,
            excess(temperature(test), temperature(machine), |t| t),
            halving(Term::ContactTemperature),
        ),
        (
            Beyond::FrictionPower,
            excess(test.friction_power_w_m2, machine.friction_power_w_m2, |power| {
                power.max(least_power).ln()
            }),
            FRICTION_POWER_FACTOR.ln(),
        ),
    ];
    checks
        .into_iter()
        .filter(|(_, excess, limit)| excess > limit)
        .map(|(beyond, ..)| beyond)
        .collect()
}

fn excess(test: Option<Interval>, machine: Option<Interval>, onto_scale: impl Fn(f64) -> f64) -> f64 {
    let scaled = |range: Option<Interval>| range.and_then(|range| range.map(&onto_scale));
    scaled(test)
        .zip(scaled(machine))
        .map_or(0.0, |(test, machine)| test.excess_over(machine))
}
