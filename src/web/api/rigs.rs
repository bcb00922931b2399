//! `/api/rigs`, `/api/rigs/{rig}`. Readings and limits are in the unit that stands beside them.

use crate::app::{App, RigQuantity, RigView};
use crate::prose::reasons::rule;
use crate::records::RigId;
use crate::standing::{ChartPoint, OutOfControlSpan, RigChart, Watch};
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::pages::rigs::find_rig;
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde_json::{Value, json};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/rigs", get(list_rigs))
        .route("/api/rigs/{rig}", get(show_rig))
}

async fn list_rigs(State(app): State<Arc<App>>) -> Result<Json<Value>, HttpError> {
    let rigs = app.rigs().await?;
    let lines = rigs.iter().map(|view| {
        let charts = || view.quantities.iter().filter_map(|one| one.chart.as_ref());
        json!({
            "rig": view.rig.id,
            "name": view.rig.name,
            "lab": view.rig.lab,
            "methods": view.rig.methods,
            "reference_blend": view.rig.reference_blend,
            "results": view.results,
            "charts_with_alarm": charts().filter(|chart| chart.points.iter().any(ChartPoint::is_alarm)).count(),
            "charts_out_of_control": charts().filter(|chart| !chart.spans.is_empty()).count(),
        })
    });
    Ok(Json(
        json!({"total": rigs.len(), "rigs": lines.collect::<Vec<_>>()}),
    ))
}

async fn show_rig(State(app): State<Arc<App>>, At(id): At<RigId>) -> Result<Json<Value>, HttpError> {
    let view = find_rig(&app, &id).await?;
    Ok(Json(rig_json(&view)))
}

fn rig_json(view: &RigView) -> Value {
    json!({
        "rig": view.rig.id,
        "name": view.rig.name,
        "lab": view.rig.lab,
        "methods": view.rig.methods,
        "reference_blend": view.rig.reference_blend,
        "base_from": view.rig.base_period.map(|base| base.from().to_string()),
        "base_to": view.rig.base_period.map(|base| base.to().to_string()),
        "results": view.results,
        "quantities": view.quantities.iter().map(quantity_json).collect::<Vec<_>>(),
    })
}

fn quantity_json(of: &RigQuantity) -> Value {
    json!({
        "key": of.key.to_string(),
        "unit": of.quantity.unit.word(),
        "results": of.results,
        "chart": of.chart.as_ref().map(|chart| chart_json(chart, of)),
        "in_doubt": of.marked.iter().map(|(result, span)| json!({
            "id": result.id,
            "trial": result.trial,
            "blend": result.blend,
            "date": result.date.map(|date| date.to_string()),
            "as_written": result.value_as_written,
            "span": span_json(span),
        })).collect::<Vec<_>>(),
    })
}

fn chart_json(chart: &RigChart, of: &RigQuantity) -> Value {
    let in_unit = |working: f64| of.quantity.scale.from_working(working);
    json!({
        "reference_blend": chart.reference,
        "centre": chart.limits().map(|limits| in_unit(limits.centre)),
        "lower": chart.limits().map(|limits| in_unit(limits.lower())),
        "upper": chart.limits().map(|limits| in_unit(limits.upper())),
        "provisional": chart.limits().map(|limits| limits.provisional),
        "too_few_runs": chart.watch() == Watch::TooFew,
        "level_changed_on": chart.changed_on.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "other_reference_runs": chart.other_runs,
        "left_out": chart.left_out,
        "stretches": chart.stretches.iter().map(|stretch| json!({
            "first": stretch.first,
            "runs": stretch.points,
            "lower": stretch.limits.map(|limits| in_unit(limits.lower())),
            "centre": stretch.limits.map(|limits| in_unit(limits.centre)),
            "upper": stretch.limits.map(|limits| in_unit(limits.upper())),
            "provisional": stretch.limits.map(|limits| limits.provisional),
        })).collect::<Vec<_>>(),
        "points": chart.points.iter().map(|point| json!({
            "date": point.date.to_string(),
            "replicate": point.replicate,
            "value": point.value,
            "weighted_mean": in_unit(point.ewma),
            "alarm": point.is_alarm(),
            "signals": point.signals.iter().map(|one| rule(*one)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "out_of_control": chart.spans.iter().map(span_json).collect::<Vec<_>>(),
    })
}

fn span_json(span: &OutOfControlSpan) -> Value {
    json!({
        "after": span.after.map(|date| date.to_string()),
        "first_alarm": span.first.to_string(),
        "last_alarm": span.last.to_string(),
        "until": span.until.map(|date| date.to_string()),
    })
}
