//! The versions of a machine: what each changed, and which trials are judged with it.

use crate::app::MachineView;
use crate::records::{Machine, MachineChange, machine_changes};
use crate::web::pages::machines::words;
use crate::web::question::encoded_step;

/// A line of what changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ChangeLine {
    pub(crate) what: String,
    pub(crate) before: String,
    pub(crate) after: String,
}

impl From<MachineChange> for ChangeLine {
    fn from(change: MachineChange) -> Self {
        let said = |text: String| {
            if text.is_empty() {
                words::NOT_GIVEN.to_string()
            } else {
                text
            }
        };
        Self {
            what: if change.contact.is_empty() {
                change.what
            } else {
                format!("{}: {}", change.contact, change.what)
            },
            before: said(change.before),
            after: said(change.after),
        }
    }
}

pub(super) struct Version {
    pub(super) number: u32,
    pub(super) href: String,
    pub(super) entered: String,
    pub(super) change: String,
    pub(super) is_shown: bool,
    pub(super) is_newest: bool,
    pub(super) lines: Vec<ChangeLine>,
    pub(super) trials: Vec<(String, String)>,
}

/// All versions, the newest first.
pub(super) struct Versions {
    pub(super) list: Vec<Version>,
    pub(super) shown: u32,
    pub(super) newest: u32,
}

impl Versions {
    pub(super) fn of(view: &MachineView) -> Self {
        let newest = view.versions.last().map_or(1, |machine| machine.version);
        let list = view.versions.iter().rev();
        Self {
            list: list.map(|machine| version(machine, newest, view)).collect(),
            shown: view.machine.version,
            newest,
        }
    }
}

fn version(machine: &Machine, newest: u32, view: &MachineView) -> Version {
    let before = view
        .versions
        .iter()
        .find(|earlier| earlier.version + 1 == machine.version);
    let judged = view
        .trials
        .iter()
        .filter(|head| head.machine_version == machine.version);
    let slug = encoded_step(machine.slug.as_str());
    Version {
        number: machine.version,
        href: if machine.version == newest {
            format!("/machines/{slug}")
        } else {
            format!("/machines/{slug}?version={}", machine.version)
        },
        entered: machine.entered_at.get(..10).unwrap_or_default().to_string(),
        change: machine.change.clone(),
        is_shown: machine.version == view.machine.version,
        is_newest: machine.version == newest,
        lines: before
            .map(|before| change_lines(before, machine))
            .unwrap_or_default(),
        trials: judged
            .map(|head| {
                let href = format!("/trials/{}", encoded_step(head.trial.as_str()));
                (href, head.title.clone())
            })
            .collect(),
    }
}

/// What a later version says differently, for a table.
pub(crate) fn change_lines(before: &Machine, after: &Machine) -> Vec<ChangeLine> {
    machine_changes(before, after)
        .into_iter()
        .map(Into::into)
        .collect()
}
