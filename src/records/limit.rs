//! Gate limits: `<= 1b`, `>= 10`, `<= 6 %`, `pass`.

use crate::catalogue::{PlainNumber, Quantity, Scale, Value};

/// What a gate says of a blend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GateOutcome {
    /// The runs meet the limit.
    Pass,
    /// Too near to the limit to tell, or fewer than half of the runs do not meet it.
    InDoubt,
    /// The runs do not meet it, or one was stopped for cause.
    Fail,
    /// No result.
    NotRun,
}

impl GateOutcome {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::InDoubt => "in doubt",
            Self::Fail => "fail",
            Self::NotRun => "not run",
        }
    }
}

/// Where something lies beside a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// On the side that meets it.
    Inside,
    /// Neither side can be told.
    Open,
    /// On the side that does not.
    Outside,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Side {
    AtMost,
    AtLeast,
}

/// What a run says in the terms of a plain number of its quantity: the step at which it failed, the last step that it
/// passed, a reading, or the rank of a class. Both ends are one number where the run says all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    lo: f64,
    hi: f64,
    /// Whether the lower end itself is left out.
    above_lo: bool,
    /// Whether the upper end itself is left out.
    below_hi: bool,
}

impl Span {
    /// What a run of a quantity says; `None` for one that was stopped, and for a class that the quantity has not.
    ///
    /// A failure between two steps of the ladder that follow each other was at the upper one, and the last step passed
    /// was the lower one. Where steps between were not run they stay open.
    pub fn of(value: &Value, quantity: &Quantity) -> Option<Self> {
        let (steps, plain) = (quantity.scale.steps(), quantity.plain_number);
        let after = |number: f64| steps.iter().copied().find(|step| *step > number);
        let before = |number: f64| steps.iter().rev().copied().find(|step| *step < number);
        Some(match *value {
            Value::Exact(number) => Self::closed(number, number),
            Value::Between { lo, hi } => match plain {
                PlainNumber::Failure => Self::closed(after(lo).map_or(hi, |step| step.min(hi)), hi),
                PlainNumber::Pass => Self::closed(lo, before(hi).map_or(lo, |step| step.max(lo))),
                PlainNumber::Exact => Self::closed(lo, hi),
            },
            Value::Above(number) => match (plain, after(number)) {
                (PlainNumber::Failure, Some(next)) => Self::closed(next, f64::INFINITY),
                _ => Self {
                    above_lo: plain != PlainNumber::Pass,
                    ..Self::closed(number, f64::INFINITY)
                },
            },
            Value::Below(number) => match (plain, before(number)) {
                (PlainNumber::Pass, Some(last)) => Self::closed(f64::NEG_INFINITY, last),
                _ => Self {
                    below_hi: plain != PlainNumber::Failure,
                    ..Self::closed(f64::NEG_INFINITY, number)
                },
            },
            Value::Class(ref class) => {
                let mut known = quantity.scale.classes().iter();
                let rank = known.position(|known| known == class)? as f64;
                Self::closed(rank, rank)
            }
            Value::Stopped => return None,
        })
    }

    fn closed(lo: f64, hi: f64) -> Self {
        Self {
            lo,
            hi,
            above_lo: false,
            below_hi: false,
        }
    }

    /// The mean of several; `None` without any. An open end of one leaves that end of the mean open.
    pub fn mean(spans: &[Self]) -> Option<Self> {
        let n = spans.len() as f64;
        let mean = |end: fn(&Self) -> f64| spans.iter().map(end).sum::<f64>() / n;
        (!spans.is_empty()).then(|| Self {
            lo: mean(|span| span.lo),
            hi: mean(|span| span.hi),
            above_lo: spans.iter().any(|span| span.above_lo),
            below_hi: spans.iter().any(|span| span.below_hi),
        })
    }

    /// The number, where it is one.
    pub fn number(self) -> Option<f64> {
        (self.lo == self.hi).then_some(self.lo)
    }
}

/// A limit of one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    side: Side,
    bound: f64,
}

/// Why a limit cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LimitFault {
    /// It begins neither with `<=` nor with `>=`.
    WithoutSide(String),
    /// None of the quantity's classes.
    UnknownClass(String),
    /// No number in the quantity's unit.
    NotANumber(String),
}

impl Limit {
    /// The limit of a text, for a quantity. Classes compare in the catalogue's order; `pass` asks for the first class.
    pub fn parse(text: &str, quantity: &Quantity) -> Result<Self, LimitFault> {
        let text = text.trim();
        if text.eq_ignore_ascii_case("pass") && matches!(quantity.scale, Scale::Class(_)) {
            return Ok(Self {
                side: Side::AtMost,
                bound: 0.0,
            });
        }
        let (side, rest) = match (text.strip_prefix("<="), text.strip_prefix(">=")) {
            (Some(rest), _) => (Side::AtMost, rest),
            (_, Some(rest)) => (Side::AtLeast, rest),
            _ => return Err(LimitFault::WithoutSide(text.to_string())),
        };
        let bound = bound(rest.trim(), quantity)?;
        Ok(Self { side, bound })
    }

    /// The number at which it lies, in the quantity's unit; of classes the rank.
    pub fn bound(&self) -> f64 {
        self.bound
    }

    /// How far inside it a number lies; negative outside.
    pub fn inside_by(&self, number: f64) -> f64 {
        match self.side {
            Side::AtMost => self.bound - number,
            Side::AtLeast => number - self.bound,
        }
    }

