//! Thirteen generated trials and five written ones, answered by the program and by a second implementation in numpy
//! (`standing.py`, written from the method's description, its own formulas and random numbers). Needs python3 with
//! numpy; where there is none the tests say so and pass, except where `CI` is `true`.
//!
//! Bounds. A probability counted over n draws here and m there: 4 standard errors of the difference of two such
//! counts, and 5 draws where it is next to 0 or 1. A score: 4 standard errors of the numpy mean, and 0.001 for the
//! lattice of 1021 points that the program averages over. Seeds are fixed on both sides, so a check never flickers.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helper functions too"
)]
#![expect(
    clippy::print_stdout,
    reason = "a test that did not run must say so where it is read"
)]

mod gates;
mod likeness;
mod recipes;
#[path = "../support/mod.rs"]
mod support;
mod written;

use std::collections::BTreeSet;
use std::io::Write;
use std::process::{Command, Stdio};

use likewear::facade::standing::kernel::{KernelInput, KnownFits, Selection, WithoutTests, fit};
use recipes::{RECIPES, as_numbers};
use serde_json::Value;

const LATTICE: f64 = 0.001;

/// Whether python3 with numpy is there; says so where it is not.
fn numpy_is_there() -> bool {
    let answer = Command::new("python3").args(["-c", "import numpy"]).output();
    let found = answer.is_ok_and(|output| output.status.success());
    if !found {
        println!("NOT RUN: no python3 with numpy on this machine");
        let on_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(!on_ci, "the gate must run the second implementation");
    }
    found
}

/// What numpy answers to each trial.
fn answers(trials: &[Value]) -> Vec<Value> {
    let mut python = Command::new("python3")
        .arg(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/twin/standing.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let question = serde_json::to_vec(trials).unwrap();
    python.stdin.take().unwrap().write_all(&question).unwrap();
    let output = python.wait_with_output().unwrap();
    assert!(output.status.success(), "standing.py failed");
    serde_json::from_slice(&output.stdout).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n.as_f64().unwrap())
        .collect()
}

/// Collects what does not agree.
pub(crate) struct Comparison {
    name: String,
    draws: (f64, f64),
    apart: Vec<String>,
}

impl Comparison {
    fn probability(&mut self, what: &str, ours: f64, theirs: f64) {
        let (n, m) = self.draws;
        let p = (ours * n + theirs * m) / (n + m);
        let bound = 4.0 * (p * (1.0 - p) * (1.0 / n + 1.0 / m)).sqrt() + 5.0 / n.min(m);
        self.expect(what, ours, theirs, bound);
    }

    fn expect(&mut self, what: &str, ours: f64, theirs: f64, bound: f64) {
        // written so that NaN does not pass
        let agrees = (ours - theirs).abs() <= bound;
        if !agrees {
            self.apart.push(format!(
                "{}: {what}: {ours:.4} is not {theirs:.4} within {bound:.4}",
                self.name
            ));
        }
    }

    fn same_front(
        &mut self,
        what: &str,
        ours: Option<usize>,
        theirs: &Value,
        scores: &[f64],
        errors: &[f64],
    ) {
        let theirs = theirs.as_u64().unwrap() as usize;
        let ours = ours.unwrap();
        let bound = 4.0 * errors[ours] + 2.0 * LATTICE;
        if ours != theirs && (scores[ours] - scores[theirs]).abs() > bound {
            self.apart
                .push(format!("{}: {what}: {ours} is in front, not {theirs}", self.name));
        }
    }
}

fn compare(name: &str, input: &KernelInput, theirs: &Value, their_draws: usize) -> Vec<String> {
    let fitted = fit(input, &KnownFits::default()).unwrap();
    let everything = Selection::default();
    let ours = fitted.weigh(&everything).unwrap().ranking();
    let mut comparison = Comparison {
        name: name.to_owned(),
        draws: (input.draws as f64, their_draws as f64),
        apart: Vec::new(),
    };
    let (scores, errors) = (numbers(&theirs["scores"]), numbers(&theirs["score_errors"]));
    let lead_errors = numbers(&theirs["lead_errors"]);
    for (i, p) in numbers(&theirs["p_best"]).into_iter().enumerate() {
        comparison.probability(&format!("P(best) of {i}"), ours.p_best[i], p);
        let bound = 4.0 * errors[i] + LATTICE;
        comparison.expect(&format!("score of {i}"), ours.scores[i], scores[i], bound);
    }
    comparison.same_front(
        "front",
        ours.front_runner,
        &theirs["front_runner"],
        &scores,
        &lead_errors,
    );
    let sets: Vec<WithoutTests> = (0..input.tests.len())
        .map(|k| BTreeSet::from([k]).into())
        .collect();
    let without = fitted.weigh(&everything).unwrap().leave_out(&sets).unwrap();
    for (k, (ours, theirs)) in without
        .iter()
        .zip(theirs["without"].as_array().unwrap())
        .enumerate()
    {
        for (i, p) in numbers(&theirs["p_best"]).into_iter().enumerate() {
            comparison.probability(&format!("P(best) of {i} without {k}"), ours.p_best[i], p);
        }
        let what = format!("front without {k}");
        comparison.same_front(
            &what,
            ours.front_runner,
            &theirs["front_runner"],
            &ours.scores,
            &lead_errors,
        );
    }
    for (k, theirs) in theirs["validity"].as_array().unwrap().iter().enumerate() {
        let ours = fitted.tests()[k].validity();
        for (what, ours) in [
            ("good_over_poor", ours.good_over_poor),
            ("good_over_control", ours.good_over_control),
        ] {
            assert_eq!(ours.is_some(), !theirs[what].is_null(), "{name}: {what} of {k}");
            if let Some(ours) = ours {
                let p = theirs[what].as_f64().unwrap();
                comparison.probability(&format!("{what} in {k}"), ours, p);
            }
        }
    }
    comparison.apart
}

#[test]
fn ten_generated_trials_come_out_as_a_second_implementation_has_them() {
    if !numpy_is_there() {
        return;
    }
    let inputs: Vec<KernelInput> = (0u64..)
        .zip(&RECIPES)
        .map(|(number, recipe)| recipe.trial(100 + number))
        .collect();
    // where open shifts of blocks are conditioned on draw by draw, fewer draws have to do
    let draws = |k: usize| if RECIPES[k].blocks > 1 { 8_000 } else { 20_000 };
    let questions: Vec<Value> = (0..inputs.len())
        .map(|k| as_numbers(RECIPES[k].name, &inputs[k], draws(k)))
        .collect();
    let answers = answers(&questions);
    assert_eq!(answers.len(), RECIPES.len());
    let apart: Vec<String> = (0..inputs.len())
        .flat_map(|k| compare(RECIPES[k].name, &inputs[k], &answers[k], draws(k)))
        .collect();
    assert!(apart.is_empty(), "{}", apart.join("\n"));
}

#[test]
fn written_trials_come_out_as_a_second_implementation_has_them() {
    if !numpy_is_there() {
        return;
    }
    let trials = written::trials();
    let questions: Vec<Value> = trials.iter().map(|trial| trial.numbers.clone()).collect();
    let answers = answers(&questions);
    let apart: Vec<String> = trials
        .iter()
        .zip(&answers)
        .flat_map(|(trial, answer)| trial.apart_from(answer))
        .collect();
    assert!(apart.is_empty(), "{}", apart.join("\n"));
}
