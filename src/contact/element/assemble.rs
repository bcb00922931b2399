//! From an element, its load and its surroundings to the terms of its contact.

use crate::contact::elastic::{Thermal, contact_modulus_pa, usual_first_yield_pa, usual_hardness_pa};
use crate::contact::element::film::film;
use crate::contact::element::{Element, FreshContact, Load, Loading, Surroundings};
use crate::contact::error::{not_negative, positive};
use crate::contact::flash::{line_rise_k, point_rise_k};
use crate::contact::hertz;
use crate::contact::kinematics::{self, SurfaceSpeeds, rad_s};
use crate::contact::note::Note;
use crate::contact::terms::{ContactTerms, Materials, ShapeClass};
use crate::contact::{ContactError, Wrong};
use crate::lubricant::Oil;
use crate::units::Interval;
use std::f64::consts::{PI, TAU};

const STATED: ContactError = ContactError::NoGeometry;

pub(super) fn load_per_contact_n(element: &Element, load: &Load) -> Result<f64, ContactError> {
    if let Element::GearRig(rig) = element {
        let Load::PinionTorqueNm(torque) = *load else {
            return Err(ContactError::WrongLoad {
                element: element.kind(),
                takes: Wrong::TakesTorque,
            });
        };
        let pair = rig.pair(Materials::HardSteelHardSteel)?;
        return Ok(pair.tooth_normal_force_n(positive("pinion_torque_nm", torque)?));
    }
    let Load::TotalForceN(total) = *load else {
        return Err(ContactError::WrongLoad {
            element: element.kind(),
            takes: Wrong::TakesForce,
        });
    };
    let total = positive("load_n", total)?;
    match element {
        Element::FourBall(_) => Ok(kinematics::four_ball_load_per_contact_n(total)),
        Element::ThrustRoller(bearing) => Ok(total / f64::from(bearing.rollers)),
        Element::BlockOnRing(_) | Element::BallOnDiscStroke(_) | Element::TwoDisc(_) => Ok(total),
        Element::GearRig(_) | Element::Stated(_) => Err(STATED),
    }
}

pub(super) fn fresh_contact(
    element: &Element,
    load: &Load,
    materials: Materials,
) -> Result<FreshContact, ContactError> {
    let [first, second] = materials.elastic()?;
    let modulus = contact_modulus_pa(first, second);
    let load_n = load_per_contact_n(element, load)?;
    let (length_m, radius_m) = match element {
        Element::FourBall(it) => {
            return hertz::point(load_n, 0.25 * it.ball_diameter_m, modulus).map(FreshContact::Point);
        }
        Element::BallOnDiscStroke(it) => {
            return hertz::point(load_n, 0.5 * it.ball_diameter_m, modulus).map(FreshContact::Point);
        }
        Element::BlockOnRing(it) => (it.contact_length_m, 0.5 * it.ring_diameter_m),
        Element::ThrustRoller(it) => (it.effective_length_m, 0.5 * it.roller_diameter_m),
        Element::TwoDisc(it) => (
            it.contact_length_m,
            hertz::reduced_radius_m(it.first_radius_m, it.second_radius_m)?,
        ),
        Element::GearRig(it) => {
            let pair = it.pair(materials)?;
            return pair
                .pitch_contact(load_n * pair.base_radii_m()[0])
                .map(FreshContact::Line);
        }
        Element::Stated(_) => return Err(STATED),
    };
    hertz::line(load_n, length_m, radius_m, modulus).map(FreshContact::Line)
}

/// How the surfaces of an element move.
struct MotionOfSurfaces {
    /// Mean entrainment, m/s.
    entrainment_m_s: f64,
    /// Entrainment of the contact whose film is taken, of gears at the pitch point, m/s.
    inlet_m_s: f64,
    /// Mean sliding without sign, m/s.
    sliding_m_s: f64,
    /// Mean slide-roll ratio; `None` where nothing is drawn in.
    slide_roll: Option<f64>,
    /// Mean flash rise on the fresh contact, K.
    fresh_rise_k: f64,
    /// Share of the time for which a spot of the more loaded body is in contact.
    time_share: f64,
}

