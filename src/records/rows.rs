//! The archive as rows of text: which files there are, their columns in order, and each record as a row of cells.
//!
//! An exported folder is written from these rows, a loaded one is checked against these columns, and two records
//! under the same key are compared cell by cell.

use crate::catalogue::Mode;
use crate::records::{
    Adoption, Archive, Blend, Component, Decision, Machine, MachineContact, Outcome, OwnMethod, OwnQuantity,
    RawReading, Rig, RunResult, TermScale, Trial, TrialBlend, TrialTest,
};
use std::fmt::Display;

/// One file of an archive folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileColumns {
    /// File name.
    pub name: &'static str,
    /// Columns that the file must have, in the order in which they are written.
    pub columns: &'static [&'static str],
    /// Columns that are written after them and may be missing when a folder is loaded.
    pub optional: &'static [&'static str],
}

macro_rules! files {
    ($($constant:ident $name:literal [$($column:literal),*] [$($optional:literal),*];)*) => {
        $(
            #[doc = $name]
            pub const $constant: FileColumns = FileColumns {
                name: $name,
                columns: &[$($column),*],
                optional: &[$($optional),*],
            };
        )*
        /// All files of an archive folder; what a file names stands in itself or in one before it.
        pub const FILES: &[FileColumns] = &[$($constant),*];
    };
}

files! {
    COMPONENTS "components.csv" ["component", "class", "note"] [];
    BLENDS "blends.csv" ["blend", "name", "kind", "made_on", "parent", "change", "kv40_mm2_s", "kv100_mm2_s",
        "density15_kg_m3", "base_oil_kv40_mm2_s", "nlgi", "note"] [];
    COMPOSITION "composition.csv" ["blend", "component", "wt_pct"] [];
    MACHINES "machines.csv" ["machine", "name", "kind", "note", "caution"]
        ["version", "change", "entered_at"];
    CONTACTS "contacts.csv" ["machine", "contact", "preset", "parameters", "share", "main_modes",
        "secondary_modes", "minor_modes"] ["version"];
    METHODS "methods.csv" ["method", "title", "standard", "based_on", "lubricant", "category", "contacts", "cost",
        "days", "caution", "note"] ["conditions"];
    METHOD_QUANTITIES "method_quantities.csv" ["method", "quantity", "label", "unit", "better", "scale", "steps",
        "cap", "plain_number_is", "modes", "r", "R", "precision_kind", "level", "mark"] [];
    RIGS "rigs.csv" ["rig", "name", "lab", "methods", "reference_blend"] [];
    TRIALS "trials.csv" ["trial", "title", "question", "machine", "status", "opened_on", "closed_on",
        "machine_confidence", "invented"] ["machine_version"];
    MACHINE_ADOPTIONS "machine_adoptions.csv" ["trial", "from_version", "to_version", "adopted_at", "reason"] [];
    TRIAL_BLENDS "trial_blends.csv" ["trial", "blend", "role", "level"] [];
    TRIAL_METHODS "trial_methods.csv" ["trial", "method", "quantity", "use", "limit", "known_good", "known_poor",
        "cost", "days", "reason"] [];
    TRIAL_SCALES "trial_scales.csv" ["trial", "term", "importance", "halving", "reason", "entered_at"] [];
    RESULTS "results.csv" ["trial", "blend", "method", "quantity", "value", "unit", "rig", "date", "replicate",
        "campaign", "conditions", "purpose", "status", "reason", "source", "note"]
        ["id", "supersedes", "entered_at", "voided_at", "origin"];
    OUTCOMES "outcomes.csv" ["blend", "machine", "date", "hours", "mode", "severity", "source", "note"] [];
    READINGS "readings.csv" ["trial", "blend", "method", "rig", "date", "replicate", "position", "kind", "value",
        "unit"] [];
    DECISIONS "decisions.csv" ["trial", "date", "chosen", "reason", "dissent", "acknowledged", "snapshot"] [];
}

/// A row of cells in the order of its file's columns, the optional ones after the others.
pub type Cells = Vec<String>;

