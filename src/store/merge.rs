//! What of a given archive is new, what is there already, and what is there with other values.

mod adoptions;
mod history;

use crate::records::rows::{self, Cells, FileColumns};
use crate::records::{Adoption, Archive, Component, TermScale, Trial, TrialBlend, TrialTest};
use crate::records::{Blend, Decision, Machine, Outcome, OwnMethod, RawReading, Rig, RunResult, TrialSlug};
use std::collections::BTreeMap;
use std::fmt;

/// How many records of one kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// Written now.
    pub new: usize,
    /// There already, with the same values.
    pub same: usize,
}

/// What a load wrote.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Added {
    counts: BTreeMap<&'static str, Count>,
}

impl Added {
    /// Each kind of record with its count, in alphabetical order; kinds of which none was given are left out.
    pub fn counts(&self) -> impl Iterator<Item = (&'static str, Count)> {
        self.counts.iter().map(|(kind, count)| (*kind, *count))
    }

    /// How many records were written.
    pub fn new_records(&self) -> usize {
        self.counts.values().map(|count| count.new).sum()
    }

    /// How many were there already.
    pub fn same_records(&self) -> usize {
        self.counts.values().map(|count| count.same).sum()
    }

    /// What a load into an empty file would write.
    pub fn all_new(archive: &Archive) -> Self {
        match merge(&Archive::default(), archive) {
            Ok((_, added)) => added,
            // Against nothing there is nothing to differ from.
            Err(_) => Self::default(),
        }
    }

    fn count(&mut self, kind: &'static str, count: Count) {
        if count != Count::default() {
            self.counts.insert(kind, count);
        }
    }
}

/// The most characters that are shown of a key.
const LONGEST_KEY: usize = 200;

/// The same key with other values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// Kind of record.
    pub what: &'static str,
    /// Its key.
    pub key: String,
    /// What is there, where the two differ.
    pub there: String,
    /// What is given, where the two differ.
    pub given: String,
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} {}: there is {}, given is {}",
            self.what, self.key, self.there, self.given
        )
    }
}

/// What has to be written. Trials that are there already get new blends and tests behind those they have.
#[derive(Debug, Default)]
pub(crate) struct Additions<'a> {
    pub(crate) components: Vec<&'a Component>,
    pub(crate) blends: Vec<&'a Blend>,
    pub(crate) machines: Vec<&'a Machine>,
    pub(crate) own_methods: Vec<&'a OwnMethod>,
    pub(crate) rigs: Vec<&'a Rig>,
    pub(crate) trials: Vec<&'a Trial>,
    pub(crate) adoptions: Vec<(&'a TrialSlug, &'a Adoption)>,
    pub(crate) trial_blends: Vec<(&'a TrialSlug, usize, &'a TrialBlend)>,
    pub(crate) trial_tests: Vec<(&'a TrialSlug, usize, &'a TrialTest)>,
    pub(crate) term_scales: Vec<&'a TermScale>,
    pub(crate) results: Vec<RunResult>,
    pub(crate) readings: Vec<&'a RawReading>,
    pub(crate) decisions: Vec<&'a Decision>,
    pub(crate) outcomes: Vec<&'a Outcome>,
}

/// A record as columns and texts, under its key.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Keyed {
    key: Vec<String>,
    cells: Vec<(&'static str, String)>,
}

