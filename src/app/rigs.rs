//! Rigs: the control charts of their reference oils, and which results fall where a rig was out of control.

use crate::app::judged::apart;
use crate::app::{App, AppError};
use crate::catalogue::MethodId;
use crate::intake::{read_date, shown};
use crate::prose::faults::period_fault;
use crate::records::{BasePeriod, BlendCode, ResultStatus, Rig, RigId, RunResult, TestKey, TrialSlug};
use crate::standing::{OutOfControlSpan, RigChart, rig_chart};
use crate::store::TrialFilter;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The reference oils of every trial.
type ReferenceOils = Arc<BTreeSet<(TrialSlug, BlendCode)>>;

/// The days of a base period as a form gives them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypedPeriod {
    /// The first.
    pub from: String,
    /// The last.
    pub to: String,
}

/// One quantity that a rig measures.
#[derive(Clone, Debug, PartialEq)]
pub struct RigQuantity {
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Standard.
    pub standard: String,
    /// The quantity, with its label, unit and scale.
    pub quantity: crate::catalogue::Quantity,
    /// Results of any blend on this rig.
    pub results: usize,
    /// The chart of its reference oil; `None` where nothing can be charted.
    pub chart: Option<RigChart>,
    /// Current results of other blends that lie in an out-of-control span.
    pub marked: Vec<(RunResult, OutOfControlSpan)>,
}

/// A rig with its charts.
#[derive(Clone, Debug, PartialEq)]
pub struct RigView {
    /// The rig.
    pub rig: Rig,
    /// Quantities that were measured on it, in the order of its methods.
    pub quantities: Vec<RigQuantity>,
    /// Results on it, all quantities together.
    pub results: usize,
    /// The title of each trial that has a marked result; empty in the list of all rigs.
    pub titles: BTreeMap<TrialSlug, String>,
    /// Whether some of its results belong to an invented trial.
    pub is_invented: bool,
}

impl App {
    /// All rigs.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn rigs(&self) -> Result<Vec<RigView>, AppError> {
        let mut views = Vec::new();
        let oils = self.reference_oils().await?;
        for rig in self.store().read_rigs().await? {
            views.push(self.rig_view(rig, &oils).await?);
        }
        Ok(views)
    }

    /// Whether the file holds invented trials and no other.
    ///
    /// # Errors
    /// `Store` where the file cannot be read.
    pub async fn holds_invented(&self) -> Result<bool, AppError> {
        Ok(self.store().has_invented_trials(None).await?)
    }

    /// A rig; `None` where there is none of that name.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn rig(&self, id: &RigId) -> Result<Option<RigView>, AppError> {
        let rigs = self.store().read_rigs().await?;
        match rigs.into_iter().find(|rig| &rig.id == id) {
            Some(rig) => {
                let mut view = self.rig_view(rig, &self.reference_oils().await?).await?;
                view.titles = self.titles_of_marked(&view.quantities).await?;
                Ok(Some(view))
            }
            None => Ok(None),
        }
    }

    /// The titles of the trials whose results are marked.
    async fn titles_of_marked(
        &self,
        quantities: &[RigQuantity],
    ) -> Result<BTreeMap<TrialSlug, String>, AppError> {
        let marked = quantities.iter().flat_map(|one| &one.marked);
        let trials: BTreeSet<&TrialSlug> = marked.map(|(result, _)| &result.trial).collect();
        if trials.is_empty() {
            return Ok(BTreeMap::new());
        }
        let heads = self.store().list_trials(&TrialFilter::default()).await?;
        let titled = heads.into_iter().filter(|head| trials.contains(&head.trial));
        Ok(titled.map(|head| (head.trial, head.title)).collect())
    }

    /// Sets the days in which a rig is known to be in order; two empty fields: nothing is stated.
    ///
    /// # Errors
    /// `Question` with the field that cannot be used, or where there is no such rig.
    pub async fn set_base_period(&self, id: &RigId, typed: &TypedPeriod) -> Result<(), AppError> {
        let from = day("base_from", &typed.from)?;
        let to = day("base_to", &typed.to)?;
        let field = if from.is_none() { "base_from" } else { "base_to" };
        let base = BasePeriod::between(from, to)
            .map_err(|fault| AppError::question(field, period_fault(fault).to_string()))?;
        let is_set = self.store().set_base_period(id, base).await?;
        is_set
            .then_some(())
            .ok_or_else(|| AppError::question("rig", "is not a rig of this file"))
    }

    async fn reference_oils(&self) -> Result<ReferenceOils, AppError> {
        let oils = self.store().read_reference_oils().await?;
        Ok(Arc::new(oils.into_iter().collect()))
    }

    async fn rig_view(&self, rig: Rig, oils: &ReferenceOils) -> Result<RigView, AppError> {
        let oils = Arc::clone(oils);
        let results = self.store().read_results_of_rig(&rig.id).await?;
        let methods = self.methods().await?;
        let is_invented = self.store().has_invented_trials(Some(&rig.id)).await?;
        let view = apart(move || view(rig, &results, &methods, &oils)).await?;
        Ok(RigView { is_invented, ..view })
    }
}

