//! The calculators' JSON against published examples. Every row of the tables in `tests/published/` carries its source and
//! whether it was seen, is from memory or was computed elsewhere.

use crate::example_rows::{data, rows_of};
use crate::pages::Pages;
use likewear::facade::app::StartWith;
use serde_json::{Value, json};
use std::collections::BTreeMap;

pub(crate) type Row = BTreeMap<String, String>;

fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

/// A row of `contact_examples.csv`.
pub(crate) struct Example(pub(crate) Row);

impl Example {
    pub(crate) fn named(id: &str) -> Self {
        let all = rows(include_str!("../published/contact_examples.csv"));
        Self(all.into_iter().find(|row| row["id"] == id).unwrap())
    }

    pub(crate) fn input(&self, name: &str) -> f64 {
        let pairs = self.0["inputs"]
            .split(';')
            .filter_map(|pair| pair.split_once('='));
        let mut found = pairs.filter(|(key, _)| *key == name).map(|(_, value)| value);
        found.next().unwrap_or_else(|| panic!("{name}")).parse().unwrap()
    }

    /// Holds a value, `per_unit` of its units to one of the row's, to the row's number and tolerance.
    pub(crate) fn holds(&self, value: &Value, per_unit: f64) {
        let found = value
            .as_f64()
            .unwrap_or_else(|| panic!("{} {value}", self.0["id"]))
            / per_unit;
        let wanted: f64 = self.0["expected value"].parse().unwrap();
        let tolerance = self.0["tolerance"]
            .strip_suffix('%')
            .unwrap()
            .parse::<f64>()
            .unwrap()
            / 100.0;
        assert!(
            (found / wanted - 1.0).abs() <= tolerance,
            "{}: {found}, not {wanted}",
            self.0["id"]
        );
    }
}

pub(crate) async fn ask(bench: &Pages, name: &str, question: &Value) -> Value {
    let answer = bench
        .post_json(&format!("/api/calculate/{name}"), question.to_string())
        .await;
    assert_eq!(answer.status, 200, "{question}: {}", answer.body);
    answer.as_json()
}

fn rig_gear(pinion_torque_nm: f64) -> Value {
    json!({
        "z1": 16, "z2": 24, "module_m": 4.5e-3, "pressure_angle_deg": 20, "helix_deg": 0,
        "centre_distance_m": 91.5e-3, "face_width_m": 20e-3, "tip_diameter1_m": 88.77e-3, "tip_diameter2_m": 112.5e-3,
        "pinion_torque_nm": pinion_torque_nm, "pinion_rpm": 2175, "e_pa": 206e9, "nu": 0.3,
    })
}

#[tokio::test]
async fn the_gear_of_the_scuffing_rig_comes_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    let stages = rows(include_str!("../published/contact_examples.csv"));
    let mut checked = 0;
    for id in stages
        .iter()
        .map(|row| &row["id"])
        .filter(|id| id.starts_with("GR-P-"))
    {
        let row = Example::named(id);
        let answer = ask(&bench, "gear", &rig_gear(row.input("pinion_torque_Nm"))).await;
        row.holds(&answer["pitch_max_pressure_pa"], 1e6);
        checked += 1;
    }
    assert_eq!(checked, 10);
    let answer = ask(&bench, "gear", &rig_gear(534.5)).await;
    Example::named("GR-A-02").holds(&answer["working_pressure_angle_deg"], 1.0);
    Example::named("GR-A-04").holds(&answer["pitch_line_speed_m_s"], 1.0);
    Example::named("GR-A-09").holds(&answer["tip2"]["sliding_m_s"], 1.0);
    let speed = answer["pitch_line_speed_m_s"].as_f64().unwrap();
    let tip = answer["tip1"]["sliding_m_s"].as_f64().unwrap();
    Example::named("GR-A-08").holds(&json!(tip / speed), 1.0);
    // Computed elsewhere from the same geometry (partly from memory): contact ratio, path, slide-roll ratios, and the
    // pressures that one pair carries alone at D and would carry alone at E.
    let near = |value: &Value, wanted: f64, tolerance: f64| {
        let found = value.as_f64().unwrap();
        assert!((found - wanted).abs() <= tolerance, "{found}, not {wanted}");
    };
    near(&answer["contact_ratio"], 1.3611, 1e-4);
    near(&answer["tip1"]["sliding_m_s"], 5.604, 1e-3);
    near(&answer["tip1"]["slide_roll_ratio"], 1.498, 1e-3);
    near(&answer["tip2"]["slide_roll_ratio"], -0.412, 1e-3);
    for (key, wanted) in [
        ("a_m", 10.652),
        ("b_m", 15.449),
        ("c_m", 13.970),
        ("d_m", 23.937),
        ("e_m", 28.734),
    ] {
        near(&answer["points"][key], wanted * 1e-3, 1e-6);
    }
    let path = answer["path"].as_array().unwrap();
    let greatest = path
        .iter()
        .map(|at| at["max_pressure_pa"].as_f64().unwrap())
        .fold(0.0, f64::max);
    near(&json!(greatest), 1944e6, 1e6);
    let last = path.last().unwrap();
    near(&last["s_m"], 28.734e-3, 1e-6);
    near(&last["max_pressure_pa"], 2364e6 / 3f64.sqrt(), 1.5e6);
    near(&path[0]["load_share"], 1.0 / 3.0, 1e-9);
    assert!(
        path.windows(2)
            .all(|pair| pair[0]["s_m"].as_f64() < pair[1]["s_m"].as_f64())
    );
}