impl Keyed {
    /// The cells of a row; the first `key_columns` named are its key.
    fn new(file: FileColumns, cells: Cells, key_columns: &[&str]) -> Self {
        let named: Vec<(&'static str, String)> = file.columns.iter().copied().zip(cells).collect();
        let cell = |wanted: &&str| named.iter().find(|(column, _)| column == wanted);
        let key = key_columns
            .iter()
            .filter_map(cell)
            .map(|(_, text)| text.clone())
            .collect();
        Self { key, cells: named }
    }

    /// With the number of a version as part of its key, and what is said of the change.
    fn version(mut self, version: u32, change: &str) -> Self {
        if version > 1 {
            self.key.push(format!("version {version}"));
        }
        self.also("change", change)
    }

    /// With what was frozen at a signature as part of its key: two decisions of one day are told apart by it.
    fn signed_on(mut self, snapshot: &str) -> Self {
        if !snapshot.is_empty() {
            self.key.push(snapshot.to_string());
        }
        self
    }

    /// With a text that stands in an optional column.
    fn also(mut self, column: &'static str, text: &str) -> Self {
        self.cells.push((column, text.to_string()));
        self
    }

    /// With the rows that belong to the record, as one more cell.
    fn with(mut self, column: &'static str, rows: Vec<Cells>) -> Self {
        let lines: Vec<String> = rows.iter().map(|row| row[1..].join(", ")).collect();
        self.cells.push((column, lines.join(" | ")));
        self
    }
}

/// The cells in which two records differ, `column 'text'`.
fn differences(
    there: &[(&'static str, String)],
    given: &[(&'static str, String)],
) -> Option<(String, String)> {
    let differ = there.iter().zip(given).filter(|(a, b)| a.1 != b.1);
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for (a, b) in differ {
        ours.push(format!("{} '{}'", a.0, a.1));
        theirs.push(format!("{} '{}'", b.0, b.1));
    }
    (!ours.is_empty()).then(|| (ours.join(", "), theirs.join(", ")))
}

struct Merge<'a> {
    additions: Additions<'a>,
    added: Added,
    conflicts: Vec<Conflict>,
}

/// What a given archive adds to what is there, or every conflict.
pub(crate) fn merge<'a>(
    there: &Archive,
    given: &'a Archive,
) -> Result<(Additions<'a>, Added), Vec<Conflict>> {
    let mut m = Merge {
        additions: Additions::default(),
        added: Added::default(),
        conflicts: Vec::new(),
    };
    m.additions.components = m.sort("component", &there.components, &given.components, |c| {
        Keyed::new(rows::COMPONENTS, rows::component(c), &["component"])
    });
    m.additions.blends = m.sort("blend", &there.blends, &given.blends, |b| {
        Keyed::new(rows::BLENDS, rows::blend(b), &["blend"]).with("composition", rows::composition(b))
    });
    m.additions.machines = m.sort("machine", &there.machines, &given.machines, |machine| {
        let contacts = machine
            .contacts
            .iter()
            .map(|c| rows::contact(machine, c))
            .collect();
        Keyed::new(rows::MACHINES, rows::machine(machine), &["machine"])
            .version(machine.version, &machine.change)
            .with("contacts", contacts)
    });
    m.additions.own_methods = m.sort("method", &there.own_methods, &given.own_methods, |method| {
        let quantities = method
            .quantities
            .iter()
            .map(|q| rows::own_quantity(method, q))
            .collect();
        Keyed::new(rows::METHODS, rows::own_method(method), &["method"])
            .also("conditions", &method.conditions_json)
            .with("quantities", quantities)
    });
    m.additions.rigs = m.sort("rig", &there.rigs, &given.rigs, |r| {
        Keyed::new(rows::RIGS, rows::rig(r), &["rig"])
    });
    m.additions.trials = m.sort("trial", &there.trials, &given.trials, |t| {
        Keyed::new(rows::TRIALS, rows::trial(t), &["trial"])
    });
    m.adoptions(&there.trials, &given.trials);
    m.parts_of_trials(&there.trials, &given.trials);
    m.additions.term_scales = m.sort(
        "resemblance change",
        &there.term_scales,
        &given.term_scales,
        |s| {
            let key = ["trial", "term", "entered_at"];
            Keyed::new(rows::TRIAL_SCALES, rows::term_scale(s), &key)
        },
    );
    m.results(&there.results, &given.results);
    m.additions.readings = m.sort("reading", &there.readings, &given.readings, |r| {
        let key = [
            "trial",
            "blend",
            "method",
            "rig",
            "date",
            "replicate",
            "position",
            "kind",
        ];
        Keyed::new(rows::READINGS, rows::reading(r), &key)
    });
    m.additions.decisions = m.sort("decision", &there.decisions, &given.decisions, |d| {
        Keyed::new(rows::DECISIONS, rows::decision(d), &["trial", "date", "chosen"]).signed_on(&d.snapshot)
    });
    m.additions.outcomes = m.sort("outcome", &there.outcomes, &given.outcomes, |o| {
        let key = ["blend", "machine", "date", "mode"];
        Keyed::new(rows::OUTCOMES, rows::outcome(o), &key)
    });
    if m.conflicts.is_empty() {
        Ok((m.additions, m.added))
    } else {
        Err(m.conflicts)
    }
}

impl Merge<'_> {
    /// The given records that are new; the others are counted as same or noted as conflicts.
    fn sort<'b, T>(
        &mut self,
        what: &'static str,
        there: &[T],
        given: &'b [T],
        keyed: impl Fn(&T) -> Keyed,
    ) -> Vec<&'b T> {
        let known: BTreeMap<Vec<String>, Keyed> = there
            .iter()
            .map(|record| {
                let record = keyed(record);
                (record.key.clone(), record)
            })
            .collect();
        let mut new = Vec::new();
        let mut count = Count::default();
        for record in given {
            let given = keyed(record);
            let Some(there) = known.get(&given.key) else {
                new.push(record);
                continue;
            };
            match differences(&there.cells, &given.cells) {
                None => count.same += 1,
                Some((there, differing)) => self.conflicts.push(Conflict {
                    what,
                    key: given.key.join(", ").chars().take(LONGEST_KEY).collect(),
                    there,
                    given: differing,
                }),
            }
        }
        count.new = new.len();
        self.added.count(what, count);
        new
    }
}

