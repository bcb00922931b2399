//! Who would be in front if the evidence changed.

use crate::charts::{Svg, legend_mark};
use crate::prose::reasons::{assumption, leave_out_name};
use crate::prose::standing::{of_100, per_cent, short_test_name};
use crate::records::{BlendCode, TestKey};
use crate::standing::{CommonChange, Comparison, LeaveOut, LeftOutKind, Rival, Standing, TestStanding, Tip};
use crate::web::figures::{self, Figure};
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::verdicts::some_of;
use crate::web::preferences::preferences;

/// Who would be first if the evidence changed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct IfChanged {
    pub(crate) front: String,
    pub(crate) without: Vec<FrontRow>,
    pub(crate) without_more: Vec<FrontRow>,
    pub(crate) single_runs: String,
    pub(crate) rivals: Vec<RivalRow>,
    pub(crate) alternatives: Vec<FrontRow>,
    pub(crate) each_under: EachUnder,
}

impl IfChanged {
    /// All that a standing knows of it.
    pub(crate) fn new(standing: &Standing, cast: &Cast<'_>) -> Self {
        let front = standing.front_runner.as_ref();
        Self {
            front: front.map_or_else(|| "nobody".to_string(), ToString::to_string),
            without: without(standing, cast),
            without_more: without_more(standing, cast),
            single_runs: single_runs(standing),
            rivals: rivals(standing, cast),
            alternatives: alternatives(standing, cast),
            each_under: each_under(standing),
        }
    }

    /// Without the long tables that nobody reads on paper.
    pub(crate) fn in_short(self) -> Self {
        Self {
            without_more: Vec::new(),
            each_under: EachUnder::default(),
            ..self
        }
    }
}

/// Who is in front under some assumption.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct FrontRow {
    pub(crate) what: String,
    pub(crate) kind: &'static str,
    pub(crate) front: String,
    pub(crate) mark: Svg,
    pub(crate) share: String,
    /// Share of draws in which another than the front-runner of everything ranks first.
    pub(crate) another: String,
    pub(crate) changes: bool,
    pub(crate) lead_share: String,
    pub(crate) tips: String,
    pub(crate) is_extreme: bool,
}

/// Without each method, each laboratory, all extreme-condition screens, and each doubted run.
fn without(standing: &Standing, cast: &Cast<'_>) -> Vec<FrontRow> {
    let order = [
        LeftOutKind::ExtremeScreens,
        LeftOutKind::Method,
        LeftOutKind::Laboratory,
        LeftOutKind::DoubtedRuns,
    ];
    rows(standing, cast, &order)
}

/// Without each quantity, rig and block, and without the single runs that matter most.
fn without_more(standing: &Standing, cast: &Cast<'_>) -> Vec<FrontRow> {
    let order = [
        LeftOutKind::Quantity,
        LeftOutKind::Rig,
        LeftOutKind::Block,
        LeftOutKind::Run,
    ];
    rows(standing, cast, &order)
}

fn rows(standing: &Standing, cast: &Cast<'_>, order: &[LeftOutKind]) -> Vec<FrontRow> {
    let mut rows = Vec::new();
    for kind in order {
        let of_kind = standing
            .leave_outs
            .iter()
            .filter(|out| out.left_out.kind() == *kind);
        rows.extend(
            of_kind
                .filter(|out| !repeats_its_method(out, standing))
                .map(|out| row(out, standing, cast)),
        );
    }
    rows
}

/// `Each of 143 single runs was left out in turn: 2 of those shown put somebody else in front.`
fn single_runs(standing: &Standing) -> String {
    if standing.runs_left_out == 0 {
        return String::new();
    }
    let changing = (standing.leave_outs.iter())
        .filter(|out| out.left_out.kind() == LeftOutKind::Run && out.changes)
        .count();
    let found = match changing {
        0 => "without none of them is somebody else in front".to_string(),
        1 => "without one of them somebody else is in front".to_string(),
        many => format!("without {many} of them, each alone, somebody else is in front"),
    };
    format!(
        "Each of {} was left out in turn: {found}. Shown are those nearest to it.",
        figures::count(standing.runs_left_out, "single run")
    )
}

