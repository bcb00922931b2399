//! Similarity of words: motions, materials, supplies, shapes. Our own judgement, no source exists.

use crate::contact::terms::{Materials, Motion, ShapeClass, Supply};

/// How alike two motions are.
pub(crate) fn of_motions(a: Motion, b: Motion) -> f64 {
    use Motion::{Fretting, OneWay, Reversing, StopStart};
    match ordered(a, b) {
        (a, b) if a == b => 1.0,
        (OneWay | Reversing, StopStart) => 0.6,
        (OneWay, Reversing) | (Reversing, Fretting) => 0.35,
        (StopStart, Fretting) => 0.2,
        _ => 0.1,
    }
}

/// How alike two pairs of materials are.
pub(crate) fn of_materials(a: Materials, b: Materials) -> f64 {
    use Materials::{
        CoatedHardSteel, HardSteelBabbitt, HardSteelBronze, HardSteelCastIron, HardSteelCeramic,
        HardSteelHardSteel, HardSteelPolymer, HardSteelSoftSteel, SoftSteelSoftSteel, WheelSteelRailSteel,
    };
    match ordered(a, b) {
        (a, b) if a == b => 1.0,
        (HardSteelHardSteel, HardSteelSoftSteel)
        | (HardSteelSoftSteel, HardSteelCastIron | SoftSteelSoftSteel) => 0.7,
        (SoftSteelSoftSteel, WheelSteelRailSteel) => 0.8,
        (HardSteelSoftSteel, WheelSteelRailSteel) => 0.7,
        (HardSteelHardSteel, HardSteelCastIron | WheelSteelRailSteel | HardSteelCeramic) => 0.6,
        (HardSteelHardSteel, CoatedHardSteel)
        | (HardSteelCastIron, SoftSteelSoftSteel)
        | (HardSteelBronze, HardSteelBabbitt)
        | (HardSteelCastIron, WheelSteelRailSteel) => 0.5,
        (HardSteelHardSteel, SoftSteelSoftSteel)
        | (HardSteelSoftSteel, HardSteelCeramic)
        | (CoatedHardSteel, HardSteelCeramic) => 0.4,
        (HardSteelPolymer, HardSteelBabbitt) => 0.2,
        (HardSteelSoftSteel | HardSteelCastIron, HardSteelBronze | HardSteelBabbitt)
        | (SoftSteelSoftSteel, HardSteelBabbitt) => 0.15,
        (HardSteelHardSteel, HardSteelBronze) | (HardSteelBronze, SoftSteelSoftSteel) => 0.12,
        _ => 0.1,
    }
}

/// How alike two ways of supply are.
pub(crate) fn of_supplies(a: Supply, b: Supply) -> f64 {
    use Supply::{Bath, Circulated, OnceThrough, PackedGrease, Splash, ThinDab};
    match ordered(a, b) {
        (a, b) if a == b => 1.0,
        (Bath, Splash | Circulated) | (Splash, Circulated) | (Circulated, OnceThrough) => 0.8,
        (Bath | Splash, OnceThrough) => 0.7,
        (OnceThrough | ThinDab, PackedGrease) | (PackedGrease, ThinDab) => 0.6,
        _ => 0.4,
    }
}

/// How alike two shapes are where one of them is conformal; `None` among the others, which compare by ellipticity.
pub(crate) fn of_shapes(a: ShapeClass, b: ShapeClass) -> Option<f64> {
    match (a == ShapeClass::Conformal, b == ShapeClass::Conformal) {
        (true, true) => Some(1.0),
        (false, false) => None,
        _ => Some(0.3),
    }
}

fn ordered<T: Ord>(a: T, b: T) -> (T, T) {
    if a <= b { (a, b) } else { (b, a) }
}
