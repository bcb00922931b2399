//! What differs between two versions of a machine, one line per thing that differs.

use crate::catalogue::Mode;
use crate::records::{Machine, MachineContact};

/// What of a machine or of one of its contacts two versions can say differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangedPart {
    /// Name of the machine.
    Name,
    /// Its kind.
    Kind,
    /// Its note.
    Note,
    /// Its caution.
    Caution,
    /// Whether the contact is there at all.
    Contact,
    /// Share of the contact.
    Share,
    /// Preset of the contact.
    GivenAs,
    /// Main failure modes.
    MainModes,
    /// Secondary failure modes.
    SecondaryModes,
    /// Minor failure modes.
    MinorModes,
    /// A parameter of the preset, by its label.
    Parameter(&'static str),
}

/// One thing that two versions say differently.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MachineChange {
    /// The contact it belongs to; empty for the machine as a whole.
    pub contact: String,
    /// What it is.
    pub what: ChangedPart,
    /// What the earlier version says; empty where it says nothing.
    pub before: String,
    /// What the later version says; empty where it says nothing.
    pub after: String,
}

/// What a later version says differently from an earlier one; contacts are recognised by their names.
pub fn machine_changes(before: &Machine, after: &Machine) -> Vec<MachineChange> {
    let mut changes = Vec::new();
    let heads = [
        (ChangedPart::Name, &before.name, &after.name),
        (ChangedPart::Kind, &before.kind, &after.kind),
        (ChangedPart::Note, &before.note, &after.note),
        (ChangedPart::Caution, &before.caution, &after.caution),
    ];
    for (what, earlier, later) in heads {
        note(&mut changes, "", what, earlier, later);
    }
    let find = |machine: &Machine, name: &str| machine.contacts.iter().find(|c| c.name == name).cloned();
    for earlier in &before.contacts {
        match find(after, &earlier.name) {
            Some(later) => contact(&mut changes, earlier, &later),
            None => note(
                &mut changes,
                &earlier.name,
                ChangedPart::Contact,
                &given_as(earlier),
                "",
            ),
        }
    }
    for later in &after.contacts {
        if find(before, &later.name).is_none() {
            note(
                &mut changes,
                &later.name,
                ChangedPart::Contact,
                "",
                &given_as(later),
            );
        }
    }
    changes
}

fn note(changes: &mut Vec<MachineChange>, contact: &str, what: ChangedPart, before: &str, after: &str) {
    if before != after {
        changes.push(MachineChange {
            contact: contact.to_string(),
            what,
            before: before.to_string(),
            after: after.to_string(),
        });
    }
}

fn given_as(contact: &MachineContact) -> String {
    format!("{} %, {}", per_cent(contact.share), contact.preset.word())
}

fn per_cent(share: f64) -> f64 {
    (share * 1e5).round() / 1e3
}

fn contact(changes: &mut Vec<MachineChange>, before: &MachineContact, after: &MachineContact) {
    let name = &before.name;
    let share = |contact: &MachineContact| format!("{} %", per_cent(contact.share));
    note(changes, name, ChangedPart::Share, &share(before), &share(after));
    note(
        changes,
        name,
        ChangedPart::GivenAs,
        before.preset.word(),
        after.preset.word(),
    );
    let ranks = [
        (ChangedPart::MainModes, &before.main_modes, &after.main_modes),
        (
            ChangedPart::SecondaryModes,
            &before.secondary_modes,
            &after.secondary_modes,
        ),
        (ChangedPart::MinorModes, &before.minor_modes, &after.minor_modes),
    ];
    for (what, earlier, later) in ranks {
        note(changes, name, what, &words(earlier), &words(later));
    }
    let (earlier, later) = (before.preset.inputs(), after.preset.inputs());
    let value = |inputs: &[(&'static str, String)], label: &str| {
        let found = inputs.iter().find(|(known, _)| *known == label);
        found.map(|(_, value)| value.clone()).unwrap_or_default()
    };
    for (label, there) in &earlier {
        note(
            changes,
            name,
            ChangedPart::Parameter(label),
            there,
            &value(&later, label),
        );
    }
    for (label, here) in &later {
        if !earlier.iter().any(|(known, _)| known == label) {
            note(changes, name, ChangedPart::Parameter(label), "", here);
        }
    }
}

fn words(modes: &[Mode]) -> String {
    modes
        .iter()
        .map(|mode| mode.word())
        .collect::<Vec<_>>()
        .join(", ")
}
