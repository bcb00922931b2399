//! `/api/trials` and what stands under `/api/trials/{trial}`.

use crate::app::question::what_if;
use crate::app::{App, DecisionInShort, FacetValue, Hit, TrialLine, TrialQuery};
use crate::catalogue::{MethodId, Value};
use crate::explain::Explanation;
use crate::records::{
    Adoption, Asked, Asks, Decision, RunResult, TrialBlend, TrialRecords, TrialSlug, TrialTest,
};
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::pages::explanation::{TestOfTrial, explained};
use crate::web::question::{Pairs, trial_query};
use crate::wire::{resemblance_json, standing_json};
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/trials", get(list_trials))
        .route("/api/trials/{trial}", get(show_trial))
        .route("/api/trials/{trial}/standing", get(show_standing))
        .route("/api/trials/{trial}/decisions", get(list_decisions))
        .route("/api/trials/{trial}/resemblance", get(show_resemblance))
        .route("/api/trials/{trial}/tests/{method}", get(show_explanation))
}

#[derive(Serialize)]
struct ListJson {
    total: usize,
    trials: Vec<LineJson>,
    facets: BTreeMap<&'static str, Vec<FacetValue>>,
}

#[derive(Serialize)]
struct LineJson {
    trial: String,
    title: String,
    question: String,
    short: Option<String>,
    machine: String,
    status: &'static str,
    opened_on: Option<String>,
    invented: bool,
    leader: Option<String>,
    front_runner: Option<String>,
    p_best: Option<f64>,
    cautions: usize,
    worst: Option<&'static str>,
    decision: Option<DecisionInShort>,
    matched: Vec<String>,
}

async fn list_trials(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Json<ListJson>, HttpError> {
    let query = trial_query(&pairs.0, TrialQuery::default())?;
    let list = app.list_trials(&query).await?;
    let facets = app.facets(&query).await?;
    Ok(Json(ListJson {
        total: list.total,
        trials: list.trials.into_iter().map(line).collect(),
        facets: facets
            .iter()
            .map(|facet| (facet.field, facet.values.clone()))
            .collect(),
    }))
}

fn line(TrialLine { head, summary, hits }: TrialLine) -> LineJson {
    LineJson {
        trial: head.trial.to_string(),
        title: head.title,
        question: head.question,
        short: given(&head.short),
        machine: head.machine.to_string(),
        status: head.status.word(),
        opened_on: head.opened_on.map(|date| date.to_string()),
        invented: head.invented,
        worst: summary.worst.map(|severity| severity.word()),
        decision: summary.decision,
        matched: hits.iter().map(Hit::matched).collect(),
        leader: summary.leader,
        front_runner: summary.front_runner,
        p_best: summary.p_best,
        cautions: summary.cautions,
    }
}

#[derive(Serialize)]
struct TrialJson {
    trial: String,
    title: String,
    question: String,
    short: Option<String>,
    asks: &'static str,
    against: Option<String>,
    margin: Option<f64>,
    machine: String,
    machine_version: u32,
    newest_machine_version: u32,
    machine_adoptions: Vec<Adoption>,
    status: &'static str,
    opened_on: Option<String>,
    closed_on: Option<String>,
    machine_confidence: &'static str,
    invented: bool,
    blends: Vec<BlendJson>,
    methods: Vec<TestJson>,
    results: Vec<ResultJson>,
}

#[derive(Serialize)]
struct BlendJson {
    blend: String,
    name: String,
    role: &'static str,
    level: Option<&'static str>,
}

#[derive(Serialize)]
struct TestJson {
    key: String,
    method: MethodId,
    quantity: String,
    #[serde(rename = "use")]
    used_to: &'static str,
    limit: Option<String>,
    known_good: Option<String>,
    known_poor: Option<String>,
    reason: String,
}

#[derive(Serialize)]
struct ResultJson {
    id: Option<i64>,
    supersedes: Option<i64>,
    superseded_by: Option<i64>,
    blend: String,
    key: String,
    value: ValueJson,
    unit: Option<&'static str>,
    as_written: String,
    rig: Option<String>,
    date: Option<String>,
    replicate: u32,
    campaign: String,
    conditions: String,
    purpose: &'static str,
    status: &'static str,
    reason: String,
    source: &'static str,
    note: String,
    last_passed: Option<String>,
    accepted: Vec<&'static str>,
    entered_at: String,
    voided_at: Option<String>,
    origin: String,
}

/// A value as what it is; `lo` and `hi` are null where it is open.
#[derive(Serialize)]
struct ValueJson {
    kind: &'static str,
    lo: Option<f64>,
    hi: Option<f64>,
    class: Option<String>,
}

async fn show_trial(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
) -> Result<Json<TrialJson>, HttpError> {
    let records = app.records(&trial).await?;
    Ok(Json(trial_json(&records)))
}

fn trial_json(records: &TrialRecords) -> TrialJson {
    let trial = &records.trial;
    let (against, margin) = match trial.asked() {
        Asked::Choose => (None, None),
        Asked::NoWorse { against, margin } => (Some(against.to_string()), Some(margin)),
    };
    TrialJson {
        short: given(&trial.short),
        asks: trial.asks.unwrap_or(Asks::Choose).word(),
        against,
        margin,
        trial: trial.slug.to_string(),
        title: trial.title.clone(),
        question: trial.question.clone(),
        machine: trial.machine.to_string(),
        machine_version: trial.machine_version,
        newest_machine_version: records.newest_machine_version,
        machine_adoptions: trial.adoptions.clone(),
        status: records.status().word(),
        opened_on: trial.opened_on.map(|date| date.to_string()),
        closed_on: trial.closed_on.map(|date| date.to_string()),
        machine_confidence: trial.machine_confidence.word(),
        invented: trial.invented,
        blends: trial.blends.iter().map(|part| blend(part, records)).collect(),
        methods: trial.tests.iter().map(test).collect(),
        results: records.results.iter().map(|run| result(run, records)).collect(),
    }
}

fn blend(part: &TrialBlend, records: &TrialRecords) -> BlendJson {
    BlendJson {
        blend: part.blend.to_string(),
        name: records
            .blend(&part.blend)
            .map(|blend| blend.name.clone())
            .unwrap_or_default(),
        role: part.role.word(),
        level: part.level.map(|level| level.word()),
    }
}

fn test(test: &TrialTest) -> TestJson {
    TestJson {
        key: test.key.to_string(),
        method: test.key.method.clone(),
        quantity: test.key.quantity.clone(),
        used_to: test.used_to.word(),
        limit: given(&test.limit),
        known_good: test.known_good.as_ref().map(ToString::to_string),
        known_poor: test.known_poor.as_ref().map(ToString::to_string),
        reason: test.reason.clone(),
    }
}

fn given(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_string())
}

