//! Results, readings, decisions, outcomes.

use crate::catalogue::Value;
use crate::records::{Decision, Outcome, RawReading, ResultStatus, RunResult};
use crate::store::insert::{Connection, Written, text, write_row};

pub(crate) async fn write_result(connection: &mut Connection, r: &RunResult, entered_at: &str) -> Written {
    let (kind, lo, hi, class) = match &r.value {
        Value::Exact(value) => ("exact", Some(*value), Some(*value), None),
        Value::Between { lo, hi } => ("between", Some(*lo), Some(*hi), None),
        Value::Above(lo) => ("above", Some(*lo), None, None),
        Value::Below(hi) => ("below", None, Some(*hi), None),
        Value::Class(class) => ("class", None, None, Some(class.as_str())),
        Value::Stopped => ("stopped", None, None, None),
    };
    let (reason, void_reason) = match r.status {
        ResultStatus::Void => ("", Some(r.reason.as_str())),
        ResultStatus::Valid | ResultStatus::Suspect => (r.reason.as_str(), None),
    };
    let entered_at = if r.entered_at.is_empty() {
        entered_at
    } else {
        &r.entered_at
    };
    write_row!(
        connection,
        "INSERT INTO results (id, trial, blend, method, quantity, value_kind, value_lo, value_hi, value_class, \
         off_ladder, value_as_written, unit_as_written, rig, run_on, replicate, campaign, conditions, purpose, \
         status, reason, source, note, origin, entered_at, supersedes, voided_at, void_reason) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, \
         $22, $23, $24, $25, $26, $27)",
        r.id,
        r.trial.as_str(),
        r.blend.as_str(),
        r.key.method.as_str(),
        r.key.quantity.as_str(),
        kind,
        lo,
        hi,
        class,
        i64::from(r.off_ladder),
        r.value_as_written.as_str(),
        r.unit_as_written.as_str(),
        text(&r.rig),
        text(&r.date),
        i64::from(r.replicate),
        r.campaign.as_str(),
        r.conditions.as_str(),
        r.purpose.word(),
        r.status.word(),
        reason,
        r.source.word(),
        r.note.as_str(),
        r.origin.as_str(),
        entered_at,
        r.supersedes,
        (!r.voided_at.is_empty()).then_some(r.voided_at.as_str()),
        void_reason,
    );
    Ok(())
}

pub(crate) async fn write_reading(connection: &mut Connection, r: &RawReading) -> Written {
    write_row!(
        connection,
        "INSERT INTO readings (trial, blend, method, rig, run_on, replicate, position, kind, value, unit) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
        r.trial.as_str(),
        r.blend.as_str(),
        r.method.as_str(),
        text(&r.rig),
        text(&r.date),
        i64::from(r.replicate),
        r.position.as_str(),
        r.kind.as_str(),
        r.value.as_str(),
        r.unit.as_str(),
    );
    Ok(())
}

pub(crate) async fn write_decision(connection: &mut Connection, d: &Decision) -> Written {
    write_row!(
        connection,
        "INSERT INTO decisions (trial, decided_on, chosen, reason, dissent, acknowledged, snapshot) \
         VALUES ($1, $2, $3, $4, $5, $6, $7)",
        d.trial.as_str(),
        text(&d.date),
        d.chosen.as_str(),
        d.reason.as_str(),
        d.dissent.as_str(),
        d.acknowledged.as_str(),
        d.snapshot.as_str(),
    );
    Ok(())
}

pub(super) async fn write_outcome(connection: &mut Connection, o: &Outcome) -> Written {
    write_row!(
        connection,
        "INSERT INTO outcomes (blend, machine, observed_on, hours, mode, severity, source, note) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
        o.blend.as_str(),
        o.machine.as_str(),
        text(&o.date),
        o.hours,
        text(&o.mode),
        o.severity.word(),
        o.source.as_str(),
        o.note.as_str(),
    );
    Ok(())
}
