//! Judges a trial and looks at its cautions.

use likewear::facade::prose::caution_line::caution_line;
use likewear::facade::prose::standing as words;
use likewear::facade::records::TrialRecords;
use likewear::facade::standing::{Caution, CautionKind, FitCache, Standing, WhatIf, judge};

pub fn standing(records: &TrialRecords) -> Standing {
    judge(
        records,
        &WhatIf {
            draws: 4_000,
            ..WhatIf::default()
        },
        &FitCache::default(),
    )
}

pub fn fired(records: &TrialRecords, kind: CautionKind) -> Vec<Caution> {
    standing(records)
        .cautions
        .into_iter()
        .filter(|caution| caution.kind() == kind)
        .collect()
}

/// The first caution of a kind; its sentence must be one that a person can read.
#[track_caller]
pub fn fires(records: &TrialRecords, kind: CautionKind) -> Caution {
    let standing = standing(records);
    let caution = standing.cautions.iter().find(|caution| caution.kind() == kind);
    let caution = caution.unwrap_or_else(|| panic!("{} does not fire", kind.word()));
    let (heading, sentence) = words::caution(caution, &standing, Default::default());
    assert!(!heading.is_empty() && sentence.ends_with('.'), "{sentence}");
    let line = caution_line(caution, &standing);
    assert!(
        (1..=110).contains(&line.chars().count()) && !line.ends_with(['.', ':']),
        "{line}"
    );
    for broken in ["NaN", "  ", "()", " ,", " .", "inf ", ": :"] {
        assert!(
            !sentence.contains(broken) && !line.contains(broken),
            "{sentence} / {line}"
        );
    }
    caution.clone()
}

#[track_caller]
pub fn is_silent(records: &TrialRecords, kind: CautionKind) {
    let cautions = fired(records, kind);
    assert!(cautions.is_empty(), "{} fires: {cautions:?}", kind.word());
}

/// The evidence of a caution as programs are told it.
pub fn evidence(caution: &Caution) -> serde_json::Value {
    serde_json::to_value(&caution.finding).unwrap()
}
