//! outcomes.csv, readings.csv, decisions.csv: what stands behind a result, and what came after it.

use crate::catalogue::Mode;
use crate::intake::cells::{Cells, Range};
use crate::intake::folder::{Folder, Names};
use crate::intake::methods::Methods;
use crate::records::rows::{DECISIONS, OUTCOMES, READINGS};
use crate::records::{
    BlendCode, Decision, MachineSlug, Outcome, OutcomeSeverity, RawReading, RigId, TrialSlug,
};

pub(crate) fn outcomes(folder: &mut Folder) -> Vec<Outcome> {
    folder.refuse_doubles(OUTCOMES, &["blend", "machine", "date", "mode"]);
    let rows = folder.read(OUTCOMES, outcome);
    rows.into_iter().map(|(_, outcome)| outcome).collect()
}

fn outcome(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<Outcome> {
    let blend = cells.reference("blend", BlendCode::new, names.blends, "blends.csv");
    let machine = cells.reference("machine", MachineSlug::new, names.machines, "machines.csv");
    let date = cells.date("date");
    let hours = cells.optional_number("hours", Range::From0);
    let allowed: Vec<&str> = Mode::ALL.iter().map(|mode| mode.word()).collect();
    let mode = cells.optional_word("mode", |word| word.parse::<Mode>().ok(), &allowed.join(", "));
    let severity = cells.word(
        "severity",
        OutcomeSeverity::from_word,
        &OutcomeSeverity::allowed(),
    );
    Some(Outcome {
        blend: blend?,
        machine: machine?,
        date: date?,
        hours: hours?,
        mode: mode?,
        severity: severity?,
        source: cells.text("source"),
        note: cells.text("note"),
    })
}

pub(crate) fn readings(folder: &mut Folder, methods: &Methods) -> Vec<RawReading> {
    let key = [
        "trial",
        "blend",
        "method",
        "rig",
        "date",
        "replicate",
        "position",
        "kind",
    ];
    folder.refuse_doubles(READINGS, &key);
    let rows = folder.read(READINGS, |names, cells| reading(names, methods, cells));
    rows.into_iter().map(|(_, reading)| reading).collect()
}

fn reading(names: &Names<'_>, methods: &Methods, cells: &mut Cells<'_>) -> Option<RawReading> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let blend = cells.reference("blend", BlendCode::new, names.blends, "blends.csv");
    let method = methods
        .known_method(cells, "method")
        .map(|method| method.id.clone());
    let rig = cells.optional_reference("rig", RigId::new, names.rigs, "rigs.csv");
    let date = cells.date("date");
    let replicate = cells.replicate();
    let value = match cells.trimmed("value") {
        "" => cells.refuse("value", "is empty; a reading that was not taken has no row"),
        _ => Some(cells.text("value")),
    };
    Some(RawReading {
        trial: trial?,
        blend: blend?,
        method: method?,
        rig: rig?,
        date: date?,
        replicate: replicate?,
        position: cells.text("position"),
        kind: cells.text("kind"),
        value: value?,
        unit: cells.text("unit"),
    })
}

pub(crate) fn decisions(folder: &mut Folder) -> Vec<Decision> {
    folder.refuse_doubles(DECISIONS, &["trial", "date", "chosen", "snapshot"]);
    let rows = folder.read(DECISIONS, decision);
    rows.into_iter().map(|(_, decision)| decision).collect()
}

fn decision(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<Decision> {
    let trial = cells.reference("trial", TrialSlug::new, names.trials, "trials.csv");
    let date = cells.date("date");
    let chosen = match cells.trimmed("chosen") {
        "" => cells.refuse("chosen", "is empty; write the blend's code or 'none'"),
        "none" => Some("none".to_string()),
        _ => cells
            .reference("chosen", BlendCode::new, names.blends, "blends.csv, nor 'none'")
            .map(|code| code.to_string()),
    };
    let snapshot = cells.text("snapshot");
    let is_json = snapshot.trim().is_empty() || serde_json::from_str::<serde_json::Value>(&snapshot).is_ok();
    if !is_json {
        cells.refuse::<()>("snapshot", "is not JSON")?;
    }
    Some(Decision {
        trial: trial?,
        date: date?,
        chosen: chosen?,
        reason: cells.text("reason"),
        dissent: cells.text("dissent"),
        acknowledged: cells.text("acknowledged"),
        snapshot,
    })
}
