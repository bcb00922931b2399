//! Components over the whole archive: where blends that hold one stand in each test, by how much of it they hold.

use crate::app::{App, AppError};
use crate::records::{Blend, BlendCode, Component, Role, TestKey};
use crate::standing::{Estimate, Position, RunReading, Strip};
use crate::stats::trend::{NoTrend, Point, Trend, trend};
use crate::store::TrialHead;
use std::collections::BTreeMap;

/// Trials that a component's page judges at most, the latest ones.
pub const COMPONENT_TRIALS: usize = 40;

/// A component in a list.
#[derive(Clone, Debug, PartialEq)]
pub struct ComponentLine {
    /// The component.
    pub component: Component,
    /// How many blends hold it.
    pub blends: usize,
    /// Least and greatest share, wt%; `None` where no blend holds it.
    pub shares_pct: Option<(f64, f64)>,
}

/// What a page of a component is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Holds {
    /// One component.
    Component(String),
    /// All components of a class together.
    Class(String),
}

/// A blend in one test of one trial.
#[derive(Clone, Debug, PartialEq)]
pub struct ComponentPoint {
    /// The blend.
    pub blend: BlendCode,
    /// Place of the trial in the view.
    pub trial: usize,
    /// Treat rate, wt%.
    pub rate_pct: f64,
    /// Where it is drawn.
    pub position: Position,
    /// Its estimate.
    pub estimate: Estimate,
    /// What its runs read.
    pub readings: Vec<RunReading>,
}

/// One test over all trials.
#[derive(Clone, Debug, PartialEq)]
pub struct ComponentTest {
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Quantity label.
    pub label: String,
    /// Standard.
    pub standard: String,
    /// How it is drawn, after its latest trial.
    pub strip: Strip,
    /// By treat rate.
    pub points: Vec<ComponentPoint>,
    /// Whether the position rises or falls with the treat rate within the trials.
    pub trend: Result<Trend, NoTrend>,
}

/// A component or a class over the archive.
#[derive(Clone, Debug, PartialEq)]
pub struct ComponentView {
    /// What it is about.
    pub holds: Holds,
    /// The components that count.
    pub components: Vec<Component>,
    /// Blends that hold it, with their treat rate, the greatest first.
    pub blends: Vec<(Blend, f64)>,
    /// The trials that were judged, the latest first.
    pub trials: Vec<TrialHead>,
    /// How many trials have such a blend.
    pub all_trials: usize,
    /// Every test that such a blend was run in, that with most points first.
    pub tests: Vec<ComponentTest>,
}

