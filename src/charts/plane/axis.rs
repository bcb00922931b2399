//! One axis of a plane: how values lie on it, and which of them carry a number.

use crate::charts::ticks::{even_values, log_values};
use crate::units::{DisplayPreferences, InUnit};

/// How values lie along an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlaneScale {
    /// As they are.
    Linear,
    /// By logarithm.
    Log,
    /// Degrees Celsius by the logarithm of the absolute temperature.
    LogKelvin,
    /// Viscosities in mm2/s by the double logarithm of themselves plus 0.7: beside [`Self::LogKelvin`] an oil is a line.
    DoubleLog,
    /// Shares that failed by the logarithm of their hazard: beside [`Self::Log`] a Weibull distribution is a line.
    WeibullShare,
}

/// Shares that are marked on probability paper.
const SHARES: [f64; 9] = [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95, 0.99];
/// Viscosities that are marked where they lie by double logarithm, mm2/s.
const VISCOSITIES: [f64; 24] = [
    0.25, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0, 3.0, 5.0, 7.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3,
    1e4, 1e5, 1e6, 1e7, 2e7,
];

/// An axis from one value to another.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneAxis {
    /// What it shows, without the unit.
    pub label: String,
    /// In which unit its numbers are written; values are given in the one they are kept in.
    pub unit: InUnit,
    /// How values lie.
    pub scale: PlaneScale,
    /// Its lower end.
    pub lo: f64,
    /// Its upper end.
    pub hi: f64,
}

impl PlaneAxis {
    /// An axis that has room for all values, in one unit (its word; empty for none); a little more than that on either
    /// side.
    pub fn around(
        label: impl Into<String>,
        unit: &'static str,
        scale: PlaneScale,
        values: impl IntoIterator<Item = f64>,
    ) -> Self {
        let usable = values
            .into_iter()
            .filter(|value| along(scale, *value).is_finite());
        let (lo, hi) = usable.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), value| {
            (lo.min(value), hi.max(value))
        });
        let (lo, hi) = match scale {
            PlaneScale::Log | PlaneScale::DoubleLog => {
                let room = (hi / lo).powf(0.06).max(1.05);
                (lo / room, hi * room)
            }
            PlaneScale::WeibullShare => (lo, hi),
            PlaneScale::Linear | PlaneScale::LogKelvin => {
                let room = 0.05 * if hi > lo { hi - lo } else { hi.abs().max(1.0) };
                (lo - room, hi + room)
            }
        };
        Self {
            label: label.into(),
            unit: DisplayPreferences::default().plain(unit),
            scale,
            lo,
            hi,
        }
    }

    /// The same axis with its numbers written so, in the unit that is wanted.
    pub fn written(mut self, shown: DisplayPreferences) -> Self {
        self.unit = shown.in_unit_of_word(self.unit.word());
        self
    }

    /// What it shows, with the unit.
    pub(in crate::charts) fn title(&self) -> String {
        match (self.label.as_str(), self.unit.word()) {
            (label, "") => label.to_string(),
            ("", unit) => unit.to_string(),
            (label, unit) => format!("{label}, {unit}"),
        }
    }

    /// The share of the axis at which a value lies, below 0 or above 1 outside it; `None` for a value without a place.
    pub(in crate::charts) fn place(&self, value: f64) -> Option<f64> {
        let (from, to) = (along(self.scale, self.lo), along(self.scale, self.hi));
        let share = (along(self.scale, value) - from) / (to - from);
        share.is_finite().then_some(share)
    }

    /// The share of the axis at which a value lies; `None` outside it.
    pub(in crate::charts) fn share(&self, value: f64) -> Option<f64> {
        self.place(value)
            .filter(|share| (-1e-9..=1.0 + 1e-9).contains(share))
    }

    /// The values to mark with their words, about `count` of them.
    pub(in crate::charts) fn ticks(&self, count: f64) -> Vec<(f64, String)> {
        let marked = |values: &[f64]| -> Vec<f64> {
            let inside = values.iter().filter(|value| self.share(**value).is_some());
            inside.copied().collect()
        };
        // round in the unit in which they are written
        let (lo, hi) = (self.unit.value(self.lo), self.unit.value(self.hi));
        let kept =
            |round: Vec<f64>| -> Vec<f64> { round.into_iter().map(|value| self.unit.kept(value)).collect() };
        let values = match self.scale {
            PlaneScale::Linear | PlaneScale::LogKelvin => kept(even_values(lo, hi, count)),
            PlaneScale::Log if hi < 4.0 * lo => kept(even_values(lo, hi, count)),
            PlaneScale::Log => kept(log_values(lo, hi, count)),
            PlaneScale::DoubleLog => self.apart(&marked(&VISCOSITIES), 1.0 / (1.6 * count)),
            PlaneScale::WeibullShare => self.apart(&marked(&SHARES), 1.0 / (2.5 * count)),
        };
        let words = |value: f64| match self.scale {
            PlaneScale::WeibullShare => format!("{} %", self.unit.number(100.0 * value)),
            _ => self.unit.number(value),
        };
        let placed = values.into_iter().filter(|value| self.share(*value).is_some());
        placed.map(|value| (value, words(value))).collect()
    }

    /// Those of the values that lie at least a share of the axis apart.
    fn apart(&self, values: &[f64], least: f64) -> Vec<f64> {
        let mut kept: Vec<f64> = Vec::new();
        for value in values {
            let far = kept.last().is_none_or(|last| {
                let gap = self.share(*value).zip(self.share(*last)).map(|(a, b)| a - b);
                gap.is_some_and(|gap| gap >= least)
            });
            if far {
                kept.push(*value);
            }
        }
        kept
    }
}

