//! One contact of every preset, to be drawn; sizes invented.

pub(super) const SAMPLES: &[(&str, &str)] = &[
    (
        "stated",
        r#"{"shape":"line","max_pressure_pa":[7e8,1.5e9],"motion":"reversing"}"#,
    ),
    (
        "gear pair",
        r#"{"pinion_teeth":21,"wheel_teeth":62,"normal_module_m":3e-3,"pressure_angle_deg":20,"helix_deg":14,
        "centre_distance_m":0.1295,"face_width_m":40e-3,"pinion_tip_diameter_m":72.0e-3,
        "wheel_tip_diameter_m":198.5e-3,"pinion_torque_nm":300,"pinion_rpm":1500,"temperature_c":90,"supply":"bath",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "cylindrical roller bearing",
        r#"{"roller_diameter_m":16e-3,"effective_length_m":16e-3,"rollers":13,"pitch_diameter_m":80e-3,
        "radial_load_n":10800,"inner_rpm":3000,"temperature_c":90,"supply":"bath","materials":"hard steel/hard steel"}"#,
    ),
    (
        "thrust roller bearing",
        r#"{"roller_diameter_m":11e-3,"effective_length_m":11e-3,"rollers":15,"mean_diameter_m":77.5e-3,
        "axial_load_n":80000,"speed_rpm":7.5,"temperature_c":90,"supply":"bath","materials":"hard steel/hard steel"}"#,
    ),
    (
        "worm throat",
        r#"{"worm_pitch_diameter_m":0.1,"lead_angle_deg":10,"wheel_pitch_diameter_m":0.2,"wheel_face_width_m":0.035,
        "normal_pressure_angle_deg":20,"wheel_torque_nm":500,"worm_rpm":1000,"temperature_c":90,"supply":"bath",
        "materials":"hard steel/bronze"}"#,
    ),
    (
        "pin in bush",
        r#"{"pin_diameter_m":0.06,"length_m":0.05,"load_n":12000,"amplitude_deg":30,"frequency_hz":0.5,
        "temperature_c":[5,30],"supply":"thin dab","materials":"hard steel/bronze"}"#,
    ),
    (
        "slideway",
        r#"{"length_m":0.4,"width_m":0.05,"load_n":[2000,8000],"speed_m_s":[0,0.3],"temperature_c":25,
        "supply":"once-through","materials":"hard steel/cast iron"}"#,
    ),
    (
        "cam with flat follower",
        r#"{"base_radius_m":18e-3,"lift_m":9.4e-3,"nose_radius_m":6e-3,"half_event_deg":75,"contact_length_m":14e-3,
        "load_n":[300,900],"cam_rpm":[300,3000],"temperature_c":90,"supply":"splash",
        "materials":"hard steel/cast iron"}"#,
    ),
    (
        "cam with roller follower",
        r#"{"base_radius_m":18e-3,"lift_m":9.4e-3,"nose_radius_m":6e-3,"half_event_deg":75,"contact_length_m":8e-3,
        "load_n":[300,900],"cam_rpm":[300,3000],"roller_diameter_m":18e-3,"temperature_c":90,"supply":"splash",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "vane on ring",
        r#"{"tip_radius_m":2e-3,"ring_bore_diameter_m":0.08,"vane_width_m":0.03,"load_n":[50,300],
        "rotor_rpm":[600,1800],"temperature_c":60,"supply":"bath","materials":"hard steel/hard steel"}"#,
    ),
    (
        "slipper on swash plate",
        r#"{"land_outer_diameter_m":28e-3,"land_inner_diameter_m":18e-3,"pitch_diameter_m":0.07,
        "swash_angle_deg":[5,17],"load_n":[2000,9000],"rotor_rpm":[900,1800],"temperature_c":60,"supply":"bath",
        "materials":"hard steel/bronze"}"#,
    ),
    (
        "journal bearing",
        r#"{"diameter_m":0.05,"length_m":0.04,"radial_clearance_m":30e-6,"load_n":[500,6000],"speed_rpm":[300,3000],
        "temperature_c":[40,70],"supply":"circulated","materials":"hard steel/bronze"}"#,
    ),
    (
        "chain pin",
        r#"{"pin_diameter_m":5.1e-3,"bush_length_m":13e-3,"sprocket_teeth":17,"tension_n":[200,1500],
        "sprocket_rpm":[100,900],"temperature_c":[10,50],"supply":"thin dab","materials":"hard steel/hard steel"}"#,
    ),
    (
        "wires in a rope",
        r#"{"wire_diameter_m":1.2e-3,"crossing_deg":34,"layer_diameter_m":8e-3,"lay_angle_deg":17,"load_n":[20,120],
        "sheave_diameter_m":0.4,"bends_per_s":[0.01,0.1],"temperature_c":[5,30],"supply":"packed grease",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "oscillating ball bearing",
        r#"{"ball_diameter_m":12e-3,"groove_radius_m":6.2e-3,"balls":9,"pitch_diameter_m":0.05,"radial_load_n":[1000,4000],
        "amplitude_deg":[0.2,1],"frequency_hz":[1,20],"temperature_c":25,"supply":"packed grease",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "oscillating roller bearing",
        r#"{"roller_diameter_m":8e-3,"effective_length_m":10e-3,"rollers":14,"pitch_diameter_m":0.05,
        "radial_load_n":[1000,9000],"amplitude_deg":[5,20],"frequency_hz":[0.1,2],"temperature_c":25,
        "supply":"packed grease","materials":"hard steel/hard steel"}"#,
    ),
    (
        "bevel gear pair",
        r#"{"pinion_teeth":16,"wheel_teeth":47,"outer_module_m":5e-3,"pressure_angle_deg":20,"spiral_deg":30,
        "face_width_m":0.03,"profile_shift":0.2,"pinion_torque_nm":[20,600],"pinion_rpm":[0,3000],"temperature_c":60,
        "supply":"splash","materials":"hard steel/hard steel"}"#,
    ),
    (
        "deep groove ball bearing",
        r#"{"ball_diameter_m":0.0127,"balls":9,"pitch_diameter_m":0.065,"radial_load_n":[500,9000],
        "inner_rpm":[100,5000],"temperature_c":60,"supply":"splash","materials":"hard steel/hard steel"}"#,
    ),
    (
        "angular contact ball bearing",
        r#"{"ball_diameter_m":0.0111,"balls":12,"pitch_diameter_m":0.046,"contact_angle_deg":40,
        "axial_load_n":[200,6000],"inner_rpm":[100,5000],"temperature_c":60,"supply":"splash",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "spherical roller bearing",
        r#"{"roller_diameter_m":0.02,"effective_length_m":0.018,"roller_profile_radius_m":0.0635,
        "raceway_profile_radius_m":0.0648,"rollers":28,"contact_angle_deg":10,"pitch_diameter_m":0.105,
        "radial_load_n":[1000,80000],"inner_rpm":[10,2000],"temperature_c":60,"supply":"splash",
        "materials":"hard steel/hard steel"}"#,
    ),
    (
        "tapered roller bearing",
        r#"{"at":"raceway","roller_diameter_m":0.008,"effective_length_m":0.012,"rollers":17,"outer_angle_deg":15,
        "roller_end_radius_m":0.08,"rib_height_m":0.0015,"pitch_diameter_m":0.05,"axial_load_n":[500,20000],
        "inner_rpm":[10,5000],"temperature_c":60,"supply":"splash","materials":"hard steel/hard steel"}"#,
    ),
];