#[tokio::test]
async fn published_viscosities_and_indices_come_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    for (id, procedure, reported) in [("VI-A-03", "A", 92.0), ("VI-B-02", "B", 156.0)] {
        let row = Example::named(id);
        let oil = json!({"kv40_mm2_s": row.input("U_40C"), "kv100_mm2_s": row.input("Y_100C")});
        let answer = ask(&bench, "viscosity", &oil).await;
        row.holds(&answer["vi"], 1.0);
        assert_eq!(
            (&answer["vi_procedure"], &answer["vi_reported"]),
            (&json!(procedure), &json!(reported))
        );
        assert!(answer["kv_mm2_s"].is_null(), "no temperature was given");
    }
    let row = Example::named("VT-04");
    let oil = json!({
        "kv40_mm2_s": row.input("nu40"), "kv100_mm2_s": row.input("nu100"), "temperature_c": row.input("T_C"),
    });
    row.holds(&ask(&bench, "viscosity", &oil).await["kv_mm2_s"], 1.0);
    let thin = json!({"kv40_mm2_s": 5.0, "kv100_mm2_s": 1.7, "temperature_c": 60});
    let answer = ask(&bench, "viscosity", &thin).await;
    assert!(answer["vi"].is_null() && answer["vi_procedure"].is_null() && answer["kv_mm2_s"].is_number());
}

#[tokio::test]
async fn the_corrected_loads_of_a_run_log_are_those_of_the_table() {
    let bench = Pages::with(StartWith::Nothing).await;
    // At every step with a remembered compensation scar: factor over scar, both from memory, factors within 0.3 %.
    let table = rows(include_str!("../published/astm_d2783_table_1.csv"));
    let known: Vec<&Row> = table
        .iter()
        .filter(|row| !row["compensation_scar_mm"].is_empty())
        .collect();
    let number = |row: &Row, column: &str| row[column].parse::<f64>().unwrap();
    let run = |row: &&Row| json!({"load_kgf": number(row, "applied_load_kgf"), "scar_mm": number(row, "compensation_scar_mm")});
    let log = json!({"runs": known.iter().map(run).collect::<Vec<_>>()});
    let answer = ask(&bench, "four-ball-ep", &log).await;
    let corrected = answer["corrected_kgf"].as_array().unwrap();
    assert_eq!(corrected.len(), known.len());
    for (row, found) in known.iter().zip(corrected) {
        let wanted = number(row, "ldh_factor_remembered") / number(row, "compensation_scar_mm");
        assert!((found.as_f64().unwrap() / wanted - 1.0).abs() < 0.003, "{row:?}");
    }
    assert_eq!(
        (&answer["lnsl_kgf"], &answer["weld_kgf"], &answer["lwi_kgf"]),
        (&json!(200.0), &Value::Null, &Value::Null)
    );
    assert!(
        answer["missing"]["lwi_kgf"]
            .as_str()
            .unwrap()
            .contains("no run welded")
    );
}