fn result(run: &RunResult, records: &TrialRecords) -> ResultJson {
    let later = records
        .results
        .iter()
        .find(|other| run.id.is_some() && other.supersedes == run.id);
    ResultJson {
        id: run.id,
        supersedes: run.supersedes,
        superseded_by: later.and_then(|later| later.id),
        blend: run.blend.to_string(),
        key: run.key.to_string(),
        value: value(&run.value),
        unit: records.test(&run.key).map(|(_, quantity)| quantity.unit.word()),
        as_written: format!("{} {}", run.value_as_written, run.unit_as_written)
            .trim()
            .to_string(),
        rig: run.rig.as_ref().map(ToString::to_string),
        date: run.date.map(|date| date.to_string()),
        replicate: run.replicate,
        campaign: run.campaign.clone(),
        conditions: run.conditions.clone(),
        purpose: run.purpose.word(),
        status: run.status.word(),
        reason: run.reason.clone(),
        source: run.source.word(),
        note: run.note.clone(),
        last_passed: given(&run.last_passed),
        accepted: run.accepted.iter().map(|what| what.word()).collect(),
        entered_at: run.entered_at.clone(),
        voided_at: given(&run.voided_at),
        origin: run.origin.clone(),
    }
}

fn value(value: &Value) -> ValueJson {
    let (kind, lo, hi) = match *value {
        Value::Exact(number) => ("exact", Some(number), Some(number)),
        Value::Between { lo, hi } => ("between", Some(lo), Some(hi)),
        Value::Above(number) => ("above", Some(number), None),
        Value::Below(number) => ("below", None, Some(number)),
        Value::Class(_) => ("class", None, None),
        Value::Stopped => ("stopped", None, None),
    };
    ValueJson {
        kind,
        lo,
        hi,
        class: match value {
            Value::Class(class) => Some(class.clone()),
            _ => None,
        },
    }
}

/// A decision with everything that was frozen at its signature.
#[derive(Serialize)]
struct DecisionJson {
    date: Option<String>,
    kind: &'static str,
    chosen: Option<String>,
    signed_by: String,
    review_on: Option<String>,
    next: String,
    reason: String,
    dissent: String,
    acknowledged: String,
    frozen: Option<serde_json::Value>,
}

/// The decisions of a trial, the newest first.
async fn list_decisions(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
) -> Result<Json<serde_json::Value>, HttpError> {
    let records = app.records(&trial).await?;
    let decisions = records.decisions_newest_first();
    let decisions: Vec<DecisionJson> = decisions.into_iter().map(decision).collect();
    Ok(Json(
        serde_json::json!({"trial": records.trial.slug.to_string(), "decisions": decisions}),
    ))
}

fn decision(decision: &Decision) -> DecisionJson {
    DecisionJson {
        date: decision.date.map(|date| date.to_string()),
        kind: decision.decided().word(),
        chosen: decision.blend().map(ToString::to_string),
        signed_by: decision.signed_by.clone(),
        review_on: decision.review_on.map(|date| date.to_string()),
        next: decision.next.clone(),
        reason: decision.reason.clone(),
        dissent: decision.dissent.clone(),
        acknowledged: decision.acknowledged.clone(),
        frozen: serde_json::from_str(&decision.snapshot).ok(),
    }
}

async fn show_standing(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Json<serde_json::Value>, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    let comparison = app.compare(&trial, &asked).await?;
    Ok(Json(standing_json(&comparison)))
}

/// What each term counts, how each test resembles the machine, what that decides.
async fn show_resemblance(
    State(app): State<Arc<App>>,
    At(trial): At<TrialSlug>,
    pairs: Pairs,
) -> Result<Json<serde_json::Value>, HttpError> {
    let asked = what_if(&pairs.0).map_err(HttpError::unusable)?;
    let view = app.resemblance(&trial, &asked).await?;
    Ok(Json(resemblance_json(&view)))
}

/// What the explanation page says.
async fn show_explanation(
    State(app): State<Arc<App>>,
    At(test): At<TestOfTrial>,
    pairs: Pairs,
) -> Result<Json<Explanation>, HttpError> {
    Ok(Json(explained(&app, test, &pairs).await?))
}
