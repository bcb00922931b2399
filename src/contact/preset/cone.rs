//! The cones of a tapered roller and its raceways about their common apex.

use crate::contact::Wrong;
use crate::contact::preset::read::PresetFault;
use std::fmt::Display;

/// A roller and its two raceways.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cone {
    pub(super) diameter_m: f64,
    pub(super) length_m: f64,
    pub(super) outer_angle_rad: f64,
    pub(super) half_taper_rad: f64,
}

/// Where a roller's end touches the rib.
pub(super) struct RibContact {
    pub(super) to_roller_axis_m: f64,
    pub(super) to_bearing_axis_m: f64,
    /// Reduced radius in the plane of the motion, m.
    pub(super) radius_along_m: f64,
}

impl Cone {
    /// From mean diameter and length of the roller, pitch diameter and the outer raceway's angle to the axis.
    pub(super) fn new(
        diameter_m: f64,
        length_m: f64,
        pitch_diameter_m: f64,
        outer_angle_rad: f64,
    ) -> Result<Self, PresetFault> {
        // The left side less the right falls steadily from a value above zero to one below.
        let (mut low, mut high) = (0.0, outer_angle_rad);
        for _ in 0..100 {
            let middle: f64 = 0.5 * (low + high);
            if diameter_m * (outer_angle_rad - middle).sin() > pitch_diameter_m * middle.tan() {
                low = middle;
            } else {
                high = middle;
            }
        }
        let cone = Self {
            diameter_m,
            length_m,
            outer_angle_rad,
            half_taper_rad: 0.5 * (low + high),
        };
        if cone.inner_angle_rad() <= 0.0 {
            return Err(PresetFault::new("roller_diameter_m", Wrong::NoTaperLeft));
        }
        if 0.5 * length_m >= cone.middle_to_apex_m() {
            return Err(PresetFault::new("effective_length_m", Wrong::ReachesApex));
        }
        Ok(cone)
    }

    fn inner_angle_rad(&self) -> f64 {
        self.outer_angle_rad - 2.0 * self.half_taper_rad
    }

    fn axis_angle_rad(&self) -> f64 {
        self.outer_angle_rad - self.half_taper_rad
    }

    /// Along the roller's axis, m.
    fn middle_to_apex_m(&self) -> f64 {
        0.5 * self.diameter_m / self.half_taper_rad.tan()
    }

    /// Along the roller's axis, m.
    pub(super) fn end_to_apex_m(&self) -> f64 {
        self.middle_to_apex_m() + 0.5 * self.length_m
    }

    fn end_radius_m(&self) -> f64 {
        self.end_to_apex_m() * self.half_taper_rad.tan()
    }

    fn raceway_radius_m(&self, angle_rad: f64) -> f64 {
        self.middle_to_apex_m() / self.half_taper_rad.cos() * angle_rad.sin()
    }

    /// At the roller's middle, m.
    pub(super) fn inner_raceway_radius_m(&self) -> f64 {
        self.raceway_radius_m(self.inner_angle_rad())
    }

    /// Radii of roller and inner raceway in the plane square to their line, m.
    pub(super) fn radii_across_line_m(&self) -> [f64; 2] {
        [
            0.5 * self.diameter_m / self.half_taper_rad.cos(),
            self.inner_raceway_radius_m() / self.inner_angle_rad().cos(),
        ]
    }

    /// Reduced radius of both, m.
    pub(super) fn inner_reduced_radius_m(&self) -> f64 {
        let [roller, raceway] = self.radii_across_line_m();
        1.0 / (1.0 / roller + 1.0 / raceway)
    }

    /// Speed of the inner ring against the cage over that against the outer ring.
    pub(super) fn inner_to_cage_share(&self) -> f64 {
        let [inner, outer] = [self.inner_angle_rad(), self.outer_angle_rad].map(f64::sin);
        outer / (inner + outer)
    }

