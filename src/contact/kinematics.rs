//! Speeds and load shares of specimen geometries.

use crate::contact::ContactError;
use crate::contact::error::positive;
use std::f64::consts::PI;

/// Two surface speeds in the rolling direction, m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceSpeeds {
    /// Speed of the first body's surface.
    pub first_m_s: f64,
    /// Speed of the second body's surface.
    pub second_m_s: f64,
}

impl SurfaceSpeeds {
    /// One body slides over another one that stands still.
    pub fn against_fixed(speed_m_s: f64) -> Self {
        Self {
            first_m_s: speed_m_s,
            second_m_s: 0.0,
        }
    }

    /// Mean of the two, m/s: what draws oil in.
    pub fn entrainment_m_s(self) -> f64 {
        0.5 * (self.first_m_s + self.second_m_s)
    }

    /// First less second, m/s.
    pub fn sliding_m_s(self) -> f64 {
        self.first_m_s - self.second_m_s
    }

    /// Sliding over entrainment, both without sign; 2 when one body stands still. `None` when nothing is drawn in.
    pub fn slide_roll(self) -> Option<f64> {
        let entrainment = self.entrainment_m_s().abs();
        (entrainment > 0.0).then(|| self.sliding_m_s().abs() / entrainment)
    }
}

/// Slide-roll ratios are shown up to this: where nothing is drawn in they have no end (ours).
pub const GREATEST_SLIDE_ROLL: f64 = 1e3;

/// Angular speed in rad/s.
pub fn rad_s(rpm: f64) -> f64 {
    rpm * PI / 30.0
}

/// Load on each of the three contacts of one ball on three, for a total load along the axis, N: `P / sqrt 6`.
pub fn four_ball_load_per_contact_n(total_n: f64) -> f64 {
    total_n / 6f64.sqrt()
}

/// Radius of the circle of contact on the turning ball, m: `D / (2 sqrt 3)`.
pub fn four_ball_contact_circle_m(ball_diameter_m: f64) -> f64 {
    ball_diameter_m / (2.0 * 3f64.sqrt())
}

/// Sliding speed at the three contacts, m/s.
pub fn four_ball_sliding_m_s(ball_diameter_m: f64, speed_rpm: f64) -> f64 {
    four_ball_contact_circle_m(ball_diameter_m) * rad_s(speed_rpm)
}

/// Diameter of the unworn contact by the formula of ASTM D2783, m: `0.0873 mm (P / kgf)^(1/3)`, P the total load (from
/// memory). The elastic contact of 12.7 mm steel balls is 0.4 % wider.
pub fn four_ball_standard_hertz_scar_m(total_n: f64) -> f64 {
    0.0873e-3 * (total_n / 9.806_65).cbrt()
}

/// Surface speed of a turning ring, m/s.
pub fn ring_speed_m_s(ring_diameter_m: f64, speed_rpm: f64) -> f64 {
    0.5 * ring_diameter_m * rad_s(speed_rpm)
}

/// Mean speed of a sinusoidal stroke (peak to peak), m/s: `2 f s`.
pub fn stroke_mean_speed_m_s(stroke_m: f64, frequency_hz: f64) -> f64 {
    2.0 * frequency_hz * stroke_m
}

/// Entrainment speed in a rolling bearing, inner and outer ring turning, contact angle 0, m/s.
///
/// # Formula
/// `u = (de^2 - d^2) / (4 de) |wi - wo|`, where de is the pitch and d the element diameter (Hamrock, from memory).
pub fn bearing_entrainment_m_s(
    pitch_diameter_m: f64,
    element_diameter_m: f64,
    inner_rad_s: f64,
    outer_rad_s: f64,
) -> f64 {
    (pitch_diameter_m.powi(2) - element_diameter_m.powi(2)) / (4.0 * pitch_diameter_m)
        * (inner_rad_s - outer_rad_s).abs()
}

/// Greatest load on one element of a radially loaded bearing, N: `factor F / Z`. The factor is 4.37 for balls
/// without clearance, 4.08 for rollers, 5 with the usual clearance (from memory).
///
/// # Errors
/// Names the argument that is not above zero.
pub fn greatest_element_load_n(radial_load_n: f64, elements: u32, factor: f64) -> Result<f64, ContactError> {
    let elements = positive("elements", f64::from(elements))?;
    Ok(positive("factor", factor)? * positive("radial_load_n", radial_load_n)? / elements)
}

/// Sommerfeld number of a journal bearing: `(r/c)^2 mu N / P`, P the load over length times diameter.
/// Any consistent set of units.
///
/// # Errors
/// Names the argument that is not above zero.
pub fn sommerfeld_number(
    viscosity: f64,
    revolutions_per_s: f64,
    load: f64,
    radius: f64,
    radial_clearance: f64,
    length: f64,
) -> Result<f64, ContactError> {
    let pressure =
        positive("load", load)? / (2.0 * positive("radius", radius)? * positive("length", length)?);
    let slenderness = radius / positive("radial_clearance", radial_clearance)?;
    Ok(slenderness.powi(2) * viscosity * revolutions_per_s / pressure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fixed_specimen_has_a_slide_roll_ratio_of_two() {
        assert_eq!(SurfaceSpeeds::against_fixed(0.46).slide_roll(), Some(2.0));
    }

    #[test]
    fn two_bodies_that_run_against_each_other_draw_nothing_in() {
        let speeds = SurfaceSpeeds {
            first_m_s: 1.0,
            second_m_s: -1.0,
        };
        assert_eq!(speeds.slide_roll(), None);
    }

    #[test]
    fn three_contacts_at_their_angle_carry_the_axial_load() {
        let normal = four_ball_load_per_contact_n(392.0);
        let cosine = (2f64 / 3.0).sqrt();
        assert!((3.0 * normal * cosine - 392.0).abs() < 1e-9);
    }
}
