//! The quantities of a copied method: their steps, and a precision that is the laboratory's own or none.

use crate::catalogue::{Method, PrecisionKind, Quantity, Scale, ScaleKind};
use crate::intake::form::Faults;
use crate::intake::method_form::{Conditions, MethodDraft};
use crate::prose::faults::{R_ALONE, own_method_problem};
use crate::records::table::items;
use crate::records::{OwnQuantity, modes_of};

/// What is typed for a quantity of a copy.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct QuantityDraft {
    /// What it measures.
    pub label: String,
    /// The failure modes it scores, `mode=strength;…`.
    pub modes: String,
    /// Places of the contacts it comes from, `;` between, from 0.
    pub contacts: String,
    /// Steps with `;` between, for a ladder or stages.
    pub steps: String,
    /// The last step that can be run.
    pub cap: String,
    /// Repeatability found by the laboratory; empty where there is none.
    pub repeatability: String,
    /// Reproducibility found between laboratories; may be empty.
    pub reproducibility: String,
    /// `constant`, `percent` or `steps`.
    pub precision_kind: String,
    /// How it was found.
    pub found_by: String,
}

/// The draft that keeps a quantity as it is.
pub(super) fn draft(original: &Method, quantity: &Quantity) -> QuantityDraft {
    QuantityDraft {
        label: quantity.label.clone(),
        modes: modes_words(quantity),
        contacts: places_of(original, quantity),
        steps: numbers(quantity.scale.steps()),
        cap: quantity
            .scale
            .cap()
            .map(|cap| cap.to_string())
            .unwrap_or_default(),
        precision_kind: usual_kind(quantity).to_string(),
        ..QuantityDraft::default()
    }
}

/// How a precision of a quantity is stated where nobody says otherwise.
fn usual_kind(quantity: &Quantity) -> PrecisionKind {
    match (&quantity.precision, &quantity.scale) {
        (Some(precision), _) => precision.kind,
        (None, Scale::Log10Ladder(_) | Scale::Stage(_)) => PrecisionKind::Steps,
        (None, Scale::Ln { .. } | Scale::LnLadder(_)) => PrecisionKind::PerCent,
        (None, _) => PrecisionKind::Constant,
    }
}

/// `adhesive wear=1; rolling wear=0.3`.
fn modes_words(quantity: &Quantity) -> String {
    let modes = quantity.modes.iter();
    let modes: Vec<String> = modes
        .map(|(mode, strength)| format!("{}={strength}", mode.word()))
        .collect();
    modes.join("; ")
}

/// The places of the contacts that a quantity comes from.
fn places_of(original: &Method, quantity: &Quantity) -> String {
    let names = original.names_of(quantity);
    let contacts = original.contacts.iter().enumerate();
    let its = contacts.filter(|(_, named)| names.contains(&named.name));
    its.map(|(place, _)| place.to_string())
        .collect::<Vec<_>>()
        .join("; ")
}

/// The names of the contacts at places, as the copy calls them; `None` where a place is none, or nothing is named.
fn names_at(places: &str, names: &[String]) -> Option<Vec<String>> {
    let name_at = |place: &str| names.get(place.parse::<usize>().ok()?).cloned();
    let named: Option<Vec<String>> = items(places).map(name_at).collect();
    named.filter(|list| !list.is_empty())
}

fn numbers(list: &[f64]) -> String {
    list.iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}

fn pairs<'a>(
    given: &'a MethodDraft,
    original: &'a Method,
) -> impl Iterator<Item = (usize, QuantityDraft, &'a Quantity)> {
    let quantities = original.quantities.iter().enumerate();
    quantities.map(|(place, quantity)| {
        let typed = given.quantities.get(place).cloned();
        (
            place,
            typed.unwrap_or_else(|| draft(original, quantity)),
            quantity,
        )
    })
}

/// The quantities whose steps or last step differ from the original's.
pub(super) fn differing_steps(given: &MethodDraft, original: &Method) -> Vec<String> {
    let mut list = Vec::new();
    for (_, typed, quantity) in pairs(given, original) {
        let same = draft(original, quantity);
        let tidy = |text: &str| text.split_whitespace().collect::<String>();
        let stepped = quantity.scale.is_stepped();
        if stepped && (tidy(&typed.steps) != tidy(&same.steps) || typed.cap.trim() != same.cap) {
            list.push(format!("steps of {}", quantity.label.to_lowercase()));
        }
    }
    list
}

