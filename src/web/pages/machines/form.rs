//! The form for a machine: what is typed, what is wrong with it, and what each contact comes to.

use crate::app::{ContactDraft, DraftFault, FaultKind, FilmOil, MachineDraft, MachineReading, Oil, inputs};
use crate::catalogue::Mode;
use crate::records::{
    FieldKind, FieldNeed, FormField, IMPORTANCE_OF_MINOR, IMPORTANCE_OF_SECONDARY, Machine, Preset,
};
use crate::web::error::FieldFault;
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::machines::computed::Computed;
use crate::web::pages::machines::field::{Field, Input, Shape};
use crate::web::pages::machines::oil_words;
use crate::web::pages::machines::words;
use crate::web::question::encoded_step;
use askama::Template;
use std::collections::{BTreeMap, BTreeSet};

/// Which faults the page shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Show {
    /// Only what is typed and cannot be used: the form is still being filled in.
    Wrong,
    /// All, also what is still to be typed.
    All,
}

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
    /// The version that the draft starts from; empty for a new machine.
    after: String,
    problem: String,
    head: Vec<Field>,
    contacts: Vec<ContactForm>,
    contacts_fault: String,
    change: Option<Field>,
    save: String,
    oil: String,
    /// How much secondary and minor failure modes matter.
    importances: [String; 2],
}

impl MachineForm {
    /// The form of a draft and what it comes to; `after` is the version that is changed.
    pub(super) fn new(
        draft: &MachineDraft,
        after: Option<&Machine>,
        reading: &MachineReading,
        oil: Option<&Oil>,
        show: Show,
    ) -> Self {
        let faults = Faults {
            list: &reading.faults,
            show,
        };
        let contacts = draft.contacts.iter().zip(&reading.presets).enumerate();
        let slug = after.map(|machine| encoded_step(machine.slug.as_str()));
        Self {
            frame: Frame::new(after.map_or(words::A_NEW_MACHINE.to_string(), |m| words::change(&m.name)))
                .of(Section::Machines),
            heading: after.map_or(words::A_NEW_MACHINE.to_string(), |machine| {
                words::change_in_a_new_version(&machine.name)
            }),
            action: slug.as_ref().map_or("/machines/new".to_string(), |slug| {
                format!("/machines/{slug}/edit")
            }),
            back: slug.map_or("/machines".to_string(), |slug| format!("/machines/{slug}")),
            after: after.map_or_else(String::new, |machine| machine.version.to_string()),
            problem: String::new(),
            head: head(draft, after, &faults),
            contacts: contacts
                .map(|(place, (typed, preset))| contact(place, typed, preset.as_ref(), oil, &faults))
                .collect(),
            contacts_fault: faults.of("contacts").unwrap_or_default(),
            change: after.map(|_| {
                Field::line(
                    words::WHAT_THIS_VERSION_CHANGES,
                    Input::new("change", &draft.change),
                )
                .noted(words::WHERE_THE_CHANGE_STAYS)
                .faulted(|name| faults.of(name))
            }),
            save: after.map_or(words::SAVE_THE_MACHINE.to_string(), |machine| {
                words::save_as_version(machine.version + 1)
            }),
            oil: String::new(),
            importances: [IMPORTANCE_OF_SECONDARY, IMPORTANCE_OF_MINOR].map(figures::figure),
        }
    }

    /// With the oil whose films are computed.
    pub(super) fn with_films_of(mut self, oil: &FilmOil) -> Self {
        self.oil = oil_words(oil);
        self
    }

    /// With faults that were found while it was saved, beside their fields.
    pub(super) fn faulted(mut self, faults: &[FieldFault]) -> Self {
        for field in self.head.iter_mut().chain(&mut self.change) {
            let of_field = faults
                .iter()
                .find(|fault| field.inputs.iter().any(|i| i.name == fault.field));
            if let Some(fault) = of_field {
                field.fault = fault.problem.clone();
            }
        }
        self
    }

    /// With what keeps it from being saved as a whole.
    pub(super) fn refused(mut self, problem: impl Into<String>) -> Self {
        self.problem = problem.into();
        self
    }
}

/// The faults of a form that are shown.
pub(crate) struct Faults<'a> {
    pub(crate) list: &'a [DraftFault],
    pub(crate) show: Show,
}

impl Faults<'_> {
    /// What is wrong with a field, where it is shown.
    pub(crate) fn of(&self, field: &str) -> Option<String> {
        let shown = |fault: &&DraftFault| self.show == Show::All || fault.kind == FaultKind::Wrong;
        let of_field: Vec<String> = self
            .list
            .iter()
            .filter(|fault| fault.field == field)
            .filter(shown)
            .map(|fault| fault.problem.clone())
            .collect();
        (!of_field.is_empty()).then(|| of_field.join("; "))
    }

    fn is_missing(&self, field: &str) -> bool {
        let missing = |fault: &DraftFault| fault.kind == FaultKind::Missing && fault.field == field;
        self.list.iter().any(missing)
    }
}

