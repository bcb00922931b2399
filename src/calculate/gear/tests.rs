use super::*;

/// Gears of the scuffing rig at 1450 r/min of the wheel, load stage 12 (geometry partly from memory).
fn rig() -> GearQuestion {
    GearQuestion {
        teeth: [16.0, 24.0],
        module_m: 4.5e-3,
        pressure_angle_deg: 20.0,
        helix_deg: 0.0,
        centre_distance_m: 91.5e-3,
        face_width_m: 20e-3,
        tip_diameters_m: [88.77e-3, 112.5e-3],
        pinion_torque_nm: 534.5,
        pinion_rpm: 2175.0,
        e_pa: 206e9,
        nu: 0.3,
    }
}

#[test]
fn the_path_shows_the_jump_of_the_load_and_full_pressure_between_b_and_d() {
    let answer = calculate_gear(&rig()).unwrap();
    let share = |s_m: f64| {
        let near = answer.path.iter().filter(|at| (at.s_m - s_m).abs() < 1e-7);
        near.map(|at| at.load_share).collect::<Vec<_>>()
    };
    for jump in [share(answer.points.b_m), share(answer.points.d_m)] {
        assert!(jump.contains(&1.0));
        assert!(
            jump.iter().any(|share| (share - 2.0 / 3.0).abs() < 1e-6),
            "{jump:?}"
        );
    }
    // At D under the whole torque 1944 MPa (computed elsewhere from the same geometry).
    let highest = answer
        .path
        .iter()
        .map(|at| at.max_pressure_pa)
        .fold(0.0, f64::max);
    assert!((highest / 1944e6 - 1.0).abs() < 2e-3, "{highest}");
}

#[test]
fn a_helix_gives_overlap_and_its_hand_makes_no_difference() {
    let helical = GearQuestion {
        helix_deg: 15.0,
        centre_distance_m: 94.5e-3,
        tip_diameters_m: [91.0e-3, 116.0e-3],
        ..rig()
    };
    let answer = calculate_gear(&helical).unwrap();
    assert!(answer.overlap_ratio > 0.0);
    assert!(answer.points.a_m < answer.points.c_m && answer.points.c_m < answer.points.e_m);
    let left = calculate_gear(&GearQuestion {
        helix_deg: -15.0,
        ..helical
    });
    assert_eq!(left.unwrap().pitch_max_pressure_pa, answer.pitch_max_pressure_pa);
}

#[test]
fn what_belongs_to_no_gear_is_named_by_the_questions_field() {
    let field = |question: GearQuestion| calculate_gear(&question).unwrap_err()[0].field.clone();
    let rig = rig();
    for (question, name) in [
        (
            GearQuestion {
                teeth: [16.5, 24.0],
                ..rig
            },
            "z1",
        ),
        (
            GearQuestion {
                teeth: [16.0, -24.0],
                ..rig
            },
            "z2",
        ),
        (GearQuestion { module_m: 0.0, ..rig }, "module_m"),
        (
            GearQuestion {
                tip_diameters_m: [60e-3, 112.5e-3],
                ..rig
            },
            "tip_diameter1_m",
        ),
        (
            GearQuestion {
                tip_diameters_m: [88e-3, 100e-3],
                ..rig
            },
            "tip_diameter2_m",
        ),
        (
            GearQuestion {
                centre_distance_m: 80e-3,
                ..rig
            },
            "centre_distance_m",
        ),
        (
            GearQuestion {
                face_width_m: -1.0,
                ..rig
            },
            "face_width_m",
        ),
        (
            GearQuestion {
                helix_deg: 50.0,
                ..rig
            },
            "helix_deg",
        ),
        (
            GearQuestion {
                helix_deg: f64::NAN,
                ..rig
            },
            "helix_deg",
        ),
        (
            GearQuestion {
                pinion_torque_nm: -1.0,
                ..rig
            },
            "pinion_torque_nm",
        ),
        (
            GearQuestion {
                pinion_torque_nm: 1e308,
                face_width_m: 1e-300,
                ..rig
            },
            "pinion_torque_nm",
        ),
        (
            GearQuestion {
                pinion_rpm: 0.0,
                ..rig
            },
            "pinion_rpm",
        ),
        (GearQuestion { e_pa: 0.0, ..rig }, "e_pa"),
        (GearQuestion { nu: 0.6, ..rig }, "nu"),
    ] {
        assert_eq!(field(question), name);
    }
    assert!(
        calculate_gear(&GearQuestion { e_pa: 1e30, ..rig }).is_ok(),
        "rigid bodies are a large modulus"
    );
}
