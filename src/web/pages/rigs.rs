//! `/rigs` and `/rigs/{id}`: the control chart of each rig's reference oil, what its rules say, and which results fall
//! where the rig was out of control.

use crate::app::{App, RigQuantity, RigView, Rule, TypedPeriod};
use crate::catalogue::{Method, MethodId};
use crate::charts::{Certainty, ControlChart, ControlPoint, ControlStretch, Svg, Width, control_chart};
use crate::prose::reasons::rule;
use crate::records::RigId;
use crate::standing::{ChartPoint, ChartStretch, OutOfControlSpan, RigChart, Watch};
use crate::web::address::{At, nothing};
use crate::web::error::{HttpError, html, html_as};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Section};
use crate::web::pages::comparison::plot::axis_kind;
use crate::web::posted::Posted;
use crate::web::preferences::preferences;
use crate::web::question::encoded;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/rigs", get(list_rigs))
        .route("/rigs/{rig}", get(show_rig))
        .route("/rigs/{rig}/base", post(set_base))
}

async fn list_rigs(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    html(&RigsPage {
        frame: Frame::new("Rigs")
            .of(Section::Rigs)
            .showing(app.holds_invented().await?.into()),
        rigs: app.rigs().await?,
        methods: app.methods().await?,
    })
}

async fn show_rig(State(app): State<Arc<App>>, At(id): At<RigId>) -> Result<Response, HttpError> {
    let methods = app.methods().await?;
    html(&RigPage::new(&find_rig(&app, &id).await?, &methods))
}

async fn set_base(
    State(app): State<Arc<App>>,
    At(id): At<RigId>,
    posted: Posted,
) -> Result<Response, HttpError> {
    let typed = TypedPeriod {
        from: posted.text("base_from"),
        to: posted.text("base_to"),
    };
    let view = find_rig(&app, &id).await?;
    let error = match app.set_base_period(&id, &typed).await {
        Ok(()) => {
            let place = format!("/rigs/{}#base", encoded(id.as_str()));
            return Ok(Redirect::to(&place).into_response());
        }
        Err(error) => HttpError::from(error),
    };
    let methods = app.methods().await?;
    let page = RigPage {
        base: typed,
        fault: error.message().to_string(),
        ..RigPage::new(&view, &methods)
    };
    html_as(error.status(), &page)
}

/// The rig that an address names.
pub(crate) async fn find_rig(app: &App, id: &RigId) -> Result<RigView, HttpError> {
    app.rig(id).await?.ok_or_else(nothing::<RigId>)
}

/// A method's title; its id where it is not there.
fn title<'m>(id: &'m MethodId, methods: &'m [Method]) -> &'m str {
    let method = methods.iter().find(|method| &method.id == id);
    method.map_or(id.as_str(), |method| method.title.as_str())
}

/// All rigs.
#[derive(Template)]
#[template(path = "rigs/list.html")]
struct RigsPage {
    frame: Frame,
    rigs: Vec<RigView>,
    methods: Vec<Method>,
}

impl RigsPage {
    fn methods_of(&self, view: &RigView) -> String {
        let titles = view.rig.methods.iter().map(|id| title(id, &self.methods));
        titles.collect::<Vec<_>>().join("; ")
    }
}

/// How many charts of a rig show a level that it should not hold.
fn changed(view: &RigView) -> usize {
    let charts = view.quantities.iter().filter_map(|one| one.chart.as_ref());
    charts.filter(|chart| !chart.spans.is_empty()).count()
}

/// What the charts of a rig say of it.
fn state(view: &RigView) -> String {
    let charts: Vec<&RigChart> = view
        .quantities
        .iter()
        .filter_map(|one| one.chart.as_ref())
        .collect();
    let watched = charts.iter().filter(|chart| chart.watch() != Watch::TooFew);
    let alarmed = charts
        .iter()
        .filter(|chart| chart.points.iter().any(ChartPoint::is_alarm));
    match (changed(view), alarmed.count(), watched.count()) {
        _ if charts.is_empty() => "no run of a reference oil".to_string(),
        (0, 0, 0) => "too few runs to warn".to_string(),
        (0, 0, watched) if watched < charts.len() => {
            format!(
                "{} of {} without alarm, else too few runs to warn",
                watched,
                count(charts.len(), "chart")
            )
        }
        (0, 0, watched) => format!("{} without alarm", count(watched, "chart")),
        (0, alarmed, _) => {
            let all = count(charts.len(), "chart");
            format!("{alarmed} of {all} with an alarm, a reason to look")
        }
        (changed, ..) => {
            let marked = view.quantities.iter().map(|one| one.marked.len()).sum();
            let (all, results) = (count(charts.len(), "chart"), count(marked, "result"));
            format!("{changed} of {all} with another level; {results} in doubt")
        }
    }
}

/// One rig.
#[derive(Template)]
#[template(path = "rigs/show.html")]
struct RigPage<'a> {
    frame: Frame,
    view: &'a RigView,
    known: &'a [Method],
    charts: Vec<ChartBlock<'a>>,
    not_charted: Vec<&'a RigQuantity>,
    base: TypedPeriod,
    fault: String,
}

