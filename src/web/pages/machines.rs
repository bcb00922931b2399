//! `/machines` and `/machines/{slug}`: the target machines, what their contacts come to, and which test methods
//! resemble each of them.

mod scuffing;

use crate::catalogue::Mode;
use crate::charts::{Amount, Svg, weight_bar};
use crate::contact::terms::ContactTerms;
use crate::desk::words::per_cent;
use crate::desk::{Desk, FilmOil, MachineView, drawing_of_preset};
use crate::records::{Machine, MachineContact, MachineSlug};
use crate::resemblance::Term;
use crate::standing::{ContactSurvey, SurveyLine};
use crate::units::Interval;
use crate::web::contact_view::DrawingView;
use crate::web::error::{AppError, html};
use crate::web::frame::{Frame, Section};
use crate::web::question::encoded_step;
use crate::web::words;
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

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new()
        .route("/machines", get(list_machines))
        .route("/machines/{machine}", get(show_machine))
}

async fn list_machines(State(desk): State<Arc<Desk>>) -> Result<Response, AppError> {
    let mut page = MachinesPage::new(&desk.machines().await?);
    page.frame = page.frame.showing(desk.holds_invented().await?.into());
    html(&page)
}

async fn show_machine(
    State(desk): State<Arc<Desk>>,
    slug: Result<Path<String>, PathRejection>,
) -> Result<Response, AppError> {
    html(&MachinePage::new(&find_machine(&desk, slug).await?))
}

/// The machine that an address names.
pub(crate) async fn find_machine(
    desk: &Desk,
    slug: Result<Path<String>, PathRejection>,
) -> Result<MachineView, AppError> {
    let none = || AppError::not_found("No machine has this name.");
    let slug = slug.ok().and_then(|Path(slug)| MachineSlug::new(&slug));
    desk.machine(&slug.ok_or_else(none)?).await?.ok_or_else(none)
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
            trials: words::count(*trials, "trial"),
        };
        Self {
            frame: Frame::new("Machines").of(Section::Machines),
            machines: machines.iter().map(line).collect(),
        }
    }
}

