//! A trial as it is set up in a form, read by the rules of an archive folder into a trial, or into every fault with the
//! field it belongs to.

use crate::catalogue::Method;
use crate::intake::cells::{Cells, Names};
use crate::intake::form::{DraftFault, Faults};
use crate::intake::methods::Methods;
use crate::intake::trials;
use crate::records::table::Record;
use crate::records::{
    Asks, Blend, BlendCode, Level, Machine, OwnMethod, Role, RunResult, TestKey, Trial, TrialBlend,
    TrialSlug, TrialStatus, TrialTest, Word,
};
use std::collections::BTreeSet;

/// The most blends of a trial that a form takes.
pub const MOST_BLENDS: usize = 40;
/// The most tests of a trial that a form takes.
pub const MOST_TESTS: usize = 60;

/// What is typed for a trial.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialDraft {
    /// Slug; only a new trial's is read.
    pub slug: String,
    /// Title.
    pub title: String,
    /// Question.
    pub question: String,
    /// The question in at most 60 characters; may be empty.
    pub short: String,
    /// `choose` or `no-worse`.
    pub asks: String,
    /// The blend that candidates are held against, where it asks no-worse.
    pub against: String,
    /// By how many critical differences one may then be worse; empty: by one.
    pub margin: String,
    /// The slug of its machine; only a new trial's is read.
    pub machine: String,
    /// How well the machine is known: low, medium, high.
    pub confidence: String,
    /// Planned or running.
    pub status: String,
    /// Opened on.
    pub opened_on: String,
    /// `yes` where the data is invented.
    pub invented: String,
    /// Blends with their roles.
    pub blends: Vec<PartDraft>,
    /// Tests.
    pub tests: Vec<TestDraft>,
}

/// What is typed for a blend of a trial.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartDraft {
    /// Its code.
    pub blend: String,
    /// `candidate`, `known-good`, `known-middle`, `known-poor`, `reference` or `control`.
    pub role: String,
}

/// What is typed for a test of a trial.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TestDraft {
    /// `method/quantity`.
    pub test: String,
    /// `weigh`, `gate` or `show`.
    pub used_to: String,
    /// The limit of a gate.
    pub limit: String,
    /// The known-good oil of this test, where it is another one.
    pub known_good: String,
    /// The known-poor oil of this test, where it is another one.
    pub known_poor: String,
    /// Cost of a result.
    pub cost: String,
    /// Days of a result.
    pub days: String,
    /// Why it is in the trial.
    pub reason: String,
}

impl TrialDraft {
    /// The rows of blends in which something is typed, with their places.
    fn parts(&self) -> impl Iterator<Item = (usize, &PartDraft)> {
        let rows = self.blends.iter().enumerate();
        rows.filter(|(_, part)| !part.blend.trim().is_empty())
    }

    /// The rows of tests in which something is typed, with their places.
    fn planned(&self) -> impl Iterator<Item = (usize, &TestDraft)> {
        let rows = self.tests.iter().enumerate();
        rows.filter(|(_, test)| !test.is_empty())
    }
}

impl TestDraft {
    fn is_empty(&self) -> bool {
        let Self {
            test,
            used_to: _,
            limit,
            known_good,
            known_poor,
            cost,
            days,
            reason,
        } = self;
        let typed = [test, limit, known_good, known_poor, cost, days, reason];
        typed.iter().all(|text| text.trim().is_empty())
    }

