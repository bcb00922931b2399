//! The form of a copied method.

use crate::app::{
    Conditions, DraftFault, FaultKind, MethodDraft, MethodReading, QuantityDraft, contact_fields,
    terms_changes,
};
use crate::catalogue::{Method, Origin, Precision, Quantity};
use crate::web::error::FieldFault;
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::machines::field::{Field, Input, Shape};
use crate::web::pages::machines::parameter_field;
use crate::web::pages::methods::effects::{Effect, effect};
use crate::web::pages::methods::show::precision_words;
use crate::web::pages::methods::words;
use crate::web::question::encoded;
use askama::Template;

/// A longer condition gets several lines.
const LONGEST_ON_A_LINE: usize = 50;

/// Under this name the torques of the stages are typed.
pub(super) const STAGE_TORQUES: &str = "stage_torques_nm";

struct Part {
    heading: String,
    fields: Vec<Field>,
}

struct QuantityForm {
    heading: String,
    id: String,
    original: String,
    fields: Vec<Field>,
}

/// The page.
#[derive(Template)]
#[template(path = "methods/copy.html")]
pub(super) struct CopyPage {
    frame: Frame,
    original_id: String,
    original_title: String,
    original_standard: String,
    is_own: bool,
    problem: String,
    head: Vec<Field>,
    contacts: Vec<Part>,
    conditions: Vec<Field>,
    quantities: Vec<QuantityForm>,
    differing: Vec<String>,
    effects: Vec<Effect>,
    effects_problem: String,
    has_contact: bool,
    missing: Vec<String>,
}

impl CopyPage {
    /// The form of a draft, with everything that is wrong with it and what it changes.
    pub(super) fn new(original: &Method, draft: &MethodDraft, reading: &MethodReading) -> Self {
        let faults = &reading.faults;
        let (effects, effects_problem) = match &reading.method {
            None => (
                Vec::new(),
                words::MEND_THE_FAULTS_BESIDE_THE_FIELDS_FIRST.to_string(),
            ),
            Some(changed) => match terms_changes(original, changed) {
                Ok(list) => {
                    let several = original.contacts.len() > 1;
                    (
                        list.iter().map(|change| effect(change, several)).collect(),
                        String::new(),
                    )
                }
                Err(problem) => (Vec::new(), problem),
            },
        };
        let missing = faults.iter().filter(|fault| fault.kind == FaultKind::Missing);
        Self {
            frame: Frame::new(words::a_copy_of(&original.title)).of(Section::Methods),
            original_id: encoded(&original.id),
            original_title: original.title.clone(),
            original_standard: original.standard.clone(),
            is_own: original.origin == Origin::Own,
            problem: String::new(),
            head: head(draft, faults),
            contacts: contacts(original, draft, faults),
            conditions: conditions(original, draft, faults),
            quantities: quantities(original, draft, reading),
            differing: match &reading.conditions {
                Conditions::Same => Vec::new(),
                Conditions::Changed(list) => list.clone(),
            },
            effects,
            effects_problem,
            has_contact: original.has_contact(),
            missing: missing.map(|fault| fault.field.clone()).collect(),
        }
    }

    fn fields(&mut self) -> impl Iterator<Item = &mut Field> {
        let contacts = self.contacts.iter_mut().flat_map(|part| &mut part.fields);
        let quantities = self.quantities.iter_mut().flat_map(|part| &mut part.fields);
        let head = self.head.iter_mut().chain(contacts);
        head.chain(&mut self.conditions).chain(quantities)
    }

    /// Without the faults of fields that are still empty: the form is being filled in.
    pub(super) fn hiding_what_is_missing(mut self) -> Self {
        let missing = std::mem::take(&mut self.missing);
        for field in self.fields() {
            if field.inputs.iter().any(|input| missing.contains(&input.name)) {
                field.fault.clear();
            }
        }
        self
    }

    /// With what keeps it from being saved as a whole.
    pub(super) fn refused(mut self, problem: impl Into<String>) -> Self {
        self.problem = problem.into();
        self
    }

    /// With faults that were found while it was saved, beside their fields.
    pub(super) fn faulted(mut self, faults: &[FieldFault]) -> Self {
        for field in self.fields() {
            let found = faults
                .iter()
                .find(|fault| field.inputs.iter().any(|input| input.name == fault.field));
            if let Some(fault) = found {
                field.fault = fault.problem.clone();
            }
        }
        self
    }
}

fn faulted(field: Field, faults: &[DraftFault]) -> Field {
    field.faulted(|name| {
        let of_name: Vec<String> = faults
            .iter()
            .filter(|fault| fault.field == name)
            .map(|fault| fault.problem.clone())
            .collect();
        (!of_name.is_empty()).then(|| of_name.join("; "))
    })
}

fn head(draft: &MethodDraft, faults: &[DraftFault]) -> Vec<Field> {
    [
        Field::line(words::NAME, Input::new("title", &draft.title)).noted(words::SAY_WHAT_IS_DIFFERENT),
        Field::line(
            words::SHORT_NAME_IN_ADDRESSES_AND_FILES,
            Input::new("id", &draft.id),
        )
        .noted(words::HOW_AN_ID_IS_WRITTEN),
        Field::text(words::NOTE, Input::new("note", &draft.note)),
        Field::text(
            words::CAUTION_SHOWN_WITH_IT,
            Input::new("caution", &draft.caution),
        ),
    ]
    .into_iter()
    .map(|field| faulted(field, faults))
    .collect()
}

