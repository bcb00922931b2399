//! One method: contact, conditions, quantities with load and pressure of their steps, sources.

use crate::app::{TrialHead, usual_oil};
use crate::catalogue::{Method, MethodContact, Origin, Precision, PrecisionKind, Quantity};
use crate::charts::Detail;
use crate::contact::element::{Load, Loading, Surroundings};
use crate::contact::stated::StatedContact;
use crate::drawing::drawing_of_contact;
use crate::prose::faults::words_left_out;
use crate::records::TrialSlug;
use crate::web::contact_view::{DrawingView, picture_of, speeds_and_counts};
use crate::web::figures::{self, count};
use crate::web::frame::{Frame, Section};
use crate::web::pages::methods::filter::Weighing;
use crate::web::pages::methods::sources::source_lines;
use crate::web::preferences::preferences;
use askama::Template;

/// One method.
#[derive(Template)]
#[template(path = "methods/show.html")]
pub(super) struct MethodPage<'a> {
    frame: Frame,
    method: &'a Method,
    /// The trial from whose explanation a reader came.
    came_from: Option<TrialSlug>,
    /// Trials in which it stands, the latest first.
    trials: Vec<TrialHead>,
}

impl<'a> MethodPage<'a> {
    pub(super) fn new(method: &'a Method, came_from: Option<TrialSlug>, trials: Vec<TrialHead>) -> Self {
        Self {
            frame: Frame::new(method.prose(&method.title, preferences())).of(Section::Methods),
            method,
            came_from,
            trials,
        }
    }

    /// A text of the method's file with the reader's decimal sign.
    fn prose(&self, text: &str) -> String {
        self.method.prose(text, preferences())
    }

    /// The words of the original that the copy does without.
    fn left_out(&self) -> Vec<String> {
        let words = self.method.left_out.iter();
        words.map(|words| words_left_out(words, self.method)).collect()
    }

