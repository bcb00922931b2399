//! A machine as it is typed into a form, read into a machine or into every fault with the field it belongs to.

mod asked;
mod measured;
mod preset;

use crate::catalogue::Mode;
use crate::intake::machines::SHARE_TOLERANCE;
use crate::intake::read_number;
use crate::records::{Machine, MachineContact, MachineSlug, Preset};
use std::collections::BTreeMap;

pub use asked::inputs;
pub(crate) use asked::{read_fields, typed_fields};
pub use preset::typed_values;

/// The most characters of a one-line text.
const LONGEST_LINE: usize = 200;
/// The most characters of a note or caution.
const LONGEST_TEXT: usize = 4000;
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

/// What is wrong with a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftFault {
    /// The field: `name`, or `c0.share` for the share of the first contact, `c0.p.load_n.lo` for a parameter.
    pub field: String,
    /// What is wrong, with the mend.
    pub problem: String,
    /// Whether something is wrong with what is typed, or nothing is typed yet.
    pub kind: FaultKind,
}

/// Whether a field is wrong or still empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// What is typed cannot be used.
    Wrong,
    /// Something is still to be typed.
    Missing,
}

impl DraftFault {
    pub(crate) fn wrong(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
            kind: FaultKind::Wrong,
        }
    }

    pub(crate) fn missing(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            kind: FaultKind::Missing,
            ..Self::wrong(field, problem)
        }
    }
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
    let mut faults = Vec::new();
    let (slug, version) = match making {
        Making::New => {
            let slug = slug("slug", "lock-gate-winch", &draft.slug, &mut faults);
            (slug.as_deref().and_then(MachineSlug::new), 1)
        }
        Making::After(machine) => (Some(machine.slug.clone()), machine.version + 1),
    };
    let name = line("name", "a name", &draft.name, &mut faults);
    let kind = line("kind", "a kind, such as worm gear", &draft.kind, &mut faults);
    let note = text("note", &draft.note, &mut faults);
    let caution = text("caution", &draft.caution, &mut faults);
    let change = match making {
        Making::New => String::new(),
        Making::After(_) => line("change", "what is changed and why", &draft.change, &mut faults),
    };
    if draft.contacts.is_empty() {
        let problem = "has no contact; nothing could be compared with it. Add one";
        faults.push(DraftFault::missing("contacts", problem));
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
            faults.push(DraftFault::wrong(format!("c{place}.name"), problem));
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
        faults,
    }
}

/// Small letters, digits and hyphens: what an address carries without marks.
pub(crate) fn slug(field: &str, example: &str, typed: &str, faults: &mut Vec<DraftFault>) -> Option<String> {
    let text = typed.trim();
    if text.is_empty() {
        let problem = format!("is empty; a short name for addresses belongs here, such as {example}");
        faults.push(DraftFault::missing(field, problem));
        return None;
    }
    let usable = text
        .chars()
        .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if !usable || text == "new" || text.starts_with('-') || text.ends_with('-') || text.len() > 60 {
        let problem = "takes up to 60 small letters, digits and hyphens between them, and is not 'new'";
        faults.push(DraftFault::wrong(field, problem));
        return None;
    }
    Some(text.to_string())
}

pub(crate) fn line(field: &str, what: &str, typed: &str, faults: &mut Vec<DraftFault>) -> String {
    let typed = typed.trim();
    if typed.is_empty() {
        faults.push(DraftFault::missing(
            field,
            format!("is empty; {what} belongs here"),
        ));
    } else if typed.chars().count() > LONGEST_LINE {
        let problem = format!("is longer than {LONGEST_LINE} characters");
        faults.push(DraftFault::wrong(field, problem));
    } else if typed.chars().any(char::is_control) {
        faults.push(DraftFault::wrong(field, "holds a control character; retype it"));
    }
    typed.to_string()
}

pub(crate) fn text(field: &str, typed: &str, faults: &mut Vec<DraftFault>) -> String {
    let typed = typed.trim().replace("\r\n", "\n");
    if typed.chars().count() > LONGEST_TEXT {
        let problem = format!("is longer than {LONGEST_TEXT} characters");
        faults.push(DraftFault::wrong(field, problem));
    } else if typed.chars().any(|c| c.is_control() && c != '\n' && c != '\t') {
        faults.push(DraftFault::wrong(field, "holds a control character; retype it"));
    }
    typed
}

fn contact(
    place: usize,
    typed: &ContactDraft,
    faults: &mut Vec<DraftFault>,
) -> (Option<Preset>, Option<MachineContact>) {
    let before = faults.len();
    let field = |name: &str| format!("c{place}.{name}");
    let name = line(
        &field("name"),
        "the name of the contact in the machine",
        &typed.name,
        faults,
    );
    if name.chars().count() > 120 {
        faults.push(DraftFault::wrong(field("name"), "is longer than 120 characters"));
    }
    let preset = preset::read(place, typed, faults);
    let share = share(&field("share"), &typed.share, faults);
    let ranked = |rank: &str| -> Vec<Mode> {
        let of_rank = |mode: &Mode| typed.modes.get(mode.word()).is_some_and(|typed| typed == rank);
        Mode::ALL.iter().copied().filter(of_rank).collect()
    };
    let (main_modes, secondary_modes, minor_modes) = (ranked("main"), ranked("secondary"), ranked("minor"));
    if main_modes.is_empty() && secondary_modes.is_empty() && minor_modes.is_empty() {
        let problem = "none is marked; without one no test is relevant to this contact. Mark what fails here";
        faults.push(DraftFault::missing(field("modes"), problem));
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

/// The share of a contact, typed in per cent with or without the sign.
fn share(field: &str, typed: &str, faults: &mut Vec<DraftFault>) -> Option<f64> {
    let number = typed.trim().trim_end_matches('%').trim();
    if number.is_empty() {
        let problem = "is empty; how much of the machine this contact stands for, in per cent, belongs here";
        faults.push(DraftFault::missing(field, problem));
        return None;
    }
    match read_number(number) {
        Ok(percent) if (0.0..=100.0).contains(&percent) => Some(percent / 100.0),
        Ok(_) => {
            faults.push(DraftFault::wrong(field, "must lie between 0 and 100 %"));
            None
        }
        Err(problem) => {
            faults.push(DraftFault::wrong(field, problem.to_string()));
            None
        }
    }
}

fn sum_of_shares(contacts: &[MachineContact], faults: &mut Vec<DraftFault>) {
    let sum: f64 = contacts.iter().map(|contact| contact.share).sum();
    if !contacts.is_empty() && (sum - 1.0).abs() > SHARE_TOLERANCE + 1e-9 {
        let field = format!("c{}.share", contacts.len() - 1);
        let problem = format!(
            "the shares of all contacts sum to {:.1} %, not to 100",
            sum * 100.0
        );
        faults.push(DraftFault::wrong(field, problem));
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
