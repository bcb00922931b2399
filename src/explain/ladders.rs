//! The eleven terms of a test contact beside a machine contact, as ladders: an axis that holds both, and the gap in words.

use crate::catalogue::Quantity;
use crate::explain::words::tidy;
use crate::prose::resemblance::remark;
use crate::resemblance::scales::{ENTRAINMENT_FLOOR_M_S, FILM_RATIO_RANGE, SLIDING_FLOOR_M_S};
use crate::resemblance::{Term, TermLikeness, TermValue};
use crate::units::{DisplayPreferences, InUnit, Interval, Unit};
use serde::Serialize;

/// One term.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ladder {
    /// Its word.
    pub term: &'static str,
    /// Its label.
    pub label: &'static str,
    /// The unit of axis and ranges; empty where there is none.
    pub unit: &'static str,
    /// What the numbers mean, where the unit does not say.
    pub meaning: &'static str,
    /// How the axis runs.
    pub scale: LadderScale,
    /// Lower and upper end of the axis, in the unit; `None` for words and where a side is not known.
    pub axis: Option<(f64, f64)>,
    /// The machine's side.
    pub machine: LadderSide,
    /// The test's side.
    pub test: LadderSide,
    /// 0.002 to 1; `None` where the term is left out.
    pub similarity: Option<f64>,
    /// Its weight among the eleven.
    pub importance: f64,
    /// Whether a mismatch here is not made good by likeness elsewhere.
    pub first_order: bool,
    /// The gap between the two in words, from the numbers.
    pub gap: String,
    /// Why the term is left out or marked.
    pub remark: &'static str,
}

/// How an axis runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum LadderScale {
    /// Equal steps are equal factors.
    Log,
    /// Equal steps are equal differences.
    Linear,
    /// There is no axis: words are compared.
    Words,
}

/// One side of a ladder, in the ladder's unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LadderSide {
    /// From, to.
    Range(f64, f64),
    /// A word of a closed list.
    Word(&'static str),
    /// Not known.
    Unknown,
}

/// What a term's numbers look like.
struct Form {
    meaning: &'static str,
    /// SI units to one of the term's own unit.
    per_unit: f64,
    /// How values in the term's own unit are shown.
    numbers: InUnit,
    scale: LadderScale,
    /// Least value of the axis, in SI: below it values are alike.
    floor: f64,
    /// The words for the machine's upper and lower end, and for being more.
    ends: (&'static str, &'static str, &'static str),
}

impl Form {
    /// A value in SI as the number that is shown.
    fn value(&self, si: f64) -> f64 {
        self.numbers.value(si / self.per_unit)
    }
}

fn form(term: Term, shown: DisplayPreferences) -> Form {
    let make = |unit: &'static str, meaning, per_unit, scale, floor, ends| Form {
        numbers: match unit {
            "GPa" => shown.in_unit(Unit::Gigapascal),
            "°C" => shown.in_unit(Unit::DegreeCelsius),
            unit => shown.plain(unit),
        },
        meaning,
        per_unit,
        scale,
        floor,
        ends,
    };
    use LadderScale::{Linear, Log, Words};
    match term {
        Term::Pressure => make("GPa", "", 1e9, Log, 0.0, ("highest", "lowest", "high")),
        Term::Sliding => make(
            "m/s",
            "below 0.001 counts as alike",
            1.0,
            Log,
            SLIDING_FLOOR_M_S,
            ("fastest", "slowest", "fast"),
        ),
        Term::Entrainment => make(
            "m/s",
            "half the sum of both surface speeds; below 0.001 counts as alike",
            1.0,
            Log,
            ENTRAINMENT_FLOOR_M_S,
            ("fastest", "slowest", "fast"),
        ),
        Term::SlideRoll => make(
            "",
            "0 rolls, 2 slides on a surface that stands still",
            1.0,
            Linear,
            f64::NEG_INFINITY,
            ("greatest", "least", "great"),
        ),
        Term::Shape => make(
            "",
            "longer over shorter side; 100 is a line",
            1.0,
            Log,
            0.0,
            ("longest", "shortest", "long for its width"),
        ),
        Term::ContactTemperature => make(
            "°C",
            "",
            1.0,
            Linear,
            f64::NEG_INFINITY,
            ("hottest", "coldest", "hot"),
        ),
        Term::FilmRatio => make(
            "",
            "film over roughness, held to 0.3 to 4",
            1.0,
            Log,
            FILM_RATIO_RANGE.0,
            ("thickest", "thinnest", "thick"),
        ),
        Term::TimeInContact => make(
            "",
            "share of its time that a spot is in contact",
            1.0,
            Log,
            1e-6,
            ("longest", "shortest", "long"),
        ),
        Term::Motion | Term::Materials | Term::Supply => make("", "", 1.0, Words, 0.0, ("", "", "")),
    }
}

/// The ladders of a comparison, in the order of the terms.
pub(crate) fn ladders(terms: &[TermLikeness], quantity: &Quantity, shown: DisplayPreferences) -> Vec<Ladder> {
    terms.iter().map(|term| ladder(term, quantity, shown)).collect()
}

