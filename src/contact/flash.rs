//! Flash temperature: the rise of the contact above the bulk of the bodies, at its hottest place.

use crate::contact::elastic::Thermal;
use crate::contact::elliptical::RollingEllipse;
use crate::contact::kinematics::SurfaceSpeeds;
use std::f64::consts::PI;

/// Peclet number `u l / (2 chi)` from which heat flows straight into a body that passes.
const FAST: f64 = 5.0;
/// Peclet number below which a heated circle counts as standing still.
const SLOW: f64 = 0.1;

/// Rise in K at the hottest place of a line contact.
///
/// # Formula
/// `1.11 mu w |u1 - u2| / (sqrt(2 b) (B1 sqrt u1 + B2 sqrt u2))`, where w is the load per length, b the half-width,
/// `B = sqrt(K rho c)` (Blok; holds for Peclet numbers above about 5). 0 without sliding.
pub fn line_rise_k(
    friction_coefficient: f64,
    load_per_length_n_m: f64,
    half_width_m: f64,
    speeds: SurfaceSpeeds,
    bodies: [Thermal; 2],
) -> f64 {
    let sliding = speeds.sliding_m_s().abs();
    let carried_off = bodies[0].effusivity() * speeds.first_m_s.abs().sqrt()
        + bodies[1].effusivity() * speeds.second_m_s.abs().sqrt();
    if sliding == 0.0 {
        return 0.0;
    }
    1.11 * friction_coefficient * load_per_length_n_m * sliding / ((2.0 * half_width_m).sqrt() * carried_off)
}

/// Rise in K at the hottest place of a circular contact.
///
/// # Formula
/// With q the friction heat, a the radius, u the body's speed through the contact and `L = u a / (2 chi)`, chi the
/// diffusivity: each body alone would rise by `q / (pi K a)` for L < 0.1 and by
/// `0.435 q / (K a) sqrt(chi / (u a))` for L > 5, the factor running straight between them on log-log scales; the
/// two share the heat by `1/T = 1/T1 + 1/T2` (Jaeger, Archard; from memory, the last formula seen). The heat is even
/// over the circle; with the heat spread as the Hertz pressure is, the middle rises by 18 % more at rest and 35 % more at
/// speed. Both sides of a comparison are computed alike.
pub fn point_rise_k(
    friction_coefficient: f64,
    load_n: f64,
    radius_m: f64,
    speeds: SurfaceSpeeds,
    bodies: [Thermal; 2],
) -> f64 {
    let heat_w = friction_coefficient * load_n * speeds.sliding_m_s().abs();
    if heat_w == 0.0 {
        return 0.0;
    }
    let alone = |speed: f64, body: Thermal| {
        let peclet = speed.abs() * radius_m / (2.0 * body.diffusivity_m2_s());
        rise_factor(peclet) * heat_w / (body.conductivity_w_m_k * radius_m)
    };
    let first = alone(speeds.first_m_s, bodies[0]);
    let second = alone(speeds.second_m_s, bodies[1]);
    first * second / (first + second)
}

/// Rise in K at the hottest place of an elliptical contact that rolls along one of its axes.
///
/// # Formula
/// The lesser of two that each leave something out (ours): the circle of the same area, and the strip along the
/// middle of the ellipse as a line contact of the same maximum pressure p0 and half-width b, whose load per length is
/// `pi b p0 / 2`. The circle overlooks how slender the ellipse is, the strip that heat spreads sideways.
pub fn elliptical_rise_k(
    friction_coefficient: f64,
    ellipse: &RollingEllipse,
    speeds: SurfaceSpeeds,
    bodies: [Thermal; 2],
) -> f64 {
    let half_width_m = ellipse.half_axis_along_m;
    let radius_m = (half_width_m * ellipse.half_axis_across_m).sqrt();
    let load_per_length_n_m = 0.5 * PI * half_width_m * ellipse.contact.max_pressure_pa;
    let circle = point_rise_k(
        friction_coefficient,
        ellipse.contact.load_n,
        radius_m,
        speeds,
        bodies,
    );
    let strip = line_rise_k(
        friction_coefficient,
        load_per_length_n_m,
        half_width_m,
        speeds,
        bodies,
    );
    circle.min(strip)
}

