//! What to run next, as a part of the comparison page and of the plan page.

use crate::catalogue::MethodId;
use crate::charts::{Svg, legend_mark};
use crate::prose::run_next::{doubt_sentence, money, next_steps};
use crate::prose::standing::per_cent;
use crate::records::TestKey;
use crate::standing::{Basis, NextRun, Planned, Standing, USUAL_STAKE};
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::preferences::preferences;

/// The proposals as a page shows them.
pub(crate) struct NextPart {
    pub(crate) sentence: String,
    /// What comes first of it.
    pub(crate) step: String,
    pub(crate) doubt: String,
    pub(crate) rows: Vec<NextRow>,
    pub(crate) not_advised: String,
    pub(crate) screens_not_advised: String,
    pub(crate) stake: String,
}

/// One proposal.
pub(crate) struct NextRow {
    pub(crate) methods: Vec<Linked>,
    pub(crate) blends: Vec<Marked>,
    pub(crate) planned: String,
    pub(crate) value: String,
    pub(crate) chance: String,
    pub(crate) cost: String,
    pub(crate) days: String,
    pub(crate) worth: String,
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
        let named = |keys: &[TestKey]| {
            let tests = keys.iter().filter_map(|key| standing.test(key));
            let names = tests.map(|test| format!("{} ({})", test.label, test.standard));
            names.collect::<Vec<_>>().join(", ")
        };
        let steps = next_steps(standing, stake, preferences());
        Self {
            sentence: steps.join(" "),
            step: steps.into_iter().next().unwrap_or_default(),
            doubt: doubt_sentence(standing).unwrap_or_default(),
            rows: standing
                .run_next
                .runs
                .iter()
                .map(|run| row(run, cast, stake))
                .collect(),
            not_advised: named(&standing.run_next.not_advised),
            screens_not_advised: named(&standing.run_next.screens_not_advised),
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
    let (worth, class) = match (run.closes, run.is_worth(stake)) {
        (Some(mode), _) => (format!("closes a gap: {}", mode.word()), "gap"),
        (None, Some(true)) => ("worth it".to_string(), "yes"),
        (None, Some(false)) => ("not worth it".to_string(), "no"),
        (None, None) => ("cost not known".to_string(), "unknown"),
    };
    let planned = match (run.planned, run.basis) {
        (Planned::InTrial, Basis::Measured) => "in the trial",
        (Planned::InTrial, Basis::Assumed) => "in the trial, not run yet",
        (Planned::NotInTrial, _) => "not in the trial",
    };
    let references = match run.reference_runs {
        0 => String::new(),
        runs => format!(", with {}", figures::count(runs, "reference run")),
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
        planned: format!("{planned}{references}"),
        value: figures::fixed(run.value, 3),
        chance: per_cent(run.leader_changes),
        cost: whole(run.cost),
        days: whole(run.days),
        worth,
        class,
    }
}
