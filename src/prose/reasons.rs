//! Words for what a standing leaves out, assumes and does not weigh, and for what a precision says.

use crate::catalogue::{Origin, PrecisionKind};
use crate::prose::cautions::not_sorting;
use crate::prose::standing::title;
use crate::records::{BlendCode, TestKey};
use crate::standing::kernel::{Checked, KernelError, Keyed, Missing, ObservationError};
use crate::standing::{
    Anchor, Apart, AskedFault, Assumption, Block, LeaveOut, LeftOut, NamedRun, NotWeighed, PrecisionSource,
    RigTime, Rule, Standing, StatedPrecision,
};
use crate::units::DisplayPreferences;

/// A method's title, a rig's or laboratory's name, a run with its test, or all extreme screens.
pub fn leave_out_name(standing: &Standing, out: &LeaveOut) -> String {
    left_out_name(standing, &out.left_out, &out.tests)
}

/// The same, of what is left out with the tests that fall away.
pub(crate) fn left_out_name(standing: &Standing, left_out: &LeftOut, tests: &[TestKey]) -> String {
    match left_out {
        LeftOut::Quantity(key) => title(standing, key).unwrap_or_else(|| key.to_string()),
        LeftOut::Method(method) => {
            let of_method = standing.tests.iter().find(|test| &test.key.method == method);
            of_method.map_or_else(
                || method.to_string(),
                |test| format!("{} ({})", test.title, test.standard),
            )
        }
        LeftOut::Rig(rig) => format!("rig {rig}"),
        LeftOut::ExtremeScreens => "all extreme-condition screens".to_string(),
        LeftOut::Laboratory(lab) if lab.to_lowercase().starts_with("laboratory") => lab.clone(),
        LeftOut::Laboratory(lab) => format!("laboratory {lab}"),
        LeftOut::Block(_) => format!("runs on {}", left_out_id(left_out)),
        LeftOut::Run(_) | LeftOut::DoubtedRuns(_) => {
            let of = tests.first().and_then(|key| title(standing, key));
            format!("{} in {}", left_out_id(left_out), of.unwrap_or_default())
        }
    }
}

/// By what a program knows it: the key, the method id, the rig or laboratory, the block, the blend and its run, or
/// `all extreme screens`.
pub fn left_out_id(left_out: &LeftOut) -> String {
    match left_out {
        LeftOut::Quantity(key) => key.to_string(),
        LeftOut::Method(id) => id.to_string(),
        LeftOut::Rig(name) | LeftOut::Laboratory(name) => name.clone(),
        LeftOut::ExtremeScreens => "all extreme screens".to_string(),
        LeftOut::Block(block) => block_id(block),
        LeftOut::Run(run) => named_run(run),
        LeftOut::DoubtedRuns(runs) => runs.iter().map(named_run).collect::<Vec<_>>().join(" and "),
    }
}

fn named_run(run: &NamedRun) -> String {
    let NamedRun {
        blend,
        replicate,
        date,
    } = run;
    match date {
        Some(date) => format!("{blend}, run {replicate} of {date}"),
        None => format!("{blend}, run {replicate}"),
    }
}

/// `LO-2 from 2025-03-10`, or `LO-2, autumn` where a block is a campaign.
fn block_id(block: &Block) -> String {
    let Block { rig, campaign, time } = block;
    let campaign = match (campaign.as_str(), time) {
        ("", RigTime::Always) => ", no campaign named".to_string(),
        ("", _) => String::new(),
        (campaign, _) => format!(", {campaign}"),
    };
    let time = match time {
        RigTime::Always => String::new(),
        RigTime::Level { from: None, to: None } => String::new(),
        RigTime::Level {
            from: Some(from),
            to: None,
        } => format!(" from {from}"),
        RigTime::Level {
            from: None,
            to: Some(to),
        } => format!(" up to {to}"),
        RigTime::Level {
            from: Some(from),
            to: Some(to),
        } => format!(" from {from} to {to}"),
        RigTime::Between { after, before } => format!(" after {after} and before {before}"),
        RigTime::Undated => " without a date".to_string(),
    };
    format!("{rig}{campaign}{time}")
}

