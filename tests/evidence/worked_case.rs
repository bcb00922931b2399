//! The worked case: five candidates in seven tests, invented data, computed independently of this program (vectorised
//! numpy, 20 000 draws, its own random numbers). Tolerances are those of the file's note: means 0.01, probabilities
//! 0.02, shares and tipping factors 0.02, effective numbers 0.001, the cell mean of a result above the cap 3 %, the sd of
//! a cell 3 % (10 % with few degrees of freedom). Tests that do not sort are let in; each test is its own method and family.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helper functions too"
)]

use std::collections::BTreeSet;

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, FAMILY_CORRELATION, Fitted, KernelInput, KnownFits, Ranking,
    Selection, TestInput, Tipping, Who, WithoutTests, candidate_streams, effective_number, fit,
};
use likewear::facade::stats::cell::Prior;
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::observation::Observation;
use likewear::facade::stats::severity::BlockShift;
use likewear::facade::units::position;
use serde_json::Value;

const NAMES: [&str; 5] = ["A", "B", "C", "D", "E"];
const CASES: [&str; 2] = ["trusting_saturated", "contact_saturated"];

fn published() -> Value {
    serde_json::from_str(include_str!("../published/worked_case.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is not a number"))
}

fn tests(case: &Value) -> &Vec<Value> {
    case["tests"].as_array().unwrap()
}

fn cell(case: &Value, test: &str, blend: &str) -> CellData {
    let read = |result: &Value| match result["kind"].as_str().unwrap() {
        "exact" => Observation::Exact(number(&result["value"])),
        "between" => Observation::Between {
            lo: number(&result["lo"]),
            hi: number(&result["hi"]),
        },
        "above" => Observation::Above(number(&result["value"])),
        "below" => Observation::Below(number(&result["value"])),
        other => panic!("{other}"),
    };
    let results: Vec<Observation> = case["results"][test][blend]
        .as_array()
        .unwrap()
        .iter()
        .map(read)
        .collect();
    CellData::of(results.iter().map(|&one| (one, BlockId(0))).collect())
}

fn fitted(case: &Value, weights: &str) -> Fitted {
    let test = |t: &Value| {
        let key = t["id"].as_str().unwrap();
        TestInput {
            key: key.to_owned(),
            method: MethodId::new(key).unwrap(),
            family: key.to_owned(),
            sign: number(&t["sign"]),
            deviation: Deviation {
                sd: number(&t["sd"]),
                freedom: number(&t["degrees_of_freedom"]),
            },
            cap: t["cap"].as_f64(),
            weight: number(&case["weights"][weights][key]),
            anchors: Anchors::Two {
                good: cell(case, key, "good"),
                poor: cell(case, key, "poor"),
            },
            candidates: NAMES.map(|name| cell(case, key, name)).to_vec(),
            control: Some(cell(case, key, "sugar")),
            middle: None,
        }
    };
    let tests: Vec<TestInput> = tests(case).iter().map(test).collect();
    fit(
        &KernelInput {
            candidate_streams: candidate_streams(&NAMES.map(str::to_owned), &tests),
            tests,
            blocks: vec![BlockInput {
                key: "all".to_owned(),
                shift: BlockShift::NONE,
            }],
            head_room: number(&case["head_room"]),
            concentration: number(&case["beta_concentration"]),
            draws: 20_000,
            seed: 20_240_601,
        },
        &KnownFits::default(),
    )
    .unwrap()
}

fn place(case: &Value, test: &str) -> usize {
    tests(case).iter().position(|t| t["id"] == test).unwrap()
}

fn close(what: &str, actual: f64, expected: &Value, tolerance: f64) {
    let expected = number(expected);
    assert!(
        (actual - expected).abs() <= tolerance,
        "{what}: {actual} is not {expected} within {tolerance}"
    );
}

/// Runs a check on both sets of weights.
fn on_both(check: impl Fn(&Value, &Value, &Fitted, &Ranking)) {
    let case = published();
    for weights in CASES {
        let fitted = fitted(&case, weights);
        let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
        check(&case, &case["expected"][weights], &fitted, &standing);
    }
}

