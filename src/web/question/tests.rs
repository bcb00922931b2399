//! What an address may ask, and what it says when it asks wrongly.

use super::*;

fn read(pairs: &[(&str, &str)]) -> Result<WhatIf, Vec<FieldFault>> {
    let pairs: Vec<_> = pairs
        .iter()
        .map(|(a, b)| (a.to_string(), b.to_string()))
        .collect();
    what_if(&pairs)
}

#[test]
fn a_query_says_what_is_left_out_and_weighed_by_hand() {
    let asked = read(&[
        ("without", "fb_ep_oil,gear_A8/fail_stage"),
        ("without", "fb_ep_oil"),
        ("weight.fb_ep_oil/weld", "0,3"),
        ("weight.fb_ep_oil/lnsl", ""),
        ("gated", "in"),
        ("draws", "500"),
    ])
    .unwrap();
    assert_eq!(asked.without.len(), 2);
    assert_eq!(asked.weights[&TestKey::new("fb_ep_oil", "weld")], 0.3);
    assert_eq!(asked.weights.len(), 1);
    assert!(asked.lets_in_gated && !asked.lets_in_not_sorting);
    assert_eq!(asked.draws, 500);
}

#[test]
fn what_cannot_be_used_is_named_by_its_field() {
    for (field, value) in [
        ("weight.fb_ep_oil/weld", "-1"),
        ("weight.fb_ep_oil/weld", "NaN"),
        ("weight.fb_ep_oil/weld", "1e308"),
        ("weight.fb_ep_oil/weld", "inf"),
        ("weight.", "0.5"),
        ("without", "/"),
        ("gated", "out"),
        ("sorting", "1"),
        ("importance.colour", "2"),
        ("importance.pressure", "11"),
        ("importance.pressure", "much"),
        ("halving.sliding", "1"),
        ("halving.motion", "2"),
        ("halving.slide_roll", "0"),
        ("duty.load", "0.05"),
        ("duty.speed", "11"),
        ("duty.load", "twice"),
        ("head_room", "0.6"),
        ("draws", "199"),
        ("draws", "200001"),
        ("seed", "-1"),
    ] {
        let faults = read(&[(field, value)]).unwrap_err();
        assert_eq!(faults.len(), 1, "{field}={value}");
        assert_eq!(faults[0].field, field);
    }
    assert_eq!(read(&[("draws", "x"), ("seed", "y")]).unwrap_err().len(), 2);
}

#[test]
fn the_query_string_of_a_question_asks_the_same_question() {
    let asked = read(&[
        ("without", "gear_A8"),
        ("weight.fb_ep_oil/weld", "0.25"),
        ("importance.pressure", "2"),
        ("halving.sliding", "3,5"),
        ("duty.load", "1,5"),
        ("head_room", "0"),
        ("known_good", "R-2"),
        ("known_poor", "none"),
        ("sorting", "in"),
    ])
    .unwrap();
    let text = query_string(&asked);
    assert_eq!(
        text,
        "without=gear_A8&weight.fb_ep_oil/weld=0.25&importance.pressure=2&halving.sliding=3.5&duty.load=1.5&head_room=0&known_good=R-2&known_poor=none&sorting=in"
    );
    assert_eq!(query_string(&WhatIf::default()), "");
    assert_eq!(encoded("a b&c=é"), "a%20b%26c%3D%C3%A9");
    assert_eq!(encoded_step("K-14/2"), "K-14%2F2");
}