/// Rise of one body over `q / (K a)`.
fn rise_factor(peclet: f64) -> f64 {
    let still = std::f64::consts::FRAC_1_PI;
    let moving = |peclet: f64| 0.435 * (0.5 / peclet).sqrt();
    if peclet <= SLOW {
        still
    } else if peclet >= FAST {
        moving(peclet)
    } else {
        let share = (peclet / SLOW).ln() / (FAST / SLOW).ln();
        still * (moving(FAST) / still).powf(share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::elastic::STEEL_THERMAL;

    const STEELS: [Thermal; 2] = [STEEL_THERMAL, STEEL_THERMAL];

    #[test]
    fn the_factor_has_no_step_where_its_branches_meet() {
        for limit in [SLOW, FAST] {
            let below = rise_factor(limit * (1.0 - 1e-9));
            let above = rise_factor(limit * (1.0 + 1e-9));
            assert!((below / above - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_body_is_still_up_to_a_peclet_number_of_0_1_and_moves_from_5_on() {
        let still = std::f64::consts::FRAC_1_PI;
        let moving = |peclet: f64| 0.435 * (0.5 / peclet).sqrt();
        for peclet in [0.0, 0.099, 0.1] {
            assert_eq!(rise_factor(peclet), still, "{peclet}");
        }
        assert!(rise_factor(0.101) < still);
        assert!(rise_factor(4.99) < moving(4.99));
        for peclet in [5.0, 5.01, 100.0] {
            assert_eq!(rise_factor(peclet), moving(peclet), "{peclet}");
        }
        // between them straight in the logarithms
        let middle = rise_factor((0.1 * 5.0f64).sqrt());
        assert!((middle / (still * moving(5.0)).sqrt() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn pure_rolling_makes_no_flash() {
        let rolling = SurfaceSpeeds {
            first_m_s: 3.0,
            second_m_s: 3.0,
        };
        assert_eq!(line_rise_k(0.1, 1e5, 1e-4, rolling, STEELS), 0.0);
        assert_eq!(point_rise_k(0.1, 100.0, 1e-4, rolling, STEELS), 0.0);
    }

    #[test]
    fn which_body_is_first_does_not_matter() {
        let speeds = SurfaceSpeeds {
            first_m_s: 3.0,
            second_m_s: 1.0,
        };
        let swapped = SurfaceSpeeds {
            first_m_s: 1.0,
            second_m_s: 3.0,
        };
        assert_eq!(
            line_rise_k(0.1, 1e5, 1e-4, speeds, STEELS),
            line_rise_k(0.1, 1e5, 1e-4, swapped, STEELS)
        );
        assert_eq!(
            point_rise_k(0.1, 100.0, 1e-4, speeds, STEELS),
            point_rise_k(0.1, 100.0, 1e-4, swapped, STEELS)
        );
    }

    #[test]
    fn an_ellipse_is_a_circle_when_round_and_a_strip_when_slender() {
        let speeds = SurfaceSpeeds {
            first_m_s: 3.0,
            second_m_s: 1.0,
        };
        let round = RollingEllipse::new(200.0, 5e-3, 5e-3, 113e9).unwrap();
        let radius = round.half_axis_along_m;
        let circle = point_rise_k(0.1, 200.0, radius, speeds, STEELS);
        let rise = elliptical_rise_k(0.1, &round, speeds, STEELS);
        assert!((rise / circle - 1.0).abs() < 1e-9);

        let slender = RollingEllipse::new(200.0, 5e-3, 5.0, 113e9).unwrap();
        let half_width = slender.half_axis_along_m;
        let per_length = 0.5 * PI * half_width * slender.contact.max_pressure_pa;
        let strip = line_rise_k(0.1, per_length, half_width, speeds, STEELS);
        assert_eq!(elliptical_rise_k(0.1, &slender, speeds, STEELS), strip);
    }
}