fn ladder(likeness: &TermLikeness, quantity: &Quantity, shown: DisplayPreferences) -> Ladder {
    let form = form(likeness.term, shown);
    let both = match (&likeness.test, &likeness.machine) {
        (TermValue::Range(test), TermValue::Range(machine)) => Some((*test, *machine)),
        _ => None,
    };
    let words = matches!(likeness.test, TermValue::Word(_)) || matches!(likeness.machine, TermValue::Word(_));
    let side = |value: &TermValue| match value {
        TermValue::Range(range) => LadderSide::Range(form.value(range.lo()), form.value(range.hi())),
        TermValue::Word(word) => LadderSide::Word(word),
        TermValue::Unknown => LadderSide::Unknown,
    };
    let worn = quantity.pressure_from == crate::catalogue::PressureFrom::WornToFresh;
    Ladder {
        term: likeness.term.word(),
        label: likeness.term.label(),
        unit: form.numbers.word(),
        meaning: if worn && likeness.term == Term::Pressure {
            "from the mean on the worn scar to the greatest on fresh surfaces"
        } else {
            form.meaning
        },
        scale: if words { LadderScale::Words } else { form.scale },
        axis: both.map(|(test, machine)| axis(&form, test, machine)),
        machine: side(&likeness.machine),
        test: side(&likeness.test),
        similarity: likeness.similarity,
        importance: likeness.importance,
        first_order: likeness.is_first_order(),
        gap: gap(likeness, shown),
        remark: likeness.remark.map(remark).unwrap_or_default(),
    }
}

/// The gap between the test's and the machine's side of a term in words.
pub(crate) fn gap(likeness: &TermLikeness, shown: DisplayPreferences) -> String {
    match (&likeness.test, &likeness.machine) {
        _ if likeness.similarity.is_none() => "not compared".to_string(),
        (TermValue::Range(test), TermValue::Range(machine)) => {
            gap_words(likeness.term, *test, *machine, shown)
        }
        (TermValue::Word(test), TermValue::Word(machine)) if test == machine => "the same".to_string(),
        (TermValue::Word(_), TermValue::Word(_)) => "not the same".to_string(),
        (TermValue::Unknown, TermValue::Unknown) => "not known on either side".to_string(),
        (TermValue::Unknown, _) => "not known of the test".to_string(),
        (_, TermValue::Unknown) => "not known of the machine".to_string(),
        _ => "a different kind".to_string(),
    }
}

/// An axis that holds both, with room at its ends.
fn axis(form: &Form, test: Interval, machine: Interval) -> (f64, f64) {
    let all = test.hull(machine);
    if form.scale == LadderScale::Log {
        let lo = all.lo().max(form.floor).max(1e-9);
        let hi = all.hi().max(lo);
        return (form.value(lo / 1.35), form.value(hi * 1.35));
    }
    // One value alone has the room that a range of half of it would have, so that its numbers differ.
    let room = 0.08 * (all.hi() - all.lo()).max(0.5 * all.hi().abs()).max(0.1);
    let lo = if all.lo() >= 0.0 {
        (all.lo() - room).max(0.0)
    } else {
        all.lo() - room
    };
    (form.value(lo), form.value(all.hi() + room))
}

/// The gap between two ranges (SI) of a term in words: `4.1 times the highest in the machine`, `130 K above`.
pub(crate) fn gap_words(term: Term, test: Interval, machine: Interval, shown: DisplayPreferences) -> String {
    let form = form(term, shown);
    let (high, low, much) = form.ends;
    if form.scale == LadderScale::Log {
        let held = |value: f64| value.max(form.floor);
        let above = held(test.lo()) / held(machine.hi());
        let below = held(machine.lo()) / held(test.hi());
        if above > 1.0 && machine.hi() <= form.floor {
            return format!("{} times what counts as none", tidy(above, shown));
        }
        if above > 1.0 {
            return format!("{} the {high} in the machine", times(above, shown));
        }
        if below > 1.0 {
            return format!("the machine's {low} is {} as {much}", times(below, shown));
        }
        return within(test, machine);
    }
    // A difference of temperatures has no zero to start from.
    let difference = match term {
        Term::ContactTemperature => shown.in_unit(Unit::Kelvin),
        _ => shown.plain(""),
    };
    let words = |length: f64| {
        let text = format!(
            "{} {}",
            tidy(difference.difference(length), shown),
            difference.word()
        );
        text.trim_end().to_string()
    };
    let (above, below) = (test.lo() - machine.hi(), machine.lo() - test.hi());
    if above > 0.0 {
        return format!("{} above the {high} in the machine", words(above));
    }
    if below > 0.0 {
        return format!("{} below the {low} in the machine", words(below));
    }
    within(test, machine)
}

/// `4.1 times`; a factor near 1 with the digits that show it.
fn times(factor: f64, shown: DisplayPreferences) -> String {
    if factor < 1.1 {
        format!("{} times", shown.fixed(factor, 3))
    } else {
        format!("{} times", tidy(factor, shown))
    }
}

fn within(test: Interval, machine: Interval) -> String {
    let inside = test.lo() >= machine.lo() && test.hi() <= machine.hi();
    if inside {
        "within the machine's range".to_string()
    } else {
        "overlaps the machine's range".to_string()
    }
}

#[cfg(test)]
mod tests;
