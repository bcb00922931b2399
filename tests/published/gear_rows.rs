//! Rows on the gear pair of the scuffing rig.

use crate::published_contacts::Example;
use likewear::facade::contact::elastic::STEEL;
use likewear::facade::contact::gear::{GearData, GearPair};

/// The row's quantity in SI, or `None` for rows that are not about gears.
pub(crate) fn compute(row: &Example) -> Option<f64> {
    if !(row.id.starts_with("GR-A") || row.id.starts_with("GR-P")) {
        return None;
    }
    let x = |name: &str| row.input(name);
    let pair = GearPair::new(GearData {
        pinion_teeth: x("z1"),
        wheel_teeth: x("z2"),
        module_m: 1e-3 * x("m_mm"),
        pressure_angle_deg: x("alpha_deg"),
        centre_distance_m: 1e-3 * x("a_mm"),
        pinion_tip_diameter_m: 1e-3 * x("da1_mm"),
        wheel_tip_diameter_m: 1e-3 * x("da2_mm"),
        face_width_m: 1e-3 * x("b_mm"),
        elastic: [STEEL, STEEL],
    })
    .unwrap();
    let pinion_rpm = |wheel_rpm: f64| wheel_rpm / pair.speed_ratio();
    let ends = pair.path_points();
    let value = match row.id.as_str() {
        "GR-A-01" | "GR-A-02" => pair.working_pressure_angle_rad().to_degrees(),
        "GR-A-03" => 2.0 * pair.pitch_radii_m()[0],
        "GR-A-04" => pair.pitch_line_velocity_m_s(pinion_rpm(x("n_wheel_rpm"))),
        "GR-A-05" => pinion_rpm(x("n_wheel_rpm")),
        "GR-A-08" => pair.at(ends.e_m, 1.0, 1.0).unwrap().sliding_m_s() / pair.pitch_line_velocity_m_s(1.0),
        "GR-A-09" => pair
            .at(ends.a_m, pinion_rpm(x("n_wheel_rpm")), 1.0)
            .unwrap()
            .sliding_m_s(),
        id if id.starts_with("GR-P-") => pair.pitch_point_pressure_pa(x("pinion_torque_Nm")).unwrap(),
        _ => return None,
    };
    Some(value)
}
