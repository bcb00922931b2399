//! What to run next, as a part of the comparison page and of the plan page.

use crate::catalogue::MethodId;
use crate::charts::{Svg, legend_mark};
use crate::prose::run_next::{doubt_sentence, money, next_sentence};
use crate::prose::standing::per_cent;
use crate::standing::{Basis, NextRun, Planned, Standing, USUAL_STAKE};
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::preferences::preferences;

/// The proposals as a page shows them.
pub(crate) struct NextPart {
    pub(crate) sentence: String,
    pub(crate) doubt: String,
    pub(crate) rows: Vec<NextRow>,
    pub(crate) not_advised: String,
    pub(crate) stake: String,
}

/// One proposal.
pub(crate) struct NextRow {
    pub(crate) methods: Vec<Linked>,
    pub(crate) blends: Vec<Marked>,
    pub(crate) planned: &'static str,
    pub(crate) value: String,
    pub(crate) chance: String,
    pub(crate) cost: String,
    pub(crate) days: String,
    pub(crate) worth: &'static str,
    pub(crate) class: &'static str,
}

/// A method with its page.
pub(crate) struct Linked {
    pub(crate) id: MethodId,
    pub(crate) title: String,
}

/// A blend with its mark.
pub(crate) struct Marked {
    pub(crate) code: String,
    pub(crate) mark: Svg,
}

impl NextPart {
    /// The part at the usual stake.
    pub(crate) fn new(standing: &Standing, cast: &Cast<'_>) -> Self {
        Self::at(standing, cast, USUAL_STAKE)
    }

    /// The part at a stake.
    pub(crate) fn at(standing: &Standing, cast: &Cast<'_>, stake: f64) -> Self {
        let not_advised: Vec<String> = standing
            .run_next
            .not_advised
            .iter()
            .filter_map(|key| standing.test(key))
            .map(|test| format!("{} ({})", test.label, test.standard))
            .collect();
        Self {
            sentence: next_sentence(standing, stake, preferences()),
            doubt: doubt_sentence(standing).unwrap_or_default(),
            rows: standing
                .run_next
                .runs
                .iter()
                .map(|run| row(run, cast, stake))
                .collect(),
            not_advised: not_advised.join(", "),
            stake: money(stake, preferences()),
        }
    }
}

fn row(run: &NextRun, cast: &Cast<'_>, stake: f64) -> NextRow {
    let mut ids: Vec<&MethodId> = run.tests.iter().map(|key| &key.method).collect();
    ids.dedup();
    let methods = ids.iter().zip(&run.methods);
    let whole = |amount: Option<f64>| {
        amount
            .map(|amount| money(amount, preferences()))
            .unwrap_or_default()
    };
    let mark = |blend| cast.index(blend).map(legend_mark).unwrap_or_default();
    let (worth, class) = match run.is_worth(stake) {
        Some(true) => ("worth it", "yes"),
        Some(false) => ("not worth it", "no"),
        None => ("cost not known", "unknown"),
    };
    NextRow {
        methods: methods
            .map(|(id, title)| Linked {
                id: (*id).clone(),
                title: title.clone(),
            })
            .collect(),
        blends: run
            .blends
            .iter()
            .map(|blend| Marked {
                code: blend.to_string(),
                mark: mark(blend),
            })
            .collect(),
        planned: match (run.planned, run.basis) {
            (Planned::InTrial, Basis::Measured) => "in the trial",
            (Planned::InTrial, Basis::Assumed) => "in the trial, not run yet",
            (Planned::NotInTrial, _) => "not in the trial",
        },
        value: figures::fixed(run.value, 3),
        chance: per_cent(run.leader_changes),
        cost: whole(run.cost),
        days: whole(run.days),
        worth,
        class,
    }
}
