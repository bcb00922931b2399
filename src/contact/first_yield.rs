//! First yield below a contact, by the greatest shear stress (Tresca): plastic flow begins where the greatest shear
//! reaches half the yield stress of the softer body.
//!
//! Above that pressure the elastic values are nominal; hard steel then shakes down and is run there every day.

use crate::contact::hertz::POINT_SHEAR;
use crate::contact::terms::Materials;

/// Yield stress of the softer body of a pairing, Pa: middling values, from memory and rounded (hardened bearing or gear
/// steel 2.2 GPa, soft steel 0.6 GPa, grey cast iron in compression 0.5 GPa, tin bronze 0.3 GPa, polymer 0.06 GPa).
pub fn usual_yield_stress_pa(materials: Materials) -> f64 {
    match materials {
        Materials::HardSteelHardSteel | Materials::CoatedHardSteel => 2.2e9,
        Materials::HardSteelSoftSteel => 0.6e9,
        Materials::HardSteelCastIron => 0.5e9,
        Materials::HardSteelBronze => 0.3e9,
        Materials::HardSteelPolymer => 0.06e9,
    }
}

/// Maximum pressure near which the softer body of a pairing begins to yield under a circular contact, Pa.
pub(in crate::contact) fn usual_first_yield_pa(materials: Materials) -> f64 {
    usual_yield_stress_pa(materials) / (2.0 * POINT_SHEAR)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hard_steel_yields_last_and_polymer_first() {
        let all = Materials::WORDS
            .iter()
            .map(|word| usual_first_yield_pa(word.parse().unwrap()));
        assert!(
            all.clone()
                .all(|pressure| pressure <= usual_first_yield_pa(Materials::HardSteelHardSteel))
        );
        assert!(
            all.clone()
                .all(|pressure| pressure >= usual_first_yield_pa(Materials::HardSteelPolymer))
        );
    }
}
