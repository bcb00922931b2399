//! First yield below a contact, by the greatest shear stress (Tresca): plastic flow begins where the greatest shear
//! reaches half the yield stress of the softer body.
//!
//! Above that pressure the elastic values are nominal; hard steel then shakes down and is run there every day.

use crate::contact::ContactError;
use crate::contact::error::positive;
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

/// Yield stress in Pa from a Vickers hardness.
///
/// # Formula
/// `H / 3`, where H is the hardness number times 9.806 65 MPa (Tabor, from memory); good to some ten per cent for metals
/// that hardly harden further.
///
/// # Errors
/// Names `hardness_hv` unless above zero.
pub fn yield_stress_of_hardness_pa(hardness_hv: f64) -> Result<f64, ContactError> {
    Ok(positive("hardness_hv", hardness_hv)? * 9.806_65e6 / 3.0)
}

/// Maximum contact pressure at first yield, Pa.
///
/// # Formula
/// `p0 = Y / (2 s)`, where Y is the yield stress of the softer body and s the greatest shear over the maximum pressure:
/// `1.61 Y` for a circle, `1.67 Y` for a line (Johnson, Contact Mechanics, 1985: 1.60 Y and 1.67 Y, from memory).
///
/// # Errors
/// Names the argument that is not above zero.
pub fn first_yield_pressure_pa(yield_stress_pa: f64, shear_over_pressure: f64) -> Result<f64, ContactError> {
    let yield_stress = positive("yield_stress_pa", yield_stress_pa)?;
    Ok(yield_stress / (2.0 * positive("shear_over_pressure", shear_over_pressure)?))
}

/// Maximum pressure near which the softer body of a pairing begins to yield under a circular contact, Pa.
pub(in crate::contact) fn usual_first_yield_pa(materials: Materials) -> f64 {
    usual_yield_stress_pa(materials) / (2.0 * POINT_SHEAR)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::subsurface::greatest_shear;

    /// 1.60 and 1.67 times the yield stress: Johnson, Contact Mechanics, 1985 (from memory).
    #[test]
    fn a_circle_and_a_line_begin_to_yield_at_their_known_multiples() {
        let over_yield = |ratio: f64| first_yield_pressure_pa(1.0, greatest_shear(ratio).0).unwrap();
        assert!((over_yield(1.0) / 1.60 - 1.0).abs() < 0.01);
        assert!((over_yield(1e-5) / 1.67 - 1.0).abs() < 0.01);
    }

    #[test]
    fn hard_steel_yields_last_and_polymer_first() {
        let all = Materials::ALL
            .iter()
            .map(|materials| usual_first_yield_pa(*materials));
        assert!(
            all.clone()
                .all(|pressure| pressure <= usual_first_yield_pa(Materials::HardSteelHardSteel))
        );
        assert!(
            all.clone()
                .all(|pressure| pressure >= usual_first_yield_pa(Materials::HardSteelPolymer))
        );
    }

    /// 700 HV, a usual hardness of case-hardened flanks (common practice, no source): 2.3 GPa.
    #[test]
    fn hardness_gives_a_yield_stress_near_the_kept_one() {
        let yields = yield_stress_of_hardness_pa(700.0).unwrap();
        let kept = usual_yield_stress_pa(Materials::HardSteelHardSteel);
        assert!((yields / kept - 1.0).abs() < 0.1);
        assert!(yield_stress_of_hardness_pa(0.0).is_err());
    }
}