/// The rows of all quantities.
pub(super) fn read_all(
    given: &MethodDraft,
    original: &Method,
    names: &[String],
    conditions: &Conditions,
    faults: &mut Faults,
) -> Vec<OwnQuantity> {
    let mut rows = Vec::new();
    for (place, typed, quantity) in pairs(given, original) {
        rows.push(read(place, &typed, quantity, names, conditions, faults));
    }
    rows
}

fn read(
    place: usize,
    typed: &QuantityDraft,
    quantity: &Quantity,
    names: &[String],
    conditions: &Conditions,
    faults: &mut Faults,
) -> OwnQuantity {
    let field = |name: &str| format!("q{place}.{name}");
    if let Err(problem) = modes_of(&typed.modes) {
        faults.wrong(field("modes"), own_method_problem(&problem));
    }
    let contacts = match names {
        [] | [_] => Some(Vec::new()),
        names => names_at(&typed.contacts, names),
    };
    if contacts.is_none() {
        faults.wrong(
            field("contacts"),
            "choose the contacts that the result comes from",
        );
    }
    let row = OwnQuantity {
        quantity: quantity.id.clone(),
        label: faults.line(&field("label"), "what is measured", &typed.label),
        unit: quantity.unit.word().to_string(),
        better: quantity.better.word().to_string(),
        contacts: contacts.unwrap_or_default().join("; "),
        scale: ScaleKind::from(&quantity.scale).to_string(),
        steps: match &quantity.scale {
            Scale::Class(classes) => classes.join("; "),
            scale if scale.is_stepped() => {
                let when_empty = "is empty; the steps belong here, with ';' between";
                let steps = faults.numbers(&field("steps"), &typed.steps, when_empty, |before, step| {
                    let rises = before.last().is_none_or(|last| *last < step);
                    (!rises).then_some(" does not rise above the step before it")
                });
                numbers(&steps)
            }
            _ => String::new(),
        },
        cap: if quantity.scale.is_stepped() {
            faults.number(&field("cap"), &typed.cap)
        } else {
            quantity.scale.cap()
        },
        plain_number_is: quantity.plain_number.to_string(),
        modes: typed.modes.trim().to_string(),
        ..OwnQuantity::default()
    };
    with_precision(row, &field, typed, quantity, conditions, faults)
}

/// The laboratory's own precision, the original's where no condition differs, or none.
fn with_precision(
    row: OwnQuantity,
    field: &impl Fn(&str) -> String,
    typed: &QuantityDraft,
    quantity: &Quantity,
    conditions: &Conditions,
    faults: &mut Faults,
) -> OwnQuantity {
    let repeatability = faults.number(&field("r"), &typed.repeatability);
    let reproducibility = faults.number(&field("R"), &typed.reproducibility);
    for (name, number) in [("r", repeatability), ("R", reproducibility)] {
        if number.is_some_and(|number| number <= 0.0) {
            faults.wrong(field(name), "must be above 0");
        }
    }
    if let Some(r) = repeatability {
        let found_by = typed.found_by.trim();
        if found_by.is_empty() {
            let problem = "is empty; say from how many runs, oils and laboratories it was found";
            faults.missing(field("found"), problem);
        }
        if crate::catalogue::from_word::<PrecisionKind>(&typed.precision_kind).is_none() {
            faults.wrong(field("kind"), "use constant, percent or steps");
        }
        return OwnQuantity {
            repeatability: Some(r),
            reproducibility,
            precision_kind: typed.precision_kind.trim().to_string(),
            mark: format!("the laboratory's own: {found_by}"),
            ..row
        };
    }
    if reproducibility.is_some() {
        faults.missing(field("r"), R_ALONE);
    }
    match (conditions, &quantity.precision) {
        (Conditions::Same, Some(precision)) => OwnQuantity {
            repeatability: Some(precision.repeatability),
            reproducibility: precision.reproducibility,
            precision_kind: precision.kind.to_string(),
            level: precision.level,
            mark: format!(
                "as the original, whose conditions are unchanged. {}",
                quantity.precision_note
            )
            .trim()
            .to_string(),
            ..row
        },
        (Conditions::Changed(_), Some(_)) => OwnQuantity {
            mark: "none: the original's precision was found under other conditions".to_string(),
            ..row
        },
        (_, None) => OwnQuantity {
            mark: "none is known".to_string(),
            ..row
        },
    }
}
