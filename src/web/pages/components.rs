//! `/components`, `/components/{component}` and `/component-classes/{class}`: where blends with a component stand in each
//! test, by how much of it they hold.

use crate::app::{
    App, COMPONENT_TRIALS, ComponentLine, ComponentPoint, ComponentTest, ComponentView, FEWEST_DOSES,
    FEWEST_POINTS, Holds, NoTrend, Trend,
};
use crate::charts::{Anchors, RateChart, RatePoint, Span, Svg, Width, legend_mark, mark_words};
use crate::standing::Anchored;
use crate::units::Unit;
use crate::web::error::{HttpError, html};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::blends;
use crate::web::pages::comparison::plot::axis;
use crate::web::question::encoded_step;
use askama::Template;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/components", get(list_components))
        .route("/components/{component}", get(show_component))
        .route("/component-classes/{class}", get(show_class))
}

type Name = Result<Path<String>, PathRejection>;

async fn list_components(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    let lines = app.components().await?;
    let frame = Frame::new("Components").of(Section::Blends);
    html(&ComponentsPage {
        frame: frame.showing(app.holds_invented().await?.into()),
        lines: lines.iter().map(line).collect(),
    })
}

async fn show_component(State(app): State<Arc<App>>, name: Name) -> Result<Response, HttpError> {
    show(&app, name.ok().map(|Path(name)| Holds::Component(name))).await
}

async fn show_class(State(app): State<Arc<App>>, name: Name) -> Result<Response, HttpError> {
    show(&app, name.ok().map(|Path(name)| Holds::Class(name))).await
}

async fn show(app: &App, holds: Option<Holds>) -> Result<Response, HttpError> {
    let none = || HttpError::not_found("No component and no class of components has this name.");
    let view = app.component(&holds.ok_or_else(none)?).await?.ok_or_else(none)?;
    let mut page = ComponentPage::new(&view);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

struct Line {
    name: String,
    href: String,
    class: String,
    class_href: String,
    note: String,
    blends: usize,
    shares: String,
}

/// All components.
#[derive(Template)]
#[template(path = "components/list.html")]
struct ComponentsPage {
    frame: Frame,
    lines: Vec<Line>,
}

fn line(of: &ComponentLine) -> Line {
    let component = &of.component;
    Line {
        name: component.name.to_string(),
        href: format!("/components/{}", encoded_step(component.name.as_str())),
        class: component.class.clone(),
        class_href: class_href(&component.class),
        note: component.note.clone(),
        blends: of.blends,
        shares: of.shares_pct.map(shares).unwrap_or_default(),
    }
}

fn class_href(class: &str) -> String {
    format!("/component-classes/{}", encoded_step(class))
}

fn shares((lo, hi): (f64, f64)) -> String {
    let (lo, hi) = (figures::weight_per_cent(lo), figures::weight_per_cent(hi));
    figures::from_to(lo, hi)
}

struct TrialRow {
    mark: Svg,
    mark_words: &'static str,
    title: String,
    href: String,
}

struct PointRow {
    blend: String,
    href: String,
    mark: Svg,
    trial: String,
    rate: String,
    estimate: String,
    interval: String,
    position: String,
    runs: usize,
}

struct TestBlock {
    key: String,
    method_href: String,
    label: String,
    title: String,
    standard: String,
    unit: &'static str,
    finding: String,
    trend: &'static str,
    wide: Svg,
    narrow: Svg,
    rows: Vec<PointRow>,
}

/// One component or class.
#[derive(Template)]
#[template(path = "components/show.html")]
struct ComponentPage {
    frame: Frame,
    heading: String,
    what: String,
    class: String,
    class_href: String,
    notes: Vec<(String, String, String)>,
    blends: Vec<(String, String, String, String)>,
    trials: Vec<TrialRow>,
    left_out: String,
    tests: Vec<TestBlock>,
}

impl ComponentPage {
    fn new(view: &ComponentView) -> Self {
        let (heading, what, class) = match &view.holds {
            Holds::Component(name) => {
                let class = view
                    .components
                    .first()
                    .map(|one| one.class.clone())
                    .unwrap_or_default();
                (name.clone(), "component".to_string(), class)
            }
            Holds::Class(class) => {
                let count = figures::count(view.components.len(), "component");
                (
                    class.clone(),
                    format!("a class of {count}, counted together"),
                    String::new(),
                )
            }
        };
        let trials = view.trials.iter().enumerate();
        Self {
            frame: Frame::new(heading.clone()).of(Section::Blends),
            what,
            class_href: class_href(&class),
            class,
            notes: view
                .components
                .iter()
                .map(|one| note(one.name.as_str(), &one.note))
                .collect(),
            blends: view
                .blends
                .iter()
                .map(|(blend, rate)| {
                    let rate = figures::weight_per_cent(*rate);
                    (
                        blend.code.to_string(),
                        blends::href(&blend.code),
                        blend.name.clone(),
                        rate,
                    )
                })
                .collect(),
            trials: trials
                .map(|(place, head)| TrialRow {
                    mark: legend_mark(place),
                    mark_words: mark_words(place),
                    title: head.title.clone(),
                    href: format!("/trials/{}", encoded_step(head.trial.as_str())),
                })
                .collect(),
            left_out: left_out(view),
            tests: view.tests.iter().map(|test| block(test, view)).collect(),
            heading,
        }
    }
}

fn note(name: &str, note: &str) -> (String, String, String) {
    (
        name.to_string(),
        format!("/components/{}", encoded_step(name)),
        note.to_string(),
    )
}

fn left_out(view: &ComponentView) -> String {
    if view.all_trials > COMPONENT_TRIALS {
        format!(
            "Of {} trials the latest {} are shown.",
            view.all_trials, COMPONENT_TRIALS
        )
    } else {
        String::new()
    }
}

fn block(test: &ComponentTest, view: &ComponentView) -> TestBlock {
    let finding = finding(test);
    let chart = chart(test, view, &finding);
    TestBlock {
        key: test.key.to_string(),
        method_href: format!("/methods/{}", encoded_step(&test.key.method)),
        label: test.label.clone(),
        title: test.title.clone(),
        standard: test.standard.clone(),
        unit: figures::unit(test.strip.unit),
        trend: trend_word(test.trend),
        wide: chart.draw(Width::Wide),
        narrow: chart.draw(Width::Narrow),
        rows: test
            .points
            .iter()
            .map(|point| row(point, view, test.strip.unit))
            .collect(),
        finding,
    }
}

fn row(point: &ComponentPoint, view: &ComponentView, unit: Unit) -> PointRow {
    PointRow {
        blend: point.blend.to_string(),
        href: blends::href(&point.blend),
        mark: legend_mark(point.trial),
        trial: view.trials[point.trial].title.clone(),
        rate: figures::weight_per_cent(point.rate_pct),
        estimate: figures::estimate(&point.estimate, unit),
        interval: figures::interval(&point.estimate, unit),
        position: figures::position(point.position.mean),
        runs: point.estimate.runs,
    }
}

/// The word of a trend in the page's data.
fn trend_word(trend: Result<Trend, NoTrend>) -> &'static str {
    match trend {
        Ok(found) if found.slope > 0.0 => "better",
        Ok(_) => "worse",
        Err(NoTrend::TooFew) => "too few",
        Err(NoTrend::Chance) => "chance",
    }
}