fn contacts(original: &Method, draft: &MethodDraft, faults: &[DraftFault]) -> Vec<Part> {
    let several = original.contacts.len() > 1;
    let mut parts = Vec::new();
    for (place, contact) in original.contacts.iter().enumerate() {
        let fields = contact_fields(contact);
        let typed = draft.contacts.get(place).cloned().unwrap_or_default();
        let prefix = format!("k{place}.p.");
        let mut list: Vec<Field> = fields
            .fields
            .iter()
            .map(|field| faulted(parameter_field(&prefix, field, &typed), faults))
            .collect();
        if fields.has_stages {
            let text = typed.get(STAGE_TORQUES).cloned().unwrap_or_default();
            let field = Field::line(
                words::TORQUE_OF_EACH_STAGE_AT_THE_PINION,
                Input::new(format!("{prefix}{STAGE_TORQUES}"), text),
            )
            .in_unit(words::NEWTON_METRES)
            .noted(words::HOW_TORQUES_ARE_WRITTEN);
            list.push(faulted(field, faults));
        }
        parts.push(Part {
            heading: if several {
                words::contact_of_number(place + 1)
            } else {
                words::THE_ONLY_CONTACT.to_string()
            },
            fields: list,
        });
    }
    parts
}

fn conditions(original: &Method, draft: &MethodDraft, faults: &[DraftFault]) -> Vec<Field> {
    let list = original.conditions.iter().enumerate();
    list.map(|(place, condition)| {
        let typed = draft.conditions.get(place).cloned().unwrap_or_default();
        let is_long = typed.chars().count() > LONGEST_ON_A_LINE;
        let mut field = Field::line(&condition.name, Input::new(format!("cond{place}"), typed));
        if is_long {
            field.shape = Shape::Text;
        }
        faulted(field, faults)
    })
    .collect()
}

fn quantities(original: &Method, draft: &MethodDraft, reading: &MethodReading) -> Vec<QuantityForm> {
    let list = original.quantities.iter().zip(&draft.quantities).enumerate();
    list.map(|(place, (quantity, typed))| QuantityForm {
        heading: quantity.label.clone(),
        id: quantity.id.clone(),
        original: original_precision(quantity, &reading.conditions, typed),
        fields: quantity_fields(place, quantity, typed)
            .into_iter()
            .map(|field| faulted(field, &reading.faults))
            .collect(),
    })
    .collect()
}

/// What becomes of the original's precision.
fn original_precision(quantity: &Quantity, conditions: &Conditions, typed: &QuantityDraft) -> String {
    let stated = |precision: &Precision| precision_words(precision, quantity);
    let then = match (typed.repeatability.trim().is_empty(), conditions) {
        (false, _) => words::OWN_PRECISION_IS_USED_INSTEAD,
        (true, Conditions::Same) => words::NO_CONDITION_DIFFERS,
        (true, Conditions::Changed(_)) => words::FOUND_UNDER_OTHER_CONDITIONS,
    };
    match &quantity.precision {
        Some(precision) => words::original_has(&stated(precision), then),
        None if typed.repeatability.trim().is_empty() => words::NEITHER_HAS_A_PRECISION.to_string(),
        None => words::original_has_none(then),
    }
}

fn quantity_fields(place: usize, quantity: &Quantity, typed: &QuantityDraft) -> Vec<Field> {
    let name = |field: &str| format!("q{place}.{field}");
    let unit = figures::kept_unit(quantity.unit);
    let mut fields = Vec::new();
    if quantity.scale.is_stepped() {
        fields.push(
            Field::line(words::STEPS, Input::new(name("steps"), &typed.steps))
                .in_unit(unit)
                .noted(words::HOW_STEPS_ARE_WRITTEN),
        );
        fields.push(
            Field::line(
                words::LAST_STEP_THAT_CAN_BE_RUN,
                Input::new(name("cap"), &typed.cap),
            )
            .in_unit(unit)
            .optional(),
        );
    }
    if quantity.scale == crate::catalogue::Scale::Class {
        return fields;
    }
    fields.extend([
        Field::line(words::REPEATABILITY, Input::new(name("r"), &typed.repeatability))
            .noted(words::WHAT_R_IS)
            .optional(),
        Field::line(
            words::REPRODUCIBILITY,
            Input::new(name("R"), &typed.reproducibility),
        )
        .optional(),
        Field::choices(
            words::BOTH_ARE_STATED,
            Input::new(name("kind"), &typed.precision_kind),
            [
                ("constant", words::IN_THE_UNIT_OF_THE_RESULT),
                ("percent", words::IN_PER_CENT_OF_THE_MEAN),
                ("steps", words::IN_STEPS),
            ],
        ),
        Field::line(
            words::HOW_THEY_WERE_FOUND,
            Input::new(name("found"), &typed.found_by),
        )
        .noted(words::WHAT_FOUND_BY_SAYS)
        .optional(),
    ]);
    fields
}
