use super::*;

fn range(lo: f64, hi: f64) -> Interval {
    Interval::new(lo, hi).unwrap()
}

#[test]
fn the_gap_is_counted_from_the_machines_nearer_end() {
    let words = gap_words(
        Term::Pressure,
        range(6.15e9, 6.2e9),
        range(0.7e9, 1.5e9),
        DisplayPreferences::default(),
    );
    assert_eq!(words, "4.1 times the highest in the machine");
    let words = gap_words(
        Term::ContactTemperature,
        range(190.0, 200.0),
        range(5.0, 60.0),
        DisplayPreferences::default(),
    );
    assert_eq!(words, "130 K above the hottest in the machine");
    let words = gap_words(
        Term::Sliding,
        range(0.0, 0.01),
        range(0.5, 2.0),
        DisplayPreferences::default(),
    );
    assert_eq!(words, "the machine's slowest is 50 times as fast");
}

#[test]
fn a_range_inside_the_machines_is_within_and_one_that_sticks_out_overlaps() {
    let machine = range(0.2, 0.9);
    assert_eq!(
        gap_words(
            Term::SlideRoll,
            range(0.3, 0.4),
            machine,
            DisplayPreferences::default()
        ),
        "within the machine's range"
    );
    assert_eq!(
        gap_words(
            Term::SlideRoll,
            range(0.3, 1.4),
            machine,
            DisplayPreferences::default()
        ),
        "overlaps the machine's range"
    );
}

#[test]
fn an_axis_holds_both_ranges_and_never_starts_below_what_counts() {
    let (lo, hi) = axis(
        &form(Term::Sliding, DisplayPreferences::default()),
        range(0.0, 0.0),
        range(0.5, 2.0),
    );
    assert!(lo < 0.001 && lo > 0.0005 && hi > 2.0);
    let (lo, hi) = axis(
        &form(Term::SlideRoll, DisplayPreferences::default()),
        range(2.0, 2.0),
        range(0.0, 0.15),
    );
    assert!(lo == 0.0 && hi > 2.0);
}

/// 140 K are 252 degrees of Fahrenheit, and 200 °C are 392 °F: 9/5 and 32 by definition.
#[test]
fn a_gap_of_temperature_converts_without_the_offset_of_the_scale() {
    let shown = DisplayPreferences {
        temperature: crate::units::TemperatureUnit::Fahrenheit,
        ..DisplayPreferences::default()
    };
    let words = gap_words(
        Term::ContactTemperature,
        range(200.0, 210.0),
        range(5.0, 60.0),
        shown,
    );
    assert_eq!(words, "252 °F above the hottest in the machine");
    assert_eq!(form(Term::ContactTemperature, shown).value(200.0), 392.0);
}
