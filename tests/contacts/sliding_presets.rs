//! Machine contacts that slide, swing or are cams, each against a case that can be checked by hand.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::contact::terms::{Motion, ShapeClass};
use likewear::facade::lubricant::Oil;
use likewear::facade::units::Interval;
use std::f64::consts::PI;

const AROUND: &str = r#""temperature_c":60,"supply":"bath","materials":"hard steel/hard steel""#;

/// Contact modulus of steel on steel, 206 GPa and 0.3: 206 / (2 x 0.91) GPa.
const MODULUS_PA: f64 = 206e9 / 1.82;

fn preset(word: &str, own: &str) -> MachinePreset {
    let json = format!("{{{own},{AROUND}}}");
    MachinePreset::parse(word, &json).unwrap_or_else(|fault| panic!("{word}: {fault}"))
}

#[track_caller]
fn is_near(value: f64, expected: f64, share: f64) {
    assert!(
        (value - expected).abs() <= share * expected.abs(),
        "{value} is not {expected}"
    );
}

#[track_caller]
fn is_point(range: Option<Interval>, expected: f64, share: f64) {
    let range = range.unwrap();
    is_near(range.lo(), expected, share);
    is_near(range.hi(), expected, share);
}

#[track_caller]
fn computed(preset: &MachinePreset, label: &str) -> Interval {
    let list = preset.computed(None).unwrap();
    let found = list.iter().find(|(known, ..)| *known == label);
    found.unwrap_or_else(|| panic!("no '{label}' among {list:?}")).1
}

fn line_pressure_pa(load_per_length: f64, radius_m: f64) -> f64 {
    (load_per_length * MODULUS_PA / (PI * radius_m)).sqrt()
}

fn cam(nose_radius_m: f64) -> MachinePreset {
    let own = format!(
        r#""base_radius_m":18e-3,"lift_m":9.4e-3,"nose_radius_m":{nose_radius_m},"half_event_deg":75,
        "contact_length_m":14e-3,"load_n":600,"cam_rpm":1000"#
    );
    preset("cam with flat follower", &own)
}

/// A published study of a cam's nose (values seen): its radius raised from 6 to 13.7 mm, with 27.4 mm from the axis to
/// the follower's face, the elastic pressure falls by 34 per cent and the entrainment becomes zero.
#[test]
fn a_cam_nose_has_the_published_change_of_pressure_and_entrainment() {
    let (sharp, blunt) = (cam(6e-3), cam(13.7e-3));
    let pressure = |cam: &MachinePreset| computed(cam, "Greatest pressure, at the nose").lo();
    assert!((1.0 - pressure(&blunt) / pressure(&sharp) - 0.34).abs() < 0.005);
    assert!(computed(&blunt, "Entrainment at the nose").lo().abs() < 1e-12);
    is_near(
        1e6 * pressure(&sharp),
        line_pressure_pa(600.0 / 14e-3, 6e-3),
        1e-9,
    );
}

#[test]
fn a_cams_ranges_reach_from_their_means_to_the_nose() {
    let terms = |cam: &MachinePreset| cam.terms(None).unwrap();
    let (sharp, blunt) = (cam(6e-3), cam(13.7e-3));
    let at_nose = |label: &str| computed(&sharp, label).lo();
    let pressure = terms(&sharp).max_pressure_pa.unwrap();
    is_near(
        pressure.hi(),
        1e6 * at_nose("Greatest pressure, at the nose"),
        1e-9,
    );
    let sliding = terms(&sharp).sliding_m_s.unwrap();
    is_near(sliding.hi(), at_nose("Greatest sliding, at the nose"), 1e-9);
    assert!(pressure.lo() < pressure.hi() && sliding.lo() < sliding.hi());
    // Where nothing is drawn in, the slide-roll ratio has no end: it is held at 1000.
    let greatest = terms(&blunt).slide_roll.unwrap().hi();
    assert_eq!(greatest, 1e3);
    assert!(terms(&blunt).entrainment_m_s.unwrap().lo() < 1e-9);
    let sharp = terms(&sharp).slide_roll.unwrap();
    assert!(sharp.hi() < 1e3 && sharp.lo() < sharp.hi(), "{sharp:?}");
}

