//! The calculators' pages: the same numbers as the JSON, and every refusal beside its field.

use crate::pages::{Page, Pages};
use likewear::facade::app::StartWith;
use serde_json::{Value, json};

pub(crate) const NAMES: [&str; 5] = ["contact", "gear", "viscosity", "four-ball-ep", "weibull"];

const GEAR: &str = "z1=16&z2=24&module_mm=4.5&pressure_angle_deg=20&helix_deg=&centre_distance_mm=91.5&face_width_mm=20\
    &tip_diameter1_mm=88.77&tip_diameter2_mm=112.5&pinion_torque_nm=372.7&pinion_rpm=2175&e_gpa=206&nu=0.3";

const CONTACT: &str = "load_n=160&u1_m_s=0.46&u2_m_s=0&length_mm=&rx1_mm=6.35&ry1_mm=6.35&e1_gpa=206&nu1=0.3&rq1_um=0.02\
    &rx2_mm=-20&ry2_mm=&e2_gpa=206&nu2=0.3&rq2_um=0.02&viscosity_mpa_s=40&alpha_per_gpa=20";

pub(crate) fn contact() -> Value {
    json!({
        "bodies": [
            {"rx_m": 6.35e-3, "ry_m": 6.35e-3, "e_pa": 206e9, "nu": 0.3, "rq_m": 0.02e-6},
            {"rx_m": -0.02, "ry_m": null, "e_pa": 206e9, "nu": 0.3, "rq_m": 0.02e-6},
        ],
        "load_n": 160, "u1_m_s": 0.46, "u2_m_s": 0, "viscosity_pa_s": 0.04, "alpha_per_pa": 2e-8,
    })
}

pub(crate) fn gear() -> Value {
    json!({
        "z1": 16, "z2": 24, "module_m": 4.5e-3, "pressure_angle_deg": 20, "centre_distance_m": 91.5e-3,
        "face_width_m": 0.02, "tip_diameter1_m": 88.77e-3, "tip_diameter2_m": 112.5e-3, "pinion_torque_nm": 372.7,
        "pinion_rpm": 2175, "e_pa": 206e9, "nu": 0.3,
    })
}

/// Numbers of a page by their keys in the JSON.
fn shown(page: &Page) -> Vec<(String, f64)> {
    let keys = page.values_of("[data-key]:has(data)", "data-key");
    let values = page.values_of("[data-key] data", "value");
    assert_eq!(keys.len(), values.len());
    keys.into_iter()
        .zip(values.iter().map(|value| value.parse().unwrap()))
        .collect()
}

#[tokio::test]
async fn pages_show_the_same_numbers_as_the_json() {
    let bench = Pages::with(StartWith::Nothing).await;
    let log = "20+0.27%0A24+0.28%0A32+0.31%0A40+0.33%0A50+0.36%0A63+0.39%0A80+1.5%0A100+1.8%0A126+2.1%0A160+2.4%0A200+weld";
    let runs: Vec<Value> = log
        .split("%0A")
        .map(|line| {
            let (load, scar) = line.split_once('+').unwrap();
            json!({"load_kgf": load.parse::<f64>().unwrap(), "scar_mm": scar.parse::<f64>().ok(), "weld": scar == "weld"})
        })
        .collect();
    let lives = json!({"times": [11, 14, 9, 25], "censored": [false, false, false, true], "shape": null});
    let oil = json!({"kv40_mm2_s": 220, "kv100_mm2_s": 19, "temperature_c": 70});
    for (name, query, question) in [
        ("contact", CONTACT, contact()),
        ("gear", GEAR, gear()),
        ("viscosity", "kv40_mm2_s=220&kv100_mm2_s=19&temperature_c=70", oil),
        ("four-ball-ep", &format!("runs={log}"), json!({"runs": runs})),
        ("weibull", "times=11+14%0D%0A9+25%2B&shape=", lives),
    ] {
        let page = bench.get(&format!("/calculate/{name}?{query}")).await;
        assert_eq!(page.status, 200, "{name}: {}", page.body);
        let json = bench
            .post_json(&format!("/api/calculate/{name}"), question.to_string())
            .await
            .as_json();
        let shown = shown(&page);
        assert!(shown.len() >= 2, "{name}");
        for (key, value) in shown {
            let same = key
                .split('.')
                .fold(&json, |json, step| &json[step])
                .as_f64()
                .unwrap();
            assert!(
                (value - same).abs() <= 1e-12 * same.abs(),
                "{name} {key}: {value} and {same}"
            );
        }
        let drawings = page.count("figure svg, .calc-plot svg");
        assert!(drawings >= 2, "{name} has a drawing");
        let numbers = page.count("table tbody tr") + page.count("figure ~ dl dd");
        assert!(numbers >= 3, "{name} has its drawing's numbers");
        assert!(
            page.count("[data-caution]") == 1 && page.count(".formulas dd") >= 2,
            "{name}"
        );
        for wrong in ["NaN", " style=", "Some(", "None"] {
            assert!(!page.body.contains(wrong), "{name}: {wrong}");
        }
    }
}

