//! Median mass losses of a bearing test, as the page of an explanation shows them.

use crate::explain::{BearingMedian, BearingsOfBlend};
use crate::web::figures;

/// The bearings of one blend, as the page shows them.
pub(super) struct BearingsRow {
    pub(super) blend: String,
    pub(super) role: &'static str,
    pub(super) bearings: String,
    pub(super) fitted: String,
    pub(super) shape: String,
    pub(super) given: Vec<String>,
}

/// Shapes of the columns with a given shape, as in the rows.
pub(super) fn given_shapes(blends: &[BearingsOfBlend]) -> Vec<String> {
    let longest = blends.iter().max_by_key(|blend| blend.given.len());
    let given = longest.into_iter().flat_map(|blend| &blend.given);
    given.map(|median| figures::figure(median.shape)).collect()
}

pub(super) fn rows(blends: &[BearingsOfBlend]) -> Vec<BearingsRow> {
    let columns = given_shapes(blends).len();
    blends.iter().map(|blend| row(blend, columns)).collect()
}

fn row(blend: &BearingsOfBlend, columns: usize) -> BearingsRow {
    let mut given: Vec<String> = blend.given.iter().map(with_interval).collect();
    given.resize(columns, String::new());
    BearingsRow {
        blend: blend.blend.clone(),
        role: blend.role,
        bearings: if blend.bounded == 0 {
            blend.bearings.to_string()
        } else {
            format!("{} and {} only bounded", blend.bearings, blend.bounded)
        },
        fitted: blend
            .fitted
            .as_ref()
            .map_or_else(|| why_not(blend).to_string(), with_interval),
        shape: blend
            .fitted
            .map_or_else(String::new, |fitted| figures::figure(fitted.shape)),
        given,
    }
}

/// `52 (44 to 61)`, `52 (44 to 61; holds in 77 of 100)`.
fn with_interval(median: &BearingMedian) -> String {
    let [lo, hi] = median.interval.map(figures::figure);
    let holds = median
        .real_confidence
        .map(|real| format!("; holds in {} of 100", figures::fixed(100.0 * real, 0)));
    format!(
        "{} ({lo} to {hi}{})",
        figures::figure(median.median),
        holds.unwrap_or_default()
    )
}

fn why_not(blend: &BearingsOfBlend) -> &'static str {
    match (blend.bounded, blend.bearings) {
        (1.., _) => "none: a loss is only bounded",
        (0, 0..3) => "none: fewer than three bearings",
        _ => "none: the losses do not scatter",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blend(bearings: usize, bounded: usize) -> BearingsOfBlend {
        BearingsOfBlend {
            blend: "A-1".to_string(),
            role: "candidate",
            bearings,
            bounded,
            fitted: None,
            given: Vec::new(),
        }
    }

    #[test]
    fn a_fitted_interval_says_how_often_it_holds_and_a_given_shape_does_not() {
        let fitted = BearingMedian {
            shape: 2.4,
            median: 52.0,
            interval: [44.0, 61.0],
            real_confidence: Some(0.77),
        };
        assert_eq!(with_interval(&fitted), "52 (44 to 61; holds in 77 of 100)");
        let given = BearingMedian {
            real_confidence: None,
            ..fitted
        };
        assert_eq!(with_interval(&given), "52 (44 to 61)");
    }

    #[test]
    fn what_is_not_fitted_says_why() {
        assert_eq!(row(&blend(2, 0), 3).fitted, "none: fewer than three bearings");
        assert_eq!(row(&blend(4, 0), 3).fitted, "none: the losses do not scatter");
        let bounded = row(&blend(3, 1), 3);
        assert_eq!(
            (bounded.fitted.as_str(), bounded.given.len()),
            ("none: a loss is only bounded", 3)
        );
        assert_eq!(bounded.bearings, "3 and 1 only bounded");
    }
}
