//! Generated pairs of contacts and generated votes, by the program and by `resemblance.py`. Both compute the same formulas
//! in the same arithmetic, so that they agree but for rounding.

use likewear::facade::catalogue::MethodId;
use likewear::facade::contact::terms::{ContactTerms, Materials, Motion, ShapeClass, Supply};
use likewear::facade::resemblance::{Scales, Scores, Voter, compare, votes};
use likewear::facade::stats::draws::Stream;
use likewear::facade::units::Interval;
use serde_json::{Value, json};
use std::io::Write;
use std::process::{Command, Stdio};

const PAIRS: usize = 400;
const TRIALS: usize = 50;
const ROUNDING: f64 = 1e-9;

/// Numbers from a seeded stream.
struct Numbers(Stream);

impl Numbers {
    fn share(&mut self) -> f64 {
        self.0.uniform()
    }

    /// One of the words of a list, or none.
    fn word<T: std::str::FromStr>(&mut self, words: &[&str]) -> Option<T> {
        let place = (self.share() * (words.len() as f64 + 0.5)) as usize;
        words.get(place).and_then(|word| word.parse().ok())
    }

    /// A range between two values, even on the logarithm, in one of nine cases unknown and in some a point.
    fn range(&mut self, lo: f64, hi: f64) -> Option<Interval> {
        let known = self.share() > 1.0 / 9.0;
        let (a, b) = (self.share(), self.share());
        let at = |share: f64| lo * (hi / lo).powf(share);
        let ends = if b < 0.3 { [at(a), at(a)] } else { [at(a), at(b)] };
        Interval::new(ends[0], ends[1]).filter(|_| known)
    }

    fn contact(&mut self) -> ContactTerms {
        ContactTerms {
            shape: Some(ShapeClass::Line),
            ellipticity: self.range(1.0, 100.0),
            max_pressure_pa: self.range(1e8, 6e9),
            sliding_m_s: self.range(1e-4, 10.0),
            entrainment_m_s: self.range(1e-4, 20.0),
            slide_roll: self.range(0.01, 4.0),
            motion: self.word::<Motion>(Motion::WORDS),
            bulk_temperature_c: self.range(5.0, 120.0),
            contact_temperature_c: self.range(10.0, 500.0),
            film_ratio: self.range(0.01, 20.0),
            materials: self.word::<Materials>(Materials::WORDS),
            time_share: self.range(1e-3, 1.0),
            supply: self.word::<Supply>(Supply::WORDS),
            ..ContactTerms::default()
        }
    }
}

fn as_numbers(terms: &ContactTerms) -> Value {
    let range = |range: Option<Interval>| range.map(|range| [range.lo(), range.hi()]);
    json!({
        "pressure": range(terms.max_pressure_pa), "sliding": range(terms.sliding_m_s),
        "entrainment_speed": range(terms.entrainment_m_s), "slide_roll": range(terms.slide_roll),
        "shape": range(terms.ellipticity), "motion": terms.motion.map(Motion::word),
        "contact": range(terms.contact_temperature_c), "bulk": range(terms.bulk_temperature_c),
        "film_ratio": range(terms.film_ratio), "materials": terms.materials.map(Materials::word),
        "time_in_contact": range(terms.time_share), "supply": terms.supply.map(Supply::word),
    })
}

/// What python answers.
fn answers(asked: &Value) -> Value {
    let root = env!("CARGO_MANIFEST_DIR");
    let mut python = Command::new("python3")
        .arg(format!("{root}/tests/twin/resemblance.py"))
        .arg(format!("{root}/tests/published/term_tables.csv"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let question = serde_json::to_vec(asked).unwrap();
    python.stdin.take().unwrap().write_all(&question).unwrap();
    let output = python.wait_with_output().unwrap();
    assert!(output.status.success(), "resemblance.py failed");
    serde_json::from_slice(&output.stdout).unwrap()
}

const METHODS: [(&str, &str); 5] = [("a", "f"), ("b", "f"), ("c", "f"), ("d", "g"), ("e", "e")];

fn voters<'m>(numbers: &mut Numbers, methods: &'m [(MethodId, &'static str)]) -> Vec<Voter<'m>> {
    let mut voters = Vec::new();
    for (method, family) in methods {
        for _ in 0..1 + (2.0 * numbers.share()) as usize {
            let raw_weight = (1.2 * numbers.share() - 0.2).max(0.0);
            voters.push(Voter {
                method,
                family,
                raw_weight,
            });
        }
    }
    voters
}

#[test]
fn generated_pairs_and_votes_come_out_as_a_second_implementation_has_them() {
    if !crate::numpy_is_there() {
        return;
    }
    let mut numbers = Numbers(Stream::new(11, 5));
    let pairs: Vec<(ContactTerms, ContactTerms, Scores)> = (0..PAIRS)
        .map(|_| {
            let scores = if numbers.share() < 0.3 {
                Scores::Seizure
            } else {
                Scores::OtherModes
            };
            (numbers.contact(), numbers.contact(), scores)
        })
        .collect();
    let methods = METHODS.map(|(id, family)| (MethodId::new(id).unwrap(), family));
    let elections: Vec<Vec<Voter>> = (0..TRIALS).map(|_| voters(&mut numbers, &methods)).collect();
    let asked: Vec<Value> = pairs
        .iter()
        .map(|(test, machine, scores)| {
            let seizure = *scores == Scores::Seizure;
            json!({"test": as_numbers(test), "machine": as_numbers(machine), "seizure": seizure})
        })
        .collect();
    let ballots: Vec<Vec<(&str, &str, f64)>> = elections
        .iter()
        .map(|voters| {
            voters
                .iter()
                .map(|it| (it.method.as_str(), it.family, it.raw_weight))
                .collect()
        })
        .collect();
    let theirs = answers(&json!({"pairs": asked, "votes": ballots}));
    let mut known = 0;
    for ((test, machine, scores), theirs) in pairs.iter().zip(theirs["pairs"].as_array().unwrap()) {
        let ours = compare(test, machine, *scores, &Scales::default());
        let (value, f_term) = (theirs["value"].as_f64(), theirs["f_term"].as_str());
        assert_eq!(ours.value.is_some(), value.is_some(), "{test:?} {machine:?}");
        let Some((ours_value, value)) = ours.value.zip(value) else {
            continue;
        };
        assert!(
            (ours_value - value).abs() < ROUNDING,
            "{ours_value} {value} {test:?} {machine:?}"
        );
        assert_eq!(
            ours.decides_f().map(|term| term.word()),
            f_term,
            "{test:?} {machine:?}"
        );
        known += 1;
    }
    assert!(known > PAIRS / 4, "{known}");
    for (voters, theirs) in elections.iter().zip(theirs["votes"].as_array().unwrap()) {
        for (ours, theirs) in votes(voters).into_iter().zip(crate::numbers(theirs)) {
            assert!((ours - theirs).abs() < ROUNDING, "{ours} {theirs} {voters:?}");
        }
    }
}
