//! `/methods` and `/methods/{id}`: the test methods, each with its contact, ladder, precision and the source of every
//! value.

mod copy;
mod copy_form;
mod effects;
mod show;
mod steps;
mod words;

use crate::app::App;
use crate::catalogue::{Category, Method, Origin};
use crate::charts::{Detail, Svg};
use crate::records::TrialSlug;
use crate::web::contact_view::picture_of;
use crate::web::error::{HttpError, html};
use crate::web::frame::{Frame, Section};
use crate::web::pages::methods::show::MethodPage;
use crate::web::preferences::preferences;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) use steps::{FILM_OIL, step_pressures};

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .merge(copy::router())
        .route("/methods", get(list_methods))
        .route("/methods/{id}", get(show_method))
}

async fn list_methods(State(app): State<Arc<App>>) -> Result<Response, HttpError> {
    html(&MethodsPage::new(app.methods().await?.iter()))
}

async fn show_method(
    State(app): State<Arc<App>>,
    id: Result<Path<String>, PathRejection>,
    pairs: Pairs,
) -> Result<Response, HttpError> {
    let came_from = pairs.0.iter().find(|(field, _)| field == "trial");
    let came_from = came_from.and_then(|(_, slug)| TrialSlug::new(slug));
    let page = MethodPage::new(&find_method(&app, id).await?);
    html(&page.reached_from(came_from.map(|slug| encoded(slug.as_str()))))
}

/// The method that an address names.
pub(crate) async fn find_method(
    app: &App,
    id: Result<Path<String>, PathRejection>,
) -> Result<Method, HttpError> {
    let id = id.map_or_else(|_| String::new(), |Path(id)| id);
    let found = app.methods().await?.into_iter().find(|method| method.id == id);
    found.ok_or_else(|| HttpError::not_found(words::NO_METHOD_HAS_THIS_ID))
}

/// A method in the list.
struct MethodLine {
    href: String,
    title: String,
    standard: String,
    lubricant: &'static str,
    measures: String,
    picture: Svg,
    picture_words: &'static str,
    is_own: bool,
}

struct Group {
    numeral: &'static str,
    meaning: &'static str,
    methods: Vec<MethodLine>,
}

/// All methods by test category.
#[derive(Template)]
#[template(path = "methods/list.html")]
pub(crate) struct MethodsPage {
    frame: Frame,
    groups: Vec<Group>,
    total: usize,
}

impl MethodsPage {
    /// The list of methods, by category from the field to the bench.
    pub(crate) fn new<'a>(methods: impl Iterator<Item = &'a Method> + Clone) -> Self {
        let groups = Category::ALL.into_iter().map(|category| Group {
            numeral: category.word(),
            meaning: category.meaning(),
            methods: methods
                .clone()
                .filter(|method| method.category == category)
                .map(line)
                .collect(),
        });
        Self {
            frame: Frame::new(words::METHODS).of(Section::Methods),
            groups: groups.filter(|group| !group.methods.is_empty()).collect(),
            total: methods.clone().count(),
        }
    }
}

fn line(method: &Method) -> MethodLine {
    let picture = picture_of(method);
    let measures: Vec<&str> = method
        .quantities
        .iter()
        .map(|quantity| quantity.label.as_str())
        .collect();
    MethodLine {
        href: format!("/methods/{}", encoded(&method.id)),
        title: method.prose(&method.title, preferences()),
        standard: method.standard.clone(),
        lubricant: method.lubricant.word(),
        measures: method.prose(&measures.join("; "), preferences()),
        picture: picture.draw(Detail::Small),
        picture_words: picture.kind.words(),
        is_own: method.origin == Origin::Own,
    }
}
