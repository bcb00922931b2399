//! What became of a blend in its trials, in words, and the requirements that it met or failed.

use crate::app::{Place, Placing, TrialHead};
use crate::prose::gates::{failed_in_short, gate_limit, gate_results};
use crate::prose::standing::of_100;
use crate::records::GateOutcome;
use crate::standing::{Answer, GateStanding};
use crate::web::pages::comparison::records::class;
use crate::web::preferences::preferences;

/// How it came out in a trial: `leads: comes first in 95 of 100 simulations`.
pub(crate) fn outcome(placing: &Placing) -> String {
    let first = |share: f64| format!("comes first in {} simulations", of_100(share));
    match &placing.place {
        Place::Leads(share) => format!("leads: {}", first(*share)),
        Place::First(share) => format!("no leader; {}", first(*share)),
        Place::Behind { share, front, leads } => {
            let other = if *leads { "leads" } else { "comes first most often" };
            format!("{}; {front} {other}", first(*share))
        }
        Place::Rejected => {
            let failed: Vec<GateStanding> = (placing.requirements.iter())
                .filter(|gate| gate.outcome == GateOutcome::Fail)
                .cloned()
                .collect();
            format!("rejected: {}", failed_in_short(&failed, preferences()))
        }
        Place::HeldAgainst => "the blend that the others are held against".to_string(),
        Place::NoWorse(Answer::Yes, against) => format!("no worse than {against}"),
        Place::NoWorse(Answer::No, against) => format!("worse than {against}"),
        Place::NoWorse(Answer::Open, against) => format!("may be worse than {against}: not answered"),
        Place::Unplaced => "not placed: no test is weighed".to_string(),
    }
}

/// A requirement that it was held against.
pub(crate) struct Requirement {
    pub(crate) trial: TrialHead,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) limit: String,
    pub(crate) results: String,
    pub(crate) outcome: &'static str,
    pub(crate) class: &'static str,
}

/// All of them, those that it failed first.
pub(crate) fn requirements(placings: &[Placing]) -> Vec<Requirement> {
    let of_trial = |placing: &'_ Placing| {
        let gates = placing.requirements.clone().into_iter();
        let trial = placing.trial.clone();
        gates.map(move |gate| (trial.clone(), gate))
    };
    let mut all: Vec<(TrialHead, GateStanding)> = placings.iter().flat_map(of_trial).collect();
    let order = [
        GateOutcome::Fail,
        GateOutcome::InDoubt,
        GateOutcome::NotRun,
        GateOutcome::Pass,
    ];
    all.sort_by_key(|(_, gate)| order.iter().position(|one| *one == gate.outcome));
    all.into_iter()
        .map(|(trial, gate)| Requirement {
            trial,
            label: gate.label.clone(),
            standard: gate.standard.clone(),
            limit: gate_limit(&gate, preferences()),
            results: gate_results(&gate, preferences()),
            outcome: gate.outcome.word(),
            class: class(gate.outcome),
        })
        .collect()
}

/// `1 failed, 1 in doubt, 6 met`.
pub(crate) fn counted(requirements: &[Requirement]) -> String {
    let count = |class: &str| requirements.iter().filter(|one| one.class == class).count();
    let parts = [
        (count("fail"), "failed"),
        (count("in-doubt"), "in doubt"),
        (count("not-run"), "not run"),
        (count("pass"), "met"),
    ];
    let parts = parts.iter().filter(|(number, _)| *number > 0);
    let parts: Vec<String> = parts.map(|(number, word)| format!("{number} {word}")).collect();
    parts.join(", ")
}
