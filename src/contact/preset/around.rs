//! What surrounds the contact of any preset.

use crate::contact::element::{DEFAULT_FRICTION_COEFFICIENT, Surroundings};
use crate::contact::preset::parameter::{Given, Parameter};
use crate::contact::preset::read::{Bounds, Fields, PresetFault, ROUGHNESS_M, TEMPERATURE_C};
use crate::contact::terms::{Materials, Motion, Supply};
use crate::units::Interval;

/// Keys of every preset that is computed from geometry.
pub(super) const AROUND: [&str; 5] = [
    "temperature_c",
    "supply",
    "motion",
    "materials",
    "friction_coefficient",
];
/// The further key of presets with a film.
pub(super) const ROUGHNESS: &str = "roughness_rq_m";

/// Temperature, supply, motion, materials, friction and roughness.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Around {
    pub(super) temperature_c: Interval,
    pub(super) supply: Supply,
    pub(super) motion: Motion,
    pub(super) materials: Materials,
    pub(super) friction_coefficient: f64,
    pub(super) roughness_rq_m: Option<[f64; 2]>,
}

impl Around {
    /// From the keys of a preset; its motion where none is given.
    pub(super) fn read(fields: &Fields, usual_motion: Motion) -> Result<Self, PresetFault> {
        Ok(Self {
            temperature_c: fields.range("temperature_c", TEMPERATURE_C)?,
            supply: fields.word("supply")?,
            motion: fields.word_or("motion", usual_motion)?,
            materials: fields.word("materials")?,
            friction_coefficient: fields.number_or(
                "friction_coefficient",
                Bounds::from(0.0, 2.0),
                DEFAULT_FRICTION_COEFFICIENT,
            )?,
            roughness_rq_m: fields.two_bodies(ROUGHNESS, ROUGHNESS_M)?,
        })
    }

    pub(super) fn parameters(&self) -> Vec<Parameter> {
        let mut list = vec![
            Parameter::range("temperature_c", "Bulk temperature", self.temperature_c),
            Parameter::word("supply", "Supply", self.supply.word()),
            Parameter::word("motion", "Motion", self.motion.word()),
            Parameter::word("materials", "Materials", self.materials.word()),
            Parameter::number(
                "friction_coefficient",
                "Friction coefficient",
                self.friction_coefficient,
            ),
        ];
        if let Some(pair) = self.roughness_rq_m {
            list.push(Parameter::new(
                ROUGHNESS,
                "Roughness Rq of the two bodies",
                Given::TwoBodies(pair),
            ));
        }
        list
    }

    /// The surroundings at one bulk temperature of the duty.
    pub(super) fn at(&self, temperature: Interval) -> Surroundings {
        Surroundings {
            roughness_rq_m: self.roughness_rq_m.map_or([None, None], |pair| pair.map(Some)),
            friction_coefficient: self.friction_coefficient,
            ..Surroundings::new(temperature, self.motion, self.materials, self.supply)
        }
    }
}

/// The two ends of a duty range, each as an interval of its own.
pub(super) fn ends(range: Interval) -> [Interval; 2] {
    let end = |value: f64| range.clamp(value, value);
    [end(range.lo()), end(range.hi())]
}

/// Every corner of a duty given by some ranges. All quantities that are taken from it rise or fall steadily with
/// each of them, so that the duty's extremes lie at its corners.
pub(super) fn corners<const N: usize>(ranges: [Interval; N]) -> Vec<[f64; N]> {
    let mut corners = vec![[0.0; N]];
    for (place, range) in ranges.into_iter().enumerate() {
        corners = corners
            .into_iter()
            .flat_map(|corner| {
                [range.lo(), range.hi()].map(|end| {
                    let mut next = corner;
                    next[place] = end;
                    next
                })
            })
            .collect();
    }
    corners
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_ranges_have_four_corners() {
        let range = |a, b| Interval::new(a, b).unwrap();
        let all = corners([range(1.0, 2.0), range(5.0, 6.0)]);
        assert_eq!(all, [[1.0, 5.0], [1.0, 6.0], [2.0, 5.0], [2.0, 6.0]]);
    }
}
