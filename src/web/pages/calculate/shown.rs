//! Answers as a page shows them: rounded for reading, whole for copying, the same numbers as the JSON.

use crate::charts::{PlaneChart, Svg, Width};
use crate::web::figures;
use crate::web::preferences::preferences;

/// One number of an answer.
pub(crate) struct ShownAnswer {
    /// Its key in the JSON.
    pub(crate) key: &'static str,
    pub(crate) label: &'static str,
    /// In the JSON's unit; `None` where it has none.
    pub(crate) value: Option<f64>,
    /// Rounded, in the reader's unit; or why it is missing.
    pub(crate) words: String,
    pub(crate) note: String,
}

impl ShownAnswer {
    /// A number that is there, `per_unit` of the JSON's units to one of the reader's.
    pub(crate) fn new(
        key: &'static str,
        label: &'static str,
        value: f64,
        per_unit: f64,
        unit: &'static str,
    ) -> Self {
        Self {
            key,
            label,
            value: Some(value),
            words: figures::measured(value / per_unit, unit),
            note: String::new(),
        }
    }

    /// A number that may be missing, and then why.
    pub(crate) fn or(
        key: &'static str,
        label: &'static str,
        value: Option<f64>,
        (per_unit, unit): (f64, &'static str),
        missing: &str,
    ) -> Self {
        match value {
            Some(value) => Self::new(key, label, value, per_unit, unit),
            None => Self {
                key,
                label,
                value: None,
                words: missing.to_string(),
                note: String::new(),
            },
        }
    }

    /// With a remark.
    pub(crate) fn noting(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }
}

/// A chart for wide and narrow pages.
pub(crate) struct Drawn {
    pub(crate) wide: Svg,
    pub(crate) narrow: Svg,
}

impl From<&PlaneChart> for Drawn {
    fn from(chart: &PlaneChart) -> Self {
        let mut chart = chart.clone();
        chart.x = chart.x.written(preferences());
        chart.y = chart.y.written(preferences());
        Self {
            wide: chart.draw(Width::Wide),
            narrow: chart.draw(Width::Narrow),
        }
    }
}
