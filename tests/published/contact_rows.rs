//! Rows on pressure, kinematics, film and flash temperature.

use crate::Example;
use likewear::contact::elastic::{Elastic, Thermal, contact_modulus_pa};
use likewear::contact::elliptical::{
    EllipticalContact, RelativeCurvatures, approximate_ellipticity, approximate_half_axes_m,
    early_approximate_ellipticity, elliptical, elliptical_of, greatest_shear,
};
use likewear::contact::film::{
    Inlet, hard_elliptical_minimum_film_thickness_m, line_minimum_film_thickness_m,
};
use likewear::contact::flash::line_rise_k;
use likewear::contact::hertz::{LineContact, PointContact, line, point, reduced_radius_m};
use likewear::contact::kinematics::{self, SurfaceSpeeds};

/// The row's quantity in SI, or `None` for rows of other rooms.
pub(crate) fn compute(row: &Example) -> Option<f64> {
    pressure(row)
        .or_else(|| motion(row))
        .or_else(|| film(row))
        .or_else(|| flash(row))
}

fn modulus(e_pa: f64, nu: f64) -> f64 {
    let body = Elastic::new(e_pa, nu).unwrap();
    contact_modulus_pa(body, body)
}

fn pressure(row: &Example) -> Option<f64> {
    let x = |name: &str| row.input(name);
    let value = match row.id.as_str() {
        "HZ-P-01" => reduced_radius_m(x("R1_m"), x("R2_m")).unwrap(),
        "HZ-P-02" => 2.0 * modulus(x("E1_Pa"), x("nu1")),
        "HZ-P-03" => balls(row).half_width_m,
        "HZ-P-04" => balls(row).max_pressure_pa,
        "HZ-P-05" => balls(row).mean_pressure_pa,
        "HZ-P-06" => balls(row).approach_m,
        "HZ-P-08" => pressed_spheres(row).half_width_m,
        "HZ-P-09" => pressed_spheres(row).max_pressure_pa,
        "HZ-P-10" => any_point().max_shear_pa / any_point().max_pressure_pa,
        "HZ-P-11" => any_point().max_shear_depth_m / any_point().half_width_m,
        "HZ-L-01" => {
            let length = 1e-3 * (x("roller_len_mm") - 2.0 * x("end_relief_each_mm"));
            let radius = 0.5e-3 * x("roller_d_mm");
            line(x("F_N"), length, radius, modulus(x("E_GPa") * 1e9, x("nu")))
                .unwrap()
                .max_pressure_pa
        }
        "HZ-L-05" => any_line().max_shear_pa / any_line().max_pressure_pa,
        "HZ-L-06" => any_line().max_shear_depth_m / any_line().half_width_m,
        "EH-R-p-inner" => roller_contact(row).max_pressure_pa,
        "HZ-E-01" => 1.0 / (1.0 / raceway_radii(row).0 + 1.0 / raceway_radii(row).1),
        "HZ-E-02" => approximate_ellipticity(raceway_radii(row).1 / raceway_radii(row).0),
        "HZ-E-03" => raceway_approximate(row)[0],
        "HZ-E-04" => raceway_approximate(row)[1],
        "HZ-E-05" => {
            let [long, short] = raceway_approximate(row);
            1.5 * raceway_load(row) / (std::f64::consts::PI * long * short)
        }
        "HZ-E-06" => modulus(x("E_GPa") * 1e9, x("nu")),
        "HZ-E-07" => raceway(row).max_pressure_pa,
        "HZ-E-08" => raceway(row).ellipticity,
        "HZ-E-09" => raceway(row).approach_m,
        "HZ-E-10" => crossed_bodies(row).max_pressure_pa,
        "HZ-E-11" => crossed_bodies(row).approach_m,
        "EH-B-Rx" => bearing_radii(row).0,
        id if id.starts_with("HZ-E-2") => unit_ellipse(row).long_half_axis_m,
        id if id.starts_with("HZ-E-3") => unit_ellipse(row).short_half_axis_m,
        id if id.starts_with("HZ-E-4") => 2.0 * unit_ellipse(row).approach_m,
        id if id.starts_with("HZ-S-") => greatest_shear(x("b_over_a")).0,
        id if id.starts_with("HZ-Z-") => greatest_shear(x("b_over_a")).1,
        _ => return None,
    };
    Some(value)
}

