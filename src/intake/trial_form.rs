//! A trial as it is set up in a form, read by the rules of an archive folder into a trial, or into every fault with the
//! field it belongs to.

mod draft;
mod rows;

use crate::catalogue::Method;
use crate::intake::machine_form::{line, slug};
use crate::intake::trial_form::rows::read_rows;
use crate::intake::{DraftFault, FaultKind};
use crate::records::{
    BlendCode, Machine, OwnMethod, RunResult, TestKey, Trial, TrialSlug, TrialStatus, Word,
};
use std::collections::BTreeSet;

pub use draft::{PartDraft, TestDraft, TrialDraft, copy_of_trial, draft_of_trial};

/// The most blends of a trial that a form takes.
pub const MOST_BLENDS: usize = 40;
/// The most tests of a trial that a form takes.
pub const MOST_TESTS: usize = 60;

/// What a set-up may name.
#[derive(Clone, Copy, Debug)]
pub struct SetupNames<'a> {
    /// All machines, each in its newest version.
    pub machines: &'a [Machine],
    /// The codes of all blends.
    pub blends: &'a [BlendCode],
    /// Built-in methods and the laboratory's own.
    pub methods: &'a [Method],
    /// The laboratory's own methods as they are written.
    pub own_methods: &'a [OwnMethod],
}

/// Whether the form sets up a trial, or changes one that may have results by now.
#[derive(Clone, Copy, Debug)]
pub enum SettingUp<'a> {
    /// A new trial.
    New,
    /// Another set-up of this trial, which has these results.
    Again(&'a Trial, &'a [RunResult]),
}

/// What a draft comes to: the trial where all of it can be used, every fault in the order of the form.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialReading {
    /// The trial; `None` where there is a fault.
    pub trial: Option<Trial>,
    /// Every fault.
    pub faults: Vec<DraftFault>,
}

/// Reads a draft; nothing stops at the first fault. A row of which nothing is typed is passed over.
pub fn read_trial(draft: &TrialDraft, names: SetupNames<'_>, setting_up: SettingUp<'_>) -> TrialReading {
    let mut faults = Vec::new();
    let slug = match setting_up {
        SettingUp::New => slug("slug", "gearbox-autumn-screen", &draft.slug, &mut faults),
        SettingUp::Again(trial, _) => Some(trial.slug.to_string()),
    };
    line("title", "a title", &draft.title, &mut faults);
    line(
        "question",
        "the question that the trial answers",
        &draft.question,
        &mut faults,
    );
    check_head(draft, names, setting_up, &mut faults);
    check_blends(draft, names, &mut faults);
    check_tests(draft, names, &mut faults);
    let read = read_rows(draft, names, setting_up, &mut faults);
    if let SettingUp::Again(trial, results) = setting_up {
        hold_what_was_run(draft, trial, results, &mut faults);
    }
    faults.sort_by_key(|fault| place(&fault.field));
    let trial = read.filter(|_| faults.is_empty());
    let trial = trial.zip(slug.as_deref().and_then(TrialSlug::new));
    TrialReading {
        trial: trial.map(|(read, slug)| finished(read, slug, names, setting_up)),
        faults,
    }
}

/// Head before blends before tests, rows in their order.
fn place(field: &str) -> (u8, usize) {
    let row = |rest: &str| rest.split('.').next().and_then(|number| number.parse().ok());
    match (
        field.strip_prefix('b').and_then(row),
        field.strip_prefix('t').and_then(row),
    ) {
        (Some(row), _) => (1, row),
        (_, Some(row)) => (3, row),
        _ if field == "blends" => (2, 0),
        _ if field == "tests" => (4, 0),
        _ => (0, 0),
    }
}

fn check_head(
    draft: &TrialDraft,
    names: SetupNames<'_>,
    setting_up: SettingUp<'_>,
    faults: &mut Vec<DraftFault>,
) {
    let machine = draft.machine.trim();
    let is_asked = matches!(setting_up, SettingUp::New);
    if is_asked && machine.is_empty() {
        let problem =
            "is not chosen; the machine decides what each test weighs. Choose one, or enter it first";
        faults.push(DraftFault::missing("machine", problem));
    } else if is_asked && !names.machines.iter().any(|known| known.slug.as_str() == machine) {
        let problem = "is no machine of this file; choose one of the list, or enter it first";
        faults.push(DraftFault::wrong("machine", problem));
    }
    let status = TrialStatus::from_word(&draft.status);
    if !matches!(status, Some(TrialStatus::Planned | TrialStatus::Running)) {
        let problem = "use planned or running; a trial is decided on its decision page";
        faults.push(DraftFault::wrong("status", problem));
    }
}

