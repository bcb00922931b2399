//! rigs.csv, trials.csv, machine_adoptions.csv, trial_blends.csv, trial_methods.csv.

mod versions;

use crate::catalogue::{Use, from_word};
use crate::intake::Fault;
use crate::intake::cells::{Cells, Range, list};
use crate::intake::folder::{Folder, Names};
use crate::intake::methods::{Found, Methods};
use crate::records::rows::{RIGS, TRIAL_BLENDS, TRIAL_METHODS, TRIALS};
use crate::records::{
    BlendCode, Confidence, Level, Limit, Machine, MachineSlug, Rig, RigId, Role, Trial, TrialBlend,
    TrialSlug, TrialStatus, TrialTest,
};
use std::collections::BTreeMap;

pub(crate) fn rigs(folder: &mut Folder, methods: &Methods) -> Vec<Rig> {
    folder.refuse_doubles(RIGS, &["rig"]);
    let rows = folder.read(RIGS, |names, cells| rig(names, methods, cells));
    rows.into_iter().map(|(_, rig)| rig).collect()
}

fn rig(names: &Names<'_>, methods: &Methods, cells: &mut Cells<'_>) -> Option<Rig> {
    let id = cells.name("rig", RigId::new);
    let reference = cells.optional_reference("reference_blend", BlendCode::new, names.blends, "blends.csv");
    let mut runs = Vec::new();
    let mut sound = true;
    for method in list(cells.trimmed("methods")) {
        if runs.iter().any(|known| known == method) {
            sound = false;
            cells.refuse::<()>("methods", format!("'{method}' stands twice"));
        }
        if let Found::Unknown(known) = methods.method(method) {
            sound = false;
            let problem = format!("'{method}' is not a method; built in or in methods.csv are {known}");
            cells.refuse::<()>("methods", problem);
        }
        runs.push(method.to_string());
    }
    sound.then_some(())?;
    Some(Rig {
        id: id?,
        name: cells.text("name"),
        lab: cells.text("lab"),
        methods: runs,
        reference_blend: reference?,
    })
}

pub(crate) fn trials(folder: &mut Folder, machines: &[Machine], methods: &Methods) -> Vec<Trial> {
    folder.refuse_doubles(TRIALS, &["trial"]);
    folder.refuse_doubles(TRIAL_BLENDS, &["trial", "blend"]);
    folder.refuse_doubles(TRIAL_METHODS, &["trial", "method", "quantity"]);
    let mut trials = folder.read(TRIALS, trial);
    versions::take_adoptions(folder, &mut trials);
    versions::refuse_unknown(folder, machines, &trials);
    let faults_before = folder.faults.len();
    let blends = folder.read(TRIAL_BLENDS, trial_blend);
    let all_blends_read = folder.faults.len() == faults_before;
    refuse_second_references(folder, &blends);
    for (_, (slug, part)) in &blends {
        if let Some((_, trial)) = trials.iter_mut().find(|(_, trial)| &trial.slug == slug) {
            trial.blends.push(part.clone());
        }
    }
    let tests = folder.read(TRIAL_METHODS, |names, cells| trial_test(names, methods, cells));
    for (line, (slug, test)) in tests {
        let Some((_, trial)) = trials.iter_mut().find(|(_, trial)| trial.slug == slug) else {
            continue;
        };
        if all_blends_read {
            refuse_foreign_references(folder, line, trial, &test);
        }
        trial.tests.push(test);
    }
    trials.into_iter().map(|(_, trial)| trial).collect()
}