/// A quantity that stands alone in its method: the method's row says it all.
fn repeats_its_method(out: &LeaveOut, standing: &Standing) -> bool {
    out.left_out.kind() == LeftOutKind::Quantity
        && standing.leave_outs.iter().any(|other| {
            other.left_out.kind() == LeftOutKind::Method && other.tests == out.tests && other.tests.len() == 1
        })
}

fn row(out: &LeaveOut, standing: &Standing, cast: &Cast<'_>) -> FrontRow {
    let one_test = match (out.left_out.kind(), out.tests.as_slice()) {
        (LeftOutKind::Method | LeftOutKind::Quantity, [key]) => standing.test(key),
        _ => None,
    };
    FrontRow {
        what: leave_out_name(standing, out),
        kind: out.left_out.kind().word(),
        front: front(out.front_runner.as_ref()),
        mark: mark(out.front_runner.as_ref(), cast),
        share: out.p_best.of_100(),
        another: out.p_changes.of_100(),
        changes: out.changes,
        lead_share: one_test.and_then(|test| test.lead_share).position(),
        tips: one_test.map(tips).unwrap_or_default(),
        is_extreme: out.extreme,
    }
}

fn front(blend: Option<&BlendCode>) -> String {
    blend.map_or_else(|| "nothing left to weigh".to_string(), ToString::to_string)
}

fn mark(blend: Option<&BlendCode>, cast: &Cast<'_>) -> Svg {
    blend
        .and_then(|blend| cast.index(blend))
        .map(legend_mark)
        .unwrap_or_default()
}

/// `level with K-11 at 0.42 times its weight, with K-09 at 3.1 times`.
fn tips(test: &TestStanding) -> String {
    let words = |tip: &Tip| {
        format!(
            "{} draws level at {} times its weight",
            tip.to,
            figures::position(tip.factor)
        )
    };
    let tips: Vec<String> = [&test.tips_down, &test.tips_up]
        .into_iter()
        .flatten()
        .map(words)
        .collect();
    if tips.is_empty() {
        "no weight of it changes the lead".to_string()
    } else {
        tips.join("; ")
    }
}

/// Under other assumptions than the usual ones.
fn alternatives(standing: &Standing, cast: &Cast<'_>) -> Vec<FrontRow> {
    let rows = standing.alternatives.iter();
    rows.map(|alternative| FrontRow {
        what: assumption(&alternative.what, preferences()),
        kind: "alternative",
        front: front(alternative.front_runner.as_ref()),
        mark: mark(alternative.front_runner.as_ref(), cast),
        share: alternative.p_best.of_100(),
        another: String::new(),
        changes: alternative.front_runner != standing.front_runner,
        lead_share: String::new(),
        tips: String::new(),
        is_extreme: false,
    })
    .collect()
}

/// Every candidate under every assumption.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct EachUnder {
    pub(crate) candidates: Vec<String>,
    /// What is assumed, with `0.82, 71 %` per candidate.
    pub(crate) rows: Vec<(String, Vec<String>)>,
}

/// Score and share of first places of each candidate under each assumption.
fn each_under(standing: &Standing) -> EachUnder {
    let inside = standing
        .candidates
        .iter()
        .filter(|candidate| candidate.p_best.is_some());
    let blends: Vec<&BlendCode> = inside.map(|candidate| &candidate.blend).collect();
    let lines = standing
        .alternatives
        .iter()
        .filter(|line| !line.candidates.is_empty());
    let row = |line: &crate::standing::Alternative| {
        let of = |blend: &&BlendCode| {
            let under = line.candidates.get(*blend)?;
            Some(format!(
                "{}, {}",
                figures::position(under.score),
                of_100(under.p_best)
            ))
        };
        let cells = blends.iter().map(|blend| of(blend).unwrap_or_default()).collect();
        (assumption(&line.what, preferences()), cells)
    };
    EachUnder {
        candidates: blends.iter().map(ToString::to_string).collect(),
        rows: lines.map(row).collect(),
    }
}