fn balls(row: &Example) -> PointContact {
    let radius = reduced_radius_m(row.input("R1_m"), row.input("R2_m")).unwrap();
    point(
        row.input("F_N"),
        radius,
        modulus(row.input("E1_Pa"), row.input("nu1")),
    )
    .unwrap()
}

/// The two spheres of the row, loaded until they have approached as far as the row says.
fn pressed_spheres(row: &Example) -> PointContact {
    let modulus = modulus(row.input("E_MPa") * 1e6, row.input("nu"));
    let radius = 0.5e-3 * row.input("R_mm");
    let wanted = 1e-3 * row.input("approach_total_mm");
    let (mut low, mut high) = (1.0, 1e9);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if point(middle, radius, modulus).unwrap().approach_m < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    point(low, radius, modulus).unwrap()
}

fn any_point() -> PointContact {
    point(160.0, 3.175e-3, 113e9).unwrap()
}

fn any_line() -> LineContact {
    line(2000.0, 0.015, 7.5e-3, 113e9).unwrap()
}

fn raceway_load(row: &Example) -> f64 {
    kinematics::greatest_element_load_n(row.input("radial_load_N"), row.input("balls") as u32, 5.0).unwrap()
}

/// Reduced radii along and across rolling of a ball on its inner groove.
fn raceway_radii(row: &Example) -> (f64, f64) {
    let ball = 0.5e-3 * row.input("ball_d_mm");
    let race = 0.5e-3 * row.input("pitch_d_mm") - ball;
    let groove = 1e-3 * row.input("inner_groove_r_mm");
    (
        reduced_radius_m(ball, race).unwrap(),
        reduced_radius_m(ball, -groove).unwrap(),
    )
}

fn raceway(row: &Example) -> EllipticalContact {
    let (along, across) = raceway_radii(row);
    let modulus = modulus(row.input("E_GPa") * 1e9, row.input("nu"));
    elliptical(raceway_load(row), along, across, modulus).unwrap()
}

fn raceway_approximate(row: &Example) -> [f64; 2] {
    let (along, across) = raceway_radii(row);
    let modulus = modulus(row.input("E_GPa") * 1e9, row.input("nu"));
    approximate_half_axes_m(raceway_load(row), along, across, modulus)
}

fn crossed_bodies(row: &Example) -> EllipticalContact {
    let mm = |name: &str| 1e-3 * row.input(name);
    let angle = row.input("angle_between_planes_deg").to_radians();
    let first = [mm("R1_mm"), mm("R1b_mm")];
    let curvatures = RelativeCurvatures::of_bodies(first, [mm("R2_mm"), mm("R2b_mm")], angle).unwrap();
    let modulus = modulus(row.input("E_GPa") * 1e9, row.input("nu"));
    elliptical_of(row.input("F_N"), curvatures, modulus).unwrap()
}

/// Load 2/3 E* on curvatures of sum 1: half-axes are then the dimensionless ones, approach half of its own.
fn unit_ellipse(row: &Example) -> EllipticalContact {
    let curvatures = RelativeCurvatures::from_difference(row.input("F_rho")).unwrap();
    elliptical_of(2.0 / 3.0, curvatures, 1.0).unwrap()
}

