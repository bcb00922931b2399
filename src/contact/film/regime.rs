//! Which of the four film regimes a contact runs in.
//!
//! Coefficients from memory, save where a function says otherwise. Each regime has its own formula; the one that gives
//! the thickest film applies, a rigid one only while the bodies flatten less than the film that it gives. Near a border
//! the true film is thicker than any of them.

use crate::contact::film::Inlet;
use crate::contact::film::formulas::{Groups, groups, line_load, point_load};
use std::fmt;

/// Whether the bodies deform and whether pressure thickens the oil, so far as the film notices.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Regime {
    /// Neither.
    IsoviscousRigid,
    /// The oil thickens.
    PiezoviscousRigid,
    /// The bodies deform.
    IsoviscousElastic,
    /// Both: the hard contacts of bearings and gears.
    PiezoviscousElastic,
}

impl Regime {
    /// All four.
    pub const ALL: [Self; 4] = [
        Self::IsoviscousRigid,
        Self::PiezoviscousRigid,
        Self::IsoviscousElastic,
        Self::PiezoviscousElastic,
    ];

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::IsoviscousRigid => "isoviscous-rigid",
            Self::PiezoviscousRigid => "piezoviscous-rigid",
            Self::IsoviscousElastic => "isoviscous-elastic",
            Self::PiezoviscousElastic => "piezoviscous-elastic",
        }
    }
}

impl fmt::Display for Regime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Minimum film thickness in m by the formula of each regime.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RegimeFilms {
    thicknesses_m: [f64; 4],
}

impl RegimeFilms {
    /// The thickness in m by the formula of one regime.
    pub fn thickness_m(&self, regime: Regime) -> f64 {
        match regime {
            Regime::IsoviscousRigid => self.thicknesses_m[0],
            Regime::PiezoviscousRigid => self.thicknesses_m[1],
            Regime::IsoviscousElastic => self.thicknesses_m[2],
            Regime::PiezoviscousElastic => self.thicknesses_m[3],
        }
    }

    /// The regime of the thickest film, for bodies that would flatten by so much without a film, m. The rigid regimes
    /// count only where their film is thicker than that (ours): with the thickest film alone every heavy contact would
    /// pass for piezoviscous-rigid, whose film does not fall with load.
    pub fn regime(&self, flattening_m: f64) -> Regime {
        let is_rigid = |regime| matches!(regime, Regime::IsoviscousRigid | Regime::PiezoviscousRigid);
        let holds = |regime: &Regime| !is_rigid(*regime) || self.thickness_m(*regime) > flattening_m;
        Regime::ALL
            .into_iter()
            .filter(holds)
            .max_by(|one, other| self.thickness_m(*one).total_cmp(&self.thickness_m(*other)))
            .unwrap_or(Regime::PiezoviscousElastic)
    }
}

/// The four films of an elliptical contact with its longer axis across the motion.
///
/// # Formula
/// With `gV = G W^3 / U^2`, `gE = W^(8/3) / U^2`, `H = (h/Rx) (W/U)^2`, `a = Ry/Rx`: isoviscous-rigid
/// `H = 128 a L^2 (0.131 atan(a/2) + 1.683)^2`, `L = 1/(1 + 2/(3a))`; piezoviscous-rigid
/// `1.66 gV^(2/3) (1 - exp(-0.68 k))`; isoviscous-elastic `8.70 gE^0.67 (1 - 0.85 exp(-0.31 k))`; piezoviscous-elastic
/// `3.42 gV^0.49 gE^0.17 (1 - exp(-0.68 k))` (Hamrock and Dowson 1979, from memory; the first checked by solving
/// Reynolds' equation).
pub fn point_regime_films(
    load_n: f64,
    radii_m: [f64; 2],
    contact_modulus_pa: f64,
    ellipticity: f64,
    inlet: Inlet,
) -> RegimeFilms {
    let [radius_x_m, radius_y_m] = radii_m;
    let Groups { speed, materials } = groups(inlet, radius_x_m, contact_modulus_pa);
    let load = point_load(load_n, radius_x_m, contact_modulus_pa);
    let ratio = radius_y_m / radius_x_m;
    let leak = 1.0 / (1.0 + 2.0 / (3.0 * ratio));
    let viscous = materials * load.powi(3) / speed.powi(2);
    let elastic = load.powf(8.0 / 3.0) / speed.powi(2);
    let (hard, soft) = (
        1.0 - (-0.68 * ellipticity).exp(),
        1.0 - 0.85 * (-0.31 * ellipticity).exp(),
    );
    let groups = [
        128.0 * ratio * leak.powi(2) * (0.131 * (0.5 * ratio).atan() + 1.683).powi(2),
        1.66 * viscous.powf(2.0 / 3.0) * hard,
        8.70 * elastic.powf(0.67) * soft,
        3.42 * viscous.powf(0.49) * elastic.powf(0.17) * hard,
    ];
    RegimeFilms {
        thicknesses_m: groups.map(|group| radius_x_m * group * (speed / load).powi(2)),
    }
}

/// The four films of a line contact across the motion.
///
/// # Formula
/// With `gV = G W'^(3/2) / U^(1/2)`, `gE = W' / U^(1/2)`, `H = (h/R) (W'/U)`: isoviscous-rigid `H = 4.9` (Martin 1916;
/// checked by solving Reynolds' equation), piezoviscous-rigid `1.05 gV^(2/3)` (Blok), isoviscous-elastic `3.10 gE^0.8`
/// (Herrebrugh 1968), piezoviscous-elastic `2.65 gV^0.54 gE^0.06` (Dowson 1968), all but the last from memory.
pub fn line_regime_films(
    load_per_length_n_m: f64,
    radius_m: f64,
    contact_modulus_pa: f64,
    inlet: Inlet,
) -> RegimeFilms {
    let Groups { speed, materials } = groups(inlet, radius_m, contact_modulus_pa);
    let load = line_load(load_per_length_n_m, radius_m, contact_modulus_pa);
    let viscous = materials * load.powf(1.5) / speed.sqrt();
    let elastic = load / speed.sqrt();
    let groups = [
        4.9,
        1.05 * viscous.powf(2.0 / 3.0),
        3.10 * elastic.powf(0.8),
        2.65 * viscous.powf(0.54) * elastic.powf(0.06),
    ];
    RegimeFilms {
        thicknesses_m: groups.map(|group| radius_m * group * speed / load),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn films(load_n: f64) -> RegimeFilms {
        let inlet = Inlet {
            viscosity_pa_s: 0.04,
            alpha_per_pa: 2.3e-8,
            entrainment_m_s: 6.25,
        };
        point_regime_films(load_n, [5.11e-3, 165e-3], 110e9, 9.0, inlet)
    }

    #[test]
    fn bodies_that_flatten_more_than_the_film_are_elastic_and_light_ones_rigid() {
        let heavy = films(4300.0);
        assert!(
            heavy.thickness_m(Regime::PiezoviscousRigid) > heavy.thickness_m(Regime::PiezoviscousElastic)
        );
        assert_eq!(heavy.regime(10e-6), Regime::PiezoviscousElastic);
        assert_eq!(heavy.regime(0.0), Regime::PiezoviscousRigid);
        assert_eq!(films(1e-3).regime(1e-12), Regime::IsoviscousRigid);
    }
}