/// By hand from the formulas of its description at 1000 r/min, w = 104.72 / s.
#[test]
fn a_cam_slides_and_draws_in_by_its_height_and_radius() {
    let cam = cam(6e-3);
    let turn = 1000.0 * PI / 30.0;
    is_near(
        computed(&cam, "Greatest sliding, at the nose").lo(),
        turn * 27.4e-3,
        1e-9,
    );
    is_near(
        computed(&cam, "Entrainment at the nose").lo(),
        turn * (6e-3 - 13.7e-3),
        1e-9,
    );
    is_near(
        computed(&cam, "Sliding on the base circle").lo(),
        turn * 18e-3,
        1e-9,
    );
    is_near(
        computed(&cam, "Entrainment on the base circle").lo(),
        turn * 9e-3,
        1e-9,
    );
    let terms = cam.terms(None).unwrap();
    let sliding = terms.sliding_m_s.unwrap().lo();
    assert!(sliding > turn * 18e-3 && sliding < turn * 27.4e-3, "{sliding}");
    let pressure = terms.max_pressure_pa.unwrap().lo();
    assert!(pressure < 1e6 * computed(&cam, "Greatest pressure, at the nose").lo());
    assert!(pressure > 1e6 * computed(&cam, "Pressure on the flanks").lo());
    assert_eq!(
        (terms.shape, terms.motion),
        (Some(ShapeClass::Line), Some(Motion::OneWay))
    );
}

/// Flank radius by the cosine rule, by hand: (324 + 457.96 - 36 - 2 x 21.4 x 18 x 0.258819) / (2 (12 - 21.4 x 0.258819)).
#[test]
fn a_cam_has_the_flank_that_its_event_needs() {
    is_near(computed(&cam(6e-3), "Flank radius").lo(), 42.289, 1e-3);
    is_near(
        computed(&cam(6e-3), "Share of a turn that the lift takes").lo(),
        100.0 * 75.0 / 180.0,
        1e-12,
    );
}

/// At the nose the roller's middle moves round the axis at w (d + rn + q), of which the share rn / (rn + q) passes
/// along the nose: 36.4 x 6 / 15 mm = 14.56 mm per radian; reduced radius 6 x 9 / 15 mm (geometry, by hand).
#[test]
fn a_roller_follower_rolls_over_the_nose_by_geometry() {
    let own = r#""base_radius_m":18e-3,"lift_m":9.4e-3,"nose_radius_m":6e-3,"half_event_deg":75,
        "contact_length_m":8e-3,"load_n":600,"cam_rpm":1000,"roller_diameter_m":18e-3"#;
    let cam = preset("cam with roller follower", own);
    let turn = 1000.0 * PI / 30.0;
    is_near(
        computed(&cam, "Entrainment at the nose").lo(),
        turn * 14.56e-3,
        1e-9,
    );
    let nose = line_pressure_pa(600.0 / 8e-3, 3.6e-3);
    is_near(
        1e6 * computed(&cam, "Greatest pressure, at the nose").lo(),
        nose,
        1e-9,
    );
    let terms = cam.terms(None).unwrap();
    assert_eq!(terms.slide_roll, Interval::new(0.0, 0.1));
    assert_eq!(terms.sliding_m_s.unwrap().lo(), 0.0);
}

/// A tip of 2 mm in a bore of 80 mm: 1 / (1/2 - 1/40) = 2.1053 mm; pi x 0.08 m x 30 / s (by hand).
#[test]
fn a_vane_slides_one_way_on_a_hollow_ring() {
    let own = r#""tip_radius_m":2e-3,"ring_bore_diameter_m":0.08,"vane_width_m":0.03,"load_n":300,"rotor_rpm":1800"#;
    let vane = preset("vane on ring", own);
    let terms = vane.terms(None).unwrap();
    is_point(terms.max_pressure_pa, line_pressure_pa(1e4, 2e-3 / 0.95), 1e-9);
    is_point(terms.sliding_m_s, PI * 0.08 * 30.0, 1e-12);
    assert_eq!(terms.slide_roll, Interval::point(2.0));
    assert_eq!(terms.time_share, Interval::point(1.0));
    assert_eq!(terms.motion, Some(Motion::OneWay));
}