    /// Whether the test would say something else of the same results.
    fn judges_otherwise_than(&self, other: &Self) -> bool {
        let judging = |of: &Self| {
            [&of.used_to, &of.limit, &of.known_good, &of.known_poor].map(|text| text.trim().to_string())
        };
        judging(self) != judging(other)
    }
}

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
    let mut faults = Faults::default();
    let slug = match setting_up {
        SettingUp::New => faults.slug("slug", "gearbox-autumn-screen", &draft.slug),
        SettingUp::Again(trial, _) => Some(trial.slug.to_string()),
    };
    faults.line("title", "a title", &draft.title);
    faults.line("question", "the question that the trial answers", &draft.question);
    check_head(draft, names, setting_up, &mut faults);
    check_blends(draft, names, &mut faults);
    check_tests(draft, names, &mut faults);
    let read = read_rows(draft, names, setting_up, &mut faults);
    if let SettingUp::Again(trial, results) = setting_up {
        hold_what_was_run(draft, trial, results, names.methods, &mut faults);
    }
    faults.0.sort_by_key(|fault| place(&fault.field));
    let trial = read.filter(|_| faults.is_empty());
    let trial = trial.zip(slug.as_deref().and_then(TrialSlug::new));
    TrialReading {
        trial: trial.map(|(read, slug)| finished(read, slug, names, setting_up)),
        faults: faults.0,
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

fn check_head(draft: &TrialDraft, names: SetupNames<'_>, setting_up: SettingUp<'_>, faults: &mut Faults) {
    let machine = draft.machine.trim();
    let is_asked = matches!(setting_up, SettingUp::New);
    if is_asked && machine.is_empty() {
        let problem =
            "is not chosen; the machine decides what each test weighs. Choose one, or enter it first";
        faults.missing("machine", problem);
    } else if is_asked && !names.machines.iter().any(|known| known.slug.as_str() == machine) {
        let problem = "is no machine of this file; choose one of the list, or enter it first";
        faults.wrong("machine", problem);
    }
    let status = TrialStatus::from_word(&draft.status);
    if !matches!(status, Some(TrialStatus::Planned | TrialStatus::Running)) {
        let problem = "use planned or running; a trial is decided on its decision page";
        faults.wrong("status", problem);
    }
}

fn check_blends(draft: &TrialDraft, names: SetupNames<'_>, faults: &mut Faults) {
    let mut codes = BTreeSet::new();
    let mut levels = BTreeSet::new();
    for (place, part) in draft.parts() {
        let (code, field) = (part.blend.trim(), format!("b{place}.blend"));
        if !names.blends.iter().any(|known| known.as_str() == code) {
            let problem = "is no blend of this file; choose one of the list, or enter it first";
            faults.wrong(field, problem);
        } else if !codes.insert(code) {
            faults.wrong(field, "stands in an earlier row already");
        }
        let is_single = matches!(part.role.as_str(), "known-good" | "known-poor");
        if is_single && !levels.insert(part.role.as_str()) {
            let problem = format!(
                "an earlier row is the {} oil already; where one test has another one, name it at that test",
                part.role
            );
            faults.wrong(format!("b{place}.role"), problem);
        }
    }
    if draft.parts().all(|(_, part)| part.role != "candidate") {
        let problem = "there is no candidate; a trial compares at least one";
        faults.missing("blends", problem);
    }
}

fn check_tests(draft: &TrialDraft, names: SetupNames<'_>, faults: &mut Faults) {
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
            faults.missing(field("test"), problem);
        } else if !is_known {
            let problem = "is no test of this file; choose one of the list, such as fb_ep_oil/weld";
            faults.wrong(field("test"), problem);
        } else if !keys.insert(key) {
            faults.wrong(field("test"), "stands in an earlier row already");
        }
        for (name, oil) in [("known_good", &test.known_good), ("known_poor", &test.known_poor)] {
            let oil = oil.trim();
            if !oil.is_empty() && draft.parts().all(|(_, part)| part.blend.trim() != oil) {
                let problem = "is not among the blends of this trial; add it there";
                faults.wrong(field(name), problem);
            }
        }
    }
    if draft.planned().next().is_none() {
        faults.missing("tests", "there is no test; a trial has at least one");
    }
}

/// What has results stays in the trial, blends in their roles; a test whose use changes afterwards says why.
fn hold_what_was_run(
    draft: &TrialDraft,
    trial: &Trial,
    results: &[RunResult],
    methods: &[Method],
    faults: &mut Faults,
) {
    for part in &trial.blends {
        if !results.iter().any(|result| result.blend == part.blend) {
            continue;
        }
        let there = part_of(part);
        match draft.parts().find(|(_, row)| row.blend.trim() == there.blend) {
            None => {
                let problem = format!("{} has results; it stays in the trial", part.blend);
                faults.wrong("blends", problem);
            }
            Some((place, row)) if row.role != there.role => {
                let problem = format!("has results as {}; its role stays", there.role);
                faults.wrong(format!("b{place}.role"), problem);
            }
            Some(_) => {}
        }
    }
    for test in &trial.tests {
        if !results.iter().any(|result| result.key == test.key) {
            continue;
        }
        let there = test_of(test);
        match draft.planned().find(|(_, row)| row.test.trim() == there.test) {
            None => {
                let method = methods.iter().find(|method| method.id == test.key.method);
                let quantity = &test.key.quantity;
                let said = method.map_or_else(|| test.key.to_string(), |it| it.name_of(quantity));
                let problem = format!("{said} has results; it stays in the trial");
                faults.wrong("tests", problem);
            }
            Some((place, row))
                if row.judges_otherwise_than(&there) && row.reason.trim() == there.reason.trim() =>
            {
                let problem =
                    "results are there already; write here why its use, limit or references change now";
                faults.missing(format!("t{place}.reason"), problem);
            }
            Some(_) => {}
        }
    }
}

/// The name of the trial while it is a draft.
const DRAFT: &str = "draft";

