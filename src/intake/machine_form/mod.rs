//! A machine as it is typed into a form, read into a machine or into every fault with the field it belongs to.

mod asked;

use crate::catalogue::Mode;
use crate::intake::form::{DraftFault, Faults};
use crate::records::{Machine, MachineContact, MachineSlug, Preset, is_whole_machine};
use serde_json::{Map, Value};
use std::collections::BTreeMap;

pub use asked::inputs;
pub(crate) use asked::{read_fields, typed_fields};

/// The most contacts of a machine that a form takes.
pub const MOST_CONTACTS: usize = 12;

/// What is typed for a machine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MachineDraft {
    /// Slug; only a new machine's is read.
    pub slug: String,
    /// Name.
    pub name: String,
    /// Kind.
    pub kind: String,
    /// Note.
    pub note: String,
    /// Caution.
    pub caution: String,
    /// What a new version changes and why.
    pub change: String,
    /// Contacts.
    pub contacts: Vec<ContactDraft>,
}

/// What is typed for a contact.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContactDraft {
    /// Name.
    pub name: String,
    /// The word of its preset; empty where none is chosen yet.
    pub preset: String,
    /// Share in per cent.
    pub share: String,
    /// Failure mode to `main`, `secondary` or `minor`.
    pub modes: BTreeMap<String, String>,
    /// Parameters by key; a range is `key.lo` and `key.hi`, two bodies are `key.a` and `key.b`.
    pub values: BTreeMap<String, String>,
}

/// What a draft comes to: each contact's preset where it can be read, the machine where all of it can, every fault.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineReading {
    /// Per contact, in order; `None` where it cannot be computed yet.
    pub presets: Vec<Option<Preset>>,
    /// The machine; `None` where there is a fault.
    pub machine: Option<Machine>,
    /// Every fault, in the order of the form.
    pub faults: Vec<DraftFault>,
}

/// Whether the form makes a machine, or a later version of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Making<'a> {
    /// A new machine.
    New,
    /// The version after this one.
    After(&'a Machine),
}

/// Reads a draft; nothing stops at the first fault.
pub fn read_machine(draft: &MachineDraft, making: Making<'_>) -> MachineReading {
    let mut faults = Faults::default();
    let (slug, version) = match making {
        Making::New => {
            let slug = faults.slug("slug", "lock-gate-winch", &draft.slug);
            (slug.as_deref().and_then(MachineSlug::new), 1)
        }
        Making::After(machine) => (Some(machine.slug.clone()), machine.version + 1),
    };
    let name = faults.line("name", "a name", &draft.name);
    let kind = faults.line("kind", "a kind, such as worm gear", &draft.kind);
    let note = faults.text("note", &draft.note);
    let caution = faults.text("caution", &draft.caution);
    let change = match making {
        Making::New => String::new(),
        Making::After(_) => faults.line("change", "what is changed and why", &draft.change),
    };
    if draft.contacts.is_empty() {
        let problem = "has no contact; nothing could be compared with it. Add one";
        faults.missing("contacts", problem);
    }
    let mut presets = Vec::new();
    let mut contacts = Vec::new();
    for (place, typed) in draft.contacts.iter().enumerate() {
        let (preset, contact) = contact(place, typed, &mut faults);
        if draft.contacts[..place]
            .iter()
            .any(|earlier| earlier.name.trim() == typed.name.trim())
            && !typed.name.trim().is_empty()
        {
            let problem = "is the name of an earlier contact; each needs its own";
            faults.wrong(format!("c{place}.name"), problem);
        }
        presets.push(preset);
        contacts.extend(contact);
    }
    if contacts.len() == draft.contacts.len() {
        sum_of_shares(&contacts, &mut faults);
    }
    let machine = slug.filter(|_| faults.is_empty()).map(|slug| Machine {
        slug,
        name,
        kind,
        note,
        caution,
        contacts,
        version,
        change,
        entered_at: String::new(),
    });
    MachineReading {
        presets,
        machine,
        faults: faults.0,
    }
}

fn contact(
    place: usize,
    typed: &ContactDraft,
    faults: &mut Faults,
) -> (Option<Preset>, Option<MachineContact>) {
    let before = faults.len();
    let field = |name: &str| format!("c{place}.{name}");
    let name = faults.line(
        &field("name"),
        "the name of the contact in the machine",
        &typed.name,
    );
    if name.chars().count() > 120 {
        faults.wrong(field("name"), "is longer than 120 characters");
    }
    let preset = preset(place, typed, faults);
    let share = share(&field("share"), &typed.share, faults);
    let ranked = |rank: &str| -> Vec<Mode> {
        let of_rank = |mode: &Mode| typed.modes.get(mode.word()).is_some_and(|typed| typed == rank);
        Mode::ALL.iter().copied().filter(of_rank).collect()
    };
    let (main_modes, secondary_modes, minor_modes) = (ranked("main"), ranked("secondary"), ranked("minor"));
    if main_modes.is_empty() && secondary_modes.is_empty() && minor_modes.is_empty() {
        let problem = "none is marked; without one no test is relevant to this contact. Mark what fails here";
        faults.missing(field("modes"), problem);
    }
    let sound = faults.len() == before;
    let contact = preset.clone().zip(share).filter(|_| sound);
    let contact = contact.map(|((preset, parameters_json), share)| MachineContact {
        name,
        preset,
        parameters_json,
        share,
        main_modes,
        secondary_modes,
        minor_modes,
    });
    (preset.map(|(preset, _)| preset), contact)
}

