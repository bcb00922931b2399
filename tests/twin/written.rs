//! Trials as a team writes them down, judged from their records: precision from r, R and the trial's own replicates,
//! severity from the reference oils of each campaign. All data invented.

use likewear::facade::records::TrialRecords;
use likewear::facade::standing::{FitCache, WhatIf, judge};
use serde_json::{Value, json};

use crate::support::{SLOW_ROLLERS, TrialBuilder, code, trial_on};
use crate::{Comparison, LATTICE, numbers};

const DRAWS: usize = 20_000;
const CANDIDATES: [&str; 3] = ["A", "B", "C"];

/// Results of one blend in one test: campaign and readings.
type Runs = &'static [(&'static str, &'static [&'static str])];

/// Blend by blend, the results of one bench on which less wear is better, r 0.1 mm, R 0.2 mm.
type Bench = &'static [(&'static str, Runs)];

const ONE_CAMPAIGN: Bench = &[
    ("GOOD", &[("first", &["0.40", "0.43", "0.38"])]),
    ("POOR", &[("first", &["0.95", "1.02"])]),
    ("A", &[("first", &["0.55", "0.62"])]),
    ("B", &[("first", &["0.58"])]),
    ("C", &[("first", &["0.66", "0.64", "0.61"])]),
];

const TWO_CAMPAIGNS: Bench = &[
    (
        "GOOD",
        &[("first", &["0.40", "0.42"]), ("second", &["0.52", "0.50"])],
    ),
    ("POOR", &[("first", &["0.90"]), ("second", &["1.07", "1.02"])]),
    ("A", &[("first", &["0.62", "0.66"])]),
    ("B", &[("second", &["0.70", "0.73"])]),
    ("C", &[("first", &["0.64"]), ("second", &["0.68"])]),
];

const NO_REFERENCE_IN_THE_THIRD: Bench = &[
    ("GOOD", &[("first", &["0.30"]), ("second", &["0.36"])]),
    ("POOR", &[("first", &["0.80", "0.84"]), ("second", &["0.91"])]),
    ("A", &[("third", &["0.50", "0.52"])]),
    ("B", &[("first", &["0.46"]), ("third", &["0.51"])]),
];

/// A trial, its plain numbers, and how it was judged.
pub(crate) struct Written {
    pub(crate) numbers: Value,
    records: TrialRecords,
}

pub(crate) fn trials() -> Vec<Written> {
    vec![
        written("one campaign", &[ONE_CAMPAIGN, ONE_CAMPAIGN]),
        written(
            "campaigns",
            &[TWO_CAMPAIGNS, NO_REFERENCE_IN_THE_THIRD, ONE_CAMPAIGN],
        ),
    ]
}

fn written(name: &str, benches: &[Bench]) -> Written {
    let mut trial: TrialBuilder = trial_on(SLOW_ROLLERS, &["rolling wear"], &["adhesive wear"])
        .good("GOOD")
        .poor("POOR");
    for blend in CANDIDATES {
        trial = trial.candidate(blend);
    }
    for (k, bench) in benches.iter().enumerate() {
        let id = format!("bench{k}");
        trial = trial.own_bench(&id, ["rolling wear", "adhesive wear"][k % 2]);
        for (blend, runs) in *bench {
            for (campaign, readings) in *runs {
                let (key, rig) = (format!("{id}/wear"), format!("rig-{id}"));
                trial = trial.runs_on(blend, &key, readings, &rig, campaign);
            }
        }
    }
    let records = trial.build();
    let standing = judge(&records, &WhatIf::default(), &FitCache::default());
    let tests: Vec<Value> = (0..benches.len())
        .map(|k| {
            let key = format!("bench{k}/wear");
            let weight = standing.tests.iter().find(|t| t.key.to_string() == key);
            bench_as_numbers(benches[k], &format!("bench{k}"), weight.unwrap().weight)
        })
        .collect();
    let numbers = json!({
        "name": name,
        "seed": 31,
        "draws": DRAWS,
        "head_room": 0.5,
        "concentration": 15.0,
        "tests": tests,
    });
    Written { numbers, records }
}

fn bench_as_numbers(bench: Bench, method: &str, weight: f64) -> Value {
    let campaigns = ["first", "second", "third"];
    let cell = |blend: &str| -> Vec<Value> {
        let found = bench.iter().find(|(name, _)| *name == blend);
        let runs = found.map_or(&[][..], |(_, runs)| *runs);
        let of_campaign = |(campaign, readings): &(&str, &[&str])| -> Vec<Value> {
            let block = campaigns.iter().position(|c| c == campaign).unwrap();
            let read = |text: &&str| text.parse::<f64>().unwrap();
            readings
                .iter()
                .map(read)
                .map(|value| json!(["exact", value, value, block]))
                .collect()
        };
        runs.iter().flat_map(of_campaign).collect()
    };
    json!({
        "method": method,
        "sign": -1.0,
        "r": 0.1,
        "R": 0.2,
        "cap": null,
        "weight": weight,
        "good": cell("GOOD"),
        "poor": cell("POOR"),
        "candidates": CANDIDATES.map(cell),
    })
}

impl Written {
    /// What of its standing does not agree with an answer.
    pub(crate) fn apart_from(&self, answer: &Value) -> Vec<String> {
        let standing = judge(&self.records, &WhatIf::default(), &FitCache::default());
        let mut comparison = Comparison {
            name: self.numbers["name"].as_str().unwrap().to_owned(),
            draws: (standing.draws as f64, DRAWS as f64),
            apart: Vec::new(),
        };
        let (scores, errors) = (numbers(&answer["scores"]), numbers(&answer["score_errors"]));
        for (i, p) in numbers(&answer["p_best"]).into_iter().enumerate() {
            let candidate = standing.candidate(&code(CANDIDATES[i])).unwrap();
            comparison.probability(&format!("P(best) of {i}"), candidate.p_best.unwrap(), p);
            let bound = 4.0 * errors[i] + LATTICE;
            comparison.expect(
                &format!("score of {i}"),
                candidate.score.unwrap(),
                scores[i],
                bound,
            );
        }
        let front = standing.front_runner.unwrap();
        let front = CANDIDATES.iter().position(|blend| code(blend) == front);
        let lead_errors = numbers(&answer["lead_errors"]);
        comparison.same_front("front", front, &answer["front_runner"], &scores, &lead_errors);
        comparison.apart
    }
}
