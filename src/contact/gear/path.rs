//! Radii, speeds and pressure at the points of a gear pair's path of contact.

use crate::contact::error::positive;
use crate::contact::gear::GearPair;
use crate::contact::hertz::line;
use crate::contact::kinematics::{SurfaceSpeeds, rad_s};
use crate::contact::{ContactError, Wrong};
use serde::Serialize;

/// Named points of the path, as distances along the line of action, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PathPoints {
    /// A: the wheel's tip meets the pinion's root.
    pub a_m: f64,
    /// B: from here one pair carries alone.
    pub b_m: f64,
    /// C: pitch point.
    pub c_m: f64,
    /// D: to here one pair carries alone.
    pub d_m: f64,
    /// E: the pinion's tip meets the wheel's root.
    pub e_m: f64,
}

impl PathPoints {
    /// Share of the load that the pair of teeth at distance `s_m` along the line of action carries.
    ///
    /// # Formula
    /// From one third at A to two thirds at B in a straight line, the whole from B to D, back in the same way to one third
    /// at E (as for unmodified spur gears in ISO/TR 13989-1, from memory). With a contact ratio of 2 or more one half
    /// throughout (ours).
    pub fn load_share(&self, s_m: f64) -> f64 {
        if self.d_m <= self.b_m {
            return 0.5;
        }
        let on_the_way = |from: f64, to: f64| 1.0 / 3.0 + (s_m - from) / (to - from) / 3.0;
        if s_m < self.b_m {
            on_the_way(self.a_m, self.b_m)
        } else if s_m > self.d_m {
            on_the_way(self.e_m, self.d_m)
        } else {
            1.0
        }
    }
}

/// One point of the path at a speed and torque, one pair carrying the whole load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathPoint {
    /// Distance along the line of action, m.
    pub s_m: f64,
    /// Radii of curvature of the two flanks, m.
    pub radii_m: [f64; 2],
    /// Reduced radius, m.
    pub reduced_radius_m: f64,
    /// Surface speeds, m/s.
    pub speeds: SurfaceSpeeds,
    /// Half-width of the contact, m.
    pub half_width_m: f64,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: f64,
}

impl PathPoint {
    /// Entrainment speed, m/s.
    pub fn entrainment_m_s(&self) -> f64 {
        self.speeds.entrainment_m_s()
    }

    /// Sliding of the pinion over the wheel, m/s; negative before the pitch point.
    pub fn sliding_m_s(&self) -> f64 {
        self.speeds.sliding_m_s()
    }

    /// Sliding over entrainment, without sign.
    pub fn slide_roll(&self) -> f64 {
        self.speeds.slide_roll().unwrap_or(0.0)
    }
}

impl GearPair {
    /// The contact at distance `s_m` along the line of action, one pair carrying the whole torque.
    ///
    /// # Errors
    /// Names `s_m` outside the line of action, and speed or torque unless above zero and finite.
    pub fn at(&self, s_m: f64, pinion_rpm: f64, pinion_torque_nm: f64) -> Result<PathPoint, ContactError> {
        if !(s_m > 0.0 && s_m < self.line_of_action_m) {
            return Err(ContactError::field("s_m", s_m, Wrong::OffLineOfAction));
        }
        let pinion_speed = rad_s(positive("pinion_rpm", pinion_rpm)?);
        let torque = positive("pinion_torque_nm", pinion_torque_nm)?;
        let radii_m = [s_m, self.line_of_action_m - s_m];
        let reduced_radius_m = radii_m[0] * radii_m[1] / self.line_of_action_m;
        let contact = line(
            self.tooth_normal_force_n(torque),
            self.data.face_width_m,
            reduced_radius_m,
            self.contact_modulus_pa(),
        )?;
        Ok(PathPoint {
            s_m,
            radii_m,
            reduced_radius_m,
            speeds: SurfaceSpeeds {
                first_m_s: pinion_speed * radii_m[0],
                second_m_s: pinion_speed * self.speed_ratio() * radii_m[1],
            },
            half_width_m: contact.half_width_m,
            max_pressure_pa: contact.max_pressure_pa,
        })
    }

    /// `count` points evenly from A to E, both included (at least two).
    ///
    /// # Errors
    /// Names speed or torque unless above zero and finite.
    pub fn path(
        &self,
        pinion_rpm: f64,
        pinion_torque_nm: f64,
        count: usize,
    ) -> Result<impl Iterator<Item = PathPoint> + use<>, ContactError> {
        let last = count.max(2) - 1;
        let [a, e] = self.path_ends_m;
        let points = (0..=last)
            .map(|step| a + (e - a) * step as f64 / last as f64)
            .map(|s_m| self.at(s_m, pinion_rpm, pinion_torque_nm))
            .collect::<Result<Vec<_>, _>>()?;
        Ok(points.into_iter())
    }

    /// Mean of a quantity over the path from A to E, by Simpson's rule on either side of the pitch point, where
    /// quantities without sign have a kink.
    ///
    /// # Errors
    /// Names speed or torque unless above zero and finite.
    pub fn mean_over_path(
        &self,
        pinion_rpm: f64,
        pinion_torque_nm: f64,
        quantity: impl Fn(&PathPoint) -> f64,
    ) -> Result<f64, ContactError> {
        let [a, e] = self.path_ends_m;
        let c = self.path_points().c_m.clamp(a, e);
        let mut sum = 0.0;
        for (from, to) in [(a, c), (c, e)] {
            sum += simpson(from, to, |s_m| {
                self.at(s_m, pinion_rpm, pinion_torque_nm)
                    .map(|point| quantity(&point))
            })?;
        }
        Ok(sum / (e - a))
    }
}

/// Integral by Simpson's rule on 100 panels.
fn simpson(
    from: f64,
    to: f64,
    value: impl Fn(f64) -> Result<f64, ContactError>,
) -> Result<f64, ContactError> {
    const PANELS: u32 = 100;
    let step = (to - from) / f64::from(PANELS);
    let mut sum = 0.0;
    for index in 0..=PANELS {
        let weight = match index {
            0 | PANELS => 1.0,
            odd if odd % 2 == 1 => 4.0,
            _ => 2.0,
        };
        sum += weight * value(from + step * f64::from(index))?;
    }
    Ok(sum * step / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_pairs_carry_the_whole_load_together() {
        let points = PathPoints {
            a_m: 1.0,
            b_m: 2.0,
            c_m: 2.5,
            d_m: 4.0,
            e_m: 5.0,
        };
        for place in [0.0, 0.3, 0.9] {
            let together = points.load_share(1.0 + place) + points.load_share(4.0 + place + 1e-12);
            assert!((together - 1.0).abs() < 1e-9, "{place}: {together}");
        }
        assert_eq!(points.load_share(points.c_m), 1.0);
        let always_two = PathPoints {
            b_m: 4.0,
            d_m: 2.0,
            ..points
        };
        assert_eq!(always_two.load_share(1.5), 0.5);
    }
}
