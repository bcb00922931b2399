//! Blends: composition, viscosity, family, and where each member of the family stands in the tests that were run.

use crate::app::lineage::{Change, Lineage, changes, lineage};
use crate::app::{App, AppError};
use crate::lubricant::viscosity_index;
use crate::records::{
    Blend, BlendCode, BlendKind, Component, ComponentName, Decision, Outcome, TestKey, TrialBlend,
    is_whole_blend,
};
use crate::standing::{Answer, Estimate, GateStanding, Position, RunReading, Standing, Strip, TestStanding};
use crate::store::TrialHead;
use std::collections::BTreeMap;

/// Trials that a family's page judges at most, the latest ones.
pub const TRIALS_JUDGED: usize = 12;

/// A blend in a list.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendLine {
    /// The blend.
    pub blend: Blend,
    /// How many trials it takes part in.
    pub trials: usize,
}

/// Whether a test can see the change from one member to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    /// The change is larger than the difference that the test's precision leaves open.
    Larger,
    /// It is not.
    TooSmall,
    /// Both lie beyond the end of the test's scale.
    BothBeyondTheScale,
    /// Nothing says how far results of the test scatter.
    PrecisionUnknown,
}

impl Sight {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Larger => "larger than the test can see",
            Self::TooSmall => "the test cannot see this step",
            Self::BothBeyondTheScale => "both beyond the scale: the test cannot see this step",
            Self::PrecisionUnknown => "no precision is known: whether this is a step cannot be said",
        }
    }
}

/// A member of the family in one test.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Its place in the family.
    pub member: usize,
    /// Where it is drawn.
    pub position: Position,
    /// Its estimate.
    pub estimate: Estimate,
    /// What its runs read.
    pub readings: Vec<RunReading>,
}

/// From one member of the family to the next that was run in the test.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Place of the earlier member in the family.
    pub from: usize,
    /// Place of the later one.
    pub to: usize,
    /// Change of position; positive is better.
    pub moved: f64,
    /// Whether the test can see it.
    pub sight: Sight,
    /// What changed in the composition; `None` where one of the two has none on record.
    pub changes: Option<Vec<Change>>,
}

/// One test of one trial with the family in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trajectory {
    /// The trial.
    pub trial: TrialHead,
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// The weight of the test in the trial.
    pub weight: f64,
    /// How it is drawn.
    pub strip: Strip,
    /// The members that were run, in the family's order.
    pub stops: Vec<Stop>,
    /// The steps between them.
    pub steps: Vec<Step>,
}

/// How a blend came out in a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct Placing {
    /// The trial.
    pub trial: TrialHead,
    /// Where it stands.
    pub place: Place,
    /// The requirements that it was held against.
    pub requirements: Vec<GateStanding>,
}

/// Where a candidate stands in its trial.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// It leads, with this share of first places.
    Leads(f64),
    /// It comes first with this share, and nobody leads.
    First(f64),
    /// Another comes first.
    Behind {
        /// Its own share of first places.
        share: f64,
        /// Who comes first.
        front: BlendCode,
        /// Whether that one leads.
        leads: bool,
    },
    /// It failed a requirement.
    Rejected,
    /// The others are held against it.
    HeldAgainst,
    /// Whether it is no worse than this blend.
    NoWorse(Answer, BlendCode),
    /// Nothing is weighed.
    Unplaced,
}

/// A blend with its family.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendView {
    /// The blend.
    pub blend: Blend,
    /// Class of each component, in the order of the composition.
    pub classes: Vec<String>,
    /// Sum of the components, wt%; `None` without composition.
    pub sum_pct: Option<f64>,
    /// Viscosity index (ASTM D2270) of an oil with both viscosities.
    pub viscosity_index: Option<f64>,
    /// Its family.
    pub lineage: Lineage,
    /// Trials it takes part in, the latest first, with its part.
    pub trials: Vec<(TrialHead, TrialBlend)>,
    /// The family in every test of the trials that hold a member, those of several members first.
    pub trajectories: Vec<Trajectory>,
    /// How it came out in those of its trials that were judged.
    pub placings: Vec<Placing>,
    /// How many trials hold a member of the family.
    pub family_trials: usize,
    /// What was decided on it in those trials, the oldest first.
    pub decisions: Vec<Decision>,
    /// What machines did with it.
    pub outcomes: Vec<Outcome>,
}

