//! Signing a decision on the standing of a trial, and reading what was signed.
//!
//! The program never approves: it freezes what stood when somebody decided, and says later what has changed since.

mod draft;
mod frozen;
mod results_since;
mod since;
mod watched;

use crate::app::{App, AppError, DraftFault, now, today};
use crate::records::{Decision, TrialRecords, TrialSlug};
use crate::standing::Comparison;
use crate::standing::WhatIf;
use crate::store::StoreError;
use draft::{read_draft, sentence};
use jiff::civil::Date;
use serde_json::Value;
use since::evidence_changes;

pub use draft::{DecisionDraft, GraveCaution, grave_cautions};
pub use frozen::{
    Acknowledged, Frozen, FrozenCandidate, FrozenCaution, FrozenGate, FrozenStanding, Signature, Snapshot,
};
pub use since::{EvidenceChange, Since, ThenAndNow};

/// How often a signature is tried when somebody else writes to the file meanwhile.
const MOST_TRIES: usize = 5;

/// A decision with what was frozen at its signature.
#[derive(Clone, Debug, PartialEq)]
pub struct DecisionRecord {
    /// What was recorded.
    pub decision: Decision,
    /// What was frozen; `None` where nothing was, or it cannot be understood.
    pub frozen: Option<Frozen>,
}

/// A trial with its decisions, and what a signature needs.
#[derive(Clone, Debug, PartialEq)]
pub struct DecisionView {
    /// The trial judged as it is.
    pub comparison: Comparison,
    /// The cautions that a signature must take up.
    pub grave: Vec<GraveCaution>,
    /// Which state of the evidence this is.
    pub seen: String,
    /// The decisions, the newest first.
    pub decisions: Vec<DecisionRecord>,
    /// What has changed since the newest decision that was signed on a frozen standing.
    pub since: Option<Since>,
    /// The day on which this was asked.
    pub today: Date,
}

/// What became of a signature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Signing {
    /// It stands.
    Signed,
    /// Nothing was written: every fault.
    Faulty(Vec<DraftFault>),
    /// Nothing was written: the evidence or the decisions are not those that the form showed.
    SeenOther,
}

/// Whether the evidence is still that of a decision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EvidenceIs {
    /// What was frozen.
    TheSame,
    /// Different from what was frozen.
    Changed,
    /// Not to be compared: nothing was frozen, or it does not say what it rested on.
    Unknown,
}

/// The newest decision of a trial, and whether the evidence is still the one it was signed on.
pub fn newest_decision(records: &TrialRecords) -> Option<(&Decision, EvidenceIs)> {
    let newest = *records.decisions_newest_first().first()?;
    let frozen = Frozen::read(&newest.snapshot);
    let changes = frozen.and_then(|then| {
        let (inputs, methods) = (frozen::inputs(records, &[]), frozen::method_texts(records));
        evidence_changes(&then, &inputs, &methods, records)
    });
    let evidence = match changes {
        None => EvidenceIs::Unknown,
        Some(changes) if changes.is_empty() => EvidenceIs::TheSame,
        Some(_) => EvidenceIs::Changed,
    };
    Some((newest, evidence))
}

impl App {
    /// The decisions of a trial, and what a further signature needs.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn decision_view(&self, trial: &TrialSlug) -> Result<DecisionView, AppError> {
        let (comparison, state) = self.state(trial).await?;
        let decisions: Vec<DecisionRecord> = comparison
            .records
            .decisions_newest_first()
            .into_iter()
            .map(|decision| DecisionRecord {
                decision: decision.clone(),
                frozen: Frozen::read(&decision.snapshot),
            })
            .collect();
        let state = state.to_json()?;
        let seen = frozen::seen(&state, decisions.len());
        let newest = decisions.iter().find_map(|record| record.frozen.as_ref());
        let both = newest.zip(Frozen::of_json(state));
        Ok(DecisionView {
            grave: grave_cautions(&comparison.standing),
            seen,
            since: both.map(|(then, now)| since::since(then, &now, &comparison.records)),
            today: today(),
            decisions,
            comparison,
        })
    }

    /// Records a decision with everything that stands now, if it is what the form showed.
    ///
    /// # Errors
    /// `NoSuchTrial`.
    pub async fn sign_decision(&self, trial: &TrialSlug, draft: &DecisionDraft) -> Result<Signing, AppError> {
        for _ in 0..MOST_TRIES {
            let writes = self.store().writes().await?;
            let (comparison, state) = self.state(trial).await?;
            let records = &comparison.records;
            let decisions_before = records.decisions.len();
            if frozen::seen(&state.to_json()?, decisions_before) != draft.seen {
                return Ok(Signing::SeenOther);
            }
            let grave = grave_cautions(&comparison.standing);
            let decision = match read_draft(draft, records, &grave, today()) {
                Ok(decision) => decision,
                Err(faults) => return Ok(Signing::Faulty(faults)),
            };
            let signature = Signature {
                signed_at: now(),
                acknowledged: grave
                    .iter()
                    .filter_map(|caution| acknowledged(draft, caution))
                    .collect(),
                decisions_before,
            };
            let signed = Snapshot {
                signature: Some(signature),
                ..state
            };
            let signed = Decision {
                snapshot: signed.to_json()?.to_string(),
                ..decision
            };
            match self.store().insert_decision(&signed, writes).await {
                Ok(()) => return Ok(Signing::Signed),
                Err(StoreError::NotCurrent(_)) => {}
                Err(other) => return Err(other.into()),
            }
        }
        Ok(Signing::SeenOther)
    }

    async fn state(&self, trial: &TrialSlug) -> Result<(Comparison, Snapshot<Value>), AppError> {
        let comparison = self.compare(trial, &WhatIf::default()).await?;
        let own_methods = self.store().read_own_methods().await?;
        let state = Snapshot::of(&comparison, &own_methods);
        Ok((comparison, state))
    }
}

fn acknowledged(draft: &DecisionDraft, caution: &GraveCaution) -> Option<Acknowledged> {
    Some(Acknowledged {
        kind: caution.kind.to_string(),
        test: caution.test.clone(),
        severity: caution.severity.word().to_string(),
        heading: caution.heading.clone(),
        text: caution.text.clone(),
        sentence: sentence(draft, caution).ok()?,
    })
}
