//! One test contact beside one machine contact.

use crate::catalogue::{Mode, Quantity};
use crate::contact::terms::{ContactTerms, Materials, Motion, ShapeClass, Supply};
use crate::resemblance::scales::{
    ENTRAINMENT_FLOOR_M_S, FILM_PRESSURE_LIMIT_PA, FILM_RATIO_RANGE, FRICTION_POWER_FACTOR,
    GREATEST_SLIDE_ROLL, SLIDING_FLOOR_M_S, UNKNOWN_SIMILARITY, similarity_at,
};
use crate::resemblance::{Beyond, Remark, Resemblance, Scales, Term, TermLikeness, TermValue, tables};
use crate::units::Interval;

/// Whether the quantity scores seizure: a film ratio has no meaning for what happens without a film, and a bulk temperature
/// none for what happens by flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scores {
    /// It scores seizure.
    Seizure,
    /// It scores something else.
    OtherModes,
}

impl Scores {
    /// What a quantity scores.
    pub fn of(quantity: &Quantity) -> Self {
        if quantity.scores(Mode::Seizure) {
            Self::Seizure
        } else {
            Self::OtherModes
        }
    }
}

/// Compares a test's contact with a machine's in eleven terms.
///
/// # Formula
/// `value = sqrt(G F)`, where `G = exp(sum w_i ln s_i / sum w_i)` over the terms that are not left out and `F` is the
/// smallest similarity among the first-order terms that are not left out: pressure, sliding speed, slide-roll ratio, film
/// ratio and materials, and motion where one side frets. Ours; see the `scales` module.
pub fn compare(test: &ContactTerms, machine: &ContactTerms, scores: Scores, scales: &Scales) -> Resemblance {
    let sides = Sides {
        test,
        machine,
        scores,
        scales,
    };
    let mut resemblance = Resemblance {
        value: None,
        beyond: sides.beyond(),
        terms: Term::ALL.into_iter().map(|term| sides.likeness(term)).collect(),
    };
    resemblance.value = resemblance.computed();
    resemblance
}

fn is_conformal(terms: &ContactTerms) -> bool {
    terms.shape == Some(ShapeClass::Conformal)
}

/// Maximum pressure; a conformal contact that states only its mean is known by that.
fn pressure(terms: &ContactTerms) -> Option<Interval> {
    let mean = terms.mean_pressure_pa.filter(|_| is_conformal(terms));
    terms.max_pressure_pa.or(mean)
}

fn clipped_ratio(ratio: f64) -> f64 {
    ratio.min(GREATEST_SLIDE_ROLL)
}

/// A range of one side.
type Range = fn(&ContactTerms) -> Option<Interval>;

/// A test's contact and a machine's.
struct Sides<'a> {
    test: &'a ContactTerms,
    machine: &'a ContactTerms,
    scores: Scores,
    scales: &'a Scales,
}

