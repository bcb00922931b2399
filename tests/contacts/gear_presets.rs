//! Gear pairs along their path of contact, and bevel gears, against independently computed values.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::units::Interval;

const AROUND: &str = r#""temperature_c":90,"supply":"bath","materials":"hard steel/hard steel""#;

fn preset(word: &str, own: &str) -> MachinePreset {
    let json = format!("{{{own},{AROUND}}}");
    MachinePreset::parse(word, &json).unwrap_or_else(|fault| panic!("{fault}"))
}

#[track_caller]
fn is_near(value: f64, expected: f64, share: f64) {
    assert!(
        (value / expected - 1.0).abs() <= share,
        "{value} is not {expected}"
    );
}

#[track_caller]
fn computed(preset: &MachinePreset, label: &str) -> Interval {
    let list = preset.computed(None).unwrap();
    list.iter().find(|(known, ..)| *known == label).unwrap().1
}

/// Profile of the scuffing rig's gears (ISO 14635-1 A; geometry partly from memory) by its profile shifts, under the
/// torque of load stage 12 (seen).
fn profile_a() -> MachinePreset {
    let own = r#""pinion_teeth":16,"wheel_teeth":24,"normal_module_m":4.5e-3,"pressure_angle_deg":20,
        "pinion_profile_shift":0.8532,"wheel_profile_shift":-0.5,"face_width_m":20e-3,
        "pinion_tip_diameter_m":88.77e-3,"wheel_tip_diameter_m":112.5e-3,"pinion_torque_nm":534.5,"pinion_rpm":2175"#;
    preset("gear pair", own)
}

/// Points of the path from the touching point on the pinion's base circle, computed independently: A 10.652, B 15.449,
/// C 13.970, D 23.937, E 28.734 mm.
#[test]
fn gear_a_has_its_points_of_the_path_where_they_were_computed() {
    let gears = profile_a();
    is_near(computed(&gears, "Working centre distance").lo(), 91.5, 1e-5);
    for (point, place_mm) in [
        ("A", 10.652),
        ("B", 15.449),
        ("C", 13.970),
        ("D", 23.937),
        ("E", 28.734),
    ] {
        let label = format!("{point}: distance from the pitch point");
        let from_pitch = computed(&gears, &label).lo();
        assert!(
            (from_pitch - (place_mm - 13.970)).abs() < 0.002,
            "{point}: {from_pitch}"
        );
    }
}

/// Computed independently: 1944 MPa at D and 2364 at E, one pair carrying the whole load; one third of it at E is
/// 2364 / sqrt 3 (sharing from memory). Sliding 5.604 and 1.259 m/s, slide-roll ratio 1.498 and 0.412 at the tips.
#[test]
fn gear_a_has_its_pressure_and_sliding_along_the_path() {
    let gears = profile_a();
    // C lies between A and B.
    let share = 1.0 / 3.0 + (13.970 - 10.652) / (15.449 - 10.652) / 3.0;
    is_near(
        computed(&gears, "C: maximum pressure").lo(),
        1841.0 * f64::sqrt(share),
        0.002,
    );
    is_near(computed(&gears, "D: maximum pressure").lo(), 1944.0, 0.001);
    is_near(
        computed(&gears, "E: maximum pressure").lo(),
        2364.0 / 3f64.sqrt(),
        0.001,
    );
    is_near(computed(&gears, "E: sliding speed").lo(), 5.604, 0.001);
    is_near(computed(&gears, "A: sliding speed").lo(), 1.2594, 0.001);
    is_near(computed(&gears, "E: slide-roll ratio").lo(), 1.498, 0.001);
    is_near(computed(&gears, "A: slide-roll ratio").lo(), 0.412, 0.002);
    assert_eq!(
        computed(&gears, "C: sliding speed"),
        Interval::point(0.0).unwrap()
    );
    // One pair carries the whole load from B to D; nothing on the path exceeds D.
    assert_eq!(
        computed(&gears, "Greatest pressure on the path"),
        computed(&gears, "D: maximum pressure")
    );
    is_near(
        computed(&gears, "Greatest pressure: distance from the pitch point").lo(),
        9.967,
        1e-3,
    );
}

/// Arithmetic by hand for a straight pair of 16 and 48 teeth on shafts at 90 degrees: tan d1 = 1/3, cone distance
/// 40 mm / sin d1, module 5 mm x 111.491 / 126.491 at the middle of the face.
#[test]
fn a_bevel_pair_has_the_pressure_of_its_developed_cones() {
    let own = r#""pinion_teeth":16,"wheel_teeth":48,"outer_module_m":5e-3,"pressure_angle_deg":20,"face_width_m":30e-3,
        "pinion_torque_nm":200,"pinion_rpm":1000"#;
    let gears = preset("bevel gear pair", own);
    is_near(computed(&gears, "Pitch cone of the pinion").lo(), 18.434949, 1e-7);
    is_near(computed(&gears, "Mean cone distance").lo(), 111.491106, 1e-7);
    is_near(
        computed(&gears, "Teeth of the cylindrical wheel").lo(),
        48.0 * 10f64.sqrt(),
        1e-9,
    );
    let mean_radius = 8.0 * 5e-3 * 111.491106 / 126.491106;
    let force = 200.0 / (mean_radius * 20f64.to_radians().cos());
    is_near(computed(&gears, "Normal force on the flanks").lo(), force, 1e-6);
    let [pinion, wheel] = [mean_radius / 0.9486833, 3.0 * mean_radius / 0.31622777];
    let reduced = 20f64.to_radians().sin() * pinion * wheel / (pinion + wheel);
    let modulus = 206e9 / (2.0 * 0.91);
    let pressure = (force / 30e-3 * modulus / (std::f64::consts::PI * reduced)).sqrt();
    let terms = gears.terms(None).unwrap();
    is_near(terms.max_pressure_pa.unwrap().lo(), pressure, 1e-6);
    is_near(
        computed(&gears, "Pitch line velocity").lo(),
        mean_radius * 1000.0 * std::f64::consts::PI / 30.0,
        1e-6,
    );
    assert!(
        terms
            .notes
            .iter()
            .any(|note| note.words().contains("approximated"))
    );
}

/// On a mean cone of its own, a bevel pair on nearly parallel shafts is nearly a spur pair.
#[test]
fn a_bevel_pair_on_nearly_parallel_shafts_is_nearly_a_spur_pair() {
    let bevel = r#""pinion_teeth":20,"wheel_teeth":50,"outer_module_m":3e-3,"pressure_angle_deg":20,
        "shaft_angle_deg":10,"face_width_m":3e-3,"pinion_torque_nm":20,"pinion_rpm":1000"#;
    let spur = r#""pinion_teeth":20,"wheel_teeth":50,"normal_module_m":3e-3,"pressure_angle_deg":20,
        "centre_distance_m":0.105,"face_width_m":3e-3,"pinion_tip_diameter_m":66e-3,"wheel_tip_diameter_m":156e-3,
        "pinion_torque_nm":20,"pinion_rpm":1000"#;
    let [bevel, spur] = [("bevel gear pair", bevel), ("gear pair", spur)]
        .map(|(word, own)| preset(word, own).terms(None).unwrap());
    let pairs = [
        (bevel.max_pressure_pa, spur.max_pressure_pa),
        (bevel.sliding_m_s, spur.sliding_m_s),
        (bevel.slide_roll, spur.slide_roll),
        (bevel.time_share, spur.time_share),
    ];
    for (bevel, spur) in pairs {
        is_near(bevel.unwrap().lo(), spur.unwrap().lo(), 0.01);
    }
}