/// One of the ten terms of a contact.
struct TermRow {
    term: &'static str,
    label: &'static str,
    value: String,
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
    modes: Vec<(&'static str, String)>,
    terms: Vec<TermRow>,
    problem: String,
    marks: Vec<String>,
    inputs: Vec<(&'static str, String)>,
    computed: Vec<(&'static str, String)>,
    drawing: DrawingView,
    finding: String,
    first: Vec<MethodRow>,
    rest: Vec<MethodRow>,
}

struct TrialLine {
    href: String,
    title: String,
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
    oil: String,
    oil_href: String,
    contacts: Vec<ContactBlock>,
    without_contact: Vec<(String, String)>,
    scuffing: Vec<ScuffingRow>,
    trials: Vec<TrialLine>,
}

impl MachinePage {
    fn new(view: &MachineView) -> Self {
        let machine = &view.machine;
        let blocks = machine.contacts.iter().zip(&view.surveys);
        let (oil, oil_href) = match &view.film_oil {
            FilmOil::KnownGood { blend, trial } => (
                format!("{blend}, the known-good oil of the trial {trial}"),
                format!("/blends/{}", encoded_step(blend.as_str())),
            ),
            FilmOil::Usual => (
                "an ISO VG 220 oil (220 and 19 mm²/s at 40 and 100 °C; common practice, no source), because no trial on this machine names a known-good oil of known viscosity".to_string(),
                String::new(),
            ),
        };
        let trials = view.trials.iter().map(|head| TrialLine {
            href: format!("/trials/{}", encoded_step(head.trial.as_str())),
            title: head.title.clone(),
            status: head.status.word(),
            opened: words::date(head.opened_on),
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
            oil,
            oil_href,
            contacts: blocks
                .map(|(contact, survey)| block(contact, survey, view))
                .collect(),
            without_contact: without_contact
                .map(|(id, title)| (format!("/methods/{}", encoded_step(id)), title.clone()))
                .collect(),
            scuffing: view.scuffing.iter().map(ScuffingRow::new).collect(),
            trials: trials.collect(),
        }
    }
}

fn block(contact: &MachineContact, survey: &ContactSurvey, view: &MachineView) -> ContactBlock {
    let (terms, problem, marks) = match &survey.terms {
        Ok(terms) => (term_rows(terms), String::new(), terms.notes.clone()),
        Err(problem) => (Vec::new(), problem.clone(), Vec::new()),
    };
    let is_stated = contact.preset.word() == "stated";
    let computed = if is_stated {
        Vec::new()
    } else {
        contact.preset.computed(view.oil.as_ref()).unwrap_or_default()
    };
    let mut rows: Vec<MethodRow> = survey.lines.iter().map(method_row).collect();
    let rest = rows.split_off(rows.len().min(SHOWN_AT_ONCE));
    ContactBlock {
        id: words::anchor(&contact.name),
        name: contact.name.clone(),
        share: per_cent(contact.share),
        preset: contact.preset.word(),
        is_stated,
        modes: modes(contact),
        terms,
        problem,
        marks,
        inputs: if is_stated {
            Vec::new()
        } else {
            contact.preset.inputs()
        },
        computed: computed
            .into_iter()
            .map(|(label, range, unit)| {
                let unit = if unit == "-" { "" } else { unit };
                (
                    label,
                    format!("{} {unit}", words::range(range, 1.0)).trim().to_string(),
                )
            })
            .collect(),
        drawing: DrawingView::new(
            drawing_of_preset(&contact.preset),
            "at the severe end of the duty",
        ),
        finding: finding(survey),
        first: rows,
        rest,
    }
}

/// Failure modes by how much they matter; a rank without modes is left out.
fn modes(contact: &MachineContact) -> Vec<(&'static str, String)> {
    let list = |modes: &[Mode]| {
        modes
            .iter()
            .map(|mode| mode.word())
            .collect::<Vec<_>>()
            .join(", ")
    };
    [
        ("main failure modes (importance 1)", list(&contact.main_modes)),
        ("secondary (0.6)", list(&contact.secondary_modes)),
        ("minor (0.3)", list(&contact.minor_modes)),
    ]
    .into_iter()
    .filter(|(_, modes)| !modes.is_empty())
    .collect()
}

/// `0.7 to 1.5 GPa`, `8 to 47 MPa`.
fn pressure(range: Interval) -> String {
    if range.hi() >= 0.1e9 {
        format!("{} GPa", words::range(range, 1e9))
    } else {
        format!("{} MPa", words::range(range, 1e6))
    }
}

/// The ten terms in trade units; what is not known says so.
fn term_rows(terms: &ContactTerms) -> Vec<TermRow> {
    let plain = |range: Option<Interval>, unit: &str| {
        range.map(|range| format!("{} {unit}", words::range(range, 1.0)).trim().to_string())
    };
    let value = |term: Term| match term {
        Term::Pressure => {
            let mean = terms
                .mean_pressure_pa
                .map(|mean| format!("mean {}", pressure(mean)));
            let both = [terms.max_pressure_pa.map(pressure), mean];
            Some(both.into_iter().flatten().collect::<Vec<_>>().join("; ")).filter(|text| !text.is_empty())
        }
        Term::Sliding => plain(terms.sliding_m_s, "m/s"),
        Term::SlideRoll => plain(terms.slide_roll, ""),
        Term::Shape => terms.shape.map(|shape| match terms.ellipticity {
            Some(ratio) => format!(
                "{}, longer over shorter axis {}",
                shape.word(),
                words::range(ratio, 1.0)
            ),
            None => shape.word().to_string(),
        }),
        Term::Motion => terms.motion.map(|motion| motion.word().to_string()),
        Term::ContactTemperature => {
            let bulk = terms
                .bulk_temperature_c
                .map(|bulk| format!("bulk {}", words::range(bulk, 1.0)));
            let contact = terms.contact_temperature_c.map(|range| words::range(range, 1.0));
            let both: Vec<String> = [contact, bulk]
                .into_iter()
                .flatten()
                .map(|t| format!("{t} °C"))
                .collect();
            Some(both.join("; ")).filter(|text| !text.is_empty())
        }
        Term::FilmRatio => plain(terms.film_ratio, ""),
        Term::Materials => terms.materials.map(|materials| materials.word().to_string()),
        Term::TimeInContact => terms
            .time_share
            .map(|share| format!("{} %", words::range(share, 0.01))),
        Term::Supply => terms.supply.map(|supply| supply.word().to_string()),
    };
    let row = |term: Term| TermRow {
        term: term.word(),
        label: term.label(),
        value: value(term).unwrap_or_else(|| "not known".to_string()),
    };
    Term::ALL.into_iter().map(row).collect()
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
            .map_or_else(|| "unknown".to_string(), words::position),
        relevance: words::position(line.relevance),
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
        Some(line) if value(line) > 0.4 => format!(
            "Of the methods that score a failure mode of this contact, {} ({}) resembles it most, at {}.",
            line.title,
            line.standard,
            words::position(value(line))
        ),
        Some(line) => format!(
            "No method that scores a failure mode of this contact resembles it above 0.4; the nearest is {} ({}), at {}.",
            line.title,
            line.standard,
            words::position(value(line).max(0.0))
        ),
        None => "No method scores a failure mode of this contact.".to_string(),
    }
}
