//! What the calculators refuse, and that no odd number or address breaks them.

use crate::calculate_pages::{NAMES, contact, gear};
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use proptest::prelude::*;
use serde_json::{Value, json};

/// Every question that has no meaning, with the field that is named.
fn refusals() -> Vec<(&'static str, Value, &'static str)> {
    let contact_with = |place: &str, value: Value| {
        let mut question = contact();
        *question.pointer_mut(place).unwrap() = value;
        question
    };
    let mut both_flat = contact_with("/bodies/0/rx_m", json!(null));
    for place in ["/bodies/0/ry_m", "/bodies/1/rx_m"] {
        *both_flat.pointer_mut(place).unwrap() = json!(null);
    }
    let gear_with = |key: &str, value: Value| {
        let mut question = gear();
        question[key] = value;
        question
    };
    vec![
        ("contact", both_flat, "bodies[0].rx_m"),
        (
            "contact",
            contact_with("/bodies/0/rx_m", json!(0)),
            "bodies[0].rx_m",
        ),
        (
            "contact",
            contact_with("/bodies/1/rx_m", json!(-0.005)),
            "bodies[1].rx_m",
        ),
        (
            "contact",
            contact_with("/bodies/0/ry_m", json!("flat")),
            "bodies[0].ry_m",
        ),
        ("contact", contact_with("/bodies/0/ry_m", json!(null)), "length_m"),
        (
            "contact",
            contact_with("/bodies/0/nu", json!(0.6)),
            "bodies[0].nu",
        ),
        (
            "contact",
            contact_with("/bodies/1/e_pa", json!(null)),
            "bodies[1].e_pa",
        ),
        (
            "contact",
            contact_with("/bodies/1/e_pa", json!(-1)),
            "bodies[1].e_pa",
        ),
        (
            "contact",
            contact_with("/bodies/1/rq_m", json!(-1e-9)),
            "bodies[1].rq_m",
        ),
        ("contact", contact_with("/bodies/1", json!(5)), "bodies[1]"),
        ("contact", contact_with("/bodies", json!([])), "bodies"),
        ("contact", contact_with("/load_n", json!(-160)), "load_n"),
        ("contact", contact_with("/load_n", json!(0)), "load_n"),
        (
            "contact",
            contact_with("/viscosity_pa_s", json!(-1)),
            "viscosity_pa_s",
        ),
        (
            "contact",
            contact_with("/alpha_per_pa", json!(-1e-8)),
            "alpha_per_pa",
        ),
        (
            "viscosity",
            json!({"kv40_mm2_s": 19, "kv100_mm2_s": 220}),
            "kv100_mm2_s",
        ),
        (
            "viscosity",
            json!({"kv40_mm2_s": -1, "kv100_mm2_s": 2}),
            "kv40_mm2_s",
        ),
        ("viscosity", json!({"kv40_mm2_s": 220}), "kv100_mm2_s"),
        (
            "viscosity",
            json!({"kv40_mm2_s": "220", "kv100_mm2_s": 19}),
            "kv40_mm2_s",
        ),
        (
            "viscosity",
            json!({"kv40_mm2_s": 220, "kv100_mm2_s": 19, "temperature_c": -274}),
            "temperature_c",
        ),
        (
            "viscosity",
            json!({"kv40_mm2_s": 220, "kv100_mm2_s": 19, "temperature": 70}),
            "temperature",
        ),
        (
            "gear",
            gear_with("tip_diameter1_m", json!(0.06)),
            "tip_diameter1_m",
        ),
        (
            "gear",
            gear_with("tip_diameter2_m", json!(0.1)),
            "tip_diameter2_m",
        ),
        ("gear", gear_with("z1", json!(16.5)), "z1"),
        ("gear", gear_with("z2", json!(0)), "z2"),
        ("gear", gear_with("module_m", json!(null)), "module_m"),
        ("gear", gear_with("module_m", json!(0)), "module_m"),
        (
            "gear",
            gear_with("pressure_angle_deg", json!(60)),
            "pressure_angle_deg",
        ),
        ("gear", gear_with("helix_deg", json!(90)), "helix_deg"),
        (
            "gear",
            gear_with("centre_distance_m", json!(0.05)),
            "centre_distance_m",
        ),
        (
            "gear",
            gear_with("pinion_torque_nm", json!(-1)),
            "pinion_torque_nm",
        ),
        ("gear", gear_with("pinion_rpm", json!(0)), "pinion_rpm"),
        ("gear", gear_with("nu", json!(0.7)), "nu"),
        ("gear", gear_with("profile_shift", json!(0)), "profile_shift"),
        ("four-ball-ep", json!({"runs": []}), "runs"),
        ("four-ball-ep", json!({}), "runs"),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40}]}),
            "runs[0].scar_mm",
        ),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40, "scar_mm": 0.33}, {"load_kgf": -40, "scar_mm": 1}]}),
            "runs[1].load_kgf",
        ),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40, "scar_mm": 0.33, "weld": "no"}]}),
            "runs[0].weld",
        ),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40, "scar_mm": 0.1}]}),
            "runs[0].scar_mm",
        ),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40, "scar_mm": 0.33, "scar": 1}]}),
            "runs[0].scar",
        ),
        ("four-ball-ep", json!({"runs": [40]}), "runs[0]"),
        ("weibull", json!({"times": [3], "censored": [false]}), "times"),
        (
            "weibull",
            json!({"times": [3, 4], "censored": [true, true]}),
            "times",
        ),
        (
            "weibull",
            json!({"times": [3, 4], "censored": [true]}),
            "censored",
        ),
        (
            "weibull",
            json!({"times": [3, 4], "censored": [0, 1]}),
            "censored[0]",
        ),
        (
            "weibull",
            json!({"times": [3, 0], "censored": [false, false]}),
            "times[1]",
        ),
        (
            "weibull",
            json!({"times": [3, null], "censored": [false, false]}),
            "times[1]",
        ),
        (
            "weibull",
            json!({"times": [3, 3], "censored": [false, false]}),
            "times",
        ),
        (
            "weibull",
            json!({"times": [3, 4], "censored": [false, false], "shape": 0}),
            "shape",
        ),
        ("weibull", json!([]), "question"),
    ]
}

