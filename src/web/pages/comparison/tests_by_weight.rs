//! One row per test: weight, contact, strip, what it adds to the lead, and the same numbers as a table.

use crate::catalogue::{Category, MethodId, Use};
use crate::charts::{Amount, ContactKind, Svg, Width, weight_bar};
use crate::prose::readings::readings;
use crate::prose::reasons::{not_weighed, precision};
use crate::prose::standing::per_cent;
use crate::records::{BlendCode, ResultStatus, TrialRecords};
use crate::standing::{Anchored, Position, RunFlag, SORTS, Standing, TestStanding, Validity};
use crate::units::Unit;
use crate::web::contact_view::picture_of;
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::figure::{self, FigureRow};
use crate::web::pages::comparison::likeness::{self, ContactRow};
use crate::web::pages::comparison::look::Order;
use crate::web::pages::comparison::{plot, verdicts};
use crate::web::preferences::preferences;
use std::collections::{BTreeMap, BTreeSet};

/// One test.
pub(crate) struct TestRow {
    pub(crate) anchor: String,
    pub(crate) key: String,
    pub(crate) method: MethodId,
    pub(crate) quantity: String,
    pub(crate) title: String,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) category: &'static str,
    pub(crate) runs: String,
    pub(crate) unit: &'static str,
    pub(crate) better: &'static str,
    pub(crate) weight: String,
    pub(crate) weight_bar: Svg,
    /// Its row in the figure; `None` where nothing was run.
    pub(crate) figure: Option<FigureRow>,
    /// What touches what.
    pub(crate) contact: &'static str,
    pub(crate) flags: Vec<Flag>,
    /// All that was run, on the scale of the figure.
    pub(crate) strip: Option<Svg>,
    /// What it adds to the lead of the front-runner over the runner-up; empty where there is none.
    pub(crate) contribution: String,
    pub(crate) numbers: Vec<NumberRow>,
    /// Whether its results are steps of a ladder or stages.
    pub(crate) is_stepped: bool,
    pub(crate) adjusted: bool,
    pub(crate) references: Vec<String>,
    pub(crate) verdicts: String,
    pub(crate) contacts: Vec<ContactRow>,
    pub(crate) resemblance: String,
    pub(crate) relevance: String,
    pub(crate) validity: Vec<String>,
    pub(crate) precision: String,
    pub(crate) excluded: String,
    /// The weight, for the share of its group.
    pub(super) weighs: f64,
    /// Whether it goes beyond the machine's conditions.
    pub(super) goes_beyond: bool,
    /// Stage of evidence, for the order of the groups.
    pub(super) stage: Option<Category>,
    /// Place of the machine contact that it resembles most.
    pub(super) nearest: Option<usize>,
}

/// A mark on a test that a reader must not miss.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Flag {
    pub(crate) kind: &'static str,
    pub(crate) words: String,
}

/// One blend in the table under a strip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NumberRow {
    pub(crate) index: Option<usize>,
    pub(crate) blend: String,
    pub(crate) role: &'static str,
    /// What its runs read on a ladder or in stages.
    pub(crate) read: String,
    pub(crate) estimate: String,
    pub(crate) interval: String,
    pub(crate) raw: String,
    pub(crate) runs: usize,
    pub(crate) position: String,
    /// Against each reference oil.
    pub(crate) against: Vec<String>,
}

/// All tests, those that are weighed and those that are not.
pub(crate) fn rows(
    standing: &Standing,
    records: &TrialRecords,
    cast: &Cast<'_>,
) -> (Vec<TestRow>, Vec<TestRow>) {
    let is_weighed = |test: &&TestStanding| test.weight > 0.0 && test.excluded.is_none();
    let row = |test: &TestStanding| row(test, standing, records, cast);
    let weighed = standing.tests.iter().filter(is_weighed).map(row).collect();
    let others = standing
        .tests
        .iter()
        .filter(|test| !is_weighed(test))
        .map(row)
        .collect();
    (weighed, others)
}

