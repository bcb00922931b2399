//! A quoted number, from what was typed: its value as intake reads results, its standard, its unit.

use crate::catalogue::{
    Bounds, Method, Origin, PlainNumber, Quantity, Reading, Scale, Unusual, Value, Written, built_in,
};
use crate::explain::quoted::QuotedAsk;
use crate::explain::quoted::loose::loosened;
use crate::explain::reading::{Bound, Number};
use crate::explain::view::Choosable;
use crate::explain::words::{number_with_unit, unit_word};
use crate::explain::{AskFault, Case};
use crate::intake::{CellValue, read_for_quantity, read_value};
use crate::prose::faults::unknown_unit;
use crate::units::{DisplayPreferences, Unit};

/// The word of a standard that is not known here.
pub(super) const OTHER: &str = "other";

/// Longest text that a field takes, in characters.
const LONGEST: usize = 80;

/// By which standard a number is quoted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Standard<'a> {
    /// The test's own.
    This,
    /// Another method's quantity.
    Known(&'a Method, &'a Quantity),
    /// One that is not known here.
    Unknown,
}

/// A number that could be read.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct QuotedValue<'a> {
    pub(super) oil: String,
    pub(super) standard: Standard<'a>,
    /// The quantity by which it was read: the standard's, or the test's where the standard is not known.
    pub(super) quantity: &'a Quantity,
    /// In the unit of `quantity`.
    pub(super) value: Value,
    /// Between the steps of the ladder.
    pub(super) off_ladder: bool,
    /// Why it would be asked about if it were entered here.
    pub(super) unusual: Option<Unusual>,
    /// Written as a bare number, not as a bound or range.
    pub(super) is_bare: bool,
    /// How it was read where it could be read otherwise.
    pub(super) remarks: Vec<String>,
    /// How numbers are written.
    pub(super) shown: DisplayPreferences,
}

impl QuotedValue<'_> {
    /// Its ends in the quantity's unit, the lower first; a step of a ladder is the step that it names. `None` for a class.
    pub(super) fn ends(&self) -> Option<(f64, f64)> {
        let named = match self.quantity.plain_number {
            PlainNumber::Pass => self.value.passed_step(),
            _ => self.value.failing_step(),
        };
        match self.value {
            Value::Between { .. } if self.quantity.scale.is_stepped() => named.map(|step| (step, step)),
            Value::Between { lo, hi } => Some((lo, hi)),
            Value::Above(bound) => Some((bound, f64::INFINITY)),
            Value::Below(bound) => Some((f64::NEG_INFINITY, bound)),
            _ => named.map(|step| (step, step)),
        }
    }

    /// `400 kgf`, `above stage 12`, `0.4 mm to 0.5 mm`, `1b`.
    pub(super) fn words(&self) -> String {
        let one = |value: f64, bound: Bound| {
            let number = Number::at(value, bound);
            number_with_unit(&number, self.quantity, self.shown)
        };
        match (&self.value, self.ends()) {
            (Value::Above(bound), _) => one(*bound, Bound::Above),
            (Value::Below(bound), _) => one(*bound, Bound::Below),
            (_, Some((lo, hi))) if lo == hi => one(lo, Bound::At),
            (_, Some((lo, hi))) => format!("{} to {}", one(lo, Bound::At), one(hi, Bound::At)),
            (Value::Class(class), None) => class.clone(),
            (_, None) => "no value".to_string(),
        }
    }

    pub(super) fn standard_words(&self, case: &Case<'_>) -> String {
        match self.standard {
            Standard::This => case.method.standard.clone(),
            Standard::Known(method, _) => method.standard.clone(),
            Standard::Unknown => "another standard, not known here".to_string(),
        }
    }
}

/// What was typed, or every field that cannot be used.
pub(super) fn read<'a>(case: &Case<'a>, asked: &QuotedAsk) -> Result<QuotedValue<'a>, Vec<AskFault>> {
    let mut faults = too_long(asked);
    let standard = standard(case, asked.standard.trim()).map_err(|fault| faults.push(fault));
    let (Ok(standard), true) = (standard, faults.is_empty()) else {
        return Err(faults);
    };
    let quantity = match standard {
        Standard::Known(_, quantity) => quantity,
        Standard::This | Standard::Unknown => case.quantity,
    };
    let bounds = match standard {
        Standard::This => Bounds::of(case.method, quantity, ""),
        Standard::Known(method, _) => Bounds::of(method, quantity, ""),
        // what is possible by a standard that is not known here, nobody knows here
        Standard::Unknown => Bounds::open(quantity),
    };
    let loose = loosened(&asked.value, quantity);
    let (reading, is_bare) = value(&loose.text, &asked.unit, bounds).map_err(|fault| vec![fault])?;
    let oil = asked.oil.trim();
    Ok(QuotedValue {
        oil: if oil.is_empty() { "the other oil" } else { oil }.to_string(),
        standard,
        quantity,
        value: reading.value,
        off_ladder: reading.off_ladder,
        unusual: reading.unusual,
        is_bare,
        remarks: loose.remarks,
        shown: case.shown,
    })
}