    /// Speed of the roller about its own axis over that of the inner ring, both against the cage.
    pub(super) fn roller_over_inner_speed(&self) -> f64 {
        self.inner_angle_rad().sin() / self.half_taper_rad.sin()
    }

    /// Load of a roller's end on the rib that balances its load on both raceways, N.
    pub(super) fn rib_load_n(&self, raceway_load_n: f64) -> f64 {
        2.0 * raceway_load_n * self.half_taper_rad.sin()
    }

    /// What is wrong with the end's radius or the height of its contact.
    pub(super) fn check_rib(&self, end_radius_m: f64, height_m: f64) -> Result<(), PresetFault> {
        if height_m >= self.end_radius_m() {
            let radius_mm = format!("{:.3}", 1e3 * self.end_radius_m());
            return Err(PresetFault::with(
                "rib_height_m",
                Wrong::AboveBigEnd,
                &[&radius_mm],
            ));
        }
        let reach = self.end_radius_m() - height_m;
        let touches_once = self.rib_contact(end_radius_m, height_m).radius_along_m;
        if end_radius_m > reach && touches_once > 0.0 && touches_once.is_finite() {
            Ok(())
        } else {
            let [least_mm, most_mm] = [reach, self.end_to_apex_m()].map(|m| format!("{:.3}", 1e3 * m));
            let values: [&dyn Display; 2] = [&least_mm, &most_mm];
            Err(PresetFault::with(
                "roller_end_radius_m",
                Wrong::TouchesTwice,
                &values,
            ))
        }
    }

    pub(super) fn rib_contact(&self, end_radius_m: f64, height_m: f64) -> RibContact {
        let to_roller_axis_m = self.end_radius_m() - height_m;
        let axis = self.axis_angle_rad();
        let to_bearing_axis_m = self.end_to_apex_m() * axis.sin() - to_roller_axis_m * axis.cos();
        let slope = (to_roller_axis_m / end_radius_m).asin();
        let hollow = (axis - slope).sin() / to_bearing_axis_m;
        RibContact {
            to_roller_axis_m,
            to_bearing_axis_m,
            radius_along_m: 1.0 / (1.0 / end_radius_m - hollow),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cone() -> Cone {
        Cone::new(8e-3, 12e-3, 50e-3, 15f64.to_radians()).unwrap()
    }

    #[test]
    fn roller_and_raceways_fill_the_space_between_the_rings() {
        let cone = cone();
        let outer = cone.raceway_radius_m(cone.outer_angle_rad);
        // Square to the roller's axis the two raceways are a roller's diameter apart, about the pitch circle.
        let apart = (outer - cone.inner_raceway_radius_m()) / cone.axis_angle_rad().cos();
        assert!((apart / 8e-3 - 1.0).abs() < 1e-12, "{apart}");
        assert!((outer + cone.inner_raceway_radius_m() - 50e-3).abs() < 1e-12);
    }

    #[test]
    fn a_roller_without_taper_moves_as_in_a_cylindrical_bearing() {
        let slim = Cone::new(8e-3, 12e-3, 50e-3, 1e-4).unwrap();
        assert!((slim.inner_to_cage_share() - 0.5 * (1.0 + 8.0 / 50.0)).abs() < 1e-6);
        assert!((slim.roller_over_inner_speed() - 42.0 / 8.0).abs() < 1e-5);
    }

    /// By hand: the end slips past the rib by `w h (cos b + rib / rbig)` at height h over the line on which both roll.
    #[test]
    fn the_rib_is_rolled_on_at_its_foot_and_slid_on_above() {
        let cone = cone();
        let slip = |height: f64| {
            let place = cone.rib_contact(30e-3, height);
            place.to_bearing_axis_m - cone.roller_over_inner_speed() * place.to_roller_axis_m
        };
        assert!(slip(0.0).abs() < 1e-12, "{}", slip(0.0));
        let by_hand = 2e-3 * (cone.axis_angle_rad().cos() + cone.roller_over_inner_speed());
        assert!((slip(2e-3) / by_hand - 1.0).abs() < 1e-9);
    }
}
