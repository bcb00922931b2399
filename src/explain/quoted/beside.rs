//! A quoted number beside what was run here: whether the two differ by more than R, and where it lies on the strip.

use crate::catalogue::{PlainNumber, Quantity, Value};
use crate::explain::Case;
use crate::explain::quoted::QuotedPlace;
use crate::explain::quoted::read::{QuotedValue, Standard};
use crate::explain::reading::{Bound, Number};
use crate::explain::ruler::{Limit, limit};
use crate::records::{BlendCode, Level, Role};
use crate::units::DisplayPreferences;
use serde::Serialize;

/// What a quoted number is, beside another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ToldByR {
    /// Better by more than R.
    Better,
    /// Not told apart by R.
    Level,
    /// Worse by more than R.
    Worse,
    /// Neither failed at the last step that was run, or both lie below what can be measured.
    BothBeyond,
    /// One of the two is a bound, and what lies beyond it decides.
    LeftOpen,
}

/// One blend of the trial beside the number.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuotedBeside {
    /// The blend.
    pub blend: String,
    /// `known good`, `candidate`, `control fluid`.
    pub role: &'static str,
    /// What it reads.
    pub number: String,
    /// What the quoted number is beside it.
    pub verdict: ToldByR,
    /// How far apart they are: `2 load steps`, `more than 3 stages`; empty where nothing is told apart.
    pub size: String,
    /// How many steps of the ladder it lies above the other; `None` where steps are not counted, and of bounds.
    pub steps: Option<f64>,
}

impl QuotedBeside {
    /// The verdict in words.
    pub fn words(&self) -> &'static str {
        match self.verdict {
            ToldByR::Better => "better than it, beyond R",
            ToldByR::Level => "cannot be told apart from it",
            ToldByR::Worse => "worse than it, beyond R",
            ToldByR::BothBeyond => "cannot be told apart from it: both lie beyond what is measured",
            ToldByR::LeftOpen => "left open: one of the two is only a bound",
        }
    }
}

/// The number beside every blend of the trial that reads something in the test: reference oils, candidates, control fluids.
pub(super) fn beside(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Vec<QuotedBeside> {
    let Some(limit) = limit(case.test, case.quantity) else {
        return Vec::new();
    };
    let row = |(blend, role): (&BlendCode, &'static str)| one_beside(case, quoted, &limit, blend, role);
    others(case).into_iter().filter_map(row).collect()
}

/// Blends beside which a number may be laid, in the order in which they are named.
pub(super) fn others<'a>(case: &Case<'a>) -> Vec<(&'a BlendCode, &'static str)> {
    let levels = [
        (Level::KnownGood, "known good"),
        (Level::KnownMiddle, "known middle"),
        (Level::KnownPoor, "known poor"),
    ];
    let references = levels
        .into_iter()
        .filter_map(|(level, role)| Some((case.reference(case.test, level)?, role)));
    let of_role = |role, words| case.records.with_role(role).map(move |blend| (blend, words));
    references
        .chain(of_role(Role::Candidate, "candidate"))
        .chain(of_role(Role::Control, "control fluid"))
        .collect()
}

fn one_beside(
    case: &Case<'_>,
    quoted: &QuotedValue<'_>,
    limit: &Limit<'_>,
    blend: &BlendCode,
    role: &'static str,
) -> Option<QuotedBeside> {
    let number = case.number_of(blend).filter(|number| !number.from_data_sheet)?;
    let quantity = case.quantity;
    let found = compare(quoted, limit, &number, quantity, case.shown)?;
    Some(QuotedBeside {
        blend: blend.to_string(),
        role,
        number: case.words_of(&number),
        verdict: found.0,
        size: found.1,
        steps: quoted
            .ends()
            .filter(|_| limit.counts_steps() && number.bound == Bound::At)
            .and_then(|(lo, hi)| (lo == hi).then_some(limit.at(lo)? - limit.at(number.value)?)),
    })
}

/// How much better the number is than another, between its least and its most, judged by R.
fn compare(
    quoted: &QuotedValue<'_>,
    limit: &Limit<'_>,
    number: &Number,
    quantity: &Quantity,
    shown: DisplayPreferences,
) -> Option<(ToldByR, String)> {
    let (lo, hi) = quoted.ends()?;
    let (a, b) = (limit.at(lo)?, limit.at(hi)?);
    let other = limit.at(number.value)?;
    let (c, d) = match number.bound {
        Bound::At => (other, other),
        Bound::Above => (other, f64::INFINITY),
        Bound::Below => (f64::NEG_INFINITY, other),
    };
    if (b.is_infinite() && d.is_infinite() && a == c) || (a.is_infinite() && c.is_infinite() && b == d) {
        return Some((ToldByR::BothBeyond, String::new()));
    }
    let sign = quantity.better.sign();
    let (least, most) = if sign > 0.0 {
        (a - d, b - c)
    } else {
        (c - b, d - a)
    };
    // Above a step at which oils fail lies the next one at least: then a difference of R itself is passed.
    let opens = |bound: bool| bound && quantity.plain_number == PlainNumber::Failure;
    let own_open = opens(matches!(quoted.value, Value::Above(_)));
    let other_open = opens(number.bound == Bound::Above);
    let passes = |length: f64, open: bool| {
        let edge = limit.reproducibility;
        length > edge * (1.0 + 1e-9) || (open && length >= edge * (1.0 - 1e-9))
    };
    let size = |length: f64, bounded: bool| {
        let words = limit.words(quantity, length, shown);
        if bounded {
            words
        } else {
            format!("more than {words}")
        }
    };
    Some(if passes(least, own_open && sign > 0.0) {
        (ToldByR::Better, size(least, least == most))
    } else if passes(-most, other_open && sign > 0.0) {
        (ToldByR::Worse, size(most, least == most))
    } else if least.is_finite() && most.is_finite() && !passes(most, false) && !passes(-least, false) {
        (ToldByR::Level, String::new())
    } else {
        (ToldByR::LeftOpen, String::new())
    })
}

/// Where the number lies on the strip; `None` by another standard and where there is no strip.
pub(super) fn place(case: &Case<'_>, quoted: &QuotedValue<'_>) -> Option<QuotedPlace> {
    if quoted.standard != Standard::This {
        return None;
    }
    let strip = case.test.strip.as_ref()?;
    let at = |value: f64| strip.position_of(value);
    let place =
        |lo: Option<f64>, hi: Option<f64>| (lo.is_some() || hi.is_some()).then_some(QuotedPlace { lo, hi });
    let (lo, hi) = match quoted.value {
        Value::Exact(value) => (at(value), at(value)),
        Value::Between { lo, hi } => (at(lo), at(hi)),
        Value::Above(bound) => (at(bound), None),
        Value::Below(bound) => (None, at(bound)),
        Value::Class(_) | Value::Stopped => (None, None),
    };
    // Less is better: what lies above a value lies to the left of it.
    if case.quantity.better.sign() > 0.0 {
        place(lo, hi)
    } else {
        place(hi, lo)
    }
}
