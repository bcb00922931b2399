//! Laws of the contact and film of any two bodies, on random cases, and the conventions they are computed by.

use likewear::facade::contact::bodies::{BodyRadii, GeneralContact, TwoBodies};
use likewear::facade::contact::elastic::{BRONZE, Elastic, STEEL};
use likewear::facade::contact::film::{
    Inlet, Regime, general_film, hard_elliptical_minimum_film_thickness_m, line_minimum_film_thickness_m,
    point_regime_films,
};
use likewear::facade::contact::note::Note;
use likewear::facade::contact::terms::ShapeClass;
use proptest::prelude::*;
use std::f64::consts::FRAC_PI_2;

fn bodies(first: BodyRadii, second: BodyRadii) -> TwoBodies {
    TwoBodies {
        first,
        second,
        angle_rad: 0.0,
        elastic: [STEEL, BRONZE],
        length_m: Some(0.01),
    }
}

const FLAT: BodyRadii = BodyRadii {
    along_m: None,
    across_m: None,
};

fn roller(radius_m: f64) -> BodyRadii {
    BodyRadii {
        along_m: Some(radius_m),
        across_m: None,
    }
}

fn rounded(along: f64, across: f64) -> BodyRadii {
    BodyRadii {
        along_m: Some(along),
        across_m: Some(across),
    }
}

