//! `/blends` and `/blends/{code}`: what a blend is made of, where it comes from, and whether its family is heading the
//! right way.

mod entry;
mod family;

use crate::app::TrialHead;
use crate::app::{App, BlendLine, BlendView, TRIALS_JUDGED};
use crate::records::{Blend, BlendCode, Level, OutcomeSeverity, TrialBlend};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
pub(crate) use crate::web::pages::blends::family::sight_key;
use crate::web::pages::blends::family::{MemberRow, TrajectoryBlock};
use crate::web::question::{Pairs, encoded_step};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

/// Blends that a list shows at most.
const LISTED: usize = 500;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/blends", get(list_blends))
        .route(
            "/blends/new",
            get(entry::new_blend_form).post(entry::create_blend),
        )
        .route("/blends/{blend}", get(show_blend))
}

async fn list_blends(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let words = pairs.field("q").unwrap_or_default();
    let blends = app.blends(words).await?;
    let mut page = BlendsPage::new(words.to_string(), &blends);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

async fn show_blend(State(app): State<Arc<App>>, At(code): At<BlendCode>) -> Result<Response, HttpError> {
    html(&BlendPage::new(&find_blend(&app, &code).await?))
}

/// The blend that an address names.
pub(crate) async fn find_blend(app: &App, code: &BlendCode) -> Result<BlendView, HttpError> {
    app.blend(code).await?.ok_or_else(nothing::<BlendCode>)
}

/// Where a blend's page is.
pub(crate) fn href(code: &BlendCode) -> String {
    format!("/blends/{}", encoded_step(code.as_str()))
}

struct Line {
    code: String,
    href: String,
    name: String,
    kind: &'static str,
    viscosity: String,
    made: String,
    parent: String,
    parent_href: String,
    change: String,
    trials: usize,
}

/// All blends that words leave.
#[derive(Template)]
#[template(path = "blends/list.html")]
pub(crate) struct BlendsPage {
    frame: Frame,
    words: String,
    blends: Vec<Line>,
    total: usize,
}

impl BlendsPage {
    fn new(words: String, blends: &[BlendLine]) -> Self {
        Self {
            frame: Frame::new("Blends").of(Section::Blends),
            words,
            blends: blends.iter().take(LISTED).map(line).collect(),
            total: blends.len(),
        }
    }

    fn heading(&self) -> String {
        let count = figures::count(self.total, "blend");
        let what = if self.words.is_empty() {
            count
        } else {
            format!("{count} with these words")
        };
        if self.total > LISTED {
            format!("{what}; the first {} are shown", LISTED)
        } else {
            what
        }
    }
}

fn line(of: &BlendLine) -> Line {
    let blend = &of.blend;
    let parent = blend.parent.as_ref();
    Line {
        code: blend.code.to_string(),
        href: href(&blend.code),
        name: blend.name.clone(),
        kind: blend.kind.word(),
        viscosity: blend.kv40_mm2_s.map(figures::figure).unwrap_or_default(),
        made: blend
            .made_on
            .map(|date| figures::date(Some(date)))
            .unwrap_or_default(),
        parent: parent.map(ToString::to_string).unwrap_or_default(),
        parent_href: parent.map(href).unwrap_or_default(),
        change: blend.change.clone(),
        trials: of.trials,
    }
}

struct Part {
    component: String,
    class: String,
    share: String,
}

struct TrialRow {
    href: String,
    title: String,
    status: &'static str,
    opened: String,
    role: &'static str,
}

struct OutcomeRow {
    machine_href: String,
    machine: String,
    date: String,
    hours: String,
    what: String,
    severity: &'static str,
    source: String,
    note: String,
}

/// One blend.
#[derive(Template)]
#[template(path = "blends/show.html")]
pub(crate) struct BlendPage {
    frame: Frame,
    slug: String,
    code: String,
    name: String,
    kind: &'static str,
    note: String,
    facts: Vec<(&'static str, &'static str, String)>,
    parts: Vec<Part>,
    sum: String,
    sum_is_off: bool,
    members: Vec<MemberRow>,
    goes_round: bool,
    trajectories: Vec<TrajectoryBlock>,
    left_out: String,
    trials: Vec<TrialRow>,
    outcomes: Vec<OutcomeRow>,
}

impl BlendPage {
    fn new(view: &BlendView) -> Self {
        let blend = &view.blend;
        let parts = blend.composition.iter().zip(&view.classes);
        Self {
            frame: Frame::new(format!("Blend {}", blend.code))
                .of(Section::Blends)
                .showing(shows_invented(view).into()),
            slug: encoded_step(blend.code.as_str()),
            code: blend.code.to_string(),
            name: if blend.name == blend.code.as_str() {
                String::new()
            } else {
                blend.name.clone()
            },
            kind: blend.kind.word(),
            note: blend.note.clone(),
            facts: facts(blend, view.viscosity_index),
            parts: parts
                .map(|((component, share), class)| Part {
                    component: component.to_string(),
                    class: class.clone(),
                    share: figures::weight_per_cent(*share),
                })
                .collect(),
            sum: view.sum_pct.map(|sum| figures::fixed(sum, 2)).unwrap_or_default(),
            sum_is_off: view.sum_is_off(),
            members: family::members(&view.lineage),
            goes_round: view.lineage.goes_round,
            trajectories: family::trajectories(view),
            left_out: if view.family_trials > TRIALS_JUDGED {
                format!(
                    "The family is in {} trials; the latest {} are shown.",
                    view.family_trials, TRIALS_JUDGED
                )
            } else {
                String::new()
            },
            trials: view.trials.iter().map(trial_row).collect(),
            outcomes: view.outcomes.iter().map(outcome_row).collect(),
        }
    }
}

/// Whether a trial behind the page is invented.
fn shows_invented(view: &BlendView) -> bool {
    let own = view.trials.iter().map(|(head, _)| head);
    let family = view.trajectories.iter().map(|one| &one.trial);
    own.chain(family).any(|head| head.invented)
}

/// Key, label and value of what is known.
fn facts(blend: &Blend, index: Option<f64>) -> Vec<(&'static str, &'static str, String)> {
    let with = |value: Option<f64>, unit: &str| {
        value.map(|value| format!("{} {unit}", figures::figure(value)).trim().to_string())
    };
    let list = [
        (
            "made_on",
            "made on",
            blend.made_on.map(|date| figures::date(Some(date))),
        ),
        ("kv40", "viscosity at 40 °C", with(blend.kv40_mm2_s, "mm²/s")),
        ("kv100", "viscosity at 100 °C", with(blend.kv100_mm2_s, "mm²/s")),
        (
            "vi",
            "viscosity index, ASTM D2270, computed",
            index.map(|index| format!("{index:.0}")),
        ),
        (
            "density15",
            "density at 15 °C",
            with(blend.density15_kg_m3, "kg/m³"),
        ),
        (
            "base_oil_kv40",
            "viscosity of the base oil at 40 °C",
            with(blend.base_oil_kv40_mm2_s, "mm²/s"),
        ),
        (
            "nlgi",
            "consistency number",
            Some(blend.nlgi.clone()).filter(|text| !text.is_empty()),
        ),
    ];
    list.into_iter()
        .filter_map(|(key, label, value)| Some((key, label, value?)))
        .collect()
}

/// `candidate`, `reference oil, known good`, `control fluid`.
pub(crate) fn role_words(part: &TrialBlend) -> &'static str {
    use crate::records::Role;
    match (part.role, part.level) {
        (Role::Candidate, _) => "candidate",
        (Role::Control, _) => "control fluid",
        (Role::Reference, None) => "reference oil",
        (Role::Reference, Some(Level::KnownGood)) => "reference oil, known good",
        (Role::Reference, Some(Level::KnownMiddle)) => "reference oil, known middle",
        (Role::Reference, Some(Level::KnownPoor)) => "reference oil, known poor",
    }
}

fn trial_row((head, part): &(TrialHead, TrialBlend)) -> TrialRow {
    TrialRow {
        href: format!("/trials/{}", encoded_step(head.trial.as_str())),
        title: head.title.clone(),
        status: head.status.word(),
        opened: figures::date(head.opened_on),
        role: role_words(part),
    }
}

fn outcome_row(outcome: &crate::records::Outcome) -> OutcomeRow {
    OutcomeRow {
        machine_href: crate::web::pages::machines::href(&outcome.machine),
        machine: outcome.machine.to_string(),
        date: figures::date(outcome.date),
        hours: outcome.hours.map(figures::figure).unwrap_or_default(),
        what: outcome
            .mode
            .map(|mode| mode.word().to_string())
            .unwrap_or_default(),
        severity: match outcome.severity {
            OutcomeSeverity::None => "none",
            OutcomeSeverity::Slight => "slight",
            OutcomeSeverity::Failure => "failure",
        },
        source: outcome.source.clone(),
        note: outcome.note.clone(),
    }
}