/// The rows of every file of an archive, in the order of [`FILES`].
pub fn archive_rows(archive: &Archive) -> Vec<(FileColumns, Vec<Cells>)> {
    let blends = &archive.blends;
    let machines = &archive.machines;
    let methods = &archive.own_methods;
    let trials = &archive.trials;
    vec![
        (COMPONENTS, archive.components.iter().map(component).collect()),
        (BLENDS, blends.iter().map(blend).collect()),
        (COMPOSITION, blends.iter().flat_map(composition).collect()),
        (MACHINES, machines.iter().map(machine).collect()),
        (CONTACTS, each(machines, |m| &m.contacts, contact)),
        (METHODS, methods.iter().map(own_method).collect()),
        (METHOD_QUANTITIES, each(methods, |m| &m.quantities, own_quantity)),
        (RIGS, archive.rigs.iter().map(rig).collect()),
        (TRIALS, trials.iter().map(trial).collect()),
        (MACHINE_ADOPTIONS, each(trials, |t| &t.adoptions, adoption)),
        (TRIAL_BLENDS, each(trials, |t| &t.blends, trial_blend)),
        (TRIAL_METHODS, each(trials, |t| &t.tests, trial_test)),
        (TRIAL_SCALES, archive.term_scales.iter().map(term_scale).collect()),
        (RESULTS, archive.results.iter().map(result).collect()),
        (OUTCOMES, archive.outcomes.iter().map(outcome).collect()),
        (READINGS, archive.readings.iter().map(reading).collect()),
        (DECISIONS, archive.decisions.iter().map(decision).collect()),
    ]
}

fn each<P, C>(parents: &[P], children: impl Fn(&P) -> &Vec<C>, row: impl Fn(&P, &C) -> Cells) -> Vec<Cells> {
    let of_one = |parent| {
        children(parent)
            .iter()
            .map(|child| row(parent, child))
            .collect::<Vec<_>>()
    };
    parents.iter().flat_map(of_one).collect()
}

fn cells<const N: usize>(cells: [&dyn Display; N]) -> Cells {
    cells.iter().map(ToString::to_string).collect()
}

fn opt<T: Display>(value: &Option<T>) -> String {
    value.as_ref().map(ToString::to_string).unwrap_or_default()
}

fn modes(modes: &[Mode]) -> String {
    modes
        .iter()
        .map(|mode| mode.word())
        .collect::<Vec<_>>()
        .join("; ")
}

/// The row of a component.
pub fn component(c: &Component) -> Cells {
    cells([&c.name, &c.class, &c.note])
}

/// The row of a blend, without its composition.
pub fn blend(b: &Blend) -> Cells {
    cells([
        &b.code,
        &b.name,
        &b.kind.word(),
        &opt(&b.made_on),
        &opt(&b.parent),
        &b.change,
        &opt(&b.kv40_mm2_s),
        &opt(&b.kv100_mm2_s),
        &opt(&b.density15_kg_m3),
        &opt(&b.base_oil_kv40_mm2_s),
        &b.nlgi,
        &b.note,
    ])
}

/// The rows of a blend's composition.
pub fn composition(b: &Blend) -> Vec<Cells> {
    let row = |(component, wt_pct)| cells([&b.code, component, wt_pct]);
    b.composition.iter().map(|(c, w)| row((c, w))).collect()
}

/// The row of a version of a machine, without its contacts.
pub fn machine(m: &Machine) -> Cells {
    cells([
        &m.slug,
        &m.name,
        &m.kind,
        &m.note,
        &m.caution,
        &m.version,
        &m.change,
        &m.entered_at,
    ])
}

/// The row of a machine's contact.
pub fn contact(m: &Machine, c: &MachineContact) -> Cells {
    cells([
        &m.slug,
        &c.name,
        &c.preset.word(),
        &c.parameters_json,
        &c.share,
        &modes(&c.main_modes),
        &modes(&c.secondary_modes),
        &modes(&c.minor_modes),
        &m.version,
    ])
}

