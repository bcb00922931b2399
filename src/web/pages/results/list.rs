//! Every run of a trial with every revision, the first entry first.

use crate::catalogue::Method;
use crate::records::{ResultStatus, RunKey, RunResult, TrialRecords};
use crate::web::figures;
use crate::web::frame::{Frame, Tab};
use crate::web::pages::comparison::records::{remark, state, written};
use askama::Template;
use std::collections::BTreeMap;

/// One entry of a run.
pub(crate) struct Revision<'a> {
    pub(crate) id: i64,
    pub(crate) result: &'a RunResult,
    pub(crate) value: String,
    pub(crate) state: &'static str,
    pub(crate) class: &'static str,
    pub(crate) can_be_changed: bool,
}

impl Revision<'_> {
    pub(crate) fn written(&self) -> String {
        written(self.result)
    }

    pub(crate) fn remark(&self) -> String {
        remark(self.result)
    }
}

/// A run with its entries, the first one first.
pub(crate) struct Run<'a> {
    pub(crate) key: RunKey,
    pub(crate) test: String,
    pub(crate) revisions: Vec<Revision<'a>>,
}

/// The page.
#[derive(Template)]
#[template(path = "results/list.html")]
pub(super) struct ResultsPage<'a> {
    frame: Frame,
    records: &'a TrialRecords,
    runs: Vec<Run<'a>>,
}

impl<'a> ResultsPage<'a> {
    /// All runs of a trial.
    pub(super) fn new(records: &'a TrialRecords, methods: &[Method]) -> Self {
        Self {
            frame: Frame::new(format!("Results of {}", records.trial.title)).in_trial(records, Tab::Runs),
            records,
            runs: runs(records, methods),
        }
    }
}

/// All runs of a trial, by test, blend, date, rig and replicate.
pub(crate) fn runs<'a>(records: &'a TrialRecords, methods: &[Method]) -> Vec<Run<'a>> {
    let mut by_run: BTreeMap<RunKey, Vec<&RunResult>> = BTreeMap::new();
    for result in &records.results {
        by_run.entry(result.run_key()).or_default().push(result);
    }
    let mut runs: Vec<(RunKey, Vec<&RunResult>)> = by_run.into_iter().collect();
    runs.sort_by(|(a, _), (b, _)| {
        let order = |key: &RunKey| (key.date, key.rig.clone(), key.replicate);
        let by_blend = a.key.cmp(&b.key).then_with(|| a.blend.cmp(&b.blend));
        by_blend.then_with(|| order(a).cmp(&order(b)))
    });
    let runs = runs.into_iter();
    runs.map(|(key, revisions)| run(key, revisions, methods))
        .collect()
}

fn run<'a>(key: RunKey, mut revisions: Vec<&'a RunResult>, methods: &[Method]) -> Run<'a> {
    let method = methods.iter().find(|method| method.id == key.key.method);
    let quantity = method.and_then(|method| method.quantity(&key.key.quantity));
    let superseded: Vec<i64> = revisions.iter().filter_map(|result| result.supersedes).collect();
    revisions.sort_by_key(|result| result.id);
    let revisions = revisions.into_iter().filter_map(|result| {
        let id = result.id?;
        let is_superseded = superseded.contains(&id);
        let (state, class) = state(result, is_superseded.then_some("superseded"));
        Some(Revision {
            id,
            result,
            value: figures::value_with_unit(&result.value, quantity.map(|quantity| quantity.unit)),
            state,
            class,
            can_be_changed: !is_superseded && result.status != ResultStatus::Void,
        })
    });
    Run {
        test: match quantity.zip(method) {
            Some((quantity, method)) => format!("{} ({})", quantity.label, method.standard),
            None => key.key.to_string(),
        },
        revisions: revisions.collect(),
        key,
    }
}
