//! Rigs: the control charts of their reference oils, and which results fall where a rig was out of control.

use crate::app::judged::apart;
use crate::app::{App, AppError};
use crate::catalogue::MethodId;
use crate::records::{Purpose, ResultStatus, Rig, RigId, RunResult, TestKey, TrialSlug};
use crate::standing::{OutOfControlSpan, RigChart, rig_chart};
use crate::store::TrialFilter;
use std::collections::{BTreeMap, BTreeSet};

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
    /// The chart of the reference oil; `None` where nothing can be charted.
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
        for rig in self.store().read_rigs().await? {
            views.push(self.rig_view(rig).await?);
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
                let mut view = self.rig_view(rig).await?;
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

    async fn rig_view(&self, rig: Rig) -> Result<RigView, AppError> {
        let results = self.store().read_results_of_rig(&rig.id).await?;
        let methods = self.methods().await?;
        let is_invented = self.store().has_invented_trials(Some(&rig.id)).await?;
        let view = apart(move || view(rig, &results, &methods)).await?;
        Ok(RigView { is_invented, ..view })
    }
}

fn view(rig: Rig, results: &[RunResult], methods: &[crate::catalogue::Method]) -> RigView {
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
            let reference = rig.reference_blend.as_ref();
            let chart =
                reference.and_then(|reference| rig_chart(results, &rig.id, reference, method, quantity));
            let marked = chart.as_ref().map_or_else(Vec::new, |chart| marked(chart, &own));
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

/// Results of other blends in the spans of a chart.
fn marked(chart: &RigChart, results: &[&RunResult]) -> Vec<(RunResult, OutOfControlSpan)> {
    let others = results
        .iter()
        .filter(|result| result.blend != chart.reference && result.purpose != Purpose::ReferenceCheck);
    others
        .filter_map(|result| {
            let span = chart.span_of(result.date?)?;
            Some(((*result).clone(), *span))
        })
        .collect()
}