fn motion(row: &Example) -> Option<f64> {
    let x = |name: &str| row.input(name);
    const KGF: f64 = 9.806_65;
    let value = match row.id.as_str() {
        "KN-4B-01" => kinematics::four_ball_contact_circle_m(1e-3 * x("ball_d_mm")),
        "KN-4B-02" => kinematics::four_ball_load_per_contact_n(x("P")),
        "KN-4B-P40" => {
            let load = kinematics::four_ball_load_per_contact_n(x("P_N"));
            let modulus = modulus(x("E_GPa") * 1e9, x("nu"));
            point(load, 0.25e-3 * x("ball_d_mm"), modulus)
                .unwrap()
                .max_pressure_pa
        }
        "KN-BR-01" => kinematics::ring_speed_m_s(1e-3 * x("ring_d_mm"), x("n_rpm")),
        "KN-RC-01" => kinematics::stroke_mean_speed_m_s(1e-3 * x("stroke_mm"), x("f_Hz")),
        "KN-RC-02" => kinematics::stroke_peak_speed_m_s(1e-3 * x("stroke_mm"), x("f_Hz")),
        "KN-RC-03" => {
            let modulus = modulus(x("E_GPa") * 1e9, x("nu"));
            point(x("F_N"), 0.5e-3 * x("ball_d_mm"), modulus)
                .unwrap()
                .max_pressure_pa
        }
        "KN-JB-01" => {
            let (radius, clearance, length) = (x("r_in"), x("c_in"), x("l_in"));
            kinematics::sommerfeld_number(x("mu_reyn"), x("N_rev_s"), x("W_lbf"), radius, clearance, length)
                .unwrap()
        }
        "EH-R-Q" => kinematics::greatest_element_load_n(x("F_N"), x("rollers") as u32, 4.0).unwrap(),
        "EH-B-u" => bearing_entrainment(row, "ball_d_mm"),
        "EH-R-u" => bearing_entrainment(row, "roller_d_mm"),
        id if id.starts_with("KN-4B-S") => {
            kinematics::four_ball_sliding_m_s(1e-3 * x("ball_d_mm"), x("n_rpm"))
        }
        id if id.starts_with("KN-4B-L") => {
            x("P_kgf") * 1e3 * kinematics::four_ball_standard_hertz_scar_m(x("P_kgf") * KGF)
        }
        id if id.starts_with("KN-4B-D") => {
            let load = kinematics::four_ball_load_per_contact_n(x("P_kgf") * KGF);
            let modulus = modulus(x("E_GPa") * 1e9, x("nu"));
            2.0 * point(load, 0.25e-3 * x("ball_d_mm"), modulus)
                .unwrap()
                .half_width_m
        }
        _ => return None,
    };
    Some(value)
}

fn bearing_entrainment(row: &Example, element: &str) -> f64 {
    let pitch = 0.5e-3 * (row.input("inner_race_d_mm") + row.input("outer_race_d_mm"));
    kinematics::bearing_entrainment_m_s(pitch, 1e-3 * row.input(element), row.input("omega_i_rad_s"), 0.0)
}

fn film(row: &Example) -> Option<f64> {
    let value = match row.id.as_str() {
        "EH-P-01" | "EH-P-02" => rolling_ball_film(row, 0.5, row.input("k")),
        "EH-P-11" | "EH-P-12" => rolling_ball_film(row, 1.0, row.input("k")),
        "EH-K-01" => early_approximate_ellipticity(row.input("Ry_over_Rx")),
        "EH-B-inner" => {
            let x = |name: &str| row.input(name);
            let (along, across) = bearing_radii(row);
            let load = kinematics::greatest_element_load_n(x("F_N"), x("balls") as u32, 4.37).unwrap();
            let modulus = modulus(x("E_Pa"), x("nu"));
            let ellipticity = elliptical(load, along, across, modulus).unwrap().ellipticity;
            let inlet = inlet(row, bearing_entrainment(row, "ball_d_mm"));
            hard_elliptical_minimum_film_thickness_m(load, along, modulus, ellipticity, inlet)
        }
        "EH-R-inner" => {
            let contact = roller_contact(row);
            let inlet = inlet(row, bearing_entrainment(row, "roller_d_mm"));
            let modulus = 0.5 * row.input("E_prime_Pa");
            hard_elliptical_minimum_film_thickness_m(
                contact.load_n,
                contact.radius_m,
                modulus,
                f64::INFINITY,
                inlet,
            )
        }
        "EH-R-DH-inner" => {
            let contact = roller_contact(row);
            let inlet = inlet(row, bearing_entrainment(row, "roller_d_mm"));
            let modulus = 0.5 * row.input("E_prime_Pa");
            line_minimum_film_thickness_m(
                contact.load_n / contact.length_m,
                contact.radius_m,
                modulus,
                inlet,
            )
        }
        _ => return None,
    };
    Some(value)
}

