//! Which results of a trial lie where the level of their rig had changed.
//!
//! That is told by the trial's own results: those of other trials on the same rig are not in its records.

use crate::records::{BlendCode, RigId, Role, RunResult, TestKey};
use crate::standing::evidence::Evidence;
use jiff::civil::Date;

/// Results of candidates in one test on one rig that lie in an out-of-control span.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OutOfControl {
    /// The test.
    pub(crate) key: TestKey,
    /// The rig.
    pub(crate) rig: RigId,
    /// The reference oil that stands for the rig.
    pub(crate) reference: BlendCode,
    /// Candidates with a result in such a span, in the trial's order.
    pub(crate) blends: Vec<BlendCode>,
    /// The first reference run at the changed level.
    pub(crate) since: Date,
}

/// Results of one test, of any blend, that lie in an out-of-control span of their rig.
pub(crate) fn results<'a>(evidence: &Evidence<'a>) -> Vec<&'a RunResult> {
    let all = evidence.cells.iter().flat_map(|cell| &cell.results);
    let marked = all.filter(|result| evidence.levels.out_of_control(result).is_some());
    marked.copied().collect()
}

/// What the results of one test say of the candidates, rig by rig.
pub(crate) fn of_candidates(evidence: &Evidence) -> Vec<OutOfControl> {
    let mut found: Vec<OutOfControl> = Vec::new();
    for cell in evidence.cells.iter().filter(|cell| cell.role == Role::Candidate) {
        for result in &cell.results {
            let (Some((reference, span)), Some(rig)) =
                (evidence.levels.out_of_control(result), result.rig.as_ref())
            else {
                continue;
            };
            if let Some(known) = found.iter_mut().find(|known| &known.rig == rig) {
                known.since = known.since.min(span.first);
                if !known.blends.contains(cell.blend) {
                    known.blends.push(cell.blend.clone());
                }
                continue;
            }
            found.push(OutOfControl {
                key: evidence.key().clone(),
                rig: rig.clone(),
                reference: reference.clone(),
                blends: vec![cell.blend.clone()],
                since: span.first,
            });
        }
    }
    found
}
