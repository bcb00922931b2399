//! Helical pairs by a spur pair.

use crate::contact::gear::GearData;
use std::f64::consts::PI;

/// Base helix angle in rad, from the pressure angle in the normal section and the helix angle, rad.
///
/// # Formula
/// `sin bb = sin b cos an`.
pub fn base_helix_rad(normal_pressure_angle_rad: f64, helix_rad: f64) -> f64 {
    (helix_rad.sin() * normal_pressure_angle_rad.cos()).asin()
}

/// Overlap ratio of a helical pair: face width over axial pitch; module in the normal section, helix angle in rad.
pub fn overlap_ratio(normal_module_m: f64, face_width_m: f64, helix_rad: f64) -> f64 {
    face_width_m * helix_rad.sin().abs() / (PI * normal_module_m)
}

/// The spur pair by which a helical pair is computed; `normal` holds module and pressure angle of the normal section, all
/// else as it is. Without a helix the pair itself.
///
/// # Formula
/// The transverse pair with every length divided by the cosine of the base helix angle. Its torque is the pair's over the
/// square of that cosine, its speed the pair's times it. It has the flanks' radii of curvature in their normal section, the
/// flanks' normal force, the length of a line of contact over the whole face, and the flanks' speeds across that line. At
/// the pitch point it is ISO 6336-2 with its helix and contact ratio factors at 1 (from memory).
pub fn virtual_spur(normal: GearData, helix_rad: f64) -> GearData {
    let normal_angle = normal.pressure_angle_deg.to_radians();
    let transverse_angle = (normal_angle.tan() / helix_rad.cos()).atan();
    let scale = 1.0 / base_helix_rad(normal_angle, helix_rad).cos();
    GearData {
        module_m: normal.module_m / helix_rad.cos() * scale,
        pressure_angle_deg: transverse_angle.to_degrees(),
        centre_distance_m: normal.centre_distance_m * scale,
        pinion_tip_diameter_m: normal.pinion_tip_diameter_m * scale,
        wheel_tip_diameter_m: normal.wheel_tip_diameter_m * scale,
        face_width_m: normal.face_width_m * scale,
        ..normal
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::elastic::STEEL;

    #[test]
    fn a_pair_without_helix_is_its_own_virtual_pair() {
        let data = GearData {
            pinion_teeth: 16.0,
            wheel_teeth: 24.0,
            module_m: 4.5e-3,
            pressure_angle_deg: 20.0,
            centre_distance_m: 91.5e-3,
            pinion_tip_diameter_m: 88.77e-3,
            wheel_tip_diameter_m: 112.5e-3,
            face_width_m: 20e-3,
            elastic: [STEEL, STEEL],
        };
        let same = virtual_spur(data, 0.0);
        assert!((same.pressure_angle_deg - 20.0).abs() < 1e-12);
        assert_eq!(
            (same.module_m, same.face_width_m),
            (data.module_m, data.face_width_m)
        );
        assert_eq!(overlap_ratio(4.5e-3, 20e-3, 0.0), 0.0);
    }
}
