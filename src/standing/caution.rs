//! Cautions as data: kind, severity, numbers. The wording belongs to the page.

use crate::records::TestKey;
use std::collections::BTreeMap;

/// How serious a caution is; the order is the order on the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// No leader may be named.
    Stop,
    /// Talk about it before deciding.
    High,
    /// Know it.
    Medium,
    /// For the record.
    Note,
}

impl Severity {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::High => "high",
            Self::Medium => "medium",
            Self::Note => "note",
        }
    }
}

/// What a caution speaks of: those that speak of one thing are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// What the front-runner's place rests on.
    Front,
    /// Whether the front-runner can be told from its rivals.
    Apart,
    /// Whether the tests speak of this machine.
    Tests,
    /// Single results.
    Results,
    /// Requirements.
    Gates,
}

impl About {
    /// Its words, as a heading.
    pub fn words(self) -> &'static str {
        match self {
            Self::Front => "What the place in front rests on",
            Self::Apart => "Whether the order can be told",
            Self::Tests => "Whether the tests speak of this machine",
            Self::Results => "Single results",
            Self::Gates => "Gates",
        }
    }

    /// Its word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Apart => "apart",
            Self::Tests => "tests",
            Self::Results => "results",
            Self::Gates => "gates",
        }
    }
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident = $word:literal;)*) => {
        /// The rule that fired.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum CautionKind { $($(#[$doc])* $name,)* }

        impl CautionKind {
            /// All rules.
            pub const ALL: &'static [CautionKind] = &[$(Self::$name,)*];

            /// Its word.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }
        }
    };
}

kinds! {
    /// Without extreme-condition screens somebody else is in front, or nothing is left.
    RestsOnOneExtremeScreen = "rests-on-one-extreme-screen";
    /// The front-runner is below the known poor where it matters.
    WorseThanKnownPoor = "worse-than-known-poor";
    /// Without one method or rig somebody else is in front.
    HingesOnOneTest = "hinges-on-one-test";
    /// A method that resembles the machine little carries most of the lead.
    LeansOnOneTest = "leans-on-one-test";
    /// The front-runner loses to a rival on real components that resemble the machine.
    LosesAtComponent = "loses-at-component";
    /// A test does not tell good from poor, or a control fluid beats the known good.
    NotSorting = "not-sorting";
    /// No test resembles a contact that matters.
    NothingResembles = "nothing-resembles";
    /// A main failure mode of the machine is scored by no test and no gate.
    ModeNotTested = "mode-not-tested";
    /// The front-runner does not rank first often enough.
    NotResolved = "not-resolved";
    /// Too little of the weight has been run.
    ThinCoverage = "thin-coverage";
    /// No test of real components with a weight to speak of was run on both.
    OnlyScreens = "only-screens";
    /// Both are at the end of a test's scale.
    Capped = "capped";
    /// Both are at the head-room limit on most of the weight.
    Saturated = "saturated";
    /// The two differ by less than the critical difference on the test that supplies most of the lead.
    WithinRepeatability = "within-repeatability";
    /// A result lies where its rig's reference chart is out of control.
    RigOutOfControl = "rig-out-of-control";
    /// Runs depart from the method's conditions.
    ConditionsDepart = "conditions-depart";
    /// One property was measured by different methods for different blends.
    MixedMethods = "mixed-methods";
    /// A test has no reference oil.
    NoReference = "no-reference";
    /// A test has one reference oil.
    OneReference = "one-reference";
    /// A candidate failed a gate.
    GateFailed = "gate-failed";
    /// A candidate lies within the test's scatter of a gate's limit.
    GateBorderline = "gate-borderline";
    /// A candidate has no result at a gate.
    GateNotRun = "gate-not-run";
    /// One run, moved by the test's repeatability, would change who is in front.
    SingleRun = "single-run";
    /// A run is marked suspect, or runs lie further apart than the method's critical range.
    SuspectRun = "suspect-run";
    /// With equal weights somebody else is in front.
    WeightsDecide = "weights-decide";
}

impl CautionKind {
    /// What it speaks of.
    pub fn about(self) -> About {
        match self {
            Self::RestsOnOneExtremeScreen
            | Self::WorseThanKnownPoor
            | Self::HingesOnOneTest
            | Self::LeansOnOneTest
            | Self::LosesAtComponent
            | Self::WeightsDecide => About::Front,
            Self::NotResolved
            | Self::ThinCoverage
            | Self::Capped
            | Self::Saturated
            | Self::WithinRepeatability
            | Self::SingleRun => About::Apart,
            Self::NotSorting
            | Self::NothingResembles
            | Self::ModeNotTested
            | Self::OnlyScreens
            | Self::NoReference
            | Self::OneReference => About::Tests,
            Self::RigOutOfControl | Self::ConditionsDepart | Self::MixedMethods | Self::SuspectRun => {
                About::Results
            }
            Self::GateFailed | Self::GateBorderline | Self::GateNotRun => About::Gates,
        }
    }
}

/// A number or a name behind a caution.
#[derive(Clone, Debug, PartialEq)]
pub enum Evidence {
    /// A number.
    Number(f64),
    /// A name or a sentence.
    Text(String),
    /// Several names.
    List(Vec<String>),
}

/// A rule that fired, with the numbers that fired it.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// The rule.
    pub kind: CautionKind,
    /// How serious.
    pub severity: Severity,
    /// The test that shows it, where one does.
    pub test: Option<TestKey>,
    /// The numbers.
    pub evidence: BTreeMap<&'static str, Evidence>,
}

impl Caution {
    /// A caution without evidence yet.
    pub fn new(kind: CautionKind, severity: Severity) -> Self {
        Self {
            kind,
            severity,
            test: None,
            evidence: BTreeMap::new(),
        }
    }

    /// The test that shows it.
    pub fn of_test(mut self, key: &TestKey) -> Self {
        self.test = Some(key.clone());
        self
    }

    /// With a number.
    pub fn number(mut self, name: &'static str, value: f64) -> Self {
        self.evidence.insert(name, Evidence::Number(value));
        self
    }

    /// With a name.
    pub fn text(mut self, name: &'static str, value: impl ToString) -> Self {
        self.evidence.insert(name, Evidence::Text(value.to_string()));
        self
    }

    /// With several names.
    pub fn list(mut self, name: &'static str, values: impl IntoIterator<Item = impl ToString>) -> Self {
        let values = values.into_iter().map(|value| value.to_string()).collect();
        self.evidence.insert(name, Evidence::List(values));
        self
    }
}
