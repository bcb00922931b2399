//! `/methods` and `/methods/{id}`: the test methods, each with its contact, ladder, precision and the source of every
//! value.

mod copy;
mod copy_form;
mod effects;
mod filter;
mod show;
mod sources;

use crate::app::App;
use crate::catalogue::{Category, Method, MethodId, Origin};
use crate::charts::Detail;
use crate::records::TrialSlug;
use crate::web::address::{At, nothing};
use crate::web::contact_view::picture_of;
use crate::web::error::{HttpError, html};
use crate::web::figures::count;
use crate::web::frame::{Frame, Section};
use crate::web::pages::methods::filter::{Choice, Weighing, choices, leaves};
use crate::web::pages::methods::show::MethodPage;
use crate::web::preferences::preferences;
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::get;
use std::collections::BTreeMap;
use std::sync::Arc;

pub(crate) use show::{FILM_OIL, step_pressures};

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(copy::router())
        .route("/methods", get(list_methods))
        .route("/methods/{id}", get(show_method))
}

async fn list_methods(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let methods = app.methods().await?;
    let choices = choices(&methods, &pairs);
    let all = methods.len();
    let left = methods.into_iter().filter(|method| leaves(&choices, method));
    html(&MethodsPage {
        frame: Frame::new("Methods").of(Section::Methods),
        methods: left.collect(),
        all,
        choices,
        trials: app.trials_by_method().await?,
    })
}

async fn show_method(
    State(app): State<Arc<App>>,
    At(id): At<MethodId>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let came_from = pairs.field("trial").and_then(TrialSlug::new);
    let trials = app.trials_of_method(&id).await?;
    html(&MethodPage::new(
        &find_method(&app, &id).await?,
        came_from,
        trials,
    ))
}

/// The method that an address names.
pub(crate) async fn find_method(app: &App, id: &MethodId) -> Result<Method, HttpError> {
    let found = app.methods().await?.into_iter().find(|method| &method.id == id);
    found.ok_or_else(nothing::<MethodId>)
}

/// The methods that a filter leaves, by test category.
#[derive(Template)]
#[template(path = "methods/list.html")]
struct MethodsPage {
    frame: Frame,
    methods: Vec<Method>,
    /// How many there are without the filter.
    all: usize,
    choices: Vec<Choice>,
    /// In how many trials each method stands.
    trials: BTreeMap<String, usize>,
}

impl MethodsPage {
    fn is_filtered(&self) -> bool {
        self.choices.iter().any(|choice| !choice.chosen.is_empty())
    }

    fn heading(&self) -> String {
        let left = count(self.methods.len(), "method");
        if self.is_filtered() {
            format!("{left} of {}", self.all)
        } else {
            left
        }
    }

    fn trials_of(&self, method: &Method) -> usize {
        self.trials.get(method.id.as_str()).copied().unwrap_or(0)
    }

    /// The methods by category, from the field to the bench.
    fn groups(&self) -> Vec<(Category, Vec<&Method>)> {
        let of = |category| {
            let methods = self.methods.iter().filter(|method| method.category == category);
            (category, methods.collect::<Vec<_>>())
        };
        let groups = Category::ALL.into_iter().map(of);
        groups.filter(|(_, methods)| !methods.is_empty()).collect()
    }
}

/// What a method measures, with the reader's decimal sign.
fn measures(method: &Method) -> String {
    let labels = method.quantities.iter().map(|quantity| quantity.label.as_str());
    method.prose(&labels.collect::<Vec<_>>().join("; "), preferences())
}
