//! The plan as a matrix: a row per test, a column per failure mode of each contact, and what covers it at the foot.

use crate::catalogue::{MethodId, Use};
use crate::charts::{Amount, Svg, cover_square};
use crate::prose::standing::{number_of_standard, of_100, per_cent, short_name};
use crate::records::TestKey;
use crate::standing::{MOST_RUNS, ModeCover, Plan, PlannedRow, Speaker, Standing};
use crate::web::figures;
use crate::web::question::encoded_step;

/// The whole matrix.
pub(super) struct Matrix {
    pub(super) contacts: Vec<ContactHead>,
    pub(super) modes: Vec<ModeHead>,
    /// Weighed tests, the heaviest method first.
    pub(super) weighed: Vec<TestLine>,
    /// Requirements and tests that are only shown.
    pub(super) others: Vec<TestLine>,
    /// Methods that would cover what nothing covers.
    pub(super) candidates: Vec<CandidateLine>,
}

/// A contact over the columns of its modes.
pub(super) struct ContactHead {
    pub(super) name: String,
    pub(super) share: String,
    pub(super) modes: usize,
}

/// A failure mode of a contact.
pub(super) struct ModeHead {
    pub(super) word: &'static str,
    pub(super) importance: &'static str,
    pub(super) covered: Coverage,
    /// At the foot of its column.
    pub(super) foot: String,
    /// Whether it is the first of its contact.
    pub(super) first: bool,
}

/// How well a mode is covered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub(super) enum Coverage {
    /// By a test that resembles the contact, or by a requirement.
    Covered,
    /// Only by tests that resemble it too little.
    Weak,
    /// By nothing.
    Open,
}

impl Coverage {
    /// Of a mode.
    pub(super) fn of(mode: &ModeCover) -> Self {
        match (mode.by.is_empty(), mode.unlike.is_empty()) {
            (false, _) => Self::Covered,
            (true, false) => Self::Weak,
            (true, true) => Self::Open,
        }
    }

    /// Its word in the page's markup.
    pub(super) fn word(self) -> &'static str {
        self.into()
    }
}

/// What a test says of a mode.
pub(super) enum Cell {
    Nothing,
    /// It resembles the contact so much; whether that is enough.
    Resembles {
        square: Svg,
        number: String,
        covers: bool,
    },
    /// A requirement checks it.
    Checked,
}

/// One test.
pub(super) struct TestLine {
    pub(super) key: TestKey,
    pub(super) weight: String,
    pub(super) name: String,
    pub(super) title: String,
    pub(super) standard: String,
    pub(super) href: String,
    pub(super) extreme: bool,
    pub(super) cells: Vec<Cell>,
    /// For the first test of a method: how many rows its costs span.
    pub(super) rows_of_method: Option<usize>,
    pub(super) chance: String,
    pub(super) needed: String,
    pub(super) results: usize,
}

/// A method of the catalogue.
pub(super) struct CandidateLine {
    pub(super) name: String,
    pub(super) href: String,
    pub(super) cells: Vec<Cell>,
}

impl Matrix {
    pub(super) fn of(plan: &Plan, standing: &Standing) -> Self {
        let (weighed, others): (Vec<&PlannedRow>, Vec<&PlannedRow>) =
            plan.tests.iter().partition(|row| row.used_to == Use::Weigh);
        Self {
            contacts: contacts(plan),
            modes: modes(plan),
            weighed: lines(&heaviest_method_first(weighed), plan, standing),
            others: lines(&heaviest_method_first(others), plan, standing),
            candidates: candidates(plan),
        }
    }
}

fn contacts(plan: &Plan) -> Vec<ContactHead> {
    let head = |(name, share): &(String, f64)| ContactHead {
        name: name.clone(),
        share: per_cent(*share),
        modes: plan.modes.iter().filter(|mode| mode.contact == *name).count(),
    };
    let heads = plan.contacts.iter().map(head);
    heads.filter(|head| head.modes > 0).collect()
}

fn modes(plan: &Plan) -> Vec<ModeHead> {
    let mut before: Option<&str> = None;
    let head = |mode: &'_ ModeCover, first: bool| ModeHead {
        word: mode.mode.word(),
        importance: importance_word(mode.importance),
        covered: Coverage::of(mode),
        foot: foot(mode),
        first,
    };
    let mut heads = Vec::new();
    for mode in &plan.modes {
        heads.push(head(mode, before != Some(mode.contact.as_str())));
        before = Some(&mode.contact);
    }
    heads
}

