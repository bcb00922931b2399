//! How the tests of a trial resemble its machine, made arguable: what each term counts, changing that with a reason,
//! and whether it decides anything.

use crate::desk::corrections::reason;
use crate::desk::judged::sensitive;
use crate::desk::{Comparison, Desk, DeskError};
use crate::intake::read_number;
use crate::records::{ScaleFault, Term, TermScale, TrialSlug};
use crate::resemblance::{Scale, Scales};
use crate::standing::{MovedLine, Sensitivity, WhatIf};
use crate::units::number_words;
use std::sync::Arc;

/// What one term counts, with what it would count by default and why it differs.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleLine {
    /// The term.
    pub term: Term,
    /// What it counts in this view.
    pub now: Scale,
    /// What it counts in the trial.
    pub of_trial: Scale,
    /// The default.
    pub usual: Scale,
    /// The newest change in this trial, with its reason.
    pub newest: Option<TermScale>,
}

impl ScaleLine {
    /// Whether the trial departs from the default here.
    pub fn is_changed(&self) -> bool {
        self.of_trial != self.usual
    }

    /// Whether this view departs from the trial here.
    pub fn is_asked(&self) -> bool {
        self.now != self.of_trial
    }
}

/// The ten terms of a comparison, in their order.
pub fn scale_lines(comparison: &Comparison) -> Vec<ScaleLine> {
    scale_lines_of(&comparison.dossier.term_scales, &comparison.what_if)
}

/// The same, from the changes that a trial keeps and a question.
pub(crate) fn scale_lines_of(changes: &[TermScale], what_if: &WhatIf) -> Vec<ScaleLine> {
    let (usual, of_trial) = (Scales::default(), Scales::of_trial(changes));
    let now = what_if.scales_over(changes);
    let line = |term| ScaleLine {
        term,
        now: now.of(term),
        of_trial: of_trial.of(term),
        usual: usual.of(term),
        newest: TermScale::newest(changes, term).cloned(),
    };
    Term::ALL.into_iter().map(line).collect()
}

/// `importance 3, halves at factor 2`.
pub fn scale_words(term: Term, scale: Scale) -> String {
    let importance = number_words(scale.importance);
    match scale.halving {
        Some(said) => format!(
            "importance {importance}, halves at {}",
            term.measure().words(&number_words(said))
        ),
        None => format!("importance {importance}"),
    }
}

/// What the trial counts otherwise than by default, in one sentence with the reasons; empty where nothing.
pub fn departures(lines: &[ScaleLine]) -> String {
    let changed = lines.iter().filter(|line| line.is_changed());
    let words: Vec<String> = changed
        .map(|line| {
            let reason = line.newest.as_ref().map_or("", |newest| newest.reason.as_str());
            format!(
                "{}: {} instead of {} ({reason})",
                line.term.label(),
                scale_words(line.term, line.of_trial),
                scale_words(line.term, line.usual)
            )
        })
        .collect();
    if words.is_empty() {
        String::new()
    } else {
        format!(
            "This trial counts likeness otherwise than usual. {}.",
            words.join("; ")
        )
    }
}

/// A trial's resemblance with what it decides.
#[derive(Clone, Debug, PartialEq)]
pub struct ResemblanceView {
    /// The comparison, whose tests carry the ten terms.
    pub comparison: Comparison,
    /// What each term counts.
    pub scales: Vec<ScaleLine>,
    /// Who is in front when single numbers are doubled or halved.
    pub sensitivity: Arc<Sensitivity>,
}

/// A change of a term's scale as it was typed; what is left empty stays as it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ScaleChange {
    /// The term's word.
    pub term: String,
    /// Importance.
    pub importance: String,
    /// Halving distance in the term's own measure.
    pub halving: String,
    /// Why.
    pub reason: String,
}

impl Desk {
    /// How the tests of a trial resemble its machine under a question, and whether that decides anything.
    ///
    /// # Errors
    /// Those of [`Desk::compare`].
    pub async fn resemblance(
        &self,
        trial: &TrialSlug,
        what_if: &WhatIf,
    ) -> Result<ResemblanceView, DeskError> {
        let comparison = self.compare(trial, what_if).await?;
        let sensitivity = self.sensitivity(&comparison).await?;
        Ok(ResemblanceView {
            scales: scale_lines(&comparison),
            comparison,
            sensitivity,
        })
    }

    async fn sensitivity(&self, comparison: &Comparison) -> Result<Arc<Sensitivity>, DeskError> {
        let writes = self.store().writes().await?;
        let key = (
            comparison.dossier.trial.slug.clone(),
            format!("{:?}", comparison.what_if),
        );
        let dossier = comparison.dossier.clone();
        if let Some(known) = self.sensitivities.of_the_same(writes, &key, &dossier) {
            return Ok(known);
        }
        let asked = comparison.what_if.clone();
        let found = Arc::new(sensitive(dossier.clone(), asked, self.workings.clone()).await?);
        self.sensitivities.put(writes, key, dossier, found.clone());
        Ok(found)
    }