/// The preset of a contact with its parameters as JSON in SI; `None` where a fault was noted.
fn preset(place: usize, typed: &ContactDraft, faults: &mut Faults) -> Option<(Preset, String)> {
    let word = typed.preset.trim();
    if word.is_empty() {
        let problem = "is not chosen yet; choose how the contact is given";
        faults.missing(format!("c{place}.preset"), problem);
        return None;
    }
    let before = faults.len();
    let parameters = read_fields(
        &Preset::form(word),
        &typed.values,
        &format!("c{place}.p."),
        faults,
    );
    let json = Value::Object(parameters).to_string();
    let typed_soundly = faults.len() == before;
    // What is not typed soundly is left out of the JSON, hence missing there; it was reported already.
    for fault in Preset::faults(word, &json) {
        let field = field_name(place, word, &fault.key);
        let known = faults.0[before..]
            .iter()
            .any(|known| known.field.starts_with(&field));
        if !known && (typed_soundly || !fault.is_missing()) {
            faults.wrong(field, fault.problem);
        }
    }
    if faults.len() > before {
        return None;
    }
    Preset::parse(word, &json).ok().map(|preset| (preset, json))
}

/// The name of the first input of a key.
fn field_name(place: usize, word: &str, key: &str) -> String {
    if key == "preset" || key == "parameters" {
        return format!("c{place}.preset");
    }
    let form = Preset::form(word);
    let field = form.iter().find(|field| field.key == key);
    let name = field.map_or(key.to_string(), |field| inputs(field).remove(0));
    format!("c{place}.p.{name}")
}

/// What would be typed, in the units of the fields, to get parameters as they are.
pub fn typed_values(preset_word: &str, parameters_json: &str) -> BTreeMap<String, String> {
    let parameters: Map<String, Value> = serde_json::from_str(parameters_json).unwrap_or_default();
    typed_fields(&Preset::form(preset_word), &parameters)
}

/// The share of a contact, typed in per cent with or without the sign.
fn share(field: &str, typed: &str, faults: &mut Faults) -> Option<f64> {
    let number = typed.trim().trim_end_matches('%').trim();
    if number.is_empty() {
        let problem = "is empty; how much of the machine this contact stands for, in per cent, belongs here";
        faults.missing(field, problem);
        return None;
    }
    let percent = faults.number(field, number)?;
    if !(0.0..=100.0).contains(&percent) {
        faults.wrong(field, "must lie between 0 and 100 %");
        return None;
    }
    Some(percent / 100.0)
}

fn sum_of_shares(contacts: &[MachineContact], faults: &mut Faults) {
    let sum: f64 = contacts.iter().map(|contact| contact.share).sum();
    if !contacts.is_empty() && !is_whole_machine(sum) {
        let field = format!("c{}.share", contacts.len() - 1);
        let problem = format!(
            "the shares of all contacts sum to {:.1} %, not to 100",
            sum * 100.0
        );
        faults.wrong(field, problem);
    }
}

/// What would be typed to get a machine as it is.
pub fn draft_of(machine: &Machine) -> MachineDraft {
    MachineDraft {
        slug: machine.slug.to_string(),
        name: machine.name.clone(),
        kind: machine.kind.clone(),
        note: machine.note.clone(),
        caution: machine.caution.clone(),
        change: String::new(),
        contacts: machine.contacts.iter().map(contact_draft).collect(),
    }
}

fn contact_draft(contact: &MachineContact) -> ContactDraft {
    let ranks = [
        ("main", &contact.main_modes),
        ("secondary", &contact.secondary_modes),
        ("minor", &contact.minor_modes),
    ];
    let modes = ranks.iter().flat_map(|(rank, modes)| {
        modes
            .iter()
            .map(|mode| (mode.word().to_string(), (*rank).to_string()))
    });
    ContactDraft {
        name: contact.name.clone(),
        preset: contact.preset.word().to_string(),
        share: ((contact.share * 1e6).round() / 1e4).to_string(),
        modes: modes.collect(),
        values: typed_values(contact.preset.word(), &contact.parameters_json),
    }
}
