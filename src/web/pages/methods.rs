//! `/methods` and `/methods/{id}`: the test methods, each with its contact, ladder, precision and the source of every
//! value.

use crate::catalogue::{Better, Category, Method, MethodContact, Origin, Precision, PrecisionKind, Quantity};
use crate::charts::{Detail, Svg, number_words};
use crate::contact::element::Loading;
use crate::desk::Desk;
use crate::records::TrialSlug;
use crate::web::contact_view::{Dimension, dimensions, picture_of, picture_of_contact};
use crate::web::error::{AppError, html};
use crate::web::frame::{Frame, Section};
use crate::web::question::{Pairs, encoded};
use crate::web::words;
use askama::Template;
use axum::Router;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<Desk>> {
    Router::new()
        .route("/methods", get(list_methods))
        .route("/methods/{id}", get(show_method))
}

async fn list_methods(State(desk): State<Arc<Desk>>) -> Result<Response, AppError> {
    html(&MethodsPage::new(desk.methods().await?.iter()))
}

async fn show_method(
    State(desk): State<Arc<Desk>>,
    id: Result<Path<String>, PathRejection>,
    pairs: Pairs,
) -> Result<Response, AppError> {
    let came_from = pairs.0.iter().find(|(field, _)| field == "trial");
    let page = MethodPage {
        came_from: came_from
            .and_then(|(_, slug)| TrialSlug::new(slug))
            .map(|slug| encoded(slug.as_str())),
        ..MethodPage::new(&find_method(&desk, id).await?)
    };
    html(&page)
}

/// The method that an address names.
pub(crate) async fn find_method(
    desk: &Desk,
    id: Result<Path<String>, PathRejection>,
) -> Result<Method, AppError> {
    let id = id.map_or_else(|_| String::new(), |Path(id)| id);
    let found = desk.methods().await?.into_iter().find(|method| method.id == id);
    found.ok_or_else(|| AppError::not_found("No method has this id."))
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
            frame: Frame::new("Methods").of(Section::Methods),
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
        title: method.title.clone(),
        standard: method.standard.clone(),
        lubricant: method.lubricant.word(),
        measures: measures.join("; "),
        picture: picture.draw(Detail::Small),
        picture_words: picture.kind.words(),
        is_own: method.origin == Origin::Own,
    }
}