fn trial(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<Trial> {
    let slug = cells.name("trial", TrialSlug::new);
    let machine = cells.reference("machine", MachineSlug::new, names.machines, "machines.csv");
    let status = cells.word("status", TrialStatus::from_word, &TrialStatus::allowed());
    let opened_on = cells.date("opened_on");
    let mut closed_on = cells.date("closed_on");
    if let (Some(Some(opened)), Some(Some(closed))) = (opened_on, closed_on)
        && closed < opened
    {
        closed_on = cells.refuse("closed_on", format!("lies before opened_on, {opened}"));
    }
    let machine_confidence = cells.word(
        "machine_confidence",
        Confidence::from_word,
        &Confidence::allowed(),
    );
    let invented = cells.word("invented", yes_or_no, "yes, no");
    let machine_version = cells.version("machine_version");
    Some(Trial {
        slug: slug?,
        title: cells.text("title"),
        question: cells.text("question"),
        machine: machine?,
        status: status?,
        opened_on: opened_on?,
        closed_on: closed_on?,
        machine_confidence: machine_confidence?,
        invented: invented?,
        blends: Vec::new(),
        tests: Vec::new(),
        machine_version: machine_version?,
        adoptions: Vec::new(),
    })
}

fn yes_or_no(word: &str) -> Option<bool> {
    match word {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

fn trial_blend(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<(TrialSlug, TrialBlend)> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let blend = cells.reference("blend", BlendCode::new, names.blends, "blends.csv");
    let role = cells.word("role", Role::from_word, &Role::allowed());
    let mut level = cells.optional_word("level", Level::from_word, &Level::allowed());
    if matches!(
        (role, level),
        (Some(Role::Candidate | Role::Control), Some(Some(_)))
    ) {
        level = cells.refuse("level", "only a reference oil has a level");
    }
    let part = TrialBlend {
        blend: blend?,
        role: role?,
        level: level?,
    };
    Some((trial?, part))
}

/// A trial has one known good and one known poor reference oil; a quantity may name others for itself.
fn refuse_second_references(folder: &mut Folder, blends: &[(u64, (TrialSlug, TrialBlend))]) {
    let mut seen: BTreeMap<(&TrialSlug, Level), &BlendCode> = BTreeMap::new();
    for (line, (trial, part)) in blends {
        let Some(level @ (Level::KnownGood | Level::KnownPoor)) = part.level else {
            continue;
        };
        if let Some(first) = seen.get(&(trial, level)) {
            let problem = format!(
                "'{first}' is the {} of this trial already; where one quantity has another one, name it in {}",
                level.word(),
                TRIAL_METHODS.name
            );
            let fault = Fault::new(TRIAL_BLENDS.name, *line, "level", level.word(), problem);
            folder.faults.push(fault);
        } else {
            seen.insert((trial, level), &part.blend);
        }
    }
}

fn trial_test(names: &Names<'_>, methods: &Methods, cells: &mut Cells<'_>) -> Option<(TrialSlug, TrialTest)> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let test = methods.test(cells);
    let used_to = cells.word("use", from_word, "weigh, gate, show");
    let limit = cells.text("limit");
    let mut limit_is_sound = true;
    if limit.trim().is_empty() {
        if used_to == Some(Use::Gate) {
            limit_is_sound = false;
            cells.refuse::<()>(
                "limit",
                "is empty; a gate needs one such as '<= 6', '>= 10' or 'pass'",
            );
        }
    } else if let Some((_, quantity)) = &test
        && let Err(problem) = Limit::parse(&limit, quantity)
    {
        limit_is_sound = false;
        cells.refuse::<()>("limit", problem.to_string());
    }
    let known_good = cells.optional_reference("known_good", BlendCode::new, names.blends, "blends.csv");
    let known_poor = cells.optional_reference("known_poor", BlendCode::new, names.blends, "blends.csv");
    let cost = cells.optional_number("cost", Range::From0);
    let days = cells.optional_number("days", Range::From0);
    limit_is_sound.then_some(())?;
    let test = TrialTest {
        key: test?.0,
        used_to: used_to?,
        limit,
        known_good: known_good?,
        known_poor: known_poor?,
        cost: cost?,
        days: days?,
        reason: cells.text("reason"),
    };
    Some((trial?, test))
}

/// The references of a quantity must be blends of the trial.
fn refuse_foreign_references(folder: &mut Folder, line: u64, trial: &Trial, test: &TrialTest) {
    for (column, blend) in [("known_good", &test.known_good), ("known_poor", &test.known_poor)] {
        let Some(blend) = blend else { continue };
        if !trial.blends.iter().any(|part| &part.blend == blend) {
            let problem = format!(
                "is not a blend of the trial '{}' in {}",
                trial.slug, TRIAL_BLENDS.name
            );
            let fault = Fault::new(TRIAL_METHODS.name, line, column, blend.as_str(), problem);
            folder.faults.push(fault);
        }
    }
}
