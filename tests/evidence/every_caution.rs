//! A caution that fires always, or never, is a defect: each kind has a test that fires it and one that stays
//! silent.

use likewear::facade::standing::CautionKind;
use std::collections::BTreeSet;
use strum::VariantArray;

const SOURCES: [&str; 3] = [
    include_str!("cautions.rs"),
    include_str!("cautions_more.rs"),
    include_str!("cautions_rigs.rs"),
];

/// What stands between the brackets of each call of a function.
fn arguments_of(function: &str) -> Vec<String> {
    let call = format!("{function}(");
    let calls = SOURCES.iter().flat_map(|source| {
        let starts = source.match_indices(&call);
        starts.map(|(at, _)| inside(&source[at + call.len()..]))
    });
    calls.collect()
}

/// Up to the bracket that closes the one already open.
fn inside(rest: &str) -> String {
    let mut depth = 1;
    let still_inside = |character: &char| {
        match character {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        depth > 0
    };
    rest.chars().take_while(still_inside).collect()
}

fn kinds_in(arguments: &[String]) -> BTreeSet<CautionKind> {
    let named = |kind: &&CautionKind| {
        let name = format!("CautionKind::{kind:?}");
        arguments.iter().any(|text| {
            let mut after = text.match_indices(&name).map(|(at, _)| &text[at + name.len()..]);
            after.any(|rest| !rest.starts_with(|next: char| next.is_alphanumeric()))
        })
    };
    CautionKind::VARIANTS.iter().filter(named).copied().collect()
}

#[test]
fn every_kind_has_a_test_that_fires_it_and_one_that_stays_silent() {
    let all: BTreeSet<CautionKind> = CautionKind::VARIANTS.iter().copied().collect();
    let missing = |function: &str| -> Vec<&str> {
        let found = kinds_in(&arguments_of(function));
        all.difference(&found).map(|kind| kind.word()).collect()
    };
    assert_eq!(missing("fires"), Vec::<&str>::new(), "no test fires them");
    assert_eq!(
        missing("is_silent"),
        Vec::<&str>::new(),
        "no test in which they stay silent"
    );
}

#[test]
fn every_kind_has_a_word_of_its_own() {
    let words: BTreeSet<&str> = CautionKind::VARIANTS.iter().map(|kind| kind.word()).collect();
    assert_eq!(words.len(), CautionKind::VARIANTS.len());
}

#[test]
fn a_call_is_read_up_to_its_own_closing_bracket() {
    assert_eq!(
        inside("&f(1), CautionKind::Capped); other(2)"),
        "&f(1), CautionKind::Capped"
    );
    let one = ["&x, CautionKind::GateNotRun".to_string()];
    assert_eq!(kinds_in(&one), BTreeSet::from([CautionKind::GateNotRun]));
}
