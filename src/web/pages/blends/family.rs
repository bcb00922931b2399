//! The family of a blend: who came from whom, and where each member stands in each test.

use crate::app::{BlendView, Change, Kin, Lineage, Sight, Step, Stop, Trajectory};
use crate::charts::{Anchors, Ends, FamilyChart, FamilyRow, Span, Svg, Width, legend_mark, mark_words};
use crate::standing::Anchored;
use crate::web::figures;
use crate::web::pages::blends::href;
use crate::web::pages::comparison::plot::axis;
use crate::web::question::encoded_step;

/// Deeper members are not moved further in.
const DEEPEST: usize = 6;

/// A member of the family.
pub(crate) struct MemberRow {
    pub(crate) code: String,
    pub(crate) href: String,
    pub(crate) name: String,
    pub(crate) depth: usize,
    pub(crate) kin: &'static str,
    pub(crate) is_this: bool,
    pub(crate) parent: String,
    pub(crate) change: String,
    pub(crate) composition: String,
    pub(crate) mark: Svg,
    pub(crate) mark_words: &'static str,
}

/// All members, each after the one it was changed from.
pub(crate) fn members(lineage: &Lineage) -> Vec<MemberRow> {
    let rows = lineage.members.iter().enumerate().map(|(place, member)| {
        let parent = member.parent.map(|parent| &lineage.members[parent].blend);
        let changed = parent.and_then(|parent| crate::app::changes(parent, &member.blend));
        MemberRow {
            code: member.blend.code.to_string(),
            href: href(&member.blend.code),
            name: member.blend.name.clone(),
            depth: member.depth.min(DEEPEST),
            kin: match member.kin {
                Kin::Itself => "this blend",
                Kin::Ancestor => "ancestor",
                Kin::Descendant => "descendant",
                Kin::Relative => "relative",
            },
            is_this: member.kin == Kin::Itself,
            parent: parent.map(|parent| parent.code.to_string()).unwrap_or_default(),
            change: member.blend.change.clone(),
            composition: changed.map(|changes| changes_words(&changes)).unwrap_or_default(),
            mark: legend_mark(place),
            mark_words: mark_words(place),
        }
    });
    rows.collect()
}

/// `active sulfur 2 → 0.8, base oil 97 → 98.2 wt%`.
fn changes_words(changes: &[Change]) -> String {
    if changes.is_empty() {
        return "no component changed".to_string();
    }
    let list: Vec<String> = changes
        .iter()
        .map(|(name, from, to)| {
            format!(
                "{name} {} → {}",
                figures::weight_per_cent(*from),
                figures::weight_per_cent(*to)
            )
        })
        .collect();
    format!("{} wt%", list.join("; "))
}

/// A member in one test.
pub(crate) struct StopRow {
    pub(crate) code: String,
    pub(crate) mark: Svg,
    pub(crate) estimate: String,
    pub(crate) interval: String,
    pub(crate) runs: usize,
    pub(crate) position: String,
    pub(crate) after: String,
    pub(crate) moved: String,
    pub(crate) direction: &'static str,
    pub(crate) sight: &'static str,
    pub(crate) sight_key: &'static str,
    pub(crate) changes: String,
}

/// One test with the family in it.
pub(crate) struct TrajectoryBlock {
    pub(crate) key: String,
    pub(crate) trial: String,
    pub(crate) trial_href: String,
    pub(crate) trial_title: String,
    pub(crate) title: String,
    pub(crate) label: String,
    pub(crate) standard: String,
    pub(crate) weight: String,
    pub(crate) method_href: String,
    pub(crate) unit: &'static str,
    pub(crate) scale: &'static str,
    pub(crate) finding: String,
    pub(crate) wide: Svg,
    pub(crate) narrow: Svg,
    pub(crate) stops: Vec<StopRow>,
}

/// Every test that some member was run in.
pub(crate) fn trajectories(view: &BlendView) -> Vec<TrajectoryBlock> {
    view.trajectories
        .iter()
        .map(|one| block(one, &view.lineage))
        .collect()
}

fn block(of: &Trajectory, lineage: &Lineage) -> TrajectoryBlock {
    let finding = finding(of, lineage);
    let chart = chart(of, lineage, &finding);
    TrajectoryBlock {
        key: of.key.to_string(),
        trial: of.trial.trial.to_string(),
        trial_href: format!("/trials/{}", encoded_step(of.trial.trial.as_str())),
        trial_title: of.trial.title.clone(),
        title: of.title.clone(),
        label: of.label.clone(),
        standard: of.standard.clone(),
        weight: figures::position(of.weight),
        method_href: format!("/methods/{}", encoded_step(&of.key.method)),
        unit: figures::unit(of.strip.unit),
        scale: match of.strip.anchored {
            Anchored::Both => "",
            Anchored::One => "one reference oil: the other end is taken at twice the reproducibility",
            Anchored::None => "no known-good reference oil: the scale is the test's own",
        },
        wide: chart.draw(Width::Wide),
        narrow: chart.draw(Width::Narrow),
        finding,
        stops: of.stops.iter().map(|stop| stop_row(stop, of, lineage)).collect(),
    }
}

fn code(lineage: &Lineage, member: usize) -> String {
    lineage.members[member].blend.code.to_string()
}

fn stop_row(stop: &Stop, of: &Trajectory, lineage: &Lineage) -> StopRow {
    let step = of.steps.iter().find(|step| step.to == stop.member);
    let with_step = |words: fn(&Step) -> String| step.map(words).unwrap_or_default();
    StopRow {
        code: code(lineage, stop.member),
        mark: legend_mark(stop.member),
        estimate: figures::estimate(&stop.estimate, of.strip.unit),
        interval: figures::interval(&stop.estimate, of.strip.unit),
        runs: stop.estimate.runs,
        position: figures::position(stop.position.mean),
        after: step.map(|step| code(lineage, step.from)).unwrap_or_default(),
        moved: with_step(|step| figures::signed(step.moved)),
        direction: step.map_or("", direction),
        sight: step.map_or("", |step| step.sight.words()),
        sight_key: step.map_or("", |step| sight_key(step.sight)),
        changes: step
            .and_then(|step| step.changes.as_deref())
            .map(changes_words)
            .unwrap_or_default(),
    }
}

fn direction(step: &Step) -> &'static str {
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
        let codes: Vec<String> = of.stops.iter().map(|stop| code(lineage, stop.member)).collect();
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
        after: of
            .steps
            .iter()
            .find(|step| step.to == stop.member)
            .and_then(|step| row_of(step.from)),
        title: format!(
            "{}: {}",
            code(lineage, stop.member),
            figures::with_unit(&figures::estimate(&stop.estimate, of.strip.unit), of.strip.unit)
        ),
    });
    FamilyChart {
        axis: axis(&of.strip),
        anchors: match of.strip.anchored {
            Anchored::Both => Anchors::Both,
            Anchored::One => Anchors::One,
            Anchored::None => Anchors::None,
        },
        band: of.strip.band,
        rows: rows.collect(),
        finding: format!("{}: {finding}", of.label),
    }
}
