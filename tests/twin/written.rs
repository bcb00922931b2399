//! Trials as a team writes them down, judged from their records: precision from r, R and the trial's own replicates,
//! severity from the reference oils of each block, blocks from the changes of a rig's level. All data invented.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use likewear::facade::records::{BasePeriod, TrialRecords};
use likewear::facade::standing::{FitCache, WhatIf, judge};
use likewear::facade::stats::draws::Stream;
use serde_json::{Value, json};

use crate::support::{SLOW_ROLLERS, TrialBuilder, code, trial_on};
use crate::{Comparison, LATTICE, numbers};

const DRAWS: usize = 20_000;
const CANDIDATES: [&str; 3] = ["A", "B", "C"];
/// Standard deviation of a run, mm: r is 0.1 mm.
const SD: f64 = 0.1 / 2.77;

/// One run on a bench on which less wear is better, r 0.1 mm, R 0.2 mm.
struct Run {
    blend: &'static str,
    rig: &'static str,
    campaign: &'static str,
    /// Days since the first of 2024.
    day: Option<i64>,
    read: String,
}

/// What was run on one bench, and the days in which its rigs are known to be in order.
#[derive(Default)]
struct Bench {
    runs: Vec<Run>,
    base: Option<(i64, i64)>,
}

/// Results of one blend without dates: campaign and readings.
type Undated = &'static [(&'static str, &'static [&'static str])];

fn undated(blends: &'static [(&'static str, Undated)]) -> Bench {
    let mut bench = Bench::default();
    for (blend, campaigns) in blends {
        for (campaign, readings) in *campaigns {
            bench.runs.extend(readings.iter().map(|read| Run {
                blend,
                rig: "one",
                campaign,
                day: None,
                read: (*read).to_string(),
            }));
        }
    }
    bench
}

fn one_campaign() -> Bench {
    undated(&[
        ("GOOD", &[("first", &["0.40", "0.43", "0.38"])]),
        ("POOR", &[("first", &["0.95", "1.02"])]),
        ("A", &[("first", &["0.55", "0.62"])]),
        ("B", &[("first", &["0.58"])]),
        ("C", &[("first", &["0.66", "0.64", "0.61"])]),
    ])
}

fn two_campaigns() -> Bench {
    undated(&[
        (
            "GOOD",
            &[("first", &["0.40", "0.42"]), ("second", &["0.52", "0.50"])],
        ),
        ("POOR", &[("first", &["0.90"]), ("second", &["1.07", "1.02"])]),
        ("A", &[("first", &["0.62", "0.66"])]),
        ("B", &[("second", &["0.70", "0.73"])]),
        ("C", &[("first", &["0.64"]), ("second", &["0.68"])]),
    ])
}

fn no_reference_in_the_third() -> Bench {
    undated(&[
        ("GOOD", &[("first", &["0.30"]), ("second", &["0.36"])]),
        ("POOR", &[("first", &["0.80", "0.84"]), ("second", &["0.91"])]),
        ("A", &[("third", &["0.50", "0.52"])]),
        ("B", &[("first", &["0.46"]), ("third", &["0.51"])]),
    ])
}

/// How the level of a rig goes over 22 weeks.
#[derive(Clone, Copy)]
struct Course {
    /// By how much it rises at a day, mm.
    steps: [(i64, f64); 2],
    /// And every day.
    slope: f64,
    /// Reference runs, one a week, three oils in turn.
    references: i64,
    /// The days that its owner knows to be in order.
    base: Option<(i64, i64)>,
}

const STEADY: Course = Course {
    steps: [(0, 0.0), (0, 0.0)],
    slope: 0.0,
    references: 24,
    base: None,
};

/// A dated bench: two rigs, of which the first takes a course and the second holds its level, a little above. Of B one run
/// falls between a change and the run before it, and one has no date.
fn dated(course: Course, seed: u64) -> Bench {
    let mut random = Stream::new(seed, 3);
    let mut bench = Bench {
        base: course.base,
        ..Bench::default()
    };
    let mut run = |blend, rig, day: Option<i64>, truth: f64| {
        let on = day.unwrap_or(0);
        let steps = course.steps.iter().filter(|(from, _)| on >= *from);
        let level = match rig {
            "one" => steps.map(|(_, by)| by).sum::<f64>() + course.slope * on as f64,
            _ => 0.03,
        };
        bench.runs.push(Run {
            blend,
            rig,
            campaign: if on % 3 == 0 { "even" } else { "odd" },
            day,
            read: format!("{:.4}", truth + level + SD * random.normal()),
        });
    };
    let oils = [("GOOD", 0.40), ("POOR", 1.00), ("MIDDLE", 0.70)];
    for week in 0..course.references {
        let (blend, truth) = oils[(week % 3) as usize];
        run(blend, "one", Some(7 * week), truth);
    }
    for week in 0..4 {
        let (blend, truth) = oils[(week % 2) as usize];
        run(blend, "two", Some(7 * week + 2), truth);
    }
    for (place, blend) in CANDIDATES.into_iter().enumerate() {
        for replicate in 0..2 {
            let day = 20 + 45 * place as i64 + 3 * replicate;
            run(blend, "one", Some(day), 0.62 + 0.02 * place as f64);
        }
    }
    run("B", "one", Some(83), 0.64);
    run("C", "one", None, 0.66);
    run("A", "two", Some(12), 0.62);
    bench
}