#[tokio::test]
async fn every_question_without_a_meaning_is_refused_by_its_field() {
    let bench = Pages::with(StartWith::Nothing).await;
    for (name, question, field) in refusals() {
        let answer = bench
            .post_json(&format!("/api/calculate/{name}"), question.to_string())
            .await;
        assert_eq!(answer.status, 422, "{name} {question}: {}", answer.body);
        let error = &answer.as_json()["error"];
        assert!(error["kind"].is_string() && !error["message"].as_str().unwrap().is_empty());
        let fields = error["fields"].as_array().unwrap();
        assert!(
            fields.iter().any(|fault| fault["field"] == field),
            "{question}: {error}"
        );
    }
}

#[tokio::test]
async fn text_that_is_no_question_is_told_by_its_status() {
    let bench = Pages::with(StartWith::Nothing).await;
    for name in NAMES {
        let path = format!("/api/calculate/{name}");
        assert_eq!(bench.post_json(&path, "{").await.status, 400, "{name}");
        assert_eq!(bench.post_json(&path, "").await.status, 400, "{name}");
        assert_eq!(
            bench.post_json(&path, "{\"times\": [1e999]}").await.status,
            422,
            "{name}"
        );
        assert_eq!(
            bench.post_json(&path, "x".repeat((1 << 20) + 1)).await.status,
            413,
            "{name}"
        );
        assert_eq!(bench.get(&path).await.status, 405, "{name}");
        assert_eq!(
            bench.get(&format!("/calculate/{name}?%FF=1")).await.status,
            422,
            "{name}"
        );
    }
    assert_eq!(bench.post_json("/api/calculate/nothing", "{}").await.status, 404);
}

/// Odd values for a member of a question.
fn odd() -> impl Strategy<Value = Value> {
    prop_oneof![
        Just(Value::Null),
        Just(json!(true)),
        Just(json!("1")),
        Just(json!([])),
        prop::num::f64::ANY.prop_filter_map("finite", |number| serde_json::Number::from_f64(number)
            .map(Value::Number)),
        prop::sample::select(vec![
            0.0, -0.0, 1.0, -1.0, 1e-300, 1e300, 1e308, 5e-324, 0.3, 20.0, 1e9
        ])
        .prop_map(|n| json!(n)),
    ]
}

