//! Laws that hold for every contact, on random cases.

#![expect(clippy::unwrap_used, reason = "a case that cannot be built is a failed test")]

use likewear::facade::contact::elastic::{BRONZE, Elastic, STEEL, STEEL_THERMAL, contact_modulus_pa};
use likewear::facade::contact::element::{
    Element, FourBall, Load, Loading, Surroundings, ThrustRoller, TwoDisc,
};
use likewear::facade::contact::elliptical::elliptical;
use likewear::facade::contact::film::{Inlet, line_minimum_film, point_minimum_film};
use likewear::facade::contact::flash::{line_rise_k, point_rise_k};
use likewear::facade::contact::gear::{GearData, GearPair};
use likewear::facade::contact::hertz::{line, point, reduced_radius_m};
use likewear::facade::contact::kinematics::SurfaceSpeeds;
use likewear::facade::contact::terms::{ContactTerms, Materials, Motion, Supply};
use likewear::facade::lubricant::Oil;
use likewear::facade::lubricant::viscosity::{ViscosityLine, full_z};
use likewear::facade::lubricant::viscosity_index;
use likewear::facade::units::Interval;
use proptest::prelude::*;

const MODULUS: f64 = 113e9;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

fn elastic() -> impl Strategy<Value = Elastic> {
    (5e9..400e9, 0.1..0.45).prop_map(|(e_pa, nu)| Elastic { e_pa, nu })
}

fn gears() -> impl Strategy<Value = GearPair> {
    gear_data().prop_map(|data| GearPair::new(data).unwrap())
}

fn gear_data() -> impl Strategy<Value = GearData> {
    (12u32..40, 12u32..80, 1.0..8.0, 1.0..1.02, 0.85..1.1, 0.85..1.1).prop_filter_map(
        "gears that mesh",
        |(pinion_teeth, wheel_teeth, module_mm, spread, pinion_head, wheel_head)| {
            let module_m = 1e-3 * module_mm;
            let pitch = |teeth: u32| f64::from(teeth) * module_m;
            let data = GearData {
                pinion_teeth: f64::from(pinion_teeth),
                wheel_teeth: f64::from(wheel_teeth),
                module_m,
                pressure_angle_deg: 20.0,
                centre_distance_m: 0.5 * spread * (pitch(pinion_teeth) + pitch(wheel_teeth)),
                pinion_tip_diameter_m: pitch(pinion_teeth) + 2.0 * pinion_head * module_m,
                wheel_tip_diameter_m: pitch(wheel_teeth) + 2.0 * wheel_head * module_m,
                face_width_m: 0.02,
                elastic: [STEEL, BRONZE],
            };
            GearPair::new(data).is_ok().then_some(data)
        },
    )
}

fn inlet(viscosity_pa_s: f64, entrainment_m_s: f64) -> Inlet {
    Inlet {
        viscosity_pa_s,
        alpha_per_pa: 2.0e-8,
        entrainment_m_s,
    }
}

