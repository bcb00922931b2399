//! `/trials/{trial}/tests/{method}`: one test of a trial explained beside the machine, on one page to print.

mod bearings;
mod counter;
mod ladders;
mod quoted;

use crate::app::{App, AppError, today};
use crate::catalogue::{Method, MethodId};
use crate::charts::{ContactPicture, Detail, FootprintChart, Outline, Svg};
use crate::explain::{Ask, Explanation, Footprint, Ladder, RESEMBLES, ResemblingRow, WornContact, explain};
use crate::records::{TestKey, TrialRecords, TrialSlug};
use crate::standing::WhatIf;
use crate::units::Unit;
use crate::web::address::{At, InAddress};
use crate::web::contact_view::{picture_of, picture_of_contact};
use crate::web::error::{FieldFault, HttpError, html_as};
use crate::web::figures::{self, Figure};
use crate::web::frame::{Frame, Tab};
use crate::web::pages::explanation::bearings::BearingsRow;
use crate::web::pages::explanation::counter::CounterView;
use crate::web::pages::explanation::ladders::{LadderView, side_words, sources_of, view, with_unit};
use crate::web::pages::explanation::quoted::QuotedView;
use crate::web::preferences::preferences;
use crate::web::question::{Pairs, encoded, encoded_step};
use crate::web::unbroken::{Piece, pieces};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::header::HOST;
use axum::http::{HeaderMap, StatusCode, Uri};
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/trials/{trial}/tests/{method}", get(show_explanation))
}

