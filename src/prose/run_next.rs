//! The sentences of what to run next.

use crate::prose::standing::per_cent;
use crate::standing::{Basis, NextFinding, NextRun, RunNext, Standing};

/// What the proposals come to at a stake, in one sentence to read aloud.
pub fn next_sentence(standing: &Standing, stake: f64) -> String {
    let next = &standing.run_next;
    match next.finding(stake, &standing.no_leader_because) {
        NextFinding::NothingToChoose => "There is no choice that a further test could improve.".to_string(),
        NextFinding::NoneIsWorthIt => none_is_worth_it(next, stake),
        NextFinding::SomeAreWorthIt => {
            let best = next.worth_their_cost(stake).next();
            best.map(|run| format!("Most for its cost: {}.", one(run)))
                .unwrap_or_default()
        }
    }
}

fn none_is_worth_it(next: &RunNext, stake: f64) -> String {
    let dearest = next.runs.iter().max_by(|a, b| a.value.total_cmp(&b.value));
    let Some(run) = dearest else {
        return "No single test would change who is in front.".to_string();
    };
    let cost = run.cost.map_or_else(
        || "at a cost that is not known".to_string(),
        |cost| format!("at a cost of about {}", money(cost)),
    );
    format!(
        "No single test or small bundle is worth its cost. The most telling, {} on {}, would improve the choice by {} on average, {cost}.",
        run.methods.join(" and "),
        blends(run),
        money(run.value * stake),
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
        "{front} ranks first in {} of draws. If every result were known exactly it would be {}; if every weight were known exactly, {}. Testing settles results, not weights.",
        per_cent(doubt.as_it_is),
        per_cent(doubt.results_known),
        per_cent(doubt.weights_known),
    ))
}

/// A sum in whole units, in groups of three digits.
pub fn money(amount: f64) -> String {
    let digits = format!("{:.0}", amount.max(0.0));
    let mut grouped = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place) % 3 == 0 {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_grouped_in_threes() {
        assert_eq!(money(0.4), "0");
        assert_eq!(money(999.6), "1\u{202f}000");
        assert_eq!(money(1_234_567.0), "1\u{202f}234\u{202f}567");
    }
}
