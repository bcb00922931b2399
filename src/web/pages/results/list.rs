//! Every run of a trial with every revision, the first entry first.

use crate::catalogue::Method;
use crate::records::{ResultStatus, RunKey, RunResult, TrialRecords};
use crate::web::figures;
use crate::web::frame::{DataIs, Frame, Section};
use crate::web::pages::comparison::records::{remark, state, written};
use crate::web::pages::results::words;
use crate::web::question::encoded;
use askama::Template;
use std::collections::BTreeMap;

/// One entry of a run.
pub(crate) struct Revision {
    pub(crate) id: i64,
    pub(crate) written: String,
    pub(crate) value: String,
    pub(crate) state: &'static str,
    pub(crate) class: &'static str,
    pub(crate) remark: String,
    pub(crate) entered: String,
    pub(crate) origin: String,
    pub(crate) can_be_changed: bool,
}

/// A run with its entries, the first one first.
pub(crate) struct Run {
    pub(crate) test: String,
    pub(crate) blend: String,
    pub(crate) rig: String,
    pub(crate) date: String,
    pub(crate) replicate: u32,
    pub(crate) revisions: Vec<Revision>,
}

/// The page.
#[derive(Template)]
#[template(path = "results/list.html")]
pub(crate) struct ResultsPage {
    frame: Frame,
    slug: String,
    title: String,
    pub(crate) runs: Vec<Run>,
    entries: usize,
}

impl ResultsPage {
    /// All runs of a trial, by test, blend, rig, date and replicate.
    pub(crate) fn new(records: &TrialRecords, methods: &[Method]) -> Self {
        let mut by_run: BTreeMap<RunKey, Vec<&RunResult>> = BTreeMap::new();
        for result in &records.results {
            by_run.entry(result.run_key()).or_default().push(result);
        }
        let data = if records.trial.invented {
            DataIs::Invented
        } else {
            DataIs::Recorded
        };
        let mut runs: Vec<(&RunKey, &Vec<&RunResult>)> = by_run.iter().collect();
        runs.sort_by_key(|(key, _)| {
            (
                key.key.clone(),
                key.blend.clone(),
                key.date,
                key.rig.clone(),
                key.replicate,
            )
        });
        Self {
            frame: Frame::new(words::results_of(&records.trial.title))
                .of(Section::Trials)
                .showing(data),
            slug: encoded(records.trial.slug.as_str()),
            title: records.trial.title.clone(),
            entries: records.results.len(),
            runs: runs
                .into_iter()
                .map(|(key, revisions)| run(key, revisions, methods))
                .collect(),
        }
    }
}

fn run(key: &RunKey, revisions: &[&RunResult], methods: &[Method]) -> Run {
    let method = methods.iter().find(|method| method.id == key.key.method);
    let quantity = method.and_then(|method| method.quantity(&key.key.quantity));
    let superseded: Vec<i64> = revisions
        .iter()
        .filter_map(|revision| revision.supersedes)
        .collect();
    let mut sorted = revisions.to_vec();
    sorted.sort_by_key(|revision| revision.id);
    let revisions = sorted.into_iter().filter_map(|revision| {
        let id = revision.id?;
        let is_superseded = superseded.contains(&id);
        let (state, class) = state(revision, is_superseded.then_some("superseded"));
        Some(Revision {
            id,
            written: written(revision),
            value: figures::value_with_unit(&revision.value, quantity.map(|quantity| quantity.unit)),
            state,
            class,
            remark: remark(revision),
            entered: figures::moment(&revision.entered_at),
            origin: revision.origin.clone(),
            can_be_changed: !is_superseded && revision.status != ResultStatus::Void,
        })
    });
    Run {
        test: quantity.zip(method).map_or_else(
            || key.key.to_string(),
            |(quantity, method)| format!("{} ({})", quantity.label, method.standard),
        ),
        blend: key.blend.to_string(),
        rig: key.rig.as_ref().map(ToString::to_string).unwrap_or_default(),
        date: figures::date(key.date),
        replicate: key.replicate,
        revisions: revisions.collect(),
    }
}
