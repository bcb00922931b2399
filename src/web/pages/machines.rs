//! `/machines` and `/machines/{slug}`: the target machines, what their contacts come to, and which test methods
//! resemble each of them.

mod adopt;
pub(crate) mod computed;
mod editor;
pub(crate) mod field;
pub(crate) mod form;
mod scuffing;
pub(crate) mod terms;
mod typed;
mod versions;
mod words;

use crate::app::{App, FilmOil, MachineView};
use crate::catalogue::Mode;
use crate::charts::{Amount, Svg, weight_bar};
use crate::prose::standing::per_cent;
use crate::records::{IMPORTANCE_OF_MINOR, IMPORTANCE_OF_SECONDARY, Machine, MachineContact, MachineSlug};
use crate::standing::SPEAKS_ABOVE;
use crate::standing::{ContactSurvey, SurveyLine};
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::machines::computed::Computed;
pub(crate) use crate::web::pages::machines::form::parameter_field;
use crate::web::pages::machines::versions::Versions;
use crate::web::question::{Pairs, encoded_step};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use scuffing::ScuffingRow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Quantities of methods that a contact's table shows at once; the rest unfolds.
const SHOWN_AT_ONCE: usize = 8;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(editor::router())
        .merge(adopt::router())
        .route("/machines", get(list_machines))
        .route("/machines/{machine}", get(show_machine))
}

