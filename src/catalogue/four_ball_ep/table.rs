//! The ladder of loads with the scars of the compensation line.

use crate::catalogue::four_ball_ep::ScarFrom;
use crate::contact::kinematics::four_ball_standard_hertz_scar_m;
use crate::units::Unit;

/// Standard loads in kgf with the scar of the compensation line in mm; `None` where none is remembered. Ladder and scars
/// of ASTM D2783, from memory, not seen: check them against the licensed standard.
const LADDER: [(f64, Option<f64>); 22] = [
    (6.0, None),
    (8.0, None),
    (10.0, Some(0.21)),
    (13.0, Some(0.23)),
    (16.0, Some(0.25)),
    (20.0, Some(0.27)),
    (24.0, Some(0.28)),
    (32.0, Some(0.31)),
    (40.0, Some(0.33)),
    (50.0, Some(0.36)),
    (63.0, Some(0.39)),
    (80.0, Some(0.42)),
    (100.0, Some(0.46)),
    (126.0, Some(0.50)),
    (160.0, Some(0.54)),
    (200.0, Some(0.59)),
    (250.0, None),
    (315.0, None),
    (400.0, None),
    (500.0, None),
    (620.0, None),
    (800.0, None),
];

/// A load within this share of a step is that step (common practice, no source).
const SAME_STEP: f64 = 0.005;

/// The standard loads, kgf, rising.
pub fn ladder_kgf() -> impl DoubleEndedIterator<Item = f64> {
    LADDER.iter().map(|(load, _)| *load)
}

/// The standard load that a load stands for; `None` for a load between the steps.
pub fn step_kgf(load_kgf: f64) -> Option<f64> {
    ladder_kgf().find(|step| (load_kgf - step).abs() <= SAME_STEP * step)
}

/// Diameter of the unworn contact under a load in kgf, mm.
///
/// # Formula
/// `0.0873 mm (P / kgf)^(1/3)` (ASTM D2783, from memory).
pub fn hertz_scar_mm(load_kgf: f64) -> f64 {
    1e3 * four_ball_standard_hertz_scar_m(load_kgf * Unit::KilogramForce.factor())
}

/// Scar of the compensation line under a load in kgf, mm, and whether the table holds it; between two steps of the table
/// by a straight line of logarithms.
///
/// # Formula
/// Outside the remembered part of the table, 10 to 200 kgf, a smooth stand-in `0.0951 mm (P / kgf)^0.344` (ours: within
/// 0.01 mm of all fourteen remembered scars).
pub fn compensation_scar_mm(load_kgf: f64) -> (f64, ScarFrom) {
    let load = step_kgf(load_kgf).unwrap_or(load_kgf);
    let known = || {
        LADDER
            .iter()
            .filter_map(|(load, scar)| scar.map(|scar| (*load, scar)))
    };
    if let Some((_, scar)) = known().find(|(step, _)| *step == load) {
        return (scar, ScarFrom::CompensationLine);
    }
    let between = known().zip(known().skip(1)).find_map(|(below, above)| {
        let share = (load / below.0).ln() / (above.0 / below.0).ln();
        let scar = below.1 * (above.1 / below.1).powf(share);
        (0.0..=1.0).contains(&share).then_some(scar)
    });
    match between {
        Some(scar) => (scar, ScarFrom::CompensationLine),
        None => (0.0951 * load.powf(0.344), ScarFrom::StandIn),
    }
}
