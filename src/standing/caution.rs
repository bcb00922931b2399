//! Cautions as data: what was found, with its numbers and names. The wording belongs to the prose.

use crate::catalogue::{MethodId, Mode};
use crate::records::{BlendCode, RigId, TestKey};
use crate::standing::conditions::Variant;
use crate::standing::{DoubtedBecause, GateStanding, LeftOut, MovedRun, NotSorting};
use jiff::civil::Date;
use serde::{Deserialize, Serialize, Serializer};
use std::fmt;

/// How serious a caution is; the order is the order on the page.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, strum::IntoStaticStr,
)]
#[serde(rename_all = "lowercase")]
#[strum(serialize_all = "lowercase")]
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
        self.into()
    }
}

/// What a caution speaks of: those that speak of one thing are read together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
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
    /// Its word for programs.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// A rule that fired.
#[derive(Clone, Debug, PartialEq)]
pub struct Caution {
    /// What it found.
    pub finding: Finding,
    /// How serious.
    pub severity: Severity,
    /// The test that shows it, where one does.
    pub test: Option<TestKey>,
}

impl Caution {
    /// A caution of no single test.
    pub fn new(severity: Severity, finding: Finding) -> Self {
        Self {
            finding,
            severity,
            test: None,
        }
    }

    /// The test that shows it.
    pub fn of_test(mut self, key: &TestKey) -> Self {
        self.test = Some(key.clone());
        self
    }

    /// Which rule fired.
    pub fn kind(&self) -> CautionKind {
        CautionKind::from(&self.finding)
    }
}

/// What a rule found, with the numbers and names that fired it. Its fields are the evidence of a caution in JSON; its
/// kinds, in the order in which cautions of one severity are shown, have their words there too.
#[derive(Clone, Debug, PartialEq, Serialize, strum::EnumDiscriminants)]
#[serde(untagged)]
#[strum_discriminants(
    name(CautionKind),
    doc = "The rule that fired.",
    derive(PartialOrd, Ord, strum::IntoStaticStr, strum::VariantArray),
    strum(serialize_all = "kebab-case")
)]
pub enum Finding {
    /// Without extreme-condition screens somebody else is in front, or nothing is left.
    RestsOnOneExtremeScreen {
        /// What the place in front hangs on.
        #[serde(flatten)]
        hinge: Hinge,
        /// Share of draws in which the front-runner ranks first with everything.
        p_best: f64,
    },
    /// The front-runner is below the known poor where it matters.
    WorseThanKnownPoor {
        /// The front-runner.
        front_runner: BlendCode,
        /// A contact that the test resembles.
        contact: String,
        /// By how much.
        resemblance: f64,
        /// Probability of being below the known poor.
        p_below_poor: f64,
    },
    /// Without one method or rig somebody else is in front.
    HingesOnOneTest(Hinge),
    /// The front-runner stays in front, but without one method, rig or laboratory no leader could be named.
    ClaimHinges(Hinge),
    /// A method that resembles the machine little carries most of the lead.
    LeansOnOneTest {
        /// The method's id.
        method: MethodId,
        /// Its share of the lead.
        lead_share: f64,
        /// How much it resembles the contact of the machine that it resembles most and in which it scores something.
        resemblance: f64,
    },
    /// The front-runner loses to a rival on real components that resemble the machine.
    LosesAtComponent {
        /// The front-runner.
        front_runner: BlendCode,
        /// The rival that is better by most.
        rival: BlendCode,
        /// By how many times the reproducibility.
        times_reproducibility: f64,
        /// How much the test resembles the contact of the machine that it resembles most and in which it scores something.
        resemblance: f64,
    },
    /// A test does not tell good from poor, or a control fluid beats the known good.
    NotSorting {
        /// Which comparison says so.
        reason: NotSorting,
        /// Probability of the right order.
        probability: f64,
        /// The weight it would have if it sorted.
        weight_otherwise: f64,
    },
    /// No test that scores one of its failure modes resembles a contact that matters.
    NothingResembles {
        /// The contact.
        contact: String,
        /// Its share of the machine.
        share: f64,
        /// The resemblance of the test that comes nearest.
        greatest_resemblance: f64,
    },
    /// A main failure mode of the machine is scored by no test and no gate.
    ModeNotTested {
        /// The mode.
        mode: Mode,
        /// Contacts in which it is a main one.
        contacts: Vec<String>,
    },
    /// The front-runner does not rank first often enough.
    NotResolved {
        /// The front-runner.
        front_runner: BlendCode,
        /// Share of draws in which it ranks first.
        p_best: f64,
        /// Rivals that it does not beat with 95 % confidence.
        cannot_be_told_apart: Vec<BlendCode>,
    },
    /// Too little of the weight has been run.
    ThinCoverage {
        /// The front-runner.
        front_runner: BlendCode,
        /// Share of the weight that was run on it.
        coverage: f64,
        /// Whether its gaps filled badly, and its rivals' well, put somebody else in front.
        #[serde(serialize_with = "yes_or_no")]
        fill_changes_the_front: bool,
    },
    /// No test of real components with a weight to speak of was run on both.
    OnlyScreens {
        /// Front-runner and runner-up.
        blends: [BlendCode; 2],
        /// The weight of the heaviest test of components.
        greatest_component_weight: f64,
    },
    /// Both are at the end of a test's scale.
    Capped {
        /// Front-runner and runner-up.
        blends: [BlendCode; 2],
        /// The test's weight.
        weight: f64,
    },
    /// Most of the lead is made beyond the known good, and with nothing counted there no leader could be named.
    BeyondReferences {
        /// Front-runner and runner-up.
        blends: [BlendCode; 2],
        /// Part of the lead that is made there.
        part_of_lead: f64,
    },
    /// The two differ by less than the critical difference on the test that supplies most of the lead.
    WithinRepeatability {
        /// Front-runner and runner-up.
        blends: [BlendCode; 2],
        /// The test's share of the lead.
        lead_share: f64,
        /// Their difference in critical differences.
        part_of_critical_difference: f64,
    },
    /// A result lies where its rig was out of control: its reference runs held another level.
    RigOutOfControl {
        /// The rig.
        rig: RigId,
        /// The reference oil that stands for the rig.
        reference: BlendCode,
        /// Candidates with a result in the span.
        blends: Vec<BlendCode>,
        /// The first reference run at that level.
        #[serde(serialize_with = "as_text")]
        since: Date,
        /// Who would be in front with results as read, where that is somebody else.
        #[serde(skip_serializing_if = "Option::is_none")]
        in_front_as_read: Option<BlendCode>,
        /// Who would be in front with blocks that do not end where the level changed, where that is somebody else.
        #[serde(skip_serializing_if = "Option::is_none")]
        in_front_uncut: Option<BlendCode>,
    },
    /// Runs depart from the method's conditions.
    ConditionsDepart {
        /// The variant that counts; empty where it is the method's own.
        #[serde(serialize_with = "as_text")]
        weighed_at: Variant,
        /// What the method states in the same respects.
        method_has: String,
        /// The other runs.
        #[serde(flatten)]
        others: Departing,
    },
    /// One property was measured by different methods for different blends.
    MixedMethods {
        /// Label of the property.
        quantity: String,
        /// Each method with its blends.
        methods: Vec<MeasuredBy>,
    },
    /// A test has no reference oil.
    NoReference {},
    /// A test has one reference oil.
    OneReference {},
    /// A candidate failed a gate.
    GateFailed {
        /// The candidate.
        blend: BlendCode,
        /// What it failed.
        gates: Vec<UnmetGate>,
    },
    /// A candidate is in doubt at a gate.
    GateBorderline {
        /// The candidate.
        blend: BlendCode,
        /// Where.
        gates: Vec<UnmetGate>,
    },
    /// A candidate has no result at a gate.
    GateNotRun {
        /// The candidate.
        blend: BlendCode,
        /// Labels of what is missing.
        gates: Vec<String>,
    },
    /// One run, moved by the test's repeatability, would change who is in front.
    SingleRun {
        /// Where.
        runs: Vec<MovedRun>,
    },
    /// A run is marked suspect, or runs lie further apart than the method's critical range.
    SuspectRun {
        /// The blend.
        blend: BlendCode,
        /// What is known against them.
        #[serde(flatten)]
        because: DoubtedBecause,
        /// Who would be in front without one of them, where that is somebody else.
        #[serde(skip_serializing_if = "Option::is_none")]
        in_front_without: Option<BlendCode>,
    },
    /// With equal weights somebody else is in front.
    WeightsDecide {
        /// The front-runner.
        front_runner: BlendCode,
        /// Who would be.
        with_equal_weights: BlendCode,
    },
}

