//! Centre distance of gears with profile shift.

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
