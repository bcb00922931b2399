//! Numbers and dates as pages print them.

use crate::catalogue::{Better, Value};
use crate::prose::decisions;
use crate::prose::readings::readings;
use crate::prose::standing::{of_100, per_cent};
use crate::records::{TestKey, TrialRecords};
use crate::standing::{Estimate, RunReading, Strip};
use crate::units::{Interval, Unit};
use crate::web::preferences::preferences;
use jiff::Timestamp;
use jiff::civil::Date;

/// `4 March 2024`, or `no date`.
pub(crate) fn date(date: Option<Date>) -> String {
    date.map_or_else(|| "no date".to_string(), decisions::day)
}

/// A stored moment to the minute, `4 March 2024, 09:30 UTC`; as it stands where it is no moment.
pub(crate) fn moment(stored: &str) -> String {
    written(stored, &format!("{}, %H:%M UTC", decisions::DAY))
}

/// The day of a stored moment, `4 March 2024`; as it stands where it is no moment.
pub(crate) fn day(stored: &str) -> String {
    written(stored, decisions::DAY)
}

fn written(stored: &str, format: &str) -> String {
    let moment = stored.parse::<Timestamp>();
    moment.map_or_else(
        |_| stored.to_string(),
        |moment| moment.strftime(format).to_string(),
    )
}

/// A number as the reader wants it written.
pub(crate) fn figure(value: f64) -> String {
    preferences().number(value)
}

/// A value that is kept in a unit, in the unit that the reader wants shown; without the unit.
pub(crate) fn figure_in(value: f64, of: Unit) -> String {
    preferences().in_unit(of).number(value)
}

/// The unit after a number, as the reader wants it; nothing where the number stands alone.
pub(crate) fn unit(of: Unit) -> &'static str {
    let shown = preferences().in_unit(of);
    if shown.is_as_kept() {
        kept_unit(of)
    } else {
        shown.word()
    }
}

/// The unit in which a value is kept, after a number; what a form reads.
pub(crate) fn kept_unit(of: Unit) -> &'static str {
    match of {
        Unit::One | Unit::Class | Unit::Rating => "",
        Unit::Micrometre => "µm",
        Unit::SquareMillimetrePerSecond => "mm²/s",
        other => other.word(),
    }
}

/// `12 mm`, `12`; the text holds a value as [`figure_in`] writes it.
pub(crate) fn with_unit(text: &str, of: Unit) -> String {
    match unit(of) {
        "" => text.to_string(),
        "stage" => format!("stage {text}"),
        word => format!("{text} {word}"),
    }
}

/// A value without its unit: `0.45`, `250 to 315`, `> 12`, `< 4`, `1b`.
pub(crate) fn value(value: &Value, of: Unit) -> String {
    let figure = |number: &f64| figure_in(*number, of);
    match value {
        Value::Exact(number) => figure(number),
        Value::Between { lo, hi } => format!("{} to {}", figure(lo), figure(hi)),
        Value::Above(number) => format!("> {}", figure(number)),
        Value::Below(number) => format!("< {}", figure(number)),
        Value::Class(class) => class.clone(),
        Value::Stopped => "stopped".to_string(),
    }
}

/// A value with the unit of its quantity, where that is known.
pub(crate) fn value_with_unit(of_run: &Value, of: Option<Unit>) -> String {
    let of = of.unwrap_or(Unit::One);
    with_unit(&value(of_run, of), of)
}

/// A difference of two values that are kept in a unit, in the unit that the reader wants; without the unit.
pub(crate) fn difference_in(difference: f64, of: Unit) -> String {
    let shown = preferences().in_unit(of);
    shown.shown().number(shown.difference(difference))
}

/// An estimate without its unit; above the cap it is the cap.
pub(crate) fn estimate(estimate: &Estimate, of: Unit) -> String {
    let value = figure_in(estimate.value, of);
    if estimate.capped {
        format!("> {value}")
    } else {
        value
    }
}

/// What runs read on a ladder or in stages, where an estimate would be a load that no rig has; else their estimate.
pub(crate) fn read_or_estimate(read: &[RunReading], of_runs: &Estimate, strip: &Strip) -> String {
    match strip.scale.is_stepped() {
        true => readings(read, strip.unit, preferences()),
        false => with_unit(&estimate(of_runs, strip.unit), strip.unit),
    }
}

/// The interval of an estimate; open where it is capped.
pub(crate) fn interval(estimate: &Estimate, of: Unit) -> String {
    let (lo, hi) = (figure_in(estimate.lo, of), figure_in(estimate.hi, of));
    if estimate.capped {
        format!("from {lo}")
    } else {
        format!("{lo} to {hi}")
    }
}

/// The title of a test with the reader's decimal sign; that of a laboratory's own method as it was typed.
pub(crate) fn title(records: &TrialRecords, test: &TestKey, title: &str) -> String {
    let method = records.method(&test.method);
    method.map_or_else(|| title.to_string(), |method| method.prose(title, preferences()))
}

/// `less is better`, `more is better`.
pub(crate) fn better(better: Better) -> &'static str {
    match better {
        Better::Higher => "more is better",
        Better::Lower => "less is better",
    }
}

/// A number with so many decimals, a true minus, and no minus before nothing.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = preferences().fixed(value, decimals);
    let is_nothing = !text.bytes().any(|byte| (b'1'..=b'9').contains(&byte));
    if is_nothing {
        text.replace('-', "")
    } else {
        text.replace('-', "\u{2212}")
    }
}

