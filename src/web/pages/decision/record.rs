//! Decisions as they were signed, and what has changed since, in the words of the page.

use crate::app::{
    Acknowledged, DecisionRecord, DecisionView, Frozen, FrozenCandidate, FrozenCaution, Since, ThenAndNow,
};
use crate::prose::standing::per_cent;
use crate::records::{TestKey, TrialRecords};
use crate::web::figures;

/// The most characters that are shown of what was frozen in a form that is not read.
const MOST_RAW: usize = 20_000;

/// A decision.
pub(crate) struct DecisionRow {
    pub(crate) heading: String,
    pub(crate) chosen: String,
    pub(crate) reason: Vec<String>,
    pub(crate) dissent: Vec<String>,
    pub(crate) acknowledged: Vec<Acknowledged>,
    /// What was acknowledged in plain words, where no more is kept.
    pub(crate) acknowledged_words: Vec<String>,
    pub(crate) frozen: Option<FrozenRows>,
    /// What was frozen, as it is, where it is not understood.
    pub(crate) raw: String,
}

/// A standing as it was frozen.
pub(crate) struct FrozenRows {
    pub(crate) sentence: String,
    /// That another one was chosen than the one in front.
    pub(crate) against: String,
    pub(crate) candidates: Vec<[String; 6]>,
    pub(crate) tests: Vec<[String; 4]>,
    pub(crate) cautions: Vec<FrozenCaution>,
    pub(crate) gates: Vec<[String; 5]>,
    pub(crate) made_of: String,
}

/// The decisions of a view, the newest first.
pub(crate) fn rows(view: &DecisionView) -> Vec<DecisionRow> {
    let records = &view.comparison.records;
    view.decisions.iter().map(|record| row(record, records)).collect()
}

fn row(record: &DecisionRecord, records: &TrialRecords) -> DecisionRow {
    let decision = &record.decision;
    let signature = record
        .frozen
        .as_ref()
        .and_then(|frozen| frozen.signature.as_ref());
    let acknowledged = signature.map_or_else(Vec::new, |signature| signature.acknowledged.clone());
    DecisionRow {
        heading: match (decision.date, decision.chosen_blend()) {
            (Some(_), Some(blend)) => format!("{}: {blend}", figures::date(decision.date)),
            (Some(_), None) => format!("{}: no blend chosen", figures::date(decision.date)),
            (None, Some(blend)) => format!("Without a date: {blend}"),
            (None, None) => "Without a date: no blend chosen".to_string(),
        },
        chosen: decision.chosen.clone(),
        reason: lines(&decision.reason),
        dissent: lines(&decision.dissent),
        acknowledged_words: if acknowledged.is_empty() {
            lines(&decision.acknowledged)
        } else {
            Vec::new()
        },
        acknowledged,
        raw: match &record.frozen {
            Some(_) => String::new(),
            None => decision.snapshot.chars().take(MOST_RAW).collect(),
        },
        frozen: record
            .frozen
            .as_ref()
            .map(|frozen| frozen_rows(frozen, decision.chosen_blend(), records)),
    }
}

fn lines(text: &str) -> Vec<String> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.map(ToString::to_string).collect()
}

fn frozen_rows(frozen: &Frozen, chosen: Option<&str>, records: &TrialRecords) -> FrozenRows {
    let standing = &frozen.standing;
    FrozenRows {
        sentence: standing.sentence.clone(),
        against: match (chosen, standing.front_runner.as_deref()) {
            (Some(chosen), Some(front)) if chosen != front => {
                format!("Chosen was {chosen}; in front stood {front}.")
            }
            _ => String::new(),
        },
        candidates: standing.candidates.iter().map(candidate).collect(),
        tests: standing
            .tests
            .iter()
            .map(|test| {
                [
                    label(&test.key, frozen, records),
                    number(test.weight),
                    number(test.resemblance),
                    test.excluded.clone().unwrap_or_default(),
                ]
            })
            .collect(),
        cautions: standing.cautions.clone(),
        gates: standing
            .gates
            .iter()
            .map(|gate| {
                [
                    label(&format!("{}/{}", gate.method, gate.quantity), frozen, records),
                    gate.limit.clone(),
                    gate.blend.clone(),
                    gate.results.clone(),
                    gate.outcome.clone(),
                ]
            })
            .collect(),
        made_of: made_of(frozen),
    }
}

fn candidate(candidate: &FrozenCandidate) -> [String; 6] {
    let interval = match (candidate.score_lo, candidate.score_hi) {
        (Some(lo), Some(hi)) => format!("{} to {}", figures::position(lo), figures::position(hi)),
        _ => String::new(),
    };
    [
        candidate.blend.clone(),
        share(candidate.p_best),
        number(candidate.score),
        interval,
        share(candidate.coverage),
        candidate.out.clone().unwrap_or_default(),
    ]
}

