//! A draft as the files of an archive folder, read by the rules that hold for those.

use crate::intake::drafted::{cells, read_files, replace_rows, row_of};
use crate::intake::trial_form::draft::role_and_level;
use crate::intake::trial_form::{SettingUp, SetupNames, TrialDraft};
use crate::intake::{ArchiveFiles, DraftFault, Fault, WriteFault, write_folder};
use crate::records::table::{FileColumns, Record};
use crate::records::{
    Archive, Blend, BlendCode, BlendKind, Machine, MachineSlug, Trial, TrialBlend, TrialTest,
};

/// The name of the trial while it is a draft.
const DRAFT: &str = "draft";

/// The trial of a draft, under the name of a draft. A fault of a field that has one already is not said again.
pub(super) fn read_rows(
    draft: &TrialDraft,
    names: SetupNames<'_>,
    setting_up: SettingUp<'_>,
    faults: &mut Vec<DraftFault>,
) -> Option<Trial> {
    let files = files(draft, names, setting_up);
    let archive = read_files(files, |fault| field(draft, fault), "title", faults)?;
    archive.trials.into_iter().next()
}

fn files(
    draft: &TrialDraft,
    names: SetupNames<'_>,
    setting_up: SettingUp<'_>,
) -> Result<ArchiveFiles, WriteFault> {
    let machine = match setting_up {
        SettingUp::New => MachineSlug::new(&draft.machine),
        SettingUp::Again(trial, _) => Some(trial.machine.clone()),
    };
    let mut files = write_folder(&surroundings(draft, names, machine.as_ref()))?;
    let machine = machine.map(|machine| machine.to_string()).unwrap_or_default();
    let invented = if draft.invented == "yes" { "yes" } else { "no" };
    let head = [
        DRAFT,
        &draft.title,
        &draft.question,
        &machine,
        &draft.status,
        &draft.opened_on,
        "",
        &draft.confidence,
        invented,
        "",
    ];
    let blends = draft.parts().map(|(_, part)| {
        let (role, level) = role_and_level(&part.role);
        cells(&[DRAFT, &part.blend, role, level])
    });
    let tests = draft.planned().map(|(_, test)| {
        let (method, quantity) = test.test.trim().split_once('/').unwrap_or((&test.test, ""));
        cells(&[
            DRAFT,
            method,
            quantity,
            &test.used_to,
            &test.limit,
            &test.known_good,
            &test.known_poor,
            &test.cost,
            &test.days,
            &test.reason,
        ])
    });
    replace_rows(
        &mut files,
        [
            (FileColumns::of::<Trial>(), vec![cells(&head)]),
            (FileColumns::of::<TrialBlend>(), blends.collect()),
            (FileColumns::of::<TrialTest>(), tests.collect()),
        ],
    )?;
    Ok(files)
}

/// What the draft names, as far as the rules look at it: the machine in one version, blends by their codes.
fn surroundings(draft: &TrialDraft, names: SetupNames<'_>, machine: Option<&MachineSlug>) -> Archive {
    let machines = names.machines.iter().filter(|known| Some(&known.slug) == machine);
    let is_named = |code: &&BlendCode| draft.parts().any(|(_, part)| part.blend.trim() == code.as_str());
    Archive {
        machines: machines
            .map(|machine| Machine {
                version: 1,
                change: String::new(),
                entered_at: String::new(),
                ..machine.clone()
            })
            .collect(),
        blends: names.blends.iter().filter(is_named).map(only_a_code).collect(),
        own_methods: names.own_methods.to_vec(),
        ..Archive::default()
    }
}

fn only_a_code(code: &BlendCode) -> Blend {
    Blend {
        code: code.clone(),
        name: String::new(),
        kind: BlendKind::Oil,
        made_on: None,
        parent: None,
        change: String::new(),
        kv40_mm2_s: None,
        kv100_mm2_s: None,
        density15_kg_m3: None,
        base_oil_kv40_mm2_s: None,
        nlgi: String::new(),
        note: String::new(),
        composition: Vec::new(),
    }
}

/// The field of the form in which a cell was typed.
fn field(draft: &TrialDraft, fault: &Fault) -> String {
    let row = row_of(fault);
    if fault.file == TrialBlend::FILE {
        let Some((place, _)) = draft.parts().nth(row) else {
            return "blends".to_string();
        };
        let name = if fault.column == "blend" { "blend" } else { "role" };
        return format!("b{place}.{name}");
    }
    if fault.file == TrialTest::FILE {
        let Some((place, _)) = draft.planned().nth(row) else {
            return "tests".to_string();
        };
        let name = match fault.column.as_str() {
            "method" | "quantity" => "test",
            other => other,
        };
        return format!("t{place}.{name}");
    }
    match fault.column.as_str() {
        "machine_confidence" => "confidence".to_string(),
        "title" | "question" | "machine" | "status" | "opened_on" => fault.column.clone(),
        _ => "title".to_string(),
    }
}