#[test]
fn cells_have_the_published_means() {
    let case = published();
    let fitted = fitted(&case, CASES[0]);
    for (k, t) in tests(&case).iter().enumerate() {
        let id = t["id"].as_str().unwrap();
        let expected = &case["cells"][id];
        let fit = &fitted.tests()[k];
        close(
            &format!("{id} smallest gap"),
            fit.smallest_gap().unwrap(),
            &expected["floor"],
            1e-5,
        );
        let input = &fitted.input().tests[k];
        let (sign, cap) = (input.sign, input.cap);
        let results = input
            .cells()
            .flat_map(|cell| &cell.observations)
            .map(|(one, _)| one.ends());
        let range = results.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), (a, b)| {
            (lo.min(a), hi.max(b))
        });
        let wide = Prior::of_results(range, input.deviation.sd);
        close(
            &format!("{id} prior mean"),
            wide.mean,
            &expected["wide_prior"][0],
            1e-9,
        );
        close(
            &format!("{id} prior sd"),
            wide.sd,
            &expected["wide_prior"][1],
            1e-9,
        );
        let held = |who: Who| {
            let mean = sign * fit.summary(who).unwrap().mean;
            cap.map_or(mean, |cap| mean.min(sign * cap))
        };
        let missing =
            Prior::between_references(held(Who::Good), held(Who::Poor), fit.smallest_gap().unwrap());
        let of_missing = &expected["missing_prior"];
        close(&format!("{id} middle"), sign * missing.mean, &of_missing[0], 1e-3);
        close(&format!("{id} gap"), missing.sd, &of_missing[1], 2e-3);
        let cells = NAMES
            .iter()
            .enumerate()
            .map(|(i, &name)| (name, Who::Candidate(i)));
        for (blend, who) in cells.chain([("good", Who::Good), ("poor", Who::Poor)]) {
            let summary = fit.summary(who).unwrap();
            let (mean, sd) = (&expected[blend][0], &expected[blend][1]);
            let beyond_cap = summary.results > 0 && cap.is_some_and(|cap| sign * summary.mean > sign * cap);
            // beyond the cap the file's grid ends at stage 27, where the prior has not; that takes 0.46 stage off the mean
            // and a sixth off the sd of a single result. What lies there counts as the cap.
            let tolerance = if beyond_cap {
                0.03 * number(mean).abs()
            } else {
                0.01
            };
            close(&format!("{id} {blend} mean"), summary.mean, mean, tolerance);
            // the tail of a deviation from few degrees of freedom depends on how it is drawn
            let part = match beyond_cap {
                true => 0.2,
                false if input.deviation.freedom < 8.0 => 0.1,
                false => 0.03,
            };
            let own = fit.cell(who).unwrap().value().sd();
            close(&format!("{id} {blend} sd"), own, sd, part * number(sd));
        }
    }
}

#[test]
fn positions_are_those_of_the_formula() {
    for row in published()["examples"]["position"].as_array().unwrap() {
        for (key, head_room) in [("h_0.25", 0.25), ("h_0.5", 0.5), ("h_1", 1.0)] {
            close(key, position(number(&row["x"]), head_room), &row[key], 1e-12);
        }
    }
}

#[test]
fn scores_and_mean_positions_are_the_published_ones() {
    on_both(|case, expected, _, standing| {
        for (i, name) in NAMES.iter().enumerate() {
            close(name, standing.scores[i], &expected["score"][name], 0.01);
            let (lo, hi) = standing.score_intervals[i];
            close(name, lo, &expected["score_lo"][name], 0.02);
            close(name, hi, &expected["score_hi"][name], 0.02);
            for (k, t) in tests(case).iter().enumerate() {
                let what = format!("{name} in {}", t["id"]);
                close(
                    &what,
                    standing.mean_positions[i][k],
                    &expected["mean_pos"][i][k],
                    0.01,
                );
            }
        }
        assert_eq!(NAMES[standing.front_runner.unwrap()], expected["winner"]);
        let lead = standing.lead.as_ref().unwrap();
        assert_eq!(NAMES[lead.rival], expected["rival"]);
        close("lead", lead.difference, &expected["lead"], 0.01);
        close(
            "total weight",
            standing.total_weight,
            &expected["total_weight"],
            1e-9,
        );
    });
}

