//! The contact calculator's JSON against published examples (`tests/published/contact_examples.csv`, source per row).

use crate::calculate::{Example, ask};
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use serde_json::{Value, json};

fn body(rx_m: Option<f64>, ry_m: Option<f64>, e_pa: f64) -> Value {
    json!({"rx_m": rx_m, "ry_m": ry_m, "e_pa": e_pa, "nu": 0.3})
}

fn ball(radius_m: f64, e_pa: f64) -> Value {
    body(Some(radius_m), Some(radius_m), e_pa)
}

#[tokio::test]
async fn published_circles_come_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    let row = Example::named("HZ-P-03");
    let balls = json!({
        "bodies": [ball(row.input("R1_m"), row.input("E1_Pa")), ball(row.input("R2_m"), row.input("E2_Pa"))],
        "load_n": row.input("F_N"),
    });
    let answer = ask(&bench, "contact", &balls).await;
    for (id, key) in [
        ("HZ-P-03", "a_m"),
        ("HZ-P-03", "b_m"),
        ("HZ-P-04", "max_pressure_pa"),
        ("HZ-P-05", "mean_pressure_pa"),
        ("HZ-P-06", "approach_m"),
    ] {
        Example::named(id).holds(&answer[key], 1.0);
    }
    let number = |key: &str| answer[key].as_f64().unwrap();
    let shear = json!(number("max_shear_pa") / number("max_pressure_pa"));
    Example::named("HZ-P-10").holds(&shear, 1.0);
    Example::named("HZ-P-11").holds(&json!(number("max_shear_depth_m") / number("a_m")), 1.0);
    assert_eq!(
        (&answer["kind"], &answer["ellipticity"]),
        (&json!("point"), &json!(1.0))
    );

    let row = Example::named("KN-4B-P40");
    let radius = 0.5e-3 * row.input("ball_d_mm");
    let e_pa = 1e9 * row.input("E_GPa");
    let four = json!({
        "bodies": [ball(radius, e_pa), ball(radius, e_pa)],
        "load_n": row.input("P_N") / 6f64.sqrt(),
    });
    row.holds(&ask(&bench, "contact", &four).await["max_pressure_pa"], 1e6);

    let row = Example::named("KN-RC-03");
    let on_flat = json!({
        "bodies": [ball(0.5e-3 * row.input("ball_d_mm"), 210e9), body(None, None, 210e9)],
        "load_n": row.input("F_N"),
    });
    row.holds(&ask(&bench, "contact", &on_flat).await["max_pressure_pa"], 1e6);
}

#[tokio::test]
async fn published_ellipses_and_lines_come_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    let row = Example::named("HZ-E-07");
    let radius = 0.5e-3 * row.input("ball_d_mm");
    let race = 0.5e-3 * row.input("pitch_d_mm") - radius;
    let groove = 1e-3 * row.input("inner_groove_r_mm");
    let raceway = json!({
        "bodies": [ball(radius, 210e9), body(Some(race), Some(-groove), 210e9)],
        "load_n": 5.0 * row.input("radial_load_N") / row.input("balls"),
    });
    let answer = ask(&bench, "contact", &raceway).await;
    row.holds(&answer["max_pressure_pa"], 1e6);
    Example::named("HZ-E-08").holds(&answer["ellipticity"], 1.0);
    Example::named("HZ-E-09").holds(&answer["approach_m"], 1e-3);
    assert_eq!(answer["kind"], "elliptical");
    assert!(answer["a_m"].as_f64().unwrap() > answer["b_m"].as_f64().unwrap());

    let row = Example::named("HZ-L-01");
    let length = 1e-3 * (row.input("roller_len_mm") - 2.0 * row.input("end_relief_each_mm"));
    let roller = json!({
        "bodies": [body(Some(0.5e-3 * row.input("roller_d_mm")), None, 210e9), body(None, None, 210e9)],
        "length_m": length,
        "load_n": row.input("F_N"),
    });
    let answer = ask(&bench, "contact", &roller).await;
    row.holds(&answer["max_pressure_pa"], 1e6);
    let number = |key: &str| answer[key].as_f64().unwrap();
    Example::named("HZ-L-05").holds(&json!(number("max_shear_pa") / number("max_pressure_pa")), 1.0);
    Example::named("HZ-L-06").holds(&json!(number("max_shear_depth_m") / number("b_m")), 1.0);
    assert_eq!(answer["kind"], "line");
    for key in [
        "a_m",
        "ellipticity",
        "approach_m",
        "entrainment_m_s",
        "min_film_m",
        "film_ratio",
        "regime",
    ] {
        assert!(answer.as_object().unwrap()[key].is_null(), "{key}");
    }
}

#[tokio::test]
async fn published_films_come_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    let row = Example::named("EH-B-inner");
    let radius = 0.5e-3 * row.input("ball_d_mm");
    let race = 0.5e-3 * row.input("inner_race_d_mm");
    let groove = row.input("conformity") * 2.0 * radius;
    let speed = Example::named("EH-B-u").0["expected value"]
        .parse::<f64>()
        .unwrap();
    let bearing = json!({
        "bodies": [ball(radius, row.input("E_Pa")), body(Some(race), Some(-groove), row.input("E_Pa"))],
        "load_n": 4.37 * row.input("F_N") / row.input("balls"),
        "u1_m_s": speed, "u2_m_s": speed,
        "viscosity_pa_s": row.input("eta0_Pas"), "alpha_per_pa": row.input("alpha_per_Pa"),
    });
    let answer = ask(&bench, "contact", &bearing).await;
    row.holds(&answer["min_film_m"], 1e-6);
    assert_eq!(
        (&answer["regime"], &answer["slide_roll_ratio"]),
        (&json!("piezoviscous-elastic"), &json!(0.0))
    );
    assert!(answer["central_film_m"].as_f64() > answer["min_film_m"].as_f64());
    assert!(answer["film_ratio"].is_null(), "no roughness was given");

    let row = Example::named("EH-R-DH-inner");
    let speed = Example::named("EH-R-u").0["expected value"]
        .parse::<f64>()
        .unwrap();
    // The row gives E'; E = E' (1 - nu^2) for two equal bodies.
    let e_pa = row.input("E_prime_Pa") * 0.91;
    let roller = |rough: Option<f64>| {
        let mut bodies = [
            body(Some(0.5e-3 * row.input("roller_d_mm")), None, e_pa),
            body(Some(0.5e-3 * row.input("inner_race_d_mm")), None, e_pa),
        ];
        for body in &mut bodies {
            body["rq_m"] = json!(rough);
        }
        json!({
            "bodies": bodies,
            "length_m": 1e-3 * row.input("roller_len_mm"),
            "load_n": 4.0 * row.input("F_N") / row.input("rollers"),
            "u1_m_s": speed, "u2_m_s": speed,
            "viscosity_pa_s": row.input("eta0_Pas"), "alpha_per_pa": row.input("alpha_per_Pa"),
        })
    };
    let answer = ask(&bench, "contact", &roller(Some(0.1e-6))).await;
    row.holds(&answer["min_film_m"], 1e-6);
    Example::named("EH-R-p-inner").holds(&answer["max_pressure_pa"], 1e9);
    let ratio = answer["min_film_m"].as_f64().unwrap() / (0.1e-6 * 2f64.sqrt());
    assert!((answer["film_ratio"].as_f64().unwrap() / ratio - 1.0).abs() < 1e-12);
    assert!(ask(&bench, "contact", &roller(None)).await["film_ratio"].is_null());
}