/// A question that a calculator knows, with some members replaced by odd values.
fn strained() -> impl Strategy<Value = (&'static str, Value)> {
    let whole = prop::sample::select(vec![
        ("contact", contact()),
        ("gear", gear()),
        (
            "viscosity",
            json!({"kv40_mm2_s": 220, "kv100_mm2_s": 19, "temperature_c": 70}),
        ),
        (
            "four-ball-ep",
            json!({"runs": [{"load_kgf": 40, "scar_mm": 0.33, "weld": false}, {"load_kgf": 200, "weld": true}]}),
        ),
        (
            "weibull",
            json!({"times": [11, 14, 9, 25], "censored": [false, false, false, true], "shape": null}),
        ),
    ]);
    (
        whole,
        prop::collection::vec((any::<prop::sample::Index>(), odd()), 1..4),
    )
        .prop_map(|((name, mut question), swaps)| {
            for (at, value) in swaps {
                swap(&mut question, &at, value);
            }
            (name, question)
        })
}

/// Replaces one leaf of a question.
fn swap(question: &mut Value, at: &prop::sample::Index, value: Value) {
    let mut leaves = Vec::new();
    gather(question, String::new(), &mut leaves);
    let place = at.get(&leaves).clone();
    if let Some(leaf) = question.pointer_mut(&place) {
        *leaf = value;
    }
}

fn gather(value: &Value, place: String, leaves: &mut Vec<String>) {
    match value {
        Value::Object(members) if !members.is_empty() => {
            members
                .iter()
                .for_each(|(key, value)| gather(value, format!("{place}/{key}"), leaves));
        }
        Value::Array(items) if !items.is_empty() => {
            items
                .iter()
                .enumerate()
                .for_each(|(at, value)| gather(value, format!("{place}/{at}"), leaves));
        }
        _ => leaves.push(place),
    }
}

#[test]
fn no_odd_number_breaks_a_calculator() {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let bench = runtime.block_on(Pages::with(StartWith::Nothing));
    let config = ProptestConfig {
        cases: 400,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let outcome = runner.run(&strained(), |(name, question)| {
        let answer =
            runtime.block_on(bench.post_json(&format!("/api/calculate/{name}"), question.to_string()));
        prop_assert!(
            matches!(answer.status, 200 | 422),
            "{name} {question}: {} {}",
            answer.status,
            answer.body
        );
        prop_assert!(serde_json::from_str::<Value>(&answer.body).is_ok());
        Ok(())
    });
    outcome.unwrap();
}

#[test]
fn no_odd_address_breaks_a_page() {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let bench = runtime.block_on(Pages::with(StartWith::Nothing));
    let config = ProptestConfig {
        cases: 150,
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let text = prop_oneof![
        "[-+]?[0-9]{1,6}([.,][0-9]{1,4})?([eE]-?[0-9]{1,3})?",
        "[ -~]{0,30}",
        prop::sample::select(vec![
            "1e308".to_string(),
            "40 0.33\n200 weld".to_string(),
            "> 3 4+ 5".to_string()
        ]),
    ];
    let place = prop::sample::select(vec![
        ("viscosity", "kv40_mm2_s=220&kv100_mm2_s=19&temperature_c"),
        ("viscosity", "kv40_mm2_s=220&kv100_mm2_s"),
        (
            "contact",
            "e1_gpa=206&nu1=0.3&e2_gpa=206&nu2=0.3&rx1_mm=5&ry1_mm=5&load_n",
        ),
        (
            "contact",
            "e1_gpa=206&nu1=0.3&e2_gpa=206&nu2=0.3&rx1_mm=5&ry1_mm=5&load_n=10&rx2_mm",
        ),
        ("weibull", "times"),
        ("weibull", "times=3+4+5&shape"),
        ("four-ball-ep", "runs"),
        ("gear", "z1=16&z2"),
    ]);
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let outcome = runner.run(&(place, text), |((name, fields), text)| {
        let encoded: String = text.bytes().map(|byte| format!("%{byte:02X}")).collect();
        let page = runtime.block_on(bench.get(&format!("/calculate/{name}?{fields}={encoded}")));
        prop_assert!(
            matches!(page.status, 200 | 422),
            "{name} {fields} {text}: {}",
            page.status
        );
        prop_assert!(!page.body.contains("NaN"), "{name} {fields} {text}");
        Ok(())
    });
    outcome.unwrap();
}