/// A trial, its plain numbers, and how it was judged.
pub(crate) struct Written {
    pub(crate) numbers: Value,
    records: TrialRecords,
}

pub(crate) fn trials() -> Vec<Written> {
    let stepped = |by: f64| Course {
        steps: [(84, by), (0, 0.0)],
        ..STEADY
    };
    let twice = Course {
        steps: [(56, 0.2), (112, 0.25)],
        ..STEADY
    };
    let with_base = Course {
        base: Some((112, 160)),
        ..twice
    };
    let few = Course {
        references: 12,
        steps: [(42, -0.3), (0, 0.0)],
        ..STEADY
    };
    let drift = Course {
        slope: 0.002,
        ..STEADY
    };
    vec![
        written("one campaign", &[one_campaign(), one_campaign()]),
        written(
            "campaigns",
            &[two_campaigns(), no_reference_in_the_third(), one_campaign()],
        ),
        written(
            "steps",
            &[
                dated(stepped(0.25), 1),
                dated(stepped(-0.12), 2),
                dated(STEADY, 3),
            ],
        ),
        written("two steps", &[dated(twice, 4), dated(with_base, 5)]),
        written("few runs, and a drift", &[dated(few, 6), dated(drift, 7)]),
    ]
}

fn day(number: i64) -> Date {
    date(2024, 1, 1).checked_add(number.days()).unwrap()
}

fn written(name: &str, benches: &[Bench]) -> Written {
    let mut trial: TrialBuilder = trial_on(SLOW_ROLLERS, &["rolling wear"], &["adhesive wear"])
        .good("GOOD")
        .poor("POOR")
        .middle("MIDDLE");
    for blend in CANDIDATES {
        trial = trial.candidate(blend);
    }
    for (k, bench) in benches.iter().enumerate() {
        let id = format!("bench{k}");
        trial = trial.own_bench(&id, ["rolling wear", "adhesive wear"][k % 2]);
        for run in &bench.runs {
            let (key, rig) = (format!("{id}/wear"), format!("{}-{id}", run.rig));
            trial = trial.runs_on(run.blend, &key, &[run.read.as_str()], &rig, run.campaign);
        }
    }
    let mut records = trial.build();
    let runs = benches.iter().flat_map(|bench| &bench.runs);
    for (result, run) in records.results.iter_mut().zip(runs) {
        result.date = run.day.map(day);
    }
    for (k, bench) in benches.iter().enumerate() {
        let of_bench = |rig: &str| rig.ends_with(&format!("-bench{k}"));
        let (from, to) = bench.base.unzip();
        for rig in records.rigs.iter_mut().filter(|rig| of_bench(rig.id.as_str())) {
            rig.base_period = BasePeriod::between(from.map(day), to.map(day)).unwrap();
        }
    }
    let standing = judge(&records, &WhatIf::default(), &FitCache::default());
    let tests: Vec<Value> = (0..benches.len())
        .map(|k| {
            let key = format!("bench{k}/wear");
            let weight = standing.tests.iter().find(|t| t.key.to_string() == key);
            bench_as_numbers(&benches[k], &format!("bench{k}"), weight.unwrap().weight)
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

/// Each result with its rig, campaign and day in place of a block.
fn bench_as_numbers(bench: &Bench, method: &str, weight: f64) -> Value {
    let cell = |blend: &str| -> Vec<Value> {
        let runs = bench.runs.iter().filter(|run| run.blend == blend);
        let result = |run: &Run| {
            let value: f64 = run.read.parse().unwrap();
            json!(["exact", value, value, [run.rig, run.campaign, run.day]])
        };
        runs.map(result).collect()
    };
    json!({
        "method": method,
        "sign": -1.0,
        "r": 0.1,
        "R": 0.2,
        "base": bench.base,
        "cap": null,
        "weight": weight,
        "good": cell("GOOD"),
        "poor": cell("POOR"),
        "middle": cell("MIDDLE"),
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
