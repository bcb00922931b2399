//! Generated gates, judged by the program and by the second implementation. All data invented.

use super::{answers, numpy_is_there};
use crate::support::trials::a_against_b;
use crate::support::{TrialBuilder, code};
use likewear::facade::catalogue::Value as Read;
use likewear::facade::records::{OwnQuantity, TestKey};
use likewear::facade::standing::{FitCache, GateStanding, WhatIf, judge};
use likewear::facade::stats::draws::Stream;
use serde_json::{Value, json};
use std::collections::BTreeMap;

const GATES: usize = 400;
const CLASSES: [&str; 5] = ["1a", "1b", "2a", "3b", "4c"];
const RIGS: [(&str, &str); 3] = [("north-1", "north"), ("north-2", "north"), ("south-1", "south")];

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Constant,
    PerCent,
    OnlyRepeatability,
    Replicates,
    Classes,
}

const KINDS: [Kind; 5] = [
    Kind::Constant,
    Kind::PerCent,
    Kind::OnlyRepeatability,
    Kind::Replicates,
    Kind::Classes,
];

/// One gate: what the program is given of it stands in the trial, what python is given here.
struct Generated {
    key: String,
    asked: Value,
    reads: Vec<(String, &'static str, &'static str, Read)>,
}

fn generated(at: usize, random: &mut Stream) -> (OwnQuantity, String, Generated) {
    let kind = KINDS[at % KINDS.len()];
    let pick = |random: &mut Stream, n: usize| ((random.uniform() * n as f64) as usize).min(n - 1);
    let at_most = random.uniform() < 0.5;
    let (limit, sd) = (10.0, 0.4);
    let row = OwnQuantity {
        quantity: "wear".into(),
        label: "Wear".into(),
        unit: if kind == Kind::Classes { "class" } else { "mm" }.into(),
        better: "lower".into(),
        scale: if kind == Kind::Classes {
            "class"
        } else {
            "identity"
        }
        .into(),
        steps: if kind == Kind::Classes {
            CLASSES.join("; ")
        } else {
            String::new()
        },
        plain_number_is: "exact".into(),
        repeatability: match kind {
            Kind::Constant | Kind::OnlyRepeatability => Some(1.1),
            Kind::PerCent => Some(11.0),
            Kind::Replicates | Kind::Classes => None,
        },
        reproducibility: match kind {
            Kind::Constant => Some(2.6),
            Kind::PerCent => Some(26.0),
            _ => None,
        },
        precision_kind: if kind == Kind::PerCent {
            "percent"
        } else {
            "constant"
        }
        .into(),
        mark: "invented".into(),
        ..OwnQuantity::default()
    };
    let mut reads = Vec::new();
    let mut runs = Vec::new();
    let mut replicates: BTreeMap<&str, BTreeMap<String, Vec<f64>>> = BTreeMap::new();
    let truth = limit + 1.2 * random.normal();
    for _ in 0..pick(random, 5) {
        let (rig, laboratory) = RIGS[pick(random, RIGS.len())];
        let reading = truth + sd * random.normal();
        let (read, lo, hi) = match (kind, pick(random, 8)) {
            (Kind::Classes, class) => {
                let class = class.min(CLASSES.len() - 1);
                (Read::Class(CLASSES[class].into()), class as f64, class as f64)
            }
            (_, 0) => (
                Read::Between {
                    lo: reading,
                    hi: reading + 0.5,
                },
                reading,
                reading + 0.5,
            ),
            (_, 1) => (Read::Above(reading), reading, 1e300),
            _ => (Read::Exact(reading), reading, reading),
        };
        if let Read::Exact(reading) = read {
            let of_block = replicates
                .entry("A")
                .or_default()
                .entry(rig.to_string())
                .or_default();
            of_block.push(reading);
        }
        runs.push(json!([laboratory, lo, hi]));
        reads.push(("A".to_string(), rig, laboratory, read));
    }
    let others = if kind == Kind::Replicates {
        ["GOOD", "POOR"].as_slice()
    } else {
        &[]
    };
    for other in others {
        for _ in 0..pick(random, 4) {
            let reading = 3.0 + sd * random.normal();
            let of_block = replicates
                .entry(other)
                .or_default()
                .entry(RIGS[0].0.to_string())
                .or_default();
            of_block.push(reading);
            reads.push((other.to_string(), RIGS[0].0, RIGS[0].1, Read::Exact(reading)));
        }
    }
    let classes = kind == Kind::Classes;
    let limit_text = match (at_most, classes) {
        (true, true) => "<= 1b".to_string(),
        (false, true) => ">= 1b".to_string(),
        (true, false) => format!("<= {limit}"),
        (false, false) => format!(">= {limit}"),
    };
    let asked = json!({
        "at_most": at_most,
        "limit": if classes { 1.0 } else { limit },
        "classes": classes,
        "runs": runs,
        "r": row.repeatability,
        "R": row.reproducibility,
        "percent": kind == Kind::PerCent,
        "replicates": replicates,
    });
    let key = format!("gate{at}/wear");
    (row, limit_text, Generated { key, asked, reads })
}