/// A position or score: two decimals, with a true minus.
pub(crate) fn position(position: f64) -> String {
    fixed(position, 2)
}

/// A position, or that it is unknown.
pub(crate) fn known_position(known: Option<f64>) -> String {
    known.map_or_else(|| "unknown".to_string(), position)
}

/// A change of score: with its sign.
pub(crate) fn signed(change: f64) -> String {
    let text = position(change);
    let is_nothing = text == fixed(0.0, 2);
    if is_nothing || text.starts_with('\u{2212}') {
        text
    } else {
        format!("+{text}")
    }
}

/// A whole number, with the reader's groups of digits.
pub(crate) fn whole(number: usize) -> String {
    preferences().dress(&number.to_string())
}

/// `1 run`, `4 runs`.
pub(crate) fn count(number: usize, one: &str) -> String {
    match number {
        1 => format!("1 {one}"),
        more => format!("{} {one}s", whole(more)),
    }
}

/// A range of an SI quantity in words, scaled by `per_unit`.
pub(crate) fn range(range: Interval, per_unit: f64) -> String {
    from_to(figure(range.lo() / per_unit), figure(range.hi() / per_unit))
}

/// `4 to 7`; one number where both are written alike.
pub(crate) fn from_to(lo: String, hi: String) -> String {
    if lo == hi { lo } else { format!("{lo} to {hi}") }
}

/// A number of a unit with its word, in the unit that the reader wants.
pub(crate) fn measured(value: f64, unit: &'static str) -> String {
    preferences().in_unit_of_word(unit).words(value)
}

/// A range of numbers of a unit with its word, in the unit that the reader wants.
pub(crate) fn measured_range(range: Interval, unit: &'static str) -> String {
    let shown = preferences().in_unit_of_word(unit);
    let text = shown.range(range.lo(), range.hi());
    format!("{text} {}", shown.word()).trim_end().to_string()
}

/// The word of the unit that the reader wants for values in this one.
pub(crate) fn measured_unit(unit: &'static str) -> &'static str {
    preferences().in_unit_of_word(unit).word()
}

/// A range of an SI quantity that is shown in a unit, or in what the reader wants instead; without the word.
pub(crate) fn range_in(range: Interval, per_unit: f64, unit: &'static str) -> String {
    preferences()
        .in_unit_of_word(unit)
        .range(range.lo() / per_unit, range.hi() / per_unit)
}

/// Numbers as templates write them; one that is not there is nothing.
pub(crate) trait Figure {
    /// The number, where there is one.
    fn number(&self) -> Option<f64>;

    /// The number as it is written, or nothing.
    fn written(&self, write: impl FnOnce(f64) -> String) -> String {
        self.number().map(write).unwrap_or_default()
    }

    /// As the reader wants it written.
    fn figure(&self) -> String {
        self.written(figure)
    }

    /// With so many decimals.
    fn fixed(&self, decimals: usize) -> String {
        self.written(|number| fixed(number, decimals))
    }

    /// A position, a score, a weight: with two decimals.
    fn position(&self) -> String {
        self.written(position)
    }

    /// A share of 1 in per cent.
    fn per_cent(&self) -> String {
        self.written(per_cent)
    }

    /// A share of simulations: so many of 100.
    fn of_100(&self) -> String {
        self.written(of_100)
    }

    /// A share in wt%, to a thousandth, without zeros at its end: sums must come out.
    fn weight_per_cent(&self) -> String {
        let text = self.written(|share| format!("{share:.3}"));
        preferences().dress(text.trim_end_matches('0').trim_end_matches('.'))
    }

    /// A number of the SI in the unit that it is shown in, with its word.
    fn si(&self, unit: &'static str) -> String {
        let per_unit = match unit {
            "MPa" => 1e6,
            "mm" => 1e-3,
            "µm" => 1e-6,
            _ => 1.0,
        };
        self.written(|number| measured(number / per_unit, unit))
    }
}

impl Figure for f64 {
    fn number(&self) -> Option<f64> {
        Some(*self)
    }
}

impl Figure for Option<f64> {
    fn number(&self) -> Option<f64> {
        *self
    }
}

/// A text as it may stand in an element's id.
pub(crate) fn anchor(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '_' {
                c
            } else {
                '-'
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cap_is_printed_as_a_bound_and_never_as_a_number() {
        let capped = Estimate {
            value: 12.0,
            lo: 11.5,
            hi: 15.0,
            capped: true,
            runs: 2,
        };
        assert_eq!(estimate(&capped, Unit::Stage), "> 12");
        assert_eq!(interval(&capped, Unit::Stage), "from 11.5");
    }

    #[test]
    fn signs_and_counts_read_well() {
        assert_eq!(signed(0.181), "+0.18");
        assert_eq!(signed(-0.141), "\u{2212}0.14");
        assert_eq!(signed(-0.001), "0.00");
        assert_eq!(
            (33.63.weight_per_cent(), 100.0.weight_per_cent()),
            ("33.63".to_string(), "100".to_string())
        );
        assert_eq!(count(1, "run"), "1 run");
        assert_eq!(count(0, "run"), "0 runs");
        assert_eq!(anchor("own bench/mass loss"), "own-bench-mass-loss");
    }
}