fn too_long(asked: &QuotedAsk) -> Vec<AskFault> {
    let fields = [
        ("value", &asked.value),
        ("unit", &asked.unit),
        ("standard", &asked.standard),
        ("oil", &asked.oil),
    ];
    let long = fields
        .into_iter()
        .filter(|(_, text)| text.chars().count() > LONGEST);
    long.map(|(field, _)| {
        AskFault::of(
            field,
            format!("has more than {LONGEST} characters; write it shorter"),
        )
    })
    .collect()
}

fn standard<'a>(case: &Case<'a>, asked: &str) -> Result<Standard<'a>, AskFault> {
    if asked.is_empty() || asked == case.method.id.as_str() {
        return Ok(Standard::This);
    }
    if asked == OTHER {
        return Ok(Standard::Unknown);
    }
    let known = alike(case)
        .into_iter()
        .find(|(method, _)| method.id.as_str() == asked);
    known
        .map(|(method, quantity)| Standard::Known(method, quantity))
        .ok_or_else(|| {
            AskFault::of(
                "standard",
                "is none of this list; choose one, or the last line of it",
            )
        })
}

/// The value, and whether it was written as a bare number.
pub(super) fn value(text: &str, unit: &str, bounds: Bounds<'_>) -> Result<(Reading, bool), AskFault> {
    let quantity = bounds.quantity();
    let text = text.trim();
    let class = quantity
        .scale
        .classes()
        .iter()
        .find(|class| class.eq_ignore_ascii_case(text));
    let (written, beside) = match class {
        Some(class) => (Written::Word(class.clone()), None),
        None => match read_value(text) {
            Ok(CellValue::Value { written, unit }) => (written, unit),
            Ok(CellValue::NotRun) => {
                return Err(AskFault::of(
                    "value",
                    "is needed: write the number as the data sheet does, such as 400 kgf, >12 or 0.45 mm",
                ));
            }
            Err(problem) => return Err(AskFault::of("value", problem.to_string())),
        },
    };
    let chosen = match unit.trim() {
        "" => None,
        text => match text.parse::<Unit>() {
            Ok(unit) => Some(unit),
            Err(unknown) => {
                let problem = format!("{}; choose one of the list", unknown_unit(&unknown));
                return Err(AskFault::of("unit", problem));
            }
        },
    };
    let unit = match written {
        // a word has no unit that could be wrong
        Written::Word(_) => Some(quantity.unit),
        _ => beside.or(chosen),
    };
    let is_of_unit = unit.is_none_or(|unit| unit.convert(1.0, quantity.unit).is_none());
    let field = if is_of_unit && beside.is_none() {
        "unit"
    } else {
        "value"
    };
    let reading = read_for_quantity(&written, unit, &bounds)
        .map_err(|problem| AskFault::of(field, problem.to_string()))?;
    Ok((reading, matches!(written, Written::Number(_))))
}

/// Other methods that measure the same quantity: of the same name, in a unit that converts, better the same way.
fn alike<'a>(case: &Case<'a>) -> Vec<(&'a Method, &'a Quantity)> {
    let own = case.quantity;
    let is_class = |quantity: &Quantity| matches!(quantity.scale, Scale::Class(_));
    let is_alike = |quantity: &&Quantity| {
        let called_so = quantity.id == own.id || quantity.label.eq_ignore_ascii_case(&own.label);
        let on_scale = is_class(quantity) == is_class(own);
        let converts = quantity.unit.convert(1.0, own.unit).is_some();
        called_so && on_scale && converts && quantity.better == own.better
    };
    let of_trial = case.records.methods.iter();
    let all = built_in()
        .iter()
        .chain(of_trial.filter(|method| method.origin == Origin::Own));
    all.filter(|method| method.id != case.method.id)
        .filter_map(|method| Some((method, method.quantities.iter().find(is_alike)?)))
        .collect()
}

/// The standards that the form offers.
pub(super) fn standards(case: &Case<'_>, chosen: &str) -> Vec<Choosable> {
    let line = |value: &str, words: String| Choosable {
        value: value.to_string(),
        words,
        chosen: value == chosen,
    };
    let this = line(
        case.method.id.as_str(),
        format!("{}, as this test", case.method.standard),
    );
    let others = alike(case);
    let others = others
        .iter()
        .map(|(method, _)| (method, method.prose(&method.title, case.shown)))
        .map(|(method, title)| line(method.id.as_str(), format!("{}: {title}", method.standard)));
    let unknown = line(OTHER, "another standard, not known here".to_string());
    std::iter::once(this).chain(others).chain([unknown]).collect()
}

/// The units that the form offers: the quantity's own, then those that convert into it.
/// Chosen is the one that was asked for, else the reader's own.
pub(super) fn units(quantity: &Quantity, chosen: &str, shown: DisplayPreferences) -> Vec<Choosable> {
    let own = quantity.unit;
    let chosen = if chosen.trim().is_empty() {
        shown.in_unit(own).word()
    } else {
        chosen.trim()
    };
    let converts = |unit: &&Unit| **unit != own && unit.convert(1.0, own).is_some();
    let all = std::iter::once(&own).chain(Unit::ALL.iter().filter(converts));
    all.map(|unit| Choosable {
        value: unit.word().to_string(),
        words: match (unit, unit_word(*unit)) {
            (Unit::One, _) => "without a unit".to_string(),
            (_, "") => unit.word().to_string(),
            (_, word) => word.to_string(),
        },
        chosen: unit.word() == chosen,
    })
    .collect()
}