impl<'a> Merge<'a> {
    /// Blends and tests of trials: a trial that is there already takes new ones in behind its own.
    fn parts_of_trials(&mut self, there: &[Trial], given: &'a [Trial]) {
        let mut blends = Count::default();
        let mut tests = Count::default();
        for trial in given {
            let known = there.iter().find(|known| known.slug == trial.slug);
            let known_blends = known.map_or(&[][..], |known| &known.blends);
            let known_tests = known.map_or(&[][..], |known| &known.tests);
            let new_blends = self.sort("trial blend", known_blends, &trial.blends, |part| {
                Keyed::new(
                    rows::TRIAL_BLENDS,
                    rows::trial_blend(trial, part),
                    &["trial", "blend"],
                )
            });
            let new_tests = self.sort("trial test", known_tests, &trial.tests, |test| {
                let key = ["trial", "method", "quantity"];
                Keyed::new(rows::TRIAL_METHODS, rows::trial_test(trial, test), &key)
            });
            self.refuse_second_references(trial, known_blends, &new_blends);
            blends.new += new_blends.len();
            blends.same += trial.blends.len() - new_blends.len();
            tests.new += new_tests.len();
            tests.same += trial.tests.len() - new_tests.len();
            let place = |offset: usize| move |(i, part)| (&trial.slug, offset + i, part);
            let at = known_blends.len();
            self.additions
                .trial_blends
                .extend(new_blends.into_iter().enumerate().map(place(at)));
            let at = known_tests.len();
            let tests = new_tests.into_iter().enumerate();
            self.additions
                .trial_tests
                .extend(tests.map(|(i, test)| (&trial.slug, at + i, test)));
        }
        self.added.count("trial blend", blends);
        self.added.count("trial test", tests);
    }

    fn refuse_second_references(&mut self, trial: &Trial, known: &[TrialBlend], new: &[&TrialBlend]) {
        for part in new {
            let Some(level) = part
                .level
                .filter(|level| *level != crate::records::Level::KnownMiddle)
            else {
                continue;
            };
            if let Some(first) = known.iter().find(|known| known.level == Some(level)) {
                self.conflicts.push(Conflict {
                    what: "trial blend",
                    key: format!("{}, {}", trial.slug, level.word()),
                    there: first.blend.to_string(),
                    given: part.blend.to_string(),
                });
            }
        }
    }

    fn results(&mut self, there: &[RunResult], given: &[RunResult]) {
        let (new, same, conflicts) = history::sort(there, given);
        let count = Count { new: new.len(), same };
        self.added.count("result", count);
        self.conflicts.extend(conflicts);
        self.additions.results = new;
    }
}