/// Friction heat of one contact.
struct Heat {
    friction_coefficient: f64,
    bodies: [Thermal; 2],
}

impl Heat {
    fn rise_k(&self, fresh: &FreshContact, half_width_m: f64, speeds: SurfaceSpeeds) -> f64 {
        let Self {
            friction_coefficient,
            bodies,
        } = *self;
        match fresh {
            FreshContact::Point(it) => {
                point_rise_k(friction_coefficient, it.load_n, half_width_m, speeds, bodies)
            }
            FreshContact::Line(it) => line_rise_k(
                friction_coefficient,
                it.load_n / it.length_m,
                half_width_m,
                speeds,
                bodies,
            ),
        }
    }
}

/// The one pair of surface speeds of elements whose speeds do not vary over the contact; for a stroke its mean.
fn uniform_speeds(element: &Element) -> Option<SurfaceSpeeds> {
    match element {
        Element::FourBall(it) => Some(SurfaceSpeeds::against_fixed(kinematics::four_ball_sliding_m_s(
            it.ball_diameter_m,
            it.speed_rpm,
        ))),
        Element::BlockOnRing(it) => Some(SurfaceSpeeds::against_fixed(kinematics::ring_speed_m_s(
            it.ring_diameter_m,
            it.speed_rpm,
        ))),
        Element::BallOnDiscStroke(it) => Some(SurfaceSpeeds::against_fixed(
            kinematics::stroke_mean_speed_m_s(it.stroke_m, it.frequency_hz),
        )),
        Element::TwoDisc(it) => Some(SurfaceSpeeds {
            first_m_s: it.first_radius_m * rad_s(it.first_rpm),
            second_m_s: it.second_radius_m * rad_s(it.second_rpm),
        }),
        Element::GearRig(_) | Element::ThrustRoller(_) | Element::Stated(_) => None,
    }
}

fn motion_of_surfaces(
    element: &Element,
    fresh: &FreshContact,
    surroundings: &Surroundings,
    heat: &Heat,
) -> Result<MotionOfSurfaces, ContactError> {
    if let Some(speeds) = uniform_speeds(element) {
        let time_share = match element {
            Element::TwoDisc(it) if it.second_rpm != 0.0 => {
                let smaller = it.first_radius_m.min(it.second_radius_m);
                (2.0 * fresh.half_width_m() / (TAU * smaller)).min(1.0)
            }
            _ => 1.0,
        };
        return Ok(MotionOfSurfaces {
            entrainment_m_s: speeds.entrainment_m_s(),
            inlet_m_s: speeds.entrainment_m_s(),
            sliding_m_s: speeds.sliding_m_s().abs(),
            slide_roll: speeds.slide_roll(),
            fresh_rise_k: heat.rise_k(fresh, fresh.half_width_m(), speeds),
            time_share,
        });
    }
    match element {
        Element::GearRig(rig) => {
            let pair = rig.pair(surroundings.materials)?;
            let torque = fresh.load_n() * pair.base_radii_m()[0];
            let load_per_length = fresh.load_n() / rig.face_width_m;
            let pitch = pair.at(pair.path_points().c_m, rig.pinion_rpm, torque)?;
            Ok(MotionOfSurfaces {
                entrainment_m_s: pair.mean_over_path(rig.pinion_rpm, torque, |p| p.entrainment_m_s())?,
                inlet_m_s: pitch.entrainment_m_s(),
                sliding_m_s: pair.mean_over_path(rig.pinion_rpm, torque, |p| p.sliding_m_s().abs())?,
                slide_roll: Some(pair.mean_over_path(rig.pinion_rpm, torque, |p| p.slide_roll())?),
                fresh_rise_k: pair.mean_over_path(rig.pinion_rpm, torque, |p| {
                    line_rise_k(
                        heat.friction_coefficient,
                        load_per_length,
                        p.half_width_m,
                        p.speeds,
                        heat.bodies,
                    )
                })?,
                time_share: 2.0 * pitch.half_width_m / pitch.speeds.first_m_s * rig.pinion_rpm / 60.0,
            })
        }
        Element::ThrustRoller(it) => Ok(MotionOfSurfaces {
            entrainment_m_s: it.speeds_at(0.0).entrainment_m_s(),
            inlet_m_s: it.speeds_at(0.0).entrainment_m_s(),
            sliding_m_s: it.mean_along_roller(|speeds| speeds.sliding_m_s().abs()),
            slide_roll: Some(it.mean_along_roller(|speeds| speeds.slide_roll().unwrap_or(0.0))),
            fresh_rise_k: it.mean_along_roller(|speeds| heat.rise_k(fresh, fresh.half_width_m(), speeds)),
            time_share: (2.0 * 2.0 * fresh.half_width_m() / (PI * it.roller_diameter_m)).min(1.0),
        }),
        _ => Err(STATED),
    }
}

