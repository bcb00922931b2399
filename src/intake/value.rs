//! Values of results as people write them.

use crate::catalogue::{Bounds, Quantity, Reading, ReadingFault, Unusual, Written};
use crate::intake::{NumberFault, read_number};
use crate::prose::faults::{impossible, unknown_unit};
use crate::units::{Dimension, Unit};

/// What a cell says, before its quantity says what that means.
#[derive(Clone, Debug, PartialEq)]
pub enum CellValue {
    /// Blank, `-` or `n/a`: not run, which is not zero.
    NotRun,
    /// A value, and the unit that stands with it.
    Value {
        /// The value.
        written: Written,
        /// Its unit, where the cell names one.
        unit: Option<Unit>,
    },
}

/// Why a text is not a value, or not one of its quantity.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct ValueFault(pub String);

fn fault<T>(words: impl Into<String>) -> Result<T, ValueFault> {
    Err(ValueFault(words.into()))
}

const NOT_RUN: [&str; 7] = ["", "-", "n/a", "n.a.", "na", "not run", "--"];

/// The value of a text: `0.45`, `0,45`, `>12`, `12+`, `<30`, `30-35`, `250 kgf`, `pass 11 / fail 12`, a word.
pub fn read_value(text: &str) -> Result<CellValue, ValueFault> {
    let text = text
        .replace(['\u{2013}', '\u{2014}', '\u{2212}'], "-")
        .replace(['\u{a0}', '\u{202f}'], " ");
    let text = text.trim();
    if NOT_RUN.contains(&text.to_ascii_lowercase().as_str()) {
        return Ok(CellValue::NotRun);
    }
    if let Some(rest) = ["\u{2265}", ">=", ">"]
        .iter()
        .find_map(|sign| text.strip_prefix(sign))
    {
        let (number, unit) = number_with_unit(rest)?;
        return value(Written::Above(number), unit);
    }
    if let Some(rest) = ["\u{2264}", "<=", "<"]
        .iter()
        .find_map(|sign| text.strip_prefix(sign))
    {
        let (number, unit) = number_with_unit(rest)?;
        return value(Written::Below(number), unit);
    }
    if let Some((pass, fail)) = pass_and_fail(text) {
        let ((lo, unit), (hi, other)) = (number_with_unit(pass)?, number_with_unit(fail)?);
        if unit.is_some() && other.is_some() && unit != other {
            return fault("names two units");
        }
        return value(Written::Range(lo, hi), unit.or(other));
    }
    let Some((number, rest)) = leading_number(text) else {
        return value(Written::Word(text.to_string()), None);
    };
    after_number(text, number, rest)
}

fn value(written: Written, unit: Option<Unit>) -> Result<CellValue, ValueFault> {
    Ok(CellValue::Value { written, unit })
}

/// What stands behind the first number: nothing, `+`, a second number, or a unit.
fn after_number(text: &str, number: &str, rest: &str) -> Result<CellValue, ValueFault> {
    let behind = rest.trim_start();
    if let Some(second) = behind.strip_prefix('-').or_else(|| behind.strip_prefix("to "))
        && let Some((upper, after)) = leading_number(second.trim_start())
    {
        let unit = unit_of(after)?;
        return value(Written::Range(read(number)?, read(upper)?), unit);
    }
    if let Some(after) = behind.strip_prefix('+') {
        let unit = unit_of(after)?;
        return value(Written::Above(read(number)?), unit);
    }
    match unit_of(rest) {
        Ok(unit) => value(Written::Number(read(number)?), unit),
        // `1b` is a class, `250 furlong` a mistake.
        Err(_) if !rest.starts_with(' ') => value(Written::Word(text.to_string()), None),
        Err(unknown) => Err(unknown),
    }
}

fn read(number: &str) -> Result<f64, ValueFault> {
    read_number(number).map_err(|problem| match problem {
        NumberFault::NotANumber => ValueFault(format!("'{number}' is not a number")),
        other => ValueFault(other.to_string()),
    })
}

