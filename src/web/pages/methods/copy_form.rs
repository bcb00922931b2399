//! The form of a copied method.

use crate::app::{
    Conditions, MethodDraft, MethodReading, QuantityDraft, TermsChange, contact_fields, terms_changes,
};
use crate::catalogue::{Method, NamedContact, Origin, Quantity, Scale};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::form::{Faults, Field, Shape};
use crate::web::pages::machines::parameter_field;
use crate::web::pages::methods::effects::effect_rows;
use crate::web::pages::methods::show::precision_words;
use askama::Template;

/// A longer condition gets several lines.
const LONGEST_ON_A_LINE: usize = 50;

/// Under this name the torques of the stages are typed.
pub(super) const STAGE_TORQUES: &str = "stage_torques_nm";

/// Under this name the name of a contact is typed.
pub(super) const CONTACT_NAME: &str = "name";

/// With up to so many contacts the form offers every set of them.
const EVERY_SET_UP_TO: usize = 4;

struct QuantityForm<'a> {
    quantity: &'a Quantity,
    /// What becomes of the original's precision.
    original: String,
    fields: Vec<Field>,
}

/// The page.
#[derive(Template)]
#[template(path = "methods/copy.html")]
pub(super) struct CopyPage<'a> {
    frame: Frame,
    original: &'a Method,
    problem: String,
    head: Vec<Field>,
    /// The fields of each contact.
    contacts: Vec<Vec<Field>>,
    conditions: Vec<Field>,
    quantities: Vec<QuantityForm<'a>>,
    /// The conditions that differ from the original's.
    differing: &'a [String],
    effects: Result<Vec<TermsChange>, String>,
}

impl<'a> CopyPage<'a> {
    /// The form of a draft, with what is wrong with it and what it changes.
    pub(super) fn new(
        original: &'a Method,
        draft: &MethodDraft,
        reading: &'a MethodReading,
        faults: Faults,
    ) -> Self {
        let quantities = original.quantities.iter().zip(&draft.quantities).enumerate();
        Self {
            frame: Frame::new(format!("A copy of {}", original.title)).of(Section::Methods),
            original,
            head: faults.beside(head(draft)),
            contacts: contacts(original, draft)
                .into_iter()
                .map(|fields| faults.beside(fields))
                .collect(),
            conditions: faults.beside(conditions(original, draft)),
            quantities: quantities
                .map(|(place, (quantity, typed))| QuantityForm {
                    quantity,
                    original: original_precision(quantity, &reading.conditions, typed),
                    fields: faults.beside(quantity_fields(
                        place,
                        quantity,
                        typed,
                        &sets(original, draft, typed),
                    )),
                })
                .collect(),
            differing: match &reading.conditions {
                Conditions::Same => &[],
                Conditions::Changed(list) => list,
            },
            effects: match &reading.method {
                None => Err("Mend the faults beside the fields first.".to_string()),
                Some(changed) => terms_changes(original, changed),
            },
            problem: faults.problem,
        }
    }

    fn heading_of_contact(&self, place: usize) -> String {
        if self.original.contacts.len() > 1 {
            self.contact_words(place)
        } else {
            "Contact: specimens, speed, load, temperature".to_string()
        }
    }

    /// `Contact: raceways`, or by its place where it has no name.
    fn contact_words(&self, place: usize) -> String {
        let name = self.original.contacts.get(place).map_or("", |named| &named.name);
        match name {
            "" => format!("Contact {}", place + 1),
            name => format!("Contact: {name}"),
        }
    }

    fn heading_of_effect(&self, change: &TermsChange) -> String {
        let quantities = change.quantities.join(", ");
        if self.original.contacts.len() > 1 {
            format!("{}: {quantities}", self.contact_words(change.contact))
        } else {
            quantities
        }
    }
}

fn head(draft: &MethodDraft) -> [Field; 5] {
    [
        Field::line("Name", "title", &draft.title).noted("Say what is different: the speed, the load."),
        Field::line("Short name in addresses and files", "id", &draft.id)
            .noted("Small letters, digits, '_' and '-'. It stays as it is."),
        Field::text("Note", "note", &draft.note),
        Field::text("Caution shown with it", "caution", &draft.caution),
        Field::text("Safety at the rig", "safety", &draft.safety),
    ]
}

fn contacts(original: &Method, draft: &MethodDraft) -> Vec<Vec<Field>> {
    let contacts = original.contacts.iter().enumerate();
    let fields_of = |(place, contact): (usize, &NamedContact)| {
        let fields = contact_fields(contact);
        let typed = draft.contacts.get(place).cloned().unwrap_or_default();
        let prefix = format!("k{place}.p.");
        let parameters = fields.fields.iter();
        let mut list = Vec::new();
        if original.contacts.len() > 1 {
            let name = typed.get(CONTACT_NAME).map_or("", String::as_str);
            list.push(Field::line(
                "Name of the contact",
                format!("{prefix}{CONTACT_NAME}"),
                name,
            ));
        }
        list.extend(parameters.map(|field| parameter_field(&prefix, field, &typed)));
        if fields.has_stages {
            let text = typed.get(STAGE_TORQUES).map_or("", String::as_str);
            let name = format!("{prefix}{STAGE_TORQUES}");
            list.push(
                Field::line("Torque of each stage at the pinion", name, text)
                    .in_unit("N m")
                    .noted("From the first stage on, with ';' between."),
            );
        }
        list
    };
    contacts.map(fields_of).collect()
}

