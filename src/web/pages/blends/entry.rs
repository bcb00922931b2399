//! `/blends/new`: a blend is entered, afresh or as one changed from another. Only "save" writes; every other button
//! shows the same form again.

use crate::app::{App, BlendChoices, BlendDraft, BlendReading, ComponentDraft, MOST_COMPONENTS, today};
use crate::records::{BlendCode, SUM_TOLERANCE_PCT};
use crate::web::error::{HttpError, html, html_as};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::blends::href;
use crate::web::pages::form::{Faults, Field, Shape};
use crate::web::posted::Posted;
use crate::web::question::Pairs;
use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use std::sync::Arc;

/// Names that a list of the form offers at most; any other can be typed.
const LISTED: usize = 500;

pub(super) async fn new_blend_form(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let choices = app.blend_choices().await?;
    let from = pairs.0.iter().find(|(field, _)| field == "from");
    let draft = match from.map(|(_, code)| code.trim()).filter(|code| !code.is_empty()) {
        None => BlendDraft {
            kind: "oil".to_string(),
            made_on: today().to_string(),
            components: vec![ComponentDraft::default(); 3],
            ..BlendDraft::default()
        },
        Some(code) => {
            let child = BlendCode::new(code).and_then(|code| choices.child_of(&code));
            child.ok_or_else(|| HttpError::not_found("There is no such blend to change another one from."))?
        }
    };
    let reading = choices.read(&draft);
    let faults = Faults::so_far(&reading.faults);
    html(&BlendForm::new(&draft, &choices, &reading, faults))
}

pub(super) async fn create_blend(State(app): State<Arc<App>>, posted: Posted) -> Result<Response, HttpError> {
    let typed = typed(&posted);
    let choices = app.blend_choices().await?;
    let reading = choices.read(&typed);
    let page = |faults: Faults| BlendForm::new(&typed, &choices, &reading, faults);
    if posted.field("do") != "save" {
        return html(&page(Faults::so_far(&reading.faults)));
    }
    let Some((blend, components)) = &reading.blend else {
        let page = page(Faults::all(&reading.faults));
        return html_as(StatusCode::UNPROCESSABLE_ENTITY, &page);
    };
    match app.save_blend(blend, components).await {
        Ok(()) => Ok(Redirect::to(&href(&blend.code)).into_response()),
        Err(error) => {
            let (status, faults) = Faults::of_saving(error)?;
            html_as(status, &page(faults))
        }
    }
}

/// The draft of a form, with one row of components more or less where a button asks for it.
fn typed(posted: &Posted) -> BlendDraft {
    let text = |field: &str| posted.field(field).to_string();
    let count = posted.field("components").parse::<usize>().unwrap_or_default();
    let mut components: Vec<ComponentDraft> = (0..count.min(MOST_COMPONENTS))
        .map(|place| ComponentDraft {
            component: text(&format!("c{place}.component")),
            class: text(&format!("c{place}.class")),
            wt_pct: text(&format!("c{place}.wt_pct")),
        })
        .collect();
    let doing = posted.field("do");
    if doing == "add" && components.len() < MOST_COMPONENTS {
        components.push(ComponentDraft::default());
    }
    let removed = doing
        .strip_prefix("remove.")
        .and_then(|place| place.parse::<usize>().ok());
    if let Some(place) = removed.filter(|place| *place < components.len()) {
        components.remove(place);
    }
    BlendDraft {
        code: text("code"),
        name: text("name"),
        kind: text("kind"),
        made_on: text("made_on"),
        parent: text("parent"),
        change: text("change"),
        kv40: text("kv40"),
        kv100: text("kv100"),
        density15: text("density15"),
        base_oil_kv40: text("base_oil_kv40"),
        base_oil_kv100: text("base_oil_kv100"),
        nlgi: text("nlgi"),
        note: text("note"),
        odd_sum: text("odd_sum"),
        components,
    }
}

/// A component of the form.
struct ComponentRow {
    place: usize,
    fields: Vec<Field>,
}

