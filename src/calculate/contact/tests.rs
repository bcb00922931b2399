use super::*;

fn body(rx_m: Option<f64>, ry_m: Option<f64>) -> ContactBody {
    ContactBody {
        rx_m,
        ry_m,
        e_pa: 210e9,
        nu: 0.3,
        rq_m: None,
    }
}

fn ball_on_flat() -> ContactQuestion {
    ContactQuestion {
        bodies: [body(Some(5e-3), Some(5e-3)), body(None, None)],
        length_m: None,
        load_n: 200.0,
        speeds_m_s: [None, None],
        viscosity_pa_s: None,
        alpha_per_pa: None,
    }
}

fn roller_on_flat() -> ContactQuestion {
    ContactQuestion {
        bodies: [body(Some(7.5e-3), None), body(None, None)],
        length_m: Some(0.015),
        load_n: 2000.0,
        ..ball_on_flat()
    }
}

fn refused(question: &ContactQuestion) -> Vec<String> {
    let refusals = calculate_contact(question).unwrap_err();
    refusals.into_iter().map(|refusal| refusal.field).collect()
}

/// 10 mm ball, 200 N, E 210 GPa: 2742 MPa, computed elsewhere.
#[test]
fn a_ball_on_a_flat_without_motion_or_oil_has_pressure_alone() {
    let answer = calculate_contact(&ball_on_flat()).unwrap();
    assert!((answer.max_pressure_pa / 2741.8e6 - 1.0).abs() < 1e-3);
    assert_eq!((answer.kind, answer.ellipticity), ("point", Some(1.0)));
    assert_eq!(answer.a_m, Some(answer.b_m));
    let nothing = [
        answer.entrainment_m_s,
        answer.sliding_m_s,
        answer.slide_roll_ratio,
        answer.central_film_m,
        answer.min_film_m,
        answer.film_ratio,
    ];
    assert_eq!((nothing, answer.regime), ([None; 6], None));
}

#[test]
fn a_line_has_neither_longer_axis_nor_approach() {
    let answer = calculate_contact(&roller_on_flat()).unwrap();
    assert_eq!(
        (answer.kind, answer.a_m, answer.approach_m, answer.ellipticity),
        ("line", None, None, None)
    );
    assert_eq!(answer.half_axes_m, [answer.b_m, 7.5e-3]);
    let crowned = ContactQuestion {
        bodies: [body(Some(7.5e-3), Some(2.0)), body(None, None)],
        ..roller_on_flat()
    };
    let crowned = calculate_contact(&crowned).unwrap();
    assert_eq!((crowned.kind, crowned.b_m), ("line", answer.b_m));
    assert!(crowned.notes.iter().any(|note| note.contains("not used")));
}

#[test]
fn standstill_is_valid_and_draws_nothing_in() {
    let still = ContactQuestion {
        speeds_m_s: [Some(0.0), Some(0.0)],
        viscosity_pa_s: Some(0.04),
        alpha_per_pa: Some(2e-8),
        ..ball_on_flat()
    };
    let answer = calculate_contact(&still).unwrap();
    assert_eq!(
        (answer.entrainment_m_s, answer.sliding_m_s),
        (Some(0.0), Some(0.0))
    );
    assert_eq!((answer.slide_roll_ratio, answer.min_film_m), (None, Some(0.0)));
}

#[test]
fn one_body_standing_still_slides_at_a_ratio_of_two_and_films_need_all_they_rest_on() {
    let sliding = ContactQuestion {
        speeds_m_s: [Some(0.0), Some(1.0)],
        viscosity_pa_s: Some(0.04),
        ..ball_on_flat()
    };
    let answer = calculate_contact(&sliding).unwrap();
    assert_eq!(
        (answer.slide_roll_ratio, answer.sliding_m_s),
        (Some(2.0), Some(-1.0))
    );
    assert_eq!((answer.min_film_m, answer.film_ratio), (None, None));
    let mut whole = ContactQuestion {
        alpha_per_pa: Some(2e-8),
        ..sliding
    };
    whole.bodies[0].rq_m = Some(0.1e-6);
    let answer = calculate_contact(&whole).unwrap();
    assert!(
        answer.min_film_m.is_some() && answer.film_ratio.is_none(),
        "one roughness alone is none"
    );
    whole.bodies[1].rq_m = Some(0.1e-6);
    let answer = calculate_contact(&whole).unwrap();
    assert!(answer.film_ratio.is_some() && answer.lubrication.is_some() && answer.regime.is_some());
}

#[test]
fn bodies_that_make_no_contact_are_named() {
    let with = |first, second| ContactQuestion {
        bodies: [first, second],
        ..ball_on_flat()
    };
    let ball = body(Some(5e-3), Some(5e-3));
    let flat = body(None, None);
    assert_eq!(refused(&with(flat, flat)), ["bodies[0].rx_m"]);
    assert_eq!(
        refused(&with(ball, body(Some(-4e-3), Some(-6e-3)))),
        ["bodies[1].rx_m"]
    );
    assert_eq!(
        refused(&with(body(Some(-4e-3), Some(-4e-3)), ball)),
        ["bodies[0].rx_m", "bodies[0].ry_m"]
    );
    assert_eq!(
        refused(&with(ball, body(Some(-5e-3), Some(-5e-3)))),
        ["bodies[0].rx_m"]
    );
    assert_eq!(refused(&with(body(Some(-5e-3), None), flat)), ["bodies[0].rx_m"]);
    assert_eq!(
        refused(&with(body(Some(0.0), Some(5e-3)), flat)),
        ["bodies[0].rx_m"]
    );
    assert_eq!(refused(&with(body(Some(5e-3), None), flat)), ["length_m"]);
    assert_eq!(refused(&with(ball, body(Some(-5e-3), None))), ["length_m"]);
    let both_flat = ContactQuestion {
        length_m: Some(0.01),
        ..with(flat, flat)
    };
    assert_eq!(refused(&both_flat), ["bodies[0].rx_m"]);
}

#[test]
fn numbers_without_a_meaning_are_named_all_at_once() {
    let mut question = ContactQuestion {
        load_n: -1.0,
        length_m: Some(0.0),
        viscosity_pa_s: Some(0.0),
        alpha_per_pa: Some(-1e-8),
        speeds_m_s: [Some(f64::NAN), Some(1.0)],
        ..ball_on_flat()
    };
    question.bodies[1].rq_m = Some(-1e-6);
    question.bodies[0].nu = 0.7;
    question.bodies[1].e_pa = 0.0;
    assert_eq!(
        refused(&question),
        [
            "bodies[0].nu",
            "bodies[1].e_pa",
            "load_n",
            "length_m",
            "viscosity_pa_s",
            "alpha_per_pa",
            "bodies[1].rq_m",
            "u1_m_s"
        ]
    );
}

#[test]
fn a_rigid_body_is_a_large_modulus_and_too_large_a_load_is_refused() {
    let mut rigid = ball_on_flat();
    rigid.bodies[0].e_pa = 1e30;
    let answer = calculate_contact(&rigid).unwrap();
    assert!(answer.max_pressure_pa > calculate_contact(&ball_on_flat()).unwrap().max_pressure_pa);
    let heavy = ContactQuestion {
        load_n: 1e308,
        ..ball_on_flat()
    };
    assert!(calculate_contact(&heavy).is_err() || calculate_contact(&heavy).unwrap().is_finite());
}