/// Invented scars, not a real oil; corrected loads and index computed by hand from the definition.
#[tokio::test]
async fn a_whole_run_log_gives_its_three_results() {
    let bench = Pages::with(StartWith::Nothing).await;
    let scars = [
        (20, 0.27),
        (24, 0.28),
        (32, 0.31),
        (40, 0.33),
        (50, 0.36),
        (63, 0.39),
        (80, 1.5),
        (100, 1.8),
        (126, 2.1),
        (160, 2.4),
    ];
    let mut runs: Vec<Value> = scars
        .iter()
        .map(|(load, scar)| json!({"load_kgf": load, "scar_mm": scar, "weld": false}))
        .collect();
    runs.push(json!({"load_kgf": 200, "scar_mm": null, "weld": true}));
    let answer = ask(&bench, "four-ball-ep", &json!({"runs": runs})).await;
    assert_eq!(
        (&answer["lnsl_kgf"], &answer["weld_kgf"]),
        (&json!(63.0), &json!(200.0))
    );
    assert!((answer["lwi_kgf"].as_f64().unwrap() - 30.51).abs() < 0.01);
    let corrected = answer["corrected_kgf"]
        .as_array()
        .unwrap()
        .iter()
        .map(|load| load.as_f64().unwrap());
    for (found, wanted) in corrected.zip([
        17.55, 21.58, 28.61, 36.19, 44.67, 56.11, 20.06, 22.51, 26.26, 31.60,
    ]) {
        assert!((found - wanted).abs() < 0.006, "{found}, not {wanted}");
    }
}

#[tokio::test]
async fn published_weibull_fits_come_back() {
    let bench = Pages::with(StartWith::Nothing).await;
    let mut checked = 0;
    for row in rows_of(&['i']) {
        let (times, censored) = sample(&row["inputs"]);
        let shape = row["method"].contains("shape fixed 2").then_some(2.0);
        let question = json!({"times": times, "censored": censored, "shape": shape});
        let answer = ask(&bench, "weibull", &question).await;
        let tolerance: f64 = row["tolerance"].trim_end_matches(" rel").parse().unwrap();
        for (quantity, wanted) in row["expected_quantity"]
            .split(" / ")
            .zip(row["value"].split(" / "))
        {
            let found = match quantity.trim() {
                "1/scale" => 1.0 / answer["scale"].as_f64().unwrap(),
                "log-likelihood" => answer["log_likelihood"].as_f64().unwrap(),
                "10 % life" => answer["b10"].as_f64().unwrap(),
                key => answer[key].as_f64().unwrap(),
            };
            let wanted: f64 = wanted.trim().parse().unwrap();
            assert!(
                (found / wanted - 1.0).abs() <= tolerance,
                "{} {quantity}: {found}",
                row["id"]
            );
            checked += 1;
        }
        for keys in [["median_lo", "median", "median_hi"], ["b10_lo", "b10", "b10_hi"]] {
            let ends = keys.map(|key| answer[key].as_f64().unwrap());
            assert!(ends[0] < ends[1] && ends[1] < ends[2], "{ends:?}");
        }
    }
    assert_eq!(checked, 26);
}

/// A file beside the rows, or lists as `t=[11.0, 14.0] event=[1, 0]`.
fn sample(inputs: &str) -> (Vec<f64>, Vec<bool>) {
    let pairs = |text: &str| -> (Vec<f64>, Vec<bool>) {
        let rows = rows(text);
        rows.iter()
            .map(|row| (row["time"].parse::<f64>().unwrap(), row["event"] == "0"))
            .unzip()
    };
    if let Some(text) = data(inputs) {
        return pairs(text);
    }
    let list = |name: &str| -> Vec<f64> {
        let inside = inputs
            .split_once(&format!("{name}=["))
            .map_or("", |(_, rest)| rest.split(']').next().unwrap());
        let cells = inside.split(',');
        cells.filter_map(|cell| cell.trim().parse().ok()).collect()
    };
    let stopped = list("event").iter().map(|event| *event == 0.0).collect();
    (list("t"), stopped)
}
