//! Each caution on one line: what it is about, in words to say aloud.

use crate::prose::answer::{capital, without};
use crate::prose::standing::{in_a_sentence, per_cent, short_name, title};
use crate::records::BlendCode;
use crate::standing::{Caution, Finding, Hinge, Severity, Standing};

/// A caution in a few words.
pub fn caution_line(caution: &Caution, standing: &Standing) -> String {
    let test = caution.test.as_ref().map(|key| match standing.test(key) {
        Some(test) => in_a_sentence(&short_name(standing, test)),
        None => in_a_sentence(&title(standing, key).unwrap_or_else(|| key.to_string())),
    });
    let test = test.unwrap_or_default();
    match &caution.finding {
        Finding::RestsOnOneExtremeScreen { hinge, .. } => format!(
            "{} is first only through {}",
            hinge.front_runner,
            without(standing, &hinge.without, &hinge.tests)
        ),
        Finding::WorseThanKnownPoor { front_runner, .. } => {
            format!("{front_runner} is below the known poor: {test}")
        }
        Finding::HingesOnOneTest(hinge) => changes(hinge, standing),
        Finding::ClaimHinges(hinge) => format!(
            "Without {}: no leader",
            without(standing, &hinge.without, &hinge.tests)
        ),
        Finding::LeansOnOneTest { lead_share, .. } => format!(
            "{} of the lead rests on a test unlike the machine: {test}",
            per_cent(*lead_share)
        ),
        Finding::LosesAtComponent {
            front_runner, rival, ..
        } => format!("{rival} is better than {front_runner} on real components: {test}"),
        Finding::NotSorting { .. } => format!("Does not tell good from poor oils: {test}"),
        Finding::NothingResembles { contact, .. } => {
            format!("Nothing that was run resembles this contact: {contact}")
        }
        Finding::ModeNotTested { mode, contacts } => {
            format!("{} of the {}: no test", capital(mode.word()), contacts.join(", "))
        }
        Finding::NotResolved {
            front_runner,
            cannot_be_told_apart,
            ..
        } => match cannot_be_told_apart.as_slice() {
            [] => format!("{front_runner} does not come first often enough"),
            rivals => format!("{front_runner} cannot be told from {}", codes(rivals)),
        },
        Finding::ThinCoverage {
            front_runner,
            coverage,
            ..
        } => format!("Coverage of {front_runner} is {} only", per_cent(*coverage)),
        Finding::OnlyScreens { blends, .. } => {
            format!("{} were compared on screens only", codes(blends))
        }
        Finding::Capped { blends, .. } => format!("{} both end beyond the scale: {test}", codes(blends)),
        Finding::BeyondReferences { part_of_lead, .. } => {
            format!(
                "{} of the lead is made beyond the known good",
                per_cent(*part_of_lead)
            )
        }
        Finding::WithinRepeatability { lead_share, .. } => format!(
            "{} of the lead is within repeatability: {test}",
            per_cent(*lead_share)
        ),
        Finding::RigOutOfControl { rig, since, .. } => {
            format!("Rig {rig} has held another level since {since}: {test}")
        }
        Finding::ConditionsDepart { .. } => format!("Run at other conditions than the method's: {test}"),
        Finding::MixedMethods { quantity, .. } => {
            format!("Measured by different methods: {}", in_a_sentence(quantity))
        }
        Finding::NoReference {} => format!("No reference oil was run: {test}"),
        Finding::OneReference {} => format!("One reference oil only: {test}"),
        Finding::GateFailed { blend, .. } => format!("{blend} failed a requirement"),
        Finding::GateBorderline { blend, gates } => {
            let labels: Vec<String> = gates.iter().map(|gate| in_a_sentence(&gate.0.label)).collect();
            format!("{blend} is in doubt at a limit: {}", labels.join(", "))
        }
        Finding::GateNotRun { blend, gates } => {
            let labels: Vec<String> = gates.iter().map(|gate| in_a_sentence(gate)).collect();
            format!("{blend} has no result: {}", labels.join(", "))
        }
        Finding::SingleRun { runs } => match runs.as_slice() {
            [one] => format!("One run of {} could change who is first", one.blend),
            some => format!("Each of {} single runs could change who is first", some.len()),
        },
        Finding::SuspectRun { blend, .. } => format!("Suspect run of {blend}: {test}"),
        Finding::WeightsDecide {
            with_equal_weights, ..
        } => format!("With equal weights {with_equal_weights} is first"),
    }
}

/// What stops a trial from having a leader, in a few words; `None` for a caution that does not.
pub fn stop_line(caution: &Caution) -> Option<String> {
    if caution.severity != Severity::Stop {
        return None;
    }
    Some(match &caution.finding {
        Finding::RestsOnOneExtremeScreen { hinge, .. } if hinge.tests.len() > 1 => {
            "Stop: extreme screens alone".to_string()
        }
        Finding::RestsOnOneExtremeScreen { .. } => "Stop: one extreme screen".to_string(),
        Finding::WorseThanKnownPoor { front_runner, .. } => {
            format!("Stop: {front_runner} below the known poor")
        }
        Finding::NothingResembles { .. } => "Stop: no test resembles the machine".to_string(),
        _ => "Stop".to_string(),
    })
}

fn changes(hinge: &Hinge, standing: &Standing) -> String {
    let what = without(standing, &hinge.without, &hinge.tests);
    match &hinge.then_in_front {
        Some(then) => format!("Without {what}: {then} is first"),
        None => format!("Without {what} nothing is left to weigh"),
    }
}

fn codes(blends: &[BlendCode]) -> String {
    let codes: Vec<&str> = blends.iter().map(BlendCode::as_str).collect();
    match codes.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} and {last}", others.join(", ")),
        _ => codes.concat(),
    }
}