fn number_with_unit(text: &str) -> Result<(f64, Option<Unit>), ValueFault> {
    let text = text.trim();
    let Some((number, rest)) = leading_number(text) else {
        return fault(format!("'{text}' is not a number"));
    };
    Ok((read(number)?, unit_of(rest)?))
}

fn unit_of(text: &str) -> Result<Option<Unit>, ValueFault> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    text.parse()
        .map(Some)
        .map_err(|unknown| ValueFault(unknown_unit(&unknown)))
}

/// The number at the start of a text, and the rest. An `e` belongs to it only before an exponent.
pub(crate) fn leading_number(text: &str) -> Option<(&str, &str)> {
    let bytes = text.as_bytes();
    let mut end = usize::from(matches!(bytes.first(), Some(b'-' | b'+')));
    let start = end;
    let is_part = |at: usize| {
        bytes
            .get(at)
            .is_some_and(|b| b.is_ascii_digit() || matches!(b, b'.' | b','))
    };
    let is_digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    while is_part(end) {
        end += 1;
    }
    if !bytes[start..end].iter().any(u8::is_ascii_digit) {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let mut after = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        if is_digit(after) {
            while is_digit(after) {
                after += 1;
            }
            end = after;
        }
    }
    Some((&text[..end], &text[end..]))
}

/// The two numbers of `pass 11 / fail 12`, in either order.
fn pass_and_fail(text: &str) -> Option<(&str, &str)> {
    let (first, second) = text.split_once(['/', ';'])?;
    let straight = behind_word(first, "pass").zip(behind_word(second, "fail"));
    straight.or_else(|| behind_word(second, "pass").zip(behind_word(first, "fail")))
}

fn behind_word<'a>(text: &'a str, word: &str) -> Option<&'a str> {
    let text = text.trim();
    let start = text.get(..word.len())?;
    start.eq_ignore_ascii_case(word).then(|| &text[word.len()..])
}

/// The reading of a written value for a quantity: its unit converted, loads within 0.5 % of a step set to the step, its
/// numbers held against the quantity's ranges.
///
/// `unit` is `None` where neither the cell nor its unit column names one; only counted quantities may leave it out.
/// Below 0 only temperatures and per cent are possible (ours).
pub fn read_for_quantity(
    written: &Written,
    unit: Option<Unit>,
    bounds: &Bounds<'_>,
) -> Result<Reading, ValueFault> {
    let quantity = bounds.quantity();
    let mut asked: Option<Unusual> = None;
    let given = match unit {
        Some(unit) => unit,
        None if quantity.unit.dimension() == Dimension::Count => quantity.unit,
        None => return fault(format!("has no unit; this quantity is kept in {}", quantity.unit)),
    };
    let mut in_unit = |value: f64| {
        let converted = given.convert(value, quantity.unit);
        let converted = converted.ok_or_else(|| other_unit(given, quantity))?;
        if converted < 0.0 && !may_be_negative(quantity.unit) {
            return fault("is below 0");
        }
        let on_step = quantity.scale.step_near(converted).unwrap_or(converted);
        let checked = bounds.check(on_step, (value, given));
        let unusual = checked.map_err(|why| ValueFault(impossible(&why, quantity.unit)))?;
        asked = asked.or(unusual);
        Ok(on_step)
    };
    let written = match written {
        Written::Number(number) => Written::Number(in_unit(*number)?),
        Written::Above(number) => Written::Above(in_unit(*number)?),
        Written::Below(number) => Written::Below(in_unit(*number)?),
        Written::Range(lo, hi) => Written::Range(in_unit(*lo)?, in_unit(*hi)?),
        Written::Word(word) => {
            converts(given, quantity)?;
            Written::Word(word.clone())
        }
    };
    let reading = quantity
        .read(&written)
        .map_err(|fault| ValueFault(reading_fault(&fault, quantity)))?;
    Ok(Reading {
        unusual: asked,
        ..reading
    })
}

