//! One contact of every kind that is computed, for the laws and the refusals of presets.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use likewear::facade::contact::preset::{MachinePreset, PresetFault};
use serde_json::{Map, Value, json};

pub(crate) type Parameters = Map<String, Value>;

/// Keys of a duty with their ranges.
pub(crate) type Duty = Vec<(&'static str, [f64; 2])>;

/// One contact of each computed kind, with the keys of its duty and their ranges.
pub(crate) fn kinds() -> Vec<(&'static str, Parameters, Duty)> {
    let around = |materials: &str| json!({"temperature_c": 60, "supply": "splash", "materials": materials, "roughness_rq_m": [4e-7, 2e-7]});
    let steel = || around("hard steel/hard steel");
    let with = |mut around: Value, own: Value| {
        around
            .as_object_mut()
            .unwrap()
            .extend(own.as_object().unwrap().clone());
        around.as_object().unwrap().clone()
    };
    let mut bronze = around("hard steel/bronze");
    bronze.as_object_mut().unwrap().remove("roughness_rq_m");
    vec![
        (
            "gear pair",
            with(
                steel(),
                json!({"pinion_teeth": 21, "wheel_teeth": 62, "normal_module_m": 3e-3,
                "pressure_angle_deg": 20, "helix_deg": 14, "centre_distance_m": 0.1295, "face_width_m": 0.04, "pinion_tip_diameter_m": 0.072, "wheel_tip_diameter_m": 0.1985}),
            ),
            vec![("pinion_torque_nm", [20.0, 600.0]), ("pinion_rpm", [0.0, 3000.0])],
        ),
        (
            "bevel gear pair",
            with(
                steel(),
                json!({"pinion_teeth": 16, "wheel_teeth": 47, "outer_module_m": 5e-3, "pressure_angle_deg": 20,
                "spiral_deg": 30, "face_width_m": 0.03, "profile_shift": 0.2}),
            ),
            vec![("pinion_torque_nm", [20.0, 600.0]), ("pinion_rpm", [0.0, 3000.0])],
        ),
        (
            "deep groove ball bearing",
            with(
                steel(),
                json!({"ball_diameter_m": 0.0127, "balls": 9, "pitch_diameter_m": 0.065, "inner_conformity": 0.515,
                "outer_conformity": 0.525, "load_factor": 5}),
            ),
            vec![
                ("radial_load_n", [500.0, 9000.0]),
                ("inner_rpm", [100.0, 5000.0]),
                ("outer_rpm", [-500.0, 100.0]),
                ("slip", [0.0, 0.1]),
            ],
        ),
        (
            "angular contact ball bearing",
            with(
                steel(),
                json!({"ball_diameter_m": 0.0111, "balls": 12, "pitch_diameter_m": 0.046, "contact_angle_deg": 40}),
            ),
            vec![
                ("axial_load_n", [200.0, 6000.0]),
                ("inner_rpm", [100.0, 5000.0]),
                ("outer_rpm", [-500.0, 100.0]),
                ("slip", [0.0, 0.1]),
                ("radial_load_n", [0.0, 2000.0]),
            ],
        ),
        (
            "spherical roller bearing",
            with(
                steel(),
                json!({"roller_diameter_m": 0.02, "effective_length_m": 0.018, "roller_profile_radius_m": 0.0635,
                "raceway_profile_radius_m": 0.0648, "rollers": 28, "contact_angle_deg": 10, "pitch_diameter_m": 0.105}),
            ),
            vec![
                ("radial_load_n", [1000.0, 80_000.0]),
                ("inner_rpm", [10.0, 2000.0]),
                ("outer_rpm", [-100.0, 10.0]),
                ("slip", [0.0, 0.1]),
            ],
        ),
        (
            "tapered roller bearing",
            with(
                steel(),
                json!({"at": "raceway", "roller_diameter_m": 0.008, "effective_length_m": 0.012, "rollers": 17,
                "outer_angle_deg": 15, "roller_end_radius_m": 0.08, "rib_height_m": 0.0015, "pitch_diameter_m": 0.05}),
            ),
            vec![
                ("axial_load_n", [500.0, 20_000.0]),
                ("inner_rpm", [10.0, 5000.0]),
                ("outer_rpm", [-100.0, 10.0]),
                ("slip", [0.0, 0.1]),
                ("radial_load_n", [0.0, 9000.0]),
            ],
        ),
        (
            "cylindrical roller bearing",
            with(
                steel(),
                json!({"roller_diameter_m": 0.016, "effective_length_m": 0.016, "rollers": 9,
                "pitch_diameter_m": 0.08}),
            ),
            vec![
                ("radial_load_n", [500.0, 20_000.0]),
                ("inner_rpm", [100.0, 5000.0]),
                ("outer_rpm", [-500.0, 100.0]),
                ("slip", [0.0, 0.3]),
            ],
        ),
        (
            "thrust roller bearing",
            with(
                steel(),
                json!({"roller_diameter_m": 0.011, "effective_length_m": 0.011, "rollers": 15,
                "mean_diameter_m": 0.0775}),
            ),
            vec![
                ("axial_load_n", [1000.0, 100_000.0]),
                ("speed_rpm", [0.0, 2000.0]),
            ],
        ),
        (
            "worm throat",
            with(
                around("hard steel/bronze"),
                json!({"worm_pitch_diameter_m": 0.05, "lead_angle_deg": 22,
                "wheel_pitch_diameter_m": 0.15, "wheel_face_width_m": 0.035, "normal_pressure_angle_deg": 20}),
            ),
            vec![
                ("wheel_torque_nm", [50.0, 900.0]),
                ("worm_rpm", [0.0, 1500.0]),
                ("lines_in_contact", [1.0, 3.0]),
            ],
        ),
        (
            "pin in bush",
            with(bronze.clone(), json!({"pin_diameter_m": 0.06, "length_m": 0.05})),
            vec![
                ("load_n", [100.0, 90_000.0]),
                ("amplitude_deg", [1.0, 90.0]),
                ("frequency_hz", [0.0, 3.0]),
            ],
        ),
        (
            "slideway",
            with(bronze, json!({"length_m": 0.4, "width_m": 0.05})),
            vec![("load_n", [100.0, 9000.0]), ("speed_m_s", [0.0, 2.0])],
        ),
    ]
    .into_iter()
    .chain(sliding(&around, &with))
    .collect()
}

/// Those that slide, swing or are cams.
fn sliding(
    around: &impl Fn(&str) -> Value,
    with: &impl Fn(Value, Value) -> Parameters,
) -> Vec<(&'static str, Parameters, Duty)> {
    let steel = || around("hard steel/hard steel");
    let mut bronze = around("hard steel/bronze");
    bronze.as_object_mut().unwrap().remove("roughness_rq_m");
    let mut swinging = steel();
    swinging["motion"] = json!("reversing");
    let cam = json!({"base_radius_m": 0.018, "lift_m": 0.0094, "nose_radius_m": 0.006, "half_event_deg": 75,
        "contact_length_m": 0.014});
    let mut rolling_cam = cam.clone();
    rolling_cam["roller_diameter_m"] = json!(0.018);
    vec![
        (
            "cam with flat follower",
            with(around("hard steel/cast iron"), cam),
            vec![("load_n", [100.0, 1200.0]), ("cam_rpm", [0.0, 4000.0])],
        ),
        (
            "cam with roller follower",
            with(steel(), rolling_cam),
            vec![
                ("load_n", [100.0, 1200.0]),
                ("cam_rpm", [0.0, 4000.0]),
                ("slip", [0.0, 0.3]),
            ],
        ),
        (
            "vane on ring",
            with(
                steel(),
                json!({"tip_radius_m": 0.002, "ring_bore_diameter_m": 0.08, "vane_width_m": 0.03}),
            ),
            vec![("load_n", [20.0, 400.0]), ("rotor_rpm", [0.0, 2500.0])],
        ),
        (
            "slipper on swash plate",
            with(
                bronze.clone(),
                json!({"land_outer_diameter_m": 0.028, "land_inner_diameter_m": 0.018, "pitch_diameter_m": 0.07}),
            ),
            vec![
                ("load_n", [500.0, 9000.0]),
                ("rotor_rpm", [0.0, 2500.0]),
                ("relief", [0.0, 0.98]),
                ("swash_angle_deg", [0.0, 18.0]),
            ],
        ),
        (
            "journal bearing",
            with(
                around("hard steel/bronze"),
                json!({"diameter_m": 0.05, "length_m": 0.04, "radial_clearance_m": 30e-6}),
            ),
            vec![("load_n", [200.0, 6000.0]), ("speed_rpm", [0.0, 3000.0])],
        ),
        (
            "chain pin",
            with(
                bronze,
                json!({"pin_diameter_m": 0.0051, "bush_length_m": 0.013, "sprocket_teeth": 17}),
            ),
            vec![("tension_n", [100.0, 3000.0]), ("sprocket_rpm", [0.0, 900.0])],
        ),
        (
            "wires in a rope",
            with(
                swinging.clone(),
                json!({"wire_diameter_m": 0.0012, "crossing_deg": 34, "layer_diameter_m": 0.008, "lay_angle_deg": 17}),
            ),
            vec![
                ("load_n", [5.0, 200.0]),
                ("bends_per_s", [0.0, 1.0]),
                ("sheave_diameter_m", [0.2, 0.8]),
            ],
        ),
        (
            "oscillating ball bearing",
            with(
                swinging.clone(),
                json!({"ball_diameter_m": 0.012, "groove_radius_m": 0.0062, "balls": 9, "pitch_diameter_m": 0.05}),
            ),
            vec![
                ("radial_load_n", [100.0, 5000.0]),
                ("frequency_hz", [0.0, 20.0]),
                ("amplitude_deg", [0.1, 20.0]),
                ("slip", [0.0, 0.3]),
            ],
        ),
        (
            "oscillating roller bearing",
            with(
                swinging,
                json!({"roller_diameter_m": 0.008, "effective_length_m": 0.01, "rollers": 14, "pitch_diameter_m": 0.05}),
            ),
            vec![
                ("radial_load_n", [100.0, 9000.0]),
                ("frequency_hz", [0.0, 20.0]),
                ("amplitude_deg", [0.1, 20.0]),
                ("slip", [0.0, 0.3]),
            ],
        ),
    ]
}

/// The contact of such parameters.
pub(crate) fn parse(word: &str, parameters: &Parameters) -> Result<MachinePreset, PresetFault> {
    MachinePreset::parse(word, &Value::Object(parameters.clone()).to_string())
}

/// The parameters of one kind over its whole duty.
pub(crate) fn whole(word: &str) -> Parameters {
    let (_, mut parameters, duty) = kinds().into_iter().find(|kind| kind.0 == word).unwrap();
    for (key, range) in duty {
        parameters.insert(key.into(), json!(range));
    }
    parameters
}