/// Mean pressure and flash rise on a worn scar.
fn worn(
    element: &Element,
    fresh: &FreshContact,
    scar_m: f64,
    heat: &Heat,
) -> Result<(f64, f64), ContactError> {
    let scar_m = positive("worn_scar_m", scar_m)?;
    let elastic_m = 2.0 * fresh.half_width_m();
    if scar_m < elastic_m {
        return Err(ContactError::ScarBelowElasticContact { scar_m, elastic_m });
    }
    let speeds =
        uniform_speeds(element).ok_or(ContactError::field("worn_scar_m", scar_m, Wrong::NoLastingScar))?;
    let pressure = match fresh {
        FreshContact::Point(it) => hertz::mean_pressure_on_scar_pa(it.load_n, scar_m)?,
        FreshContact::Line(it) => hertz::mean_pressure_on_band_pa(it.load_n, scar_m, it.length_m)?,
    };
    Ok((pressure, heat.rise_k(fresh, 0.5 * scar_m, speeds)))
}

/// Rise of the bulk temperature of a gear test per pinion torque at a pitch line velocity of 8.3 m/s, K/(N m): 80 °C +
/// 0.23 T from a start at 90 °C (ISO/TS 6336-21, seen as code); that it goes with the speed is ours.
const RISE_K_PER_NM: f64 = 0.23;
/// Pitch line velocity of that relation, m/s.
const RISE_AT_M_S: f64 = 8.3;
/// What that relation lies below the start without a torque, K.
const BELOW_START_K: f64 = 10.0;

/// Bulk temperature of a gear test that starts at a temperature: `start - 10 + 0.23 K/(N m) T v/8.3`, never below the
/// start, °C.
fn heated_c(start_c: Interval, torque_nm: f64, pitch_line_m_s: f64) -> Interval {
    let rise_k = RISE_K_PER_NM * torque_nm * pitch_line_m_s / RISE_AT_M_S - BELOW_START_K;
    start_c.map(|start| start + rise_k.max(0.0)).unwrap_or(start_c)
}

/// Surroundings as they are under a load: a gear test heats itself.
fn heated(element: &Element, load: &Load, surroundings: &Surroundings) -> Result<Surroundings, ContactError> {
    let (Element::GearRig(rig), Load::PinionTorqueNm(torque_nm)) = (element, load) else {
        return Ok(surroundings.clone());
    };
    let pitch_line_m_s = rig
        .pair(surroundings.materials)?
        .pitch_line_velocity_m_s(rig.pinion_rpm);
    Ok(Surroundings {
        bulk_temperature_c: heated_c(surroundings.bulk_temperature_c, *torque_nm, pitch_line_m_s),
        ..surroundings.clone()
    })
}