/// The day of a field; `None` where it is empty.
fn day(field: &str, text: &str) -> Result<Option<Date>, AppError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let read = read_date(text).map(Some);
    read.map_err(|problem| AppError::question(field, format!("'{}' {problem}", shown(text))))
}

fn view(
    rig: Rig,
    results: &[RunResult],
    methods: &[crate::catalogue::Method],
    oils: &BTreeSet<(TrialSlug, BlendCode)>,
) -> RigView {
    let is_reference = |result: &RunResult| oils.contains(&(result.trial.clone(), result.blend.clone()));
    let corrected: BTreeSet<i64> = results.iter().filter_map(|result| result.supersedes).collect();
    let current: Vec<&RunResult> = results
        .iter()
        .filter(|result| result.rig.as_ref() == Some(&rig.id))
        .filter(|result| result.id.is_none_or(|id| !corrected.contains(&id)))
        .filter(|result| result.status != ResultStatus::Void)
        .collect();
    let measured: BTreeSet<&MethodId> = current.iter().map(|result| &result.key.method).collect();
    let others = measured.into_iter().filter(|id| !rig.methods.contains(id));
    let known = rig
        .methods
        .iter()
        .chain(others)
        .filter_map(|id| methods.iter().find(|method| &method.id == id));
    let mut quantities = Vec::new();
    for method in known {
        for quantity in &method.quantities {
            let key = TestKey::new(&method.id, &quantity.id);
            let of_key = current.iter().copied().filter(|result| result.key == key);
            let own: Vec<&RunResult> = of_key.collect();
            if own.is_empty() {
                continue;
            }
            let chart = rig_chart(results, &is_reference, &rig, method, quantity);
            let others = own.iter().copied().filter(|result| {
                let declared = rig.reference_blend.as_ref() == Some(&result.blend);
                !declared && !is_reference(result)
            });
            let marked = chart
                .as_ref()
                .map_or_else(Vec::new, |chart| marked(chart, others));
            quantities.push(RigQuantity {
                key,
                title: method.title.clone(),
                standard: method.standard.clone(),
                quantity: quantity.clone(),
                results: own.len(),
                chart,
                marked,
            });
        }
    }
    RigView {
        titles: BTreeMap::new(),
        is_invented: false,
        results: current.len(),
        rig,
        quantities,
    }
}

/// Those of some results that lie in the spans of a chart.
fn marked<'a>(
    chart: &RigChart,
    results: impl Iterator<Item = &'a RunResult>,
) -> Vec<(RunResult, OutOfControlSpan)> {
    let marked = results.filter_map(|result| {
        let span = chart.span_of(result.date?)?;
        Some((result.clone(), *span))
    });
    marked.collect()
}