struct ContactBlock {
    heading: String,
    picture: Svg,
    dimensions: Vec<Dimension>,
    surroundings: Vec<(&'static str, String)>,
    is_stated: bool,
}

struct StepRow {
    step: String,
    total_load: String,
    load_per_contact: String,
    max_pressure: String,
    remark: &'static str,
}

struct QuantityBlock {
    id: String,
    label: String,
    unit: &'static str,
    better: &'static str,
    modes: String,
    precision: String,
    precision_note: String,
    cap: String,
    classes: String,
    steps: Vec<StepRow>,
    steps_caption: String,
}

struct SourceRow {
    path: String,
    value: String,
    mark: &'static str,
    source: String,
}

/// One method.
#[derive(Template)]
#[template(path = "methods/show.html")]
pub(crate) struct MethodPage {
    frame: Frame,
    id: String,
    title: String,
    standard: String,
    standard_title: String,
    lubricant: &'static str,
    category: &'static str,
    category_meaning: &'static str,
    contacts: Vec<ContactBlock>,
    conditions: Vec<(String, String)>,
    quantities: Vec<QuantityBlock>,
    caution: String,
    safety: String,
    note: String,
    cost: String,
    sources: Vec<SourceRow>,
    is_own: bool,
    /// The trial from whose explanation a reader came, as it stands in an address.
    came_from: Option<String>,
}

impl MethodPage {
    /// The page of a method.
    pub(crate) fn new(method: &Method) -> Self {
        let several = method.contacts.len() > 1;
        let contacts = method.contacts.iter().enumerate().map(|(i, contact)| {
            let heading = if several {
                format!("Contact {}", i + 1)
            } else {
                "Contact".to_string()
            };
            contact_block(heading, contact)
        });
        Self {
            frame: Frame::new(method.title.clone()).of(Section::Methods),
            id: method.id.clone(),
            title: method.title.clone(),
            standard: method.standard.clone(),
            standard_title: method.standard_title.clone(),
            lubricant: method.lubricant.word(),
            category: method.category.word(),
            category_meaning: method.category.meaning(),
            contacts: contacts.collect(),
            conditions: method
                .conditions
                .iter()
                .map(|condition| (condition.name.clone(), condition.value.clone()))
                .collect(),
            quantities: method
                .quantities
                .iter()
                .map(|quantity| quantity_block(method, quantity))
                .collect(),
            caution: method.caution.clone(),
            safety: method.safety.clone(),
            note: method.note.clone(),
            cost: cost(method),
            sources: sources(method),
            is_own: method.origin == Origin::Own,
            came_from: None,
        }
    }
}

fn cost(method: &Method) -> String {
    let cost = method
        .cost
        .map(|cost| format!("about {} of the laboratory's currency", number_words(cost)));
    let days = method.days.map(|days| words::count(days.round() as usize, "day"));
    [cost, days].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn contact_block(heading: String, contact: &MethodContact) -> ContactBlock {
    let surroundings = match contact {
        MethodContact::Rig { surroundings, .. } => vec![
            (
                "bulk temperature",
                format!("{} °C", words::range(surroundings.bulk_temperature_c, 1.0)),
            ),
            ("motion", surroundings.motion.word().to_string()),
            ("materials", surroundings.materials.word().to_string()),
            ("supply", surroundings.supply.word().to_string()),
            (
                "friction coefficient taken",
                number_words(surroundings.friction_coefficient),
            ),
        ],
        MethodContact::Stated(stated) => stated_terms(stated),
    };
    ContactBlock {
        heading,
        picture: picture_of_contact(contact).draw(Detail::Lettered),
        dimensions: dimensions(contact),
        surroundings,
        is_stated: matches!(contact, MethodContact::Stated(_)),
    }
}

fn stated_terms(stated: &crate::contact::stated::StatedContact) -> Vec<(&'static str, String)> {
    let ranges = [
        ("maximum pressure, GPa", stated.max_pressure_pa, 1e9),
        ("mean pressure, GPa", stated.mean_pressure_pa, 1e9),
        ("sliding speed, m/s", stated.sliding_m_s, 1.0),
        ("slide-roll ratio", stated.slide_roll, 1.0),
        ("film ratio", stated.film_ratio, 1.0),
        ("time in contact, share", stated.time_share, 1.0),
        ("bulk temperature, °C", stated.temperature_c, 1.0),
        ("contact temperature, °C", stated.contact_temperature_c, 1.0),
    ];
    let ranges = ranges
        .into_iter()
        .filter_map(|(name, range, per_unit)| range.map(|range| (name, words::range(range, per_unit))));
    let words = [
        ("shape", stated.shape.map(|shape| shape.word())),
        ("motion", stated.motion.map(|motion| motion.word())),
        ("materials", stated.materials.map(|materials| materials.word())),
        ("supply", stated.supply.map(|supply| supply.word())),
    ];
    let words = words
        .into_iter()
        .filter_map(|(name, word)| word.map(|word| (name, word.to_string())));
    words.chain(ranges).collect()
}

fn quantity_block(method: &Method, quantity: &Quantity) -> QuantityBlock {
    let modes: Vec<String> = quantity
        .modes
        .iter()
        .map(|(mode, strength)| format!("{mode} ({})", number_words(*strength)))
        .collect();
    let steps = steps(method, quantity);
    QuantityBlock {
        id: quantity.id.clone(),
        label: quantity.label.clone(),
        unit: words::unit(quantity.unit),
        better: match quantity.better {
            Better::Higher => "more is better",
            Better::Lower => "less is better",
        },
        modes: modes.join(", "),
        precision: quantity.precision.as_ref().map_or_else(
            || "not published".to_string(),
            |precision| precision_words(precision, quantity),
        ),
        precision_note: quantity.precision_note.clone(),
        cap: quantity
            .cap
            .map(|cap| words::with_unit(&number_words(cap), quantity.unit))
            .unwrap_or_default(),
        classes: quantity.classes.join(", "),
        steps_caption: format!(
            "{}: {}",
            quantity.label,
            if quantity.steps.is_empty() {
                "load and pressure"
            } else {
                "load and pressure per step"
            }
        ),
        steps,
    }
}

/// `r = 0.12 mm within a laboratory, R = 0.28 mm between laboratories`.
fn precision_words(precision: &Precision, quantity: &Quantity) -> String {
    let with_unit = |value: f64| match precision.kind {
        PrecisionKind::Constant => words::with_unit(&number_words(value), quantity.unit),
        PrecisionKind::PerCent => format!("{} % of the mean", number_words(value)),
        PrecisionKind::Steps if value == 1.0 => "1 step".to_string(),
        PrecisionKind::Steps => format!("{} steps", number_words(value)),
    };
    let between = precision.reproducibility.map_or_else(
        || "R between laboratories is not published".to_string(),
        |value| format!("R = {} between laboratories", with_unit(value)),
    );
    let level = precision
        .level
        .map(|level| {
            let at = words::with_unit(&number_words(level), quantity.unit);
            format!(", found near {at}")
        })
        .unwrap_or_default();
    format!(
        "r = {} within one laboratory, {between}{level}",
        with_unit(precision.repeatability)
    )
}

/// Above this a maximum pressure of hard steel is nominal: it has yielded (first yield near 1.6 times the yield
/// strength, Johnson, Contact Mechanics, 1985; hard bearing steel about 2.2 GPa, from memory).
const FIRST_YIELD_PA: f64 = 3.5e9;

/// Load and pressure of each step; one row where the load is fixed; none where nothing can be computed.
fn steps(method: &Method, quantity: &Quantity) -> Vec<StepRow> {
    let rows = step_pressures(method, quantity);
    rows.into_iter()
        .map(|row| StepRow {
            step: row.step.map_or_else(|| "fixed".to_string(), number_words),
            total_load: row.load_words,
            load_per_contact: format!("{} N", number_words(row.load_per_contact_n)),
            max_pressure: format!("{} GPa", number_words(row.max_pressure_pa / 1e9)),
            remark: if row.max_pressure_pa > FIRST_YIELD_PA {
                "nominal, beyond yield"
            } else {
                ""
            },
        })
        .collect()
}

/// The contact of unworn specimens at one step.
pub(crate) struct StepPressure {
    pub(crate) step: Option<f64>,
    pub(crate) load_n: Option<f64>,
    pub(crate) load_words: String,
    pub(crate) load_per_contact_n: f64,
    pub(crate) max_pressure_pa: f64,
    pub(crate) film_ratio: Option<f64>,
}

/// The contact of unworn specimens at every step of a quantity, for the method's first contact with known geometry.
pub(crate) fn step_pressures(method: &Method, quantity: &Quantity) -> Vec<StepPressure> {
    let rig = method.contacts.iter().find_map(|contact| match contact {
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => Some((element, surroundings, load)),
        MethodContact::Stated(_) => None,
    });
    let Some((element, surroundings, rule)) = rig else {
        return Vec::new();
    };
    let fixed = rule.load(None).is_some();
    let asked: Vec<Option<f64>> = if fixed {
        vec![None]
    } else {
        quantity.steps.iter().map(|step| Some(*step)).collect()
    };
    let mut rows = Vec::new();
    for step in asked {
        let Some(load) = rule.load(step) else { continue };
        let fresh = element.fresh_contact(&load, surroundings.materials);
        let per_contact = element.load_per_contact_n(&load);
        let (Ok(fresh), Ok(load_per_contact_n)) = (fresh, per_contact) else {
            continue;
        };
        let loading = Loading {
            load,
            worn_scar_m: None,
        };
        let terms = element.terms(&loading, surroundings, None).ok();
        let (load_n, load_words) = match load {
            crate::contact::element::Load::TotalForceN(force) => {
                (Some(force), format!("{} N", number_words(force)))
            }
            crate::contact::element::Load::PinionTorqueNm(torque) => {
                (None, format!("{} N m at the pinion", number_words(torque)))
            }
        };
        rows.push(StepPressure {
            step,
            load_n,
            load_words,
            load_per_contact_n,
            max_pressure_pa: fresh.max_pressure_pa(),
            film_ratio: terms.and_then(|terms| terms.film_ratio).map(|ratio| ratio.lo()),
        });
    }
    rows
}

fn sources(method: &Method) -> Vec<SourceRow> {
    let rows = method.sources.iter();
    rows.map(|sourced| SourceRow {
        path: sourced.path.replace('.', " · ").replace('_', " "),
        value: sourced.value.clone(),
        mark: sourced.mark.words(),
        source: sourced.source.clone(),
    })
    .collect()
}
