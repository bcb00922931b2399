//! Ball and roller bearings from their geometry against published and independently computed values.

#![expect(clippy::unwrap_used, reason = "a preset that cannot be read is a failed test")]

use likewear::facade::contact::preset::MachinePreset;
use likewear::facade::contact::terms::ShapeClass;
use likewear::facade::lubricant::Oil;
use likewear::facade::units::Interval;

const AROUND: &str = r#""temperature_c":90,"supply":"bath","materials":"hard steel/hard steel","roughness_rq_m":[0.4e-6,0.4e-6]"#;

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
fn is_point(range: Option<Interval>, expected: f64, share: f64) {
    let range = range.unwrap();
    is_near(range.lo(), expected, share);
    is_near(range.hi(), expected, share);
}

#[track_caller]
fn computed(preset: &MachinePreset, oil: Option<&Oil>, label: &str) -> Interval {
    let list = preset.computed(oil).unwrap();
    list.iter().find(|(known, ..)| *known == label).unwrap().1
}

/// Rows EH-B-*: ball bearing of the film example of B. J. Hamrock and D. Dowson, *Ball Bearing Lubrication*, 1981 (from
/// memory): inner raceway 52.291 mm, outer 77.706 mm, 9 balls of 12.7 mm, conformity 0.52, 8900 N, 400 rad/s.
const BALLS: &str = r#""ball_diameter_m":12.7e-3,"balls":9,"pitch_diameter_m":64.9985e-3,"radial_load_n":8900,
    "inner_rpm":3819.718634,"inner_conformity":0.52,"outer_conformity":0.52,"slip":0"#;

#[test]
fn a_ball_bearing_has_the_published_speed_and_film() {
    let bearing = preset("deep groove ball bearing", BALLS);
    is_near(computed(&bearing, None, "Entrainment speed").lo(), 6.252, 2e-4);
    is_near(
        computed(&bearing, None, "Load on the most loaded ball").lo(),
        4.37 * 8900.0 / 9.0,
        1e-9,
    );
    // The example has 0.04 Pa s, 2.3e-8 / Pa and E = 200 GPa; h goes with viscosity^0.68 and with
    // E'^(0.49 - 0.68 + 0.073) = E'^-0.117.
    let oil = Oil::new(220.0, 19.0, Some(880.0), Some(2.3e-8)).unwrap();
    let viscosity = oil.dynamic_viscosity_pa_s(90.0);
    let expected_um = 0.557 * (viscosity / 0.04).powf(0.68) * (206.0f64 / 200.0).powf(-0.117);
    let ratio = bearing.terms(Some(&oil)).unwrap().film_ratio.unwrap();
    is_near(ratio.lo() * 0.4 * 2f64.sqrt(), expected_um, 0.02);
}

/// By an independent program with the same integrals.
#[test]
fn a_ball_bearing_has_the_pressure_of_its_ellipse() {
    let terms = preset("deep groove ball bearing", BALLS).terms(None).unwrap();
    is_point(terms.max_pressure_pa, 3.03498e9, 1e-5);
    is_point(terms.ellipticity, 9.28497, 1e-5);
    assert_eq!(terms.shape, Some(ShapeClass::Elliptical));
    assert_eq!(terms.slide_roll, Interval::point(0.0));
}

