//! Film formulas, one function each.
//!
//! All take the contact modulus E* and double it themselves (E' = 2 E*), and the reduced radius Rx in the direction of
//! motion, `1/Rx = 1/r1x + 1/r2x`, as Hamrock and Dowson do. A textbook (Stachowiak and Batchelor, Engineering
//! Tribology) puts `1/R' = 1/Rx + 1/Ry` into the same formula, half of Rx for a ball; its films come out about a quarter
//! thinner. The entrainment speed is the mean of the two surface speeds, not their sum.

use crate::contact::film::Inlet;

/// The dimensionless groups of Hamrock and Dowson.
///
/// `U = eta u / (E' Rx)`, `G = alpha E'`, and the load group W of the formula at hand; E' = 2 E*.
pub(super) struct Groups {
    pub(super) speed: f64,
    pub(super) materials: f64,
}

pub(super) fn groups(inlet: Inlet, radius_m: f64, contact_modulus_pa: f64) -> Groups {
    let film_modulus = 2.0 * contact_modulus_pa;
    Groups {
        speed: inlet.viscosity_pa_s * inlet.entrainment_m_s / (film_modulus * radius_m),
        materials: inlet.alpha_per_pa * film_modulus,
    }
}

/// `W = F / (E' Rx^2)`.
pub(super) fn point_load(load_n: f64, radius_x_m: f64, contact_modulus_pa: f64) -> f64 {
    load_n / (2.0 * contact_modulus_pa * radius_x_m * radius_x_m)
}

/// `W' = w / (E' R)`, w the load per length.
pub(super) fn line_load(load_per_length_n_m: f64, radius_m: f64, contact_modulus_pa: f64) -> f64 {
    load_per_length_n_m / (2.0 * contact_modulus_pa * radius_m)
}

/// Minimum film thickness in m of a hard elliptical contact.
///
/// # Formula
/// `h_min / Rx = 3.63 U^0.68 G^0.49 W^-0.073 (1 - exp(-0.68 k))`, where Rx is the reduced radius in the rolling
/// direction, `W = F / (E' Rx^2)`, k the axis across over the axis along rolling, 1 or more
/// (Hamrock and Dowson 1977; coefficients seen in its abstract).
pub fn hard_elliptical_minimum_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_x_m, contact_modulus_pa);
    let load = point_load(load_n, radius_x_m, contact_modulus_pa);
    let side_flow = 1.0 - (-0.68 * ellipticity).exp();
    radius_x_m * 3.63 * speed.powf(0.68) * materials.powf(0.49) * load.powf(-0.073) * side_flow
}

/// Central film thickness in m of a hard elliptical contact.
///
/// # Formula
/// `h_c / Rx = 2.69 U^0.67 G^0.53 W^-0.067 (1 - 0.61 exp(-0.73 k))` (Hamrock and Dowson 1977; coefficients seen in a
/// public source), letters as for the minimum film thickness.
pub fn hard_elliptical_central_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_x_m, contact_modulus_pa);
    let load = point_load(load_n, radius_x_m, contact_modulus_pa);
    let side_flow = 1.0 - 0.61 * (-0.73 * ellipticity).exp();
    radius_x_m * 2.69 * speed.powf(0.67) * materials.powf(0.53) * load.powf(-0.067) * side_flow
}

/// Minimum film thickness in m of a line contact.
///
/// # Formula
/// `h_min / R = 2.65 G^0.54 U^0.7 W'^-0.13`, where `W' = w / (E' R)`, w the load per length (Dowson 1968;
/// coefficients seen in public sources).
pub fn line_minimum_film_thickness_m(
    load_per_length_n_m: f64,
    radius_m: f64,
    contact_modulus_pa: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_m, contact_modulus_pa);
    let load = line_load(load_per_length_n_m, radius_m, contact_modulus_pa);
    radius_m * 2.65 * materials.powf(0.54) * speed.powf(0.7) * load.powf(-0.13)
}

/// Central film thickness in m of a line contact.
///
/// # Formula
/// `h_c / R = 3.06 G^0.56 U^0.69 W'^-0.10` (Dowson and Toyoda; coefficients seen in public sources), letters as for the
/// minimum film thickness.
pub fn line_central_film_thickness_m(
    load_per_length_n_m: f64,
    radius_m: f64,
    contact_modulus_pa: f64,
    inlet: Inlet,
) -> f64 {
    let Groups { speed, materials } = groups(inlet, radius_m, contact_modulus_pa);
    let load = line_load(load_per_length_n_m, radius_m, contact_modulus_pa);
    radius_m * 3.06 * materials.powf(0.56) * speed.powf(0.69) * load.powf(-0.10)
}

/// Minimum film thickness in m of a soft elliptical contact, whose pressure does not thicken the oil.
///
/// # Formula
/// `h_min / Rx = 7.43 U^0.65 W^-0.21 (1 - 0.85 exp(-0.31 k))` (Hamrock and Dowson 1978, from memory), letters as for the
/// hard contact.
pub fn soft_elliptical_minimum_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let speed = groups(inlet, radius_x_m, contact_modulus_pa).speed;
    let load = point_load(load_n, radius_x_m, contact_modulus_pa);
    let side_flow = 1.0 - 0.85 * (-0.31 * ellipticity).exp();
    radius_x_m * 7.43 * speed.powf(0.65) * load.powf(-0.21) * side_flow
}

/// Central film thickness in m of a soft elliptical contact.
///
/// # Formula
/// `h_c / Rx = 7.32 (1 - 0.72 exp(-0.28 k)) U^0.64 W^-0.22` (Hamrock and Dowson 1978, from memory).
pub fn soft_elliptical_central_film_thickness_m(
    load_n: f64,
    radius_x_m: f64,
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> f64 {
    let speed = groups(inlet, radius_x_m, contact_modulus_pa).speed;
    let load = point_load(load_n, radius_x_m, contact_modulus_pa);
    let side_flow = 1.0 - 0.72 * (-0.28 * ellipticity).exp();
    radius_x_m * 7.32 * speed.powf(0.64) * load.powf(-0.22) * side_flow
}

/// Minimum and central film thickness in m of a hard elliptical contact with motion in any direction, also along its
/// longer axis.
///
/// # Formula
/// `h_min / Re = 3.68 U^0.68 G^0.49 W^-0.073 (1 - exp(-0.67 (Rs/Re)^(2/3)))` and
/// `h_c / Re = 4.31 U^0.68 G^0.49 W^-0.073 (1 - exp(-1.23 (Rs/Re)^(2/3)))`, where Re and Rs are the reduced radii in the
/// direction of motion and across it, U and W are formed with Re (Chittenden, Dowson, Dunn and Taylor 1985, from
/// memory; its minimum meets Hamrock and Dowson's within 1 % for a circle).
pub fn any_direction_film_thickness_m(
    load_n: f64,
    radius_along_m: f64,
    radius_across_m: f64,
    contact_modulus_pa: f64,
    inlet: Inlet,
) -> [f64; 2] {
    let Groups { speed, materials } = groups(inlet, radius_along_m, contact_modulus_pa);
    let load = point_load(load_n, radius_along_m, contact_modulus_pa);
    let side = (radius_across_m / radius_along_m).powf(2.0 / 3.0);
    let common = radius_along_m * speed.powf(0.68) * materials.powf(0.49) * load.powf(-0.073);
    [(3.68, 0.67), (4.31, 1.23)].map(|(factor, slope)| common * factor * (1.0 - (-slope * side).exp()))
}