/// Who stands best and who worst, each with its treat rate; empty where there are not two results.
fn ends(test: &ComponentTest) -> String {
    let placed = test.points.iter().filter(|point| point.position.mean.is_finite());
    let mut placed: Vec<&ComponentPoint> = placed.collect();
    placed.sort_by(|a, b| b.position.mean.total_cmp(&a.position.mean));
    let (Some(best), Some(worst)) = (placed.first(), placed.last().filter(|_| placed.len() > 1)) else {
        return String::new();
    };
    let said = |point: &ComponentPoint| format!("{} at {} wt%", point.blend, figures::figure(point.rate_pct));
    format!("best {}, worst {}. ", said(best), said(worst))
}

fn finding(test: &ComponentTest) -> String {
    match test.trend {
        Ok(found) => {
            let way = if found.slope > 0.0 { "better" } else { "worse" };
            format!(
                "Within the trials more of it goes with a {way} result: {} of position for each wt%. That is a likeness in these blends, not a cause; they differ in other components too.",
                figures::signed(found.slope)
            )
        }
        Err(NoTrend::TooFew) => {
            format!(
                "No line is drawn: it takes {} results at {} different treat rates, and this has {}.",
                FEWEST_POINTS,
                FEWEST_DOSES,
                figures::count(test.points.len(), "result")
            )
        }
        Err(NoTrend::Chance) => {
            "No line is drawn: within the trials the order could as well be chance.".to_string()
        }
    }
}

fn chart(test: &ComponentTest, view: &ComponentView, finding: &str) -> RateChart {
    let points = test.points.iter().map(|point| RatePoint {
        mark: point.trial,
        rate: point.rate_pct,
        span: Span {
            mean: point.position.mean,
            lo: point.position.lo,
            hi: point.position.hi,
        },
        title: format!(
            "{} in {}: {} wt%, {}",
            point.blend,
            view.trials[point.trial].title,
            figures::figure(point.rate_pct),
            figures::with_unit(
                &figures::estimate(&point.estimate, test.strip.unit),
                test.strip.unit,
            )
        ),
    });
    let rates = test.points.iter().map(|point| point.rate_pct);
    let (least, most) = rates.fold((f64::INFINITY, 0.0f64), |(lo, hi), rate| {
        (lo.min(rate), hi.max(rate))
    });
    let line = test.trend.ok().map(|found| {
        let at = |rate: f64| found.intercept + found.slope * rate;
        (at(least), at(most))
    });
    RateChart {
        axis: axis(&test.strip),
        anchors: match test.strip.anchored {
            Anchored::Both => Anchors::Both,
            Anchored::One => Anchors::One,
            Anchored::None => Anchors::None,
        },
        points: points.collect(),
        line,
        finding: format!("{} by treat rate: {}{finding}", test.label, ends(test)),
    }
}
