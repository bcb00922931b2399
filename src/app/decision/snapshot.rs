//! What is frozen when a decision is signed: the standing, and everything it was computed from.

use crate::catalogue::built_in_text;
use crate::records::rows::archive_rows;
use crate::records::{Archive, OwnMethod, TrialRecords};
use crate::standing::Comparison;
use crate::wire::standing_json;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

/// The form of what is frozen; a reader that does not know a later one shows what it finds.
const FORM: u32 = 1;

/// A row of an archive file: column to cell.
pub(crate) type Row = BTreeMap<String, String>;

/// Rows by file name, in the form of an archive folder.
pub(crate) type Tables = BTreeMap<String, Vec<Row>>;

/// What a standing is computed from, as rows of an archive folder. Every file is there, those without rows too.
pub(crate) fn inputs(records: &TrialRecords, own_methods: &[OwnMethod]) -> Tables {
    let used = own_methods
        .iter()
        .filter(|rows| records.method(&rows.id).is_some());
    let archive = Archive {
        blends: records.blends.clone(),
        machines: vec![records.machine.clone()],
        own_methods: used.cloned().collect(),
        rigs: records.rigs.clone(),
        trials: vec![records.trial.clone()],
        term_scales: records.term_scales.clone(),
        results: records.results.clone(),
        ..Archive::default()
    };
    let table = |(file, rows): (crate::records::rows::FileColumns, Vec<Vec<String>>)| {
        let columns: Vec<&str> = file.columns.iter().chain(file.optional).copied().collect();
        let row = |cells: Vec<String>| {
            let named = columns.iter().map(ToString::to_string);
            named.zip(cells).collect::<Row>()
        };
        (file.name.to_string(), rows.into_iter().map(row).collect())
    };
    archive_rows(&archive).into_iter().map(table).collect()
}

/// The files of the built-in methods that a trial uses, as they were written, by method id.
pub(crate) fn method_texts(records: &TrialRecords) -> BTreeMap<String, String> {
    let texts = records.methods.iter().filter_map(|method| {
        let text = built_in_text(&method.id)?;
        Some((method.id.clone(), text.to_string()))
    });
    texts.collect()
}

/// The standing as it is with everything it was computed from; no time is in it, so that the same evidence gives the same.
pub(crate) fn state(comparison: &Comparison, own_methods: &[OwnMethod]) -> Value {
    let records = &comparison.records;
    json!({
        "form": FORM,
        "engine": env!("CARGO_PKG_VERSION"),
        "draws": comparison.standing.draws,
        "seed": comparison.standing.seed,
        "standing": standing_json(comparison),
        "inputs": inputs(records, own_methods),
        "methods": method_texts(records),
    })
}

/// A short text that differs where the evidence, the standing or the decisions of a trial differ. It tells states apart
/// within one run of the program; it guards nothing.
pub(crate) fn seen(state: &Value, decisions: usize) -> String {
    let mut hasher = DefaultHasher::new();
    (state.to_string(), decisions).hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}
