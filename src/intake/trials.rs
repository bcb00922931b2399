//! rigs.csv, trials.csv, machine_adoptions.csv, trial_blends.csv, trial_methods.csv.

use crate::catalogue::Use;
use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::intake::methods::{Found, Methods};
use crate::prose::faults::limit_fault;
use crate::records::table::{Record, column, items};
use crate::records::{
    Adoption, Asks, BlendCode, Level, Limit, Machine, OfTrial, Rig, Role, Trial, TrialBlend, TrialSlug,
    TrialTest,
};
use jiff::civil::Date;
use std::collections::BTreeMap;

pub(crate) fn rigs(folder: &mut Folder, methods: &Methods) -> Vec<Rig> {
    folder.refuse_doubles::<Rig>();
    let rows = folder.read_with(|cells| rig(methods, cells));
    rows.into_iter().map(|(.., rig)| rig).collect()
}

fn rig(methods: &Methods, cells: &mut Cells<'_>) -> Option<((), Rig)> {
    let rig = cells.record();
    let mut seen = Vec::new();
    let mut sound = true;
    for method in items(cells.trimmed("methods")) {
        let twice = seen.contains(&method);
        sound &= cells.passes("methods", twice.then(|| format!("'{method}' stands twice")));
        if let Found::Unknown(known) = methods.method(method) {
            let problem = format!("'{method}' is not a method; built in or in methods.csv are {known}");
            sound &= cells.passes("methods", Some(problem));
        }
        seen.push(method);
    }
    rig.filter(|_| sound)
}

pub(crate) fn trials(folder: &mut Folder, machines: &[Machine], methods: &Methods) -> Vec<Trial> {
    folder.refuse_doubles::<Trial>();
    folder.refuse_doubles::<TrialBlend>();
    folder.refuse_doubles::<TrialTest>();
    let mut trials = folder.read_with(trial);
    take_adoptions(folder, &mut trials);
    refuse_unknown_versions(folder, machines, &trials);
    let faults_before = folder.faults.len();
    let blends = folder.read_with(trial_blend);
    let all_blends_read = folder.faults.len() == faults_before;
    refuse_second_references(folder, &blends);
    for (_, owner, part) in blends {
        if let Some(trial) = of_name(&mut trials, &owner.trial) {
            trial.blends.push(part);
        }
    }
    if all_blends_read {
        for (line, (), trial) in &trials {
            refuse_foreign_against(folder, *line, trial);
        }
    }
    let tests = folder.read_with(|cells| trial_test(methods, cells));
    for (line, owner, test) in tests {
        let Some(trial) = of_name(&mut trials, &owner.trial) else {
            continue;
        };
        if all_blends_read {
            refuse_foreign_references(folder, line, trial, &test);
        }
        trial.tests.push(test);
    }
    trials.into_iter().map(|(.., trial)| trial).collect()
}

fn of_name<'a>(trials: &'a mut [(u64, (), Trial)], name: &TrialSlug) -> Option<&'a mut Trial> {
    let mut trials = trials.iter_mut().map(|(.., trial)| trial);
    trials.find(|trial| &trial.slug == name)
}

pub(crate) fn trial(cells: &mut Cells<'_>) -> Option<((), Trial)> {
    let trial = cells.record();
    let date = |heading| cells.peek::<Option<Date>>(&column(heading)).flatten();
    let (opened, closed) = (date("opened_on"), date("closed_on"));
    let backwards = opened.zip(closed).filter(|(opened, closed)| closed < opened);
    let fault = backwards.map(|(opened, _)| format!("lies before opened_on, {opened}"));
    let sound = [cells.passes("closed_on", fault), asks_soundly(cells)];
    trial.filter(|_| sound == [true; 2])
}

/// The most characters of a short question.
const MOST_SHORT: usize = 60;

/// A blend to hold the candidates against belongs to a trial that asks whether they are no worse, and to no other.
fn asks_soundly(cells: &mut Cells<'_>) -> bool {
    let asks = cells.peek::<Option<Asks>>(&column("asks")).flatten();
    let (against, margin) = (cells.trimmed("against"), cells.trimmed("margin"));
    let no_worse = asks == Some(Asks::NoWorse);
    let elsewhere = "belongs to a trial that asks no-worse";
    let of_against = match (no_worse, against.is_empty()) {
        (true, true) => {
            Some("is empty; a trial that asks no-worse names the blend to hold candidates against")
        }
        (false, false) => Some(elsewhere),
        _ => None,
    };
    let short = cells.trimmed("short").chars().count();
    let too_long =
        (short > MOST_SHORT).then(|| format!("has {short} characters; write at most {MOST_SHORT}"));
    let sound = [
        cells.passes("short", too_long),
        cells.passes("against", of_against),
        cells.passes("margin", (!no_worse && !margin.is_empty()).then_some(elsewhere)),
    ];
    sound == [true; 3]
}

/// The blend that candidates are held against must be one of the trial, and not its only candidate.
fn refuse_foreign_against(folder: &mut Folder, line: u64, trial: &Trial) {
    let Some(against) = &trial.against else { return };
    if let Some(problem) = against_problem(against, &trial.blends) {
        folder.refuse::<Trial>(line, "against", against.as_str(), problem.to_string());
    }
}

/// What is wrong with a blend that the candidates of a trial are held against.
pub(crate) fn against_problem(against: &BlendCode, blends: &[TrialBlend]) -> Option<&'static str> {
    let asked = |part: &TrialBlend| part.role == Role::Candidate && &part.blend != against;
    if !blends.iter().any(|part| &part.blend == against) {
        Some("is not a blend of this trial; add it to its blends, as a reference or a candidate")
    } else if !blends.iter().any(asked) {
        Some("is the only candidate; there is nothing to hold against it")
    } else {
        None
    }
}

