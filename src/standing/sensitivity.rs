//! Whether our judgement of what makes two contacts alike decides who is in front: every importance and every halving
//! distance doubled and halved, one at a time, and the trial judged anew on the same draws.

use crate::records::{BlendCode, TrialRecords};
use crate::resemblance::{Scales, Term};
use crate::standing::fit_cache::FitCache;
use crate::standing::judge::judge_lead;
use crate::standing::prepare::{Case, Departure, prepare};
use crate::standing::{Standing, WhatIf};
use rayon::prelude::*;
use serde::Serialize;

/// What of a term's scale is moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, strum::IntoStaticStr)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
pub enum Moved {
    /// Its importance.
    Importance,
    /// The distance at which similarity halves.
    Halving,
}

impl Moved {
    /// Its word in JSON and in a query.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// One number of one term taken by a factor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tried {
    /// The term.
    pub term: Term,
    /// Which of its numbers.
    #[serde(rename = "what")]
    pub moved: Moved,
    /// The factor: 2 or 0.5. On a halving distance it acts on the term's scale: a factor becomes its square or its root.
    pub times: f64,
    /// The number as it is, in the term's own measure.
    pub from: f64,
    /// The number as it was tried.
    pub to: f64,
}

impl Tried {
    /// The question that tries it.
    pub fn asked(&self, what_if: &WhatIf) -> WhatIf {
        let mut asked = what_if.clone();
        let scale = asked.scales.entry(self.term).or_default();
        match self.moved {
            Moved::Importance => scale.importance = Some(self.to),
            Moved::Halving => scale.halving = Some(self.to),
        }
        asked
    }
}

/// Who is in front when one number of one term is taken by a factor.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MovedLine {
    /// What was tried.
    #[serde(flatten)]
    pub tried: Tried,
    /// Who is in front then.
    pub front_runner: Option<BlendCode>,
    /// Who may be called the leader then.
    pub leader: Option<BlendCode>,
    /// Share of draws in which the front-runner of the trial as it is ranks first then.
    pub p_best: Option<f64>,
    /// Whether another blend is in front.
    #[serde(rename = "changes_front_runner")]
    pub changes_front: bool,
    /// Whether another blend, or none, may be called the leader.
    pub changes_leader: bool,
}

/// The standing with every number of the scales doubled and halved, one at a time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sensitivity {
    /// Who is in front as it is.
    pub front_runner: Option<BlendCode>,
    /// Who may be called the leader as it is.
    pub leader: Option<BlendCode>,
    /// Share of draws in which the front-runner ranks first.
    pub p_best: Option<f64>,
    /// Terms in their order; importance before halving distance, doubled before halved.
    #[serde(rename = "changes")]
    pub lines: Vec<MovedLine>,
}

/// Judges a trial under a question with each importance and halving distance doubled and halved. An importance of 0
/// stays what it is: it is left out.
pub fn sensitivity(records: &TrialRecords, what_if: &WhatIf, fit_cache: &FitCache) -> Sensitivity {
    let of_records = fit_cache.of(records, what_if);
    let case = Case {
        records,
        what_if,
        fits: &fit_cache.fits,
        known: &of_records,
    };
    let scales = what_if.scales_over(&records.term_scales);
    let prepared = prepare(case, Departure::NONE);
    let as_it_is = judge_lead(case, &prepared);
    let p_best = |standing: &Standing| {
        let front = as_it_is.front_runner.as_ref()?;
        standing.candidate(front)?.p_best
    };
    let line = |tried: &Tried| {
        let asked = tried.asked(what_if);
        let moved = prepared.on_scales(&asked.scales_over(&records.term_scales));
        let then = judge_lead(
            Case {
                what_if: &asked,
                ..case
            },
            &moved,
        );
        MovedLine {
            tried: *tried,
            p_best: p_best(&then),
            changes_front: then.front_runner != as_it_is.front_runner,
            changes_leader: then.leader != as_it_is.leader,
            front_runner: then.front_runner,
            leader: then.leader,
        }
    };
    Sensitivity {
        lines: trials(&scales).par_iter().map(line).collect(),
        p_best: p_best(&as_it_is),
        front_runner: as_it_is.front_runner.clone(),
        leader: as_it_is.leader.clone(),
    }
}

fn trials(scales: &Scales) -> Vec<Tried> {
    let mut trials = Vec::new();
    for term in Term::ALL {
        let scale = scales.of(term);
        let importance = Some(scale.importance).filter(|importance| *importance > 0.0);
        for (moved, from) in [(Moved::Importance, importance), (Moved::Halving, scale.halving)] {
            for times in [2.0, 0.5] {
                trials.extend(from.map(|from| Tried {
                    term,
                    moved,
                    times,
                    from,
                    to: match moved {
                        Moved::Importance => from * times,
                        Moved::Halving => term.measure().times(from, times),
                    },
                }));
            }
        }
    }
    trials
}
