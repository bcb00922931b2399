use super::*;

fn near(found: f64, wanted: f64) -> bool {
    (found / wanted - 1.0).abs() < 1e-12
}

fn with(change: impl Fn(&mut DisplayPreferences)) -> DisplayPreferences {
    let mut shown = DisplayPreferences::default();
    change(&mut shown);
    shown
}

/// Exact by definition: 1 kgf is 9.80665 N, 1 lbf 4.4482216152605 N (NIST SP 811, appendix B).
#[test]
fn forces_convert_by_their_exact_factors() {
    let newton = with(|shown| shown.force = ForceUnit::Newton).in_unit(Unit::KilogramForce);
    assert!(near(newton.value(400.0), 3922.66) && newton.word() == "N");
    let pounds = with(|shown| shown.force = ForceUnit::PoundForce).in_unit(Unit::Newton);
    assert!(near(pounds.value(4.448_221_615_260_5), 1.0));
    assert!(near(pounds.kept(1.0), 4.448_221_615_260_5));
    let kept = with(|shown| shown.force = ForceUnit::KilogramForce).in_unit(Unit::KilogramForce);
    assert!(kept.is_as_kept() && kept.words(400.0) == "400 kgf");
}

/// 1 ksi is 6.894757 MPa (NIST SP 811, appendix B).
#[test]
fn pressures_convert_into_ksi() {
    let ksi = with(|shown| shown.pressure = PressureUnit::Ksi);
    assert!((ksi.in_unit(Unit::Megapascal).value(6.894_757) - 1.0).abs() < 1e-6);
    assert_eq!(ksi.in_unit(Unit::Gigapascal).words(1.0), "145 ksi");
    let mpa = with(|shown| shown.pressure = PressureUnit::Megapascal);
    assert_eq!(mpa.in_unit(Unit::Gigapascal).words(1.5), "1500 MPa");
}

/// 100 °C is 212 °F by the scale's definition; a difference has no zero to move.
#[test]
fn a_difference_of_temperature_is_not_offset() {
    let fahrenheit = with(|shown| shown.temperature = TemperatureUnit::Fahrenheit);
    assert_eq!(fahrenheit.in_unit(Unit::DegreeCelsius).words(100.0), "212 °F");
    assert_eq!(fahrenheit.in_unit(Unit::Kelvin).words(100.0), "180 °F");
    assert_eq!(
        DisplayPreferences::default().in_unit(Unit::Kelvin).words(100.0),
        "100 K"
    );
}

#[test]
fn a_mass_on_the_pan_is_no_force_and_stays_what_it_is() {
    let newton = with(|shown| shown.force = ForceUnit::Newton);
    for unit in [Unit::Pound, Unit::Millimetre, Unit::Stage, Unit::Milligram] {
        assert!(newton.in_unit(unit).is_as_kept(), "{unit}");
    }
}

#[test]
fn decimals_and_groups_are_the_readers() {
    let comma = with(|shown| {
        shown.decimal = DecimalSign::Comma;
        shown.thousands = Thousands::ThinSpace;
    });
    assert_eq!(comma.number(0.45), "0,45");
    assert_eq!(comma.number(12_000.0), "12\u{202f}000");
    assert_eq!(comma.number(-123_456.0), "\u{2212}123\u{202f}456");
    assert_eq!(comma.number(2600.0), "2600");
    assert_eq!(comma.fixed(1.0, 2), "1,00");
    assert_eq!(comma.number(f64::NAN), "not a number");
    assert_eq!(DisplayPreferences::default().number(12_000.5), "12000");
}

#[test]
fn every_word_reads_back_and_another_is_none() {
    for unit in ForceUnit::ALL {
        assert_eq!(ForceUnit::from_word(unit.word()), Some(*unit));
    }
    assert_eq!(PressureUnit::from_word("bar"), None);
    assert_eq!(DecimalSign::from_word(""), None);
}

#[test]
fn within_a_sentence_a_number_takes_the_decimal_sign_and_nothing_else_changes() {
    let comma = with(|shown| shown.decimal = DecimalSign::Comma);
    let said = "D2893: 7.3 %, 7.9 %, limit <= 6 %. Rate 0.12 mm; v1.2.3, test 7,5/80-80, T.2.";
    let heard = "D2893: 7,3 %, 7,9 %, limit <= 6 %. Rate 0,12 mm; v1.2.3, test 7,5/80-80, T.2.";
    assert_eq!(comma.dress_within(said), heard);
    assert_eq!(DisplayPreferences::default().dress_within(said), said);
}
