//! The number that is spoken of, and whether a test can tell two blends apart by it.

use crate::catalogue::{PlainNumber, Quantity, Value};
use crate::explain::ruler::limit;
use crate::records::{BlendCode, ResultSource, ResultStatus, RunResult, TrialRecords};
use crate::resemblance::median;
use crate::standing::TestStanding;

/// On which side of a value the truth lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bound {
    /// The value itself.
    At,
    /// Above it: the last step run was passed.
    Above,
    /// Below it.
    Below,
}

/// What a blend read in a test, as a laboratory would say it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Number {
    /// In the quantity's unit.
    pub(crate) value: f64,
    /// Its side.
    pub(crate) bound: Bound,
    /// Whether no run stands behind it.
    pub(crate) from_data_sheet: bool,
    /// How many results it rests on.
    pub(crate) results: usize,
}

impl Number {
    /// A number that stands for itself, with no run behind it.
    pub(crate) fn at(value: f64, bound: Bound) -> Self {
        Self {
            value,
            bound,
            from_data_sheet: true,
            results: 1,
        }
    }
}

/// The number of a blend: on a ladder or in stages the middle of the steps that its runs name, otherwise the estimate.
/// Without a run a data sheet's value; `None` where there is neither.
pub(crate) fn number(
    records: &TrialRecords,
    test: &TestStanding,
    quantity: &Quantity,
    blend: &BlendCode,
) -> Option<Number> {
    let counts = |result: &&RunResult| {
        result.key == test.key && &result.blend == blend && result.status != ResultStatus::Void
    };
    let (sheet, measured): (Vec<&RunResult>, Vec<&RunResult>) = records
        .current_results()
        .filter(counts)
        .partition(|result| result.source == ResultSource::DataSheet);
    let estimate = test.estimates.get(blend).filter(|_| !quantity.scale.is_stepped());
    if let Some(estimate) = estimate {
        return Some(Number {
            value: estimate.value,
            bound: if estimate.capped { Bound::Above } else { Bound::At },
            from_data_sheet: false,
            results: estimate.runs,
        });
    }
    middle(quantity, &measured, false).or_else(|| middle(quantity, &sheet, true))
}

/// The middle of what results say; of an even number the lower of the two.
fn middle(quantity: &Quantity, results: &[&RunResult], from_data_sheet: bool) -> Option<Number> {
    let step = |value: &Value| match quantity.plain_number {
        PlainNumber::Pass => value.passed_step(),
        _ => value.failing_step(),
    };
    let bound = |value: &Value| match value {
        Value::Above(_) => Bound::Above,
        Value::Below(_) => Bound::Below,
        _ => Bound::At,
    };
    let mut read: Vec<(f64, Bound)> = results
        .iter()
        .filter_map(|result| Some((step(&result.value)?, bound(&result.value))))
        .collect();
    let place = |bound: Bound| match bound {
        Bound::Below => 0,
        Bound::At => 1,
        Bound::Above => 2,
    };
    read.sort_by(|a, b| a.0.total_cmp(&b.0).then(place(a.1).cmp(&place(b.1))));
    let at = read.len().checked_sub(1)? / 2;
    let value = if quantity.scale.is_stepped() {
        read[at].0
    } else {
        median(read.iter().map(|(value, _)| *value).collect())?
    };
    Some(Number {
        value,
        bound: read[at].1,
        from_data_sheet,
        results: read.len(),
    })
}

/// Whether a test tells one blend from another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Told {
    /// The first is better by more than the critical difference.
    Better,
    /// They cannot be told apart.
    Level,
    /// The first is worse by more than the critical difference.
    Worse,
}

impl Told {
    /// Its words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Level => "cannot be told apart",
            Self::Worse => "worse",
        }
    }
}

/// One blend beside another in one test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Difference {
    /// What the test can say.
    pub(crate) told: Told,
    /// How much better the first is, a length on the scale on which the test is judged.
    pub(crate) size: f64,
    /// Whether that scale counts the steps of a ladder.
    pub(crate) in_steps: bool,
    /// Whether both were run in one block, so that the limit is r and not R.
    pub(crate) same_block: bool,
}

impl Difference {
    /// The letter of the limit.
    pub(crate) fn letter(&self) -> &'static str {
        if self.same_block { "r" } else { "R" }
    }
}

/// The difference of two blends in a test, judged by the critical difference of single results: r where one rig ran
/// both in one block, R otherwise. Where the precision counts steps of a ladder the steps that were read are laid beside
/// each other, as those of a quoted number are. Two results above the cap cannot be told apart. `None` where one was not
/// run or the scatter is not known.
pub(crate) fn difference(
    records: &TrialRecords,
    test: &TestStanding,
    quantity: &Quantity,
    one: &BlendCode,
    other: &BlendCode,
) -> Option<Difference> {
    let (a, b) = (test.estimates.get(one)?, test.estimates.get(other)?);
    let limits = limit(test, quantity)?;
    let in_steps = limits.counts_steps();
    let place = |blend: &BlendCode, estimate: f64| {
        let read = in_steps.then(|| number(records, test, quantity, blend)).flatten();
        limits.at(read.map_or(estimate, |read| read.value))
    };
    let size = if a.capped && b.capped {
        0.0
    } else {
        quantity.better.sign() * (place(one, a.value)? - place(other, b.value)?)
    };
    let blocks = |blend: &BlendCode| test.blocks.get(blend).cloned().unwrap_or_default();
    let same_block = !blocks(one).is_disjoint(&blocks(other));
    let limit = if same_block {
        limits.repeatability
    } else {
        limits.reproducibility
    };
    // A difference of exactly r is within r, whatever the last digit of a logarithm.
    let told = if size.abs() <= limit * (1.0 + 1e-9) {
        Told::Level
    } else if size > 0.0 {
        Told::Better
    } else {
        Told::Worse
    };
    Some(Difference {
        told,
        size,
        same_block,
        in_steps,
    })
}

/// How good a number is among others: greater is better, and above a cap is better than at it.
pub(crate) fn rank(quantity: &Quantity, number: &Number) -> (f64, f64) {
    let sign = quantity.better.sign();
    let beyond = match number.bound {
        Bound::At => 0.0,
        Bound::Above => sign,
        Bound::Below => -sign,
    };
    (sign * number.value, beyond)
}