impl BlendView {
    /// Whether the components do not sum to 100 wt%.
    pub fn sum_is_off(&self) -> bool {
        self.sum_pct.is_some_and(|sum| !is_whole_blend(sum))
    }
}

impl App {
    /// Blends in whose texts or components every word stands, in the order in which they were entered.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn blends(&self, words: &str) -> Result<Vec<BlendLine>, AppError> {
        let counts = self.store().count_trials_of_blends().await?;
        let counts: BTreeMap<BlendCode, usize> = counts.into_iter().collect();
        let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let blends = self.store().read_blends().await?.into_iter();
        let found = blends.filter(|blend| {
            let text = searched(blend);
            wanted.iter().all(|word| text.contains(word))
        });
        Ok(found
            .map(|blend| BlendLine {
                trials: counts.get(&blend.code).copied().unwrap_or(0),
                blend,
            })
            .collect())
    }

    /// A blend; `None` where there is none of that code.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn blend(&self, code: &BlendCode) -> Result<Option<BlendView>, AppError> {
        let blends = self.store().read_blends().await?;
        let Some(lineage) = lineage(code, &blends) else {
            return Ok(None);
        };
        let Some(blend) = blends.into_iter().find(|blend| &blend.code == code) else {
            return Ok(None);
        };
        let mut trials = Vec::new();
        for head in self.store().trials_with_blend(code).await? {
            let parts = self.store().read_parts(&head.trial).await?;
            let own = parts.into_iter().find(|part| &part.blend == code);
            trials.extend(own.map(|part| (head, part)));
        }
        let members = lineage.members.iter();
        let heads = self.trials_with(members.map(|member| &member.blend.code)).await?;
        let (mut trajectories, mut placings) = (Vec::new(), Vec::new());
        for head in heads.iter().take(TRIALS_JUDGED) {
            let standing = self.standing_as_it_is(&head.trial).await?;
            placings.extend(placing(head, &standing, code));
            let tests = standing.tests.iter();
            trajectories.extend(tests.filter_map(|test| trajectory(head, test, &lineage)));
        }
        trajectories.sort_by_key(|one| one.stops.len() < 2);
        let components = self.store().read_components().await?;
        let outcomes = self.store().read_outcomes().await?.into_iter();
        let sum: f64 = blend.composition.iter().map(|(_, share)| share).sum();
        Ok(Some(BlendView {
            classes: classes(&blend, &components),
            sum_pct: (!blend.composition.is_empty()).then_some(sum),
            viscosity_index: index(&blend),
            lineage,
            trials,
            trajectories,
            placings,
            family_trials: heads.len(),
            decisions: self.store().decisions_on_blend(code).await?,
            outcomes: outcomes.filter(|outcome| &outcome.blend == code).collect(),
            blend,
        }))
    }
}

fn searched(blend: &Blend) -> String {
    let mut text = [blend.code.as_str(), &blend.name, &blend.change, &blend.note].join(" ");
    for (component, _) in &blend.composition {
        text.push(' ');
        text.push_str(component.as_str());
    }
    text.to_lowercase()
}

fn classes(blend: &Blend, components: &[Component]) -> Vec<String> {
    let class = |(name, _): &(ComponentName, f64)| {
        let component = components.iter().find(|component| &component.name == name);
        component.map_or_else(String::new, |component| component.class.clone())
    };
    blend.composition.iter().map(class).collect()
}

