//! What surrounds the contact of any preset.

use crate::contact::ContactError;
use crate::contact::elastic::{contact_modulus_pa, usual_hardness_pa};
use crate::contact::element::{DEFAULT_FRICTION_COEFFICIENT, Surroundings};
use crate::contact::preset::bounds::{Bounds, HARDNESS_PA, ROUGHNESS_M, TEMPERATURE_C};
use crate::contact::preset::key::Key;
use crate::contact::terms::{Materials, Motion, Supply};
use crate::units::Interval;
use serde::Deserialize;

const fn around(usual_motion: Motion) -> [Key; 5] {
    [
        Key::range("temperature_c", TEMPERATURE_C),
        Key::word("supply", Supply::WHAT, Supply::WORDS),
        Key::word("motion", Motion::WHAT, Motion::WORDS).usually_word(usual_motion.word()),
        Key::word("materials", Materials::WHAT, Materials::WORDS),
        Key::number("friction_coefficient", Bounds::from(0.0, 2.0)).usually(DEFAULT_FRICTION_COEFFICIENT),
    ]
}

/// Keys of every preset that is computed from geometry and usually turns one way.
pub(super) const ONE_WAY: &[Key] = &around(Motion::OneWay);
/// Keys of every preset that is computed from geometry and usually reverses.
pub(super) const REVERSING: &[Key] = &around(Motion::Reversing);
/// Keys of every preset whose motion follows from how far it travels where it is not given.
pub(super) const BY_TRAVEL: &[Key] = &{
    let [temperature, supply, motion, materials, friction] = around(Motion::Reversing);
    let motion = motion.optional();
    [temperature, supply, motion, materials, friction]
};
const ROUGHNESS: Key = Key::two_bodies("roughness_rq_m", ROUGHNESS_M).optional();
const HARDNESS: Key = Key::number("hardness_pa", HARDNESS_PA);
/// The further key of bodies that fit into each other with a film.
pub(super) const ROUGHNESS_ALONE: &[Key] = &[ROUGHNESS];
/// The further keys of bodies that curve apart.
pub(super) const SURFACES: &[Key] = &[ROUGHNESS, HARDNESS.optional()];
/// The same of drawn wires: three times a yield stress of 1.5 GPa where no hardness is given (from memory).
pub(super) const WIRES: &[Key] = &[ROUGHNESS, HARDNESS.usually(4.5e9)];

/// Temperature, supply, motion, materials, friction, roughness and hardness.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub(super) struct Around {
    pub(super) temperature_c: Interval,
    pub(super) supply: Supply,
    /// Reversing until a preset says what follows from its travel, where none is given.
    #[serde(default = "reversing")]
    pub(super) motion: Motion,
    pub(super) materials: Materials,
    pub(super) friction_coefficient: f64,
    pub(super) roughness_rq_m: Option<[f64; 2]>,
    /// Of the softer body.
    hardness_pa: Option<f64>,
}

fn reversing() -> Motion {
    Motion::Reversing
}

impl Around {
    /// Contact modulus E* of the two bodies, Pa.
    ///
    /// # Errors
    /// For materials of which no elastic constants are kept.
    pub(super) fn contact_modulus_pa(&self) -> Result<f64, ContactError> {
        let [first, second] = self.materials.elastic()?;
        Ok(contact_modulus_pa(first, second))
    }

    /// Greatest pressure that the softer body carries, Pa: its hardness, or what is usual for the materials.
    pub(super) fn hardness_pa(&self) -> f64 {
        self.hardness_pa
            .unwrap_or_else(|| usual_hardness_pa(self.materials))
    }

    /// Whether the contact goes to and fro, and so stands still at each reversal.
    pub(super) fn reverses(&self) -> bool {
        matches!(self.motion, Motion::Reversing | Motion::Fretting)
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

/// What there is at every corner of a duty given by some ranges.
///
/// # Errors
/// The first of the corners.
pub(super) fn at_corners<const N: usize, T>(
    ranges: [Interval; N],
    at: impl Fn([f64; N]) -> Result<T, ContactError>,
) -> Result<Vec<T>, ContactError> {
    corners(ranges).into_iter().map(at).collect()
}

/// The same where each corner has its mean and the place where a failure starts.
///
/// # Errors
/// The first of the corners.
pub(super) fn both_at_corners<const N: usize, T>(
    ranges: [Interval; N],
    at: impl Fn([f64; N]) -> Result<[T; 2], ContactError>,
) -> Result<Vec<T>, ContactError> {
    let both = at_corners(ranges, at)?;
    Ok(both.into_iter().flatten().collect())
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
