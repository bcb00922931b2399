//! What stands around the conclusion: what the test can tell apart, the control fluid, what is not known, sources.

use crate::catalogue::Mark;
use crate::explain::Case;
use crate::explain::reading::{Told, rank};
use crate::explain::resembling::{RESEMBLES, Witness};
use crate::explain::words::and;
use crate::prose::reasons::precision;
use crate::prose::resemblance::departures;
use crate::prose::standing::per_cent;
use crate::records::{BlendCode, Level, MachineContact, ResultStatus, Role};
use crate::standing::WhatIf;
use crate::standing::scale_lines_of;
use serde::Serialize;

/// A source with its number on the page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Footnote {
    /// From 1.
    pub number: usize,
    /// What it stands behind: contact, load, conditions, precision, steps, machine, resemblance, pressure, worn.
    pub of: &'static str,
    /// The values, with their marks and sources.
    pub text: String,
}

/// What the test can tell apart, and whether the blend's differences are beyond it.
pub(crate) fn apart(case: &Case<'_>) -> Vec<String> {
    let Some(scatter) = case.test.scatter else {
        return vec![
            "No scatter of this test is known here: it cannot be said which differences count.".into(),
        ];
    };
    let mut lines = vec![format!(
        "Two single results on one rig differ by no more than {} (r) in 95 of 100 cases, between two laboratories by no more than {} (R): {}.",
        case.amount(scatter.repeatability),
        case.amount(scatter.reproducibility),
        (case.test.precision.as_ref())
            .map(|source| precision(source, case.shown))
            .unwrap_or_default()
    )];
    let good = case
        .reference(case.test, Level::KnownGood)
        .map(|good| (good, "the known good"));
    let others = good.into_iter().chain(neighbour(case));
    for (other, role) in others {
        lines.extend(against(case, other, role));
    }
    lines
}

/// The candidate that reads best beside the blend.
fn neighbour<'a>(case: &Case<'a>) -> Option<(&'a BlendCode, &'static str)> {
    let read = |blend: &'a BlendCode| Some((blend, case.number_of(blend)?));
    let others = case
        .records
        .with_role(Role::Candidate)
        .filter(|blend| *blend != case.blend);
    let best = others.filter_map(read).max_by(|a, b| {
        let (x, y) = (rank(case.quantity, &a.1), rank(case.quantity, &b.1));
        x.partial_cmp(&y).unwrap_or(std::cmp::Ordering::Equal)
    });
    best.map(|(blend, _)| (blend, "the next best reading of another candidate"))
}

fn against(case: &Case<'_>, other: &BlendCode, role: &str) -> Option<String> {
    let found = case.beside(case.blend, other)?;
    let limit = found.letter();
    let (blend, size) = (case.blend, case.size_of(&found));
    Some(match found.told {
        Told::Level if found.size == 0.0 => {
            format!("{blend} and {other}, {role}: the test sees no difference between them.")
        }
        Told::Level => {
            format!(
                "{blend} and {other}, {role}: {size} apart, not beyond {limit}; they cannot be told apart."
            )
        }
        told => format!(
            "{blend} and {other}, {role}: {size} apart, beyond {limit}; {blend} is {} in this test.",
            told.words()
        ),
    })
}

/// Where the control fluid landed; `None` where none was run.
pub(crate) fn control(case: &Case<'_>) -> Option<String> {
    let fluid = case
        .records
        .with_role(Role::Control)
        .find(|fluid| case.number_of(fluid).is_some())?;
    let own = case.number_of(fluid)?;
    let words = case.words_of(&own);
    let good = case.reference(case.test, Level::KnownGood);
    let Some((good, good_number)) = good.and_then(|good| Some((good, case.number_of(good)?))) else {
        return Some(format!(
            "{fluid}, which nobody would choose as a lubricant, reads {words}. There is no known good beside it."
        ));
    };
    let good_words = case.words_of(&good_number);
    let sorts = case.test.validity.good_over_control?;
    let verdict = if sorts < crate::standing::SORTS {
        "The test does not set a lubricant above it."
    } else {
        "So the test tells it from a lubricant, which says nothing of whether it tells a good lubricant from the best."
    };
    Some(format!(
        "{fluid}, which nobody would choose as a lubricant, reads {words}; the known good {good} reads {good_words}. {verdict}"
    ))
}

