//! In which range the numbers of a quantity lie: which can be results at all, and which usually are.
//!
//! Every door of the program asks [`Bounds::check`]: a number that is not possible is refused, one that is not usual is
//! asked about and comes in on a second yes alone.

use crate::catalogue::stated_values::{Respect, stated};
use crate::catalogue::{LoadRule, Method, MethodContact, PressureFrom, Quantity, Scale};
use crate::contact::element::{Element, Load};
use crate::units::{Dimension, Interval, Unit};

/// Stages that gear rigs run: the tables of torques have fourteen (ISO 14635-1 has twelve, two more are extensions).
const STAGES: [f64; 2] = [1.0, 14.0];
/// A scar is read to a hundredth of a millimetre, so that it may read half of that too small, m.
const HALF_READING_M: f64 = 5e-6;

/// The ranges of a quantity as it was run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds<'q> {
    quantity: &'q Quantity,
    /// Numbers that can be results at all, in the quantity's unit.
    possible: Option<Interval>,
    /// Numbers that results usually are.
    usual: Option<Interval>,
    /// Nothing is held against a number.
    is_open: bool,
}

/// Why a number cannot be a result, in the quantity's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Impossible {
    /// It lies outside what is possible.
    Outside {
        /// The number.
        number: f64,
        /// What is possible.
        possible: Interval,
        /// What may have gone wrong.
        slip: Option<Slip>,
    },
    /// It is no whole number of stages.
    NoStage(f64),
}

/// Why a number is asked about, in the quantity's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unusual {
    /// It lies outside what is usual.
    Outside {
        /// The number.
        number: f64,
        /// What is usual.
        usual: Interval,
        /// What may have gone wrong.
        slip: Option<Slip>,
    },
    /// It is no step of the ladder.
    OffSteps {
        /// The number.
        number: f64,
        /// The next step below it.
        below: Option<f64>,
        /// The next step above it.
        above: Option<f64>,
    },
}

/// A slip of the pen that would explain a number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Slip {
    /// It was read in this unit; then it is so much in the unit in which it stands.
    Unit(Unit, f64),
    /// The decimal sign stands one place too far to the right.
    TenTimes,
    /// The decimal sign stands one place too far to the left.
    Tenth,
}

/// What would bring a number, as it was written in a unit, into a range of another unit.
pub fn slip(written: f64, written_in: Unit, range: Interval, unit: Unit) -> Option<Slip> {
    let others = Unit::ALL.iter().filter(|other| **other != written_in);
    let mut meant = others.filter_map(|other| Some((*other, other.convert(written, unit)?)));
    if let Some((other, number)) = meant.find(|(_, number)| holds(range, *number)) {
        return Some(Slip::Unit(other, number));
    }
    let number = written_in.convert(written, unit)?;
    match number {
        _ if holds(range, number / 10.0) => Some(Slip::TenTimes),
        _ if holds(range, number * 10.0) => Some(Slip::Tenth),
        _ => None,
    }
}

/// Whether a range holds a number, but for the rounding of a conversion.
fn holds(range: Interval, number: f64) -> bool {
    let rounding = 1e-9 * number.abs();
    (range.lo() - rounding..=range.hi() + rounding).contains(&number)
}

impl<'q> Bounds<'q> {
    /// The ranges of a quantity of a method, run under conditions in words; empty: the method's own.
    ///
    /// A scar of a ball lies between the diameter of the elastic contact at its load and that of the ball.
    pub fn of(method: &Method, quantity: &'q Quantity, conditions: &str) -> Self {
        let alone = Self::of_quantity(quantity);
        let scar = scar_mm(method, quantity, conditions).and_then(|mm| {
            let in_unit = |mm: f64| Unit::Millimetre.convert(mm, quantity.unit);
            Interval::new(in_unit(mm[0])?, in_unit(mm[1])?)
        });
        Self {
            possible: match (alone.possible, scar) {
                (Some(possible), Some(scar)) => Some(possible.clamp(scar.lo(), scar.hi())),
                (possible, scar) => possible.or(scar),
            },
            ..alone
        }
    }

    /// The ranges as far as the quantity alone says them. A ladder holds its own steps, whatever else it says.
    pub fn of_quantity(quantity: &'q Quantity) -> Self {
        let steps = quantity.scale.steps();
        let ladder = steps.first().zip(steps.last());
        let ladder = ladder.and_then(|(first, last)| Interval::new(*first, *last));
        let stages = match quantity.scale {
            Scale::Stage(_) => Interval::new(STAGES[0], STAGES[1]),
            _ => None,
        };
        let hull = |a: Option<Interval>, b: Option<Interval>| match (a, b) {
            (Some(a), Some(b)) => Some(a.hull(b)),
            (a, b) => a.or(b),
        };
        Self {
            quantity,
            possible: hull(hull(quantity.possible, ladder), stages),
            usual: quantity.usual,
            is_open: false,
        }
    }

    /// No range at all: for an entry that counts no more and stays as it was written.
    pub fn open(quantity: &'q Quantity) -> Self {
        Self {
            quantity,
            possible: None,
            usual: None,
            is_open: true,
        }
    }

