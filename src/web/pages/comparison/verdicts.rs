//! Each candidate against each reference oil, in words.

use crate::catalogue::Scale;
use crate::prose::reasons::apart;
use crate::records::BlendCode;
use crate::standing::{Difference, TOLD_APART, TestStanding, Verdict};
use crate::units::Unit;
use crate::web::figures;

/// The reference oils that verdicts of a test are against, in their order.
pub(super) fn references(test: &TestStanding) -> Vec<String> {
    let mut references: Vec<String> = Vec::new();
    for verdict in &test.verdicts {
        let code = verdict.reference.to_string();
        if !references.contains(&code) {
            references.push(code);
        }
    }
    references
}

/// What is said of a blend against each of those; empty where nothing is.
pub(super) fn of_blend(test: &TestStanding, blend: &BlendCode) -> Vec<String> {
    let against = |reference: &String| {
        let found = (test.verdicts.iter())
            .find(|verdict| &verdict.blend == blend && verdict.reference.as_str() == reference);
        found.map(|verdict| sentence(verdict, test)).unwrap_or_default()
    };
    references(test).iter().map(against).collect()
}

/// `better: +0.32 (+0.10 to +0.54, p 0.002)`, `cannot be told apart: P(better) 0.62`.
fn sentence(verdict: &Verdict, test: &TestStanding) -> String {
    let words = apart(verdict.apart);
    match by(verdict, test).as_str() {
        "" => words.to_string(),
        amount => format!("{words}: {amount}"),
    }
}

/// By how much one of the two is better: a difference in the unit, a factor, or the probability of being better.
pub(crate) fn by(verdict: &Verdict, test: &TestStanding) -> String {
    let scale = test.strip.as_ref().map(|strip| &strip.scale);
    let unit = test.strip.as_ref().map_or(Unit::One, |strip| strip.unit);
    match (&verdict.difference, verdict.p_better) {
        (Some(difference), _) => amount(difference, scale, unit),
        (None, Some(p)) => format!("P(better) {}", figures::fixed(p, 2)),
        (None, None) => String::new(),
    }
}

fn amount(difference: &Difference, scale: Option<&Scale>, unit: Unit) -> String {
    let logarithmic = scale.filter(|scale| scale.is_logarithmic());
    let shown = |by: f64| match logarithmic {
        Some(scale) => figures::figure(scale.from_working(by)),
        None => signed(by, unit),
    };
    let what = logarithmic.map_or("", |_| "factor ");
    let limits = difference.simultaneous.map(|limits| {
        format!(
            " ({} to {}, p {})",
            shown(limits.lo),
            shown(limits.hi),
            chance(limits.adjusted_p)
        )
    });
    format!("{what}{}{}", shown(difference.by), limits.unwrap_or_default())
}

fn signed(by: f64, unit: Unit) -> String {
    let sign = if by < 0.0 { "−" } else { "+" };
    format!("{sign}{}", figures::difference_in(by.abs(), unit))
}

fn chance(p: f64) -> String {
    if p < 0.001 {
        format!("below {}", figures::fixed(0.001, 3))
    } else {
        figures::fixed(p, 3)
    }
}

/// How the verdicts of a test were made; empty where there are none.
pub(super) fn how(test: &TestStanding) -> String {
    let mut lines = Vec::new();
    let differences = || {
        test.verdicts
            .iter()
            .filter_map(|verdict| verdict.difference.as_ref())
    };
    if let Some(first) = differences().next() {
        let strip = test.strip.as_ref();
        let level = if strip.is_some_and(|strip| strip.scale.is_logarithmic()) {
            "1"
        } else {
            "0"
        };
        let shared = differences().all(|one| one.share_a_block);
        lines.push(match first.simultaneous {
            Some(_) => format!(
                "Better or worse where the limits in brackets leave out {level}; they, and the p-value, hold for all \
                 candidates together at 95 % (Dunnett). Above {level} the candidate is better."
            ),
            None => format!(
                "Better or worse by more than the critical difference, from repeatability{}; above {level} the \
                 candidate is better.",
                if shared {
                    " (same rig at one level)"
                } else {
                    " on the same rig at one level, by reproducibility otherwise"
                }
            ),
        });
    }
    if test.verdicts.iter().any(|verdict| verdict.p_better.is_some()) {
        lines.push(format!(
            "P(better): from censored results, the probability that the candidate is truly better; told apart from {}.",
            figures::figure(TOLD_APART)
        ));
        if test.strip.as_ref().is_some_and(|strip| strip.scale.is_stepped()) {
            lines.push(
                "Where the precision counts steps, no probability tells apart steps that lie no further from each other."
                    .to_string(),
            );
        }
    }
    lines.join(" ")
}

/// `test A, test B and 3 more`.
pub(crate) fn some_of(names: &[String]) -> String {
    const SHOWN: usize = 3;
    let shown = names.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown} and {}", figures::count(more, "other")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_says_its_direction_and_its_limits() {
        let difference = Difference {
            by: -0.25,
            critical: 0.1,
            share_a_block: true,
            simultaneous: None,
        };
        let masses = Scale::Ln { cap: None };
        assert_eq!(amount(&difference, None, Unit::Millimetre), "−0.25");
        assert_eq!(
            amount(&difference, Some(&masses), Unit::Milligram),
            "factor 0.779"
        );
        assert_eq!(
            (chance(0.0004), chance(0.0321)),
            ("below 0.001".into(), "0.032".into())
        );
    }

    #[test]
    fn long_lists_are_cut() {
        let names: Vec<String> = ["a", "b", "c", "d", "e"].map(String::from).to_vec();
        assert_eq!(some_of(&names), "a, b, c and 2 others");
        assert_eq!(some_of(&names[..1]), "a");
    }
}
