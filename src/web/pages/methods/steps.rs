//! Load and pressure of a method, step by step.

use crate::app::usual_oil;
use crate::catalogue::{Method, MethodContact, Quantity};
use crate::contact::element::{Load, Loading};
use crate::web::figures;
use crate::web::pages::methods::words;

/// The oil whose film is given for a method by itself: no trial says another (ours).
pub(crate) const FILM_OIL: &str = words::FILM_OIL;

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
            Load::PinionTorqueNm(torque) => (None, words::torque_at_the_pinion(&figures::figure(torque))),
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
