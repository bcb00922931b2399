//! The form for a machine: what is typed, what is wrong with it, and what each contact comes to.

use crate::app::{ContactDraft, FilmOil, MachineDraft, Oil, inputs};
use crate::catalogue::Mode;
use crate::records::{
    FieldKind, FieldNeed, FormField, IMPORTANCE_OF_MINOR, IMPORTANCE_OF_SECONDARY, Machine, Preset,
};
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::form::{Faults, Field, Input, Shape};
use crate::web::pages::machines::computed::Computed;
use crate::web::pages::machines::{href, oil_words};
use askama::Template;
use std::collections::{BTreeMap, BTreeSet};

/// One contact of the form.
struct ContactForm {
    place: usize,
    heading: String,
    head: Vec<Field>,
    parameters: Vec<Field>,
    modes: Vec<Field>,
    modes_fault: String,
    /// What was typed for another preset, kept in case it is chosen again.
    kept: Vec<(String, String)>,
    computed: Option<Computed>,
    /// What is still needed before anything can be computed.
    needed: Vec<String>,
}

/// The page.
#[derive(Template)]
#[template(path = "machines/form.html")]
pub(super) struct MachineForm {
    frame: Frame,
    heading: String,
    action: String,
    back: String,
    /// The version that the draft starts from; `None` for a new machine.
    after: Option<u32>,
    problem: String,
    head: Vec<Field>,
    contacts: Vec<ContactForm>,
    contacts_fault: String,
    change: Option<Field>,
    oil: String,
}

impl MachineForm {
    /// The form of a draft and what it comes to; `after` is the version that is changed, `films` the oil whose films are
    /// computed.
    pub(super) fn new(
        draft: &MachineDraft,
        after: Option<&Machine>,
        presets: &[Option<Preset>],
        films: (&FilmOil, Option<&Oil>),
        faults: Faults,
    ) -> Self {
        let contacts = draft.contacts.iter().zip(presets).enumerate();
        let new = || "A new machine".to_string();
        let back = after.map_or("/machines".to_string(), |machine| href(&machine.slug));
        let title = after.map_or_else(new, |machine| format!("Change {}", machine.name));
        Self {
            frame: Frame::new(title).of(Section::Machines),
            heading: after.map_or_else(new, |machine| {
                format!("Change {} in a new version", machine.name)
            }),
            action: after.map_or("/machines/new".to_string(), |_| format!("{back}/edit")),
            back,
            after: after.map(|machine| machine.version),
            head: faults.beside(head(draft, after)),
            contacts: contacts
                .map(|(place, (typed, preset))| contact(place, typed, preset.as_ref(), films.1, &faults))
                .collect(),
            contacts_fault: faults.of("contacts"),
            change: after.map(|_| {
                Field::line("What this version changes, and why", "change", &draft.change)
                    .noted("Stays beside the version. Trials keep the version they were judged with until somebody adopts this one for them.")
                    .faulted(&faults)
            }),
            oil: oil_words(films.0),
            problem: faults.problem,
        }
    }
}

fn head(draft: &MachineDraft, after: Option<&Machine>) -> Vec<Field> {
    let mut fields = vec![Field::line("Name", "name", &draft.name)];
    if after.is_none() {
        fields.push(
            Field::line("Short name in addresses and files", "slug", &draft.slug)
                .noted("Small letters, digits and hyphens. It stays as it is."),
        );
    }
    fields.extend([
        Field::line("Kind, by which trials are found", "kind", &draft.kind),
        Field::text(
            "Note: where the numbers come from, what was estimated",
            "note",
            &draft.note,
        ),
        Field::text("Caution shown with it", "caution", &draft.caution)
            .noted("Who approves a lubricant for it, and what must never be run in it."),
    ]);
    fields
}

fn contact(
    place: usize,
    typed: &ContactDraft,
    preset: Option<&Preset>,
    oil: Option<&Oil>,
    faults: &Faults,
) -> ContactForm {
    let name = |field: &str| format!("c{place}.{field}");
    let form = Preset::form(&typed.preset);
    let prefix = name("p.");
    let fields = form
        .iter()
        .map(|field| parameter_field(&prefix, field, &typed.values));
    let parameters = faults.beside(fields);
    let shown: BTreeSet<String> = form.iter().flat_map(inputs).collect();
    let kept = typed.values.iter().filter(|(key, _)| !shown.contains(*key));
    let needed = parameters
        .iter()
        .filter(|field| field.inputs.iter().any(|input| faults.is_missing(&input.name)));
    let presets = Preset::WORDS.iter().map(|word| (*word, *word));
    ContactForm {
        place,
        heading: match typed.name.trim() {
            "" => format!("Contact {}", place + 1),
            name => format!("Contact {}: {name}", place + 1),
        },
        head: faults.beside([
            Field::line("Name of the contact", name("name"), &typed.name),
            Field::line("Share of the machine", name("share"), &typed.share).in_unit("%"),
            Field::choices(
                "Given as",
                name("preset"),
                &typed.preset,
                [("", "choose")].into_iter().chain(presets),
            ),
        ]),
        needed: needed.map(|field| field.label.clone()).collect(),
        parameters,
        modes: Mode::ALL
            .iter()
            .map(|mode| importance(place, *mode, typed))
            .collect(),
        modes_fault: faults.of(&name("modes")),
        kept: kept
            .map(|(key, value)| (format!("{prefix}{key}"), value.clone()))
            .collect(),
        computed: preset.map(|preset| {
            let terms = preset.terms(oil).map_err(|error| error.to_string());
            Computed::of(preset, oil, &terms)
        }),
    }
}

/// The field of a parameter, its inputs named after a prefix.
pub(crate) fn parameter_field(prefix: &str, field: &FormField, typed: &BTreeMap<String, String>) -> Field {
    let text = |key: &str| typed.get(key).map_or("", String::as_str);
    let input = |key: String| Input::new(format!("{prefix}{key}"), text(&key));
    let mut built = Field::of_inputs(field.label, inputs(field).into_iter().map(input).collect());
    let usual = field.usual.clone().unwrap_or_default();
    match (&field.kind, built.inputs.as_mut_slice()) {
        (FieldKind::Range, [lo, hi]) => {
            lo.placeholder = usual;
            lo.heard = format!("{}, mild end or only value", field.label);
            hi.heard = format!("{}, severe end", field.label);
        }
        (FieldKind::TwoBodies, [first, second]) => {
            first.placeholder = usual;
            first.heard = format!("{}, first body", field.label);
            second.heard = format!("{}, second body", field.label);
            built.between = "and";
        }
        (FieldKind::Words(words), _) => {
            let empty = match field.usual.as_deref() {
                Some(usual) => format!("{usual}, unless you choose"),
                None if field.need == FieldNeed::Must => "choose".to_string(),
                None => "not known".to_string(),
            };
            let words = words.iter().map(|word| (word.to_string(), word.to_string()));
            built.shape = Shape::Choices([(String::new(), empty)].into_iter().chain(words).collect());
        }
        (_, [only]) => only.placeholder = usual,
        _ => {}
    }
    if field.need == FieldNeed::May {
        built = built.optional();
    }
    built.in_unit(field.unit).noted(field.note)
}

fn importance(place: usize, mode: Mode, typed: &ContactDraft) -> Field {
    let chosen = typed.modes.get(mode.word()).map_or("", String::as_str);
    let ranks = [
        ("", "not"),
        ("main", "main"),
        ("secondary", "secondary"),
        ("minor", "minor"),
    ];
    let name = format!("c{place}.mode.{}", mode.word());
    Field::choices(mode.word(), name, chosen, ranks).optional()
}