fn inlet(viscosity_pa_s: f64, entrainment_m_s: f64) -> Inlet {
    Inlet {
        viscosity_pa_s,
        alpha_per_pa: 2.0e-8,
        entrainment_m_s,
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// Area, pressure, approach and shear.
fn numbers(contact: &GeneralContact) -> [f64; 6] {
    let (shear, depth) = contact.greatest_shear();
    [
        contact.short_half_axis_m(),
        contact.long_half_axis_m().unwrap_or(0.0),
        contact.max_pressure_pa(),
        contact.approach_m().unwrap_or(0.0),
        shear,
        depth,
    ]
}

proptest! {
    #[test]
    fn exchanging_the_bodies_or_turning_both_changes_no_number(
        a in 1e-3..1.0f64, b in 1e-3..1.0f64, c in 1e-3..1.0f64, angle in 0.0..FRAC_PI_2
    ) {
        let mut one_way = bodies(rounded(a, b), rounded(c, 0.5));
        one_way.angle_rad = angle;
        let mut other_way = bodies(one_way.second, one_way.first);
        other_way.angle_rad = -angle;
        other_way.elastic = [BRONZE, STEEL];
        let turned = TwoBodies {
            first: rounded(b, a),
            second: rounded(0.5, c),
            ..one_way
        };
        let base = numbers(&one_way.contact(100.0).unwrap());
        for other in [other_way, turned] {
            let other = numbers(&other.contact(100.0).unwrap());
            // The depth of a maximum is found to half of the digits only.
            let near = |(a, b): (&f64, f64)| (a - b).abs() <= 1e-6 * a.abs();
            prop_assert!(base.iter().zip(other).all(near), "{base:?} {other:?}");
        }
    }

    #[test]
    fn greater_bodies_under_load_in_proportion_to_their_area_have_the_same_pressure(
        a in 1e-3..0.1f64, b in 1e-3..0.1f64, scale in 0.1..100.0f64
    ) {
        let small = bodies(rounded(a, b), FLAT).contact(100.0).unwrap();
        let great = bodies(rounded(scale * a, scale * b), FLAT);
        let great = great.contact(100.0 * scale * scale).unwrap();
        prop_assert!(same(small.max_pressure_pa(), great.max_pressure_pa()));
        prop_assert!(same(small.short_half_axis_m() * scale, great.short_half_axis_m()));
        prop_assert!(same(small.approach_m().unwrap() * scale, great.approach_m().unwrap()));
    }

    #[test]
    fn the_middle_of_a_very_long_ellipse_is_a_line(load in 1.0..1e3f64, radius in 1e-3..0.1f64) {
        let ellipse = bodies(rounded(radius, 1e6 * radius), FLAT).contact(load).unwrap();
        let line = ellipse.contact_modulus_pa * ellipse.short_half_axis_m() / (2.0 * radius);
        prop_assert!((ellipse.max_pressure_pa() / line - 1.0).abs() < 1e-4);
        let (shear, depth) = ellipse.greatest_shear();
        prop_assert!((shear / ellipse.max_pressure_pa() / 0.300_283 - 1.0).abs() < 1e-3);
        prop_assert!((depth / ellipse.short_half_axis_m() / 0.786_152 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn pressure_of_any_point_contact_grows_with_the_cube_root_of_load_and_of_a_line_with_the_square_root(
        a in 1e-3..0.1f64, b in 1e-3..0.1f64, factor in 1.1..50.0f64
    ) {
        let point = bodies(rounded(a, b), FLAT);
        let line = bodies(roller(a), FLAT);
        let grown = |pair: &TwoBodies| {
            pair.contact(100.0 * factor).unwrap().max_pressure_pa() / pair.contact(100.0).unwrap().max_pressure_pa()
        };
        prop_assert!(same(grown(&point), factor.cbrt()));
        prop_assert!(same(grown(&line), factor.sqrt()));
    }

    #[test]
    fn film_of_any_contact_in_any_regime_grows_with_speed_and_with_viscosity(
        along in 1e-3..0.1f64, across in 1e-3..0.1f64, load in 1e-4..1e3f64,
        viscosity in 1e-3..1.0f64, speed in 1e-3..10.0f64, factor in 1.1..10.0f64
    ) {
        for pair in [
            bodies(rounded(along, across), FLAT),
            bodies(roller(along), FLAT),
        ] {
            let contact = pair.contact(load).unwrap();
            let film = |inlet| general_film(&contact, inlet).unwrap().minimum.thickness_m;
            let base = film(inlet(viscosity, speed));
            // Where two regimes meet their formulas step by a few per cent.
            prop_assert!(film(inlet(viscosity, speed * factor)) > 0.95 * base * factor.powf(0.6));
            prop_assert!(film(inlet(viscosity * factor, speed)) > 0.95 * base * factor.powf(0.6));
        }
    }
}

#[test]
fn the_film_has_no_step_where_the_longer_axis_turns_from_across_to_along_the_motion() {
    let film = |across: f64| {
        let contact = bodies(rounded(0.01, across), FLAT).contact(100.0).unwrap();
        general_film(&contact, inlet(0.05, 1.0)).unwrap()
    };
    let (along, across) = (film(0.0099), film(0.0101));
    assert!((along.minimum.thickness_m / across.minimum.thickness_m - 1.0).abs() < 0.02);
    assert!(along.minimum.beyond.contains(&Note::LongAxisAlong));
    assert_eq!(along.regime, None);
    assert_eq!(across.regime, Some(Regime::PiezoviscousElastic));
}

#[test]
fn a_skewed_ellipse_is_marked_and_a_line_that_is_not_across_the_motion_is_refused() {
    let mut skewed = bodies(rounded(0.01, 0.05), FLAT);
    skewed.second = rounded(0.02, 0.3);
    skewed.angle_rad = 0.5;
    let contact = skewed.contact(100.0).unwrap();
    assert_eq!(contact.half_axes_m(), None);
    let film = general_film(&contact, inlet(0.05, 1.0)).unwrap();
    assert_eq!(film.minimum.beyond, [Note::Skewed]);
    let along = BodyRadii {
        along_m: None,
        across_m: Some(0.01),
    };
    let line = bodies(along, FLAT).contact(100.0).unwrap();
    assert_eq!(line.shape(), ShapeClass::Line);
    assert!(general_film(&line, inlet(0.05, 1.0)).is_err());
}

/// Groups U 1e-11, G 4500, W 1e-6, k 1: regime film 9.94e-6 against 1.003e-5 of the hard formula, 1.4e-8 rigid (computed
/// by hand from the remembered coefficients).
#[test]
fn the_regime_formulas_meet_the_hard_one_in_its_own_regime() {
    let (radius, modulus) = (0.01, 1.0e11);
    let inlet = Inlet {
        viscosity_pa_s: 0.1,
        alpha_per_pa: 4500.0 / 2.0e11,
        entrainment_m_s: 1e-11 * 2.0e11 * radius / 0.1,
    };
    let load = 1e-6 * 2.0e11 * radius * radius;
    let films = point_regime_films(load, [radius, radius], modulus, 1.0, inlet);
    // Without a film the bodies would flatten by 0.65 um.
    assert_eq!(films.regime(0.65e-6), Regime::PiezoviscousElastic);
    let hard = hard_elliptical_minimum_film_thickness_m(load, radius, modulus, 1.0, inlet);
    assert!((hard / radius / 1.003e-5 - 1.0).abs() < 1e-3);
    assert!((films.thickness_m(Regime::PiezoviscousElastic) / radius / 9.94e-6 - 1.0).abs() < 1e-3);
    assert!((films.thickness_m(Regime::IsoviscousRigid) / radius / 1.4e-8 - 1.0).abs() < 0.03);
}

#[test]
fn each_regime_has_a_contact_that_runs_in_it() {
    let rubber = Elastic { e_pa: 5e6, nu: 0.49 };
    let regime = |elastic, load: f64, alpha_per_pa: f64, speed: f64| {
        let pair = TwoBodies {
            elastic: [STEEL, elastic],
            ..bodies(rounded(0.01, 0.01), FLAT)
        };
        let inlet = Inlet {
            viscosity_pa_s: 0.1,
            alpha_per_pa,
            entrainment_m_s: speed,
        };
        general_film(&pair.contact(load).unwrap(), inlet).unwrap().regime
    };
    assert_eq!(regime(STEEL, 100.0, 2e-8, 1.0), Some(Regime::PiezoviscousElastic));
    assert_eq!(
        regime(STEEL, 5000.0, 2e-8, 1.0),
        Some(Regime::PiezoviscousElastic)
    );
    assert_eq!(regime(rubber, 1.0, 2e-8, 0.1), Some(Regime::IsoviscousElastic));
    assert_eq!(regime(STEEL, 1e-3, 2e-8, 1.0), Some(Regime::IsoviscousRigid));
    assert_eq!(regime(STEEL, 22.6, 1e-7, 22.6), Some(Regime::PiezoviscousRigid));
    assert_eq!(regime(STEEL, 100.0, 2e-8, 0.0), None);
}

/// Convention: a textbook (Stachowiak and Batchelor) takes `1/R' = 1/Rx + 1/Ry` and k = 1.0339 where the original takes
/// Rx and k = 1; its film is then 0.74 of the original one (0.059 against 0.0793 um, seen and computed).
#[test]
fn the_textbook_convention_of_the_radius_gives_a_quarter_less_film() {
    let film =
        |radius, k| hard_elliptical_minimum_film_thickness_m(1.0, radius, 115.4e9, k, inlet(0.05, 0.1));
    let textbook = film(0.5 * 0.015, 1.0339) / film(0.015, 1.0);
    assert!((textbook / (0.059 / 0.0793) - 1.0).abs() < 0.01, "{textbook}");
}

#[test]
fn a_line_takes_dowsons_film() {
    let line = bodies(roller(0.01), FLAT).contact(5000.0).unwrap();
    let film = general_film(&line, inlet(0.05, 1.0)).unwrap();
    let dowson = line_minimum_film_thickness_m(5e5, 0.01, line.contact_modulus_pa, inlet(0.05, 1.0));
    assert!(same(film.minimum.thickness_m, dowson));
    assert!(film.central.unwrap().thickness_m > dowson);
}
