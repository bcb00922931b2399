//! What was decided, in words, and what is wrong with what was typed for it.

use crate::records::{Decision, DecisionKind};
use jiff::civil::Date;

/// How a day is written, `4 March 2024`.
pub(crate) const DAY: &str = "%-d %B %Y";

/// A day in words.
pub(crate) fn day(date: Date) -> String {
    date.strftime(DAY).to_string()
}

/// `Scale up T-03`, `Hold T-09, review 12 January 2027`, `No choice yet`.
pub fn decided(decision: &Decision) -> String {
    decided_on(decision.decided(), decision.blend(), decision.review_on)
}

/// The same from its parts.
pub fn decided_on(kind: DecisionKind, blend: Option<&str>, review_on: Option<Date>) -> String {
    let kind = kind_words(kind);
    let what = blend.map_or_else(|| kind.to_string(), |blend| format!("{kind} {blend}"));
    match review_on {
        Some(date) => format!("{what}, review {}", day(date)),
        None => what,
    }
}

/// A kind as a sentence begins with it.
pub fn kind_words(kind: DecisionKind) -> &'static str {
    match kind {
        DecisionKind::ScaleUp => "Scale up",
        DecisionKind::Hold => "Hold",
        DecisionKind::Drop => "Drop",
        DecisionKind::Iterate => "Iterate",
        DecisionKind::NoChoiceYet => "No choice yet",
    }
}

/// The words with which decisions of a kind are searched for.
pub fn searched_as(kind: DecisionKind) -> &'static [&'static str] {
    match kind {
        DecisionKind::ScaleUp => &["scale up", "scaled up"],
        DecisionKind::Hold => &["hold", "on hold", "held"],
        DecisionKind::Drop => &["drop", "dropped"],
        DecisionKind::Iterate => &["iterate", "iterated"],
        DecisionKind::NoChoiceYet => &["no choice yet", "undecided"],
    }
}

/// What a kind means, for who chooses one.
pub fn kind_means(kind: DecisionKind) -> &'static str {
    match kind {
        DecisionKind::ScaleUp => "make more of one blend",
        DecisionKind::Hold => "keep one blend in reserve",
        DecisionKind::Drop => "stop work on one blend",
        DecisionKind::Iterate => "change the formulation and test again",
        DecisionKind::NoChoiceYet => "the trial stays open",
    }
}

/// What is wrong with the blend of a decision of a kind; `None` where nothing is.
pub fn blend_fault(kind: DecisionKind, names_one: bool) -> Option<String> {
    let kind_is = kind.word();
    match names_one {
        false if kind.needs_blend() => Some(format!("names no blend, and '{kind_is}' needs one")),
        true if !kind.takes_blend() => Some(format!("names a blend, and '{kind_is}' chooses none")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decision_is_said_with_its_blend_and_the_day_on_which_it_is_looked_at_again() {
        let review = Some(jiff::civil::date(2027, 1, 12));
        for (kind, blend, review, words) in [
            (DecisionKind::ScaleUp, Some("T-03"), None, "Scale up T-03"),
            (
                DecisionKind::Hold,
                Some("T-09"),
                review,
                "Hold T-09, review 12 January 2027",
            ),
            (DecisionKind::Drop, Some("T-11"), None, "Drop T-11"),
            (
                DecisionKind::Iterate,
                None,
                review,
                "Iterate, review 12 January 2027",
            ),
            (DecisionKind::NoChoiceYet, None, None, "No choice yet"),
        ] {
            assert_eq!(decided_on(kind, blend, review), words);
        }
    }

    #[test]
    fn a_blend_is_asked_for_where_the_kind_needs_one_and_refused_where_it_chooses_none() {
        for kind in DecisionKind::ALL {
            let (without, with) = (blend_fault(*kind, false), blend_fault(*kind, true));
            assert_eq!(without.is_some(), kind.needs_blend(), "{}", kind.word());
            assert_eq!(
                with.is_some(),
                *kind == DecisionKind::NoChoiceYet,
                "{}",
                kind.word()
            );
        }
    }
}
