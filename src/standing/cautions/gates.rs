//! Requirements that a candidate failed, that it met by too little, or that nobody looked at.

use crate::records::{BlendCode, GateOutcome};
use crate::standing::cautions::Facts;
use crate::standing::summary::Standing;
use crate::standing::{Caution, CautionKind, Severity};
use std::collections::BTreeMap;

/// One caution per candidate and outcome other than a clear pass.
pub(super) fn gates(standing: &Standing, facts: &Facts) -> Vec<Caution> {
    let mut by_blend: BTreeMap<(&BlendCode, GateOutcome), Vec<String>> = BTreeMap::new();
    for gate in standing
        .gates
        .iter()
        .filter(|gate| gate.outcome != GateOutcome::Pass)
    {
        let words = match gate.outcome {
            GateOutcome::NotRun => gate.label.clone(),
            _ => format!("{} {} (limit {})", gate.label, gate.results, gate.limit),
        };
        by_blend
            .entry((&gate.blend, gate.outcome))
            .or_default()
            .push(words);
    }
    let caution = |((blend, outcome), gates): ((&BlendCode, GateOutcome), Vec<String>)| {
        let high_for = |in_front: Option<&BlendCode>| {
            if in_front == Some(blend) {
                Severity::High
            } else {
                Severity::Note
            }
        };
        let (kind, severity) = match outcome {
            GateOutcome::Pass => return None,
            GateOutcome::Fail => (CautionKind::GateFailed, high_for(facts.front_with_gated.as_ref())),
            GateOutcome::WithinScatter => (CautionKind::GateBorderline, Severity::Medium),
            GateOutcome::NotRun => (CautionKind::GateNotRun, high_for(standing.front_runner.as_ref())),
        };
        let caution = Caution::new(kind, severity);
        Some(caution.text("blend", blend).list("gates", gates))
    };
    by_blend.into_iter().filter_map(caution).collect()
}