fn row(test: &TestStanding, standing: &Standing, records: &TrialRecords, cast: &Cast<'_>) -> TestRow {
    let strip = test.strip.as_ref();
    let chart = plot::chart(test, standing, records, cast);
    let contact = records
        .method(&test.key.method)
        .map_or(ContactKind::Stated, |method| picture_of(method).kind);
    TestRow {
        anchor: format!("test-{}", figures::anchor(&test.key.to_string())),
        key: test.key.to_string(),
        method: test.key.method.clone(),
        quantity: test.key.quantity.clone(),
        title: figures::title(records, &test.key, &test.title),
        label: test.label.clone(),
        standard: test.standard.clone(),
        category: test.category.word(),
        runs: figures::count(test.runs, "run"),
        unit: strip.map_or("", |strip| figures::unit(strip.unit)),
        better: strip.map_or("", |strip| figures::better(strip.better)),
        weight: figures::position(test.weight),
        weight_bar: weight_bar(Amount::new(Some(test.weight))),
        figure: figure::row(test, standing, records, cast),
        contact: contact.words(),
        flags: flags(test, records),
        strip: chart.map(|chart| chart.draw(Width::Narrow)),
        contribution: test.lead_contribution.map(figures::signed).unwrap_or_default(),
        numbers: numbers(test, standing, records, cast),
        is_stepped: strip.is_some_and(|strip| strip.scale.is_stepped()),
        adjusted: !test.raw_estimates.is_empty(),
        references: verdicts::references(test),
        verdicts: verdicts::how(test),
        contacts: likeness::rows(test),
        resemblance: test
            .resemblance
            .map_or_else(|| "unknown".to_string(), figures::position),
        relevance: test
            .relevance
            .map_or_else(|| "unknown".to_string(), figures::position),
        validity: validity(&test.validity),
        precision: (test.precision.as_ref())
            .map(|source| precision(source, preferences()))
            .unwrap_or_default(),
        excluded: (test.excluded.as_ref())
            .map(|why| not_weighed(why, preferences()))
            .unwrap_or_default(),
        weighs: test.weight,
        goes_beyond: test.extreme || test.beyond_machine,
        stage: Some(test.category),
        nearest: nearest(test),
    }
}

fn flags(test: &TestStanding, records: &TrialRecords) -> Vec<Flag> {
    let mut flags = Vec::new();
    let mut flag = |kind, words: String| flags.push(Flag { kind, words });
    if test.extreme {
        flag("extreme", "extreme-condition screen".to_string());
    }
    if test.beyond_machine {
        flag("beyond-machine", "beyond the machine".to_string());
    }
    if does_not_sort(&test.validity) {
        flag("not-sorting", "does not sort".to_string());
    }
    let capped = test.estimates.values().filter(|estimate| estimate.capped).count();
    if capped > 0 {
        flag("capped", format!("{capped} capped"));
    }
    match test.strip.as_ref().map(|strip| strip.anchored) {
        Some(Anchored::Good | Anchored::Poor) => {
            flag("one-reference", "one reference: its own scale".to_string())
        }
        Some(Anchored::None) => flag("no-reference", "no reference: its own scale".to_string()),
        _ => {}
    }
    if !test.raw_estimates.is_empty() {
        flag("adjusted", "rig severity adjusted".to_string());
    }
    for mark in marks(test, records) {
        let words = match mark {
            RunFlag::Suspect => "suspect run",
            RunFlag::BeyondCriticalRange => "run beyond the critical range",
            RunFlag::OtherConditions => "runs under other conditions, not pooled",
            RunFlag::RigOutOfControl => mark.word(),
        };
        flag("suspect", words.to_string());
    }
    if test.used_to == Use::Show {
        flag("shown", "shown only".to_string());
    }
    flags
}

/// What is known against runs of a test, each once.
fn marks(test: &TestStanding, records: &TrialRecords) -> BTreeSet<RunFlag> {
    let runs = test.strip.iter().flat_map(|strip| &strip.runs);
    let mut marks: BTreeSet<RunFlag> = runs.filter_map(|run| run.mark).collect();
    let is_suspect = records
        .current_results()
        .any(|result| result.key == test.key && result.status == ResultStatus::Suspect);
    if is_suspect {
        marks.insert(RunFlag::Suspect);
    }
    marks
}

/// The machine contact that a test resembles most; of equal ones the first.
fn nearest(test: &TestStanding) -> Option<usize> {
    let mut nearest: Option<(usize, f64)> = None;
    for (place, contact) in test.contacts.iter().enumerate() {
        if let Some(value) = contact.resemblance.value
            && nearest.is_none_or(|(_, known)| value > known)
        {
            nearest = Some((place, value));
        }
    }
    nearest.map(|(place, _)| place)
}

/// Below the limit against known poor or control fluid, below 0.05 for the middle: it did not sort lubricants here
/// (ours).
fn does_not_sort(validity: &Validity) -> bool {
    let below = |probability: Option<f64>, limit: f64| probability.is_some_and(|p| p < limit);
    below(validity.good_over_poor, SORTS)
        || below(validity.good_over_control, SORTS)
        || below(validity.middle_between, 1.0 - SORTS)
}

fn validity(validity: &Validity) -> Vec<String> {
    [
        ("known good above known poor", validity.good_over_poor),
        ("known middle between them", validity.middle_between),
        ("known good above control fluid", validity.good_over_control),
    ]
    .into_iter()
    .filter_map(|(what, probability)| {
        probability.map(|p| format!("{what}: probability {}", figures::fixed(p, 2)))
    })
    .collect()
}

