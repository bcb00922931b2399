//! Which results of a trial lie where the reference chart of their rig is out of control.
//!
//! The chart is drawn from the trial's own results: those of other trials on the same rig are not in its records.

use crate::records::{BlendCode, RigId, Role, RunResult, TestKey, TrialRecords};
use crate::standing::evidence::{Block, Evidence};
use crate::standing::rig_chart::{RigChart, rig_chart};
use crate::stats::control::Rule;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Results of candidates in one test on one rig that lie in an out-of-control span.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OutOfControl {
    /// The test.
    pub(crate) key: TestKey,
    /// The rig.
    pub(crate) rig: RigId,
    /// The reference oil whose chart says so.
    pub(crate) reference: BlendCode,
    /// Candidates with a result in such a span, in the trial's order.
    pub(crate) blends: Vec<BlendCode>,
    /// Rules that fired.
    pub(crate) rules: Vec<Rule>,
    /// Date of the first alarm.
    pub(crate) first_alarm: Date,
}

/// The charts, for one test, of every rig that ran it and names a reference oil.
fn charts(records: &TrialRecords, evidence: &Evidence) -> Vec<RigChart> {
    let ran: BTreeSet<&str> = evidence.runs().map(|(_, run)| run.block.0.as_str()).collect();
    let rigs = records.rigs.iter().filter(|rig| ran.contains(rig.id.as_str()));
    let of_rig = rigs.filter_map(|rig| {
        let reference = rig.reference_blend.as_ref()?;
        rig_chart(
            &records.results,
            &rig.id,
            reference,
            evidence.method,
            evidence.quantity,
        )
    });
    of_rig.collect()
}

/// Results of one test, of any blend, that lie in an out-of-control span of their rig.
pub(crate) fn results<'a>(records: &TrialRecords, evidence: &Evidence<'a>) -> Vec<(&'a RunResult, RigChart)> {
    let charts = charts(records, evidence);
    let all = evidence
        .cells
        .iter()
        .flat_map(|cell| cell.results.iter().copied());
    let marked = all.filter_map(|result| {
        let of_rig = |chart: &&RigChart| result.rig.as_ref() == Some(&chart.rig);
        let chart = charts.iter().find(of_rig)?;
        chart.span_of(result.date?)?;
        Some((result, chart.clone()))
    });
    marked.collect()
}

/// Blocks of a test in which a reference oil was run while the chart of its rig was out of control.
pub(crate) fn unsettled_blocks(records: &TrialRecords, evidence: &Evidence) -> BTreeSet<Block> {
    let references = |result: &RunResult| {
        let cell = evidence.cell(&result.blend);
        cell.is_some_and(|cell| cell.role == Role::Reference)
    };
    let marked = results(records, evidence).into_iter();
    let of_references = marked.filter(|(result, _)| references(result));
    of_references.map(|(result, _)| result.block()).collect()
}

/// What the marked results of one test say of the candidates, rig by rig.
pub(crate) fn of_candidates(evidence: &Evidence, marked: &[(&RunResult, RigChart)]) -> Vec<OutOfControl> {
    let mut found: Vec<OutOfControl> = Vec::new();
    let candidates = evidence.cells.iter().filter(|cell| cell.role == Role::Candidate);
    for blend in candidates.map(|cell| cell.blend) {
        for (result, chart) in marked.iter().filter(|(result, _)| &result.blend == blend) {
            let Some(span) = result.date.and_then(|date| chart.span_of(date)) else {
                continue;
            };
            if let Some(known) = found.iter_mut().find(|known| known.rig == chart.rig) {
                known.first_alarm = known.first_alarm.min(span.first_alarm);
                if !known.blends.contains(blend) {
                    known.blends.push(blend.clone());
                }
                continue;
            }
            found.push(OutOfControl {
                key: evidence.key().clone(),
                rig: chart.rig.clone(),
                reference: chart.reference.clone(),
                blends: vec![blend.clone()],
                rules: rules(chart),
                first_alarm: span.first_alarm,
            });
        }
    }
    found
}

/// The rules that alarmed anywhere on a chart, each once.
fn rules(chart: &RigChart) -> Vec<Rule> {
    let signals = chart.points.iter().flat_map(|point| &point.signals);
    let alarms: BTreeSet<Rule> = signals.filter(|rule| rule.is_alarm()).copied().collect();
    alarms.into_iter().collect()
}
