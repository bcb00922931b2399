//! `/blends` and `/blends/{code}`: what a blend is made of, where it comes from, and whether its family is heading the
//! right way.

mod entry;
mod family;
mod placing;

use crate::app::{App, BlendLine, BlendView, Kin, Member, TRIALS_JUDGED, Trajectory, TrialHead, changes};
use crate::charts;
use crate::prose::decisions::decided;
use crate::records::{Blend, BlendCode, ComponentName, Decision, Level, TrialBlend};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, Figure};
use crate::web::frame::{Frame, Section};
use crate::web::pages::blends;
pub(crate) use crate::web::pages::blends::family::sight_key;
use crate::web::pages::blends::family::{Drawn, changes_words};
use crate::web::pages::blends::placing::Requirement;
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
    let mut page = BlendsPage::new(words, blends);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

async fn show_blend(State(app): State<Arc<App>>, At(code): At<BlendCode>) -> Result<Response, HttpError> {
    html(&BlendPage::new(find_blend(&app, &code).await?))
}

/// The blend that an address names.
pub(crate) async fn find_blend(app: &App, code: &BlendCode) -> Result<BlendView, HttpError> {
    app.blend(code).await?.ok_or_else(nothing::<BlendCode>)
}

/// Where a blend's page is.
pub(crate) fn href(code: &BlendCode) -> String {
    format!("/blends/{}", encoded_step(code.as_str()))
}

/// All blends that words leave.
#[derive(Template)]
#[template(path = "blends/list.html")]
pub(crate) struct BlendsPage {
    frame: Frame,
    words: String,
    blends: Vec<BlendLine>,
    total: usize,
}

impl BlendsPage {
    fn new(words: &str, mut blends: Vec<BlendLine>) -> Self {
        let total = blends.len();
        blends.truncate(LISTED);
        Self {
            frame: Frame::new("Blends").of(Section::Blends),
            words: words.to_string(),
            blends,
            total,
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
            format!("{what}; the first {LISTED} are shown")
        } else {
            what
        }
    }
}

/// One blend.
#[derive(Template)]
#[template(path = "blends/show.html")]
pub(crate) struct BlendPage {
    frame: Frame,
    /// Key, label and value of what is known.
    facts: Vec<(&'static str, &'static str, String)>,
    trajectories: Vec<(Trajectory, Drawn)>,
    left_out: String,
    requirements: Vec<Requirement>,
    view: BlendView,
}

impl BlendPage {
    fn new(mut view: BlendView) -> Self {
        let data = shows_invented(&view).into();
        let trajectories = std::mem::take(&mut view.trajectories).into_iter();
        let drawn = |of: Trajectory| {
            let drawn = Drawn::new(&of, &view.lineage);
            (of, drawn)
        };
        Self {
            frame: Frame::new(format!("Blend {}", view.blend.code))
                .of(Section::Blends)
                .showing(data),
            facts: facts(&view.blend, view.viscosity_index),
            trajectories: trajectories.map(drawn).collect(),
            left_out: if view.family_trials > TRIALS_JUDGED {
                let all = view.family_trials;
                format!("The family is in {all} trials; the latest {TRIALS_JUDGED} are shown.")
            } else {
                String::new()
            },
            requirements: placing::requirements(&view.placings),
            view,
        }
    }

    /// Components with their shares and classes.
    fn parts(&self) -> impl Iterator<Item = (&ComponentName, &f64, &String)> {
        let parts = self.view.blend.composition.iter().zip(&self.view.classes);
        parts.map(|((component, share), class)| (component, share, class))
    }

    /// The blend that a member of the family was changed from.
    fn parent(&self, member: &Member) -> Option<&Blend> {
        Some(&self.view.lineage.members[member.parent?].blend)
    }

    fn failed_one(&self) -> bool {
        self.requirements.iter().any(|one| one.class == "fail")
    }

    /// How it came out in a trial, where that was judged.
    fn outcome_in(&self, trial: &TrialHead) -> Option<String> {
        let mut placings = self.view.placings.iter();
        let found = placings.find(|placing| placing.trial.trial == trial.trial)?;
        Some(placing::outcome(found))
    }

    /// What was decided on it in a trial.
    fn decisions_in(&self, trial: &TrialHead) -> impl Iterator<Item = &Decision> {
        let decisions = self.view.decisions.iter();
        decisions.filter(|decision| decision.trial == trial.trial)
    }

    /// What changed from its parent by the compositions; empty where one of the two has none on record.
    fn changed(&self, member: &Member) -> String {
        let changed = self
            .parent(member)
            .and_then(|parent| changes(parent, &member.blend));
        changed.map(|changes| changes_words(&changes)).unwrap_or_default()
    }

    fn code(&self, member: &usize) -> &BlendCode {
        &self.view.lineage.members[*member].blend.code
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
            index.map(|index| figures::fixed(index, 0)),
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
            "base_oil_kv100",
            "viscosity of the base oil at 100 °C",
            with(blend.base_oil_kv100_mm2_s, "mm²/s"),
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