fn head(draft: &MachineDraft, after: Option<&Machine>, faults: &Faults<'_>) -> Vec<Field> {
    let mut fields = vec![Field::line(words::NAME, Input::new("name", &draft.name))];
    if after.is_none() {
        fields.push(
            Field::line(
                words::SHORT_NAME_IN_ADDRESSES_AND_FILES,
                Input::new("slug", &draft.slug),
            )
            .noted(words::HOW_A_SHORT_NAME_IS_WRITTEN),
        );
    }
    fields.push(Field::line(
        words::KIND_BY_WHICH_TRIALS_ARE_FOUND,
        Input::new("kind", &draft.kind),
    ));
    fields.push(Field::text(
        words::NOTE_OF_WHERE_NUMBERS_COME_FROM,
        Input::new("note", &draft.note),
    ));
    fields.push(
        Field::text(
            words::CAUTION_SHOWN_WITH_IT,
            Input::new("caution", &draft.caution),
        )
        .noted(words::WHAT_A_CAUTION_SAYS),
    );
    let fields = fields
        .into_iter()
        .map(|field| field.faulted(|name| faults.of(name)));
    fields.collect()
}

fn contact(
    place: usize,
    typed: &ContactDraft,
    preset: Option<&Preset>,
    oil: Option<&Oil>,
    faults: &Faults<'_>,
) -> ContactForm {
    let name = |field: &str| format!("c{place}.{field}");
    let form = Preset::form(&typed.preset);
    let parameters: Vec<Field> = form
        .iter()
        .map(|field| {
            let prefix = format!("c{place}.p.");
            parameter_field(&prefix, field, &typed.values).faulted(|name| faults.of(name))
        })
        .collect();
    let shown: BTreeSet<String> = form.iter().flat_map(inputs).collect();
    let kept = typed.values.iter().filter(|(key, _)| !shown.contains(*key));
    let needed = parameters
        .iter()
        .filter(|field| field.inputs.iter().any(|input| faults.is_missing(&input.name)));
    ContactForm {
        place,
        heading: if typed.name.trim().is_empty() {
            words::contact_of_number(place + 1)
        } else {
            words::contact_of_name(place + 1, typed.name.trim())
        },
        head: vec![
            Field::line(words::NAME_OF_THE_CONTACT, Input::new(name("name"), &typed.name)),
            Field::line(
                words::SHARE_OF_THE_MACHINE,
                Input::new(name("share"), &typed.share),
            )
            .in_unit("%"),
            Field::choices(
                words::GIVEN_AS,
                Input::new(name("preset"), &typed.preset),
                [("", words::CHOOSE)]
                    .into_iter()
                    .chain(Preset::WORDS.iter().map(|word| (*word, *word))),
            ),
        ]
        .into_iter()
        .map(|field| field.faulted(|name| faults.of(name)))
        .collect(),
        needed: needed.map(|field| field.label.clone()).collect(),
        parameters,
        modes: Mode::ALL
            .iter()
            .map(|mode| importance(place, *mode, typed))
            .collect(),
        modes_fault: faults.of(&name("modes")).unwrap_or_default(),
        kept: kept
            .map(|(key, value)| (name(&format!("p.{key}")), value.clone()))
            .collect(),
        computed: preset.map(|preset| {
            let terms = preset.terms(oil).map_err(|error| error.to_string());
            Computed::of(preset, oil, &terms)
        }),
    }
}

/// The field of a parameter, its inputs named after a prefix.
pub(crate) fn parameter_field(prefix: &str, field: &FormField, typed: &BTreeMap<String, String>) -> Field {
    let text = |key: &str| typed.get(key).cloned().unwrap_or_default();
    let inputs: Vec<Input> = inputs(field)
        .into_iter()
        .map(|key| Input::new(format!("{prefix}{key}"), text(&key)))
        .collect();
    let usual = field.usual.clone().unwrap_or_default();
    let mut built = match field.kind {
        FieldKind::Words(words) => {
            let empty = match field.usual.as_deref() {
                Some(usual) => words::usual_unless_you_choose(usual),
                None if field.need == FieldNeed::Must => words::CHOOSE.to_string(),
                None => words::NOT_KNOWN.to_string(),
            };
            let choices = [("", empty.as_str())].into_iter();
            let first = inputs.into_iter().next();
            let input = first.unwrap_or_else(|| Input::new(field.key, ""));
            Field::choices(
                field.label,
                input,
                choices.chain(words.iter().map(|word| (*word, *word))),
            )
        }
        _ => Field {
            inputs,
            ..Field::line(field.label, Input::new("", ""))
        },
    };
    match (&field.kind, built.inputs.as_mut_slice()) {
        (FieldKind::Range, [lo, hi]) => {
            lo.placeholder = usual;
            lo.heard = words::mild_end(field.label);
            hi.heard = words::severe_end(field.label);
        }
        (FieldKind::TwoBodies, [first, second]) => {
            first.placeholder = usual;
            first.heard = words::first_body(field.label);
            second.heard = words::second_body(field.label);
            built.between = words::AND;
        }
        (FieldKind::Words(_), _) => {}
        (_, [only]) => only.placeholder = usual,
        _ => {}
    }
    if field.need == FieldNeed::May {
        built = built.optional();
    }
    built.in_unit(field.unit).noted(field.note)
}

fn importance(place: usize, mode: Mode, typed: &ContactDraft) -> Field {
    let chosen = typed.modes.get(mode.word()).cloned().unwrap_or_default();
    let ranks = [
        ("", words::NOT_A_MODE),
        ("main", words::MAIN),
        ("secondary", words::SECONDARY),
        ("minor", words::MINOR),
    ];
    let input = Input::new(format!("c{place}.mode.{}", mode.word()), chosen);
    Field::choices(mode.word(), input, ranks).optional()
}