/// What no result of this trial answers.
pub(crate) fn unknown(case: &Case<'_>, witnesses: &[Witness<'_>]) -> Vec<String> {
    let mut lines = Vec::new();
    let run = || case.standing.tests.iter().filter(|test| test.runs > 0);
    for contact in &case.records.machine.contacts {
        let of_contact = |likeness: &crate::standing::ContactLikeness| likeness.contact == contact.name;
        let values = run().filter_map(|test| test.contacts.iter().find(|c| of_contact(c))?.resemblance.value);
        let most = values.fold(0.0, f64::max);
        if most < RESEMBLES {
            lines.push(format!(
                "Nothing that was run resembles '{}' ({} of the machine) at {} or more; the nearest comes to {}.",
                contact.name,
                per_cent(contact.share),
                case.shown.number(RESEMBLES),
                case.shown.fixed(most, 2)
            ));
        }
        let unscored = unscored(case, contact);
        if !unscored.is_empty() {
            lines.push(format!(
                "No test and no gate with a result scores {}, which matters most in '{}'.",
                and(&unscored),
                contact.name
            ));
        }
    }
    let not_run: Vec<String> = witnesses
        .iter()
        .filter(|witness| !witness.is_run)
        .map(|witness| format!("{} ({})", witness.test.label, witness.test.standard))
        .collect();
    if !not_run.is_empty() {
        lines.push(format!("{} was not run in: {}.", case.blend, not_run.join("; ")));
    }
    lines.extend(from_memory(case));
    lines
}

/// The failure modes that matter most in a contact and that no result of the trial scores.
pub(crate) fn unscored(case: &Case<'_>, contact: &MachineContact) -> Vec<String> {
    let modes = contact.main_modes.iter().filter(|mode| !is_scored(case, **mode));
    modes.map(ToString::to_string).collect()
}

fn is_scored(case: &Case<'_>, mode: crate::catalogue::Mode) -> bool {
    let mut results = case.records.current_results();
    results.any(|result| {
        let scores = |(_, quantity): (_, &crate::catalogue::Quantity)| quantity.scores(mode);
        let is_of_trial = case
            .records
            .trial
            .tests
            .iter()
            .any(|test| test.key == result.key && test.used_to != crate::catalogue::Use::Show);
        result.status != ResultStatus::Void
            && is_of_trial
            && case.records.test(&result.key).is_some_and(scores)
    })
}

/// Values of the method that were remembered, not seen.
fn from_memory(case: &Case<'_>) -> Option<String> {
    let own = own_paths(case);
    let remembered: Vec<String> = case
        .method
        .sources
        .iter()
        .filter(|value| value.mark == Mark::Memory && own(&value.path))
        .map(|value| plain_path(&value.path))
        .collect();
    let distinct: std::collections::BTreeSet<String> = remembered.into_iter().collect();
    let list: Vec<String> = distinct.into_iter().collect();
    (!list.is_empty()).then(|| {
        format!(
            "Of this method the following are from memory and were not seen in the standard: {}.",
            and(&list)
        )
    })
}

/// Whether a path belongs to the contact or to this quantity.
fn own_paths<'a>(case: &Case<'a>) -> impl Fn(&str) -> bool + use<'a> {
    let at = case
        .method
        .quantities
        .iter()
        .position(|q| q.id == case.quantity.id);
    let prefix = format!("quantity.{}.", at.map_or(0, |at| at + 1));
    move |path: &str| path.starts_with("contact.") || path.starts_with(&prefix)
}