    /// Numbers that can be results at all; `None`: nothing is known.
    pub fn possible(&self) -> Option<Interval> {
        self.possible
    }

    /// The quantity.
    pub fn quantity(&self) -> &'q Quantity {
        self.quantity
    }

    /// Whether a number in the quantity's unit is usual, or why it is asked about. `written` is the number as it was
    /// written, with its unit.
    ///
    /// # Errors
    /// Why it cannot be a result.
    pub fn check(&self, number: f64, written: (f64, Unit)) -> Result<Option<Unusual>, Impossible> {
        if self.is_open {
            return Ok(None);
        }
        let scale = &self.quantity.scale;
        let is_step = scale.step_near(number).is_some();
        if matches!(scale, Scale::Stage(_)) && !is_step && number.fract() != 0.0 {
            return Err(Impossible::NoStage(number));
        }
        let slip = || {
            let range = self.usual.or(self.possible)?;
            slip(written.0, written.1, range, self.quantity.unit)
        };
        let outside = |range: Option<Interval>| range.filter(|range| !holds(*range, number));
        if let Some(possible) = outside(self.possible) {
            return Err(Impossible::Outside {
                number,
                possible,
                slip: slip(),
            });
        }
        if let Some(usual) = outside(self.usual) {
            return Ok(Some(Unusual::Outside {
                number,
                usual,
                slip: slip(),
            }));
        }
        let off_steps = || Unusual::OffSteps {
            number,
            below: scale.steps().iter().rev().find(|step| **step < number).copied(),
            above: scale.steps().iter().find(|step| **step > number).copied(),
        };
        Ok((scale.is_stepped() && !is_step).then(off_steps))
    }
}