/// Land of 28 and 18 mm: pi/4 x 460 = 361.28 mm2; a tenth of 5 kN on it. The path on a plate at 17 degrees is an
/// ellipse with axes 1.04569 : 1, 1.02297 times as long as the circle (Ramanujan's formula, by hand).
#[test]
fn a_slipper_has_its_land_pressure_and_runs_an_ellipse() {
    let at = |angle: &str| {
        let own = format!(
            r#""land_outer_diameter_m":28e-3,"land_inner_diameter_m":18e-3,"pitch_diameter_m":0.07,
            "swash_angle_deg":{angle},"load_n":5000,"relief":0.9,"rotor_rpm":1500"#
        );
        preset("slipper on swash plate", &own).terms(None).unwrap()
    };
    let flat = at("0");
    is_point(flat.mean_pressure_pa, 500.0 / 361.283e-6, 1e-5);
    is_point(flat.sliding_m_s, 0.035 * 50.0 * PI, 1e-9);
    is_point(at("17").sliding_m_s, 1.022_97 * 0.035 * 50.0 * PI, 1e-5);
    assert_eq!(flat.shape, Some(ShapeClass::Conformal));
}

/// 1 kN on 5.1 mm x 13 mm is 15.083 MPa; pi x 5.1 mm x 10 / s; a link turns by 360 / 17 degrees (by hand).
#[test]
fn a_chain_pin_turns_in_its_bush_through_the_articulation_angle() {
    let own = r#""pin_diameter_m":5.1e-3,"bush_length_m":13e-3,"sprocket_teeth":17,"tension_n":1000,"sprocket_rpm":600"#;
    let chain = preset("chain pin", own);
    let terms = chain.terms(None).unwrap();
    is_point(terms.mean_pressure_pa, 15.083e6, 1e-4);
    is_point(terms.sliding_m_s, 0.160_22, 1e-4);
    is_near(computed(&chain, "Articulation angle").lo(), 21.176, 1e-4);
    is_near(
        computed(&chain, "Sliding distance of one articulation").lo(),
        0.942_48,
        1e-4,
    );
    assert_eq!(terms.motion, Some(Motion::Reversing));
}

fn wires(crossing_deg: f64, sheave_m: f64) -> MachinePreset {
    let own = format!(
        r#""wire_diameter_m":1.2e-3,"crossing_deg":{crossing_deg},"layer_diameter_m":8e-3,"lay_angle_deg":17,
        "load_n":100,"sheave_diameter_m":{sheave_m},"bends_per_s":0.5,"hardness_pa":2e10"#
    );
    preset("wires in a rope", &own)
}