/// The page.
#[derive(Template)]
#[template(path = "blends/form.html")]
struct BlendForm {
    frame: Frame,
    problem: String,
    head: Vec<Field>,
    numbers: Vec<Field>,
    components: Vec<ComponentRow>,
    components_fault: String,
    sum: String,
    /// How far the sum of the components may be from 100 wt%.
    tolerance: String,
    odd_sum: Field,
    codes: Vec<String>,
    known_components: Vec<(String, String)>,
    classes: Vec<String>,
}

impl BlendForm {
    fn new(draft: &BlendDraft, choices: &BlendChoices, reading: &BlendReading, faults: Faults) -> Self {
        let known = choices.components.iter();
        let mut classes: Vec<String> = known.clone().map(|known| known.class.clone()).collect();
        classes.sort();
        classes.dedup();
        let newest_first = choices.blends.iter().rev().take(LISTED);
        let rows = draft.components.iter().enumerate();
        Self {
            frame: Frame::new("A new blend").of(Section::Blends),
            head: faults.beside(head(draft)),
            numbers: faults.beside(numbers(draft)),
            components: rows
                .map(|(place, row)| ComponentRow {
                    place,
                    fields: faults.beside(component(place, row)),
                })
                .collect(),
            components_fault: faults.of("components"),
            sum: reading
                .sum_wt_pct
                .map(|sum| format!("{} wt%", figures::fixed(sum, 2)))
                .unwrap_or_default(),
            tolerance: figures::figure(SUM_TOLERANCE_PCT),
            odd_sum: Field::choices(
                "If the components do not sum to 100 wt%",
                "odd_sum",
                &draft.odd_sum,
                [
                    ("", "say so before saving"),
                    ("kept", "keep it: a part is not known or not said"),
                ],
            )
            .optional(),
            codes: newest_first.map(|blend| blend.code.to_string()).collect(),
            known_components: known
                .take(LISTED)
                .map(|known| (known.name.to_string(), known.class.clone()))
                .collect(),
            classes,
            problem: faults.problem,
        }
    }
}

fn head(draft: &BlendDraft) -> Vec<Field> {
    let kinds = [
        ("oil", "oil"),
        ("grease", "grease"),
        ("other", "other, such as a control fluid"),
    ];
    vec![
        Field::line("Code", "code", &draft.code)
            .noted("One batch of one formulation; results name it. It stays as it is."),
        Field::line("Name in words", "name", &draft.name).optional(),
        Field::choices("Kind", "kind", &draft.kind, kinds),
        Field::line("Made on", "made_on", &draft.made_on).optional(),
        Field::line("Changed from", "parent", &draft.parent)
            .listed("blend-codes")
            .optional(),
        Field::line("What was changed", "change", &draft.change)
            .noted("Such as: antiwear 0.8 instead of 0.5 wt%.")
            .optional(),
        Field::text("Note", "note", &draft.note),
    ]
}

fn numbers(draft: &BlendDraft) -> Vec<Field> {
    let number = |label: &str, name: &str, typed: &str, unit: &str| {
        Field::line(label, name, typed).in_unit(unit).optional()
    };
    vec![
        number("Viscosity at 40 °C", "kv40", &draft.kv40, "mm²/s"),
        number("Viscosity at 100 °C", "kv100", &draft.kv100, "mm²/s"),
        number("Density at 15 °C", "density15", &draft.density15, "kg/m³"),
        number(
            "Viscosity of a grease's base oil at 40 °C",
            "base_oil_kv40",
            &draft.base_oil_kv40,
            "mm²/s",
        ),
        number(
            "Viscosity of a grease's base oil at 100 °C",
            "base_oil_kv100",
            &draft.base_oil_kv100,
            "mm²/s",
        ),
        number("Consistency of a grease", "nlgi", &draft.nlgi, "NLGI"),
    ]
}

fn component(place: usize, row: &ComponentDraft) -> Vec<Field> {
    let name = |field: &str| format!("c{place}.{field}");
    vec![
        Field::line("Component", name("component"), &row.component).listed("components"),
        Field::line("Class, where it is new", name("class"), &row.class)
            .listed("classes")
            .optional(),
        Field::line("Share", name("wt_pct"), &row.wt_pct).in_unit("wt%"),
    ]
}
