//! `/api/machines`, `/api/machines/{machine}`.

use crate::app::{App, BlendScuffing, FilmOil, MachineView};
use crate::contact::scuffing::PermissibleTemperature;
use crate::contact::terms::ContactTerms;
use crate::prose::machine::machine_changes;
use crate::records::{Machine, MachineContact, MachineSlug};
use crate::standing::{ContactSurvey, SurveyLine};
use crate::units::Interval;
use crate::web::address::At;
use crate::web::error::HttpError;
use crate::web::pages::machines::find_machine;
use crate::web::question::Pairs;
use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde_json::{Value, json};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/machines", get(list_machines))
        .route("/api/machines/{machine}", get(show_machine))
}

async fn list_machines(State(app): State<Arc<App>>) -> Result<Json<Value>, HttpError> {
    let machines = app.machines().await?;
    let lines = machines.iter().map(|(machine, trials)| {
        json!({
            "machine": machine.slug,
            "name": machine.name,
            "kind": machine.kind,
            "contacts": machine.contacts.iter().map(|contact| &contact.name).collect::<Vec<_>>(),
            "trials": trials,
        })
    });
    Ok(Json(
        json!({"total": machines.len(), "machines": lines.collect::<Vec<_>>()}),
    ))
}

async fn show_machine(
    State(app): State<Arc<App>>,
    At(slug): At<MachineSlug>,
    pairs: Pairs,
) -> Result<Json<Value>, HttpError> {
    Ok(Json(machine_json(&find_machine(&app, &slug, &pairs).await?)))
}

fn machine_json(view: &MachineView) -> Value {
    let machine = &view.machine;
    let contacts = machine.contacts.iter().zip(&view.surveys);
    json!({
        "machine": machine.slug,
        "name": machine.name,
        "kind": machine.kind,
        "note": machine.note,
        "caution": machine.caution,
        "version": machine.version,
        "change": machine.change,
        "versions": versions_json(view),
        "film_oil": match &view.film_oil {
            FilmOil::KnownGood { blend, trial, .. } => {
                json!({"blend": blend, "trial": trial})
            }
            FilmOil::Usual => json!({"blend": null, "trial": null, "words": "ISO VG 220"}),
        },
        "contacts": contacts.map(|(contact, survey)| contact_json(contact, survey)).collect::<Vec<_>>(),
        "without_contact": view.without_contact.iter().map(|(id, _)| id).collect::<Vec<_>>(),
        "scuffing": view.scuffing.iter().map(scuffing_json).collect::<Vec<_>>(),
        "trials": view.trials.iter().map(|head| &head.trial).collect::<Vec<_>>(),
    })
}

fn scuffing_json(line: &BlendScuffing) -> Value {
    let temperature = |temperature: Option<PermissibleTemperature>| {
        temperature.map(|it| {
            json!({
                "at_stage_c": it.at_stage_c,
                "is_at_least": it.is_at_least,
                "two_stages_below_c": it.low_c,
                "two_stages_above_c": it.high_c,
            })
        })
    };
    json!({
        "blend": line.blend,
        "runs": line.runs,
        "stage": line.stage.stage(),
        "stage_was_passed": line.stage.is_at_least(),
        "flash_method": temperature(line.flash),
        "integral_method": temperature(line.integral),
    })
}

/// Every version with what it changes and the trials that are judged with it.
fn versions_json(view: &MachineView) -> Vec<Value> {
    let json = |machine: &Machine| {
        let judged = view
            .trials
            .iter()
            .filter(|head| head.machine_version == machine.version);
        let before = view
            .versions
            .iter()
            .find(|earlier| earlier.version + 1 == machine.version);
        let changes = before
            .map(|before| machine_changes(before, machine))
            .unwrap_or_default();
        json!({
            "version": machine.version,
            "change": machine.change,
            "entered_at": machine.entered_at,
            "changes": changes,
            "trials": judged.map(|head| &head.trial).collect::<Vec<_>>(),
        })
    };
    view.versions.iter().map(json).collect()
}

fn contact_json(contact: &MachineContact, survey: &ContactSurvey) -> Value {
    let words = |modes: &[crate::catalogue::Mode]| modes.iter().map(|mode| mode.word()).collect::<Vec<_>>();
    let parameters: Value = serde_json::from_str(&contact.preset.parameters_json()).unwrap_or(Value::Null);
    json!({
        "contact": contact.name,
        "share": contact.share,
        "preset": contact.preset.word(),
        "parameters": parameters,
        "main_modes": words(&contact.main_modes),
        "secondary_modes": words(&contact.secondary_modes),
        "minor_modes": words(&contact.minor_modes),
        "terms": survey.terms.as_ref().ok().map(terms_json),
        "problem": survey.terms.as_ref().err(),
        "marks": survey.terms.iter().flat_map(|terms| &terms.notes).map(|note| note.words()).collect::<Vec<_>>(),
        "methods": survey.lines.iter().map(line_json).collect::<Vec<_>>(),
    })
}

fn both(range: Option<Interval>) -> Option<[f64; 2]> {
    range.map(|range| [range.lo(), range.hi()])
}

fn terms_json(terms: &ContactTerms) -> Value {
    json!({
        "shape": terms.shape.map(|shape| shape.word()),
        "ellipticity": both(terms.ellipticity),
        "max_pressure_pa": both(terms.max_pressure_pa),
        "mean_pressure_pa": both(terms.mean_pressure_pa),
        "sliding_m_s": both(terms.sliding_m_s),
        "slide_roll": both(terms.slide_roll),
        "motion": terms.motion.map(|motion| motion.word()),
        "bulk_temperature_c": both(terms.bulk_temperature_c),
        "contact_temperature_c": both(terms.contact_temperature_c),
        "film_ratio": both(terms.film_ratio),
        "materials": terms.materials.map(|materials| materials.word()),
        "time_share": both(terms.time_share),
        "supply": terms.supply.map(|supply| supply.word()),
        "friction_power_w_m2": both(terms.friction_power_w_m2),
    })
}

fn line_json(line: &SurveyLine) -> Value {
    json!({
        "key": line.key.to_string(),
        "method": line.key.method,
        "quantity": line.key.quantity,
        "resemblance": line.resemblance.value,
        "relevance": line.relevance,
        "beyond": line.resemblance.beyond.iter().map(|beyond| beyond.word()).collect::<Vec<_>>(),
        "extreme": line.extreme,
    })
}
