//! The two contact areas with their true sizes, and the pressure on a worn one.

use crate::catalogue::{MethodContact, PressureFrom};
use crate::contact::element::FreshContact;
use crate::contact::note::Note;
use crate::explain::Case;
use crate::explain::words::tidy;
use crate::explain::worn::pressure_on_scar_pa;
use crate::records::{MachineContact, Role};
use crate::resemblance;
use crate::units::{DisplayPreferences, Unit};
use serde::Serialize;

/// A contact area with its sizes in m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Footprint {
    /// A circle.
    Circle {
        /// Diameter.
        diameter_m: f64,
    },
    /// A strip or any oblong, by its sides.
    Strip {
        /// Longer side.
        length_m: f64,
        /// Shorter side.
        width_m: f64,
    },
}

impl Footprint {
    /// `0.64 mm across`, `20 mm long, 0.36 mm wide`.
    pub fn words(&self, shown: DisplayPreferences) -> String {
        let mm = |metres: f64| format!("{} mm", shown.number(metres * 1e3));
        match *self {
            Self::Circle { diameter_m } => format!("{} across", mm(diameter_m)),
            Self::Strip { length_m, width_m } => format!("{} long, {} wide", mm(length_m), mm(width_m)),
        }
    }
}

/// The contact of the test, where it has a geometry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TestContact {
    /// Unworn.
    pub fresh: Footprint,
    /// Worn, where a scar decides.
    pub worn: Option<Footprint>,
    /// Greatest pressure on the unworn area, Pa.
    pub fresh_max_pressure_pa: f64,
    /// Mean pressure on the worn area, Pa.
    pub worn_mean_pressure_pa: Option<f64>,
    /// Load on one contact, N.
    pub load_n: f64,
    /// What these are taken at, in words.
    pub taken_at: String,
    /// The worn pressure beside the fresh one, in words; empty without a scar.
    pub worn_words: String,
    /// What is nominal about it.
    pub remarks: Vec<String>,
}

/// The contact of the test at the load, and with the scar, that its comparison was computed for.
/// Of several contacts it is the one that is compared with the machine's of this name.
pub(crate) fn test_contact(case: &Case<'_>, beside: Option<&str>) -> Option<TestContact> {
    let names = case.method.names_of(case.quantity);
    let mut likenesses = case.test.contacts.iter();
    let likeness = likenesses.find(|likeness| Some(likeness.contact.as_str()) == beside);
    let place = likeness.and_then(|it| names.iter().position(|name| *name == it.of_test));
    let place = place.unwrap_or_default();
    let MethodContact::Rig {
        element,
        surroundings,
        load,
    } = case.method.contacts_of(case.quantity).nth(place)?
    else {
        return None;
    };
    let quantity = case.quantity;
    let is_worn = quantity.pressure_from == PressureFrom::WornToFresh;
    let nominal = quantity.nominal.filter(|_| !is_worn);
    let loading = load.load(case.test.decided.step.or(nominal))?;
    let fresh = element.fresh_contact(&loading, surroundings.materials).ok()?;
    let nominal_scar = quantity.nominal.map(|scar| scar * quantity.unit.factor());
    let scar_m = case.test.decided.scar_m.or(nominal_scar).filter(|_| is_worn);
    let fresh_max_pressure_pa = fresh.max_pressure_pa();
    let worn_mean_pressure_pa = scar_m.and_then(|scar_m| pressure_on_scar_pa(&fresh, scar_m));
    let worn = scar_m.filter(|_| worn_mean_pressure_pa.is_some());
    let terms = resemblance::contacts(case.method, quantity, case.test.decided, None);
    let notes = terms
        .ok()
        .and_then(|sides| sides.into_iter().nth(place))
        .map(|side| side.notes)
        .unwrap_or_default();
    Some(TestContact {
        fresh: match fresh {
            FreshContact::Point(it) => Footprint::Circle {
                diameter_m: 2.0 * it.half_width_m,
            },
            FreshContact::Line(it) => strip(it.length_m, 2.0 * it.half_width_m),
        },
        worn: worn.map(|scar_m| match fresh {
            FreshContact::Point(_) => Footprint::Circle { diameter_m: scar_m },
            FreshContact::Line(it) => strip(it.length_m, scar_m),
        }),
        fresh_max_pressure_pa,
        worn_mean_pressure_pa,
        load_n: fresh.load_n(),
        taken_at: taken_at(case),
        worn_words: worn_mean_pressure_pa
            .map(|worn| worn_words(worn, fresh_max_pressure_pa, case.shown))
            .unwrap_or_default(),
        remarks: notes
            .into_iter()
            .filter(|note| matches!(note, Note::BeyondFirstYield | Note::StrokeMeans))
            .map(|note| case.shown.dress_within(note.words()))
            .collect(),
    })
}

fn strip(a: f64, b: f64) -> Footprint {
    Footprint::Strip {
        length_m: a.max(b),
        width_m: a.min(b),
    }
}

fn worn_words(worn: f64, fresh: f64, shown: DisplayPreferences) -> String {
    let mpa = |pressure: f64| shown.in_unit(Unit::Megapascal).words(pressure / 1e6);
    let gpa = |pressure: f64| shown.in_unit(Unit::Gigapascal).words(pressure / 1e9);
    format!(
        "The number is read from a worn spot. On that spot the mean pressure is down to {}; on the unworn surfaces the greatest was {}, {} times as much.",
        mpa(worn),
        gpa(fresh),
        tidy(fresh / worn, shown)
    )
}

fn taken_at(case: &Case<'_>) -> String {
    let decided = case.test.decided;
    let quantity = case.quantity;
    let load = |step: f64| case.shown.in_unit(quantity.unit).words(step);
    let references = case.records.with_role(Role::Reference);
    let by_references = references
        .into_iter()
        .any(|oil| case.test.estimates.contains_key(oil));
    let whose = match (decided.step.or(decided.scar_m), by_references) {
        (Some(_), true) => "the middle of what the reference oils read",
        (Some(_), false) => "the middle of what the candidates read",
        (None, _) => "the method's usual value",
    };
    if quantity.pressure_from == PressureFrom::WornToFresh {
        let nominal = quantity.nominal.map(|scar| scar * quantity.unit.factor());
        let scar = decided.scar_m.or(nominal);
        return scar.map_or_else(
            || "at the method's load".to_string(),
            |scar| {
                format!(
                    "at the method's load; scar of {} mm, {whose}",
                    case.shown.number(scar * 1e3)
                )
            },
        );
    }
    match (decided.step.or(quantity.nominal), &quantity.load_of) {
        _ if quantity.pressure_from != PressureFrom::DecidingLoad => "at the method's load".to_string(),
        (Some(step), None) if quantity.unit == Unit::Stage => {
            format!("at stage {}, {whose}", case.shown.number(step))
        }
        (Some(step), None) => format!("at {}, {whose}", load(step)),
        (Some(step), Some(_)) => format!("at the load that decides it, {}", load(step)),
        (None, _) => "at the method's load".to_string(),
    }
}

/// The contact area of a machine contact; `None` where it is stated without a geometry.
pub(crate) fn machine_footprint(contact: &MachineContact) -> Option<Footprint> {
    contact.preset.footprint().map(|(a, b)| strip(a, b))
}
