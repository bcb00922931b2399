//! outcomes.csv, readings.csv, decisions.csv: what stands behind a result, and what came after it.

use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::intake::methods::Methods;
use crate::prose::decisions::blend_fault;
use crate::records::table::{Record, Source, column};
use crate::records::{Blend, BlendCode, Decision, DecisionKind, Outcome, RawReading};

pub(crate) fn outcomes(folder: &mut Folder) -> Vec<Outcome> {
    folder.refuse_doubles::<Outcome>();
    folder.read().into_iter().map(|(.., outcome)| outcome).collect()
}

pub(crate) fn readings(folder: &mut Folder, methods: &Methods) -> Vec<RawReading> {
    folder.refuse_doubles::<RawReading>();
    let rows = folder.read_with(|cells| {
        let reading = cells.record();
        let method = methods.known_method(cells, "method");
        if cells.trimmed("value").is_empty() {
            return cells.refuse("value", "is empty; a reading that was not taken has no row");
        }
        reading.filter(|_| method.is_some())
    });
    rows.into_iter().map(|(.., reading)| reading).collect()
}

pub(crate) fn decisions(folder: &mut Folder) -> Vec<Decision> {
    folder.refuse_doubles::<Decision>();
    let rows = folder.read_with(decision);
    rows.into_iter().map(|(.., decision)| decision).collect()
}

fn decision(cells: &mut Cells<'_>) -> Option<((), Decision)> {
    let decision = cells.record();
    let chosen = match cells.trimmed("chosen") {
        "" => cells.refuse("chosen", "is empty; write the blend's code or 'none'"),
        Decision::NONE => Some(()),
        code => match cells.field::<BlendCode>(&column("chosen")) {
            Some(_) if cells.names.lack(Blend::FILE, code) => {
                cells.refuse("chosen", "is not defined in blends.csv, nor 'none'")
            }
            named => named.map(|_| ()),
        },
    };
    let snapshot = cells.trimmed("snapshot");
    let is_json = snapshot.is_empty() || serde_json::from_str::<serde_json::Value>(snapshot).is_ok();
    let is_json = cells.passes("snapshot", (!is_json).then_some("is not JSON"));
    let kind = cells.peek::<Option<DecisionKind>>(&column("kind")).flatten();
    let names_one = cells.trimmed("chosen") != Decision::NONE;
    let fault = kind.and_then(|kind| blend_fault(kind, names_one));
    let kind = cells.passes("chosen", fault.filter(|_| chosen.is_some()));
    decision.filter(|_| chosen.is_some() && is_json && kind)
}
