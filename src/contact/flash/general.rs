//! Flash temperature of any contact of two bodies, with the heat spread as the Hertz pressure is.

use crate::contact::bodies::{Area, GeneralContact};
use crate::contact::elastic::Thermal;
use crate::contact::integrals::complete_of_complement;
use crate::contact::kinematics::SurfaceSpeeds;
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_2, PI};

/// Peclet number `u l / (2 chi)` below which heat spreads sideways while a body passes.
pub(super) const FAST: f64 = 5.0;

/// A bound of the flash formulas that a contact exceeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlashLimit {
    /// A line whose faster body passes at a Peclet number below 5: the rise is too high.
    SlowLine,
    /// A line whose slower body moves at a Peclet number below 5: it takes more heat than is counted.
    SlowerBody,
}

impl FlashLimit {
    /// What is exceeded, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::SlowLine => {
                "both surfaces pass the line slowly (Peclet number below 5): the true flash temperature is lower"
            }
            Self::SlowerBody => {
                "the slower surface passes the line at a Peclet number below 5 and takes more heat than is counted: the true flash temperature is somewhat lower"
            }
        }
    }
}

/// A flash temperature with the bounds it exceeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Flash {
    /// Rise above the bulk of the bodies at the hottest place, K.
    pub rise_k: f64,
    /// Peclet numbers of the two bodies.
    pub peclet: [f64; 2],
    /// Bounds exceeded.
    pub beyond: Vec<FlashLimit>,
}

/// Friction heat per area, W/m2: friction coefficient times pressure times sliding speed.
pub fn friction_power_intensity_w_m2(
    friction_coefficient: f64,
    pressure_pa: f64,
    speeds: SurfaceSpeeds,
) -> f64 {
    friction_coefficient * pressure_pa * speeds.sliding_m_s().abs()
}

/// Flash temperature of a contact of two bodies, motion along the first plane of the first body.
///
/// # Formula
/// The heat is spread as the pressure, `q0 = mu p0 |u1 - u2|` in the middle. Fast, heat flows straight into a body: along
/// the middle of the track the contact is a line of half-length l, so that the body alone would rise by Blok's
/// `1.11 (pi/2) q0 l / (sqrt(2 l) B sqrt(u))`, `B = sqrt(K rho c)`. At rest it would rise by `q0 b K(1 - b^2/a^2) / (2 K)`
/// (the Hertz integral of a half-space), for a line without end. Between, `1/T^2` of both add, which for a circle is
/// Tian and Kennedy's `2.32 q a / (K sqrt(pi (1.234 + Pe)))`, q the mean heat (1994, from memory). The bodies share
/// the heat by `1/T = 1/T1 + 1/T2`. A line is Blok's formula alone. 0 without sliding.
pub fn general_flash(
    friction_coefficient: f64,
    contact: &GeneralContact,
    speeds: SurfaceSpeeds,
    bodies: [Thermal; 2],
) -> Flash {
    let half_length_m = half_length_in_motion_m(contact);
    let moving = [speeds.first_m_s.abs(), speeds.second_m_s.abs()];
    let peclet = [0, 1].map(|body| moving[body] * half_length_m / (2.0 * bodies[body].diffusivity_m2_s()));
    let q0 = friction_power_intensity_w_m2(friction_coefficient, contact.max_pressure_pa(), speeds);
    let mut beyond = Vec::new();
    if matches!(contact.area, Area::Line(_)) && q0 > 0.0 {
        let [slow, fast] = [peclet[0].min(peclet[1]), peclet[0].max(peclet[1])];
        if fast < FAST {
            beyond.push(FlashLimit::SlowLine);
        } else if slow > 0.0 && slow < FAST {
            beyond.push(FlashLimit::SlowerBody);
        }
    }
    // Reciprocals, because a body at rest under a line rises without end.
    let reciprocal = |body: usize| {
        let fast = 1.11 * FRAC_PI_2 * FRAC_1_SQRT_2 * q0 * half_length_m.sqrt()
            / (bodies[body].effusivity() * moving[body].sqrt());
        let still = q0 * still_shape_m(contact) / (2.0 * bodies[body].conductivity_w_m_k);
        fast.recip().hypot(still.recip())
    };
    Flash {
        rise_k: if q0 > 0.0 {
            1.0 / (reciprocal(0) + reciprocal(1))
        } else {
            0.0
        },
        peclet,
        beyond,
    }
}

/// Half of the way through the contact along the motion, through its middle, m.
fn half_length_in_motion_m(contact: &GeneralContact) -> f64 {
    let short = contact.short_half_axis_m();
    let (sine, cosine) = contact.long_axis_rad.unwrap_or(FRAC_PI_2).sin_cos();
    let across = (sine / short).powi(2);
    let along = contact
        .long_half_axis_m()
        .map_or(0.0, |long| (cosine / long).powi(2));
    (across + along).sqrt().recip()
}

/// `b K(1 - b^2/a^2)`, m; without end for a line.
fn still_shape_m(contact: &GeneralContact) -> f64 {
    match (contact.long_half_axis_m(), contact.short_half_axis_m()) {
        (None, _) => f64::INFINITY,
        (Some(long), short) if long == short => 0.5 * PI * short,
        (Some(long), short) => short * complete_of_complement((short / long).powi(2)).0,
    }
}