/// The least and the greatest scar of a quantity that is the scar of a ball under one load, mm.
fn scar_mm(method: &Method, quantity: &Quantity, conditions: &str) -> Option<[f64; 2]> {
    let is_scar =
        quantity.pressure_from == PressureFrom::WornToFresh && quantity.unit.dimension() == Dimension::Length;
    if !is_scar {
        return None;
    }
    method.contacts_of(quantity).find_map(|contact| {
        let MethodContact::Rig {
            element,
            surroundings,
            load: LoadRule::FixedForce(usual_n),
        } = contact
        else {
            return None;
        };
        let ball_m = match element {
            Element::FourBall(it) => it.ball_diameter_m,
            Element::BallOnDiscStroke(it) => it.ball_diameter_m,
            _ => return None,
        };
        let own = stated(conditions).into_iter();
        let own = own.filter(|value| value.respect == Respect::Load && value.lo > 0.0);
        let load_n = own.map(|value| value.lo).reduce(f64::min).unwrap_or(*usual_n);
        let load = Load::TotalForceN(load_n);
        let fresh = element.fresh_contact(&load, surroundings.materials).ok()?;
        let least_m = (2.0 * fresh.half_width_m() - HALF_READING_M).max(0.0);
        (least_m < ball_m).then_some([1e3 * least_m, 1e3 * ball_m])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{built_in, built_in_method};

    /// What stands against a number of a built-in quantity, under conditions.
    fn checked(key: &str, number: f64, conditions: &str) -> Result<Option<Unusual>, Impossible> {
        let (method, quantity) = key.split_once('/').unwrap();
        let method = built_in_method(method).unwrap();
        let quantity = method.quantity(quantity).unwrap();
        Bounds::of(method, quantity, conditions).check(number, (number, quantity.unit))
    }

    #[test]
    fn every_number_of_the_catalogue_has_both_ranges_one_inside_the_other() {
        for method in built_in() {
            for quantity in &method.quantities {
                let name = format!("{}/{}", method.id, quantity.id);
                if matches!(quantity.scale, Scale::Class(_)) {
                    assert_eq!((quantity.possible, quantity.usual), (None, None), "{name}");
                    continue;
                }
                let (possible, usual) = (quantity.possible.unwrap(), quantity.usual.unwrap());
                assert!(
                    holds(possible, usual.lo()) && holds(possible, usual.hi()),
                    "{name}"
                );
                for step in quantity.scale.steps() {
                    assert!(holds(possible, *step), "{name}: step {step}");
                }
                let told =
                    |number: f64| Bounds::of(method, quantity, "").check(number, (number, quantity.unit));
                // of friction it is the scar that the run leaves
                if let Some(nominal) = quantity.nominal.filter(|_| quantity.scar_of.is_none()) {
                    assert_eq!(told(nominal), Ok(None), "{name}: {nominal}");
                }
                if let Some(cap) = quantity.scale.cap() {
                    assert!(told(cap).is_ok(), "{name}: {cap}");
                }
            }
        }
    }

    #[test]
    fn a_weld_load_lies_within_the_first_and_the_last_step() {
        for (load, is_possible) in [
            (5.9, false),
            (6.0, true),
            (6.1, true),
            (799.0, true),
            (800.0, true),
            (804.1, false),
        ] {
            assert_eq!(checked("fb_ep_oil/weld", load, "").is_ok(), is_possible, "{load}");
        }
        let off = checked("fb_ep_oil/weld", 210.0, "");
        assert_eq!(
            off,
            Ok(Some(Unusual::OffSteps {
                number: 210.0,
                below: Some(200.0),
                above: Some(250.0)
            }))
        );
        assert_eq!(checked("fb_ep_oil/weld", 200.0, ""), Ok(None));
    }

    #[test]
    fn a_stage_is_a_whole_number_from_1_to_14_and_beyond_what_the_method_runs_it_is_asked_about() {
        for method in [
            "gear_A8",
            "gear_A10",
            "gear_A10_90",
            "gear_shock_A10",
            "gear_A28_grease",
        ] {
            for (stage, is_possible) in [(0.0, false), (1.0, true), (14.0, true), (15.0, false)] {
                let found = checked(&format!("{method}/fail_stage"), stage, "");
                assert_eq!(found.is_ok(), is_possible, "{method}: {stage}");
            }
        }
        assert_eq!(
            checked("gear_A8/fail_stage", 11.5, ""),
            Err(Impossible::NoStage(11.5))
        );
        for (stage, is_usual) in [(3.0, false), (4.0, true), (12.0, true), (13.0, false)] {
            assert_eq!(
                checked("gear_A8/fail_stage", stage, "") == Ok(None),
                is_usual,
                "{stage}"
            );
        }
    }

    /// Hertz: 0.299 mm under 40 kgf by 0.0873 P^(1/3), ASTM D2783, from memory; half a hundredth is left to the reading.
    #[test]
    fn a_scar_lies_between_the_elastic_contact_at_its_load_and_the_ball() {
        let method = built_in_method("fb_wear_oil_B").unwrap();
        let quantity = method.quantity("scar").unwrap();
        let possible = |conditions: &str| Bounds::of(method, quantity, conditions).possible.unwrap();
        assert!((possible("").lo() - 0.294).abs() < 0.003, "{}", possible(""));
        assert!((possible("").hi() - 12.7).abs() < 1e-9);
        for (scar, is_possible) in [
            (possible("").lo() - 1e-4, false),
            (possible("").lo(), true),
            (12.7, true),
            (12.71, false),
        ] {
            assert_eq!(
                checked("fb_wear_oil_B/scar", scar, "").is_ok(),
                is_possible,
                "{scar}"
            );
        }
        // 147 N is 0.375 of 392 N: 0.721 times as wide
        let lighter = possible("147 N; 1200 rpm");
        assert!(
            (lighter.lo() - (0.299 * 0.721 - 0.005)).abs() < 0.003,
            "{lighter}"
        );
        assert_eq!(possible("75 C; 60 min"), possible(""));
        assert!((Bounds::of_quantity(quantity).possible.unwrap().lo() - 0.1).abs() < 1e-12);
    }

    #[test]
    fn a_likely_slip_is_named() {
        let slip_of = |key: &str, number: f64| match checked(key, number, "") {
            Err(Impossible::Outside { slip, .. }) | Ok(Some(Unusual::Outside { slip, .. })) => slip,
            other => panic!("{key} {number}: {other:?}"),
        };
        let micrometres = slip_of("fb_wear_oil_B/scar", 450.0);
        assert!(
            matches!(micrometres, Some(Slip::Unit(Unit::Micrometre, mm)) if (mm - 0.45).abs() < 1e-9),
            "{micrometres:?}"
        );
        assert!(
            matches!(slip_of("fb_ep_oil/weld", 2452.0), Some(Slip::Unit(Unit::Newton, kgf)) if (kgf - 250.0).abs() < 0.1)
        );
        assert_eq!(slip_of("rb_oil/roller_wear", 5000.0), Some(Slip::TenTimes));
        assert_eq!(slip_of("lo_oil_wear/cof", 0.011), Some(Slip::Tenth));
        assert_eq!(slip_of("rb_oil/roller_wear", 9000.0), None);
    }

    #[test]
    fn a_slip_is_sought_from_what_was_written() {
        // 6.2 under a heading in kPa was read in bar
        let range = Interval::new(100.0, 3000.0).unwrap();
        let found = slip(6.2, Unit::Kilopascal, range, Unit::Kilopascal);
        assert!(
            matches!(found, Some(Slip::Unit(Unit::Bar, kpa)) if (kpa - 620.0).abs() < 1e-9),
            "{found:?}"
        );
        // 0.45 written in µm is 0.00045 mm; written in mm it would be usual
        let range = Interval::new(0.3, 1.3).unwrap();
        let found = slip(0.45, Unit::Micrometre, range, Unit::Millimetre);
        assert!(
            matches!(found, Some(Slip::Unit(Unit::Millimetre, _))),
            "{found:?}"
        );
    }

    #[test]
    fn an_entry_that_counts_no_more_is_asked_nothing() {
        let method = built_in_method("fb_wear_oil_B").unwrap();
        let quantity = method.quantity("scar").unwrap();
        assert_eq!(
            Bounds::open(quantity).check(450.0, (450.0, quantity.unit)),
            Ok(None)
        );
        assert_eq!(Bounds::open(quantity).quantity(), quantity);
    }
}