/// Whether a unit is one of a quantity.
fn converts(given: Unit, quantity: &Quantity) -> Result<(), ValueFault> {
    let is_its = given.convert(1.0, quantity.unit).is_some();
    is_its.then_some(()).ok_or_else(|| other_unit(given, quantity))
}

fn other_unit(given: Unit, quantity: &Quantity) -> ValueFault {
    ValueFault(format!(
        "{given} does not convert into {}, the unit of this quantity",
        quantity.unit
    ))
}

/// What is wrong with a value of a quantity, with the mend.
fn reading_fault(fault: &ReadingFault, quantity: &Quantity) -> String {
    let (unit, classes) = (quantity.unit, quantity.scale.classes().join(", "));
    match fault {
        ReadingFault::Falling => "the lower end of the range lies above its upper end".to_string(),
        ReadingFault::NotANumber(word) => format!("'{word}' is not a number; write a value in {unit}"),
        ReadingFault::NoClass => format!("write one of the classes: {classes}"),
        ReadingFault::UnknownClass(word) => format!("'{word}' is not one of the classes: {classes}"),
        ReadingFault::NoLogarithm(number) => {
            format!("{number} {unit} has no logarithm; write '<' and the least value that can be read")
        }
        ReadingFault::NotUsable => "the value is not a usable number".to_string(),
    }
}

/// The text of a cell for a quantity: a class is its words as they stand, anything else is read as a value.
pub(crate) fn read_cell(text: &str, quantity: &Quantity) -> Result<CellValue, ValueFault> {
    let plain = text.trim();
    let mut classes = quantity.scale.classes().iter();
    if classes.any(|class| class.eq_ignore_ascii_case(plain)) {
        return value(Written::Word(plain.to_string()), None);
    }
    read_value(text)
}