/// The last words of a path: `precision r`, `speed rpm`.
pub(crate) fn plain_path(path: &str) -> String {
    let last = path.rsplit('.').next().unwrap_or(path);
    let words = match last {
        "ball_diameter_m" => "ball diameter",
        "speed_rpm" => "speed",
        "pinion_rpm" => "speed of the pinion",
        "bulk_temperature_c" => "temperature",
        "roughness_rq_m" => "roughness",
        "newton_per_unit" => "newton per unit of load",
        "force_n" | "fixed_force_n" => "load",
        "stage_torques_nm" => "torque of each stage",
        "ring_diameter_m" => "ring diameter",
        "contact_length_m" => "length of the contact",
        "stroke_m" => "stroke",
        "frequency_hz" => "frequency",
        "r" => "repeatability r",
        "R" => "reproducibility R",
        "steps" => "load steps",
        "cap" => "last step",
        "nominal" => "usual value",
        "level" => "level of the precision",
        "modes" => "failure modes that it scores",
        "friction_coefficient" => "friction coefficient",
        other => {
            let suffixes = ["_m", "_n", "_c", "_rpm", "_hz", "_deg", "_nm"];
            let bare = suffixes.iter().find_map(|suffix| other.strip_suffix(suffix));
            return bare.unwrap_or(other).replace('_', " ");
        }
    };
    words.to_string()
}

/// Every number's source.
pub(crate) fn sources(case: &Case<'_>) -> Vec<Footnote> {
    let own = own_paths(case);
    let groups: [(&'static str, &str); 5] = [
        ("contact", ".element."),
        ("load", ".load."),
        ("conditions", ".surroundings."),
        ("precision", ".precision."),
        ("steps", ".steps"),
    ];
    let mut notes: Vec<(&'static str, String)> = Vec::new();
    for (of, part) in groups {
        let values: Vec<_> = case
            .method
            .sources
            .iter()
            .filter(|value| own(&value.path) && value.path.contains(part))
            .collect();
        let mut by_source: Vec<((Mark, &str), Vec<String>)> = Vec::new();
        for value in values {
            let key = (value.mark, value.source.as_str());
            let name = plain_path(&value.path);
            match by_source.iter_mut().find(|(known, _)| *known == key) {
                Some((_, names)) => names.push(name),
                None => by_source.push((key, vec![name])),
            }
        }
        let words: Vec<String> = by_source
            .iter()
            .map(|((mark, source), names)| {
                let source = if source.is_empty() {
                    String::new()
                } else {
                    format!(" ({source})")
                };
                format!("{}: {mark}{source}", and(names))
            })
            .collect();
        if !words.is_empty() {
            notes.push((of, words.join("; ")));
        }
    }
    notes.push((
        "machine",
        "The machine's ranges: the trial's own record of the machine, computed there where a geometry is given.".into(),
    ));
    notes.push((
        "resemblance",
        format!(
            "Similarity halves at a distance of a term's own; distances and importances are ours, no accepted score exists. {}",
            departures(&scale_lines_of(&case.records.term_scales, &WhatIf::default()))
        )
        .trim_end()
        .to_string(),
    ));
    if case.method.has_contact() {
        notes.push((
            "pressure",
            "Pressure and size of the contact: elastic contact after Hertz (K. L. Johnson, Contact Mechanics, 1985), unworn steel unless a scar is named.".into(),
        ));
    }
    if crate::explain::worn::worn_contact(case).is_ok() {
        notes.push((
            "worn",
            "Mean pressure on a worn area: the load on one contact over the area of the scar, its diameter squared times pi/4, or the width of a band times the length of the contact; the middle of each blend's measured scars, runs under other conditions left out.".into(),
        ));
    }
    let number = |(at, (of, text)): (usize, (&'static str, String))| Footnote {
        number: at + 1,
        of,
        text: case.prose(&text),
    };
    notes.into_iter().enumerate().map(number).collect()
}