/// Who is in front without something that the front-runner's place hangs on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hinge {
    /// The front-runner with everything.
    pub front_runner: BlendCode,
    /// What is left out.
    pub without: LeftOut,
    /// Who is in front then; `None` where nothing is left to weigh.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then_in_front: Option<BlendCode>,
    /// Share of draws in which that one ranks first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub p_best_then: Option<f64>,
    /// Share of draws in which another than the front-runner ranks first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub p_changes: Option<f64>,
    /// Tests that fall away.
    pub tests: Vec<TestKey>,
}

/// Runs under other conditions than those that count, by blend and variant.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Departing {
    /// Shown, not pooled.
    KeptApart(Vec<DepartingRuns>),
    /// At a gate, where the limit is held against them all the same.
    JudgedAllTheSame(Vec<DepartingRuns>),
}

/// Runs of one blend under one variant of the method.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DepartingRuns {
    /// The blend.
    pub blend: BlendCode,
    /// The variant; empty: the method's own conditions.
    pub variant: Variant,
}

/// A method and the candidates that it measured.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredBy {
    /// The method's standard.
    pub standard: String,
    /// The candidates.
    pub blends: Vec<BlendCode>,
}

impl fmt::Display for MeasuredBy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let blends: Vec<&str> = self.blends.iter().map(BlendCode::as_str).collect();
        write!(f, "{} ({})", self.standard, blends.join(", "))
    }
}

impl Serialize for MeasuredBy {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A gate that a candidate has not clearly met, as a caution names it.
#[derive(Clone, Debug, PartialEq)]
pub struct UnmetGate(pub GateStanding);

fn as_text<S: Serializer>(value: &impl fmt::Display, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

fn yes_or_no<S: Serializer>(value: &bool, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(if *value { "yes" } else { "no" })
}

impl CautionKind {
    /// Its word.
    pub fn word(self) -> &'static str {
        self.into()
    }

    /// What it speaks of.
    pub fn about(self) -> About {
        match self {
            Self::RestsOnOneExtremeScreen
            | Self::WorseThanKnownPoor
            | Self::HingesOnOneTest
            | Self::ClaimHinges
            | Self::LeansOnOneTest
            | Self::LosesAtComponent
            | Self::WeightsDecide => About::Front,
            Self::NotResolved
            | Self::ThinCoverage
            | Self::Capped
            | Self::BeyondReferences
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
