//! `/api/methods`, `/api/methods/{id}`.

use crate::app::App;
use crate::catalogue::{Bounds, Condition, Method, MethodContact, MethodId, NamedContact, Quantity, Sourced};
use crate::prose::faults::words_left_out;
use crate::units::Interval;
use crate::web::address::At;
use crate::web::contact_view::picture_of_contact;
use crate::web::error::HttpError;
use crate::web::pages::methods::{FILM_OIL, find_method, step_pressures};
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde::Serialize;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/methods", get(list_methods))
        .route("/api/methods/{id}", get(show_method))
}

#[derive(Serialize)]
struct ListJson {
    total: usize,
    methods: Vec<LineJson>,
}

#[derive(Serialize)]
struct LineJson {
    method: MethodId,
    title: String,
    standard: String,
    lubricant: &'static str,
    category: &'static str,
    quantities: Vec<String>,
}

async fn list_methods(State(app): State<Arc<App>>) -> Result<Json<ListJson>, HttpError> {
    let methods = app.methods().await?;
    Ok(Json(ListJson {
        total: methods.len(),
        methods: methods.iter().map(line).collect(),
    }))
}

fn line(method: &Method) -> LineJson {
    LineJson {
        method: method.id.clone(),
        title: method.title.clone(),
        standard: method.standard.clone(),
        lubricant: method.lubricant.word(),
        category: method.category.word(),
        quantities: method
            .quantities
            .iter()
            .map(|quantity| quantity.id.clone())
            .collect(),
    }
}

#[derive(Serialize)]
struct MethodJson {
    method: MethodId,
    title: String,
    standard: String,
    standard_title: String,
    lubricant: &'static str,
    category: &'static str,
    apparatus: String,
    contacts: Vec<ContactJson>,
    conditions: Vec<Condition>,
    quantities: Vec<QuantityJson>,
    caution: String,
    safety: String,
    note: String,
    left_out: Vec<String>,
    sources: Vec<Sourced>,
}

#[derive(Serialize)]
struct ContactJson {
    name: String,
    kind: &'static str,
    words: &'static str,
    geometry: Option<serde_json::Value>,
    stated: Option<serde_json::Value>,
    bulk_temperature_c: Option<[f64; 2]>,
    motion: Option<&'static str>,
    materials: Option<&'static str>,
    supply: Option<&'static str>,
}

#[derive(Serialize)]
struct QuantityJson {
    quantity: String,
    label: String,
    unit: &'static str,
    better: &'static str,
    cap: Option<f64>,
    possible: Option<[f64; 2]>,
    usual: Option<[f64; 2]>,
    classes: Vec<String>,
    contacts: Vec<String>,
    modes: Vec<ModeJson>,
    precision: Option<PrecisionJson>,
    precision_note: String,
    steps: Vec<StepJson>,
}

#[derive(Serialize)]
struct ModeJson {
    mode: &'static str,
    strength: f64,
}

#[derive(Serialize)]
struct PrecisionJson {
    kind: &'static str,
    r: f64,
    #[serde(rename = "R")]
    reproducibility: Option<f64>,
    level: Option<f64>,
}

#[derive(Default, Serialize)]
struct StepJson {
    step: Option<f64>,
    load_n: Option<f64>,
    load_per_contact_n: Option<f64>,
    max_pressure_pa: Option<f64>,
    lambda: Option<f64>,
    /// The oil of `lambda`.
    lambda_oil: Option<&'static str>,
}

async fn show_method(
    State(app): State<Arc<App>>,
    At(id): At<MethodId>,
) -> Result<Json<MethodJson>, HttpError> {
    let method = find_method(&app, &id).await?;
    Ok(Json(method_json(&method)?))
}

fn method_json(method: &Method) -> Result<MethodJson, HttpError> {
    let contacts: Result<Vec<_>, _> = method.contacts.iter().map(contact).collect();
    Ok(MethodJson {
        method: method.id.clone(),
        title: method.title.clone(),
        standard: method.standard.clone(),
        standard_title: method.standard_title.clone(),
        lubricant: method.lubricant.word(),
        category: method.category.word(),
        apparatus: method.apparatus.clone(),
        contacts: contacts.map_err(HttpError::inside)?,
        conditions: method.conditions.clone(),
        quantities: method
            .quantities
            .iter()
            .map(|quantity| quantity_json(method, quantity))
            .collect(),
        caution: method.caution.clone(),
        safety: method.safety.clone(),
        note: method.note.clone(),
        left_out: method
            .left_out
            .iter()
            .map(|words| words_left_out(words, method))
            .collect(),
        sources: method.sources.clone(),
    })
}

fn contact(named: &NamedContact) -> Result<ContactJson, serde_json::Error> {
    let words = picture_of_contact(&named.contact).kind.words();
    let name = named.name.clone();
    Ok(match &named.contact {
        MethodContact::Rig {
            element,
            surroundings,
            ..
        } => ContactJson {
            name,
            kind: element.kind(),
            words,
            geometry: Some(serde_json::to_value(element)?),
            stated: None,
            bulk_temperature_c: Some(ends(surroundings.bulk_temperature_c)),
            motion: Some(surroundings.motion.word()),
            materials: Some(surroundings.materials.word()),
            supply: Some(surroundings.supply.word()),
        },
        MethodContact::Stated(stated) => ContactJson {
            name,
            kind: "stated",
            words,
            geometry: None,
            stated: Some(serde_json::to_value(stated)?),
            bulk_temperature_c: stated.temperature_c.map(ends),
            motion: stated.motion.map(|motion| motion.word()),
            materials: stated.materials.map(|materials| materials.word()),
            supply: stated.supply.map(|supply| supply.word()),
        },
    })
}

fn quantity_json(method: &Method, quantity: &Quantity) -> QuantityJson {
    QuantityJson {
        quantity: quantity.id.clone(),
        label: quantity.label.clone(),
        unit: quantity.unit.word(),
        better: quantity.better.word(),
        cap: quantity.scale.cap(),
        possible: Bounds::of(method, quantity, "").possible().map(ends),
        usual: quantity.usual.map(ends),
        classes: quantity.scale.classes().to_vec(),
        contacts: method.names_of(quantity),
        modes: quantity
            .modes
            .iter()
            .map(|(mode, strength)| ModeJson {
                mode: mode.word(),
                strength: *strength,
            })
            .collect(),
        precision: quantity.precision.as_ref().map(|precision| PrecisionJson {
            kind: precision.kind.into(),
            r: precision.repeatability,
            reproducibility: precision.reproducibility,
            level: precision.level,
        }),
        precision_note: quantity.precision_note.clone(),
        steps: steps(method, quantity),
    }
}

fn ends(range: Interval) -> [f64; 2] {
    [range.lo(), range.hi()]
}

/// Steps with load and pressure where they can be computed, else the steps alone.
fn steps(method: &Method, quantity: &Quantity) -> Vec<StepJson> {
    let computed = step_pressures(method, quantity);
    if computed.is_empty() {
        let steps = quantity.scale.steps().iter();
        return steps
            .map(|step| StepJson {
                step: Some(*step),
                ..StepJson::default()
            })
            .collect();
    }
    computed
        .into_iter()
        .map(|row| StepJson {
            step: row.step,
            load_n: row.load_n,
            load_per_contact_n: Some(row.load_per_contact_n),
            max_pressure_pa: Some(row.max_pressure_pa),
            lambda: row.film_ratio,
            lambda_oil: row.film_ratio.map(|_| FILM_OIL),
        })
        .collect()
}
