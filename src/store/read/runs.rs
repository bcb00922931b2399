//! Results, readings, decisions, outcomes.

use crate::catalogue::Value;
use crate::records::{
    BlendCode, Decision, MachineSlug, Outcome, OutcomeSeverity, Purpose, RawReading, ResultSource,
    ResultStatus, RigId, RunResult, TestKey, TrialSlug,
};
use crate::store::read::Scope;
use crate::store::read::entities::rows;
use crate::store::row::Stored;
use crate::store::{Problem, StoreError};
use sqlx::SqliteConnection;

type Connection = SqliteConnection;

pub(super) async fn results(
    connection: &mut Connection,
    scope: Scope<'_>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<RunResult>, StoreError> {
    Ok(rows!(
        connection,
        "results",
        problems,
        "SELECT id, trial, blend, method, quantity, value_kind, value_lo, value_hi, value_class, off_ladder, \
         value_as_written, unit_as_written, rig, run_on, replicate, campaign, conditions, purpose, status, reason, \
         source, note, origin, entered_at, supersedes, voided_at, void_reason \
         FROM results WHERE ($1 IS NULL OR trial = $1) \
         AND ($2 IS NULL OR rig = $2 OR supersedes IN (SELECT o.id FROM results o WHERE o.rig = $2)) ORDER BY id",
        [scope.trial(), scope.rig()],
        result
    ))
}

fn result(row: &mut Stored<'_>) -> Result<Option<RunResult>, StoreError> {
    let trial = row.read("trial", TrialSlug::new)?;
    let blend = row.read("blend", BlendCode::new)?;
    let value = value(row)?;
    let rig = row.read_optional("rig", RigId::new)?;
    let date = row.date("run_on")?;
    let replicate = replicate(row)?;
    let purpose = row.read("purpose", Purpose::from_word)?;
    let status = row.read("status", ResultStatus::from_word)?;
    let source = row.read("source", ResultSource::from_word)?;
    let (Some(trial), Some(blend), Some(value), Some(rig)) = (trial, blend, value, rig) else {
        return Ok(None);
    };
    let (Some(date), Some(replicate), Some(purpose)) = (date, replicate, purpose) else {
        return Ok(None);
    };
    let (Some(status), Some(source)) = (status, source) else {
        return Ok(None);
    };
    let reason = match row.optional_text("void_reason")? {
        Some(void_reason) => void_reason,
        None => row.text("reason")?,
    };
    Ok(Some(RunResult {
        id: Some(row.integer("id")?),
        trial,
        blend,
        key: TestKey {
            method: row.text("method")?,
            quantity: row.text("quantity")?,
        },
        value,
        off_ladder: row.is_set("off_ladder")?,
        value_as_written: row.text("value_as_written")?,
        unit_as_written: row.text("unit_as_written")?,
        rig,
        date,
        replicate,
        campaign: row.text("campaign")?,
        conditions: row.text("conditions")?,
        purpose,
        status,
        reason,
        source,
        note: row.text("note")?,
        supersedes: row.optional_integer("supersedes")?,
        entered_at: row.text("entered_at")?,
        voided_at: row.optional_text("voided_at")?.unwrap_or_default(),
        origin: row.text("origin")?,
    }))
}

fn value(row: &mut Stored<'_>) -> Result<Option<Value>, StoreError> {
    let kind = row.text("value_kind")?;
    let (lo, hi) = (row.real("value_lo")?, row.real("value_hi")?);
    let class = row.optional_text("value_class")?;
    let value = match (kind.as_str(), lo, hi, class) {
        ("exact", Some(value), _, None) => Some(Value::Exact(value)),
        ("between", Some(lo), Some(hi), None) => Value::between(lo, hi),
        ("above", Some(lo), None, None) => Some(Value::Above(lo)),
        ("below", None, Some(hi), None) => Some(Value::Below(hi)),
        ("class", None, None, Some(class)) => Some(Value::Class(class)),
        ("stopped", None, None, None) => Some(Value::Stopped),
        _ => None,
    };
    Ok(value.or_else(|| row.refuse("value_kind", &kind, "does not go with the stored bounds")))
}

