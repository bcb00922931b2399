//! Which columns of what was frozen count when it is compared with what there is now.

use crate::app::decision::since::ChangeKind::{
    self, Blend, Machine, Method, Question, Rig, Role, Test, Weights,
};

/// A table of which some columns count: kind of change, file, the columns by which a row is recognised, the columns that
/// count (names with spaces between them), which rows.
pub(crate) type Watched = (ChangeKind, &'static str, &'static str, &'static str, Rows);

/// Whether rows that are only there now, or only then, are a change.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rows {
    All,
    InBoth,
}

pub(crate) const WATCHED: [Watched; 10] = [
    (
        Question,
        "trials.csv",
        "trial",
        "asks against margin",
        Rows::InBoth,
    ),
    (
        Machine,
        "trials.csv",
        "trial",
        "machine machine_version machine_confidence",
        Rows::InBoth,
    ),
    (
        Machine,
        "contacts.csv",
        "machine version contact",
        "preset parameters share main_modes secondary_modes minor_modes",
        Rows::InBoth,
    ),
    (Role, "trial_blends.csv", "blend", "role level", Rows::All),
    (
        Test,
        "trial_methods.csv",
        "method quantity",
        "use limit known_good known_poor",
        Rows::All,
    ),
    (
        Weights,
        "trial_scales.csv",
        "term entered_at",
        "importance halving reason",
        Rows::All,
    ),
    (
        Blend,
        "blends.csv",
        "blend",
        "kind kv40_mm2_s kv100_mm2_s density15_kg_m3 base_oil_kv40_mm2_s base_oil_kv100_mm2_s nlgi",
        Rows::InBoth,
    ),
    (Rig, "rigs.csv", "rig", "lab reference_blend", Rows::InBoth),
    (
        Method,
        "methods.csv",
        "method",
        "standard category contacts conditions",
        Rows::InBoth,
    ),
    (
        Method,
        "method_quantities.csv",
        "method quantity",
        "label unit better scale steps cap plain_number_is modes r R precision_kind level",
        Rows::InBoth,
    ),
];
