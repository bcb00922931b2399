//! A whole archive, and all that the judgement of one trial needs.

use crate::catalogue::{Method, MethodId, Quantity};
use crate::records::table::{FileColumns, Record, row_of};
use crate::records::{
    Blend, BlendCode, Component, Decision, Level, Machine, Outcome, OwnMethod, Parent, RawReading, Rig, Role,
    RunResult, TermScale, TestKey, Trial, TrialStatus, TrialTest,
};

/// Everything an archive folder holds.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Archive {
    /// Components.
    pub components: Vec<Component>,
    /// Blends with composition.
    pub blends: Vec<Blend>,
    /// Machines with contacts, each in every version, the first version first.
    pub machines: Vec<Machine>,
    /// The laboratory's own methods.
    pub own_methods: Vec<OwnMethod>,
    /// Rigs.
    pub rigs: Vec<Rig>,
    /// Trials with blends and tests.
    pub trials: Vec<Trial>,
    /// What the terms of the resemblance count in trials, every change.
    pub term_scales: Vec<TermScale>,
    /// Every result with every revision.
    pub results: Vec<RunResult>,
    /// Raw readings.
    pub readings: Vec<RawReading>,
    /// Decisions.
    pub decisions: Vec<Decision>,
    /// Outcomes in machines.
    pub outcomes: Vec<Outcome>,
}

/// One file of an archive folder with its rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileRows {
    /// Its name and columns.
    pub file: FileColumns,
    /// The cells of each row, in the order of all columns.
    pub rows: Vec<Vec<String>>,
}

impl FileRows {
    fn of<'a, R: Record + 'a>(records: impl IntoIterator<Item = (R::Owner, &'a R)>) -> Self {
        let row = |(owner, record): (R::Owner, &R)| {
            let cells = row_of(&owner, record).into_iter();
            cells.map(|(_, text)| text).collect()
        };
        Self {
            file: FileColumns::of::<R>(),
            rows: records.into_iter().map(row).collect(),
        }
    }

    fn of_all<'a, R: Record<Owner = ()> + 'a>(records: &'a [R]) -> Self {
        Self::of(records.iter().map(|record| ((), record)))
    }

    fn of_parts<'a, P: Parent, R: Record<Owner = P::Name> + 'a>(
        parents: &'a [P],
        parts: impl Fn(&'a P) -> &'a [R],
    ) -> Self {
        let of_one = |parent: &'a P| {
            let owner = parent.name_in_parts();
            parts(parent).iter().map(move |part| (owner.clone(), part))
        };
        Self::of(parents.iter().flat_map(of_one))
    }
}

impl Archive {
    /// Every file of an archive folder with its rows; what a file names stands in itself or in one before it.
    pub fn files(&self) -> Vec<FileRows> {
        vec![
            FileRows::of_all(&self.components),
            FileRows::of_all(&self.blends),
            FileRows::of_parts(&self.blends, |blend| &blend.composition),
            FileRows::of_all(&self.machines),
            FileRows::of_parts(&self.machines, |machine| &machine.contacts),
            FileRows::of_all(&self.own_methods),
            FileRows::of_parts(&self.own_methods, |method| &method.quantities),
            FileRows::of_all(&self.rigs),
            FileRows::of_all(&self.trials),
            FileRows::of_parts(&self.trials, |trial| &trial.adoptions),
            FileRows::of_parts(&self.trials, |trial| &trial.blends),
            FileRows::of_parts(&self.trials, |trial| &trial.tests),
            FileRows::of_all(&self.term_scales),
            FileRows::of_all(&self.results),
            FileRows::of_all(&self.outcomes),
            FileRows::of_all(&self.readings),
            FileRows::of_all(&self.decisions),
        ]
    }
}

/// All that the judgement of one trial needs.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRecords {
    /// The trial.
    pub trial: Trial,
    /// Its target machine, in the version with which it is judged.
    pub machine: Machine,
    /// The newest version of that machine.
    pub newest_machine_version: u32,
    /// The blends in it, in the order of the trial.
    pub blends: Vec<Blend>,
    /// The methods its tests name.
    pub methods: Vec<Method>,
    /// The rigs its results name.
    pub rigs: Vec<Rig>,
    /// Every result of the trial with every revision.
    pub results: Vec<RunResult>,
    /// Decisions of the trial.
    pub decisions: Vec<Decision>,
    /// What the terms of the resemblance count in the trial, every change.
    pub term_scales: Vec<TermScale>,
}

impl TrialRecords {
    /// The blend with a code.
    pub fn blend(&self, code: &BlendCode) -> Option<&Blend> {
        self.blends.iter().find(|blend| &blend.code == code)
    }

    /// The codes that have a role.
    pub fn with_role(&self, role: Role) -> impl Iterator<Item = &BlendCode> {
        self.trial
            .blends
            .iter()
            .filter(move |part| part.role == role)
            .map(|part| &part.blend)
    }

    /// The reference oil of a level for one test: the test's own, or else the trial's.
    pub fn reference<'a>(&'a self, test: &'a TrialTest, level: Level) -> Option<&'a BlendCode> {
        let own = match level {
            Level::KnownGood => test.known_good.as_ref(),
            Level::KnownPoor => test.known_poor.as_ref(),
            Level::KnownMiddle => None,
        };
        let mut references = self
            .trial
            .blends
            .iter()
            .filter(|part| part.role == Role::Reference);
        own.or_else(|| {
            references
                .find(|part| part.level == Some(level))
                .map(|part| &part.blend)
        })
    }

    /// The decisions, the newest first: by date, those of one day by when they were recorded.
    pub fn decisions_newest_first(&self) -> Vec<&Decision> {
        let mut decisions: Vec<(usize, &Decision)> = self.decisions.iter().enumerate().collect();
        decisions.sort_by_key(|(place, decision)| std::cmp::Reverse((decision.date, *place)));
        decisions.into_iter().map(|(_, decision)| decision).collect()
    }

    /// Where the trial stands: decided as soon as its newest signed decision scales a blend up. The record of the trial
    /// itself stays as it was entered.
    pub fn status(&self) -> TrialStatus {
        let newest = self.decisions_newest_first();
        let newest = newest.iter().find(|decision| decision.is_signed());
        let is_chosen = newest.is_some_and(|decision| decision.chosen_blend().is_some());
        match self.trial.status {
            TrialStatus::Planned | TrialStatus::Running if is_chosen => TrialStatus::Decided,
            status => status,
        }
    }

    /// The laboratory of a rig; `None` where the rig or its laboratory is not known.
    pub fn laboratory_of(&self, rig: &str) -> Option<&str> {
        let known = self.rigs.iter().find(|known| known.id.as_str() == rig)?;
        (!known.lab.is_empty()).then_some(known.lab.as_str())
    }

    /// The method with an id.
    pub fn method(&self, id: &MethodId) -> Option<&Method> {
        self.methods.iter().find(|method| &method.id == id)
    }

    /// The method and quantity of a key.
    pub fn test(&self, key: &TestKey) -> Option<(&Method, &Quantity)> {
        let method = self.method(&key.method)?;
        Some((method, method.quantity(&key.quantity)?))
    }

    /// The latest revision of each result: those that no other one corrects.
    pub fn current_results(&self) -> impl Iterator<Item = &RunResult> {
        let corrected: Vec<i64> = self
            .results
            .iter()
            .filter_map(|result| result.supersedes)
            .collect();
        self.results
            .iter()
            .filter(move |result| result.id.is_none_or(|id| !corrected.contains(&id)))
    }
}