#[test]
fn generated_gates_come_out_as_a_second_implementation_has_them() {
    if !numpy_is_there() {
        return;
    }
    let mut random = Stream::new(2024, 5);
    let mut trial: TrialBuilder = a_against_b(&["rolling wear"], &[]);
    let mut gates = Vec::new();
    for at in 0..GATES {
        let (row, limit, generated) = generated(at, &mut random);
        trial = trial
            .bench_of(&format!("gate{at}"), row)
            .gate(&generated.key, &limit);
        for (blend, rig, ..) in &generated.reads {
            let any = if generated.asked["classes"] == true {
                "1a"
            } else {
                "1"
            };
            trial = trial.runs_on(blend, &generated.key, &[any], rig, "");
        }
        gates.push(generated);
    }
    let mut records = trial.build();
    let reads = gates.iter().flat_map(|gate| &gate.reads);
    for (result, (_, _, _, read)) in records.results.iter_mut().zip(reads) {
        result.value = read.clone();
    }
    for rig in &mut records.rigs {
        let (_, laboratory) = RIGS.iter().find(|(id, _)| *id == rig.id.as_str()).unwrap();
        rig.lab = (*laboratory).to_string();
    }
    let standing = judge(&records, &WhatIf::default(), &FitCache::default());
    let questions: Vec<Value> = gates.iter().map(|gate| gate.asked.clone()).collect();
    let mut apart = Vec::new();
    let mut outcomes: BTreeMap<&str, usize> = BTreeMap::new();
    for (gate, theirs) in gates.iter().zip(answers(&questions)) {
        let key = TestKey::parse(&gate.key).unwrap();
        let is_it = |one: &&GateStanding| one.key == key && one.blend == code("A");
        let ours = standing.gates.iter().find(is_it).unwrap();
        *outcomes.entry(ours.outcome.word()).or_default() += 1;
        let near = |ours: Option<f64>, theirs: &Value| match (ours, theirs.as_f64()) {
            (Some(ours), Some(theirs)) => (ours - theirs).abs() < 1e-9,
            (ours, theirs) => ours.is_none() && theirs.is_none(),
        };
        let agrees = ours.outcome.word() == theirs["outcome"].as_str().unwrap()
            && near(ours.mean, &theirs["mean"])
            && near(ours.margin, &theirs["margin"]);
        if !agrees {
            apart.push(format!("{}: {ours:?} is not {theirs}", gate.asked));
        }
    }
    assert!(apart.is_empty(), "{}", apart.join("\n"));
    let seen = ["pass", "in doubt", "fail", "not run"].map(|word| outcomes.get(word).copied().unwrap_or(0));
    assert!(
        seen.iter().all(|times| *times >= 20),
        "too few of one outcome: {outcomes:?}"
    );
}