proptest! {
    #[test]
    fn point_pressure_grows_with_the_cube_root_of_load(
        load in 1e-2..1e4f64, radius in 1e-4..1.0f64, factor in 1.1..100.0f64
    ) {
        let light = point(load, radius, MODULUS).unwrap();
        let heavy = point(load * factor, radius, MODULUS).unwrap();
        prop_assert!(same(heavy.max_pressure_pa, light.max_pressure_pa * factor.cbrt()));
        prop_assert!(same(heavy.half_width_m, light.half_width_m * factor.cbrt()));
    }

    #[test]
    fn line_pressure_grows_with_the_square_root_of_load(
        load in 1.0..1e6f64, radius in 1e-3..1.0f64, factor in 1.1..100.0f64
    ) {
        let light = line(load, 0.02, radius, MODULUS).unwrap();
        let heavy = line(load * factor, 0.02, radius, MODULUS).unwrap();
        prop_assert!(same(heavy.max_pressure_pa, light.max_pressure_pa * factor.sqrt()));
    }

    #[test]
    fn exchanging_the_bodies_changes_nothing(
        a in elastic(), b in elastic(), first in 1e-3..1.0f64, second in 1e-3..1.0f64
    ) {
        prop_assert!(same(contact_modulus_pa(a, b), contact_modulus_pa(b, a)));
        prop_assert!(same(
            reduced_radius_m(first, second).unwrap(),
            reduced_radius_m(second, first).unwrap()
        ));
        let one_way = elliptical(100.0, first, second, MODULUS).unwrap();
        let other_way = elliptical(100.0, second, first, MODULUS).unwrap();
        prop_assert!(same(one_way.max_pressure_pa, other_way.max_pressure_pa));
    }

    #[test]
    fn an_ellipse_tends_to_the_circle_as_its_radii_draw_together(
        load in 1.0..1e4f64, radius in 1e-3..0.1f64, apart in 1e-6..0.05f64
    ) {
        let circle = point(load, radius, MODULUS).unwrap();
        let ellipse = elliptical(load, radius, radius * (1.0 + apart), MODULUS).unwrap();
        let off = |a: f64, b: f64| (a / b - 1.0).abs();
        prop_assert!(off(ellipse.max_pressure_pa, circle.max_pressure_pa) <= apart + 1e-3);
        prop_assert!(off(ellipse.approach_m, circle.approach_m) <= apart + 1e-3);
        prop_assert!(off(ellipse.max_shear_pa, circle.max_shear_pa) <= apart + 1e-3);
    }

    #[test]
    fn a_longer_ellipse_carries_its_load_at_less_pressure(
        load in 1.0..1e4f64, radius in 1e-3..0.1f64, ratio in 1.01..50.0f64
    ) {
        let short = elliptical(load, radius, radius * ratio, MODULUS).unwrap();
        let long = elliptical(load, radius, radius * ratio * 1.2, MODULUS).unwrap();
        prop_assert!(long.ellipticity > short.ellipticity);
        prop_assert!(long.max_pressure_pa < short.max_pressure_pa);
        let area = std::f64::consts::PI * long.long_half_axis_m * long.short_half_axis_m;
        prop_assert!(same(long.mean_pressure_pa * area, load));
    }

    #[test]
    fn film_grows_with_speed_and_with_viscosity(
        viscosity in 1e-3..1.0f64, speed in 1e-3..20.0f64, factor in 1.01..10.0f64
    ) {
        let ball = point(100.0, 5e-3, MODULUS).unwrap();
        let roller = line(1000.0, 0.01, 5e-3, MODULUS).unwrap();
        let films = |inlet| [
            point_minimum_film(&ball, MODULUS, inlet).thickness_m,
            line_minimum_film(&roller, MODULUS, inlet).thickness_m,
        ];
        let base = films(inlet(viscosity, speed));
        let faster = films(inlet(viscosity, speed * factor));
        let thicker = films(inlet(viscosity * factor, speed));
        for index in 0..2 {
            prop_assert!(faster[index] > base[index]);
            prop_assert!(thicker[index] > base[index]);
        }
    }

    #[test]
    fn flash_grows_with_friction_and_does_not_depend_on_which_body_is_first(
        first in 0.0..20.0f64, second in 0.0..20.0f64, friction in 0.01..0.3f64
    ) {
        prop_assume!((first - second).abs() > 1e-3);
        let speeds = SurfaceSpeeds { first_m_s: first, second_m_s: second };
        let exchanged = SurfaceSpeeds { first_m_s: second, second_m_s: first };
        let steel = [STEEL_THERMAL, STEEL_THERMAL];
        let rise = |mu, speeds| [
            point_rise_k(mu, 100.0, 1e-4, speeds, steel),
            line_rise_k(mu, 1e5, 1e-4, speeds, steel),
        ];
        let base = rise(friction, speeds);
        let swapped = rise(friction, exchanged);
        let rougher = rise(2.0 * friction, speeds);
        for index in 0..2 {
            prop_assert!(base[index] > 0.0);
            prop_assert!(same(base[index], swapped[index]));
            prop_assert!(same(rougher[index], 2.0 * base[index]));
        }
    }

    #[test]
    fn the_gear_path_runs_backwards_when_pinion_and_wheel_are_exchanged(
        data in gear_data(), pinion_rpm in 10.0..5000.0f64, torque in 1.0..1000.0f64
    ) {
        let pair = GearPair::new(data).unwrap();
        let exchanged = GearPair::new(GearData {
            pinion_teeth: data.wheel_teeth,
            wheel_teeth: data.pinion_teeth,
            pinion_tip_diameter_m: data.wheel_tip_diameter_m,
            wheel_tip_diameter_m: data.pinion_tip_diameter_m,
            elastic: [data.elastic[1], data.elastic[0]],
            ..data
        })
        .unwrap();
        let line_of_action_m = data.centre_distance_m * pair.working_pressure_angle_rad().sin();
        let wheel_rpm = pinion_rpm * pair.speed_ratio();
        let wheel_torque = torque / pair.speed_ratio();
        let forward: Vec<_> = pair.path(pinion_rpm, torque, 21).unwrap().collect();
        let backward: Vec<_> = exchanged.path(wheel_rpm, wheel_torque, 21).unwrap().collect();
        prop_assert!(same(pair.contact_ratio(), exchanged.contact_ratio()));
        for (one, other) in forward.iter().zip(backward.iter().rev()) {
            prop_assert!(same(one.s_m + other.s_m, line_of_action_m));
            prop_assert!((one.speeds.first_m_s - other.speeds.second_m_s).abs() < 1e-6);
            prop_assert!((one.sliding_m_s() + other.sliding_m_s()).abs() < 1e-6);
            prop_assert!(same(one.max_pressure_pa, other.max_pressure_pa));
        }
        let mean = pair.mean_over_path(pinion_rpm, torque, |p| p.slide_roll()).unwrap();
        let mean_exchanged = exchanged.mean_over_path(wheel_rpm, wheel_torque, |p| p.slide_roll()).unwrap();
        prop_assert!((mean - mean_exchanged).abs() < 1e-9);
    }

    #[test]
    fn points_a_to_e_lie_in_order_and_the_pitch_point_slides_not(pair in gears()) {
        let points = pair.path_points();
        prop_assert!(points.a_m < points.b_m && points.b_m <= points.d_m && points.d_m < points.e_m
            || pair.contact_ratio() > 2.0);
        let pitch = pair.at(points.c_m, 1000.0, 10.0).unwrap();
        prop_assert!(pitch.sliding_m_s().abs() < 1e-9);
    }

    #[test]
    fn viscosity_falls_with_temperature_and_z_grows_with_viscosity(
        kv100 in 0.5..60.0f64, ratio in 1.1..20.0f64, cool in -10.0..140.0f64, step in 1.0..20.0f64
    ) {
        let line = ViscosityLine::new(kv100 * ratio, kv100).unwrap();
        prop_assert!(line.kv_mm2_s(cool + step) <= line.kv_mm2_s(cool));
        prop_assert!(full_z(kv100 * ratio) > full_z(kv100));
    }

    #[test]
    fn viscosity_index_falls_as_the_oil_thickens_at_forty_degrees(
        kv100 in 2.0..100.0f64, ratio in 3.0..15.0f64
    ) {
        let thin = viscosity_index(kv100 * ratio, kv100).unwrap();
        let thick = viscosity_index(kv100 * ratio * 1.05, kv100).unwrap();
        prop_assert!(thick < thin);
    }

    #[test]
    fn a_wider_scar_lowers_pressure_and_contact_temperature_and_never_passes_the_fresh_ones(
        load in 50.0..800.0f64, scar_mm in 0.6..2.0f64
    ) {
        let terms = |worn_scar_m| four_ball_terms(load, worn_scar_m);
        let fresh = terms(None);
        let worn = terms(Some(scar_mm * 1e-3));
        let wider = terms(Some(scar_mm * 1.5e-3));
        let ends = |terms: &ContactTerms| {
            let (p, t) = (terms.max_pressure_pa.unwrap(), terms.contact_temperature_c.unwrap());
            [p.lo(), p.hi(), t.lo(), t.hi()]
        };
        let ([_, p, _, t], [p0, p1, t0, t1], [q0, ..]) = (ends(&fresh), ends(&worn), ends(&wider));
        prop_assert!(p1 == p && t1 == t);
        prop_assert!(p0 < p1 && t0 < t1 && q0 < p0);
    }

    #[test]
    fn a_thrust_roller_slips_in_proportion_to_its_length_whatever_its_speed(
        length_mm in 2.0..20.0f64, speed in 1.0..2000.0f64
    ) {
        let slip = bearing_terms(length_mm * 1e-3, speed).slide_roll.unwrap().lo();
        let twice = bearing_terms(length_mm * 2e-3, speed).slide_roll.unwrap().lo();
        let faster = bearing_terms(length_mm * 1e-3, 2.0 * speed).slide_roll.unwrap().lo();
        prop_assert!(same(slip, faster));
        prop_assert!((twice / slip - 2.0).abs() < 0.1);
    }

    #[test]
    fn discs_at_equal_surface_speed_roll_and_a_fixed_disc_slides(speed in 10.0..3000.0f64) {
        let rolling = disc_terms(speed, 2.0 * speed);
        prop_assert!(rolling.slide_roll.unwrap().hi() < 1e-12);
        prop_assert!(same(rolling.contact_temperature_c.unwrap().hi(), 60.0));
        let fixed = disc_terms(speed, 0.0);
        prop_assert_eq!(fixed.slide_roll, Interval::point(2.0));
        prop_assert_eq!(fixed.time_share, Interval::point(1.0));
        prop_assert!(rolling.time_share.unwrap().hi() < 0.1);
    }
}

