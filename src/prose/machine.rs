//! What differs between two versions of a machine.

use crate::records::{ChangedPart, Machine, MachineChange, machine_changes};
use serde::Serialize;

/// One thing that two versions say differently, as pages and JSON say it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SaidChange {
    /// The contact it belongs to; empty for the machine as a whole.
    pub contact: String,
    /// What it is.
    pub what: &'static str,
    /// What the earlier version says; empty where it says nothing.
    pub before: String,
    /// What the later version says; empty where it says nothing.
    pub after: String,
}

/// All that a later version says differently from an earlier one.
pub fn said_changes(before: &Machine, after: &Machine) -> Vec<SaidChange> {
    machine_changes(before, after).into_iter().map(said).collect()
}

fn said(change: MachineChange) -> SaidChange {
    let or = |text: String, nothing: &str| match (change.what, text.is_empty()) {
        (ChangedPart::Contact, true) => nothing.to_string(),
        _ => text,
    };
    SaidChange {
        contact: change.contact,
        what: part(change.what),
        before: or(change.before, "not there"),
        after: or(change.after, "left out"),
    }
}

fn part(part: ChangedPart) -> &'static str {
    match part {
        ChangedPart::Name => "name",
        ChangedPart::Kind => "kind",
        ChangedPart::Note => "note",
        ChangedPart::Caution => "caution",
        ChangedPart::Contact => "the contact",
        ChangedPart::Share => "share",
        ChangedPart::GivenAs => "given as",
        ChangedPart::MainModes => "main failure modes",
        ChangedPart::SecondaryModes => "secondary failure modes",
        ChangedPart::MinorModes => "minor failure modes",
        ChangedPart::Parameter(label) => label,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Mode;
    use crate::records::{MachineContact, MachineSlug, Preset};

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
        assert_eq!(said_changes(&earlier, &earlier), []);
        let listed: Vec<String> = said_changes(&earlier, &later)
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
