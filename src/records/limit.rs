//! Gate limits: `<= 1b`, `>= 10`, `<= 6 %`, `pass`.

use crate::catalogue::{Quantity, Scale, Value};

/// What a gate says of a blend.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GateOutcome {
    /// Every run meets the limit.
    Pass,
    /// Some runs meet it and some do not, or the mean lies within the test's scatter of it.
    WithinScatter,
    /// No run meets it, or a run was stopped for cause.
    Fail,
    /// No result.
    NotRun,
}

impl GateOutcome {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::WithinScatter => "within scatter",
            Self::Fail => "fail",
            Self::NotRun => "not run",
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Side {
    AtMost,
    AtLeast,
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

    /// What the runs of one blend say. For a bound or an interval the end that is worse for the blend counts.
    ///
    /// `scatter` is half the width, in the quantity's unit, within which the mean cannot be told from the limit.
    pub fn judge(&self, runs: &[&Value], quantity: &Quantity, scatter: Option<f64>) -> GateOutcome {
        let numbers: Vec<f64> = runs
            .iter()
            .filter_map(|value| self.worse_end(value, quantity))
            .collect();
        if numbers.is_empty() {
            return GateOutcome::NotRun;
        }
        let met = numbers.iter().filter(|number| self.meets(**number)).count();
        let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
        let close = scatter.is_some_and(|width| mean.is_finite() && (mean - self.bound).abs() < width);
        match met {
            _ if close => GateOutcome::WithinScatter,
            0 => GateOutcome::Fail,
            all if all == numbers.len() => GateOutcome::Pass,
            _ => GateOutcome::WithinScatter,
        }
    }

    /// Whether the mean of the runs lies on the wrong side of the limit.
    pub fn mean_fails<'v>(&self, runs: impl Iterator<Item = &'v Value>, quantity: &Quantity) -> bool {
        let numbers: Vec<f64> = runs.filter_map(|value| self.worse_end(value, quantity)).collect();
        let mean = numbers.iter().sum::<f64>() / numbers.len() as f64;
        !numbers.is_empty() && !self.meets(mean)
    }

    fn meets(&self, number: f64) -> bool {
        match self.side {
            Side::AtMost => number <= self.bound,
            Side::AtLeast => number >= self.bound,
        }
    }

    fn worse_end(&self, value: &Value, quantity: &Quantity) -> Option<f64> {
        let (lo, hi) = match value {
            Value::Exact(number) => (*number, *number),
            Value::Between { lo, hi } => (*lo, *hi),
            Value::Above(number) => (*number, f64::INFINITY),
            Value::Below(number) => (f64::NEG_INFINITY, *number),
            Value::Class(class) => {
                let rank = quantity.scale.classes().iter().position(|known| known == class)? as f64;
                (rank, rank)
            }
            Value::Stopped => return None,
        };
        Some(if self.side == Side::AtMost { hi } else { lo })
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

    #[test]
    fn a_result_on_its_limit_passes_and_a_mean_within_the_scatter_of_it_is_not_told_from_it() {
        let quantity = built_in_method("fb_wear_oil_B")
            .unwrap()
            .quantity("scar")
            .unwrap();
        let judge = |limit: &str, number: f64, scatter: Option<f64>| {
            let limit = Limit::parse(limit, quantity).unwrap();
            limit.judge(&[&Value::Exact(number)], quantity, scatter)
        };
        for (by, at_most) in [
            (-A_LITTLE, GateOutcome::Pass),
            (0.0, GateOutcome::Pass),
            (A_LITTLE, GateOutcome::Fail),
        ] {
            assert_eq!(judge("<= 0.5", 0.5 + by, None), at_most, "{by}");
            assert_eq!(judge(">= 0.5", 0.5 - by, None), at_most, "{by}");
        }
        for (by, at_most) in [
            (-0.25 - A_LITTLE, GateOutcome::Pass),
            (-0.25, GateOutcome::Pass),
            (-0.25 + A_LITTLE, GateOutcome::WithinScatter),
            (0.25 - A_LITTLE, GateOutcome::WithinScatter),
            (0.25, GateOutcome::Fail),
            (0.25 + A_LITTLE, GateOutcome::Fail),
        ] {
            assert_eq!(judge("<= 0.5", 0.5 + by, Some(0.25)), at_most, "{by}");
            assert_eq!(judge(">= 0.5", 0.5 - by, Some(0.25)), at_most, "{by}");
        }
    }
}
