//! Helical pairs by a spur pair, and the centre distance of gears with profile shift.

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

/// Centre distance in m at which a pair with these profile shifts meshes without backlash; `None` where they leave no
/// working pressure angle.
///
/// # Formula
/// `inv awt = inv at + 2 tan an (x1 + x2) / (z1 + z2)`, `a = m (z1 + z2) / (2 cos b) cos at / cos awt`, where m is the
/// normal module, an the normal and `tan at = tan an / cos b` the transverse pressure angle, b the helix angle, and
/// `inv a = tan a - a`.
pub fn shifted_centre_distance_m(
    teeth: [f64; 2],
    normal_module_m: f64,
    pressure_angle_rad: f64,
    helix_rad: f64,
    sum_of_shifts: f64,
) -> Option<f64> {
    let sum_of_teeth = teeth[0] + teeth[1];
    let transverse = (pressure_angle_rad.tan() / helix_rad.cos()).atan();
    let wanted = involute(transverse) + 2.0 * pressure_angle_rad.tan() * sum_of_shifts / sum_of_teeth;
    let working = angle_of_involute(wanted)?;
    let unshifted_m = 0.5 * normal_module_m * sum_of_teeth / helix_rad.cos();
    Some(unshifted_m * transverse.cos() / working.cos())
}

fn involute(angle_rad: f64) -> f64 {
    angle_rad.tan() - angle_rad
}

/// By bisection, for angles above 0 and up to 1.2 rad, beyond any gear.
fn angle_of_involute(wanted: f64) -> Option<f64> {
    let (mut low, mut high) = (0.0, 1.2);
    if !(wanted > 0.0 && wanted < involute(high)) {
        return None;
    }
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if involute(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
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

    #[test]
    fn gears_without_shift_stand_at_half_the_sum_of_their_diameters() {
        let distance = shifted_centre_distance_m([21.0, 62.0], 3e-3, 20f64.to_radians(), 0.0, 0.0).unwrap();
        assert!((distance - 0.1245).abs() < 1e-12, "{distance}");
    }

    /// The scuffing rig's gears: shifts of 0.8532 and -0.5 are those of 91.5 mm without backlash (geometry seen in part,
    /// sum computed).
    #[test]
    fn the_rig_gears_stand_at_the_distance_of_their_shifts() {
        let distance =
            shifted_centre_distance_m([16.0, 24.0], 4.5e-3, 20f64.to_radians(), 0.0, 0.3532).unwrap();
        assert!((distance - 91.5e-3).abs() < 1e-6, "{distance}");
    }

    #[test]
    fn too_negative_a_shift_leaves_no_mesh() {
        assert_eq!(
            shifted_centre_distance_m([21.0, 62.0], 3e-3, 20f64.to_radians(), 0.0, -3.0),
            None
        );
    }
}