fn replicate(row: &mut Stored<'_>) -> Result<Option<u32>, StoreError> {
    let stored = row.integer("replicate")?;
    let replicate = u32::try_from(stored).ok().filter(|number| *number >= 1);
    Ok(replicate.or_else(|| row.refuse("replicate", &stored.to_string(), "is not a number of a run")))
}

pub(super) async fn readings(
    connection: &mut Connection,
    problems: &mut Vec<Problem>,
) -> Result<Vec<RawReading>, StoreError> {
    Ok(rows!(
        connection,
        "readings",
        problems,
        "SELECT trial, blend, method, rig, run_on, replicate, position, kind, value, unit FROM readings ORDER BY id",
        [],
        reading
    ))
}

fn reading(row: &mut Stored<'_>) -> Result<Option<RawReading>, StoreError> {
    let trial = row.read("trial", TrialSlug::new)?;
    let blend = row.read("blend", BlendCode::new)?;
    let rig = row.read_optional("rig", RigId::new)?;
    let date = row.date("run_on")?;
    let replicate = replicate(row)?;
    let (Some(trial), Some(blend), Some(rig)) = (trial, blend, rig) else {
        return Ok(None);
    };
    let (Some(date), Some(replicate)) = (date, replicate) else {
        return Ok(None);
    };
    Ok(Some(RawReading {
        trial,
        blend,
        method: row.text("method")?,
        rig,
        date,
        replicate,
        position: row.text("position")?,
        kind: row.text("kind")?,
        value: row.text("value")?,
        unit: row.text("unit")?,
    }))
}

pub(super) async fn decisions(
    connection: &mut Connection,
    scope: Scope<'_>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Decision>, StoreError> {
    Ok(rows!(
        connection,
        "decisions",
        problems,
        "SELECT trial, decided_on, chosen, reason, dissent, acknowledged, snapshot FROM decisions \
         WHERE $1 IS NULL OR trial = $1 ORDER BY id",
        [scope.trial()],
        decision
    ))
}

fn decision(row: &mut Stored<'_>) -> Result<Option<Decision>, StoreError> {
    let trial = row.read("trial", TrialSlug::new)?;
    let date = row.date("decided_on")?;
    let (Some(trial), Some(date)) = (trial, date) else {
        return Ok(None);
    };
    Ok(Some(Decision {
        trial,
        date,
        chosen: row.text("chosen")?,
        reason: row.text("reason")?,
        dissent: row.text("dissent")?,
        acknowledged: row.text("acknowledged")?,
        snapshot: row.text("snapshot")?,
    }))
}

pub(super) async fn outcomes(
    connection: &mut Connection,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Outcome>, StoreError> {
    Ok(rows!(
        connection,
        "outcomes",
        problems,
        "SELECT blend, machine, observed_on, hours, mode, severity, source, note FROM outcomes ORDER BY id",
        [],
        outcome
    ))
}

fn outcome(row: &mut Stored<'_>) -> Result<Option<Outcome>, StoreError> {
    let blend = row.read("blend", BlendCode::new)?;
    let machine = row.read("machine", MachineSlug::new)?;
    let date = row.date("observed_on")?;
    let mode = row.read_optional("mode", |word| word.parse().ok())?;
    let severity = row.read("severity", OutcomeSeverity::from_word)?;
    let (Some(blend), Some(machine), Some(date)) = (blend, machine, date) else {
        return Ok(None);
    };
    let (Some(mode), Some(severity)) = (mode, severity) else {
        return Ok(None);
    };
    Ok(Some(Outcome {
        blend,
        machine,
        date,
        hours: row.real("hours")?,
        mode,
        severity,
        source: row.text("source")?,
        note: row.text("note")?,
    }))
}
