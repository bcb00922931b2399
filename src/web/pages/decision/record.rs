//! Decisions as they were signed, and what has changed since, in the words of the page.

use crate::app::{
    Acknowledged, DecisionRecord, DecisionView, EvidenceChange, EvidenceIs, Frozen, FrozenCandidate,
    FrozenCaution, FrozenGate, FrozenStanding, Since, ThenAndNow, newest_decision,
};
use crate::catalogue::MethodId;
use crate::prose::decisions::decided;
use crate::records::{Decision, TestKey, TrialRecords};
use crate::web::figures::{self, Figure};

/// The most characters that are shown of what was frozen in a form that is not read.
const MOST_RAW: usize = 20_000;

/// A decision.
pub(crate) struct DecisionRow {
    pub(crate) heading: String,
    pub(crate) chosen: String,
    pub(crate) signed_by: String,
    pub(crate) reason: Vec<String>,
    pub(crate) next: Vec<String>,
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
    pub(crate) standing: FrozenStanding,
    /// That another one was chosen than the one in front.
    pub(crate) against: String,
    pub(crate) test_labels: Vec<String>,
    pub(crate) gates: Vec<GateCells>,
    pub(crate) made_of: String,
}

/// A gate as it stood, but for what is written as it was kept.
pub(crate) struct GateCells {
    pub(crate) label: String,
    pub(crate) runs: String,
    pub(crate) told_from: String,
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
        heading: dated(decision),
        chosen: decision.chosen.clone(),
        signed_by: decision.signed_by.clone(),
        next: lines(&decision.next),
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

/// `24 November 2026: Scale up K-14`.
fn dated(decision: &Decision) -> String {
    let decided = decided(decision);
    match decision.date {
        Some(_) => format!("{}: {decided}", figures::date(decision.date)),
        None => format!("Without a date: {decided}"),
    }
}

fn lines(text: &str) -> Vec<String> {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.map(ToString::to_string).collect()
}

fn frozen_rows(frozen: &Frozen, chosen: Option<&str>, records: &TrialRecords) -> FrozenRows {
    let standing = &frozen.standing;
    let label = |key: &str| label(key, frozen, records);
    let label_of_gate = |gate: &FrozenGate| {
        let method = gate.method.as_ref().map_or("", MethodId::as_str);
        label(&format!("{method}/{}", gate.quantity))
    };
    let gates = standing.gates.iter();
    FrozenRows {
        against: match (chosen, standing.front_runner.as_deref()) {
            (Some(chosen), Some(front)) if chosen != front => {
                format!("Chosen was {chosen}; in front stood {front}.")
            }
            _ => String::new(),
        },
        test_labels: standing.tests.iter().map(|test| label(&test.key)).collect(),
        gates: gates
            .map(|gate| GateCells {
                label: label_of_gate(gate),
                runs: runs_of_gate(gate),
                told_from: told_from(gate),
            })
            .collect(),
        made_of: made_of(frozen),
        standing: standing.clone(),
    }
}

fn runs_of_gate(gate: &FrozenGate) -> String {
    match (gate.runs.join(", "), gate.unit.as_str()) {
        (runs, _) if runs.is_empty() => gate.results.clone(),
        (runs, "" | "-" | "class" | "rating" | "0-5") => runs,
        (runs, unit) => format!("{runs} {unit}"),
    }
}

/// `mean 5.7, margin 0.37`.
fn told_from(gate: &FrozenGate) -> String {
    let number = |name: &str, number: Option<f64>| Some(format!("{name} {}", figures::figure(number?)));
    let parts = [number("mean", gate.mean), number("margin", gate.margin)];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
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

/// `Frozen 24 November 2026, 09:12 UTC by engine 0.2.0 from 143 results, machine version 2, 20000 draws, seed 7.`
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
    parts.extend(
        frozen
            .draws
            .map(|draws| format!("{} draws", figures::whole(draws as usize))),
    );
    parts.extend(frozen.seed.map(|seed| format!("seed {seed}")));
    let when = match frozen.signed_at() {
        "" => String::new(),
        at => format!(" {}", figures::moment(at)),
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
    pub(crate) evidence: Vec<EvidenceChange>,
    pub(crate) candidates: Vec<ThenAndNow>,
    pub(crate) cautions_new: Vec<FrozenCaution>,
    pub(crate) cautions_gone: Vec<FrozenCaution>,
    pub(crate) engine: String,
}

impl SinceRows {
    /// The words of what has changed.
    pub(crate) fn new(since: &Since) -> Self {
        let front = |blend: &Option<String>| blend.clone().unwrap_or_else(|| "nobody".to_string());
        let (then, now) = (front(&since.front_then), front(&since.front_now));
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
            evidence: since.evidence.clone().unwrap_or_default(),
            candidates: since.candidates.clone(),
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

/// In which share of draws a candidate ranked first.
pub(crate) fn ranks_first(one: &Option<FrozenCandidate>) -> String {
    let share = one.as_ref().and_then(|one| one.p_best);
    share.map_or_else(|| "not ranked".to_string(), |share| share.of_100())
}

/// The score of a candidate.
pub(crate) fn scores(one: &Option<FrozenCandidate>) -> String {
    let score = one.as_ref().and_then(|one| one.score);
    score.map_or_else(|| "none".to_string(), figures::position)
}

/// What was decided last, and whether the evidence is still the one it was signed on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DecisionLine {
    /// `24 November 2026: Scale up K-14`; empty where nothing was decided.
    pub(crate) words: String,
    pub(crate) has_changed: bool,
}

impl DecisionLine {
    /// The line of a trial.
    pub(crate) fn of(records: &TrialRecords) -> Self {
        let newest = newest_decision(records);
        Self {
            words: newest.map_or_else(String::new, |(decision, _)| dated(decision)),
            has_changed: newest.is_some_and(|(_, evidence)| evidence == EvidenceIs::Changed),
        }
    }
}