fn inlet(row: &Example, entrainment_m_s: f64) -> Inlet {
    Inlet {
        viscosity_pa_s: row.input("eta0_Pas"),
        alpha_per_pa: row.input("alpha_per_Pa"),
        entrainment_m_s,
    }
}

/// A ball that has rolled some way down an incline: acceleration 5/7 of that of a sliding body. The printed answers
/// take half the speed of the ball's middle as entrainment (seen from the moving contact both surfaces have that
/// whole speed) and half of Rx as radius; the original film formula takes Rx.
fn rolling_ball_film(row: &Example, share_of_rx: f64, ellipticity: f64) -> f64 {
    const GRAVITY: f64 = 9.806_65;
    let x = |name: &str| row.input(name);
    let radius = 0.5 * x("ball_d_m");
    let (sine, cosine) = x("incline_deg").to_radians().sin_cos();
    let mass = x("rho") * 4.0 / 3.0 * std::f64::consts::PI * radius.powi(3);
    let entrainment = 0.5 * (2.0 * 5.0 / 7.0 * GRAVITY * sine * x("distance_m")).sqrt();
    let modulus = modulus(x("E_Pa"), x("nu"));
    let load = mass * GRAVITY * cosine;
    hard_elliptical_minimum_film_thickness_m(
        load,
        share_of_rx * radius,
        modulus,
        ellipticity,
        inlet(row, entrainment),
    )
}

/// Reduced radii along and across rolling of a ball on the inner race.
fn bearing_radii(row: &Example) -> (f64, f64) {
    let ball = 0.5e-3 * row.input("ball_d_mm");
    let race = 0.5e-3 * row.input("inner_race_d_mm");
    let groove = row.input("conformity") * 2.0 * ball;
    (
        reduced_radius_m(ball, race).unwrap(),
        reduced_radius_m(ball, -groove).unwrap(),
    )
}

fn roller_contact(row: &Example) -> LineContact {
    let x = |name: &str| row.input(name);
    let radius = reduced_radius_m(0.5e-3 * x("roller_d_mm"), 0.5e-3 * x("inner_race_d_mm")).unwrap();
    let load = kinematics::greatest_element_load_n(x("F_N"), x("rollers") as u32, 4.0).unwrap();
    line(load, 1e-3 * x("roller_len_mm"), radius, 0.5 * x("E_prime_Pa")).unwrap()
}

/// FT-01 is the formula of the crate; FT-03 the same rise from the maximum pressure with the printed coefficient 2.45.
fn flash(row: &Example) -> Option<f64> {
    if !row.id.starts_with("FT-") {
        return None;
    }
    let x = |name: &str| row.input(name);
    let modulus = modulus(x("E_Pa"), x("nu"));
    let contact = line(x("W_N"), x("L_m"), x("R_m"), modulus).unwrap();
    let speeds = SurfaceSpeeds {
        first_m_s: x("u1"),
        second_m_s: x("u2"),
    };
    let body = Thermal {
        conductivity_w_m_k: x("K"),
        density_kg_m3: 1.0,
        heat_capacity_j_kg_k: x("rho_c"),
    };
    let load_per_length = contact.load_n / contact.length_m;
    let rise = line_rise_k(
        x("mu"),
        load_per_length,
        contact.half_width_m,
        speeds,
        [body, body],
    );
    let from_pressure = 2.45
        * x("mu")
        * contact.max_pressure_pa.powf(1.5)
        * (x("u1").sqrt() - x("u2").sqrt()).abs()
        * (x("R_m") / (2.0 * modulus)).sqrt()
        / body.effusivity();
    match row.id.as_str() {
        "FT-01" => Some(rise),
        "FT-03" => {
            assert!((from_pressure / rise - 1.0).abs() < 0.007);
            Some(from_pressure)
        }
        _ => None,
    }
}