#[tokio::test]
async fn an_empty_form_shows_its_example_and_the_example_computes() {
    let bench = Pages::with(StartWith::Nothing).await;
    let index = bench.get("/calculate").await;
    assert_eq!(index.count("[data-calculators] a"), NAMES.len());
    assert_eq!(index.values_of("nav [aria-current]", "href"), ["/calculate"]);
    for href in index.values_of("[data-calculators] a", "href") {
        let empty = bench.get(&href).await;
        assert_eq!((empty.status, empty.count("[data-answer]")), (200, 0), "{href}");
        assert!(
            !empty
                .values_of("form.calc [placeholder]", "placeholder")
                .is_empty()
        );
        assert_eq!(empty.values_of("form.calc", "method"), ["get"]);
        let example = empty.values_of("[data-example]", "href").remove(0);
        let computed = bench.get(&example).await;
        assert_eq!(
            (computed.status, computed.count("[data-answer]")),
            (200, 1),
            "{example}"
        );
        // An address with every field empty asks nothing.
        let names = empty.values_of("form.calc input, form.calc textarea", "name");
        let nothing = names
            .iter()
            .map(|name| format!("{name}="))
            .collect::<Vec<_>>()
            .join("&");
        assert_eq!(bench.get(&format!("{href}?{nothing}")).await.status, 200);
    }
}

#[tokio::test]
async fn a_refusal_stands_beside_its_field_and_nothing_typed_is_lost() {
    let bench = Pages::with(StartWith::Nothing).await;
    for (path, field) in [
        ("viscosity?kv40_mm2_s=19&kv100_mm2_s=220", "kv100_mm2_s"),
        ("viscosity?kv40_mm2_s=220", "kv100_mm2_s"),
        ("viscosity?kv40_mm2_s=1,234&kv100_mm2_s=19", "kv40_mm2_s"),
        (
            "viscosity?kv40_mm2_s=220&kv100_mm2_s=19&temperature_c=-300",
            "temperature_c",
        ),
        ("weibull?times=3", "times"),
        ("weibull?times=3+x", "times"),
        ("weibull?times=3+4&shape=-1", "shape"),
        ("four-ball-ep?runs=40+0.1", "runs"),
        ("four-ball-ep?runs=40+seized", "runs"),
        ("four-ball-ep?runs=63+0.39%0A50+weld", "runs"),
    ] {
        let page = bench.get(&format!("/calculate/{path}")).await;
        assert_eq!((page.status, page.count("[data-answer]")), (422, 0), "{path}");
        assert!(
            page.values_of("[data-fault]", "data-fault")
                .contains(&field.to_string()),
            "{path}: {}",
            page.body
        );
        assert_eq!(page.count(&format!("#{field}[aria-invalid]")), 1, "{path}");
    }
    let short = bench
        .get(&format!("/calculate/gear?{}", GEAR.replace("88.77", "60")))
        .await;
    assert_eq!(
        short.values_of("[data-fault]", "data-fault"),
        ["tip_diameter1_mm"]
    );
    assert_eq!(short.values_of("#tip_diameter1_mm", "value"), ["60"]);
    let unknown = bench
        .get("/calculate/viscosity?kv40_mm2_s=220&kv100_mm2_s=19&density=900")
        .await;
    assert_eq!((unknown.status, unknown.count("[data-problem]")), (422, 1));
    let log = bench.get("/calculate/four-ball-ep?runs=40+0.33%0A%3Cb%3E").await;
    assert!(
        log.texts("#runs-fault")[0].starts_with("row 2"),
        "{:?}",
        log.texts("#runs-fault")
    );
    assert!(log.texts("#runs")[0].contains("<b>"), "what was typed is kept");
}

#[tokio::test]
async fn what_can_be_read_in_two_ways_is_refused_by_every_calculator() {
    let bench = Pages::with(StartWith::Nothing).await;
    for query in [
        "contact?load_n=12,500",
        "gear?module_mm=12,500",
        "viscosity?kv40_mm2_s=12,500&kv100_mm2_s=19",
        "four-ball-ep?runs=12,500+0.33",
        "weibull?times=12,500+14",
    ] {
        let page = bench.get(&format!("/calculate/{query}")).await;
        assert_eq!(page.status, 422, "{query}");
        assert!(
            page.body.contains("can be read as 12.500 and as 12500"),
            "{query}"
        );
    }
}
