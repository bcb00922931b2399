//! The rows of a plan.

use crate::catalogue::Use;
use crate::charts::{Amount, Svg, weight_bar};
use crate::prose::standing::per_cent;
use crate::records::TrialRecords;
use crate::standing::{MOST_RUNS, ModeCover, Plan, PlannedRow, Power, SPEAKS_ABOVE, Speaker};
use crate::web::figures;
use crate::web::pages::plan::words;
use crate::web::question::encoded_step;

/// One test beside every contact.
pub(crate) struct TestRow {
    pub(crate) method: String,
    pub(crate) title: String,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) used_to: &'static str,
    pub(crate) cells: Vec<CellOfContact>,
    pub(crate) weight: String,
    pub(crate) extreme: bool,
    pub(crate) results: usize,
    pub(crate) chance: String,
    pub(crate) needed: String,
}

/// Resemblance to one contact.
pub(crate) struct CellOfContact {
    pub(crate) bar: Svg,
    pub(crate) resemblance: String,
    pub(crate) relevance: String,
}

/// One failure mode of one contact.
pub(crate) struct ModeRow {
    pub(crate) contact: String,
    pub(crate) mode: &'static str,
    pub(crate) importance: &'static str,
    pub(crate) class: &'static str,
    pub(crate) by: Vec<Named>,
    pub(crate) remark: String,
    pub(crate) would: Vec<Named>,
}

/// A test that speaks, with where it is shown.
pub(crate) struct Named {
    pub(crate) href: String,
    pub(crate) words: String,
}

/// Cost and days of a method in the trial.
pub(crate) struct CostRow {
    pub(crate) method: String,
    pub(crate) title: String,
    pub(crate) cost: String,
    pub(crate) days: String,
    pub(crate) usual_cost: String,
    pub(crate) usual_days: String,
    pub(crate) fault: String,
}

pub(crate) fn test(row: &PlannedRow, records: &TrialRecords) -> TestRow {
    let cells = row.cells.iter().map(|cell| CellOfContact {
        bar: weight_bar(Amount::new(cell.resemblance)),
        resemblance: cell
            .resemblance
            .map_or_else(|| words::NOT_KNOWN.to_string(), figures::position),
        relevance: figures::position(cell.relevance),
    });
    TestRow {
        method: row.key.method.clone(),
        title: figures::title(records, &row.key, &row.title),
        label: row.label.clone(),
        standard: row.standard.clone(),
        used_to: match row.used_to {
            Use::Weigh => words::WEIGHED,
            Use::Gate => words::GATE,
            Use::Show => words::SHOWN,
        },
        cells: cells.collect(),
        weight: if row.used_to == Use::Weigh {
            figures::position(row.weight)
        } else {
            String::new()
        },
        extreme: row.extreme,
        results: row.results,
        chance: row.power.map(|power| per_cent(power.chance)).unwrap_or_default(),
        needed: row.power.map(needed).unwrap_or_default(),
    }
}

fn needed(power: Power) -> String {
    power
        .needed
        .map_or_else(|| words::more_than(MOST_RUNS), |runs| runs.to_string())
}

pub(crate) fn mode(cover: &ModeCover, trial: &str) -> ModeRow {
    let importance = match cover.importance {
        value if value >= 1.0 => words::MAIN,
        value if value >= 0.6 => words::SECONDARY,
        _ => words::MINOR,
    };
    let remark = match (cover.by.is_empty(), cover.unlike.first()) {
        (false, _) => String::new(),
        (true, None) => words::NOTHING_IN_THE_TRIAL_SCORES_IT.to_string(),
        (true, Some(first)) => words::only(&words_of(first)),
    };
    ModeRow {
        contact: cover.contact.clone(),
        mode: cover.mode.word(),
        importance,
        class: if cover.by.is_empty() { "open" } else { "covered" },
        by: cover.by.iter().map(|speaker| in_trial(speaker, trial)).collect(),
        remark,
        would: cover.would.iter().map(method_of).collect(),
    }
}

/// A test of the trial: what resembles nothing has no page of its own there, its results stand among the gates.
fn in_trial(speaker: &Speaker, trial: &str) -> Named {
    let href = match speaker.resemblance {
        Some(_) => format!("/trials/{trial}/tests/{}", encoded_step(&speaker.key.method)),
        None => format!("/trials/{trial}#gates"),
    };
    Named {
        href,
        words: words_of(speaker),
    }
}

/// A method that is not in the trial.
fn method_of(speaker: &Speaker) -> Named {
    Named {
        href: format!("/methods/{}", encoded_step(&speaker.key.method)),
        words: words_of(speaker),
    }
}

fn words_of(speaker: &Speaker) -> String {
    match speaker.resemblance {
        Some(resemblance) => words::speaks_with_resemblance(&speaker.name, &figures::position(resemblance)),
        None => words::check_of_the_oil_itself(&speaker.name),
    }
}

/// Main failure modes that nothing speaks of, and contacts that nothing resembles.
pub(crate) fn finding(plan: &Plan) -> String {
    if plan.tests.is_empty() {
        return words::NO_TEST_IS_PLANNED_YET.to_string();
    }
    let open = plan
        .modes
        .iter()
        .filter(|cover| cover.importance >= 1.0 && cover.by.is_empty());
    let open: Vec<String> = open
        .map(|cover| words::mode_in_contact(cover.mode.word(), &cover.contact))
        .collect();
    let unlike = plan.contacts.iter().enumerate().filter(|(place, _)| {
        let near = |row: &PlannedRow| {
            row.used_to == Use::Weigh
                && row
                    .cells
                    .get(*place)
                    .and_then(|cell| cell.resemblance)
                    .is_some_and(|r| r > SPEAKS_ABOVE)
        };
        !plan.tests.iter().any(near)
    });
    let unlike: Vec<&str> = unlike.map(|(_, (name, _))| name.as_str()).collect();
    let modes = if open.is_empty() {
        words::EVERY_MAIN_MODE_IS_SPOKEN_OF.to_string()
    } else {
        words::no_planned_test_speaks_of(&open.join(words::NOR_OF))
    };
    if unlike.is_empty() {
        modes
    } else {
        words::no_weighed_test_resembles(&modes, &unlike.join(words::NOR), &figures::figure(SPEAKS_ABOVE))
    }
}

pub(crate) fn costs(records: &TrialRecords, plan: &Plan) -> Vec<CostRow> {
    let mut rows: Vec<CostRow> = Vec::new();
    for test in &records.trial.tests {
        if rows.iter().any(|row| row.method == test.key.method) {
            continue;
        }
        let method = records.method(&test.key.method);
        let shown = |own: Option<f64>| own.map(|number| number.to_string()).unwrap_or_default();
        let planned = plan.tests.iter().find(|row| row.key.method == test.key.method);
        rows.push(CostRow {
            method: test.key.method.clone(),
            title: planned.map_or_else(
                || test.key.method.clone(),
                |row| {
                    let title = figures::title(records, &row.key, &row.title);
                    format!("{title} ({})", row.standard)
                },
            ),
            cost: shown(test.cost),
            days: shown(test.days),
            usual_cost: shown(method.and_then(|method| method.cost)),
            usual_days: shown(method.and_then(|method| method.days)),
            fault: String::new(),
        });
    }
    rows
}