/// Gives every trial its adoptions in the order of their rows.
fn take_adoptions(folder: &mut Folder, trials: &mut [(u64, (), Trial)]) {
    let rows = folder.read_with(adoption);
    for (line, owner, adoption) in rows {
        let Some(trial) = of_name(trials, &owner.trial) else {
            continue;
        };
        let from = adoption.from_version;
        if let Some(last) = trial.adoptions.last()
            && last.to_version != from
        {
            let problem = format!(
                "the row before it led '{}' to version {}; adoptions follow each other",
                trial.slug, last.to_version
            );
            folder.refuse::<Adoption>(line, "from_version", &from.to_string(), problem);
        }
        trial.adoptions.push(adoption);
    }
}

fn adoption(cells: &mut Cells<'_>) -> Option<(OfTrial, Adoption)> {
    let adoption = cells.record();
    let version = |heading| cells.peek::<u32>(&column(heading));
    let (from, to) = (version("from_version"), version("to_version"));
    let stays = (from.is_some() && from == to).then_some("is the version that the trial had already");
    let moves = cells.passes("to_version", stays);
    let no_reason = cells.trimmed("reason").is_empty();
    let has_reason = cells.passes("reason", no_reason.then_some("is empty; an adoption says why"));
    adoption.filter(|_| moves && has_reason)
}

/// Every version that a trial names must be one of its machine, and the last one adopted the one it has.
fn refuse_unknown_versions(folder: &mut Folder, machines: &[Machine], trials: &[(u64, (), Trial)]) {
    for (line, (), trial) in trials {
        let versions: Vec<u32> = machines
            .iter()
            .filter(|machine| machine.slug == trial.machine)
            .map(|machine| machine.version)
            .collect();
        let version = trial.machine_version;
        let text = version.to_string();
        let mut refuse = |problem: String| {
            folder.refuse::<Trial>(*line, "machine_version", &text, problem);
        };
        let named = trial.adoptions.iter().map(|step| step.from_version);
        let unknown = named
            .chain([version])
            .find(|version| !versions.is_empty() && !versions.contains(version));
        if let Some(unknown) = unknown {
            let known: Vec<String> = versions.iter().map(ToString::to_string).collect();
            let machine = &trial.machine;
            refuse(format!(
                "'{machine}' has no version {unknown} in machines.csv; it has {}",
                known.join(", ")
            ));
        } else if let Some(last) = trial.adoptions.last()
            && last.to_version != version
        {
            refuse(format!(
                "the last row of {} led to version {}",
                Adoption::FILE,
                last.to_version
            ));
        }
    }
}

pub(crate) fn trial_blend(cells: &mut Cells<'_>) -> Option<(OfTrial, TrialBlend)> {
    let part = cells.record();
    let role: Option<Role> = cells.peek(&column("role"));
    let level: Option<Option<Level>> = cells.peek(&column("level"));
    let too_much = matches!(role, Some(Role::Candidate | Role::Control)) && level.flatten().is_some();
    let fits = cells.passes("level", too_much.then_some("only a reference oil has a level"));
    part.filter(|_| fits)
}

/// A trial has one known good and one known poor reference oil; a quantity may name others for itself.
fn refuse_second_references(folder: &mut Folder, blends: &[(u64, OfTrial, TrialBlend)]) {
    let mut seen: BTreeMap<(&TrialSlug, Level), &BlendCode> = BTreeMap::new();
    for (line, OfTrial { trial }, part) in blends {
        let Some(level @ (Level::KnownGood | Level::KnownPoor)) = part.level else {
            continue;
        };
        if let Some(first) = seen.get(&(trial, level)) {
            let problem = format!(
                "'{first}' is the {} of this trial already; where one quantity has another one, name it in {}",
                level.word(),
                TrialTest::FILE
            );
            folder.refuse::<TrialBlend>(*line, "level", level.word(), problem);
        } else {
            seen.insert((trial, level), &part.blend);
        }
    }
}

pub(crate) fn trial_test(methods: &Methods, cells: &mut Cells<'_>) -> Option<(OfTrial, TrialTest)> {
    let row = cells.record();
    let test = methods.test(cells);
    let limit = cells.trimmed("limit");
    let is_gate = cells.peek(&column("use")) == Some(Use::Gate);
    let fault = match &test {
        _ if limit.is_empty() && is_gate => {
            Some("is empty; a gate needs one such as '<= 6', '>= 10' or 'pass'".to_string())
        }
        Some((_, quantity)) if !limit.is_empty() => Limit::parse(limit, quantity)
            .err()
            .map(|fault| limit_fault(&fault, quantity)),
        _ => None,
    };
    let limit_is_sound = cells.passes("limit", fault);
    row.filter(|_| limit_is_sound && test.is_some())
}

/// The references of a quantity must be blends of the trial.
fn refuse_foreign_references(folder: &mut Folder, line: u64, trial: &Trial, test: &TrialTest) {
    for (column, blend) in [("known_good", &test.known_good), ("known_poor", &test.known_poor)] {
        let Some(blend) = blend else { continue };
        if !trial.blends.iter().any(|part| &part.blend == blend) {
            let problem = format!(
                "is not a blend of the trial '{}' in {}",
                trial.slug,
                TrialBlend::FILE
            );
            folder.refuse::<TrialTest>(line, column, blend.as_str(), problem);
        }
    }
}
