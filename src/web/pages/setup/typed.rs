//! What the form of a set-up sends, as a draft, and which of its buttons was pressed.

use crate::app::{MOST_BLENDS, MOST_TESTS, PartDraft, TestDraft, TrialDraft};
use crate::web::posted::Posted;

/// What the form asks to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doing {
    /// Shows the form again with what is wrong with it.
    Look,
    /// One more blend.
    AddBlend,
    /// One more test.
    AddTest,
    /// Without the blend of a place.
    RemoveBlend(usize),
    /// Without the test of a place.
    RemoveTest(usize),
    /// Keeps the set-up.
    Save,
}

impl Doing {
    /// From the button; a form that was sent otherwise is looked at, which writes nothing.
    pub(super) fn of(posted: &Posted) -> Self {
        let place = |text: &str| text.parse::<usize>().ok();
        match posted.field("do").split('.').collect::<Vec<_>>().as_slice() {
            ["save"] => Self::Save,
            ["add", "blend"] => Self::AddBlend,
            ["add", "test"] => Self::AddTest,
            ["remove", "blend", row] => place(row).map_or(Self::Look, Self::RemoveBlend),
            ["remove", "test", row] => place(row).map_or(Self::Look, Self::RemoveTest),
            _ => Self::Look,
        }
    }
}

/// The draft of a form.
pub(super) fn draft(posted: &Posted) -> TrialDraft {
    let text = |field: &str| posted.field(field).to_string();
    let count = |field: &str| posted.field(field).parse::<usize>().unwrap_or_default();
    TrialDraft {
        slug: text("slug"),
        title: text("title"),
        // it is asked in one line, however many the field had
        question: text("question").split_whitespace().collect::<Vec<_>>().join(" "),
        machine: text("machine"),
        confidence: text("confidence"),
        status: text("status"),
        opened_on: text("opened_on"),
        invented: text("invented"),
        blends: (0..count("blends").min(MOST_BLENDS))
            .map(|place| PartDraft {
                blend: text(&format!("b{place}.blend")),
                role: text(&format!("b{place}.role")),
            })
            .collect(),
        tests: (0..count("tests").min(MOST_TESTS))
            .map(|place| test(posted, place))
            .collect(),
    }
}

fn test(posted: &Posted, place: usize) -> TestDraft {
    let text = |field: &str| posted.field(&format!("t{place}.{field}")).to_string();
    TestDraft {
        test: text("test"),
        used_to: text("use"),
        limit: text("limit"),
        known_good: text("known_good"),
        known_poor: text("known_poor"),
        cost: text("cost"),
        days: text("days"),
        reason: text("reason"),
    }
}

/// An empty row for a test.
pub(super) fn empty_test() -> TestDraft {
    TestDraft {
        used_to: "weigh".to_string(),
        ..TestDraft::default()
    }
}

/// An empty row for a blend in a role.
pub(super) fn empty_part(role: &str) -> PartDraft {
    PartDraft {
        blend: String::new(),
        role: role.to_string(),
    }
}

/// The draft with one row more or less; nothing else of it changes.
pub(super) fn changed(mut draft: TrialDraft, doing: Doing) -> TrialDraft {
    match doing {
        Doing::AddBlend if draft.blends.len() < MOST_BLENDS => draft.blends.push(empty_part("candidate")),
        Doing::AddTest if draft.tests.len() < MOST_TESTS => draft.tests.push(empty_test()),
        Doing::RemoveBlend(place) if place < draft.blends.len() => {
            draft.blends.remove(place);
        }
        Doing::RemoveTest(place) if place < draft.tests.len() => {
            draft.tests.remove(place);
        }
        _ => {}
    }
    draft
}