/// Of an oil only: a grease's viscosities are those of its base oil, a control fluid has no index that means anything.
fn index(blend: &Blend) -> Option<f64> {
    let is_oil = blend.kind == BlendKind::Oil;
    let both = blend.kv40_mm2_s.zip(blend.kv100_mm2_s).filter(|_| is_oil)?;
    viscosity_index(both.0, both.1).ok()
}

/// `None` where it is no candidate.
fn placing(head: &TrialHead, standing: &Standing, code: &BlendCode) -> Option<Placing> {
    let candidate = standing.candidate(code)?;
    let equivalence = standing.equivalence.as_ref();
    let no_worse = equivalence.and_then(|equivalence| {
        if &equivalence.against == code {
            return Some(Place::HeldAgainst);
        }
        let mut candidates = equivalence.candidates.iter();
        let found = candidates.find(|one| &one.blend == code)?;
        Some(Place::NoWorse(found.answer, equivalence.against.clone()))
    });
    let place = match (&standing.front_runner, candidate.p_best) {
        _ if candidate.is_out() => Place::Rejected,
        (Some(front), Some(share)) if front == code && standing.leader.is_some() => Place::Leads(share),
        (Some(front), Some(share)) if front == code => Place::First(share),
        (Some(front), Some(share)) => Place::Behind {
            share,
            front: front.clone(),
            leads: standing.leader.is_some(),
        },
        _ => Place::Unplaced,
    };
    Some(Placing {
        trial: head.clone(),
        place: no_worse.filter(|_| !candidate.is_out()).unwrap_or(place),
        requirements: (standing.gates.iter())
            .filter(|gate| &gate.blend == code)
            .cloned()
            .collect(),
    })
}

fn trajectory(head: &TrialHead, test: &TestStanding, lineage: &Lineage) -> Option<Trajectory> {
    let strip = test.strip.as_ref()?;
    let stops: Vec<Stop> = lineage
        .members
        .iter()
        .enumerate()
        .filter_map(|(member, one)| {
            Some(Stop {
                member,
                position: *strip.marks.get(&one.blend.code)?,
                estimate: *test.estimates.get(&one.blend.code)?,
                readings: test.readings.get(&one.blend.code).cloned().unwrap_or_default(),
            })
        })
        .collect();
    if stops.is_empty() {
        return None;
    }
    Some(Trajectory {
        trial: head.clone(),
        key: test.key.clone(),
        title: test.title.clone(),
        label: test.label.clone(),
        standard: test.standard.clone(),
        weight: test.weight,
        steps: steps(&stops, strip, lineage),
        strip: strip.clone(),
        stops,
    })
}

/// Each stop after its nearest ancestor that was run too.
fn steps(stops: &[Stop], strip: &Strip, lineage: &Lineage) -> Vec<Step> {
    let stop_of = |member: usize| stops.iter().find(|stop| stop.member == member);
    let steps = stops.iter().filter_map(|to| {
        let mut ancestor = lineage.members[to.member].parent;
        while let Some(place) = ancestor {
            if let Some(from) = stop_of(place) {
                return Some(step(from, to, strip, lineage));
            }
            ancestor = lineage.members[place].parent;
        }
        None
    });
    steps.collect()
}

fn step(from: &Stop, to: &Stop, strip: &Strip, lineage: &Lineage) -> Step {
    let moved = to.position.mean - from.position.mean;
    let sight = match (from.estimate.capped && to.estimate.capped, strip.band) {
        (true, _) => Sight::BothBeyondTheScale,
        (_, None) => Sight::PrecisionUnknown,
        (_, Some(band)) if moved.abs() > band => Sight::Larger,
        (_, Some(_)) => Sight::TooSmall,
    };
    let blend = |stop: &Stop| &lineage.members[stop.member].blend;
    Step {
        from: from.member,
        to: to.member,
        moved,
        sight,
        changes: changes(blend(from), blend(to)),
    }
}
