//! The scale on which differences of a test are judged: the steps of its ladder where its precision counts them, else its
//! working scale. Whatever is laid beside whatever, one load step is one load step.

use crate::catalogue::{PrecisionKind, Quantity, Scale};
use crate::explain::words::{amount, count_of};
use crate::standing::TestStanding;
use crate::units::{DisplayPreferences, Unit};

/// How values become places.
#[derive(Clone, Copy)]
enum Ruler<'a> {
    /// In steps of the ladder, whose loads are not quite evenly spaced.
    Steps(&'a [f64]),
    /// On the working scale.
    Working(&'a Scale),
}

/// r and R of a test on the scale on which its differences are judged.
#[derive(Clone, Copy)]
pub(crate) struct Limit<'a> {
    ruler: Ruler<'a>,
    pub(crate) reproducibility: f64,
    pub(crate) repeatability: f64,
}

/// `None` where the scatter of the test is not known.
pub(crate) fn limit<'a>(test: &TestStanding, quantity: &'a Quantity) -> Option<Limit<'a>> {
    let scatter = test.scatter?;
    let in_steps = quantity
        .precision
        .as_ref()
        .filter(|precision| precision.kind == PrecisionKind::Steps && quantity.scale.steps().len() >= 2);
    Some(match in_steps {
        Some(precision) => Limit {
            ruler: Ruler::Steps(quantity.scale.steps()),
            reproducibility: precision.reproducibility_or_twice(),
            repeatability: precision.repeatability,
        },
        None => Limit {
            ruler: Ruler::Working(&quantity.scale),
            reproducibility: scatter.reproducibility,
            repeatability: scatter.repeatability,
        },
    })
}

impl Limit<'_> {
    /// Whether it counts steps.
    pub(crate) fn counts_steps(&self) -> bool {
        matches!(self.ruler, Ruler::Steps(_))
    }

    /// The place of a value; `None` where it has none.
    pub(crate) fn at(&self, value: f64) -> Option<f64> {
        if value.is_infinite() {
            return Some(value);
        }
        match self.ruler {
            Ruler::Working(scale) => scale.to_working(value),
            Ruler::Steps(steps) => place_on(steps, value),
        }
    }

    /// A length on its scale in words.
    pub(crate) fn words(&self, quantity: &Quantity, length: f64, shown: DisplayPreferences) -> String {
        match self.ruler {
            Ruler::Steps(_) if quantity.unit == Unit::Stage => count_of(length.abs(), "stage", shown),
            Ruler::Steps(_) => count_of(length.abs(), "load step", shown),
            Ruler::Working(_) => amount(quantity, length, Some(self.repeatability), shown),
        }
    }
}

/// The place of a load on a ladder, from 0; between two steps in proportion.
fn place_on(steps: &[f64], value: f64) -> Option<f64> {
    let above = steps.iter().position(|step| *step >= value * (1.0 - 1e-9));
    let span = |at: usize| Some((*steps.get(at)?, *steps.get(at + 1)?));
    let at = match above {
        Some(at) => at.saturating_sub(1),
        None => steps.len().checked_sub(2)?,
    };
    let (lo, hi) = span(at)?;
    let place = at as f64 + (value - lo) / (hi - lo);
    place.is_finite().then_some(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A part of the loads of ASTM D2783 in kgf, as they stand in the catalogue.
    const LADDER: [f64; 5] = [24.0, 32.0, 40.0, 50.0, 63.0];

    #[test]
    fn a_step_is_a_step_whatever_its_ratio() {
        let places: Vec<f64> = LADDER
            .iter()
            .map(|load| place_on(&LADDER, *load).unwrap())
            .collect();
        assert_eq!(places, [0.0, 1.0, 2.0, 3.0, 4.0]);
        assert_eq!(place_on(&LADDER, 36.0), Some(1.5));
        assert!(place_on(&LADDER, 80.0).unwrap() > 5.0);
        assert!(place_on(&LADDER, 20.0).unwrap() < 0.0);
        assert_eq!(place_on(&[12.0], 12.0), None);
    }
}
