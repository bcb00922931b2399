//! `/components`, `/components/{component}` and `/component-classes/{class}`: where blends with a component stand in each
//! test, by how much of it they hold.

use crate::app::{
    App, COMPONENT_TRIALS, ComponentLine, ComponentPoint, ComponentTest, ComponentView, FEWEST_DOSES,
    FEWEST_POINTS, Holds, NoTrend, TrialHead,
};
use crate::charts::{self, Anchors, RateChart, RatePoint, Span, Svg};
use crate::standing::Anchored;
use crate::web::error::{HttpError, html};
use crate::web::figures::{self, Figure};
use crate::web::frame::{Frame, Section};
use crate::web::pages::comparison::plot::axis;
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
        lines,
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
    let mut page = ComponentPage::new(view);
    page.frame = page.frame.showing(app.holds_invented().await?.into());
    html(&page)
}

/// All components.
#[derive(Template)]
#[template(path = "components/list.html")]
struct ComponentsPage {
    frame: Frame,
    lines: Vec<ComponentLine>,
}

/// One test with its drawing.
struct TestBlock {
    test: ComponentTest,
    finding: String,
    drawing: Svg,
}

impl TestBlock {
    /// The word of its trend in the page's data.
    fn trend(&self) -> &'static str {
        match self.test.trend {
            Ok(found) if found.slope > 0.0 => "better",
            Ok(_) => "worse",
            Err(NoTrend::TooFew) => "too few",
            Err(NoTrend::Chance) => "chance",
        }
    }
}

/// One component or class.
#[derive(Template)]
#[template(path = "components/show.html")]
struct ComponentPage {
    frame: Frame,
    heading: String,
    what: String,
    /// The class of one component; empty for a class.
    class: String,
    left_out: String,
    tests: Vec<TestBlock>,
    view: ComponentView,
}

impl ComponentPage {
    fn new(mut view: ComponentView) -> Self {
        let (heading, what, class) = match &view.holds {
            Holds::Component(name) => {
                let class = view.components.first().map(|one| one.class.clone());
                (name.clone(), "component".to_string(), class.unwrap_or_default())
            }
            Holds::Class(class) => {
                let count = figures::count(view.components.len(), "component");
                let what = format!("a class of {count}, counted together");
                (class.clone(), what, String::new())
            }
        };
        let tests = std::mem::take(&mut view.tests).into_iter();
        Self {
            frame: Frame::new(heading.clone()).of(Section::Blends),
            heading,
            what,
            class,
            left_out: if view.all_trials > COMPONENT_TRIALS {
                let all = view.all_trials;
                format!("Of {all} trials the latest {COMPONENT_TRIALS} are shown.")
            } else {
                String::new()
            },
            tests: tests.map(|test| block(test, &view.trials)).collect(),
            view,
        }
    }
}

fn block(test: ComponentTest, trials: &[TrialHead]) -> TestBlock {
    let finding = finding(&test);
    let chart = chart(&test, trials, &finding);
    TestBlock {
        drawing: chart.draw(),
        finding,
        test,
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

fn chart(test: &ComponentTest, trials: &[TrialHead], finding: &str) -> RateChart {
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
            trials[point.trial].title,
            figures::figure(point.rate_pct),
            figures::read_or_estimate(&point.readings, &point.estimate, &test.strip)
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
            Anchored::Good => Anchors::Good,
            Anchored::Poor => Anchors::Poor,
            Anchored::None => Anchors::None,
        },
        points: points.collect(),
        line,
        finding: format!("{} by treat rate: {}{finding}", test.label, ends(test)),
    }
}
