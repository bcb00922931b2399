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
    assert_eq!(asked.weights[&TestKey::parse("fb_ep_oil/weld").unwrap()], 0.3);
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
        ("head_room", "1.1"),
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
fn the_fields_of_a_question_ask_the_same_question() {
    let pairs = [
        ("without", "gear_A8"),
        ("weight.fb_ep_oil/weld", "0.25"),
        ("importance.pressure", "2"),
        ("halving.sliding", "3,5"),
        ("duty.load", "1,5"),
        ("head_room", "0"),
        ("known_good", "R-2"),
        ("known_poor", "none"),
        ("sorting", "in"),
        ("draws", "500"),
        ("seed", "7"),
    ];
    let asked = read(&pairs).unwrap();
    let written = pairs.map(|(field, text)| (field.to_string(), text.replace(',', ".")));
    assert_eq!(fields(&asked), written);
    assert_eq!(what_if(&fields(&asked)), Ok(asked));
    assert_eq!(fields(&WhatIf::default()), []);
}

#[test]
fn what_can_be_read_in_two_ways_is_refused_at_every_number() {
    for field in [
        "weight.fb_ep_oil/weld",
        "importance.pressure",
        "halving.sliding",
        "duty.load",
        "duty.speed",
        "head_room",
        "draws",
    ] {
        let faults = read(&[(field, "12,500")]).unwrap_err();
        let mend = "'12,500' can be read as 12.500 and as 12500; write one of the two";
        assert_eq!(faults, [FieldFault::new(field, mend)]);
        let spaced = read(&[(field, "1 500")]).unwrap_err();
        assert!(spaced[0].problem.starts_with("'1 500' is not a "), "{spaced:?}");
    }
    assert_eq!(read(&[("draws", "1.500,0")]).unwrap().draws, 1500);
    assert_eq!(
        read(&[("halving.sliding", "12,5")]),
        read(&[("halving.sliding", "12.5")])
    );
    assert_eq!(read(&[("seed", "12,500")]).unwrap_err()[0].field, "seed");
}

#[test]
fn the_limits_of_every_number_belong_to_it() {
    for (field, least, most, beyond) in [
        ("weight.fb_ep_oil/weld", "0", "1", ["-0.0001", "1.0001"]),
        ("duty.load", "0.1", "10", ["0.0999", "10.001"]),
        ("duty.speed", "0.1", "10", ["0.0999", "10.001"]),
        ("head_room", "0", "1", ["-0.0001", "1.0001"]),
        ("draws", "200", "200000", ["199", "200001"]),
    ] {
        for text in [least, most] {
            assert!(read(&[(field, text)]).is_ok(), "{field}={text}");
        }
        for text in beyond {
            assert_eq!(read(&[(field, text)]).unwrap_err()[0].field, field, "{text}");
        }
    }
    assert!(read(&[("draws", "200.5")]).is_err());
}
