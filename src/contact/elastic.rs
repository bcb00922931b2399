//! Elastic and thermal constants of the bodies, and the pressure at which they begin to yield.

use crate::contact::error::positive;
use crate::contact::hertz::POINT_SHEAR;
use crate::contact::terms::Materials;
use crate::contact::{ContactError, Wrong};

/// Young's modulus and Poisson's ratio of one body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elastic {
    /// Young's modulus, Pa.
    pub e_pa: f64,
    /// Poisson's ratio.
    pub nu: f64,
}

/// Bearing and gear steel, 206 GPa and 0.3 (DIN 3990 / ISO 6336 value, from memory).
pub const STEEL: Elastic = Elastic { e_pa: 206e9, nu: 0.3 };
/// Grey cast iron, a middling grade (handbook value, from memory; grades run from 90 to 150 GPa).
pub const CAST_IRON: Elastic = Elastic {
    e_pa: 118e9,
    nu: 0.26,
};
/// Tin bronze of worm wheels and bushes (handbook value, from memory; 90 to 115 GPa).
pub const BRONZE: Elastic = Elastic {
    e_pa: 105e9,
    nu: 0.34,
};

/// White metal of bearings, tin or lead based (handbook value, from memory; 30 to 55 GPa).
pub const BABBITT: Elastic = Elastic { e_pa: 50e9, nu: 0.35 };

/// Silicon nitride of rolling elements (handbook value, from memory; 300 to 320 GPa).
pub const CERAMIC: Elastic = Elastic {
    e_pa: 310e9,
    nu: 0.27,
};

impl Elastic {
    /// Constants of one body.
    ///
    /// # Errors
    /// Names `e_pa` unless above zero, and `nu` outside -1 to 0.5.
    pub fn new(e_pa: f64, nu: f64) -> Result<Self, ContactError> {
        let e_pa = positive("e_pa", e_pa)?;
        if nu > -1.0 && nu <= 0.5 {
            Ok(Self { e_pa, nu })
        } else {
            Err(ContactError::field("nu", nu, Wrong::PoissonRatio))
        }
    }
}

/// Contact modulus E* in Pa. Film formulas use E' = 2 E*.
///
/// # Formula
/// `1/E* = (1 - nu1^2)/E1 + (1 - nu2^2)/E2` (Johnson, Contact Mechanics, 1985, from memory).
pub fn contact_modulus_pa(a: Elastic, b: Elastic) -> f64 {
    1.0 / ((1.0 - a.nu * a.nu) / a.e_pa + (1.0 - b.nu * b.nu) / b.e_pa)
}

/// Thermal constants of one body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermal {
    /// Conductivity K, W/(m K).
    pub conductivity_w_m_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg K).
    pub heat_capacity_j_kg_k: f64,
}

/// Bearing steel: K 46 W/(m K), 7850 kg/m3, 460 J/(kg K) (handbook values, from memory).
pub const STEEL_THERMAL: Thermal = Thermal {
    conductivity_w_m_k: 46.0,
    density_kg_m3: 7850.0,
    heat_capacity_j_kg_k: 460.0,
};
/// Grey cast iron (handbook values, from memory).
pub const CAST_IRON_THERMAL: Thermal = Thermal {
    conductivity_w_m_k: 50.0,
    density_kg_m3: 7200.0,
    heat_capacity_j_kg_k: 500.0,
};
/// Tin bronze (handbook values, from memory).
pub const BRONZE_THERMAL: Thermal = Thermal {
    conductivity_w_m_k: 60.0,
    density_kg_m3: 8800.0,
    heat_capacity_j_kg_k: 380.0,
};

/// Tin-based white metal (handbook values, from memory).
pub const BABBITT_THERMAL: Thermal = Thermal {
    conductivity_w_m_k: 50.0,
    density_kg_m3: 7400.0,
    heat_capacity_j_kg_k: 230.0,
};

/// Silicon nitride (handbook values, from memory).
pub const CERAMIC_THERMAL: Thermal = Thermal {
    conductivity_w_m_k: 30.0,
    density_kg_m3: 3200.0,
    heat_capacity_j_kg_k: 700.0,
};

impl Thermal {
    /// Diffusivity, m2/s.
    pub fn diffusivity_m2_s(&self) -> f64 {
        self.conductivity_w_m_k / (self.density_kg_m3 * self.heat_capacity_j_kg_k)
    }

    /// Thermal contact coefficient `sqrt(K rho c)`, J/(m2 K s^0.5).
    pub fn effusivity(&self) -> f64 {
        (self.conductivity_w_m_k * self.density_kg_m3 * self.heat_capacity_j_kg_k).sqrt()
    }
}

/// Yield stress of the softer body of a pairing, Pa: middling values, from memory and rounded (hardened bearing or gear
/// steel 2.2 GPa, soft steel 0.6 GPa, wheel and rail steel and grey cast iron in compression 0.5 GPa, tin bronze 0.3 GPa, polymer and white metal
/// 0.06 GPa).
pub fn usual_yield_stress_pa(materials: Materials) -> f64 {
    match materials {
        Materials::HardSteelHardSteel | Materials::CoatedHardSteel | Materials::HardSteelCeramic => 2.2e9,
        Materials::WheelSteelRailSteel => 0.5e9,
        Materials::HardSteelSoftSteel | Materials::SoftSteelSoftSteel => 0.6e9,
        Materials::HardSteelCastIron => 0.5e9,
        Materials::HardSteelBronze => 0.3e9,
        Materials::HardSteelPolymer | Materials::HardSteelBabbitt => 0.06e9,
    }
}

/// Maximum pressure near which the softer body of a pairing begins to yield under a circular contact, Pa: the greatest
/// shear stress reaches half its yield stress (Tresca). Above it the elastic values are nominal; hard steel then shakes
/// down and is run there every day.
pub(in crate::contact) fn usual_first_yield_pa(materials: Materials) -> f64 {
    usual_yield_stress_pa(materials) / (2.0 * POINT_SHEAR)
}

/// Hardness over yield stress of a metal that does not harden any more (slip-line theory; Tabor, from memory).
const HARDNESS_OVER_YIELD: f64 = 3.0;

/// Hardness of the softer body of a pairing where none is stated, Pa: the greatest mean pressure that it carries.
pub(in crate::contact) fn usual_hardness_pa(materials: Materials) -> f64 {
    HARDNESS_OVER_YIELD * usual_yield_stress_pa(materials)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic of the definition: 206e9 / (2 x 0.91).
    #[test]
    fn steel_on_steel_has_its_modulus() {
        assert!((contact_modulus_pa(STEEL, STEEL) / 113.186_813e9 - 1.0).abs() < 1e-8);
    }

    #[test]
    fn the_softer_body_lowers_the_modulus_and_order_does_not_matter() {
        assert!(contact_modulus_pa(STEEL, BRONZE) < contact_modulus_pa(STEEL, STEEL));
        assert_eq!(
            contact_modulus_pa(STEEL, BRONZE),
            contact_modulus_pa(BRONZE, STEEL)
        );
    }

    #[test]
    fn impossible_constants_are_refused() {
        assert!(Elastic::new(0.0, 0.3).is_err());
        assert!(Elastic::new(206e9, 0.6).is_err());
    }

    #[test]
    fn a_body_carries_three_times_its_yield_stress() {
        let hardness = |word: &str| usual_hardness_pa(word.parse().unwrap());
        assert!((hardness("hard steel/hard steel") / 6.6e9 - 1.0).abs() < 1e-12);
        assert!((hardness("hard steel/bronze") / 0.9e9 - 1.0).abs() < 1e-12);
    }

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
