//! `/machines` and `/machines/{slug}`: the target machines, what their contacts come to, and which test methods
//! resemble each of them.

pub(crate) mod computed;
mod editor;
mod form;
mod versions;

use crate::app::{App, FilmOil, MachineView};
use crate::catalogue::{MethodId, Mode};
use crate::charts::{self, Amount};
use crate::contact::scuffing::{FailingStage, PermissibleTemperature};
use crate::prose::standing::per_cent;
use crate::records::{IMPORTANCE_OF_MINOR, IMPORTANCE_OF_SECONDARY, Machine, MachineContact, MachineSlug};
use crate::standing::{ContactSurvey, SPEAKS_ABOVE, SurveyLine};
use crate::units::Unit;
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::machines::computed::Computed;
pub(crate) use crate::web::pages::machines::form::parameter_field;
use crate::web::pages::machines::versions::{VersionLine, version_lines};
use crate::web::preferences::preferences;
use crate::web::question::{Pairs, encoded_step};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Quantities of methods that a contact's table shows at once; the rest unfolds.
const SHOWN_AT_ONCE: usize = 8;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(editor::router())
        .merge(versions::router())
        .route("/machines", get(list_machines))
        .route("/machines/{machine}", get(show_machine))
}

async fn list_machines(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    html(&MachinesPage {
        frame: Frame::new("Machines")
            .of(Section::Machines)
            .showing(app.holds_invented().await?.into()),
        machines: app.machines().await?,
    })
}

async fn show_machine(
    State(app): State<Arc<App>>,
    At(slug): At<MachineSlug>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    html(&MachinePage::new(&find_machine(&app, &slug, &pairs).await?))
}

/// The machine that an address names, in its newest version or in the one that the query names.
pub(crate) async fn find_machine(
    app: &App,
    slug: &MachineSlug,
    pairs: &Pairs,
) -> Result<MachineView, HttpError> {
    let Some((_, asked)) = pairs.0.iter().find(|(field, _)| field == "version") else {
        return app.machine(slug, None).await?.ok_or_else(nothing::<MachineSlug>);
    };
    let version = asked
        .parse::<u32>()
        .map_err(|_| HttpError::not_found("The version of a machine is a whole number."))?;
    let none = || HttpError::not_found("No machine of this name has this version.");
    app.machine(slug, Some(version)).await?.ok_or_else(none)
}

/// Where a machine's page is.
pub(crate) fn href(slug: &MachineSlug) -> String {
    format!("/machines/{}", encoded_step(slug.as_str()))
}

/// `gear mesh 70 %, bearing 30 %`.
pub(crate) fn contacts_and_shares(machine: &Machine) -> String {
    let said = |contact: &MachineContact| format!("{} {}", contact.name, per_cent(contact.share));
    machine.contacts.iter().map(said).collect::<Vec<_>>().join(", ")
}

/// All machines, each with how many trials it has.
#[derive(Template)]
#[template(path = "machines/list.html")]
struct MachinesPage {
    frame: Frame,
    machines: Vec<(Machine, usize)>,
}

/// One machine.
#[derive(Template)]
#[template(path = "machines/show.html")]
struct MachinePage<'a> {
    frame: Frame,
    view: &'a MachineView,
    machine: &'a Machine,
    oil: Vec<Piece>,
    contacts: Vec<ContactBlock<'a>>,
    versions: Vec<VersionLine<'a>>,
    newest: u32,
}

impl<'a> MachinePage<'a> {
    fn new(view: &'a MachineView) -> Self {
        let machine = &view.machine;
        let blocks = machine.contacts.iter().zip(&view.surveys);
        Self {
            frame: Frame::new(machine.name.clone())
                .of(Section::Machines)
                .showing(view.trials.iter().any(|head| head.invented).into()),
            view,
            machine,
            oil: pieces(&oil_words(&view.film_oil)),
            contacts: blocks
                .map(|(contact, survey)| ContactBlock {
                    contact,
                    survey,
                    sums: Computed::of(&contact.preset, view.oil.as_ref(), &survey.terms),
                })
                .collect(),
            versions: version_lines(view),
            newest: view.versions.last().map_or(1, |newest| newest.version),
        }
    }
}

