//! The sentences of what to run next.

use crate::prose::standing::{of_100, per_cent, simulations};
use crate::standing::{Basis, NextFinding, NextRun, RunNext, Standing};
use crate::units::DisplayPreferences;

/// What the proposals come to at a stake, sentence by sentence to read aloud.
pub fn next_steps(standing: &Standing, stake: f64, shown: DisplayPreferences) -> Vec<String> {
    let next = &standing.run_next;
    let closed = next.gaps().filter_map(gap);
    let open = next.stay_open.iter().map(|mode| {
        format!(
            "No test that was run speaks of {}, and no method of the catalogue would.",
            mode.word()
        )
    });
    let then = settling(standing, stake, shown);
    closed.chain(open).chain([then]).collect()
}

/// `No test that was run speaks of cage wear: Rolling bearing wear, DIN 51819-3 on T-03 and T-11 closes that gap best.`
fn gap(run: &NextRun) -> Option<String> {
    Some(format!(
        "No test that was run speaks of {}: {} on {} closes that gap best.",
        run.closes?.word(),
        run.methods.join(" and "),
        blends(run)
    ))
}

/// What would settle the order.
fn settling(standing: &Standing, stake: f64, shown: DisplayPreferences) -> String {
    let next = &standing.run_next;
    match next.finding(stake, &standing.no_leader_because) {
        NextFinding::NothingToChoose => "There is no choice that a further test could improve.".to_string(),
        NextFinding::NoneIsWorthIt => none_is_worth_it(next, stake, shown),
        NextFinding::SomeAreWorthIt => {
            let best = next.worth_their_cost(stake).next();
            best.map(|run| format!("Most for its cost: {}.", one(run)))
                .unwrap_or_default()
        }
    }
}

fn none_is_worth_it(next: &RunNext, stake: f64, shown: DisplayPreferences) -> String {
    let settling = next.runs.iter().filter(|run| run.closes.is_none());
    let dearest = settling.max_by(|a, b| a.value.total_cmp(&b.value));
    let Some(run) = dearest else {
        return "No single test would change who is in front.".to_string();
    };
    let cost = run.cost.map_or_else(
        || "at a cost that is not known".to_string(),
        |cost| format!("at a cost of about {}", money(cost, shown)),
    );
    format!(
        "No single test or small bundle is worth its cost. The most telling, {} on {}, would improve the choice by {} on average, {cost}.",
        run.methods.join(" and "),
        blends(run),
        money(run.value * stake, shown),
    )
}

/// `Gear scuffing load stage, ISO 14635-1 on T-03 and T-11: another blend is in front afterwards in 23 % of cases`.
fn one(run: &NextRun) -> String {
    let assumed = match run.basis {
        Basis::Measured => "",
        Basis::Assumed => ", if its reference oils lie as far apart as is usual",
    };
    format!(
        "{} on {}: with a chance of {} another blend is in front afterwards{assumed}",
        run.methods.join(" and "),
        blends(run),
        per_cent(run.leader_changes),
    )
}

/// `T-03`, `T-03 and T-11`, `T-03, T-11 and T-12`.
fn blends(run: &NextRun) -> String {
    let names: Vec<String> = run.blends.iter().map(ToString::to_string).collect();
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

/// Where the doubt about the front-runner comes from; `None` where nobody is in front.
pub fn doubt_sentence(standing: &Standing) -> Option<String> {
    let (doubt, front) = (standing.run_next.doubt?, standing.front_runner.as_ref()?);
    Some(format!(
        "{front} comes first in {}. If every result were known exactly it would be {}; if every weight were known exactly, {}. Testing settles results, not weights.",
        simulations(doubt.as_it_is),
        of_100(doubt.results_known),
        of_100(doubt.weights_known),
    ))
}

/// A sum in whole units.
pub fn money(amount: f64, shown: DisplayPreferences) -> String {
    shown.fixed(amount.max(0.0), 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standing::{FitCache, WhatIf, judge};
    use crate::support::trials::a_against_b;
    use crate::units::Thousands;

    fn judged(main: &[&str], b: &[&str]) -> Standing {
        let trial = a_against_b(main, &["adhesive wear"]).wear_bench();
        let trial = trial.runs("A", "bench/wear", &["0.42", "0.44", "0.40"]);
        let what_if = WhatIf {
            draws: 500,
            ..WhatIf::default()
        };
        judge(
            &trial.runs("B", "bench/wear", b).build(),
            &what_if,
            &FitCache::default(),
        )
    }

    #[test]
    fn that_no_single_test_is_worth_its_cost_is_an_answer() {
        let sentence =
            |standing: &Standing| next_steps(standing, 1.0, DisplayPreferences::default()).join(" ");
        let clear = sentence(&judged(&["rolling wear"], &["1.30", "1.32", "1.28"]));
        assert!(clear.starts_with("No single test"), "{clear}");
        let level = judged(&["rolling wear"], &["0.43"]);
        let worth = next_steps(&level, 1e9, DisplayPreferences::default()).join(" ");
        assert!(worth.starts_with("Most for its cost"), "{worth}");
        let cheap = sentence(&level);
        assert!(
            cheap.starts_with("No single test or small bundle is worth its cost."),
            "{cheap}"
        );
    }

    #[test]
    fn a_gap_is_told_before_what_settles_the_order() {
        let sentence = |main: &[&str]| {
            let standing = judged(main, &["1.30", "1.32", "1.28"]);
            next_steps(&standing, 1.0, DisplayPreferences::default()).join(" ")
        };
        let open = sentence(&["rolling wear", "copper corrosion"]);
        assert!(
            open.starts_with("No test that was run speaks of copper corrosion: "),
            "{open}"
        );
        assert!(
            open.contains(" on A and B closes that gap best. No single test"),
            "{open}"
        );
        assert!(!sentence(&["rolling wear"]).contains("speaks of"));
        let nothing = sentence(&["rolling wear", "bronze wear"]);
        assert!(
            nothing.starts_with("No test that was run speaks of bronze wear, and no method"),
            "{nothing}"
        );
    }

    #[test]
    fn sums_are_whole_and_grouped_as_their_reader_wants_numbers() {
        let plain = DisplayPreferences::default();
        let thin = DisplayPreferences {
            thousands: Thousands::ThinSpace,
            ..plain
        };
        assert_eq!(money(-1.0, plain), "0");
        assert_eq!(money(0.4, plain), "0");
        assert_eq!(money(999.6, thin), "1000");
        assert_eq!(money(1_234_567.0, plain), "1234567");
        assert_eq!(money(1_234_567.0, thin), "1\u{202f}234\u{202f}567");
    }
}
