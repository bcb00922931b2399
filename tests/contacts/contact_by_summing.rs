//! Contact formulas against sums over the loaded area and against Reynolds' equation solved on a grid: nothing here uses
//! the closed forms that it checks. The point-load stresses are Boussinesq's (Johnson, Contact Mechanics, 1985, eq. 3.19,
//! from memory).

use likewear::facade::contact::elliptical::elliptical;
use likewear::facade::contact::subsurface::{axis_stresses, greatest_shear};
use std::f64::consts::{FRAC_PI_2, PI};

/// Principal stresses below the middle of an ellipse of half-axes 1/ratio and 1 under the pressure
/// `sqrt(1 - x^2/a^2 - y^2/b^2)`, by summing point loads: along the long axis, along the short one, into the depth.
fn summed_stresses(ratio: f64, depth: f64, nu: f64) -> [f64; 3] {
    const ROUND: usize = 400;
    let (long, z) = (1.0 / ratio, depth);
    let rings = (240.0 / ratio.sqrt()) as usize;
    let mut sum = [0.0; 3];
    for round in 0..ROUND {
        let (sine, cosine) = ((round as f64 + 0.5) * FRAC_PI_2 / ROUND as f64).sin_cos();
        for ring in 0..rings {
            let (share, pressure) = ((ring as f64 + 0.5) * FRAC_PI_2 / rings as f64).sin_cos();
            let (x2, y2) = ((long * share * cosine).powi(2), (share * sine).powi(2));
            let r2 = x2 + y2;
            let rho2 = r2 + z * z;
            let rho = rho2.sqrt();
            let load = pressure * pressure * share;
            let flat = (1.0 - 2.0 * nu) / r2;
            let gap = 1.0 - z / rho;
            let level = |along: f64, across: f64| {
                flat * (gap * (along - across) / r2 + z * across / (rho * rho2))
                    - 3.0 * z * along / (rho2 * rho2 * rho)
            };
            sum[0] += load * level(x2, y2);
            sum[1] += load * level(y2, x2);
            sum[2] -= load * 3.0 * z.powi(3) / (rho2 * rho2 * rho);
        }
    }
    let patch = 4.0 * long * (FRAC_PI_2 / ROUND as f64) * (FRAC_PI_2 / rings as f64) / (2.0 * PI);
    sum.map(|stress| stress * patch)
}

#[test]
fn stresses_below_an_ellipse_are_those_of_its_point_loads_summed() {
    for ratio in [1.0, 0.8, 0.4, 0.1] {
        for depth in [0.3, 0.7, 1.5] {
            for nu in [0.0, 0.3, 0.5] {
                let summed = summed_stresses(ratio, depth, nu);
                let closed = axis_stresses(ratio, depth, nu);
                for (one, other) in summed.into_iter().zip(closed) {
                    assert!(
                        (one - other).abs() < 2e-4,
                        "{ratio} {depth} {nu}: {summed:?} {closed:?}"
                    );
                }
            }
        }
    }
}

/// Shear over pressure and depth over the short half-axis at nu = 0.3: Johnson, Contact Mechanics, 1985 (from memory).
#[test]
fn the_greatest_shear_of_the_sums_is_that_of_the_table_over_the_whole_range() {
    let table = [
        (1.0, 0.3100, 0.481),
        (0.8, 0.3165, 0.534),
        (0.6, 0.3221, 0.596),
        (0.4, 0.3252, 0.667),
        (0.2, 0.3215, 0.740),
        (0.05, 0.3085, 0.781),
    ];
    for (ratio, shear, depth) in table {
        let (kept, kept_depth) = greatest_shear(ratio);
        let summed = |z: f64| {
            let [x, y, down] = summed_stresses(ratio, z, 0.3);
            0.5 * (x.max(y).max(down) - x.min(y).min(down))
        };
        assert!((summed(kept_depth) - kept).abs() < 1e-4, "{ratio}");
        assert!(
            summed(kept_depth - 0.05) < kept && summed(kept_depth + 0.05) < kept,
            "{ratio}"
        );
        assert!((kept / shear - 1.0).abs() < 0.005, "{ratio}: {kept}");
        assert!((kept_depth / depth - 1.0).abs() < 0.01, "{ratio}: {kept_depth}");
    }
}

/// The sinking of a half-space under the Hertz pressure at (x, y), over the approach's unit `p0 / (pi E*)`: along each
/// chord through the point the pressure sums in closed form, and the chords are summed.
fn sinking(half_axes: [f64; 2], x: f64, y: f64) -> f64 {
    const CHORDS: usize = 20_000;
    let [a, b] = half_axes;
    let rest = 1.0 - (x / a).powi(2) - (y / b).powi(2);
    let chord = |index: usize| {
        let (sine, cosine) = ((index as f64 + 0.5) * PI / CHORDS as f64).sin_cos();
        let spread = (cosine / a).powi(2) + (sine / b).powi(2);
        let slope = x * cosine / (a * a) + y * sine / (b * b);
        FRAC_PI_2 * (rest + slope * slope / spread) / spread.sqrt()
    };
    (0..CHORDS).map(chord).sum::<f64>() * PI / CHORDS as f64
}

#[test]
fn under_the_elliptical_pressure_the_bodies_touch_over_the_whole_ellipse() {
    let modulus = 113e9;
    for (radius_x, radius_y) in [(5e-3, 6e-3), (5e-3, 40e-3), (3.7e-3, 0.18), (80e-3, 2e-3)] {
        let contact = elliptical(500.0, radius_x, radius_y, modulus).unwrap();
        let axes = [contact.long_half_axis_m, contact.short_half_axis_m];
        let sunk = |x: f64, y: f64| contact.max_pressure_pa / (PI * modulus) * sinking(axes, x, y);
        let (flatter, rounder) = (radius_x.max(radius_y), radius_x.min(radius_y));
        for share in [0.0, 0.4, 0.9] {
            let (x, y) = (share * axes[0], share * axes[1]);
            let along = contact.approach_m - x * x / (2.0 * flatter);
            let across = contact.approach_m - y * y / (2.0 * rounder);
            assert!((sunk(x, 0.0) / along - 1.0).abs() < 1e-7, "{radius_y} at {share}");
            assert!(
                (sunk(0.0, y) / across - 1.0).abs() < 1e-7,
                "{radius_y} at {share}"
            );
        }
    }
}