/// Where a value lies before it is scaled to the drawing; not finite for a value that has no place.
fn along(scale: PlaneScale, value: f64) -> f64 {
    match scale {
        PlaneScale::Linear => value,
        PlaneScale::Log => value.ln(),
        PlaneScale::LogKelvin => (value + 273.15).ln(),
        PlaneScale::DoubleLog => (value + 0.7).ln().ln(),
        PlaneScale::WeibullShare => (-(-value).ln_1p()).ln(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::TemperatureUnit;

    #[test]
    fn values_without_a_place_set_no_end() {
        let axis = PlaneAxis::around("load", "kgf", PlaneScale::Log, [0.0, f64::NAN, -3.0, 10.0, 100.0]);
        assert!(axis.lo > 8.0 && axis.lo < 10.0 && axis.hi > 100.0);
        assert!(axis.share(0.0).is_none() && axis.share(10.0).is_some());
        let nothing = PlaneAxis::around("load", "kgf", PlaneScale::Linear, []);
        assert!(nothing.share(1.0).is_none() && nothing.ticks(5.0).is_empty());
    }

    #[test]
    fn ticks_lie_on_the_axis_and_apart() {
        for (scale, lo, hi) in [
            (PlaneScale::DoubleLog, 5.0, 2000.0),
            (PlaneScale::WeibullShare, 0.01, 0.99),
            (PlaneScale::Log, 6.0, 800.0),
            (PlaneScale::LogKelvin, 0.0, 120.0),
        ] {
            let axis = PlaneAxis::around("", "", scale, [lo, hi]);
            let shares: Vec<f64> = axis
                .ticks(6.0)
                .iter()
                .map(|(v, _)| axis.share(*v).unwrap())
                .collect();
            assert!(shares.len() >= 3, "{scale:?}");
            assert!(
                shares.windows(2).all(|pair| pair[1] - pair[0] > 0.03),
                "{scale:?} {shares:?}"
            );
        }
    }

    #[test]
    fn another_unit_has_round_numbers_of_its_own_in_the_same_places() {
        let fahrenheit = DisplayPreferences {
            temperature: TemperatureUnit::Fahrenheit,
            ..DisplayPreferences::default()
        };
        let axis = PlaneAxis::around("", "°C", PlaneScale::LogKelvin, [0.0, 100.0]);
        assert_eq!(axis.title(), "°C");
        let turned = axis.clone().written(fahrenheit);
        assert_eq!(turned.title(), "°F");
        assert_eq!(turned.share(40.0), axis.share(40.0));
        let ticks = turned.ticks(5.0);
        let at = |words: &str| {
            ticks
                .iter()
                .find(|(_, own)| own == words)
                .map(|(value, _)| *value)
        };
        assert!((at("50").unwrap() - 10.0).abs() < 1e-9, "{ticks:?}");
        // a quantity that has no other unit stays as it is
        let scar = PlaneAxis::around("scar", "mm", PlaneScale::Log, [0.1, 10.0]);
        assert_eq!(scar.clone().written(fahrenheit).title(), "scar, mm");
        assert_eq!(scar.clone().written(fahrenheit).ticks(5.0), scar.ticks(5.0));
    }
}