    fn cost(&self) -> String {
        let cost = self.method.cost.map(|cost| {
            let cost = figures::figure(cost);
            format!("a result costs about {cost}, in the laboratory's currency")
        });
        let days = self.method.days.map(|days| days.round() as usize);
        let days = days.map(|days| format!("takes {}", count(days, "day")));
        [cost, days].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    fn drawing(&self, contact: &MethodContact) -> DrawingView {
        let drawing = drawing_of_contact(self.method, contact, preferences());
        DrawingView::new(drawing, "unworn, at the load shown")
    }

    /// Load and pressure of each step; one row where the load is fixed; none where nothing can be computed.
    fn steps(&self, quantity: &Quantity) -> Vec<StepPressure> {
        step_pressures(self.method, quantity)
    }
}

/// What surrounds a contact, or the terms by which it is stated.
fn surroundings(contact: &MethodContact) -> Vec<(&'static str, String)> {
    match contact {
        MethodContact::Rig { surroundings, .. } => around(surroundings),
        MethodContact::Stated(stated) => stated_terms(stated),
    }
}

fn around(surroundings: &Surroundings) -> Vec<(&'static str, String)> {
    let hardness = surroundings.hardness_pa.map(|hardness| {
        let gigapascal = figures::measured(hardness / 1e9, "GPa");
        ("hardness of the softer body", gigapascal)
    });
    let always = [
        (
            "bulk temperature",
            figures::measured_range(surroundings.bulk_temperature_c, "°C"),
        ),
        ("motion", surroundings.motion.word().to_string()),
        ("materials", surroundings.materials.word().to_string()),
        ("supply", surroundings.supply.word().to_string()),
        (
            "friction coefficient taken",
            figures::figure(surroundings.friction_coefficient),
        ),
    ];
    always.into_iter().chain(hardness).collect()
}

fn stated_terms(stated: &StatedContact) -> Vec<(&'static str, String)> {
    let words = [
        ("shape", stated.shape.map(|shape| shape.word())),
        ("motion", stated.motion.map(|motion| motion.word())),
        ("materials", stated.materials.map(|materials| materials.word())),
        ("supply", stated.supply.map(|supply| supply.word())),
    ];
    let words = words
        .into_iter()
        .filter_map(|(name, word)| Some((name, word?.to_string())));
    let ranges = [
        ("maximum pressure", stated.max_pressure_pa, 1e9, "GPa"),
        ("mean pressure", stated.mean_pressure_pa, 1e9, "GPa"),
        ("sliding speed", stated.sliding_m_s, 1.0, "m/s"),
        ("rolling speed", stated.entrainment_m_s, 1.0, "m/s"),
        ("slide-roll ratio", stated.slide_roll, 1.0, ""),
        ("film ratio", stated.film_ratio, 1.0, ""),
        ("time in contact, share", stated.time_share, 1.0, ""),
        ("bulk temperature", stated.temperature_c, 1.0, "°C"),
        ("contact temperature", stated.contact_temperature_c, 1.0, "°C"),
    ];
    let ranges = ranges.into_iter().filter_map(|(name, range, per_unit, unit)| {
        let in_unit = range?.map(|value| value / per_unit)?;
        Some((name, figures::measured_range(in_unit, unit)))
    });
    words.chain(ranges).collect()
}

/// `wear (1), scuffing (0.5)`.
fn modes_and_strengths(quantity: &Quantity) -> String {
    let modes = quantity.modes.iter();
    let said = modes.map(|(mode, strength)| format!("{mode} ({})", figures::figure(*strength)));
    said.collect::<Vec<_>>().join(", ")
}

/// A value of a quantity with its unit.
fn with_unit(value: f64, quantity: &Quantity) -> String {
    figures::with_unit(&figures::figure_in(value, quantity.unit), quantity.unit)
}

/// `r = 0.12 mm within one laboratory, R = 0.28 mm between laboratories`.
pub(super) fn precision_words(precision: &Precision, quantity: &Quantity) -> String {
    let limit = |value: f64| match precision.kind {
        PrecisionKind::Constant => with_unit(value, quantity),
        PrecisionKind::PerCent => format!("{} % of the mean", figures::figure(value)),
        PrecisionKind::Steps if value == 1.0 => "1 step".to_string(),
        PrecisionKind::Steps => format!("{} steps", figures::figure(value)),
    };
    let between = precision.reproducibility.map_or_else(
        || "R between laboratories is not published".to_string(),
        |value| format!("R = {} between laboratories", limit(value)),
    );
    let level = precision
        .level
        .map(|level| format!(", found near {}", with_unit(level, quantity)));
    let within = limit(precision.repeatability);
    format!(
        "r = {within} within one laboratory, {between}{}",
        level.unwrap_or_default()
    )
}

/// Above this a maximum pressure of hard steel is nominal: it has yielded (first yield near 1.6 times the yield
/// strength, Johnson, Contact Mechanics, 1985; hard bearing steel about 2.2 GPa, from memory).
const FIRST_YIELD_PA: f64 = 3.5e9;

/// The oil whose film is given for a method by itself: no trial says another (ours).
pub(crate) const FILM_OIL: &str = "ISO VG 220: 220 mm2/s at 40 °C, 19 mm2/s at 100 °C, 880 kg/m3 (ours)";

/// The contact of unworn specimens at one step.
pub(crate) struct StepPressure {
    pub(crate) step: Option<f64>,
    pub(crate) load_n: Option<f64>,
    pub(crate) load_words: String,
    pub(crate) load_per_contact_n: f64,
    pub(crate) max_pressure_pa: f64,
    /// With [`FILM_OIL`].
    pub(crate) film_ratio: Option<f64>,
}

/// The contact of unworn specimens at every step of a quantity, for the first of its contacts with known geometry.
pub(crate) fn step_pressures(method: &Method, quantity: &Quantity) -> Vec<StepPressure> {
    let rig = method.contacts_of(quantity).find_map(|contact| match contact {
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
        quantity.scale.steps().iter().map(|step| Some(*step)).collect()
    };
    let oil = usual_oil();
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
        let terms = element.terms(&loading, surroundings, oil.as_ref()).ok();
        let (load_n, load_words) = match load {
            Load::TotalForceN(force) => (Some(force), figures::measured(force, "N")),
            Load::PinionTorqueNm(torque) => (None, format!("{} N m at the pinion", figures::figure(torque))),
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