fn may_be_negative(unit: Unit) -> bool {
    unit == Unit::PerCent
        || matches!(
            unit.dimension(),
            Dimension::Temperature | Dimension::TemperatureRise
        )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{
        Better, FailsBy, PlainNumber, PressureFrom, Scale, ScaleKind, ScaleParts, Use, Value,
    };

    fn quantity(unit: Unit, scale: Scale, plain_number: PlainNumber) -> Quantity {
        Quantity {
            id: "q".into(),
            label: "q".into(),
            unit,
            better: Better::Higher,
            scale,
            first_inspected: None,
            plain_number,
            fails_by: FailsBy::default(),
            modes: Vec::new(),
            usual_use: Use::Weigh,
            pressure_from: PressureFrom::None,
            contacts: Vec::new(),
            worn_pressure_pa: None,
            load_of: None,
            scar_of: None,
            nominal: None,
            resolution: None,
            possible: None,
            usual: None,
            precision: None,
            precision_note: String::new(),
        }
    }

    /// Loads of ASTM D2783 in kgf, a part of them.
    fn weld() -> Quantity {
        let steps = vec![126.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 620.0, 800.0];
        let parts = ScaleParts {
            kind: ScaleKind::Log10Ladder,
            steps,
            cap: Some(800.0),
            classes: Vec::new(),
        };
        quantity(
            Unit::KilogramForce,
            parts.try_into().unwrap(),
            PlainNumber::Failure,
        )
    }

    fn written(text: &str) -> Written {
        match read_value(text) {
            Ok(CellValue::Value { written, .. }) => written,
            other => panic!("{text}: {other:?}"),
        }
    }

    fn reading(text: &str, quantity: &Quantity) -> Result<Reading, ValueFault> {
        match read_cell(text, quantity)? {
            CellValue::Value { written, unit } => {
                read_for_quantity(&written, unit, &Bounds::of_quantity(quantity))
            }
            CellValue::NotRun => panic!("{text} says not run"),
        }
    }

    #[test]
    fn bounds_ranges_and_words_are_told_apart() {
        for (text, expected) in [
            ("0,45", Written::Number(0.45)),
            ("1.234,5", Written::Number(1234.5)),
            (">12", Written::Above(12.0)),
            ("\u{2265} 12", Written::Above(12.0)),
            (">= 12", Written::Above(12.0)),
            ("12+", Written::Above(12.0)),
            ("<30", Written::Below(30.0)),
            ("\u{2264}30", Written::Below(30.0)),
            ("30-35", Written::Range(30.0, 35.0)),
            ("30 \u{2013} 35", Written::Range(30.0, 35.0)),
            ("30 to 35", Written::Range(30.0, 35.0)),
            ("pass 11 / fail 12", Written::Range(11.0, 12.0)),
            ("Fail 12/Pass 11", Written::Range(11.0, 12.0)),
            ("-3", Written::Number(-3.0)),
            ("1b", Written::Word("1b".into())),
            ("pass", Written::Word("pass".into())),
        ] {
            assert_eq!(written(text), expected, "{text}");
        }
    }

    #[test]
    fn blank_dash_and_not_applicable_say_not_run_and_never_zero() {
        for text in ["", "  ", "-", "\u{2013}", "n/a", "N/A", "n.a.", "not run"] {
            assert_eq!(read_value(text), Ok(CellValue::NotRun), "{text}");
        }
    }

    #[test]
    fn a_unit_in_the_cell_is_read_and_an_unknown_one_refused() {
        let cell = |written, unit| {
            Ok(CellValue::Value {
                written,
                unit: Some(unit),
            })
        };
        assert_eq!(
            read_value("250 kgf"),
            cell(Written::Number(250.0), Unit::KilogramForce)
        );
        assert_eq!(read_value("2450N"), cell(Written::Number(2450.0), Unit::Newton));
        assert_eq!(read_value("> 60 lb"), cell(Written::Above(60.0), Unit::Pound));
        assert_eq!(
            read_value("30-35 min"),
            cell(Written::Range(30.0, 35.0), Unit::Minute)
        );
        assert!(read_value("250 W").unwrap_err().0.contains("'W' is not a unit"));
    }

    #[test]
    fn an_ambiguous_comma_is_refused_with_the_mend() {
        let words = read_value("1,234").unwrap_err().0;
        assert!(words.contains("1.234") && words.contains("1234"), "{words}");
    }

    #[test]
    fn newtons_become_the_step_they_stand_for() {
        let at_200 = Value::Between { lo: 160.0, hi: 200.0 };
        for text in ["1961 N", "200 kgf", "200.9 kgf"] {
            let read = reading(text, &weld()).unwrap();
            assert_eq!((read.value, read.off_ladder), (at_200.clone(), false), "{text}");
        }
        let bound = reading("> 7845 N", &weld()).unwrap();
        assert_eq!(bound.value, Value::Above(800.0));
        let between = reading("210 kgf", &weld()).unwrap();
        assert_eq!(
            (between.value, between.off_ladder),
            (Value::Between { lo: 200.0, hi: 210.0 }, true)
        );
    }

    #[test]
    fn what_the_quantity_cannot_be_is_refused() {
        for text in [
            "60 lb",
            "-200 kgf",
            "200",
            "pass 250 / fail 200",
            "high",
            "0.4 mm",
        ] {
            assert!(reading(text, &weld()).is_err(), "{text}");
        }
        let change = quantity(Unit::PerCent, Scale::Identity { cap: None }, PlainNumber::Exact);
        assert_eq!(reading("-1.5 %", &change).unwrap().value, Value::Exact(-1.5));
    }

    #[test]
    fn a_class_is_its_words_and_another_word_is_refused_with_the_list() {
        let classes = Scale::Class(["1a", "1b", "2a"].map(String::from).to_vec());
        let copper = quantity(Unit::Class, classes, PlainNumber::Exact);
        assert_eq!(reading("1b", &copper).unwrap().value, Value::Class("1b".into()));
        assert!(reading("9z", &copper).unwrap_err().0.contains("1a, 1b, 2a"));
    }
}
