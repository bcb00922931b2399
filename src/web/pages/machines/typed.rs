//! What a machine form sends, as a draft, and which of its buttons was pressed.

use crate::app::{ContactDraft, MOST_CONTACTS, MachineDraft};
use crate::web::posted::Posted;

/// What the form asks to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doing {
    /// Shows what the draft comes to.
    Compute,
    /// One more contact.
    Add,
    /// Without the contact of a place.
    Remove(usize),
    /// Keeps the machine.
    Save,
}

impl Doing {
    /// From the button; a form that was sent otherwise is computed, which writes nothing.
    pub(super) fn of(posted: &Posted) -> Self {
        match posted.field("do") {
            "add" => Self::Add,
            "save" => Self::Save,
            other => other
                .strip_prefix("remove.")
                .and_then(|place| place.parse().ok())
                .map_or(Self::Compute, Self::Remove),
        }
    }
}

/// The draft of a form.
pub(super) fn draft(posted: &Posted) -> MachineDraft {
    let text = |field: &str| posted.field(field).to_string();
    let contacts = posted.field("contacts").parse::<usize>().unwrap_or_default();
    MachineDraft {
        slug: text("slug"),
        name: text("name"),
        kind: text("kind"),
        note: text("note"),
        caution: text("caution"),
        change: text("change"),
        contacts: (0..contacts.min(MOST_CONTACTS))
            .map(|place| contact(posted, place))
            .collect(),
    }
}

fn contact(posted: &Posted, place: usize) -> ContactDraft {
    let text = |field: &str| posted.field(&format!("c{place}.{field}")).to_string();
    let under = |group: &str| {
        let prefix = format!("c{place}.{group}.");
        let fields = posted.under(&prefix);
        fields
            .map(|(name, value)| (name.to_string(), value.to_string()))
            .collect()
    };
    ContactDraft {
        name: text("name"),
        preset: text("preset"),
        share: text("share"),
        modes: under("mode"),
        values: under("p"),
    }
}

/// The draft with one contact more or less; nothing else of it changes.
pub(super) fn changed(mut draft: MachineDraft, doing: Doing) -> MachineDraft {
    match doing {
        Doing::Add if draft.contacts.len() < MOST_CONTACTS => draft.contacts.push(ContactDraft::default()),
        Doing::Remove(place) if place < draft.contacts.len() => {
            draft.contacts.remove(place);
        }
        _ => {}
    }
    draft
}
