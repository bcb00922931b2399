//! An explanation as a page and its JSON show it.

use crate::catalogue::MethodId;
use crate::explain::{
    Bearings, Call, Footnote, Footprint, Ladder, Quoted, QuotedAsk, QuotedChoices, ResemblingRow,
    TestContact, Verdict, WornContact,
};
use crate::units::DisplayPreferences;
use serde::Serialize;

/// What is asked of one test; what is `None` is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// Method id.
    pub method: MethodId,
    /// Quantity id; the heaviest, or the first of the trial.
    pub quantity: Option<String>,
    /// Candidate; the one that reads best in this test.
    pub blend: Option<String>,
    /// Machine contact; the one with the greatest share times relevance.
    pub contact: Option<String>,
    /// Another oil's number that is quoted beside the test.
    pub quoted: Option<QuotedAsk>,
    /// How its reader wants numbers shown; JSON leaves them as they are kept.
    pub shown: DisplayPreferences,
}

/// Something that can be chosen, and whether it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choosable {
    /// The value to ask for.
    pub value: String,
    /// Its words.
    pub words: String,
    /// Whether it is chosen.
    pub chosen: bool,
}

/// The machine contact that the test is laid beside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MachineSide {
    /// Its name.
    pub contact: String,
    /// The contact of the test that is laid beside it: of those that the quantity comes from the most alike; empty where the
    /// method has one alone.
    pub test_contact: String,
    /// Its share of the machine.
    pub share: f64,
    /// The failure modes that matter most in it.
    pub main_modes: Vec<String>,
    /// How closely the test resembles it; `None` where that cannot be computed.
    pub resemblance: Option<f64>,
    /// How much the modes that the test scores matter in it.
    pub relevance: f64,
    /// The contact area; `None` where the contact is stated without a geometry.
    pub footprint: Option<Footprint>,
    /// The eleven terms.
    pub ladders: Vec<Ladder>,
}

/// A caution of the trial that concerns this test.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CautionLine {
    /// The rule's word.
    pub kind: &'static str,
    /// Its severity.
    pub severity: &'static str,
    /// Its heading.
    pub heading: String,
    /// Its sentence.
    pub text: String,
}

/// One test explained.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// Trial.
    pub trial: String,
    /// The trial's title.
    pub trial_title: String,
    /// Whether the data is invented.
    pub invented: bool,
    /// The machine's name.
    pub machine: String,
    /// Method id.
    pub method: MethodId,
    /// Quantity id.
    pub quantity: String,
    /// The method's title.
    pub title: String,
    /// Standard.
    pub standard: String,
    /// The quantity's label.
    pub label: String,
    /// The candidate.
    pub blend: String,
    /// The candidates to choose from.
    pub blends: Vec<Choosable>,
    /// The quantities to choose from.
    pub quantities: Vec<Choosable>,
    /// The machine contacts to choose from.
    pub contacts: Vec<Choosable>,
    /// The user's question.
    pub heading: String,
    /// The kind of answer.
    pub verdict: Verdict,
    /// The answer; its first word answers the heading.
    pub answer: String,
    /// The clauses of the conclusion, in order.
    pub conclusion: Vec<String>,
    /// Its weight in the standing.
    pub weight: f64,
    /// Why it is not weighed.
    pub excluded: Option<String>,
    /// Whether it is an extreme-condition screen for this machine.
    pub extreme: bool,
    /// The contact of the test, where it has a geometry.
    pub test_contact: Option<TestContact>,
    /// Pressure on the worn areas of its blends; `None` where no scar was measured.
    pub worn: Option<WornContact>,
    /// Why there is no worn area to show.
    pub not_worn: Option<String>,
    /// Median mass losses of a bearing test; `None` for every other test.
    pub bearings: Option<Bearings>,
    /// The machine contact beside it; `None` where nothing rubs in the test.
    pub machine_side: Option<MachineSide>,
    /// What the test can tell apart.
    pub apart: Vec<String>,
    /// Where the control fluid landed.
    pub control: Option<String>,
    /// The front-runner, where it is not the blend.
    pub front_runner: Option<String>,
    /// What the tests that resemble the machine say.
    pub resembling: Vec<ResemblingRow>,
    /// What is not known.
    pub unknown: Vec<String>,
    /// Sources.
    pub sources: Vec<Footnote>,
    /// Cautions of the trial that concern this test.
    pub cautions: Vec<CautionLine>,
    /// What may be quoted beside this test.
    #[serde(rename = "held_choices")]
    pub quoted_choices: QuotedChoices,
    /// Another oil's number that is quoted beside it, and what it says; `None` where none is.
    #[serde(rename = "held_up")]
    pub quoted: Option<Quoted>,
    /// What is said of it on the telephone.
    pub call: Call,
    /// The method's own caution.
    pub method_caution: String,
    /// The safety of its rig.
    pub method_safety: String,
    /// The machine's caution.
    pub machine_caution: String,
}