/// Which oil the films are of.
pub(crate) fn oil_words(oil: &FilmOil) -> String {
    match oil {
        FilmOil::KnownGood { blend, title, .. } => {
            format!("{blend}, the known-good oil of the trial “{title}”")
        }
        FilmOil::Usual => "an ISO VG 220 oil (220 and 19 mm²/s at 40 and 100 °C; common practice, no source), because no trial on this machine names a known-good oil of known viscosity".to_string(),
    }
}

/// One contact, what it comes to, and the methods by how much they resemble it.
struct ContactBlock<'a> {
    contact: &'a MachineContact,
    survey: &'a ContactSurvey,
    sums: Computed,
}

impl ContactBlock<'_> {
    fn id(&self) -> String {
        figures::anchor(&self.contact.name)
    }

    fn is_stated(&self) -> bool {
        self.contact.preset.word() == "stated"
    }

    /// What is shown at once, and what unfolds.
    fn lines(&self) -> (&[SurveyLine], &[SurveyLine]) {
        let lines = &self.survey.lines;
        lines.split_at(lines.len().min(SHOWN_AT_ONCE))
    }

    /// Failure modes by how much they matter; a rank without modes is left out.
    fn modes(&self) -> Vec<(String, String)> {
        let secondary = figures::figure(IMPORTANCE_OF_SECONDARY);
        let minor = figures::figure(IMPORTANCE_OF_MINOR);
        [
            (
                "main failure modes (importance 1)".to_string(),
                &self.contact.main_modes,
            ),
            (format!("secondary ({secondary})"), &self.contact.secondary_modes),
            (format!("minor ({minor})"), &self.contact.minor_modes),
        ]
        .into_iter()
        .filter(|(_, modes)| !modes.is_empty())
        .map(|(rank, modes)| (rank, modes_words(modes)))
        .collect()
    }

    /// What the table says in one sentence: the most alike of those that score something that matters here.
    fn finding(&self) -> String {
        let mut of_method: BTreeMap<&MethodId, &SurveyLine> = BTreeMap::new();
        for line in self.survey.lines.iter().filter(|line| line.relevance > 0.0) {
            of_method.entry(&line.key.method).or_insert(line);
        }
        let value = |line: &SurveyLine| line.resemblance.value.unwrap_or(-1.0);
        let nearest = of_method.values().max_by(|a, b| value(a).total_cmp(&value(b)));
        let Some(nearest) = nearest else {
            return "No method scores a failure mode of this contact.".to_string();
        };
        let name = format!("{} ({})", nearest.title, nearest.standard);
        let resemblance = figures::position(value(nearest).max(0.0));
        if value(nearest) > SPEAKS_ABOVE {
            format!(
                "Of the methods that score a failure mode of this contact, {name} resembles it most, at {resemblance}."
            )
        } else {
            format!(
                "No method that scores a failure mode of this contact resembles it above {}; the nearest is {name}, at {resemblance}.",
                figures::figure(SPEAKS_ABOVE)
            )
        }
    }
}

/// `scuffing, wear`.
pub(crate) fn modes_words(modes: &[Mode]) -> String {
    modes
        .iter()
        .map(|mode| mode.word())
        .collect::<Vec<_>>()
        .join(", ")
}

fn beyond(line: &SurveyLine) -> String {
    let beyond = line.resemblance.beyond.iter().map(|beyond| beyond.word());
    beyond.collect::<Vec<_>>().join(", ")
}

/// `12`, `> 12` where that stage was passed.
fn stage(stage: &FailingStage) -> String {
    let number = figures::figure(stage.stage());
    match stage {
        FailingStage::Failed(_) => number,
        FailingStage::Passed(_) => format!("> {number}"),
    }
}

/// `208 (152 to 281)`, `at least 366 (281 and up)`, whole degrees of what the reader wants.
fn permissible(temperature: &Option<PermissibleTemperature>) -> String {
    let Some(it) = temperature else {
        return "viscosity not known".to_string();
    };
    let whole = |temperature_c: f64| {
        let shown = preferences().in_unit(Unit::DegreeCelsius);
        shown.shown().fixed(shown.value(temperature_c), 0)
    };
    let at_least = if it.is_at_least { "at least " } else { "" };
    let up_to = it.high_c.map(|high| format!("to {}", whole(high)));
    let up_to = up_to.unwrap_or_else(|| "and up".to_string());
    format!("{at_least}{} ({} {up_to})", whole(it.at_stage_c), whole(it.low_c))
}
