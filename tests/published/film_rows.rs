//! Rows on film thickness and flash temperature.

use crate::published_contacts::Example;
use crate::published_contacts::contact_rows::{bearing_entrainment, modulus};
use likewear::facade::contact::elastic::Thermal;
use likewear::facade::contact::elliptical::elliptical;
use likewear::facade::contact::film::{
    Inlet, hard_elliptical_minimum_film_thickness_m, line_minimum_film_thickness_m,
};
use likewear::facade::contact::flash::line_rise_k;
use likewear::facade::contact::hertz::{LineContact, line, reduced_radius_m};
use likewear::facade::contact::kinematics::{self, SurfaceSpeeds};

/// The row's quantity in SI, or `None` for rows on other things.
pub(crate) fn compute(row: &Example) -> Option<f64> {
    film(row).or_else(|| flash(row))
}

fn film(row: &Example) -> Option<f64> {
    let value = match row.id.as_str() {
        "EH-P-01" | "EH-P-02" => rolling_ball_film(row, 0.5, row.input("k")),
        "EH-P-11" | "EH-P-12" => rolling_ball_film(row, 1.0, row.input("k")),
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
pub(crate) fn bearing_radii(row: &Example) -> (f64, f64) {
    let ball = 0.5e-3 * row.input("ball_d_mm");
    let race = 0.5e-3 * row.input("inner_race_d_mm");
    let groove = row.input("conformity") * 2.0 * ball;
    (
        reduced_radius_m(ball, race).unwrap(),
        reduced_radius_m(ball, -groove).unwrap(),
    )
}

/// A loaded roller on the inner race.
pub(crate) fn roller_contact(row: &Example) -> LineContact {
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