/// `0.93`, `checked`, `weak, 0.25`, `none`.
fn foot(mode: &ModeCover) -> String {
    let best = |speakers: &[Speaker]| {
        let known = speakers.iter().filter_map(|one| one.resemblance);
        known.max_by(f64::total_cmp).map(figures::position)
    };
    match Coverage::of(mode) {
        Coverage::Covered => best(&mode.by).unwrap_or_else(|| "checked".to_string()),
        Coverage::Weak => format!(
            "weak, {}",
            best(&mode.unlike).unwrap_or_else(|| "not known".to_string())
        ),
        Coverage::Open => "none".to_string(),
    }
}

pub(super) fn importance_word(importance: f64) -> &'static str {
    match importance {
        main if main >= 1.0 => "main",
        secondary if secondary >= 0.6 => "secondary",
        _ => "minor",
    }
}

/// The tests of a method together, in the order of the trial.
fn heaviest_method_first(mut rows: Vec<&PlannedRow>) -> Vec<&PlannedRow> {
    let weight = |method: &MethodId, rows: &[&PlannedRow]| -> f64 {
        let own = rows.iter().filter(|row| row.key.method == *method);
        own.map(|row| row.weight).sum()
    };
    let known = rows.clone();
    let place = |row: &PlannedRow| known.iter().position(|one| one.key.method == row.key.method);
    rows.sort_by(|a, b| {
        let [of_a, of_b] = [a, b].map(|row| weight(&row.key.method, &known));
        of_b.total_cmp(&of_a).then(place(a).cmp(&place(b)))
    });
    rows
}

fn lines(rows: &[&PlannedRow], plan: &Plan, standing: &Standing) -> Vec<TestLine> {
    let line = |(at, row): (usize, &&PlannedRow)| {
        let of_method = |other: &&&PlannedRow| other.key.method == row.key.method;
        let is_first = !rows[..at].iter().any(|other| other.key.method == row.key.method);
        let told = standing.test(&row.key);
        TestLine {
            key: row.key.clone(),
            weight: match row.used_to {
                Use::Weigh => figures::position(row.weight),
                Use::Gate | Use::Show => String::new(),
            },
            name: told.map_or_else(|| row.label.clone(), |test| short_name(standing, test)),
            title: row.title.clone(),
            standard: number_of_standard(&row.standard).to_string(),
            href: format!("/methods/{}", encoded_step(row.key.method.as_str())),
            extreme: row.extreme,
            cells: plan.modes.iter().map(|mode| cell(mode, &row.key)).collect(),
            rows_of_method: is_first.then(|| rows.iter().filter(of_method).count()),
            chance: match (&row.power, row.used_to) {
                (Some(power), _) => of_100(power.chance),
                (None, Use::Gate) => "pass or fail".to_string(),
                (None, Use::Show) => "shown".to_string(),
                (None, Use::Weigh) => String::new(),
            },
            needed: row.power.map_or_else(String::new, |power| {
                let more = || format!("> {MOST_RUNS}");
                power.needed.map_or_else(more, |needed| needed.to_string())
            }),
            results: row.results,
        }
    };
    rows.iter().enumerate().map(line).collect()
}

fn cell(mode: &ModeCover, key: &TestKey) -> Cell {
    let of = |speakers: &'_ [Speaker]| speakers.iter().find(|one| one.key == *key).cloned();
    match (of(&mode.by), of(&mode.unlike)) {
        (Some(speaker), _) => match speaker.resemblance {
            Some(resemblance) => resembles(resemblance, true),
            None => Cell::Checked,
        },
        (None, Some(speaker)) => speaker
            .resemblance
            .map_or(Cell::Nothing, |resemblance| resembles(resemblance, false)),
        (None, None) => Cell::Nothing,
    }
}

fn resembles(resemblance: f64, covers: bool) -> Cell {
    Cell::Resembles {
        square: cover_square(Amount::new(Some(resemblance)), covers),
        number: figures::position(resemblance),
        covers,
    }
}

/// The most telling method for each mode that nothing covers, each once.
fn candidates(plan: &Plan) -> Vec<CandidateLine> {
    let mut found: Vec<&Speaker> = Vec::new();
    for first in plan.modes.iter().filter_map(|mode| mode.would.first()) {
        if !found.iter().any(|one| one.key == first.key) {
            found.push(first);
        }
    }
    let line = |one: &Speaker| CandidateLine {
        name: one.name.clone(),
        href: format!("/methods/{}", encoded_step(one.key.method.as_str())),
        cells: (plan.modes.iter())
            .map(|mode| {
                let here = mode.would.iter().find(|would| would.key == one.key);
                let here = here.map(|would| would.resemblance);
                match here {
                    Some(Some(resemblance)) => resembles(resemblance, true),
                    Some(None) => Cell::Checked,
                    None => Cell::Nothing,
                }
            })
            .collect(),
    };
    found.into_iter().map(line).collect()
}
