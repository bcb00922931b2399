//! The sentences of what to run next.

use crate::prose::standing::{of_100, per_cent, simulations};
use crate::standing::{Basis, NextFinding, NextRun, RunNext, Standing};
use crate::units::DisplayPreferences;

/// What the proposals come to at a stake, in one sentence to read aloud.
pub fn next_sentence(standing: &Standing, stake: f64, shown: DisplayPreferences) -> String {
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
    let dearest = next.runs.iter().max_by(|a, b| a.value.total_cmp(&b.value));
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
    use crate::units::Thousands;

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