impl App {
    /// All components, by class and name.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn components(&self) -> Result<Vec<ComponentLine>, AppError> {
        let blends = self.store().read_blends().await?;
        let mut lines: Vec<ComponentLine> = Vec::new();
        for component in self.store().read_components().await? {
            let holds = Holds::Component(component.name.to_string());
            let held = holding(&blends, &holds, std::slice::from_ref(&component));
            let rates = held.iter().map(|(_, rate)| *rate);
            let ends = rates.fold(None, |ends: Option<(f64, f64)>, rate| {
                Some(ends.map_or((rate, rate), |(lo, hi)| (lo.min(rate), hi.max(rate))))
            });
            lines.push(ComponentLine {
                component,
                blends: held.len(),
                shares_pct: ends,
            });
        }
        lines.sort_by_cached_key(|line| (line.component.class.clone(), line.component.name.to_string()));
        Ok(lines)
    }

    /// A component or class; `None` where there is none of that name.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn component(&self, holds: &Holds) -> Result<Option<ComponentView>, AppError> {
        let counts = |component: &Component| match holds {
            Holds::Component(name) => component.name.as_str() == name,
            Holds::Class(class) => &component.class == class,
        };
        let all = self.store().read_components().await?;
        let components: Vec<Component> = all.into_iter().filter(|component| counts(component)).collect();
        if components.is_empty() {
            return Ok(None);
        }
        let blends = holding(&self.store().read_blends().await?, holds, &components);
        let heads = self
            .trials_with(blends.iter().map(|(blend, _)| &blend.code))
            .await?;
        let all_trials = heads.len();
        let trials: Vec<TrialHead> = heads.into_iter().take(COMPONENT_TRIALS).collect();
        let tests = self.tests_of(&trials, &blends).await?;
        Ok(Some(ComponentView {
            holds: holds.clone(),
            components,
            blends,
            trials,
            all_trials,
            tests,
        }))
    }

    /// Every test of the trials with the blends in it. A known-good or known-poor oil stands at its own end of the
    /// scale by definition, so that its place says nothing.
    async fn tests_of(
        &self,
        trials: &[TrialHead],
        blends: &[(Blend, f64)],
    ) -> Result<Vec<ComponentTest>, AppError> {
        let mut tests: BTreeMap<TestKey, ComponentTest> = BTreeMap::new();
        for (place, head) in trials.iter().enumerate() {
            let standing = self.standing_as_it_is(&head.trial).await?;
            let parts = self.store().read_parts(&head.trial).await?;
            let fixes_the_scale = |code: &BlendCode| {
                parts
                    .iter()
                    .any(|part| &part.blend == code && part.role == Role::Reference)
            };
            for test in &standing.tests {
                let Some(strip) = test.strip.as_ref() else {
                    continue;
                };
                let of_blend = |(blend, rate): &(Blend, f64)| {
                    Some(ComponentPoint {
                        blend: blend.code.clone(),
                        trial: place,
                        rate_pct: *rate,
                        position: *strip.marks.get(&blend.code)?,
                        estimate: *test.estimates.get(&blend.code)?,
                        readings: test.readings.get(&blend.code).cloned().unwrap_or_default(),
                    })
                };
                let free = blends.iter().filter(|(blend, _)| !fixes_the_scale(&blend.code));
                let points: Vec<ComponentPoint> = free.filter_map(of_blend).collect();
                if points.is_empty() {
                    continue;
                }
                let known = tests.entry(test.key.clone()).or_insert_with(|| ComponentTest {
                    key: test.key.clone(),
                    title: test.title.clone(),
                    label: test.label.clone(),
                    standard: test.standard.clone(),
                    strip: strip.clone(),
                    points: Vec::new(),
                    trend: Err(NoTrend::TooFew),
                });
                known.points.extend(points);
            }
        }
        let mut tests: Vec<ComponentTest> = tests
            .into_values()
            .map(|test| with_trend(test, trials.len()))
            .collect();
        tests.sort_by(|a, b| b.points.len().cmp(&a.points.len()).then(a.key.cmp(&b.key)));
        Ok(tests)
    }
}

fn with_trend(mut test: ComponentTest, trials: usize) -> ComponentTest {
    test.points.sort_by(|a, b| {
        let by_rate = b.rate_pct.total_cmp(&a.rate_pct);
        by_rate.then(a.trial.cmp(&b.trial)).then(a.blend.cmp(&b.blend))
    });
    let of_trial = |trial: usize| {
        let own = test.points.iter().filter(move |point| point.trial == trial);
        own.map(|point| Point {
            dose: point.rate_pct,
            value: point.position.mean,
        })
        .collect::<Vec<Point>>()
    };
    let groups: Vec<Vec<Point>> = (0..trials).map(of_trial).collect();
    test.trend = trend(&groups);
    test
}

/// Blends that hold some of it, with how much, the greatest first.
fn holding(blends: &[Blend], holds: &Holds, components: &[Component]) -> Vec<(Blend, f64)> {
    let counts = |name: &str| match holds {
        Holds::Component(wanted) => name == wanted,
        Holds::Class(_) => components.iter().any(|component| component.name.as_str() == name),
    };
    let rate = |blend: &Blend| -> f64 {
        let parts = blend.composition.iter().filter(|(name, _)| counts(name.as_str()));
        parts.map(|(_, share)| share).sum()
    };
    let held = blends.iter().map(|blend| (blend.clone(), rate(blend)));
    let mut held: Vec<(Blend, f64)> = held.filter(|(_, rate)| *rate > 0.0).collect();
    held.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.code.cmp(&b.0.code)));
    held
}
