//! With which version of its machine a trial is judged, and how it came to that one: machine_adoptions.csv.

use crate::intake::Fault;
use crate::intake::cells::Cells;
use crate::intake::folder::{Folder, Names};
use crate::records::rows::{MACHINE_ADOPTIONS, TRIALS};
use crate::records::{Adoption, Machine, Trial, TrialSlug};

/// Gives every trial its adoptions in the order of their rows.
pub(super) fn take_adoptions(folder: &mut Folder, trials: &mut [(u64, Trial)]) {
    let rows = folder.read(MACHINE_ADOPTIONS, adoption);
    for (line, (slug, adoption)) in rows {
        let Some((_, trial)) = trials.iter_mut().find(|(_, trial)| trial.slug == slug) else {
            continue;
        };
        let from = adoption.from_version;
        if let Some(last) = trial.adoptions.last()
            && last.to_version != from
        {
            let problem = format!(
                "the row before it led '{slug}' to version {}; adoptions follow each other",
                last.to_version
            );
            let text = from.to_string();
            let fault = Fault::new(MACHINE_ADOPTIONS.name, line, "from_version", &text, problem);
            folder.faults.push(fault);
        }
        trial.adoptions.push(adoption);
    }
}

fn adoption(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<(TrialSlug, Adoption)> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let from_version = cells.version("from_version");
    let mut to_version = cells.version("to_version");
    if from_version.is_some() && from_version == to_version {
        to_version = cells.refuse("to_version", "is the version that the trial had already");
    }
    let reason = match cells.trimmed("reason") {
        "" => cells.refuse("reason", "is empty; an adoption says why"),
        _ => Some(cells.text("reason")),
    };
    let adoption = Adoption {
        from_version: from_version?,
        to_version: to_version?,
        adopted_at: cells.text("adopted_at"),
        reason: reason?,
    };
    Some((trial?, adoption))
}

/// Every version that a trial names must be one of its machine, and the last one adopted the one it has.
pub(super) fn refuse_unknown(folder: &mut Folder, machines: &[Machine], trials: &[(u64, Trial)]) {
    for (line, trial) in trials {
        let versions: Vec<u32> = machines
            .iter()
            .filter(|machine| machine.slug == trial.machine)
            .map(|machine| machine.version)
            .collect();
        let version = trial.machine_version;
        let text = version.to_string();
        let mut refuse = |problem: String| {
            let fault = Fault::new(TRIALS.name, *line, "machine_version", &text, problem);
            folder.faults.push(fault);
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
                MACHINE_ADOPTIONS.name, last.to_version
            ));
        }
    }
}
