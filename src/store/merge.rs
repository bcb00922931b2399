//! What of a given archive is new, what is there already, and what is there with other values.

use crate::records::table::{Record, row_of};
use crate::records::{
    Adoption, Archive, Blend, Component, Decision, Level, Machine, Outcome, OwnMethod, Parent, RawReading,
    Rig, RunResult, TermScale, Trial, TrialBlend, TrialSlug, TrialTest,
};
use crate::store::history;
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
    pub(crate) trial_blends: Vec<(&'a Trial, usize, &'a TrialBlend)>,
    pub(crate) trial_tests: Vec<(&'a Trial, usize, &'a TrialTest)>,
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
    /// The cells under the columns that every file has, and the key of the record's table. A last part of the key that is
    /// empty is left out.
    fn of<R: Record>(owner: &R::Owner, record: &R) -> Self {
        let row = row_of(owner, record);
        let cell = |wanted: &&str| row.iter().find(|(column, _)| column.heading == *wanted);
        let key = R::KEY.iter().filter_map(cell);
        let mut key: Vec<String> = key.map(|(_, text)| text.clone()).collect();
        if key.len() > 1 && key.last().is_some_and(String::is_empty) {
            key.pop();
        }
        let needed = row.into_iter().filter(|(column, _)| !column.is_optional);
        Self {
            key,
            cells: needed.map(|(column, text)| (column.heading, text)).collect(),
        }
    }

    /// With a text that stands in an optional column.
    fn also(mut self, column: &'static str, text: &str) -> Self {
        self.cells.push((column, text.to_string()));
        self
    }

    /// With the rows that belong to the record, as one more cell.
    fn with<P: Parent, R: Record<Owner = P::Name>>(
        mut self,
        column: &'static str,
        of: &P,
        parts: &[R],
    ) -> Self {
        let owner = of.name_in_parts();
        let line = |part| {
            let cells = row_of(&owner, part).into_iter().skip(1);
            cells.map(|(_, text)| text).collect::<Vec<_>>().join(", ")
        };
        let lines: Vec<String> = parts.iter().map(line).collect();
        self.cells.push((column, lines.join(" | ")));
        self
    }
}

fn keyed<R: Record<Owner = ()>>(record: &R) -> Keyed {
    Keyed::of(&(), record)
}

/// The first version of a machine has its name as key, later ones their number too.
fn keyed_machine(machine: &Machine) -> Keyed {
    let mut keyed =
        Keyed::of(&(), machine)
            .also("change", &machine.change)
            .with("contacts", machine, &machine.contacts);
    keyed.key = vec![machine.slug.to_string()];
    if machine.version > 1 {
        keyed.key.push(format!("version {}", machine.version));
    }
    keyed
}

/// The cells in which two records differ, `column 'text'`.
pub(crate) fn differences(
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
    m.additions.components = m.sort("component", &there.components, &given.components, keyed);
    m.additions.blends = m.sort("blend", &there.blends, &given.blends, |blend| {
        keyed(blend).with("composition", blend, &blend.composition)
    });
    m.additions.machines = m.sort("machine", &there.machines, &given.machines, keyed_machine);
    m.additions.own_methods = m.sort("method", &there.own_methods, &given.own_methods, |method| {
        keyed(method)
            .also("conditions", &method.conditions_json)
            .also("apparatus", &method.apparatus)
            .with("quantities", method, &method.quantities)
    });
    m.additions.rigs = m.sort("rig", &there.rigs, &given.rigs, keyed);
    m.additions.trials = m.sort("trial", &there.trials, &given.trials, keyed);
    m.adoptions(&there.trials, &given.trials);
    m.parts_of_trials(&there.trials, &given.trials);
    let scales = (&there.term_scales, &given.term_scales);
    m.additions.term_scales = m.sort("resemblance change", scales.0, scales.1, keyed);
    m.results(&there.results, &given.results);
    m.additions.readings = m.sort("reading", &there.readings, &given.readings, keyed);
    m.additions.decisions = m.sort("decision", &there.decisions, &given.decisions, keyed);
    m.additions.outcomes = m.sort("outcome", &there.outcomes, &given.outcomes, keyed);
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
    /// How trials came to the version of their machine with which they are judged: a trial that is there already takes later
    /// adoptions in behind its own, and one that adopted another version since still equals the row from which it came.
    fn adoptions(&mut self, there: &[Trial], given: &'a [Trial]) {
        let mut count = Count::default();
        for trial in given {
            let known = there.iter().find(|known| known.slug == trial.slug);
            let known_steps = known.map_or(&[][..], |known| &known.adoptions);
            let common = known_steps.len().min(trial.adoptions.len());
            let same_start =
                known.is_none_or(|known| known.first_machine_version() == trial.first_machine_version());
            if !same_start || known_steps[..common] != trial.adoptions[..common] {
                self.conflicts.push(Conflict {
                    what: "trial",
                    key: trial.slug.to_string(),
                    there: known.map(versions).unwrap_or_default(),
                    given: versions(trial),
                });
                continue;
            }
            count.same += common;
            count.new += trial.adoptions.len() - common;
            let new = trial.adoptions[common..].iter();
            self.additions
                .adoptions
                .extend(new.map(|adoption| (&trial.slug, adoption)));
        }
        self.added.count("machine adoption", count);
    }

    /// Blends and tests of trials: a trial that is there already takes new ones in behind its own.
    fn parts_of_trials(&mut self, there: &[Trial], given: &'a [Trial]) {
        let mut blends = Count::default();
        let mut tests = Count::default();
        for trial in given {
            let known = there.iter().find(|known| known.slug == trial.slug);
            let known_blends = known.map_or(&[][..], |known| &known.blends);
            let known_tests = known.map_or(&[][..], |known| &known.tests);
            let owner = trial.name_in_parts();
            let new_blends = self.sort("trial blend", known_blends, &trial.blends, |part| {
                Keyed::of(&owner, part)
            });
            let new_tests = self.sort("trial test", known_tests, &trial.tests, |test| {
                Keyed::of(&owner, test)
            });
            self.refuse_second_references(trial, known_blends, &new_blends);
            blends.new += new_blends.len();
            blends.same += trial.blends.len() - new_blends.len();
            tests.new += new_tests.len();
            tests.same += trial.tests.len() - new_tests.len();
            let (at, new) = (known_blends.len(), new_blends.into_iter().enumerate());
            let new = new.map(|(i, part)| (trial, at + i, part));
            self.additions.trial_blends.extend(new);
            let (at, new) = (known_tests.len(), new_tests.into_iter().enumerate());
            let new = new.map(|(i, test)| (trial, at + i, test));
            self.additions.trial_tests.extend(new);
        }
        self.added.count("trial blend", blends);
        self.added.count("trial test", tests);
    }

    fn refuse_second_references(&mut self, trial: &Trial, known: &[TrialBlend], new: &[&TrialBlend]) {
        for part in new {
            let Some(level) = part.level.filter(|level| *level != Level::KnownMiddle) else {
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

/// `machine_version '1', then '2' (reason)`.
fn versions(trial: &Trial) -> String {
    let then = trial.adoptions.iter();
    let then = then.map(|step| format!(", then '{}' ({})", step.to_version, step.reason));
    format!(
        "machine_version '{}'{}",
        trial.first_machine_version(),
        then.collect::<String>()
    )
}