fn surroundings() -> Surroundings {
    Surroundings {
        roughness_rq_m: [Some(0.1e-6), Some(0.1e-6)],
        ..Surroundings::new(
            Interval::point(60.0).unwrap(),
            Motion::OneWay,
            Materials::HardSteelHardSteel,
            Supply::Bath,
        )
    }
}

fn element_terms(element: &Element, load_n: f64, worn_scar_m: Option<f64>) -> ContactTerms {
    let loading = Loading {
        load: Load::TotalForceN(load_n),
        worn_scar_m,
    };
    let oil = Oil::new(100.0, 11.0, None, None).unwrap();
    element.terms(&loading, &surroundings(), Some(&oil)).unwrap()
}

fn four_ball_terms(load_n: f64, worn_scar_m: Option<f64>) -> ContactTerms {
    let element = Element::FourBall(FourBall {
        ball_diameter_m: 12.7e-3,
        speed_rpm: 1200.0,
    });
    element_terms(&element, load_n, worn_scar_m)
}

fn bearing_terms(effective_length_m: f64, speed_rpm: f64) -> ContactTerms {
    let element = Element::ThrustRoller(ThrustRoller {
        roller_diameter_m: 11e-3,
        effective_length_m,
        rollers: 15,
        mean_diameter_m: 77.5e-3,
        speed_rpm,
    });
    element_terms(&element, 80e3, None)
}

fn disc_terms(first_rpm: f64, second_rpm: f64) -> ContactTerms {
    let element = Element::TwoDisc(TwoDisc {
        first_radius_m: 40e-3,
        second_radius_m: 20e-3,
        contact_length_m: 5e-3,
        first_rpm,
        second_rpm,
    });
    element_terms(&element, 500.0, None)
}