/// What is assumed otherwise than usual.
pub fn assumption(assumption: &Assumption, shown: DisplayPreferences) -> String {
    match assumption {
        Assumption::OnlyContact(contact) => format!("only the contact '{contact}'"),
        Assumption::HeadRoom(0.0) => "nothing counted beyond the references".to_string(),
        Assumption::HeadRoom(room) => format!("head-room {} beyond the references", plain(*room, shown)),
        Assumption::EqualWeights => "all weights equal".to_string(),
        Assumption::AnyProportions => "all proportions of the weights equally likely".to_string(),
        Assumption::TestsThatDoNotSort => "with tests that do not sort".to_string(),
        Assumption::AsRead => "results as read, not adjusted for severity".to_string(),
    }
}

/// Why a test is not weighed.
pub fn not_weighed(why: &NotWeighed, shown: DisplayPreferences) -> String {
    let words = match why {
        NotWeighed::LeftOut => "left out in this what-if",
        NotWeighed::Gate => "a gate: not weighed",
        NotWeighed::Shown { reason } if reason.is_empty() => "shown, not weighed",
        NotWeighed::Shown { reason } => return format!("shown, not weighed: {reason}"),
        NotWeighed::NoContact => "no rubbing contact: a gate, or shown",
        NotWeighed::ContactNotComputed(error) => return format!("its contact cannot be computed: {error}"),
        NotWeighed::MachineNotComputed { contact, error } => {
            return format!("the machine's contact '{contact}' cannot be computed: {error}");
        }
        NotWeighed::TermsUnknown => "pressure, sliding speed or slide-roll ratio is not known on one side",
        NotWeighed::NoModeThatMatters => "it scores no failure mode that matters in this machine",
        NotWeighed::DataSheetOnly => "data-sheet values only: never weighed",
        NotWeighed::NotRun => "not run",
        NotWeighed::NoReference => "no reference oil was run: there is no scale",
        NotWeighed::NoReproducibility => {
            "one reference oil was run and the method states no reproducibility: the scale has no length"
        }
        NotWeighed::NoPrecision => {
            "no published precision, and fewer than 3 degrees of freedom of replicates"
        }
        NotWeighed::NotComputed(error) => return format!("cannot be computed: {}", kernel_fault(error)),
        NotWeighed::DoesNotSort { reason, probability } => {
            let probability = shown.fixed(*probability, 2);
            return format!("does not sort: {} (P {probability})", not_sorting(*reason));
        }
        NotWeighed::NoWeight => "weight set to 0",
    };
    words.to_string()
}

/// Why the numbers of a standing cannot be worked out.
pub fn kernel_fault(error: &KernelError) -> String {
    match error {
        KernelError::Setting(setting) => format!("{} is out of range", checked(*setting)),
        KernelError::Test { key, field } => format!("test {key}: {} is out of range", checked(*field)),
        KernelError::Result { key, problem } => {
            let problem = match problem {
                ObservationError::NotFinite => "a result must be a finite number",
                ObservationError::LimitsReversed => {
                    "the lower limit of a result must lie below its upper limit"
                }
            };
            format!("test {key}: {problem}")
        }
        KernelError::Twice(Keyed::Candidate(stream)) => format!("candidate stream {stream} occurs twice"),
        KernelError::Twice(Keyed::Test(key)) => format!("test {key} occurs twice"),
        KernelError::Twice(Keyed::Block(key)) => format!("block {key} occurs twice"),
        KernelError::MethodAboveOne(method) => {
            format!("the weights of method {method} add up to more than 1")
        }
        KernelError::NothingPossible(key) => format!("test {key}: the results leave no value possible"),
        KernelError::NotThere(missing) => format!("{} is not among those given", missing_words(*missing)),
    }
}