/// Ours: three times a yield stress of 1.5 GPa, where no hardness is given.
#[test]
fn nothing_presses_a_drawn_wire_harder_than_its_hardness() {
    let pressure = |hardness: &str| {
        let own = format!(
            r#""wire_diameter_m":1.2e-3,"crossing_deg":90,"layer_diameter_m":8e-3,"lay_angle_deg":17,
            "load_n":100,"sheave_diameter_m":0.4,"bends_per_s":0.5{hardness}"#
        );
        let terms = preset("wires in a rope", &own).terms(None).unwrap();
        terms.max_pressure_pa.unwrap().hi()
    };
    assert_eq!(pressure(""), 4.5e9);
    assert_eq!(pressure(r#","hardness_pa":5e9"#), 5e9);
    assert!(pressure(r#","hardness_pa":2e10"#) > 5e9);
}

/// Wires crossed at right angles touch like a ball of their radius on a flat (Johnson, Contact Mechanics, 1985):
/// `p0 = (6 F E*^2 / (pi^3 R^2))^(1/3)`.
#[test]
fn wires_at_right_angles_touch_like_a_ball_on_a_flat() {
    let terms = wires(90.0, 0.4).terms(None).unwrap();
    let pressure = (6.0 * 100.0 * MODULUS_PA.powi(2) / (PI.powi(3) * 0.6e-3f64.powi(2))).cbrt();
    is_point(terms.max_pressure_pa, pressure, 1e-6);
    is_point(terms.ellipticity, 1.0, 1e-6);
    let slim = wires(30.0, 0.4).terms(None).unwrap();
    assert!(slim.ellipticity.unwrap().lo() > 3.0 && slim.shape == Some(ShapeClass::Elliptical));
    assert!(slim.max_pressure_pa.unwrap().hi() < pressure);
}

/// 2 x (4 mm cos 17)^2 / (400 mm x sin 17) = 250.2 um (by hand).
#[test]
fn wires_slip_by_the_bending_of_the_rope_and_fret_where_that_is_short() {
    let tight = wires(34.0, 0.4);
    is_near(
        computed(&tight, "Greatest slip of one bend, at the neutral side").lo(),
        250.2,
        1e-3,
    );
    is_point(
        tight.terms(None).unwrap().sliding_m_s,
        2.0 * 0.5 * 2.0 / PI * 250.23e-6,
        1e-3,
    );
    let wide = wires(34.0, 4.0);
    let ratio = |wires: &MachinePreset| computed(wires, "Greatest slip over the length of the contact").hi();
    let motion = |wires: &MachinePreset| wires.terms(None).unwrap().motion;
    assert!(ratio(&tight) >= 1.0 || motion(&tight) == Some(Motion::Fretting));
    assert!(ratio(&wide) < 1.0, "{}", ratio(&wide));
    assert_eq!(motion(&wide), Some(Motion::Fretting));
    assert_eq!(motion(&wires(90.0, 0.1)), Some(Motion::Reversing));
    assert!(ratio(&wires(90.0, 0.1)) > 1.0);
}

fn swinging(amplitude: &str, more: &str) -> MachinePreset {
    let own = format!(
        r#""ball_diameter_m":12e-3,"groove_radius_m":6.24e-3,"balls":9,"pitch_diameter_m":0.05,
        "radial_load_n":3000,"amplitude_deg":{amplitude},"frequency_hz":10{more}"#
    );
    preset("oscillating ball bearing", &own)
}

/// One degree to either side, 12 mm balls on 50 mm: 2 x 0.0174533 x (2500 - 144) / 200 = 0.41120 mm end to end, and
/// twice that ten times a second (by hand).
#[test]
fn a_swinging_bearing_travels_by_rolling_and_frets_below_the_width_of_its_contact() {
    let one = swinging("1", "");
    is_near(
        computed(&one, "Travel on the inner raceway, end to end").lo(),
        0.411_20,
        1e-4,
    );
    let drawn_in = computed(&one, "Entrainment speed");
    is_near(drawn_in.hi(), 20.0 * 0.411_20e-3, 1e-4);
    assert_eq!(drawn_in.lo(), 0.0, "it stands still at each reversal");
    is_near(
        computed(&one, "Load on the most loaded ball or roller").lo(),
        4.37 * 3000.0 / 9.0,
        1e-9,
    );
    let motion = |preset: &MachinePreset| preset.terms(None).unwrap().motion.unwrap();
    let ratio = |preset: &MachinePreset| computed(preset, "Travel over the width of the contact").hi();
    for amplitude in ["0.2", "0.5", "1", "2", "10"] {
        let preset = swinging(amplitude, "");
        let expected = if ratio(&preset) < 1.0 {
            Motion::Fretting
        } else {
            Motion::Reversing
        };
        assert_eq!(motion(&preset), expected, "{amplitude}");
    }
    assert!(ratio(&swinging("0.2", "")) < 1.0 && ratio(&swinging("10", "")) > 1.0);
    // A range whose severe end travels further than the contact reverses; what is given is kept.
    assert_eq!(motion(&swinging("[0.2,10]", "")), Motion::Reversing);
    assert_eq!(
        motion(&swinging("0.2", r#","motion":"reversing""#)),
        Motion::Reversing
    );
}

/// Rows HZ-E of `published/contact_examples.csv`: ball bearing of 9.525 mm balls, 5 F/Z, seen with 1728 MPa by a fitted
/// ellipticity; 1746 MPa by the exact one (computed independently), both with 210 GPa; pressure goes with E^(2/3).
#[test]
fn a_swinging_ball_bearing_has_the_published_pressure() {
    let own = r#""ball_diameter_m":9.525e-3,"groove_radius_m":4.89e-3,"balls":9,"pitch_diameter_m":0.046,
        "radial_load_n":1000,"load_factor":5,"amplitude_deg":5,"frequency_hz":1"#;
    let terms = preset("oscillating ball bearing", own).terms(None).unwrap();
    let pressure = 1746e6 * (206.0 / 210.0f64).powf(2.0 / 3.0);
    is_point(terms.max_pressure_pa, pressure, 1e-3);
    is_point(terms.ellipticity, 11.83, 1e-3);
}

#[test]
fn a_swinging_roller_has_the_pressure_of_the_same_roller_that_turns() {
    let own = r#""roller_diameter_m":16e-3,"effective_length_m":16e-3,"rollers":9,"pitch_diameter_m":80e-3,
        "radial_load_n":10800"#;
    let turning = preset("cylindrical roller bearing", &format!(r#"{own},"inner_rpm":100"#));
    let swings = format!(r#"{own},"amplitude_deg":10,"frequency_hz":1"#);
    let swings = preset("oscillating roller bearing", &swings);
    let pressure = |preset: &MachinePreset| preset.terms(None).unwrap().max_pressure_pa.unwrap().hi();
    is_near(pressure(&swings), pressure(&turning), 1e-12);
}

fn journal(more: &str) -> MachinePreset {
    let own = format!(r#""diameter_m":0.05,"length_m":0.025,"load_n":1250,"speed_rpm":1800{more}"#);
    preset("journal bearing", &own)
}

/// 1250 N on 50 mm x 25 mm is 1 MPa; pi x 0.05 m x 30 / s (by hand).
#[test]
fn a_journal_bearing_has_mean_pressure_and_surface_speed() {
    let terms = journal("").terms(None).unwrap();
    is_point(terms.mean_pressure_pa, 1e6, 1e-12);
    is_point(terms.sliding_m_s, PI * 0.05 * 30.0, 1e-12);
    assert_eq!(terms.slide_roll, Interval::point(2.0));
    assert_eq!(
        (terms.shape, terms.motion),
        (Some(ShapeClass::Conformal), Some(Motion::OneWay))
    );
    assert_eq!((terms.max_pressure_pa, terms.film_ratio), (None, None));
}

/// Sommerfeld number `(r/c)^2 eta N / P` by hand; the film ratio is `c (1 - e)` over the combined roughness.
#[test]
fn a_journal_bearing_has_its_film_where_clearance_oil_and_roughness_are_known() {
    let oil = Oil::new(46.0, 6.8, Some(870.0), None).unwrap();
    let bearing = journal(r#","radial_clearance_m":25e-6,"roughness_rq_m":[3e-7,4e-7]"#);
    let list = bearing.computed(Some(&oil)).unwrap();
    let fact = |label: &str| list.iter().find(|(known, ..)| *known == label).unwrap().1.lo();
    let sommerfeld = 1e6 * oil.dynamic_viscosity_pa_s(60.0) * 30.0 / 1e6;
    is_near(fact("Sommerfeld number"), sommerfeld, 1e-9);
    let film_um = 25.0 * (1.0 - fact("Eccentricity"));
    is_near(fact("Minimum film"), film_um, 1e-9);
    is_point(bearing.terms(Some(&oil)).unwrap().film_ratio, film_um / 0.5, 1e-9);
    let smooth = journal(r#","radial_clearance_m":25e-6"#)
        .terms(Some(&oil))
        .unwrap();
    assert_eq!(smooth.film_ratio, None);
    assert!(smooth.notes.iter().any(|note| note.words().contains("roughness")));
}

#[test]
fn films_are_known_with_oil_and_roughness_and_not_without() {
    let oil = Oil::new(46.0, 6.8, Some(870.0), None).unwrap();
    let own = r#""tip_radius_m":2e-3,"ring_bore_diameter_m":0.08,"vane_width_m":0.03,"load_n":300,"rotor_rpm":1800"#;
    assert_eq!(
        preset("vane on ring", own).terms(Some(&oil)).unwrap().film_ratio,
        None
    );
    let rough = format!(r#"{own},"roughness_rq_m":[2e-7,2e-7]"#);
    let ratio = preset("vane on ring", &rough)
        .terms(Some(&oil))
        .unwrap()
        .film_ratio;
    assert!(ratio.unwrap().lo() > 0.0);
}
