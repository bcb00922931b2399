//! The sentences of what each term of the resemblance counts, and what that decides.

use crate::prose::standing::{of_100, per_cent, short_name, simulations};
use crate::records::Term;
use crate::resemblance::{Remark, Scale};
use crate::standing::{ALIKE, MovedLine, ScaleLine, Sensitivity, Standing, TestStanding};
use crate::units::DisplayPreferences;

/// `importance 3, halves at factor 2`.
pub fn scale_words(term: Term, scale: Scale, shown: DisplayPreferences) -> String {
    let importance = shown.number(scale.importance);
    match scale.halving {
        Some(said) => format!(
            "importance {importance}, halves at {}",
            term.measure().words(&shown.number(said))
        ),
        None => format!("importance {importance}"),
    }
}

/// What is to be known of a term, as a remark beside it.
pub fn remark(remark: Remark) -> &'static str {
    match remark {
        Remark::Unknown => "not known on one side: counts one half",
        Remark::BulkTemperatures => "bulk temperatures: the contact temperature of one side is not stated",
        Remark::ScoresSeizure => "left out: the test scores seizure",
        Remark::BeyondFilms => "left out: above 3.5 GPa a film ratio has no meaning",
    }
}

/// What the trial counts otherwise than by default, in one sentence with the reasons; empty where nothing.
pub fn departures(lines: &[ScaleLine]) -> String {
    let shown = DisplayPreferences::default();
    let changed = lines.iter().filter(|line| line.is_changed());
    let words: Vec<String> = changed
        .map(|line| {
            let reason = line.newest.as_ref().map_or("", |newest| newest.reason.as_str());
            format!(
                "{}: {} instead of {} ({reason})",
                line.term.label(),
                scale_words(line.term, line.of_trial, shown),
                scale_words(line.term, line.usual, shown)
            )
        })
        .collect();
    if words.is_empty() {
        String::new()
    } else {
        format!(
            "This trial counts likeness otherwise than usual. {}.",
            words.join("; ")
        )
    }
}

/// The sentence that says what single changes by a factor of two decide.
pub fn finding(sensitivity: &Sensitivity) -> String {
    let Some(front) = &sensitivity.front_runner else {
        return "Nobody is in front as it is: there is nothing that a change of these numbers could turn round."
            .to_string();
    };
    let lines = &sensitivity.lines;
    let count = |changes: fn(&MovedLine) -> bool| lines.iter().filter(|line| changes(line)).count();
    let (front_changes, leader_changes) = (count(|l| l.changes_front), count(|l| l.changes_leader));
    let all = lines.len();
    let who = match front_changes {
        0 => "No single change by a factor of two changes who is in front".to_string(),
        1 => format!("One of {all} single changes by a factor of two puts another blend in front"),
        some => format!("{some} of {all} single changes by a factor of two put another blend in front"),
    };
    let leads = match (&sensitivity.leader, leader_changes) {
        (Some(leader), 0) => format!(", and {leader} may be called the leader under each of them"),
        (None, 0) => ", and no leader can be named under any of them".to_string(),
        (Some(leader), some) => format!("; under {some} of them {leader} may no longer be called the leader"),
        (None, some) => format!("; under {some} of them a leader could be named, as it is none can"),
    };
    let shares = lines.iter().filter_map(|line| line.p_best);
    let (least, most) = shares.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), share| {
        (least.min(share), most.max(share))
    });
    let range = if least.is_finite() {
        let (least, most) = (of_100(least), simulations(most));
        if most.starts_with(&least) {
            format!(" {front} comes first in {most} under them.")
        } else {
            format!(" {front} comes first in {least} to {most} under them.")
        }
    } else {
        String::new()
    };
    format!("{who}{leads}.{range}")
}

/// Weights this close are level.
const LEVEL: f64 = 1e-9;

/// Which test counts most, and its share of the weight.
pub fn counts_most(standing: &Standing) -> String {
    let weighed: Vec<&TestStanding> = standing.tests.iter().filter(|test| test.weight > 0.0).collect();
    let total: f64 = weighed.iter().map(|test| test.weight).sum();
    let most = weighed.iter().map(|test| test.weight).fold(0.0, f64::max);
    let heaviest: Vec<String> = (weighed.iter())
        .filter(|test| most - test.weight <= LEVEL)
        .map(|test| short_name(standing, test))
        .collect();
    let share = per_cent(most / total);
    match &heaviest[..] {
        [] => "No test is weighed".to_string(),
        [only] if weighed.len() == 1 => format!("{only} alone is weighed"),
        [one] => format!("{one} counts most: {share} of the weight"),
        [others @ .., last] => format!(
            "{} and {last} count most: {share} of the weight each",
            others.join(", ")
        ),
    }
}

/// How much of the weight comes from tests like the machine, and how much from screens beyond it; empty where nothing is
/// weighed.
pub fn from_alike(standing: &Standing, shown: DisplayPreferences) -> String {
    let total: f64 = standing.tests.iter().map(|test| test.weight).sum();
    if total <= 0.0 {
        return String::new();
    }
    let share = |holds: &dyn Fn(&TestStanding) -> bool| {
        let those = standing.tests.iter().filter(|test| holds(test));
        per_cent(those.map(|test| test.weight).sum::<f64>() / total)
    };
    let alike = share(&|test| test.resemblance_best.is_some_and(|best| best >= ALIKE));
    format!(
        "Tests that resemble the machine at {} or more carry {alike} of the weight, screens beyond its conditions {}.",
        shown.fixed(ALIKE, 2),
        share(&|test| test.extreme)
    )
}