/// The row of a laboratory's own method, without its quantities.
pub fn own_method(m: &OwnMethod) -> Cells {
    cells([
        &m.id,
        &m.title,
        &m.standard,
        &m.based_on,
        &m.lubricant,
        &m.category,
        &m.contacts_json,
        &opt(&m.cost),
        &opt(&m.days),
        &m.caution,
        &m.note,
        &m.conditions_json,
    ])
}

/// The row of a quantity of a laboratory's own method.
pub fn own_quantity(m: &OwnMethod, q: &OwnQuantity) -> Cells {
    cells([
        &m.id,
        &q.quantity,
        &q.label,
        &q.unit,
        &q.better,
        &q.scale,
        &q.steps,
        &opt(&q.cap),
        &q.plain_number_is,
        &q.modes,
        &opt(&q.repeatability),
        &opt(&q.reproducibility),
        &q.precision_kind,
        &opt(&q.level),
        &q.mark,
    ])
}

/// The row of a rig.
pub fn rig(r: &Rig) -> Cells {
    let methods = r.methods.join("; ");
    cells([&r.id, &r.name, &r.lab, &methods, &opt(&r.reference_blend)])
}

/// The row of a trial, without its blends and tests.
pub fn trial(t: &Trial) -> Cells {
    cells([
        &t.slug,
        &t.title,
        &t.question,
        &t.machine,
        &t.status.word(),
        &opt(&t.opened_on),
        &opt(&t.closed_on),
        &t.machine_confidence.word(),
        &if t.invented { "yes" } else { "no" },
        &t.machine_version,
    ])
}

/// The row of a trial's adoption of another version of its machine.
pub fn adoption(t: &Trial, a: &Adoption) -> Cells {
    cells([&t.slug, &a.from_version, &a.to_version, &a.adopted_at, &a.reason])
}

/// The row of a blend's part in a trial.
pub fn trial_blend(t: &Trial, b: &TrialBlend) -> Cells {
    let level = b.level.map(|level| level.word());
    cells([&t.slug, &b.blend, &b.role.word(), &opt(&level)])
}

/// The row of a test of a trial.
pub fn trial_test(t: &Trial, test: &TrialTest) -> Cells {
    cells([
        &t.slug,
        &test.key.method,
        &test.key.quantity,
        &test.used_to.word(),
        &test.limit,
        &opt(&test.known_good),
        &opt(&test.known_poor),
        &opt(&test.cost),
        &opt(&test.days),
        &test.reason,
    ])
}

/// The row of what a term counts in a trial.
pub fn term_scale(s: &TermScale) -> Cells {
    cells([
        &s.trial,
        &s.term,
        &s.importance,
        &opt(&s.halving),
        &s.reason,
        &s.entered_at,
    ])
}

/// The row of a result, with its history.
pub fn result(r: &RunResult) -> Cells {
    cells([
        &r.trial,
        &r.blend,
        &r.key.method,
        &r.key.quantity,
        &r.value_as_written,
        &r.unit_as_written,
        &opt(&r.rig),
        &opt(&r.date),
        &r.replicate,
        &r.campaign,
        &r.conditions,
        &r.purpose.word(),
        &r.status.word(),
        &r.reason,
        &r.source.word(),
        &r.note,
        &opt(&r.id),
        &opt(&r.supersedes),
        &r.entered_at,
        &r.voided_at,
        &r.origin,
    ])
}

/// The row of an outcome in a machine.
pub fn outcome(o: &Outcome) -> Cells {
    cells([
        &o.blend,
        &o.machine,
        &opt(&o.date),
        &opt(&o.hours),
        &opt(&o.mode),
        &o.severity.word(),
        &o.source,
        &o.note,
    ])
}

/// The row of a raw reading.
pub fn reading(r: &RawReading) -> Cells {
    cells([
        &r.trial,
        &r.blend,
        &r.method,
        &opt(&r.rig),
        &opt(&r.date),
        &r.replicate,
        &r.position,
        &r.kind,
        &r.value,
        &r.unit,
    ])
}

/// The row of a decision.
pub fn decision(d: &Decision) -> Cells {
    cells([
        &d.trial,
        &opt(&d.date),
        &d.chosen,
        &d.reason,
        &d.dissent,
        &d.acknowledged,
        &d.snapshot,
    ])
}