/// Values by an independent program of the formulas in its description; with the radial load the ball load is
/// (3000 / sin 40 + 4.37 x 1000 / cos 40) / 12 by hand.
#[test]
fn an_angular_contact_bearing_spins_in_its_contacts() {
    let own = r#""ball_diameter_m":11.1e-3,"balls":12,"pitch_diameter_m":46e-3,"contact_angle_deg":40,
        "axial_load_n":3000,"inner_rpm":6000,"slip":0"#;
    let bearing = preset("angular contact ball bearing", own);
    is_near(
        computed(&bearing, None, "Load on the most loaded ball").lo(),
        388.931,
        1e-5,
    );
    is_near(computed(&bearing, None, "Entrainment speed").lo(), 6.978766, 1e-6);
    let terms = bearing.terms(None).unwrap();
    is_point(terms.max_pressure_pa, 1.479026e9, 1e-5);
    is_point(terms.sliding_m_s, 0.1286617, 1e-5);
    is_point(terms.slide_roll, 0.01843616, 1e-5);
    let both = preset(
        "angular contact ball bearing",
        &format!(r#"{own},"radial_load_n":1000"#),
    );
    is_near(
        computed(&both, None, "Load on the most loaded ball").lo(),
        864.317,
        1e-5,
    );
}

/// By an independent program: a roller of 20 mm, profiles of 63.5 and 64.8 mm.
#[test]
fn a_spherical_roller_has_a_long_ellipse_on_the_inner_raceway() {
    let own = r#""roller_diameter_m":0.02,"effective_length_m":0.018,"roller_profile_radius_m":0.0635,
        "raceway_profile_radius_m":0.0648,"rollers":28,"contact_angle_deg":10,"pitch_diameter_m":0.105,
        "radial_load_n":60000,"inner_rpm":900,"slip":0.02"#;
    let bearing = preset("spherical roller bearing", own);
    let terms = bearing.terms(None).unwrap();
    is_point(terms.max_pressure_pa, 1.729360e9, 1e-5);
    is_point(terms.ellipticity, 39.86005, 1e-5);
    is_near(computed(&bearing, None, "Entrainment speed").lo(), 2.386951, 1e-6);
    is_point(terms.sliding_m_s, 0.02 * 2.386951, 1e-6);
    is_near(
        computed(&bearing, None, "Length of the contact over that of the roller").lo(),
        2.0 * 9.884344e-3 / 0.018,
        1e-5,
    );
}

const TAPER: &str = r#""roller_diameter_m":8e-3,"effective_length_m":12e-3,"rollers":17,"outer_angle_deg":15,
    "roller_end_radius_m":0.08,"rib_height_m":1.5e-3,"pitch_diameter_m":0.05,"axial_load_n":5000,"inner_rpm":3000,
    "slip":0"#;

/// By an independent program of the formulas in its description.
#[test]
fn a_tapered_roller_rolls_on_its_raceway() {
    let bearing = preset("tapered roller bearing", &format!(r#"{TAPER},"at":"raceway""#));
    let terms = bearing.terms(None).unwrap();
    is_point(terms.max_pressure_pa, 1.005578e9, 1e-6);
    assert_eq!(terms.shape, Some(ShapeClass::Line));
    assert_eq!(terms.slide_roll, Interval::point(0.0));
    is_near(computed(&bearing, None, "Entrainment speed").lo(), 3.831506, 1e-6);
    is_near(
        computed(&bearing, None, "Load on the most loaded roller").lo(),
        1136.383,
        1e-6,
    );
}

/// By an independent program of the formulas in its description.
#[test]
fn a_tapered_roller_slides_with_its_end_on_the_rib() {
    let bearing = preset("tapered roller bearing", &format!(r#"{TAPER},"at":"rib""#));
    let terms = bearing.terms(None).unwrap();
    assert_eq!(terms.shape, Some(ShapeClass::Elliptical));
    is_point(terms.max_pressure_pa, 0.2304213e9, 1e-5);
    is_point(terms.ellipticity, 1.985258, 1e-5);
    is_point(terms.sliding_m_s, 1.702251, 1e-6);
    is_point(terms.slide_roll, 0.4931426, 1e-6);
    is_near(computed(&bearing, None, "Entrainment speed").lo(), 3.451844, 1e-6);
    is_near(
        computed(&bearing, None, "Load of its end on the rib").lo(),
        81.42141,
        1e-6,
    );
    // The longer axis of the contact lies along the motion, where the hollow rib fits the end.
    let along = computed(&bearing, None, "Width of the contact along the motion").lo();
    is_near(along, 2e6 * 0.578745e-3, 1e-5);
}

/// ISO 281 (formula seen in a public source): nu1 = 4500 n^-0.5 D^-0.5 from 1000 r/min on, D in mm.
#[test]
fn every_bearing_has_the_viscosity_ratio_of_its_standard_where_an_oil_is_given() {
    let oil = Oil::new(220.0, 19.0, Some(880.0), None).unwrap();
    let label = "Viscosity ratio (ISO 281)";
    let own = BALLS.replace("3819.718634", "[0,1480]");
    let bearing = preset("deep groove ball bearing", &own);
    let ratio = computed(&bearing, Some(&oil), label);
    let reference = 4500.0 / (1480.0 * 64.9985f64).sqrt();
    is_near(ratio.hi(), oil.viscosity.kv_mm2_s(90.0) / reference, 1e-9);
    assert_eq!(ratio.lo(), 0.0);
    let without = bearing.computed(None).unwrap();
    assert!(!without.iter().any(|(known, ..)| *known == label));

    let thrust = r#""roller_diameter_m":11e-3,"effective_length_m":11e-3,"rollers":15,"mean_diameter_m":77.5e-3,
        "axial_load_n":80000,"speed_rpm":7.5"#;
    let thrust = computed(&preset("thrust roller bearing", thrust), Some(&oil), label);
    let reference = 45_000.0 * 7.5f64.powf(-0.83) / 77.5f64.sqrt();
    is_near(thrust.lo(), oil.viscosity.kv_mm2_s(90.0) / reference, 1e-9);
    let taper = preset("tapered roller bearing", &format!(r#"{TAPER},"at":"rib""#));
    let reference = 4500.0 / (3000.0f64 * 50.0).sqrt();
    is_near(
        computed(&taper, Some(&oil), label).lo(),
        oil.viscosity.kv_mm2_s(90.0) / reference,
        1e-9,
    );
}