#[test]
fn first_places_are_the_published_ones() {
    on_both(|_, expected, _, standing| {
        for (i, name) in NAMES.iter().enumerate() {
            close(name, standing.p_best[i], &expected["p_best"][name], 0.02);
        }
        assert!((standing.p_best.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        assert!(standing.monte_carlo_error > 0.0005 && standing.monte_carlo_error < 0.004);
    });
}

#[test]
fn shares_of_the_lead_are_the_published_ones() {
    on_both(|case, expected, _, standing| {
        let shares = standing.lead.as_ref().unwrap().shares.as_ref().unwrap();
        for (k, t) in tests(case).iter().enumerate() {
            let id = t["id"].as_str().unwrap();
            close(id, shares[k], &expected["share"][id], 0.02);
        }
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    });
}

#[test]
fn leaving_one_test_out_gives_the_published_front_runner_and_first_places() {
    on_both(|case, expected, fitted, standing| {
        let sets: Vec<WithoutTests> = (0..tests(case).len())
            .map(|k| BTreeSet::from([k]).into())
            .collect();
        let left = fitted
            .weigh(&Selection::default())
            .unwrap()
            .leave_out(&sets)
            .unwrap();
        let front = standing.front_runner.unwrap();
        for (t, left) in tests(case).iter().zip(&left) {
            let id = t["id"].as_str().unwrap();
            let [by_score, p_best, by_draws] = [0, 1, 2].map(|i| &expected["loo"][id][i]);
            assert_eq!(NAMES[left.front_runner.unwrap()], by_score, "without {id}");
            close(&format!("without {id}"), left.p_best[front], p_best, 0.02);
            let most = (0..NAMES.len())
                .max_by(|&a, &b| left.p_best[a].total_cmp(&left.p_best[b]))
                .unwrap();
            assert_eq!(NAMES[most], by_draws, "without {id}");
        }
    });
}

#[test]
fn leaving_one_rig_out_gives_the_published_front_runner() {
    on_both(|case, expected, fitted, _| {
        for (rig, front) in expected["lgo"].as_object().unwrap() {
            let of_rig = |k: &usize| tests(case)[*k]["group"] == rig.as_str();
            let set: BTreeSet<usize> = (0..tests(case).len()).filter(of_rig).collect();
            let left = fitted
                .weigh(&Selection::default())
                .unwrap()
                .leave_out(&[set.into()])
                .unwrap();
            assert_eq!(NAMES[left[0].front_runner.unwrap()], front, "without {rig}");
        }
    });
}

#[test]
fn filling_the_gaps_worst_and_best_gives_the_published_limits() {
    on_both(|_, expected, _, standing| {
        for (i, name) in NAMES.iter().enumerate() {
            close(
                name,
                standing.fills[i].worst,
                &expected["missing_bounds"][name][0],
                0.01,
            );
            close(
                name,
                standing.fills[i].best,
                &expected["missing_bounds"][name][1],
                0.01,
            );
            close(name, standing.coverage[i], &expected["cover"][name], 1e-9);
        }
    });
}

#[test]
fn tipping_factors_are_the_published_ones() {
    let same = |what: &str, tip: Option<Tipping>, expected: &Value| match (tip, expected[1].as_str()) {
        (None, None) => {}
        (Some(tip), Some(rival)) => {
            assert_eq!(NAMES[tip.rival], rival, "{what}");
            close(what, tip.factor, &expected[0], 0.02);
        }
        (tip, _) => panic!("{what}: {tip:?} is not {expected}"),
    };
    on_both(|case, expected, _, standing| {
        for (k, t) in tests(case).iter().enumerate() {
            let id = t["id"].as_str().unwrap();
            same(
                &format!("{id} down"),
                standing.tipping[k].down,
                &expected["tip"][id]["down"],
            );
            same(
                &format!("{id} up"),
                standing.tipping[k].up,
                &expected["tip"][id]["up"],
            );
        }
    });
}

#[test]
fn effective_numbers_of_tests_are_the_published_ones() {
    on_both(|case, expected, _, standing| {
        // every test of the case is its own family
        close("independent", standing.effective_tests, &expected["n_eff"], 0.001);
        let groups: Vec<&str> = tests(case).iter().map(|t| t["group"].as_str().unwrap()).collect();
        let by_group = effective_number(&standing.weights, &groups, FAMILY_CORRELATION);
        close("by group", by_group, &expected["n_eff_rig"], 0.001);
    });
}

#[test]
fn validity_of_each_test_is_the_published_one() {
    on_both(|case, expected, fitted, _| {
        for t in tests(case) {
            let id = t["id"].as_str().unwrap();
            let validity = fitted.tests()[place(case, id)].validity();
            let expected = &expected["valid"][id];
            close(
                id,
                validity.good_over_poor.unwrap(),
                &expected["p_good_over_poor"],
                0.02,
            );
            close(
                id,
                validity.good_over_control.unwrap(),
                &expected["p_good_over_negative"],
                0.02,
            );
            assert_eq!(validity.middle_between, None);
        }
    });
}