fn share(share: Option<f64>) -> String {
    share.map(per_cent).unwrap_or_default()
}

fn number(number: Option<f64>) -> String {
    number.map(figures::position).unwrap_or_default()
}

/// The label of a test as it was frozen; where that cannot be read as the trial has it now, or its key.
fn label(key: &str, frozen: &Frozen, records: &TrialRecords) -> String {
    let words = TestKey::parse(key).and_then(|key| {
        let now = || {
            let (method, quantity) = records.test(&key)?;
            Some(format!("{} ({})", quantity.label, method.standard))
        };
        frozen.test_words(&key).or_else(now)
    });
    words.unwrap_or_else(|| key.to_string())
}

/// `Frozen 2026-11-24 at 09:12 UTC by engine 0.1.0 from 143 results, machine version 2, 20000 draws, seed 7.`
fn made_of(frozen: &Frozen) -> String {
    let mut parts = Vec::new();
    if let Some(results) = frozen.results() {
        parts.push(figures::count(results, "result"));
    }
    parts.extend(
        frozen
            .machine_version()
            .map(|version| format!("machine version {version}")),
    );
    parts.extend(frozen.draws.map(|draws| format!("{draws} draws")));
    parts.extend(frozen.seed.map(|seed| format!("seed {seed}")));
    let when = match frozen.signed_at() {
        "" => String::new(),
        at => format!(" {}", at.replace('T', " at ").replace('Z', " UTC")),
    };
    let engine = match frozen.engine.as_str() {
        "" => "an engine that is not named".to_string(),
        engine => format!("engine {engine}"),
    };
    match parts.as_slice() {
        [] => format!("Frozen{when} by {engine}; what it was computed from is not recorded."),
        parts => format!("Frozen{when} by {engine} from {}.", parts.join(", ")),
    }
}

/// What has changed, in words.
pub(crate) struct SinceRows {
    pub(crate) has_changed: bool,
    pub(crate) heading: &'static str,
    pub(crate) front: String,
    pub(crate) evidence: Vec<[String; 4]>,
    pub(crate) candidates: Vec<[String; 5]>,
    pub(crate) cautions_new: Vec<FrozenCaution>,
    pub(crate) cautions_gone: Vec<FrozenCaution>,
    pub(crate) engine: String,
}

impl SinceRows {
    /// The words of what has changed.
    pub(crate) fn new(since: &Since) -> Self {
        let front = |blend: &Option<String>| blend.clone().unwrap_or_else(|| "nobody".to_string());
        let (then, now) = (front(&since.front_then), front(&since.front_now));
        let evidence = since.evidence.iter().flatten().map(|change| {
            [
                change.kind.words().to_string(),
                change.what.clone(),
                change.then.clone(),
                change.now.clone(),
            ]
        });
        Self {
            has_changed: since.evidence_changed(),
            heading: match &since.evidence {
                None => "What this decision rested on was not frozen: what has changed since cannot be told.",
                Some(changes) if changes.is_empty() => "The evidence is the one this was signed on.",
                Some(_) => "Evidence has changed since.",
            },
            front: if then == now {
                format!("{now} was in front and still is.")
            } else {
                format!("{then} was in front; now {now} is.")
            },
            evidence: evidence.collect(),
            candidates: since.candidates.iter().map(then_and_now).collect(),
            cautions_new: since.cautions_new.clone(),
            cautions_gone: since.cautions_gone.clone(),
            engine: if since.engine_then == since.engine_now {
                String::new()
            } else {
                let then = match since.engine_then.as_str() {
                    "" => "an engine that is not named",
                    engine => engine,
                };
                format!(
                    "Then computed by {then}, now by engine {}: numbers may differ for that reason alone.",
                    since.engine_now
                )
            },
        }
    }
}

fn then_and_now(one: &ThenAndNow) -> [String; 5] {
    let or = |text: String, otherwise: &str| {
        if text.is_empty() {
            otherwise.to_string()
        } else {
            text
        }
    };
    let p_best = |one: &Option<FrozenCandidate>| share(one.as_ref().and_then(|one| one.p_best));
    let score = |one: &Option<FrozenCandidate>| number(one.as_ref().and_then(|one| one.score));
    [
        one.blend.clone(),
        or(p_best(&one.then), "not ranked"),
        or(p_best(&one.now), "not ranked"),
        or(score(&one.then), "none"),
        or(score(&one.now), "none"),
    ]
}
