//! `/rigs` and `/rigs/{id}`: the control chart of each rig's reference oil, what its rules say, and which results fall
//! where the rig was out of control.

use crate::app::Rule;
use crate::app::{App, RigQuantity, RigView};
use crate::catalogue::Method;
use crate::charts::{Certainty, ControlChart, ControlPoint, ControlStretch, Svg, Width, control_chart};
use crate::records::{RigId, TrialSlug};
use crate::standing::{OutOfControlSpan, RigChart};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::blends;
use crate::web::pages::comparison::plot::axis_kind;
use crate::web::preferences::preferences;
use crate::web::question::encoded_step;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

mod tables;
mod words;

pub(crate) use tables::span_words;
use tables::{marked, points, signals, stretches};

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/rigs", get(list_rigs))
        .route("/rigs/{rig}", get(show_rig))
}

async fn list_rigs(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    let mut page = RigsPage::new(&app.rigs().await?, &app.methods().await?);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

async fn show_rig(State(app): State<Arc<App>>, At(id): At<RigId>) -> Result<Response, HttpError> {
    html(&RigPage::new(&find_rig(&app, &id).await?, &app.methods().await?))
}

/// The rig that an address names.
pub(crate) async fn find_rig(app: &App, id: &RigId) -> Result<RigView, HttpError> {
    app.rig(id).await?.ok_or_else(nothing::<RigId>)
}

/// Where a rig's page is.
pub(crate) fn href(id: &RigId) -> String {
    format!("/rigs/{}", encoded_step(id.as_str()))
}

struct Line {
    id: String,
    href: String,
    name: String,
    lab: String,
    methods: String,
    reference: String,
    results: usize,
    state: String,
    is_warned: bool,
}

/// All rigs.
#[derive(Template)]
#[template(path = "rigs/list.html")]
pub(crate) struct RigsPage {
    frame: Frame,
    rigs: Vec<Line>,
}

impl RigsPage {
    fn new(rigs: &[RigView], methods: &[Method]) -> Self {
        Self {
            frame: Frame::new(words::RIGS).of(Section::Rigs),
            rigs: rigs.iter().map(|rig| line(rig, methods)).collect(),
        }
    }
}

/// A method's title; its id where it is not there.
fn title<'m>(id: &'m str, methods: &'m [Method]) -> &'m str {
    let method = methods.iter().find(|method| method.id == id);
    method.map_or(id, |method| method.title.as_str())
}

fn line(view: &RigView, methods: &[Method]) -> Line {
    let charts: Vec<&RigChart> = view
        .quantities
        .iter()
        .filter_map(|one| one.chart.as_ref())
        .collect();
    let warned = charts.iter().filter(|chart| !chart.spans.is_empty()).count();
    let marked: usize = view.quantities.iter().map(|one| one.marked.len()).sum();
    let state = match (charts.len(), warned) {
        (0, _) if view.rig.reference_blend.is_none() => words::NO_REFERENCE_OIL_NAMED.to_string(),
        (0, _) => words::TOO_FEW_RUNS_OF_THE_REFERENCE_OIL.to_string(),
        (all, 0) => words::without_alarm(all),
        (all, warned) => words::with_an_alarm_and_in_doubt(warned, all, marked),
    };
    Line {
        id: view.rig.id.to_string(),
        href: href(&view.rig.id),
        name: view.rig.name.clone(),
        lab: view.rig.lab.clone(),
        methods: view
            .rig
            .methods
            .iter()
            .map(|id| title(id, methods))
            .collect::<Vec<_>>()
            .join("; "),
        reference: view
            .rig
            .reference_blend
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default(),
        results: view.results,
        state,
        is_warned: warned > 0,
    }
}

struct SignalRow {
    number: usize,
    date: String,
    value: String,
    rules: String,
    is_alarm: bool,
}

struct PointRow {
    date: String,
    replicate: u32,
    value: String,
    weighted_mean: String,
    stretch: usize,
    rules: String,
}

struct StretchRow {
    number: usize,
    from: String,
    runs: usize,
    lower: String,
    centre: String,
    upper: String,
    kind: &'static str,
}

struct MarkedRow {
    blend: String,
    blend_href: String,
    trial: String,
    trial_href: String,
    date: String,
    value: String,
    span: String,
}

struct ChartBlock {
    id: String,
    key: String,
    title: String,
    standard: String,
    label: String,
    unit: &'static str,
    method_href: String,
    results: usize,
    is_charted: bool,
    finding: String,
    provisional: bool,
    wide: Svg,
    narrow: Svg,
    signals: Vec<SignalRow>,
    stretches: Vec<StretchRow>,
    points: Vec<PointRow>,
    spans: Vec<String>,
    marked: Vec<MarkedRow>,
    left_out: usize,
}

/// One rig.
#[derive(Template)]
#[template(path = "rigs/show.html")]
pub(crate) struct RigPage {
    frame: Frame,
    slug: String,
    id: String,
    name: String,
    lab: String,
    reference: String,
    reference_href: String,
    methods: Vec<(String, String)>,
    charts: Vec<ChartBlock>,
    not_charted: Vec<ChartBlock>,
}

impl RigPage {
    fn new(view: &RigView, known: &[Method]) -> Self {
        let rig = &view.rig;
        let blocks = view.quantities.iter().map(|one| block(one, &view.titles));
        let (charts, not_charted) = blocks.partition(|block| block.is_charted);
        let reference = rig.reference_blend.as_ref();
        Self {
            frame: Frame::new(words::rig_of_id(&rig.id))
                .of(Section::Rigs)
                .showing(view.is_invented.into()),
            slug: encoded_step(rig.id.as_str()),
            id: rig.id.to_string(),
            name: rig.name.clone(),
            lab: rig.lab.clone(),
            reference: reference.map(ToString::to_string).unwrap_or_default(),
            reference_href: reference.map(blends::href).unwrap_or_default(),
            methods: rig
                .methods
                .iter()
                .map(|id| {
                    let href = format!("/methods/{}", encoded_step(id));
                    (href, title(id, known).to_string())
                })
                .collect(),
            charts,
            not_charted,
        }
    }
}

fn block(of: &RigQuantity, titles: &BTreeMap<TrialSlug, String>) -> ChartBlock {
    let quantity = &of.quantity;
    let mut block = ChartBlock {
        id: figures::anchor(&of.key.to_string()),
        key: of.key.to_string(),
        title: of.title.clone(),
        standard: of.standard.clone(),
        label: quantity.label.clone(),
        unit: figures::unit(quantity.unit),
        method_href: format!("/methods/{}", encoded_step(&of.key.method)),
        results: of.results,
        is_charted: false,
        finding: String::new(),
        provisional: false,
        wide: Svg::default(),
        narrow: Svg::default(),
        signals: Vec::new(),
        stretches: Vec::new(),
        points: Vec::new(),
        spans: Vec::new(),
        marked: of
            .marked
            .iter()
            .map(|(result, span)| marked(result, span, of, titles))
            .collect(),
        left_out: 0,
    };
    let Some(chart) = &of.chart else { return block };
    let finding = finding(chart);
    let described = described(chart, of, &finding);
    block.is_charted = true;
    block.provisional = chart.provisional;
    block.wide = control_chart(&described, Width::Wide);
    block.narrow = control_chart(&described, Width::Narrow);
    block.finding = finding;
    block.signals = signals(chart, of);
    block.stretches = stretches(chart, of);
    block.points = points(chart, of);
    block.spans = chart.spans.iter().map(span_words).collect();
    block.left_out = chart.left_out;
    block
}

/// A working value in the quantity's unit.
fn in_unit(of: &RigQuantity, working: f64) -> String {
    figures::figure_in(of.quantity.scale.from_working(working), of.quantity.unit)
}

/// What the chart shows, in one sentence.
pub(crate) fn finding(chart: &RigChart) -> String {
    let runs = words::runs(chart.points.len());
    let alarms = chart.points.iter().filter(|point| point.is_alarm()).count();
    let provisional = if chart.provisional {
        words::THE_LIMITS_ARE_PROVISIONAL
    } else {
        ""
    };
    let what = match (alarms, chart.spans.last()) {
        (0, _) => words::NO_RULE_SAYS_THAT_THE_LEVEL_HAS_MOVED.to_string(),
        (number, Some(last)) => words::alarms_and_the_last(number, &figures::date(Some(last.last_alarm))),
        (number, None) => words::with_an_alarm(number),
    };
    words::runs_of_reference(&runs, &chart.reference, &what, provisional)
}

/// The numbers that mark signals in a chart are those of the list under it.
fn numbered(chart: &RigChart) -> Vec<(usize, usize)> {
    let fired = chart
        .points
        .iter()
        .enumerate()
        .filter(|(_, point)| !point.signals.is_empty());
    fired
        .enumerate()
        .map(|(number, (place, _))| (place, number + 1))
        .collect()
}

fn described(chart: &RigChart, of: &RigQuantity, finding: &str) -> ControlChart {
    let numbers = numbered(chart);
    let points = chart.points.iter().enumerate().map(|(place, point)| {
        let number = numbers
            .iter()
            .find(|(at, _)| *at == place)
            .map(|(_, number)| *number);
        ControlPoint {
            reading: point.working,
            weighted_mean: point.ewma,
            signal: number.map(|number| number.to_string()).unwrap_or_default(),
            title: format!(
                "{}: {}",
                figures::date(Some(point.date)),
                figures::with_unit(
                    &figures::figure_in(point.value, of.quantity.unit),
                    of.quantity.unit
                )
            ),
        }
    });
    let stretches = chart.stretches.iter().map(|stretch| ControlStretch {
        first: stretch.first,
        runs: stretch.points,
        limits: stretch
            .limits
            .map(|limits| (limits.lower(), limits.centre, limits.upper())),
        certainty: if stretch.limits.is_some_and(|limits| !limits.provisional) {
            Certainty::Settled
        } else {
            Certainty::Provisional
        },
    });
    let date = |point: Option<&crate::standing::ChartPoint>| {
        point.map_or_else(String::new, |point| figures::date(Some(point.date)))
    };
    ControlChart {
        kind: axis_kind(of.quantity.scale),
        numbers: preferences().in_unit(of.quantity.unit),
        points: points.collect(),
        stretches: stretches.collect(),
        dates: (date(chart.points.first()), date(chart.points.last())),
        finding: format!("{}: {finding}", of.quantity.label),
    }
}