fn conditions(original: &Method, draft: &MethodDraft) -> Vec<Field> {
    let list = original.conditions.iter().enumerate();
    list.map(|(place, condition)| {
        let typed = draft.conditions.get(place).map_or("", String::as_str);
        let mut field = Field::line(&condition.name, format!("cond{place}"), typed);
        if typed.chars().count() > LONGEST_ON_A_LINE {
            field.shape = Shape::Text;
        }
        field
    })
    .collect()
}

/// What becomes of the original's precision.
fn original_precision(quantity: &Quantity, conditions: &Conditions, typed: &QuantityDraft) -> String {
    let has_own = !typed.repeatability.trim().is_empty();
    let then = match (has_own, conditions) {
        (true, _) => "The laboratory's own precision is used instead.",
        (false, Conditions::Same) => "No condition differs, so that it holds for the copy as well.",
        (false, Conditions::Changed(_)) => {
            "It was found under other conditions and does not apply to the copy: without a precision of its own this quantity is shown, not weighed, unless a trial has enough replicates."
        }
    };
    match &quantity.precision {
        Some(precision) => {
            format!("The original has {}. {then}", precision_words(precision, quantity))
        }
        None if has_own => format!("The original has no precision. {then}"),
        None => "The original has no precision, and neither has the copy: this quantity is shown, not weighed, unless a trial has enough replicates.".to_string(),
    }
}

/// The sets of contacts that a quantity can come from, as places and as names; none where there is one contact.
fn sets(original: &Method, draft: &MethodDraft, typed: &QuantityDraft) -> Vec<(String, String)> {
    let count = original.contacts.len();
    if count < 2 {
        return Vec::new();
    }
    let name = |place: usize| {
        let name = draft
            .contacts
            .get(place)
            .and_then(|fields| fields.get(CONTACT_NAME));
        let name = name.map_or("", |name| name.trim());
        if name.is_empty() {
            format!("contact {}", place + 1)
        } else {
            name.to_string()
        }
    };
    let of = |places: &[usize]| {
        let values: Vec<String> = places.iter().map(ToString::to_string).collect();
        let words: Vec<String> = places.iter().map(|place| name(*place)).collect();
        (values.join("; "), words.join(", "))
    };
    let chosen = |set: &usize| {
        (0..count)
            .filter(|place| set >> place & 1 == 1)
            .collect::<Vec<_>>()
    };
    let mut sets: Vec<Vec<usize>> = if count <= EVERY_SET_UP_TO {
        (1..1usize << count).map(|set| chosen(&set)).collect()
    } else {
        let single = (0..count).map(|place| vec![place]);
        single.chain([(0..count).collect()]).collect()
    };
    let typed: Option<Vec<usize>> = typed
        .contacts
        .split(';')
        .map(|it| it.trim().parse().ok())
        .collect();
    if let Some(typed) = typed.filter(|set| !sets.contains(set) && set.iter().all(|place| *place < count)) {
        sets.push(typed);
    }
    sets.sort_by_key(Vec::len);
    sets.iter().map(|set| of(set)).collect()
}

fn quantity_fields(
    place: usize,
    quantity: &Quantity,
    typed: &QuantityDraft,
    sets: &[(String, String)],
) -> Vec<Field> {
    let name = |field: &str| format!("q{place}.{field}");
    let unit = figures::kept_unit(quantity.unit);
    let mut fields = vec![Field::line("What it measures", name("label"), &typed.label)];
    if !sets.is_empty() {
        let sets = sets.iter().map(|(value, words)| (value.as_str(), words.as_str()));
        fields.push(Field::choices(
            "Comes from the contact",
            name("contacts"),
            &typed.contacts,
            sets,
        ));
    }
    fields.push(
        Field::line(
            "Failure modes it scores, with strength",
            name("modes"),
            &typed.modes,
        )
        .noted("From 0 to 1: 1 main, 0.6 also, 0.3 a little; ';' between them.")
        .optional(),
    );
    if quantity.scale.is_stepped() {
        fields.extend([
            Field::line("Steps", name("steps"), &typed.steps)
                .in_unit(unit)
                .noted("Rising, with ';' between."),
            Field::line("Last step that can be run", name("cap"), &typed.cap)
                .in_unit(unit)
                .optional(),
        ]);
    }
    if matches!(quantity.scale, Scale::Class(_)) {
        return fields;
    }
    let kinds = [
        ("constant", "in the unit of the result"),
        ("percent", "in per cent of the mean"),
        ("steps", "in steps"),
    ];
    fields.extend([
        Field::line(
            "Repeatability r found by the laboratory",
            name("r"),
            &typed.repeatability,
        )
        .noted("95 % limit of the difference of two results of one rig.")
        .optional(),
        Field::line(
            "Reproducibility R found between laboratories",
            name("R"),
            &typed.reproducibility,
        )
        .optional(),
        Field::choices("Both are stated", name("kind"), &typed.precision_kind, kinds),
        Field::line("How they were found", name("found"), &typed.found_by)
            .noted("Runs, oils, laboratories. Needed where r is given.")
            .optional(),
    ]);
    fields
}