impl<'a> RigPage<'a> {
    fn new(view: &'a RigView, known: &'a [Method]) -> Self {
        let quantities = view.quantities.iter();
        Self {
            frame: Frame::new(format!("Rig {}", view.rig.id))
                .of(Section::Rigs)
                .showing(view.is_invented.into()),
            view,
            known,
            charts: quantities.clone().filter_map(ChartBlock::of).collect(),
            not_charted: quantities.filter(|of| of.chart.is_none()).collect(),
            base: TypedPeriod {
                from: view
                    .rig
                    .base_period
                    .map_or_else(String::new, |base| base.from().to_string()),
                to: view
                    .rig
                    .base_period
                    .map_or_else(String::new, |base| base.to().to_string()),
            },
            fault: String::new(),
        }
    }
}

/// The chart of one quantity.
struct ChartBlock<'a> {
    of: &'a RigQuantity,
    chart: &'a RigChart,
    finding: String,
    wide: Svg,
    narrow: Svg,
}

impl<'a> ChartBlock<'a> {
    fn of(of: &'a RigQuantity) -> Option<Self> {
        let chart = of.chart.as_ref()?;
        let finding = finding(chart);
        let described = described(chart, of, &finding);
        Some(Self {
            of,
            chart,
            finding,
            wide: control_chart(&described, Width::Wide),
            narrow: control_chart(&described, Width::Narrow),
        })
    }

    fn id(&self) -> String {
        figures::anchor(&self.of.key.to_string())
    }

    fn signals(&self) -> Vec<(usize, &ChartPoint)> {
        let signals = numbered(self.chart).into_iter();
        signals
            .map(|(place, number)| (number, &self.chart.points[place]))
            .collect()
    }

    /// When a stretch begins.
    fn begins(&self, stretch: &ChartStretch) -> String {
        figures::date(self.chart.points.get(stretch.first).map(|point| point.date))
    }

    /// The number of the stretch to which a point belongs.
    fn stretch_of(&self, place: usize) -> usize {
        let own = |stretch: &ChartStretch| (stretch.first..stretch.first + stretch.points).contains(&place);
        self.chart.stretches.iter().position(own).map_or(0, |at| at + 1)
    }

    /// A working value in the quantity's unit.
    fn in_unit(&self, working: f64) -> String {
        let quantity = &self.of.quantity;
        figures::figure_in(quantity.scale.from_working(working), quantity.unit)
    }

    fn with_unit(&self, value: f64) -> String {
        with_unit(self.of, value)
    }
}

/// A value of a quantity with its unit.
fn with_unit(of: &RigQuantity, value: f64) -> String {
    let unit = of.quantity.unit;
    figures::with_unit(&figures::figure_in(value, unit), unit)
}

fn rules(rules: &[Rule]) -> String {
    rules.iter().map(|one| rule(*one)).collect::<Vec<_>>().join("; ")
}

/// What the chart shows, in one sentence.
fn finding(chart: &RigChart) -> String {
    let dates: Vec<String> = chart
        .changed_on
        .iter()
        .map(|date| figures::date(Some(*date)))
        .collect();
    let level = match (dates.is_empty(), chart.watch()) {
        (false, _) => format!("the level changed on {}", dates.join(" and on ")),
        (true, Watch::TooFew) => "too few runs to warn".to_string(),
        (true, Watch::Provisional) => {
            "no change of level seen so far; the limits are provisional".to_string()
        }
        (true, Watch::Settled) => "no change of level".to_string(),
    };
    let alarms = match chart.points.iter().filter(|point| point.is_alarm()).count() {
        0 => String::new(),
        alarms => format!("; {} with an alarm, a reason to look", count(alarms, "run")),
    };
    let others = match chart.other_runs {
        0 => String::new(),
        others => format!(" and {others} of other reference oils"),
    };
    let runs = count(chart.points.len(), "run");
    format!("{runs} of {}{others}: {level}{alarms}.", chart.reference)
}

/// `after 4 March 2024 until 9 May 2024`.
fn span_words(span: &OutOfControlSpan) -> String {
    let day = |date| figures::date(Some(date));
    let after = span.after.map(|date| format!("after {}", day(date)));
    let after = after.unwrap_or_else(|| "from the first run".to_string());
    let until = span.until.map(|date| format!("until {}", day(date)));
    let until = until.unwrap_or_else(|| "up to now".to_string());
    format!("{after} {until}")
}

/// Places of the points with signals, and the numbers that mark them in the chart and in the list under it.
fn numbered(chart: &RigChart) -> Vec<(usize, usize)> {
    let points = chart.points.iter().enumerate();
    let fired = points.filter(|(_, point)| !point.signals.is_empty());
    fired
        .enumerate()
        .map(|(number, (place, _))| (place, number + 1))
        .collect()
}

fn described(chart: &RigChart, of: &RigQuantity, finding: &str) -> ControlChart {
    let numbers = numbered(chart);
    let points = chart.points.iter().enumerate().map(|(place, point)| {
        let signal = numbers.iter().find(|(at, _)| *at == place);
        let date = figures::date(Some(point.date));
        ControlPoint {
            reading: point.working,
            weighted_mean: point.ewma,
            signal: signal.map(|(_, number)| number.to_string()).unwrap_or_default(),
            title: format!("{date}: {}", with_unit(of, point.value)),
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
    let date =
        |point: Option<&ChartPoint>| point.map_or_else(String::new, |point| figures::date(Some(point.date)));
    ControlChart {
        kind: axis_kind(&of.quantity.scale),
        numbers: preferences().in_unit(of.quantity.unit),
        points: points.collect(),
        stretches: stretches.collect(),
        cuts: chart.cuts(),
        dates: (date(chart.points.first()), date(chart.points.last())),
        finding: format!("{}: {finding}", of.quantity.label),
    }
}