    /// Where a span lies: inside or outside by at least `margin` whatever number of it is the true one, or else open. A
    /// number on its limit meets it.
    pub fn place(&self, span: Span, margin: f64) -> Place {
        let (worst, best, without_best) = match self.side {
            Side::AtMost => (span.hi, span.lo, span.above_lo),
            Side::AtLeast => (span.lo, span.hi, span.below_hi),
        };
        let outside_by = -self.inside_by(best);
        if self.inside_by(worst) >= margin {
            Place::Inside
        } else if outside_by >= margin && (outside_by > 0.0 || without_best) {
            Place::Outside
        } else {
            Place::Open
        }
    }
}

fn bound(text: &str, quantity: &Quantity) -> Result<f64, LimitFault> {
    if let Scale::Class(classes) = &quantity.scale {
        let mut known = classes.iter();
        let rank = known.position(|class| class.eq_ignore_ascii_case(text));
        return rank
            .map(|rank| rank as f64)
            .ok_or_else(|| LimitFault::UnknownClass(text.to_string()));
    }
    let unit = quantity.unit.word();
    let number = text.strip_suffix(unit).unwrap_or(text).trim();
    let parsed = number.parse::<f64>().ok().filter(|value| value.is_finite());
    parsed.ok_or_else(|| LimitFault::NotANumber(text.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_method;

    /// A step that no rounding swallows.
    const A_LITTLE: f64 = 1e-9;

    fn place_of(quantity: &Quantity, limit: &str, value: &Value, margin: f64) -> Place {
        let limit = Limit::parse(limit, quantity).unwrap();
        limit.place(Span::of(value, quantity).unwrap(), margin)
    }

    #[test]
    fn a_number_on_its_limit_meets_it_and_one_within_the_margin_is_open() {
        let quantity = built_in_method("fb_wear_oil_B")
            .unwrap()
            .quantity("scar")
            .unwrap();
        let place =
            |limit: &str, number: f64, margin: f64| place_of(quantity, limit, &Value::Exact(number), margin);
        for (by, margin, expected) in [
            (-A_LITTLE, 0.0, Place::Inside),
            (0.0, 0.0, Place::Inside),
            (A_LITTLE, 0.0, Place::Outside),
            (-0.25 - A_LITTLE, 0.25, Place::Inside),
            (-0.25, 0.25, Place::Inside),
            (-0.25 + A_LITTLE, 0.25, Place::Open),
            (0.25 - A_LITTLE, 0.25, Place::Open),
            (0.25, 0.25, Place::Outside),
            (0.25 + A_LITTLE, 0.25, Place::Outside),
        ] {
            assert_eq!(place("<= 0.5", 0.5 + by, margin), expected, "{by}");
            assert_eq!(place(">= 0.5", 0.5 - by, margin), expected, "{by}");
        }
    }

    #[test]
    fn a_stage_is_held_against_a_limit_as_a_plain_number_of_its_quantity_is_read() {
        let quantity = |method: &str, id: &str| built_in_method(method).unwrap().quantity(id).unwrap();
        let fail_stage = quantity("gear_A8", "fail_stage");
        let between = |lo, hi| Value::Between { lo, hi };
        for (value, expected) in [
            (between(9.0, 10.0), Place::Inside),
            (between(8.0, 9.0), Place::Outside),
            // stages 9 to 11 were not run
            (between(8.0, 12.0), Place::Open),
            (Value::Above(8.0), Place::Open),
            // the next stage is the first at which it can fail
            (Value::Above(9.0), Place::Inside),
            (Value::Above(12.0), Place::Inside),
            (Value::Below(9.0), Place::Outside),
            (Value::Below(10.0), Place::Open),
        ] {
            assert_eq!(place_of(fail_stage, ">= 10", &value, 0.0), expected, "{value:?}");
        }
        let pass_load = quantity("bor_oil", "ok_load");
        let steps = pass_load.scale.steps();
        let at = format!(">= {}", steps[3]);
        for (value, expected) in [
            (between(steps[3], steps[4]), Place::Inside),
            (between(steps[2], steps[3]), Place::Outside),
            (between(steps[2], steps[4]), Place::Open),
            (Value::Above(steps[3]), Place::Inside),
            (Value::Below(steps[3]), Place::Outside),
        ] {
            assert_eq!(place_of(pass_load, &at, &value, 0.0), expected, "{value:?}");
        }
    }

    #[test]
    fn a_bound_on_a_reading_says_no_more_than_it_holds() {
        let minutes = built_in_method("demul_d1401")
            .unwrap()
            .quantity("time_to_3mL")
            .unwrap();
        for (limit, value, expected) in [
            ("<= 30", Value::Above(30.0), Place::Outside),
            ("<= 30", Value::Above(29.0), Place::Open),
            ("<= 30", Value::Below(30.0), Place::Inside),
            ("<= 30", Value::Below(31.0), Place::Open),
            (">= 30", Value::Below(30.0), Place::Outside),
            (">= 30", Value::Above(30.0), Place::Inside),
        ] {
            assert_eq!(
                place_of(minutes, limit, &value, 0.0),
                expected,
                "{limit} {value:?}"
            );
        }
        let open = Span::of(&Value::Above(12.0), minutes).unwrap();
        let known = Span::of(&Value::Exact(8.0), minutes).unwrap();
        let mean = Span::mean(&[open, known]).unwrap();
        assert_eq!((mean.lo, mean.hi, mean.number()), (10.0, f64::INFINITY, None));
        let limit = Limit::parse("<= 10", minutes).unwrap();
        assert_eq!(
            limit.place(mean, 0.0),
            Place::Outside,
            "above 10 whatever the open run is"
        );
        assert_eq!(Span::mean(&[]), None);
    }
}
