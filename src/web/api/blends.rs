//! `/api/blends`, `/api/blends/{blend}`.

use crate::app::{App, BlendLine, BlendView, Change, Kin, Member, Trajectory};
use crate::records::BlendCode;
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::pages::blends::{find_blend, sight_key};
use crate::web::question::Pairs;
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde_json::{Value, json};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/blends", get(list_blends))
        .route("/api/blends/{blend}", get(show_blend))
}

async fn list_blends(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Json<Value>, HttpError> {
    let blends = app.blends(pairs.field("q").unwrap_or_default()).await?;
    let lines: Vec<Value> = blends.iter().map(line).collect();
    Ok(Json(json!({"total": lines.len(), "blends": lines})))
}

fn line(line: &BlendLine) -> Value {
    let blend = &line.blend;
    json!({
        "blend": blend.code,
        "name": blend.name,
        "kind": blend.kind.word(),
        "made_on": blend.made_on.map(|date| date.to_string()),
        "parent": blend.parent,
        "change": blend.change,
        "trials": line.trials,
    })
}

async fn show_blend(State(app): State<Arc<App>>, At(code): At<BlendCode>) -> Result<Json<Value>, HttpError> {
    Ok(Json(blend_json(&find_blend(&app, &code).await?)))
}

fn blend_json(view: &BlendView) -> Value {
    let blend = &view.blend;
    let parts = blend.composition.iter().zip(&view.classes);
    json!({
        "blend": blend.code,
        "name": blend.name,
        "kind": blend.kind.word(),
        "made_on": blend.made_on.map(|date| date.to_string()),
        "parent": blend.parent,
        "change": blend.change,
        "note": blend.note,
        "kv40_mm2_s": blend.kv40_mm2_s,
        "kv100_mm2_s": blend.kv100_mm2_s,
        "viscosity_index": view.viscosity_index,
        "density15_kg_m3": blend.density15_kg_m3,
        "base_oil_kv40_mm2_s": blend.base_oil_kv40_mm2_s,
        "base_oil_kv100_mm2_s": blend.base_oil_kv100_mm2_s,
        "nlgi": blend.nlgi,
        "composition": parts.map(|((component, share), class)| json!({
            "component": component,
            "class": class,
            "wt_pct": share,
        })).collect::<Vec<_>>(),
        "sum_wt_pct": view.sum_pct,
        "sum_is_off": view.sum_is_off(),
        "family": view.lineage.members.iter().map(|one| member(one, view)).collect::<Vec<_>>(),
        "family_goes_round": view.lineage.goes_round,
        "trajectories": view.trajectories.iter().map(|one| trajectory(one, view)).collect::<Vec<_>>(),
        "family_trials": view.family_trials,
        "trials": view.trials.iter().map(|(head, part)| json!({
            "trial": head.trial,
            "role": part.role.word(),
            "level": part.level.map(|level| level.word()),
        })).collect::<Vec<_>>(),
    })
}

fn code(view: &BlendView, member: usize) -> &BlendCode {
    &view.lineage.members[member].blend.code
}

fn member(member: &Member, view: &BlendView) -> Value {
    json!({
        "blend": member.blend.code,
        "parent": member.parent.map(|parent| code(view, parent)),
        "depth": member.depth,
        "kin": match member.kin {
            Kin::Itself => "itself",
            Kin::Ancestor => "ancestor",
            Kin::Descendant => "descendant",
            Kin::Relative => "relative",
        },
        "change": member.blend.change,
    })
}

fn changes(changes: &[Change]) -> Vec<Value> {
    let list = changes
        .iter()
        .map(|(component, from, to)| json!({"component": component, "from_wt_pct": from, "to_wt_pct": to}));
    list.collect()
}

fn trajectory(of: &Trajectory, view: &BlendView) -> Value {
    json!({
        "trial": of.trial.trial,
        "key": of.key.to_string(),
        "weight": of.weight,
        "unit": of.strip.unit.word(),
        "band": of.strip.band,
        "members": of.stops.iter().map(|stop| json!({
            "blend": code(view, stop.member),
            "position": {"mean": stop.position.mean, "lo": stop.position.lo, "hi": stop.position.hi},
            "estimate": {"value": stop.estimate.value, "capped": stop.estimate.capped, "runs": stop.estimate.runs},
        })).collect::<Vec<_>>(),
        "steps": of.steps.iter().map(|step| json!({
            "from": code(view, step.from),
            "to": code(view, step.to),
            "moved": step.moved,
            "sight": sight_key(step.sight),
            "changes": step.changes.as_deref().map(changes),
        })).collect::<Vec<_>>(),
    })
}