/// A candidate before and after a what-if.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ChangeRow {
    pub(crate) index: usize,
    pub(crate) code: String,
    pub(crate) mark: Svg,
    pub(crate) before_share: String,
    pub(crate) before_score: String,
    pub(crate) after_share: String,
    pub(crate) after_score: String,
    pub(crate) change: String,
}

/// Candidates before and after; empty when nothing was asked.
pub(crate) fn changes(comparison: &Comparison, cast: &Cast<'_>) -> Vec<ChangeRow> {
    let Some(before) = &comparison.as_it_is else {
        return Vec::new();
    };
    let rows = comparison.standing.candidates.iter().filter_map(|after| {
        let index = cast.index(&after.blend)?;
        let was = before.candidate(&after.blend);
        let share = |share: Option<f64>, out: bool| match share {
            Some(share) => of_100(share),
            None if out => "out".to_string(),
            None => "not weighed".to_string(),
        };
        let score = |score: Option<f64>| score.position();
        let before_score = was.and_then(|was| was.score);
        Some(ChangeRow {
            index,
            code: after.blend.to_string(),
            mark: legend_mark(index),
            before_share: share(
                was.and_then(|was| was.p_best),
                was.is_some_and(|was| was.is_out()),
            ),
            before_score: score(before_score),
            after_share: share(after.p_best, after.is_out()),
            after_score: score(after.score),
            change: before_score
                .zip(after.score)
                .map(|(before, after)| figures::signed(after - before))
                .unwrap_or_default(),
        })
    });
    rows.collect()
}

/// The front-runner beside one other candidate.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RivalRow {
    pub(crate) index: Option<usize>,
    pub(crate) code: String,
    pub(crate) mark: Svg,
    pub(crate) lead: String,
    pub(crate) wins: String,
    pub(crate) alone: String,
    pub(crate) together: String,
}

/// One row per rival, greatest score first.
fn rivals(standing: &Standing, cast: &Cast<'_>) -> Vec<RivalRow> {
    let row = |rival: &Rival| RivalRow {
        index: cast.index(&rival.blend),
        code: rival.blend.to_string(),
        mark: cast.index(&rival.blend).map(legend_mark).unwrap_or_default(),
        lead: figures::signed(rival.lead),
        wins: per_cent(rival.front_wins),
        alone: alone(standing, rival),
        together: match &rival.change {
            Some(change) => together(standing, change),
            None => "no test favours it: no weights put it in front".to_string(),
        },
    };
    standing.rivals.iter().map(row).collect()
}

/// `Wear × 0.42; Fail stage × 2.1`.
fn alone(standing: &Standing, rival: &Rival) -> String {
    let mut tips: Vec<(&TestKey, &f64)> = rival.tips.iter().collect();
    tips.sort_by(|a, b| a.1.ln().abs().total_cmp(&b.1.ln().abs()).then(a.0.cmp(b.0)));
    let named: Vec<String> = tips
        .iter()
        .map(|(key, factor)| {
            format!(
                "{} × {}",
                short_test_name(standing, key),
                figures::position(**factor)
            )
        })
        .collect();
    if named.is_empty() {
        "none".to_string()
    } else {
        some_of(&named)
    }
}

fn together(standing: &Standing, change: &CommonChange) -> String {
    let named = |keys: &[TestKey]| {
        let names: Vec<String> = keys.iter().map(|key| short_test_name(standing, key)).collect();
        some_of(&names)
    };
    let factor = figures::position(change.factor);
    format!(
        "{} × {factor}, {} ÷ {factor}",
        named(&change.raise),
        named(&change.lower)
    )
}