async fn list_machines(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    let mut page = MachinesPage::new(&app.machines().await?);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

async fn show_machine(
    State(app): State<Arc<App>>,
    slug: Result<Path<String>, PathRejection>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    html(&MachinePage::new(&find_machine(&app, slug, &pairs).await?))
}

/// The machine that an address names, in its newest version or in the one that the query names.
pub(crate) async fn find_machine(
    app: &App,
    slug: Result<Path<String>, PathRejection>,
    pairs: &Pairs,
) -> Result<MachineView, HttpError> {
    let none = || HttpError::not_found(words::NO_MACHINE_HAS_THIS_NAME);
    let slug = slug
        .ok()
        .and_then(|Path(slug)| MachineSlug::new(&slug))
        .ok_or_else(none)?;
    let asked = pairs.0.iter().find(|(field, _)| field == "version");
    let version = match asked {
        Some((_, text)) => Some(
            text.parse::<u32>()
                .map_err(|_| HttpError::not_found(words::THE_VERSION_OF_A_MACHINE_IS_A_WHOLE))?,
        ),
        None => None,
    };
    let none_such = || match version {
        Some(_) => HttpError::not_found(words::NO_MACHINE_OF_THIS_NAME_HAS_THIS_VERSION),
        None => none(),
    };
    app.machine(&slug, version).await?.ok_or_else(none_such)
}

/// Where a machine's page is.
pub(crate) fn href(slug: &MachineSlug) -> String {
    format!("/machines/{}", encoded_step(slug.as_str()))
}

struct MachineLine {
    slug: String,
    href: String,
    name: String,
    kind: String,
    contacts: String,
    trials: String,
}

/// All machines.
#[derive(Template)]
#[template(path = "machines/list.html")]
pub(crate) struct MachinesPage {
    frame: Frame,
    machines: Vec<MachineLine>,
}

impl MachinesPage {
    fn new(machines: &[(Machine, usize)]) -> Self {
        let line = |(machine, trials): &(Machine, usize)| MachineLine {
            slug: machine.slug.to_string(),
            href: href(&machine.slug),
            name: machine.name.clone(),
            kind: machine.kind.clone(),
            contacts: machine
                .contacts
                .iter()
                .map(|contact| format!("{} {}", contact.name, per_cent(contact.share)))
                .collect::<Vec<_>>()
                .join(", "),
            trials: words::trials(*trials),
        };
        Self {
            frame: Frame::new(words::MACHINES).of(Section::Machines),
            machines: machines.iter().map(line).collect(),
        }
    }
}

struct MethodRow {
    key: String,
    href: String,
    title: String,
    standard: String,
    label: String,
    bar: Svg,
    resemblance: String,
    relevance: String,
    beyond: String,
    extreme: bool,
}

struct ContactBlock {
    id: String,
    name: String,
    share: String,
    preset: &'static str,
    is_stated: bool,
    modes: Vec<(String, String)>,
    sums: Computed,
    inputs: Vec<(&'static str, String)>,
    finding: String,
    first: Vec<MethodRow>,
    rest: Vec<MethodRow>,
}

struct TrialLine {
    href: String,
    title: String,
    version: u32,
    status: &'static str,
    opened: String,
}

/// One machine.
#[derive(Template)]
#[template(path = "machines/show.html")]
pub(crate) struct MachinePage {
    frame: Frame,
    slug: String,
    name: String,
    kind: String,
    note: String,
    caution: String,
    oil: Vec<Piece>,
    oil_href: String,
    contacts: Vec<ContactBlock>,
    without_contact: Vec<(String, String)>,
    scuffing: Vec<ScuffingRow>,
    trials: Vec<TrialLine>,
    versions: Versions,
}

impl MachinePage {
    fn new(view: &MachineView) -> Self {
        let machine = &view.machine;
        let blocks = machine.contacts.iter().zip(&view.surveys);
        let oil_href = match &view.film_oil {
            FilmOil::KnownGood { blend, .. } => format!("/blends/{}", encoded_step(blend.as_str())),
            FilmOil::Usual => String::new(),
        };
        let trials = view.trials.iter().map(|head| TrialLine {
            href: format!("/trials/{}", encoded_step(head.trial.as_str())),
            title: head.title.clone(),
            version: head.machine_version,
            status: head.status.word(),
            opened: figures::date(head.opened_on),
        });
        let without_contact = view.without_contact.iter();
        Self {
            frame: Frame::new(machine.name.clone())
                .of(Section::Machines)
                .showing(view.trials.iter().any(|head| head.invented).into()),
            slug: encoded_step(machine.slug.as_str()),
            name: machine.name.clone(),
            kind: machine.kind.clone(),
            note: machine.note.clone(),
            caution: machine.caution.clone(),
            oil: pieces(&oil_words(&view.film_oil)),
            oil_href,
            contacts: blocks
                .map(|(contact, survey)| block(contact, survey, view))
                .collect(),
            without_contact: without_contact
                .map(|(id, title)| (format!("/methods/{}", encoded_step(id)), title.clone()))
                .collect(),
            scuffing: view.scuffing.iter().map(ScuffingRow::new).collect(),
            trials: trials.collect(),
            versions: Versions::of(view),
        }
    }
}

/// Which oil the films are of.
pub(crate) fn oil_words(oil: &FilmOil) -> String {
    match oil {
        FilmOil::KnownGood { blend, title, .. } => words::known_good_oil_of_trial(blend, title),
        FilmOil::Usual => words::USUAL_OIL_AND_WHY.to_string(),
    }
}

fn block(contact: &MachineContact, survey: &ContactSurvey, view: &MachineView) -> ContactBlock {
    let is_stated = contact.preset.word() == "stated";
    let mut rows: Vec<MethodRow> = survey.lines.iter().map(method_row).collect();
    let rest = rows.split_off(rows.len().min(SHOWN_AT_ONCE));
    ContactBlock {
        id: figures::anchor(&contact.name),
        name: contact.name.clone(),
        share: per_cent(contact.share),
        preset: contact.preset.word(),
        is_stated,
        modes: modes(contact),
        sums: Computed::of(&contact.preset, view.oil.as_ref(), &survey.terms),
        inputs: if is_stated {
            Vec::new()
        } else {
            contact.preset.inputs()
        },
        finding: finding(survey),
        first: rows,
        rest,
    }
}

/// Failure modes by how much they matter; a rank without modes is left out.
fn modes(contact: &MachineContact) -> Vec<(String, String)> {
    let list = |modes: &[Mode]| {
        modes
            .iter()
            .map(|mode| mode.word())
            .collect::<Vec<_>>()
            .join(", ")
    };
    [
        (words::MAIN_MODES.to_string(), list(&contact.main_modes)),
        (
            words::secondary_modes(&figures::figure(IMPORTANCE_OF_SECONDARY)),
            list(&contact.secondary_modes),
        ),
        (
            words::minor_modes(&figures::figure(IMPORTANCE_OF_MINOR)),
            list(&contact.minor_modes),
        ),
    ]
    .into_iter()
    .filter(|(_, modes)| !modes.is_empty())
    .collect()
}

fn method_row(line: &SurveyLine) -> MethodRow {
    let beyond: Vec<&str> = line
        .resemblance
        .beyond
        .iter()
        .map(|beyond| beyond.word())
        .collect();
    MethodRow {
        key: line.key.to_string(),
        href: format!("/methods/{}", encoded_step(&line.key.method)),
        title: line.title.clone(),
        standard: line.standard.clone(),
        label: line.label.clone(),
        bar: weight_bar(Amount::new(line.resemblance.value)),
        resemblance: line
            .resemblance
            .value
            .map_or_else(|| words::UNKNOWN.to_string(), figures::position),
        relevance: figures::position(line.relevance),
        beyond: beyond.join(", "),
        extreme: line.extreme,
    }
}

/// What the table says in one sentence: the most alike of those that score something that matters here.
fn finding(survey: &ContactSurvey) -> String {
    let mut of_method: BTreeMap<&str, &SurveyLine> = BTreeMap::new();
    for line in survey.lines.iter().filter(|line| line.relevance > 0.0) {
        of_method.entry(&line.key.method).or_insert(line);
    }
    let value = |line: &SurveyLine| line.resemblance.value.unwrap_or(-1.0);
    let nearest = of_method.values().max_by(|a, b| value(a).total_cmp(&value(b)));
    match nearest {
        Some(line) if value(line) > SPEAKS_ABOVE => {
            words::method_resembles_it_most(&line.title, &line.standard, &figures::position(value(line)))
        }
        Some(line) => words::no_method_resembles_it(
            &line.title,
            &line.standard,
            &figures::position(value(line).max(0.0)),
            &figures::figure(SPEAKS_ABOVE),
        ),
        None => words::NO_METHOD_SCORES_THIS_CONTACT.to_string(),
    }
}