fn checked(number: Checked) -> &'static str {
    match number {
        Checked::HeadRoom => "head-room",
        Checked::Concentration => "concentration",
        Checked::Draws => "number of draws",
        Checked::BlockShift => "shift of a block",
        Checked::Sign => "sign",
        Checked::StandardDeviation => "standard deviation",
        Checked::Cap => "cap",
        Checked::Candidates => "number of candidates",
        Checked::Block => "block of a result",
        Checked::ReferenceResults => "number of reference results",
        Checked::Reproducibility => "reproducibility",
        Checked::Weight => "weight",
    }
}

fn missing_words(missing: Missing) -> String {
    match missing {
        Missing::ExcludedTest(place) => format!("excluded test {place}"),
        Missing::LeftOutTest(place) => format!("left-out test {place}"),
        Missing::Test(place) => format!("test {place}"),
        Missing::CandidateOut(place) => format!("candidate that is out {place}"),
        Missing::Weight => "a weight for every test".to_string(),
    }
}

/// A number as the shortest text that reads back as it.
pub(crate) fn plain(number: f64, shown: DisplayPreferences) -> String {
    shown.dress(&number.to_string())
}

/// Where the scatter of a test comes from.
pub fn precision(source: &PrecisionSource, shown: DisplayPreferences) -> String {
    match (&source.stated, source.freedom) {
        (Some(stated), None) => stated_precision(stated, shown),
        (Some(stated), Some(freedom)) => format!(
            "{}, with {freedom:.0} degrees of freedom from this trial's replicates",
            stated_precision(stated, shown)
        ),
        (None, freedom) => format!(
            "no published precision: this trial's replicates alone, {:.0} degrees of freedom",
            freedom.unwrap_or_default()
        ),
    }
}

fn stated_precision(stated: &StatedPrecision, shown: DisplayPreferences) -> String {
    let whose = match stated.origin {
        Origin::BuiltIn => "published",
        Origin::Own => "the laboratory's",
    };
    let (precision, unit) = (&stated.precision, stated.unit);
    let r = plain(precision.repeatability, shown);
    let amount = match (precision.kind, precision.level) {
        (PrecisionKind::PerCent, _) => format!("{r} %"),
        (PrecisionKind::Steps, _) if precision.repeatability == 1.0 => "1 step".to_string(),
        (PrecisionKind::Steps, _) => format!("{r} steps"),
        (PrecisionKind::Constant, Some(level)) => {
            format!("{r} {unit}, stated near {} {unit}", plain(level, shown))
        }
        (PrecisionKind::Constant, None) => format!("{r} {unit}"),
    };
    let unknown = match precision.reproducibility {
        None => "; R not published, taken as 2 r (ours)",
        Some(_) => "",
    };
    format!("{whose} r {amount}{unknown}")
}

/// How one blend stands to another.
pub fn apart(apart: Apart) -> &'static str {
    match apart {
        Apart::Better => "better",
        Apart::Alike => "cannot be told apart",
        Apart::Worse => "worse",
    }
}

/// Why the records cannot be changed as a question asks, with the mend.
pub fn asked_fault(fault: &AskedFault) -> String {
    match fault {
        AskedFault::Duty { contact, fault } => format!("the contact '{contact}' cannot have it: {fault}"),
        AskedFault::OneOilForBoth(oil) => {
            format!("'{oil}' is taken as the known good already; choose another oil")
        }
        AskedFault::NoReference { oil, references, .. } => {
            let known: Vec<&str> = references.iter().map(BlendCode::as_str).collect();
            format!(
                "'{oil}' is no reference oil of this trial; write one of {}, or {}",
                known.join(", "),
                Anchor::NONE
            )
        }
    }
}

/// What a rule of a control chart has seen.
pub fn rule(rule: Rule) -> &'static str {
    match rule {
        Rule::BeyondLimits => "one run beyond the limits",
        Rule::TwoOfThree => "two of three runs beyond two standard deviations on one side",
        Rule::FourOfFive => "four of five runs beyond one standard deviation on one side",
        Rule::EightOnOneSide => "eight runs in a row on one side of the centre",
        Rule::WeightedMean => "the weighted mean beyond its limits",
        Rule::MovingRange => "a jump from the run before that is beyond its limit",
    }
}
