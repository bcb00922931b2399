//! Where a trial asks whether its candidates are no worse than one blend: test by test, how much worse each may still be.

use crate::charts::{Svg, legend_mark};
use crate::prose::no_worse::{difference, not_told, times, within};
use crate::standing::{ComparedTest, NoWorse, Standing, Within};
use crate::web::pages::comparison::cast::Cast;
use crate::web::preferences::preferences;

/// A candidate in a test.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NoWorseRow {
    pub(crate) key: String,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) index: Option<usize>,
    pub(crate) mark: Option<Svg>,
    pub(crate) blend: String,
    /// In critical differences, or why nothing is said.
    pub(crate) difference: String,
    /// The largest difference to the worse that the runs leave open, in critical differences.
    pub(crate) worst: String,
    pub(crate) within: &'static str,
    /// As outcomes are shown.
    pub(crate) class: &'static str,
}

/// Test by test; `None` where the trial asks which blend to choose.
pub(crate) fn rows(standing: &Standing, cast: &Cast<'_>) -> Option<Vec<NoWorseRow>> {
    let equivalence = standing.equivalence.as_ref()?;
    let each = equivalence.candidates.iter();
    let rows = each.flat_map(|one| one.tests.iter().map(move |test| row(one, test, cast)));
    Some(rows.collect())
}

fn row(one: &NoWorse, test: &ComparedTest, cast: &Cast<'_>) -> NoWorseRow {
    let index = cast.index(&one.blend);
    let (difference, worst, within, class) = match &test.told {
        Err(why) => (not_told(why), String::new(), "", "not-run"),
        Ok(told) => (
            difference(told, preferences()),
            times(told.worst(), preferences()),
            within(told.within),
            match told.within {
                Within::Inside => "pass",
                Within::Open => "in-doubt",
                Within::Worse => "fail",
            },
        ),
    };
    NoWorseRow {
        key: test.key.to_string(),
        label: test.label.clone(),
        standard: test.standard.clone(),
        index,
        mark: index.map(legend_mark),
        blend: one.blend.to_string(),
        difference,
        worst,
        within,
        class,
    }
}
