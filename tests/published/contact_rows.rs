//! Rows on pressure and kinematics.

use crate::published_contacts::Example;
use crate::published_contacts::film_rows::{bearing_radii, roller_contact};
use likewear::facade::contact::bodies::{BodyRadii, GeneralContact, TwoBodies};
use likewear::facade::contact::elastic::{Elastic, contact_modulus_pa};
use likewear::facade::contact::elliptical::{EllipticalContact, elliptical};
use likewear::facade::contact::hertz::{LineContact, PointContact, line, point, reduced_radius_m};
use likewear::facade::contact::kinematics;
use likewear::facade::contact::subsurface::greatest_shear;

/// The row's quantity in SI, or `None` for rows of other rooms.
pub(crate) fn compute(row: &Example) -> Option<f64> {
    pressure(row).or_else(|| motion(row))
}

pub(crate) fn modulus(e_pa: f64, nu: f64) -> f64 {
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
        "HZ-E-06" => modulus(x("E_GPa") * 1e9, x("nu")),
        "HZ-E-07" => raceway(row).max_pressure_pa,
        "HZ-E-08" => raceway(row).ellipticity,
        "HZ-E-09" => raceway(row).approach_m,
        "HZ-E-10" => crossed_bodies(row).max_pressure_pa(),
        "HZ-E-11" => crossed_bodies(row).approach_m().unwrap(),
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

fn crossed_bodies(row: &Example) -> GeneralContact {
    let radii = |along: &str, across: &str| BodyRadii {
        along_m: Some(1e-3 * row.input(along)),
        across_m: Some(1e-3 * row.input(across)),
    };
    let body = Elastic::new(row.input("E_GPa") * 1e9, row.input("nu")).unwrap();
    let bodies = TwoBodies {
        first: radii("R1_mm", "R1b_mm"),
        second: radii("R2_mm", "R2b_mm"),
        angle_rad: row.input("angle_between_planes_deg").to_radians(),
        elastic: [body, body],
        length_m: None,
    };
    bodies.contact(row.input("F_N")).unwrap()
}

/// Load 2/3 E* on curvatures of sum 1: half-axes are then the dimensionless ones, approach half of its own.
fn unit_ellipse(row: &Example) -> EllipticalContact {
    let difference = row.input("F_rho");
    elliptical(2.0 / 3.0, 2.0 / (1.0 + difference), 2.0 / (1.0 - difference), 1.0).unwrap()
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

pub(crate) fn bearing_entrainment(row: &Example, element: &str) -> f64 {
    let pitch = 0.5e-3 * (row.input("inner_race_d_mm") + row.input("outer_race_d_mm"));
    kinematics::bearing_entrainment_m_s(pitch, 1e-3 * row.input(element), row.input("omega_i_rad_s"), 0.0)
}
