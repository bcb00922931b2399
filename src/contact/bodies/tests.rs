use super::*;
use crate::contact::elastic::STEEL;
use crate::contact::elliptical::elliptical;
use std::f64::consts::FRAC_PI_2;

const FLAT: BodyRadii = BodyRadii {
    along_m: None,
    across_m: None,
};

fn ball(radius_m: f64) -> BodyRadii {
    BodyRadii {
        along_m: Some(radius_m),
        across_m: Some(radius_m),
    }
}

fn roller(radius_m: f64) -> BodyRadii {
    BodyRadii {
        along_m: Some(radius_m),
        across_m: None,
    }
}

fn bodies(first: BodyRadii, second: BodyRadii) -> TwoBodies {
    TwoBodies {
        first,
        second,
        angle_rad: 0.0,
        elastic: [STEEL, STEEL],
        length_m: None,
    }
}

fn refused(bodies: &TwoBodies) -> &'static str {
    match bodies.contact(100.0) {
        Err(ContactError::Field { field, .. }) => field,
        other => panic!("taken as {other:?}"),
    }
}

#[test]
fn a_ball_on_a_flat_makes_a_circle() {
    let contact = bodies(ball(5e-3), FLAT).contact(200.0).unwrap();
    let circle = point(200.0, 5e-3, contact.contact_modulus_pa).unwrap();
    assert_eq!(contact.area, HertzArea::Circle(circle));
    assert_eq!(contact.ellipticity(), Some(1.0));
    assert_eq!(contact.radius_along_m, Some(5e-3));
    assert!(contact.marks.is_empty());
}

#[test]
fn a_roller_on_a_flat_makes_a_line_whose_ends_are_not_modelled() {
    let mut pair = bodies(roller(7.5e-3), FLAT);
    assert_eq!(refused(&pair), "length_m");
    pair.length_m = Some(0.015);
    let contact = pair.contact(2000.0).unwrap();
    assert_eq!(contact.shape(), ShapeClass::Line);
    assert_eq!(contact.approach_m(), None);
    assert_eq!(contact.radius_across_m, None);
    assert_eq!(contact.marks, [Note::LineEnds]);
    assert_eq!(
        contact.half_axes_m(),
        Some([contact.short_half_axis_m(), f64::INFINITY])
    );
}

#[test]
fn a_ball_in_a_groove_makes_an_ellipse_across_the_motion() {
    let (radius, race, groove) = (4.7625e-3, 18.2375e-3, 4.89e-3);
    let ring = BodyRadii {
        along_m: Some(race),
        across_m: Some(-groove),
    };
    let contact = bodies(ball(radius), ring).contact(555.6).unwrap();
    let (along, across) = (contact.radius_along_m.unwrap(), contact.radius_across_m.unwrap());
    let same = elliptical(555.6, along, across, contact.contact_modulus_pa).unwrap();
    assert!((contact.max_pressure_pa() / same.max_pressure_pa - 1.0).abs() < 1e-12);
    assert_eq!(contact.long_axis_rad, Some(FRAC_PI_2));
    assert_eq!(contact.marks, [Note::NotSmall]);
}

#[test]
fn crossed_equal_cylinders_make_a_circle() {
    let mut pair = bodies(roller(0.01), roller(0.01));
    pair.angle_rad = FRAC_PI_2;
    let contact = pair.contact(50.0).unwrap();
    assert_eq!(contact.shape(), ShapeClass::Point);
    assert!((contact.radius_along_m.unwrap() / 0.01 - 1.0).abs() < 1e-12);
    assert!((contact.radius_across_m.unwrap() / 0.01 - 1.0).abs() < 1e-12);
}

#[test]
fn a_crowned_roller_longer_in_contact_than_its_body_is_marked() {
    let crowned = BodyRadii {
        along_m: Some(8e-3),
        across_m: Some(5.0),
    };
    let mut pair = bodies(crowned, FLAT);
    pair.length_m = Some(10e-3);
    let contact = pair.contact(10_000.0).unwrap();
    assert!(contact.long_half_axis_m().unwrap() > 5e-3);
    assert!(contact.marks.contains(&Note::LongerThanBody));
}

#[test]
fn what_makes_no_contact_is_refused_and_named() {
    assert_eq!(refused(&bodies(ball(0.0), FLAT)), "first_along_m");
    assert_eq!(refused(&bodies(FLAT, ball(f64::NAN))), "second_along_m");
    assert_eq!(refused(&bodies(FLAT, FLAT)), "radii_m");
    assert_eq!(refused(&bodies(ball(5e-3), ball(-5e-3))), "radii_m");
    assert_eq!(refused(&bodies(ball(5e-3), roller(-4e-3))), "radii_m");
}

#[test]
fn a_contact_is_small_up_to_a_tenth_of_the_closest_radius() {
    let ball_on_flat = bodies(ball(5e-3), FLAT);
    let modulus_pa = ball_on_flat.contact(1.0).unwrap().contact_modulus_pa;
    // a^3 = 3 F R / (4 E')
    let load_n = |half_width: f64| 4.0 / 3.0 * modulus_pa * (half_width * 5e-3).powi(3) / 5e-3;
    for (half_width, marks) in [
        (0.1 * (1.0 - 1e-9), vec![]),
        (0.1 * (1.0 + 1e-9), vec![Note::NotSmall]),
    ] {
        let contact = ball_on_flat.contact(load_n(half_width)).unwrap();
        assert!((contact.short_half_axis_m() / (half_width * 5e-3) - 1.0).abs() < 1e-12);
        assert_eq!(contact.marks, marks, "{half_width}");
    }
}