impl Sides<'_> {
    fn likeness(&self, term: Term) -> TermLikeness {
        match term {
            Term::Motion => self.words(term, |side| side.motion, Motion::word, tables::of_motions),
            Term::Materials => self.words(term, |side| side.materials, Materials::word, tables::of_materials),
            Term::Supply => self.words(term, |side| side.supply, Supply::word, tables::of_supplies),
            Term::Shape => self.shape(),
            Term::ContactTemperature => self.contact_temperature(),
            Term::FilmRatio => self.film_ratio(),
            Term::Pressure if is_conformal(self.test) && is_conformal(self.machine) => {
                self.ranges(term, |side| side.mean_pressure_pa, f64::ln)
            }
            Term::Pressure => self.ranges(term, pressure, f64::ln),
            Term::Sliding => self.ranges(term, |side| side.sliding_m_s, |v| v.max(SLIDING_FLOOR_M_S).ln()),
            Term::Entrainment => {
                let floor = |v: f64| v.max(ENTRAINMENT_FLOOR_M_S).ln();
                self.ranges(term, |side| side.entrainment_m_s, floor)
            }
            Term::SlideRoll => self.ranges(term, |side| side.slide_roll, clipped_ratio),
            Term::TimeInContact => self.ranges(term, |side| side.time_share, |share| share.max(1e-6).ln()),
        }
    }

    fn ranges(&self, term: Term, of: Range, onto_scale: fn(f64) -> f64) -> TermLikeness {
        let (test, machine) = (of(self.test), of(self.machine));
        let distance = scaled(test, onto_scale)
            .zip(scaled(machine, onto_scale))
            .map(|(test, machine)| test.gap(machine));
        let halving = self.scales.halving_distance(term).unwrap_or(1.0);
        let value = |range: Option<Interval>| range.map_or(TermValue::Unknown, TermValue::Range);
        TermLikeness {
            term,
            test: value(test),
            machine: value(machine),
            distance,
            similarity: Some(distance.map_or(UNKNOWN_SIMILARITY, |by| similarity_at(by, halving))),
            importance: self.scales.importance(term),
            remark: distance.is_none().then_some(Remark::Unknown),
        }
    }

    fn words<T: Copy>(
        &self,
        term: Term,
        of: fn(&ContactTerms) -> Option<T>,
        word: fn(T) -> &'static str,
        similarity_of: fn(T, T) -> f64,
    ) -> TermLikeness {
        let (test, machine) = (of(self.test), of(self.machine));
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
            importance: self.scales.importance(term),
            remark: similarity.is_none().then_some(Remark::Unknown),
        }
    }

    /// By classes where one side is conformal, else by ellipticity.
    fn shape(&self) -> TermLikeness {
        let shapes = self.test.shape.zip(self.machine.shape);
        match shapes.and_then(|(a, b)| Some((a, b, tables::of_shapes(a, b)?))) {
            None => self.ranges(Term::Shape, |side| side.ellipticity, f64::log10),
            Some((test, machine, similarity)) => TermLikeness {
                term: Term::Shape,
                test: TermValue::Word(test.word()),
                machine: TermValue::Word(machine.word()),
                distance: None,
                similarity: Some(similarity),
                importance: self.scales.importance(Term::Shape),
                remark: None,
            },
        }
    }

    /// Whether a side states no contact temperature.
    fn is_by_bulk(&self) -> bool {
        self.test.contact_temperature_c.is_none() || self.machine.contact_temperature_c.is_none()
    }

    /// Contact temperatures; bulk temperatures where a side states no contact temperature, but for what scores seizure, for
    /// which the bulk says nothing.
    fn temperature(&self) -> Range {
        match (self.is_by_bulk(), self.scores) {
            (false, _) => |side| side.contact_temperature_c,
            (true, Scores::OtherModes) => |side| side.bulk_temperature_c,
            (true, Scores::Seizure) => |_| None,
        }
    }

    fn contact_temperature(&self) -> TermLikeness {
        let compared = self.ranges(Term::ContactTemperature, self.temperature(), |t| t);
        let by_bulk = self.is_by_bulk();
        TermLikeness {
            remark: (compared.remark).or(by_bulk.then_some(Remark::BulkTemperatures)),
            ..compared
        }
    }

    fn film_ratio(&self) -> TermLikeness {
        let clipped: Range = |side| {
            let (least, most) = FILM_RATIO_RANGE;
            side.film_ratio.map(|range| range.clamp(least, most))
        };
        let compared = self.ranges(Term::FilmRatio, clipped, f64::ln);
        let pressure = self.test.max_pressure_pa;
        let beyond_films = pressure.is_some_and(|pressure| pressure.hi() > FILM_PRESSURE_LIMIT_PA);
        let remark = match (self.scores, beyond_films) {
            (Scores::Seizure, _) => Remark::ScoresSeizure,
            (_, true) => Remark::BeyondFilms,
            _ => return compared,
        };
        TermLikeness {
            similarity: None,
            distance: None,
            remark: Some(remark),
            ..compared
        }
    }

    /// Where the test lies beyond the machine's severe end by more than the halving distance. Shape and time in contact
    /// never count.
    fn beyond(&self) -> Vec<Beyond> {
        let floor = SLIDING_FLOOR_M_S;
        let halving = |term: Term| self.scales.halving_distance(term).unwrap_or(f64::INFINITY);
        let least_power = pressure(self.machine).map_or(f64::MIN_POSITIVE, |p| p.hi() * floor);
        let power = |power: f64| power.max(least_power).ln();
        let checks = [
            (
                Beyond::Pressure,
                self.excess(pressure, f64::ln),
                halving(Term::Pressure),
            ),
            (
                Beyond::Sliding,
                self.excess(|side| side.sliding_m_s, |v| v.max(floor).ln()),
                halving(Term::Sliding),
            ),
            (
                Beyond::SlideRoll,
                self.excess(|side| side.slide_roll, clipped_ratio),
                halving(Term::SlideRoll),
            ),
            (
                Beyond::ContactTemperature,
                self.excess(self.temperature(), |t| t),
                halving(Term::ContactTemperature),
            ),
            (
                Beyond::FrictionPower,
                self.excess(|side| side.friction_power_w_m2, power),
                FRICTION_POWER_FACTOR.ln(),
            ),
        ];
        let beyond = checks.into_iter().filter(|(_, excess, limit)| excess > limit);
        beyond.map(|(beyond, ..)| beyond).collect()
    }

    fn excess(&self, of: Range, onto_scale: impl Fn(f64) -> f64) -> f64 {
        scaled(of(self.test), &onto_scale)
            .zip(scaled(of(self.machine), &onto_scale))
            .map_or(0.0, |(test, machine)| test.excess_over(machine))
    }
}

fn scaled(range: Option<Interval>, onto_scale: impl Fn(f64) -> f64) -> Option<Interval> {
    range.and_then(|range| range.map(onto_scale))
}