fn numbers(
    test: &TestStanding,
    standing: &Standing,
    records: &TrialRecords,
    cast: &Cast<'_>,
) -> Vec<NumberRow> {
    let by_score = standing.candidates.iter().map(|candidate| &candidate.blend);
    let others = records
        .trial
        .blends
        .iter()
        .map(|part| &part.blend)
        .filter(|blend| cast.index(blend).is_none());
    by_score
        .chain(others)
        .filter_map(|blend| number(test, blend, cast))
        .collect()
}

fn number(test: &TestStanding, blend: &BlendCode, cast: &Cast<'_>) -> Option<NumberRow> {
    let row = NumberRow {
        index: cast.index(blend),
        blend: blend.to_string(),
        role: cast.role_words(blend),
        read: read(test, blend),
        estimate: "none".to_string(),
        interval: String::new(),
        raw: String::new(),
        runs: 0,
        position: String::new(),
        against: verdicts::of_blend(test, blend),
    };
    let Some(estimate) = test.estimates.get(blend) else {
        return without_estimate(test, blend, row);
    };
    let unit = test.strip.as_ref().map_or(Unit::One, |strip| strip.unit);
    Some(NumberRow {
        estimate: figures::estimate(estimate, unit),
        interval: figures::interval(estimate, unit),
        raw: test
            .raw_estimates
            .get(blend)
            .map(|raw| figures::estimate(raw, unit))
            .unwrap_or_default(),
        runs: estimate.runs,
        position: test.positions.get(blend).map(position_words).unwrap_or_default(),
        ..row
    })
}

fn read(test: &TestStanding, blend: &BlendCode) -> String {
    let strip = test.strip.as_ref();
    let read = strip.and_then(|strip| Some((plot::steps_read(test, blend, strip)?, strip.unit)));
    read.map(|(read, unit)| readings(read, unit, preferences()))
        .unwrap_or_default()
}

fn position_words(position: &Position) -> String {
    format!(
        "{} ({} to {})",
        figures::position(position.mean),
        figures::position(position.lo),
        figures::position(position.hi)
    )
}

/// What was run, where no estimate can be made of it; `None` where nothing was run.
fn without_estimate(test: &TestStanding, blend: &BlendCode, row: NumberRow) -> Option<NumberRow> {
    let values = plot::values(test.strip.as_ref()?, blend);
    (!values.is_empty()).then(|| NumberRow {
        runs: values.len(),
        interval: format!("runs: {}", values.join(", ")),
        ..row
    })
}

/// Tests that stand together.
pub(crate) struct TestGroup {
    /// What they have in common.
    pub(crate) heading: String,
    /// `87 % of the weight`.
    pub(crate) share: String,
    pub(crate) rows: Vec<TestRow>,
}

/// Tests in the order that was asked for; inside a group the greatest weight stays first.
pub(crate) fn grouped(rows: Vec<TestRow>, order: Order, records: &TrialRecords) -> Vec<TestGroup> {
    let mut groups: BTreeMap<usize, TestGroup> = BTreeMap::new();
    let contacts = &records.machine.contacts;
    for row in rows {
        let (place, heading) = match order {
            Order::Weight if row.goes_beyond => (1, "Beyond the machine's conditions".to_string()),
            Order::Weight => (0, "Tests within the machine's conditions".to_string()),
            Order::Stage => row.stage.map_or((usize::MAX, String::new()), |stage| {
                let place = Category::ALL.iter().position(|known| *known == stage);
                let heading = format!("Category {}: {}", stage.word(), stage.meaning());
                (place.unwrap_or(usize::MAX), heading)
            }),
            Order::Contact => {
                let nearest = row.nearest.and_then(|place| Some((place, contacts.get(place)?)));
                nearest.map_or(
                    (usize::MAX, "Resembles no contact of the machine".to_string()),
                    |(place, contact)| {
                        let share = per_cent(contact.share);
                        (
                            place,
                            format!(
                                "Most like the machine's {}, {share} of what matters",
                                contact.name
                            ),
                        )
                    },
                )
            }
        };
        let group = groups.entry(place).or_insert_with(|| TestGroup {
            heading,
            share: String::new(),
            rows: Vec::new(),
        });
        group.rows.push(row);
    }
    let weight = |group: &TestGroup| group.rows.iter().map(|row| row.weighs).sum::<f64>();
    let whole = groups.values().map(weight).sum();
    let mut groups: Vec<TestGroup> = groups.into_values().collect();
    for group in &mut groups {
        group.share = figure::of_the_weight(weight(group), whole);
    }
    groups
}
