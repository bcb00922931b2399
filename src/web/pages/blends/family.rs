//! The family of a blend: who came from whom, and where each member stands in each test.

use crate::app::{Change, Kin, Lineage, Member, Sight, Step, Stop, Trajectory};
use crate::charts::{Anchors, Ends, FamilyChart, FamilyRow, Span, Svg, Width};
use crate::records::BlendCode;
use crate::standing::Anchored;
use crate::web::figures::{self, Figure};
use crate::web::pages::comparison::plot::axis;

/// Deeper members are not moved further in.
const DEEPEST: usize = 6;

/// How far a member is moved in.
pub(super) fn depth(member: &Member) -> usize {
    member.depth.min(DEEPEST)
}

/// What a member is to the blend.
pub(super) fn kin(member: &Member) -> &'static str {
    match member.kin {
        Kin::Itself => "this blend",
        Kin::Ancestor => "ancestor",
        Kin::Descendant => "descendant",
        Kin::Relative => "relative",
    }
}

/// `active sulfur 2 → 0.8, base oil 97 → 98.2 wt%`.
pub(super) fn changes_words(changes: &[Change]) -> String {
    if changes.is_empty() {
        return "no component changed".to_string();
    }
    let list: Vec<String> = changes
        .iter()
        .map(|(name, from, to)| format!("{name} {} → {}", from.weight_per_cent(), to.weight_per_cent()))
        .collect();
    format!("{} wt%", list.join("; "))
}

/// A test's finding and its chart.
pub(super) struct Drawn {
    pub(super) finding: String,
    pub(super) drawing: Svg,
}

impl Drawn {
    /// The drawing of one test with the family in it.
    pub(super) fn new(of: &Trajectory, lineage: &Lineage) -> Self {
        let finding = finding(of, lineage);
        let chart = chart(of, lineage, &finding);
        Self {
            drawing: chart.draw(Width::Narrow),
            finding,
        }
    }
}

/// What sets the scale of a test, where it is not two reference oils.
pub(super) fn scale_words(of: &Trajectory) -> &'static str {
    match of.strip.anchored {
        Anchored::Both => "",
        Anchored::Good | Anchored::Poor => {
            "one reference oil: the other end is taken at twice the reproducibility"
        }
        Anchored::None => "no known-good reference oil: the scale is the test's own",
    }
}

/// The step that leads to a member.
pub(super) fn step_to<'a>(of: &'a Trajectory, stop: &Stop) -> Option<&'a Step> {
    of.steps.iter().find(|step| step.to == stop.member)
}

fn code(lineage: &Lineage, member: usize) -> &BlendCode {
    &lineage.members[member].blend.code
}

/// Whether a step goes to the better or the worse; empty where that cannot be said.
pub(super) fn direction(step: &Step) -> &'static str {
    match step.sight {
        Sight::BothBeyondTheScale => "",
        _ if step.moved > 0.0 => "better",
        _ if step.moved < 0.0 => "worse",
        _ => "",
    }
}

/// The word of a sight in the page's data and in JSON.
pub(crate) fn sight_key(sight: Sight) -> &'static str {
    match sight {
        Sight::Larger => "larger",
        Sight::TooSmall => "too small",
        Sight::BothBeyondTheScale => "both beyond the scale",
        Sight::PrecisionUnknown => "precision unknown",
    }
}

fn finding(of: &Trajectory, lineage: &Lineage) -> String {
    let Some(stop) = of.stops.first() else {
        return String::new();
    };
    if of.steps.is_empty() {
        let codes: Vec<String> = of
            .stops
            .iter()
            .map(|stop| code(lineage, stop.member).to_string())
            .collect();
        return match codes.as_slice() {
            [only] => format!(
                "Of the family only {only} was run: position {}.",
                figures::position(stop.position.mean)
            ),
            _ => format!(
                "{} were run; none of them comes from another of them.",
                codes.join(", ")
            ),
        };
    }
    let told = of.steps.iter().map(|step| {
        let (from, to) = (code(lineage, step.from), code(lineage, step.to));
        let size = match step.sight {
            Sight::Larger => "more than the test's precision",
            Sight::TooSmall => "too little for this test to see",
            Sight::BothBeyondTheScale => return format!("{from} to {to}: both beyond the end of the scale"),
            Sight::PrecisionUnknown => "the precision of this test is not known",
        };
        let way = match direction(step) {
            "" => "no change",
            way => way,
        };
        format!("{from} to {to}: {way}, {size}")
    });
    format!("{}.", told.collect::<Vec<_>>().join("; "))
}

fn chart(of: &Trajectory, lineage: &Lineage, finding: &str) -> FamilyChart {
    let row_of = |member: usize| of.stops.iter().position(|stop| stop.member == member);
    let rows = of.stops.iter().map(|stop| FamilyRow {
        mark: stop.member,
        span: Span {
            mean: stop.position.mean,
            lo: stop.position.lo,
            hi: stop.position.hi,
        },
        ends: if stop.estimate.capped {
            Ends::Capped
        } else {
            Ends::Interval
        },
        after: step_to(of, stop).and_then(|step| row_of(step.from)),
        title: format!(
            "{}: {}",
            code(lineage, stop.member),
            figures::read_or_estimate(&stop.readings, &stop.estimate, &of.strip)
        ),
    });
    FamilyChart {
        axis: axis(&of.strip),
        anchors: match of.strip.anchored {
            Anchored::Both => Anchors::Both,
            Anchored::Good => Anchors::Good,
            Anchored::Poor => Anchors::Poor,
            Anchored::None => Anchors::None,
        },
        band: of.strip.band,
        rows: rows.collect(),
        finding: format!("{}: {finding}", of.label),
    }
}
