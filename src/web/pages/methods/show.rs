//! One method: contact, conditions, quantities with their steps, sources.

use crate::catalogue::{Method, MethodContact, Origin, Precision, PrecisionKind, Quantity};
use crate::charts::{Detail, Svg};
use crate::contact::stated::StatedContact;
use crate::drawing::drawing_of_contact;
use crate::web::contact_view::{DrawingView, picture_of, speeds_and_counts};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::methods::steps::step_pressures;
use crate::web::pages::methods::words;
use crate::web::preferences::preferences;
use askama::Template;

struct ContactBlock {
    heading: String,
    drawing: DrawingView,
    speeds: Vec<(&'static str, String)>,
    surroundings: Vec<(&'static str, String)>,
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
    /// Where nothing rubs: what is handled instead.
    glassware: Svg,
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
    /// With the way back to the trial that a reader came from.
    pub(super) fn reached_from(mut self, trial: Option<String>) -> Self {
        self.came_from = trial;
        self
    }

    /// The page of a method.
    pub(crate) fn new(method: &Method) -> Self {
        let prose = |text: &str| method.prose(text, preferences());
        let several = method.contacts.len() > 1;
        let contacts = method.contacts.iter().enumerate().map(|(i, contact)| {
            let heading = if several {
                words::contact_of_number(i + 1)
            } else {
                words::CONTACT.to_string()
            };
            contact_block(method, heading, contact)
        });
        Self {
            frame: Frame::new(prose(&method.title)).of(Section::Methods),
            id: method.id.clone(),
            title: prose(&method.title),
            standard: method.standard.clone(),
            standard_title: method.standard_title.clone(),
            lubricant: method.lubricant.word(),
            category: method.category.word(),
            category_meaning: method.category.meaning(),
            contacts: contacts.collect(),
            glassware: picture_of(method).draw(Detail::Large),
            conditions: method
                .conditions
                .iter()
                .map(|condition| (condition.name.clone(), prose(&condition.value)))
                .collect(),
            quantities: method
                .quantities
                .iter()
                .map(|quantity| quantity_block(method, quantity))
                .collect(),
            caution: prose(&method.caution),
            safety: prose(&method.safety),
            note: prose(&method.note),
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
        .map(|cost| words::a_result_costs(&figures::figure(cost)));
    let days = method.days.map(|days| words::takes(days.round() as usize));
    [cost, days].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn contact_block(method: &Method, heading: String, contact: &MethodContact) -> ContactBlock {
    let surroundings = match contact {
        MethodContact::Rig { surroundings, .. } => vec![
            (
                words::BULK_TEMPERATURE,
                figures::measured_range(surroundings.bulk_temperature_c, "°C"),
            ),
            (words::MOTION, surroundings.motion.word().to_string()),
            (words::MATERIALS, surroundings.materials.word().to_string()),
            (words::SUPPLY, surroundings.supply.word().to_string()),
            (
                words::FRICTION_COEFFICIENT_TAKEN,
                figures::figure(surroundings.friction_coefficient),
            ),
        ],
        MethodContact::Stated(stated) => stated_terms(stated),
    };
    ContactBlock {
        heading,
        drawing: DrawingView::new(
            drawing_of_contact(method, contact, preferences()),
            words::UNWORN_AT_THE_LOAD_SHOWN,
        ),
        speeds: speeds_and_counts(contact),
        surroundings,
    }
}

fn stated_terms(stated: &StatedContact) -> Vec<(&'static str, String)> {
    let ranges = [
        (words::MAXIMUM_PRESSURE, stated.max_pressure_pa, 1e9, "GPa"),
        (words::MEAN_PRESSURE, stated.mean_pressure_pa, 1e9, "GPa"),
        (words::SLIDING_SPEED, stated.sliding_m_s, 1.0, "m/s"),
        (words::SLIDE_ROLL_RATIO, stated.slide_roll, 1.0, ""),
        (words::FILM_RATIO, stated.film_ratio, 1.0, ""),
        (words::TIME_IN_CONTACT_SHARE, stated.time_share, 1.0, ""),
        (words::BULK_TEMPERATURE, stated.temperature_c, 1.0, "°C"),
        (
            words::CONTACT_TEMPERATURE,
            stated.contact_temperature_c,
            1.0,
            "°C",
        ),
    ];
    let ranges = ranges.into_iter().filter_map(|(name, range, per_unit, unit)| {
        let in_unit = range?.map(|value| value / per_unit)?;
        Some((name, figures::measured_range(in_unit, unit)))
    });
    let words = [
        (words::SHAPE, stated.shape.map(|shape| shape.word())),
        (words::MOTION, stated.motion.map(|motion| motion.word())),
        (
            words::MATERIALS,
            stated.materials.map(|materials| materials.word()),
        ),
        (words::SUPPLY, stated.supply.map(|supply| supply.word())),
    ];
    let words = words
        .into_iter()
        .filter_map(|(name, word)| word.map(|word| (name, word.to_string())));
    words.chain(ranges).collect()
}

fn quantity_block(method: &Method, quantity: &Quantity) -> QuantityBlock {
    let prose = |text: &str| method.prose(text, preferences());
    let modes: Vec<String> = quantity
        .modes
        .iter()
        .map(|(mode, strength)| format!("{mode} ({})", figures::figure(*strength)))
        .collect();
    let steps = steps(method, quantity);
    QuantityBlock {
        id: quantity.id.clone(),
        label: prose(&quantity.label),
        unit: figures::unit(quantity.unit),
        better: figures::better(quantity.better),
        modes: modes.join(", "),
        precision: quantity.precision.as_ref().map_or_else(
            || words::NOT_PUBLISHED.to_string(),
            |precision| precision_words(precision, quantity),
        ),
        precision_note: prose(&quantity.precision_note),
        cap: quantity
            .cap
            .map(|cap| figures::with_unit(&figures::figure_in(cap, quantity.unit), quantity.unit))
            .unwrap_or_default(),
        classes: quantity.classes.join(", "),
        steps_caption: format!(
            "{}: {}",
            quantity.label,
            if quantity.steps.is_empty() {
                words::LOAD_AND_PRESSURE
            } else {
                words::LOAD_AND_PRESSURE_PER_STEP
            }
        ),
        steps,
    }
}

/// `r = 0.12 mm within a laboratory, R = 0.28 mm between laboratories`.
pub(super) fn precision_words(precision: &Precision, quantity: &Quantity) -> String {
    let with_unit = |value: f64| match precision.kind {
        PrecisionKind::Constant => {
            figures::with_unit(&figures::figure_in(value, quantity.unit), quantity.unit)
        }
        PrecisionKind::PerCent => words::per_cent_of_the_mean(&figures::figure(value)),
        PrecisionKind::Steps if value == 1.0 => words::ONE_STEP.to_string(),
        PrecisionKind::Steps => words::steps(&figures::figure(value)),
    };
    let between = precision.reproducibility.map_or_else(
        || words::R_BETWEEN_LABORATORIES_IS_NOT_PUBLISHED.to_string(),
        |value| words::between_laboratories(&with_unit(value)),
    );
    let level = precision
        .level
        .map(|level| {
            let at = figures::with_unit(&figures::figure_in(level, quantity.unit), quantity.unit);
            words::found_near(&at)
        })
        .unwrap_or_default();
    words::within_one_laboratory(&with_unit(precision.repeatability), &between, &level)
}

/// Above this a maximum pressure of hard steel is nominal: it has yielded (first yield near 1.6 times the yield
/// strength, Johnson, Contact Mechanics, 1985; hard bearing steel about 2.2 GPa, from memory).
const FIRST_YIELD_PA: f64 = 3.5e9;

/// Load and pressure of each step; one row where the load is fixed; none where nothing can be computed.
fn steps(method: &Method, quantity: &Quantity) -> Vec<StepRow> {
    let rows = step_pressures(method, quantity);
    rows.into_iter()
        .map(|row| StepRow {
            step: (row.step).map_or_else(
                || words::FIXED.to_string(),
                |step| figures::figure_in(step, quantity.unit),
            ),
            total_load: row.load_words,
            load_per_contact: figures::measured(row.load_per_contact_n, "N"),
            max_pressure: figures::measured(row.max_pressure_pa / 1e9, "GPa"),
            remark: if row.max_pressure_pa > FIRST_YIELD_PA {
                words::NOMINAL_BEYOND_YIELD
            } else {
                ""
            },
        })
        .collect()
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