    /// Keeps another scale of one term for a trial. Earlier ones stay; the newest counts.
    ///
    /// # Errors
    /// `NoSuchTrial`; `Question` with the field that cannot be used; `NotCurrent` where a newer change is there.
    pub async fn change_scale(&self, trial: &TrialSlug, change: &ScaleChange) -> Result<(), DeskError> {
        let dossier = self.dossier(trial).await?;
        let term = Term::from_word(&change.term).ok_or_else(|| {
            let problem = format!("is not one of the ten terms; write one of {}", Term::allowed());
            DeskError::question("term", problem)
        })?;
        let there = Scales::of_trial(&dossier.term_scales).of(term);
        let importance = typed("importance", &change.importance)?;
        let halving = typed("halving", &change.halving)?;
        if importance.is_none() && halving.is_none() {
            let problem = "is empty, and so is the halving distance; write what is to change";
            return Err(DeskError::question("importance", problem));
        }
        let asked = Scale {
            importance: importance.unwrap_or(there.importance),
            halving: halving.or(there.halving),
        };
        TermScale::checked_importance(asked.importance).map_err(refused)?;
        if let Some(halving) = halving {
            TermScale::checked_halving(term, halving).map_err(refused)?;
        }
        if asked == there {
            return Err(DeskError::question(
                "importance",
                "is what counts in this trial already",
            ));
        }
        let now = TermScale::moment(&jiff::Timestamp::now().to_string());
        let scale = TermScale {
            trial: trial.clone(),
            term,
            importance: asked.importance,
            halving: asked.halving,
            reason: reason(&change.reason)?,
            entered_at: now.unwrap_or_default(),
        };
        Ok(self.store().insert_term_scale(&scale).await?)
    }
}

fn typed(field: &str, text: &str) -> Result<Option<f64>, DeskError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    match read_number(text.trim()) {
        Ok(number) => Ok(Some(number)),
        Err(problem) => Err(DeskError::question(field, problem.to_string())),
    }
}

fn refused(fault: ScaleFault) -> DeskError {
    DeskError::question(fault.field(), fault.to_string())
}

/// Refuses a question about scales that no term can have.
pub(crate) fn refuse_impossible_scales(what_if: &WhatIf) -> Result<(), DeskError> {
    for (term, asked) in &what_if.scales {
        let refuse =
            |fault: ScaleFault| DeskError::question(&format!("{}.{term}", fault.field()), fault.to_string());
        if let Some(importance) = asked.importance {
            TermScale::checked_importance(importance).map_err(refuse)?;
        }
        if let Some(halving) = asked.halving {
            TermScale::checked_halving(*term, halving).map_err(refuse)?;
        }
    }
    Ok(())
}

/// The sentence that says what single changes by a factor of two decide.
pub fn finding(sensitivity: &Sensitivity) -> String {
    let Some(front) = &sensitivity.front_runner else {
        return "Nobody is in front as it is: there is nothing that a change of these numbers could turn round."
            .to_string();
    };
    let lines = &sensitivity.lines;
    let count = |changes: fn(&MovedLine) -> bool| lines.iter().filter(|line| changes(line)).count();
    let (front_changes, leader_changes) = (count(|l| l.changes_front), count(|l| l.changes_leader));
    let all = lines.len();
    let who = match front_changes {
        0 => "No single change by a factor of two changes who is in front".to_string(),
        1 => format!("One of {all} single changes by a factor of two puts another blend in front"),
        some => format!("{some} of {all} single changes by a factor of two put another blend in front"),
    };
    let leads = match (&sensitivity.leader, leader_changes) {
        (Some(leader), 0) => format!(", and {leader} may be called the leader under each of them"),
        (None, 0) => ", and no leader can be named under any of them".to_string(),
        (Some(leader), some) => format!("; under {some} of them {leader} may no longer be called the leader"),
        (None, some) => format!("; under {some} of them a leader could be named, as it is none can"),
    };
    let shares = lines.iter().filter_map(|line| line.p_best);
    let (least, most) = shares.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), share| {
        (least.min(share), most.max(share))
    });
    let range = if least.is_finite() {
        let (least, most) = (
            crate::desk::words::per_cent(least),
            crate::desk::words::per_cent(most),
        );
        let shares = if least == most {
            least
        } else {
            format!("{least} to {most}")
        };
        format!(" {front} ranks first in {shares} of draws under them.")
    } else {
        String::new()
    };
    format!("{who}{leads}.{range}")
}
