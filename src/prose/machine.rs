//! What differs between two versions of a machine, one line per thing that differs.

use crate::catalogue::Mode;
use crate::records::{Machine, MachineContact};
use serde::Serialize;

/// One thing that two versions say differently.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MachineChange {
    /// The contact it belongs to; empty for the machine as a whole.
    pub contact: String,
    /// What it is.
    pub what: String,
    /// What the earlier version says; empty where it says nothing.
    pub before: String,
    /// What the later version says; empty where it says nothing.
    pub after: String,
}

/// What a later version says differently from an earlier one; contacts are recognised by their names.
pub fn machine_changes(before: &Machine, after: &Machine) -> Vec<MachineChange> {
    let mut changes = Vec::new();
    let heads = [
        ("name", &before.name, &after.name),
        ("kind", &before.kind, &after.kind),
        ("note", &before.note, &after.note),
        ("caution", &before.caution, &after.caution),
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
                "the contact",
                &given_as(earlier),
                "left out",
            ),
        }
    }
    for later in &after.contacts {
        if find(before, &later.name).is_none() {
            note(
                &mut changes,
                &later.name,
                "the contact",
                "not there",
                &given_as(later),
            );
        }
    }
    changes
}

fn note(changes: &mut Vec<MachineChange>, contact: &str, what: &str, before: &str, after: &str) {
    if before != after {
        changes.push(MachineChange {
            contact: contact.to_string(),
            what: what.to_string(),
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
    note(changes, name, "share", &share(before), &share(after));
    note(
        changes,
        name,
        "given as",
        before.preset.word(),
        after.preset.word(),
    );
    let ranks = [
        ("main failure modes", &before.main_modes, &after.main_modes),
        (
            "secondary failure modes",
            &before.secondary_modes,
            &after.secondary_modes,
        ),
        ("minor failure modes", &before.minor_modes, &after.minor_modes),
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
        note(changes, name, label, there, &value(&later, label));
    }
    for (label, here) in &later {
        if !earlier.iter().any(|(known, _)| known == label) {
            note(changes, name, label, "", here);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{MachineSlug, Preset};

    fn slider(load_n: &str, share: f64) -> MachineContact {
        let json = format!(
            r#"{{"length_m":0.1,"width_m":0.02,"load_n":{load_n},"speed_m_s":[0,0.5],"temperature_c":40,
                "supply":"bath","materials":"hard steel/cast iron"}}"#
        );
        MachineContact {
            name: "way".into(),
            preset: Preset::parse("slideway", &json).unwrap(),
            parameters_json: json,
            share,
            main_modes: vec![Mode::ALL[0]],
            secondary_modes: Vec::new(),
            minor_modes: Vec::new(),
        }
    }

    fn machine(contacts: Vec<MachineContact>) -> Machine {
        Machine {
            slug: MachineSlug::new("press").unwrap(),
            name: "A press".into(),
            kind: "press".into(),
            note: String::new(),
            caution: String::new(),
            contacts,
            version: 1,
            change: String::new(),
            entered_at: String::new(),
        }
    }

    #[test]
    fn only_what_differs_is_listed_with_both_values_in_the_trade_unit() {
        let earlier = machine(vec![slider("1000", 1.0)]);
        let later = machine(vec![
            slider("[800,1200]", 0.7),
            MachineContact {
                name: "guide".into(),
                ..slider("500", 0.3)
            },
        ]);
        assert_eq!(machine_changes(&earlier, &earlier), []);
        let listed: Vec<String> = machine_changes(&earlier, &later)
            .iter()
            .map(|c| format!("{}/{}: {} -> {}", c.contact, c.what, c.before, c.after))
            .collect();
        assert_eq!(
            listed,
            [
                "way/share: 100 % -> 70 %",
                "way/Load: 1000 N -> 800 to 1200 N",
                "guide/the contact: not there -> 30 %, slideway",
            ]
        );
    }
}
