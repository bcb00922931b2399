//! What is typed for a trial, and what would be typed to get one as it is.

use crate::records::{BlendCode, Level, Role, Trial, TrialBlend, TrialStatus, TrialTest, Word};

/// What is typed for a trial.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialDraft {
    /// Slug; only a new trial's is read.
    pub slug: String,
    /// Title.
    pub title: String,
    /// Question.
    pub question: String,
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
    pub(super) fn parts(&self) -> impl Iterator<Item = (usize, &PartDraft)> {
        let rows = self.blends.iter().enumerate();
        rows.filter(|(_, part)| !part.blend.trim().is_empty())
    }

    /// The rows of tests in which something is typed, with their places.
    pub(super) fn planned(&self) -> impl Iterator<Item = (usize, &TestDraft)> {
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
    pub(super) fn judges_otherwise_than(&self, other: &Self) -> bool {
        let judging = |of: &Self| {
            [&of.used_to, &of.limit, &of.known_good, &of.known_poor].map(|text| text.trim().to_string())
        };
        judging(self) != judging(other)
    }
}

/// What would be typed to get a trial as it is.
pub fn draft_of_trial(trial: &Trial) -> TrialDraft {
    TrialDraft {
        slug: trial.slug.to_string(),
        title: trial.title.clone(),
        question: trial.question.clone(),
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

pub(super) fn part_of(part: &TrialBlend) -> PartDraft {
    let role = match (part.role, part.level) {
        (Role::Reference, Some(level)) => level.word(),
        (role, _) => role.word(),
    };
    PartDraft {
        blend: part.blend.to_string(),
        role: role.to_string(),
    }
}

pub(super) fn test_of(test: &TrialTest) -> TestDraft {
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
pub(super) fn role_and_level(typed: &str) -> (&str, &str) {
    match Level::from_word(typed) {
        Some(level) => (Role::Reference.word(), level.word()),
        None => (typed, ""),
    }
}
