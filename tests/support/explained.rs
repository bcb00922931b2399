//! Compares a trial and explains one of its tests.

use super::TrialBuilder;
use likewear::facade::catalogue::MethodId;
use likewear::facade::explain::{Ask, Explanation, explain};
use likewear::facade::records::TrialRecords;
use likewear::facade::standing::Comparison;
use likewear::facade::standing::{FitCache, WhatIf, judge};
use likewear::facade::units::DisplayPreferences;

/// The comparison of a trial as it is, from so many draws.
pub fn compared(records: TrialRecords, draws: usize) -> Comparison {
    let what_if = WhatIf {
        draws,
        ..WhatIf::default()
    };
    Comparison {
        duty: Vec::new(),
        standing: judge(&records, &what_if, &FitCache::default()),
        records: records.into(),
        what_if,
        as_it_is: None,
    }
}

/// The explanation of a test whose words do not hang on the draws.
pub fn explained(trial: TrialBuilder, ask: &Ask) -> Explanation {
    explain(&compared(trial.build(), 200), ask).unwrap()
}

/// A question about a method, with everything chosen for it.
pub fn about_method(method: &str) -> Ask {
    Ask {
        method: MethodId::new(method).unwrap(),
        quantity: None,
        blend: None,
        contact: None,
        quoted: None,
        shown: DisplayPreferences::default(),
    }
}

/// A question about one quantity of a method.
pub fn about(method: &str, quantity: &str) -> Ask {
    Ask {
        quantity: Some(quantity.into()),
        ..about_method(method)
    }
}
