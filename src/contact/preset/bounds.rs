//! What the numbers of a preset may be.

use crate::contact::Wrong;
use crate::contact::preset::read::PresetFault;
use crate::units::Interval;

/// What a number, or both ends of a range, may be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    least: Least,
    most: f64,
}

#[derive(Clone, Copy, Debug)]
enum Least {
    /// The number itself may be the least.
    From(f64),
    /// The number must be greater.
    Above(f64),
    /// From 0, but not 0 throughout: a duty may begin at standstill.
    Standstill,
}

impl Bounds {
    pub(super) const fn from(least: f64, most: f64) -> Self {
        let least = Least::From(least);
        Self { least, most }
    }

    pub(super) const fn above(least: f64, most: f64) -> Self {
        let least = Least::Above(least);
        Self { least, most }
    }

    pub(super) const fn from_standstill(most: f64) -> Self {
        let least = Least::Standstill;
        Self { least, most }
    }

    pub(super) fn check(self, key: &str, range: Interval) -> Result<Interval, PresetFault> {
        let most = self.most;
        let holds = match self.least {
            Least::From(least) => range.lo() >= least,
            Least::Above(least) => range.lo() > least,
            Least::Standstill => range.lo() >= 0.0 && range.hi() > 0.0,
        };
        if holds && range.hi() <= most {
            return Ok(range);
        }
        Err(match self.least {
            Least::From(least) => PresetFault::with(key, Wrong::NotBetween, &[&least, &most]),
            Least::Above(least) => PresetFault::with(key, Wrong::NotAbove, &[&least, &most]),
            Least::Standstill => PresetFault::with(key, Wrong::StandsStill, &[&most]),
        })
    }
}

/// Lengths and diameters, m. The upper ends of all these bounds only catch a wrong unit (ours).
pub(super) const LENGTH_M: Bounds = Bounds::above(0.0, 100.0);
/// Forces, N.
pub(super) const FORCE_N: Bounds = Bounds::above(0.0, 1e9);
/// Torques, N m.
pub(super) const TORQUE_NM: Bounds = Bounds::above(0.0, 1e9);
/// Speeds, r/min.
pub(super) const SPEED_RPM: Bounds = Bounds::from_standstill(1e6);
/// Speeds of either direction, r/min.
pub(super) const EITHER_WAY_RPM: Bounds = Bounds::from(-1e6, 1e6);
/// Bulk temperatures, °C.
pub(super) const TEMPERATURE_C: Bounds = Bounds::from(-100.0, 1000.0);
/// Hardness as a pressure, Pa: from the softest white metal to the hardest coating (ours).
pub(super) const HARDNESS_PA: Bounds = Bounds::from(1e7, 5e10);
/// Roughness Rq, m.
pub(super) const ROUGHNESS_M: Bounds = Bounds::from(0.0, 1e-4);