pub(super) fn terms(
    element: &Element,
    loading: &Loading,
    surroundings: &Surroundings,
    oil: Option<&Oil>,
) -> Result<ContactTerms, ContactError> {
    let surroundings = &heated(element, &loading.load, surroundings)?;
    let heat = Heat {
        friction_coefficient: not_negative("friction_coefficient", surroundings.friction_coefficient)?,
        bodies: surroundings.materials.thermal()?,
    };
    let fresh = fresh_contact(element, &loading.load, surroundings.materials)?;
    let surfaces = motion_of_surfaces(element, &fresh, surroundings, &heat)?;
    let worn = loading
        .worn_scar_m
        .map(|scar_m| worn(element, &fresh, scar_m, &heat))
        .transpose()?;

    let mut notes = Vec::new();
    if fresh.max_pressure_pa() > usual_first_yield_pa(surroundings.materials) {
        notes.push(Note::BeyondFirstYield);
    }
    match element {
        Element::BallOnDiscStroke(_) => notes.push(Note::StrokeMeans),
        Element::GearRig(_) => notes.push(Note::HeatsItself),
        _ => {}
    }
    let film_ratio = film(&fresh, surfaces.inlet_m_s, surroundings, oil, &mut notes)?;

    let (least_pressure, least_rise) = worn.unwrap_or((fresh.max_pressure_pa(), surfaces.fresh_rise_k));
    let least_mean_pressure = worn.map_or(fresh.mean_pressure_pa(), |(pressure, _)| pressure);
    let bulk = surroundings.bulk_temperature_c;
    Ok(ContactTerms {
        shape: Some(fresh.shape()),
        ellipticity: Interval::point(if fresh.shape() == ShapeClass::Point {
            1.0
        } else {
            100.0
        }),
        max_pressure_pa: Interval::new(least_pressure, fresh.max_pressure_pa()),
        mean_pressure_pa: Interval::new(least_mean_pressure, fresh.mean_pressure_pa()),
        sliding_m_s: Interval::point(surfaces.sliding_m_s),
        entrainment_m_s: Interval::point(surfaces.entrainment_m_s.abs()),
        slide_roll: surfaces.slide_roll.and_then(Interval::point),
        motion: Some(surroundings.motion),
        bulk_temperature_c: Some(bulk),
        contact_temperature_c: Interval::new(
            bulk.lo() + least_rise.min(surfaces.fresh_rise_k),
            bulk.hi() + least_rise.max(surfaces.fresh_rise_k),
        ),
        film_ratio: film_ratio.and_then(Interval::point),
        materials: Some(surroundings.materials),
        time_share: Interval::point(surfaces.time_share),
        supply: Some(surroundings.supply),
        friction_power_w_m2: None,
        notes,
    }
    .held_at_hardness(
        surroundings
            .hardness_pa
            .unwrap_or_else(|| usual_hardness_pa(surroundings.materials)),
    )
    .with_friction_power())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn start() -> Interval {
        Interval::point(90.0).unwrap()
    }

    #[test]
    fn gears_heat_themselves_as_the_standard_says_at_its_speed() {
        let heated = heated_c(start(), 534.5, 8.3);
        assert!((heated.lo() - (80.0 + 0.23 * 534.5)).abs() < 1e-9);
        let slower = heated_c(start(), 534.5, 4.15);
        assert!((slower.lo() - (80.0 + 0.5 * 0.23 * 534.5)).abs() < 1e-9);
    }

    #[test]
    fn gears_are_never_colder_than_their_start() {
        let balance_nm = BELOW_START_K / RISE_K_PER_NM;
        assert_eq!(heated_c(start(), 0.99 * balance_nm, 8.3), start());
        assert!((heated_c(start(), balance_nm, 8.3).lo() - 90.0).abs() < 1e-9);
        assert!(heated_c(start(), 1.01 * balance_nm, 8.3).lo() > 90.0);
    }
}