async fn show_explanation(
    State(app): State<Arc<App>>,
    At(test): At<TestOfTrial>,
    pairs: Pairs,
    uri: Uri,
    headers: HeaderMap,
) -> Result<Response, HttpError> {
    let (trial, ask) = asked(test, &pairs);
    let comparison = app.compare(&trial, &WhatIf::default()).await?;
    let explanation = explain(&comparison, &ask).map_err(|fault| refused(fault.into()))?;
    let methods = app.methods().await?;
    let method = methods.iter().find(|method| method.id == explanation.method);
    let held = QuotedView::new(&explanation, &comparison);
    let status = if held.is_refused() {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    let counter = CounterView::new(&explanation, &comparison);
    let mut page = ExplanationPage::new(explanation, &comparison.records, method, held, counter);
    let host = headers
        .get(HOST)
        .and_then(|host| host.to_str().ok())
        .unwrap_or_default();
    page.address = format!("http://{host}{uri}");
    html_as(status, &page)
}

/// The address of a test of a trial, explained; what is asked of it may be added.
pub(crate) fn address(trial: &TrialSlug, key: &TestKey) -> String {
    format!(
        "/trials/{}/tests/{}?quantity={}",
        encoded_step(trial.as_str()),
        encoded_step(key.method.as_str()),
        encoded(&key.quantity)
    )
}

/// A method in a trial, as an address names it.
pub(crate) struct TestOfTrial(TrialSlug, MethodId);

impl InAddress for TestOfTrial {
    type Steps = (String, String);
    const NOTHING: &'static str = "No test of a trial has this address.";

    fn of_steps((trial, method): (String, String)) -> Option<Self> {
        Some(Self(TrialSlug::new(&trial)?, MethodId::new(&method)?))
    }
}

/// What an address asks to have explained.
fn asked(TestOfTrial(trial, method): TestOfTrial, pairs: &Pairs) -> (TrialSlug, Ask) {
    let asked = |field: &str| {
        let text = pairs.field(field).filter(|text| !text.is_empty());
        text.map(ToString::to_string)
    };
    let ask = Ask {
        method,
        quantity: asked("quantity"),
        blend: asked("blend"),
        contact: asked("contact"),
        quoted: quoted::asked(pairs),
        shown: preferences(),
    };
    (trial, ask)
}

fn refused(error: AppError) -> HttpError {
    match error {
        AppError::Question { field, problem } if field == "method" => {
            HttpError::not_found(format!("{problem}."))
        }
        other => other.into(),
    }
}

/// The explanation that an address asks for; a number that is held up and cannot be read refuses it.
pub(crate) async fn explained(app: &App, test: TestOfTrial, pairs: &Pairs) -> Result<Explanation, HttpError> {
    let (trial, ask) = asked(test, pairs);
    let explanation = app.explain(&trial, &ask).await.map_err(refused)?;
    let faults = explanation.quoted.iter().flat_map(|held| &held.faults);
    let faults: Vec<FieldFault> = faults
        .map(|fault| FieldFault::new(fault.field, &fault.problem))
        .collect();
    if faults.is_empty() {
        Ok(explanation)
    } else {
        Err(HttpError::unusable(faults))
    }
}

/// The two areas of contact drawn to one scale.
struct Footprints {
    drawing: Svg,
    /// Whether a length is cut in it.
    is_cut: bool,
}

/// One test that resembles the machine, as the page shows it.
struct Row {
    href: String,
    row: ResemblingRow,
}

#[derive(Template)]
#[template(path = "explanation/page.html")]
struct ExplanationPage {
    frame: Frame,
    slug: String,
    anchor: String,
    explained: Explanation,
    heading: Vec<Piece>,
    paragraph: Vec<Piece>,
    picture: Option<ContactPicture>,
    footprints: Option<Footprints>,
    machine_pressure: String,
    /// From where on a test resembles the machine.
    resembles: String,
    ladders: Vec<LadderView>,
    rows: Vec<Row>,
    bearings: Vec<BearingsRow>,
    bearings_shapes: Vec<String>,
    bearings_unit: &'static str,
    worn_fresh: String,
    worn_words: String,
    worn_notes: Vec<usize>,
    pressure_notes: Vec<usize>,
    apart_notes: Vec<usize>,
    resemblance_notes: Vec<usize>,
    held: QuotedView,
    counter: Option<CounterView>,
    question: Vec<Piece>,
    because: Vec<Piece>,
    json: String,
    today: String,
    /// The page's own address, for paper.
    address: String,
}

impl ExplanationPage {
    fn new(
        explained: Explanation,
        records: &TrialRecords,
        method: Option<&Method>,
        held: QuotedView,
        counter: Option<CounterView>,
    ) -> Self {
        let notes = |wanted: &[&str]| -> Vec<usize> {
            let of = explained.sources.iter().filter(|note| wanted.contains(&note.of));
            of.map(|note| note.number).collect()
        };
        let side = explained.machine_side.as_ref();
        let bearings = explained.bearings.as_ref();
        let slug = encoded(&explained.trial);
        let key = format!("{}/{}", explained.method, explained.quantity);
        let ladder_view = |ladder: &Ladder| view(ladder, notes(sources_of(ladder.term)));
        let rows = explained.resembling.iter().map(|row| Row {
            href: format!(
                "{}&blend={}",
                address(&records.trial.slug, &TestKey::new(&row.method, &row.quantity)),
                encoded(&explained.blend)
            ),
            row: row.clone(),
        });
        let machine_pressure = side
            .and_then(|side| side.ladders.iter().find(|ladder| ladder.term == "pressure"))
            .map(|ladder| with_unit(side_words(&ladder.machine), ladder.unit));
        Self {
            frame: Frame::new(format!("{} {}", explained.call.word, explained.call.question))
                .in_trial(records, Tab::Beside),
            anchor: format!("test-{}", figures::anchor(&key)),
            heading: pieces(&explained.heading),
            paragraph: pieces(&explained.conclusion.join(" ")),
            picture: method.map(|method| {
                let wanted = side.map_or("", |side| side.test_contact.as_str());
                let mut contacts = method.contacts.iter();
                let compared = contacts.find(|named| !wanted.is_empty() && named.name == wanted);
                compared.map_or_else(|| picture_of(method), |named| picture_of_contact(&named.contact))
            }),
            footprints: footprints(&explained),
            machine_pressure: machine_pressure.unwrap_or_default(),
            resembles: figures::figure(RESEMBLES),
            ladders: side
                .map(|side| side.ladders.iter().map(ladder_view).collect())
                .unwrap_or_default(),
            rows: rows.collect(),
            bearings: bearings.map(|it| bearings::rows(&it.blends)).unwrap_or_default(),
            bearings_shapes: bearings
                .map(|it| bearings::given_shapes(&it.blends))
                .unwrap_or_default(),
            bearings_unit: bearings.map_or("", |it| it.unit),
            worn_fresh: explained.worn.as_ref().map(fresh_words).unwrap_or_default(),
            worn_words: worn_here(&explained),
            worn_notes: notes(&["worn"]),
            pressure_notes: notes(&["contact", "load", "pressure"]),
            apart_notes: notes(&["precision", "steps"]),
            resemblance_notes: notes(&["resemblance", "machine"]),
            json: format!(
                "/api{}&blend={}",
                address(
                    &records.trial.slug,
                    &TestKey::new(&explained.method, &explained.quantity)
                ),
                encoded(&explained.blend)
            ),
            question: pieces(&explained.call.question),
            because: pieces(&explained.call.because),
            today: today().to_string(),
            address: String::new(),
            counter,
            slug,
            explained,
            held,
        }
    }
}

impl ExplanationPage {
    /// The terms in which the test departs most from the machine, the greatest first.
    fn greatest(&self) -> Vec<&LadderView> {
        let terms = self.explained.call.departures.iter();
        terms
            .filter_map(|term| self.ladders.iter().find(|ladder| ladder.term == *term))
            .collect()
    }

    /// The other terms.
    fn lesser(&self) -> Vec<&LadderView> {
        let greatest = &self.explained.call.departures;
        self.ladders
            .iter()
            .filter(|ladder| !greatest.contains(&ladder.term))
            .collect()
    }

    /// The size of a contact area in the reader's units.
    fn size(&self, footprint: &Footprint) -> String {
        footprint.words(preferences())
    }
}

fn outline(footprint: Footprint) -> Outline {
    match footprint {
        Footprint::Circle { diameter_m } => Outline::Circle(diameter_m),
        Footprint::Strip { length_m, width_m } => Outline::Oblong(length_m, width_m),
    }
}

fn footprints(explained: &Explanation) -> Option<Footprints> {
    let test = explained.test_contact.as_ref();
    let machine = explained.machine_side.as_ref().and_then(|side| side.footprint);
    let fresh = test.map(|contact| contact.fresh);
    let chart = FootprintChart {
        test: fresh.map(outline),
        worn: test.and_then(|contact| contact.worn).map(outline),
        machine: machine.map(outline),
        shown: preferences(),
    };
    let words = |footprint: Footprint| footprint.words(preferences());
    let finding = match (fresh.map(words), machine.map(words)) {
        (Some(test), Some(machine)) => {
            format!("Contact area of the test: {test}; the machine's: {machine}, to the same scale")
        }
        (Some(test), None) => format!("Contact area of the test: {test}"),
        (None, machine) => format!("Contact area of the machine: {}", machine?),
    };
    Some(Footprints {
        drawing: chart.draw(&finding)?,
        is_cut: chart.is_cut(),
    })
}

/// `On the scar of X, 0.67 mm, it is 454 MPa in the mean, from 1 run.`; empty where none of it was measured.
fn worn_here(explained: &Explanation) -> String {
    let mut blends = explained.worn.iter().flat_map(|worn| &worn.blends);
    let here = blends.find(|row| row.blend == explained.blend);
    here.map_or_else(String::new, |row| {
        format!(
            "On the scar of {}, {} mm, it is {} in the mean, from {}.",
            row.blend,
            figures::figure(row.scar_m * 1e3),
            figures::measured(row.worn_mean_pressure_pa / 1e6, "MPa"),
            figures::count(row.runs, "run")
        )
    })
}

/// `160 N on one contact: fresh 2268 MPa in the mean, 3402 MPa at most`.
fn fresh_words(worn: &WornContact) -> String {
    format!(
        "Before any wear, {} on one contact press with {} in the mean and {} at most.",
        figures::measured(worn.load_n, "N"),
        figures::measured(worn.fresh_mean_pressure_pa / 1e6, "MPa"),
        figures::measured(worn.fresh_max_pressure_pa / 1e6, "MPa")
    )
}
