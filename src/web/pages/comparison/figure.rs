//! The figure's rows: what a test reads for whoever comes first and for the reference oils, beside its drawing.

use crate::charts::Svg;
use crate::prose::standing::{number_of_standard, per_cent, short_name};
use crate::records::{BlendCode, Level, Role, TrialRecords};
use crate::standing::{Anchored, Standing, TestStanding};
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::plot;

/// A test in the figure.
pub(crate) struct FigureRow {
    pub(crate) name: String,
    pub(crate) standard: String,
    pub(crate) drawing: Svg,
    /// The reference line that the test lacks: `good`, `poor`, `both` or nothing.
    pub(crate) lacks: &'static str,
    /// What is read for the front-runner, the known good and the known poor; empty where it was not run.
    pub(crate) read: [String; 3],
    pub(crate) unit: &'static str,
    pub(crate) lead_share: String,
}

/// The candidates that are in, in the order of the standing: their places decide the lanes.
pub(crate) fn lanes(standing: &Standing, cast: &Cast<'_>) -> Vec<usize> {
    let inside = standing.candidates.iter().filter(|candidate| !candidate.is_out());
    inside
        .filter_map(|candidate| cast.index(&candidate.blend))
        .collect()
}

/// The row of a test; `None` where nothing was run.
pub(crate) fn row(
    test: &TestStanding,
    standing: &Standing,
    records: &TrialRecords,
    cast: &Cast<'_>,
) -> Option<FigureRow> {
    let strip = test.strip.as_ref()?;
    let chart = plot::chart(test, standing, records, cast)?;
    let record = records.trial.tests.iter().find(|record| record.key == test.key);
    let reference = |level| record.and_then(|record| records.reference(record, level));
    let blends: [Option<&BlendCode>; 3] = [
        first(standing, records),
        reference(Level::KnownGood),
        reference(Level::KnownPoor),
    ];
    Some(FigureRow {
        name: short_name(standing, test),
        standard: number_of_standard(&test.standard).to_string(),
        drawing: chart.draw_row(&lanes(standing, cast)),
        lacks: match strip.anchored {
            Anchored::Both => "",
            Anchored::Good => "poor",
            Anchored::Poor => "good",
            Anchored::None => "both",
        },
        read: blends.map(|blend| blend.map_or_else(String::new, |blend| plot::read(test, blend, strip))),
        unit: figures::unit(strip.unit),
        lead_share: test.lead_share.map(per_cent_signed).unwrap_or_default(),
    })
}

/// Whose readings stand in the rows: who comes first, or the only candidate.
pub(crate) fn first<'s>(standing: &'s Standing, records: &'s TrialRecords) -> Option<&'s BlendCode> {
    let first = standing.front_runner.as_ref();
    first.or_else(|| records.with_role(Role::Candidate).next())
}

/// `+38 %`, `−5 %`, `0 %`.
fn per_cent_signed(share: f64) -> String {
    match format!("{:.0}", 100.0 * share.abs()).as_str() {
        "0" => "0 %".to_string(),
        number if share < 0.0 => format!("−{number} %"),
        number => format!("+{number} %"),
    }
}

/// `87 % of the weight`.
pub(crate) fn of_the_weight(part: f64, whole: f64) -> String {
    if whole > 0.0 {
        format!("{} of the weight", per_cent(part / whole))
    } else {
        String::new()
    }
}