/// The trial of a draft by the rules of an archive folder, under the name of a draft.
fn read_rows(
    draft: &TrialDraft,
    names: SetupNames<'_>,
    setting_up: SettingUp<'_>,
    faults: &mut Faults,
) -> Option<Trial> {
    let machine = match setting_up {
        SettingUp::New => draft.machine.as_str(),
        SettingUp::Again(trial, _) => trial.machine.as_str(),
    };
    let machines = names.machines.iter().map(|machine| machine.slug.to_string());
    let blends = names.blends.iter().map(ToString::to_string);
    let defined = Names::defined([
        (Machine::FILE, machines.collect()),
        (Blend::FILE, blends.collect()),
    ]);
    let methods = Methods::of(names.own_methods);
    // What is typed beside another question is not asked for, and says nothing.
    let no_worse = draft.asks.trim() == Asks::NoWorse.word();
    let of_no_worse = |text| if no_worse { text } else { "" };
    let asks = if draft.asks.trim() == Asks::Choose.word() {
        ""
    } else {
        draft.asks.as_str()
    };
    let head: &[(&str, &str)] = &[
        ("trial", DRAFT),
        ("short", &draft.short),
        ("asks", asks),
        ("against", of_no_worse(draft.against.as_str())),
        ("margin", of_no_worse(draft.margin.as_str())),
        ("title", &draft.title),
        ("question", &draft.question),
        ("machine", machine),
        ("status", &draft.status),
        ("opened_on", &draft.opened_on),
        ("machine_confidence", &draft.confidence),
        ("invented", if draft.invented == "yes" { "yes" } else { "no" }),
    ];
    let field = |column: &str| column.trim_start_matches("machine_").to_string();
    let read = faults.row(&defined, head, field, trials::trial);
    let mut blends = Vec::new();
    for (place, part) in draft.parts() {
        let (role, level) = role_and_level(&part.role);
        let cells: &[(&str, &str)] = &[
            ("trial", DRAFT),
            ("blend", &part.blend),
            ("role", role),
            ("level", level),
        ];
        let field = |column: &str| format!("b{place}.{}", if column == "blend" { "blend" } else { "role" });
        blends.extend(faults.row(&defined, cells, field, trials::trial_blend));
    }
    let mut tests = Vec::new();
    for (place, test) in draft.planned() {
        let (method, quantity) = test.test.trim().split_once('/').unwrap_or((&test.test, ""));
        let cells: &[(&str, &str)] = &[
            ("trial", DRAFT),
            ("method", method),
            ("quantity", quantity),
            ("use", &test.used_to),
            ("limit", &test.limit),
            ("known_good", &test.known_good),
            ("known_poor", &test.known_poor),
            ("cost", &test.cost),
            ("days", &test.days),
            ("reason", &test.reason),
        ];
        let field = |column: &str| match column {
            "method" | "quantity" => format!("t{place}.test"),
            other => format!("t{place}.{other}"),
        };
        let read = |cells: &mut Cells<'_>| trials::trial_test(&methods, cells);
        tests.extend(faults.row(&defined, cells, field, read));
    }
    let read = read?;
    if let Some(problem) =
        (read.against.as_ref()).and_then(|against| trials::against_problem(against, &blends))
    {
        faults.wrong("against", problem);
    }
    Some(Trial {
        blends,
        tests,
        ..read
    })
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

/// What would be typed to get a trial as it is.
pub fn draft_of_trial(trial: &Trial) -> TrialDraft {
    TrialDraft {
        slug: trial.slug.to_string(),
        title: trial.title.clone(),
        question: trial.question.clone(),
        short: trial.short.clone(),
        asks: trial.asks.unwrap_or(Asks::Choose).word().to_string(),
        against: trial
            .against
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default(),
        margin: trial.margin.map(|margin| margin.to_string()).unwrap_or_default(),
        machine: trial.machine.to_string(),
        confidence: trial.machine_confidence.word().to_string(),
        status: trial.status.word().to_string(),
        opened_on: trial.opened_on.map(|date| date.to_string()).unwrap_or_default(),
        invented: (if trial.invented { "yes" } else { "no" }).to_string(),
        blends: trial.blends.iter().map(part_of).collect(),
        tests: trial.tests.iter().map(test_of).collect(),
    }
}

/// A draft with the question, machine, blends and tests of a trial: another trial like it, without its results.
pub fn copy_of_trial(trial: &Trial) -> TrialDraft {
    TrialDraft {
        slug: String::new(),
        status: TrialStatus::Planned.word().to_string(),
        opened_on: String::new(),
        ..draft_of_trial(trial)
    }
}

fn part_of(part: &TrialBlend) -> PartDraft {
    let role = match (part.role, part.level) {
        (Role::Reference, Some(level)) => level.word(),
        (role, _) => role.word(),
    };
    PartDraft {
        blend: part.blend.to_string(),
        role: role.to_string(),
    }
}

fn test_of(test: &TrialTest) -> TestDraft {
    let code = |blend: &Option<BlendCode>| blend.as_ref().map(ToString::to_string).unwrap_or_default();
    let number = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    TestDraft {
        test: test.key.to_string(),
        used_to: test.used_to.word().to_string(),
        limit: test.limit.clone(),
        known_good: code(&test.known_good),
        known_poor: code(&test.known_poor),
        cost: number(test.cost),
        days: number(test.days),
        reason: test.reason.clone(),
    }
}

/// Role and level of a typed role, as the files of an archive write them.
fn role_and_level(typed: &str) -> (&str, &str) {
    match Level::from_word(typed) {
        Some(level) => (Role::Reference.word(), level.word()),
        None => (typed, ""),
    }
}