fn check_blends(draft: &TrialDraft, names: SetupNames<'_>, faults: &mut Vec<DraftFault>) {
    let mut codes = BTreeSet::new();
    let mut levels = BTreeSet::new();
    for (place, part) in draft.parts() {
        let (code, field) = (part.blend.trim(), format!("b{place}.blend"));
        if !names.blends.iter().any(|known| known.as_str() == code) {
            let problem = "is no blend of this file; choose one of the list, or enter it first";
            faults.push(DraftFault::wrong(field, problem));
        } else if !codes.insert(code) {
            faults.push(DraftFault::wrong(field, "stands in an earlier row already"));
        }
        let is_single = matches!(part.role.as_str(), "known-good" | "known-poor");
        if is_single && !levels.insert(part.role.as_str()) {
            let problem = format!(
                "an earlier row is the {} oil already; where one test has another one, name it at that test",
                part.role
            );
            faults.push(DraftFault::wrong(format!("b{place}.role"), problem));
        }
    }
    if draft.parts().all(|(_, part)| part.role != "candidate") {
        let problem = "there is no candidate; a trial compares at least one";
        faults.push(DraftFault::missing("blends", problem));
    }
}

fn check_tests(draft: &TrialDraft, names: SetupNames<'_>, faults: &mut Vec<DraftFault>) {
    let mut keys = BTreeSet::new();
    for (place, test) in draft.planned() {
        let field = |name: &str| format!("t{place}.{name}");
        let key = TestKey::parse(&test.test);
        let is_known = key.as_ref().is_some_and(|key| {
            let method = names.methods.iter().find(|method| method.id == key.method);
            method.is_some_and(|method| method.quantity(&key.quantity).is_some())
        });
        if test.test.trim().is_empty() {
            let problem = "is empty; choose a test, or take the row away";
            faults.push(DraftFault::missing(field("test"), problem));
        } else if !is_known {
            let problem = "is no test of this file; choose one of the list, such as fb_ep_oil/weld";
            faults.push(DraftFault::wrong(field("test"), problem));
        } else if !keys.insert(key) {
            faults.push(DraftFault::wrong(
                field("test"),
                "stands in an earlier row already",
            ));
        }
        for (name, oil) in [("known_good", &test.known_good), ("known_poor", &test.known_poor)] {
            let oil = oil.trim();
            if !oil.is_empty() && draft.parts().all(|(_, part)| part.blend.trim() != oil) {
                let problem = "is not among the blends of this trial; add it there";
                faults.push(DraftFault::wrong(field(name), problem));
            }
        }
    }
    if draft.planned().next().is_none() {
        faults.push(DraftFault::missing(
            "tests",
            "there is no test; a trial has at least one",
        ));
    }
}

/// What has results stays in the trial, blends in their roles; a test whose use changes afterwards says why.
fn hold_what_was_run(draft: &TrialDraft, trial: &Trial, results: &[RunResult], faults: &mut Vec<DraftFault>) {
    for part in &trial.blends {
        if !results.iter().any(|result| result.blend == part.blend) {
            continue;
        }
        let there = draft::part_of(part);
        match draft.parts().find(|(_, row)| row.blend.trim() == there.blend) {
            None => {
                let problem = format!("{} has results; it stays in the trial", part.blend);
                faults.push(DraftFault::wrong("blends", problem));
            }
            Some((place, row)) if row.role != there.role => {
                let problem = format!("has results as {}; its role stays", there.role);
                faults.push(DraftFault::wrong(format!("b{place}.role"), problem));
            }
            Some(_) => {}
        }
    }
    for test in &trial.tests {
        if !results.iter().any(|result| result.key == test.key) {
            continue;
        }
        let there = draft::test_of(test);
        match draft.planned().find(|(_, row)| row.test.trim() == there.test) {
            None => {
                let problem = format!("{} has results; it stays in the trial", test.key);
                faults.push(DraftFault::wrong("tests", problem));
            }
            Some((place, row))
                if row.judges_otherwise_than(&there) && row.reason.trim() == there.reason.trim() =>
            {
                let problem =
                    "results are there already; write here why its use, limit or references change now";
                faults.push(DraftFault {
                    kind: FaultKind::Missing,
                    ..DraftFault::wrong(format!("t{place}.reason"), problem)
                });
            }
            Some(_) => {}
        }
    }
}

/// What was read, with what a form does not ask for.
fn finished(read: Trial, slug: TrialSlug, names: SetupNames<'_>, setting_up: SettingUp<'_>) -> Trial {
    match setting_up {
        SettingUp::New => {
            let machine = names.machines.iter().find(|machine| machine.slug == read.machine);
            Trial {
                slug,
                machine_version: machine.map_or(1, |machine| machine.version),
                ..read
            }
        }
        SettingUp::Again(trial, _) => Trial {
            slug,
            closed_on: trial.closed_on,
            machine: trial.machine.clone(),
            machine_version: trial.machine_version,
            adoptions: trial.adoptions.clone(),
            ..read
        },
    }
}
