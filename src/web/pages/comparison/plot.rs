//! A test's strip in the terms of the chart room.

use crate::catalogue::Scale;
use crate::charts::{
    Anchors, Axis, AxisKind, Ends, ReferenceKind, ReferenceLine, RunKind, RunTick, Span, StripChart,
    StripMark, Who,
};
use crate::prose::readings::{readings, steps};
use crate::records::{BlendCode, Level, ResultSource, Role, TrialRecords};
use crate::standing::{Anchored, Estimate, RunMark, RunReading, Standing, Strip, TestStanding};
use crate::web::figures;
use crate::web::pages::comparison::cast::{Cast, level_words};
use crate::web::preferences::preferences;

/// The chart of a test; `None` where nothing was run.
pub(crate) fn chart(
    test: &TestStanding,
    standing: &Standing,
    records: &TrialRecords,
    cast: &Cast<'_>,
) -> Option<StripChart> {
    let strip = test.strip.as_ref()?;
    let axis = axis(strip);
    let mut marks: Vec<StripMark> = standing
        .candidates
        .iter()
        .filter_map(|candidate| {
            let who = Who::Candidate(cast.index(&candidate.blend)?);
            mark(test, strip, &candidate.blend, who)
        })
        .collect();
    let controls = records.with_role(Role::Control);
    marks.extend(controls.filter_map(|blend| mark(test, strip, blend, Who::Control)));
    Some(StripChart {
        anchors: match strip.anchored {
            Anchored::Both => Anchors::Both,
            Anchored::Good => Anchors::Good,
            Anchored::Poor => Anchors::Poor,
            Anchored::None => Anchors::None,
        },
        references: references(test, strip, records),
        band: strip.band,
        cap: strip.cap,
        finding: finding(test, strip, cast),
        axis,
        marks,
    })
}

/// How values of a quantity lie on its working scale.
pub(crate) fn axis_kind(scale: &Scale) -> AxisKind {
    match scale {
        Scale::Identity { .. } | Scale::Stage(_) | Scale::Class(_) => AxisKind::Linear,
        Scale::Ln { .. } | Scale::LnLadder(_) => AxisKind::Ln,
        Scale::Log10Ladder(_) => AxisKind::Log10,
    }
}

/// The axis of a strip.
pub(crate) fn axis(strip: &Strip) -> Axis {
    Axis {
        kind: axis_kind(&strip.scale),
        zero: strip.zero,
        per_position: strip.per_position,
        head_room: strip.head_room,
        unit: figures::unit(strip.unit).to_string(),
        numbers: preferences().in_unit(strip.unit),
        steps: strip.scale.steps().to_vec(),
    }
}

fn mark(test: &TestStanding, strip: &Strip, blend: &BlendCode, who: Who) -> Option<StripMark> {
    let runs = ticks(strip, |run| &run.blend == blend);
    let estimate = test.estimates.get(blend);
    if estimate.is_none() && runs.is_empty() {
        return None;
    }
    let span = strip.marks.get(blend).map(|position| Span {
        mean: position.mean,
        lo: position.lo,
        hi: position.hi,
    });
    Some(StripMark {
        who,
        title: title(test, blend, estimate, strip),
        span,
        ends: match estimate {
            Some(estimate) if estimate.capped => Ends::Capped,
            _ => Ends::Interval,
        },
        value_words: estimate
            .map(|estimate| value_words(test, blend, estimate, strip))
            .unwrap_or_default(),
        runs,
    })
}

/// What the runs of a blend read on a ladder or in stages: there an estimate would be a load that no rig has.
pub(crate) fn steps_read<'t>(
    test: &'t TestStanding,
    blend: &BlendCode,
    strip: &Strip,
) -> Option<&'t [RunReading]> {
    let read = test.readings.get(blend).filter(|_| strip.scale.is_stepped())?;
    Some(read.as_slice())
}

/// What the runs of a blend read, without the unit; empty where nothing was run.
pub(crate) fn read(test: &TestStanding, blend: &BlendCode, strip: &Strip) -> String {
    let estimate = test.estimates.get(blend);
    estimate.map_or_else(String::new, |estimate| value_words(test, blend, estimate, strip))
}

/// The number of a blend without its unit: the steps that its runs name, or its estimate.
fn value_words(test: &TestStanding, blend: &BlendCode, estimate: &Estimate, strip: &Strip) -> String {
    match steps_read(test, blend, strip) {
        Some(read) => steps(read, strip.unit, preferences()),
        None => figures::estimate(estimate, strip.unit),
    }
}

fn title(test: &TestStanding, blend: &BlendCode, estimate: Option<&Estimate>, strip: &Strip) -> String {
    if let (Some(read), Some(estimate)) = (steps_read(test, blend, strip), estimate) {
        let (read, runs) = (readings(read, strip.unit, preferences()), estimate.runs);
        return format!("{blend}: {read}, {}", figures::count(runs, "run"));
    }
    match estimate {
        Some(estimate) => format!(
            "{blend}: {} ({}), {}",
            figures::with_unit(&figures::estimate(estimate, strip.unit), strip.unit),
            figures::interval(estimate, strip.unit),
            figures::count(estimate.runs, "run")
        ),
        None => format!("{blend}: {}, no estimate", values(strip, blend).join(", ")),
    }
}

/// The raw values of a blend in words, data-sheet values marked.
pub(crate) fn values(strip: &Strip, blend: &BlendCode) -> Vec<String> {
    let runs = strip.runs.iter().filter(|run| &run.blend == blend);
    runs.map(|run| {
        let value = figures::with_unit(&figures::value(&run.value, strip.unit), strip.unit);
        match (run.source, run.mark) {
            (ResultSource::DataSheet, _) => format!("{value} from a data sheet"),
            (ResultSource::Measured, Some(mark)) => format!("{value} ({})", mark.word()),
            (ResultSource::Measured, None) => value,
        }
    })
    .collect()
}

fn ticks(strip: &Strip, is_of: impl Fn(&RunMark) -> bool) -> Vec<RunTick> {
    let runs = strip.runs.iter().filter(|run| is_of(run));
    runs.map(|run| RunTick {
        lo: run.lo,
        hi: run.hi,
        kind: match run.source {
            ResultSource::Measured => RunKind::Measured,
            ResultSource::DataSheet => RunKind::DataSheet,
        },
    })
    .collect()
}

fn references(test: &TestStanding, strip: &Strip, records: &TrialRecords) -> Vec<ReferenceLine> {
    let Some(record) = records.trial.tests.iter().find(|record| record.key == test.key) else {
        return Vec::new();
    };
    let levels = [
        (Level::KnownPoor, ReferenceKind::KnownPoor),
        (Level::KnownMiddle, ReferenceKind::KnownMiddle),
        (Level::KnownGood, ReferenceKind::KnownGood),
    ];
    let mut lines = Vec::new();
    for (level, kind) in levels {
        let Some(blend) = records.reference(record, level) else {
            continue;
        };
        let estimate = test.estimates.get(blend);
        let counts = strip
            .marks
            .get(blend)
            .filter(|_| strip.anchored != Anchored::None);
        let position = counts.map(|position| position.mean);
        if let Some(position) = position {
            lines.push(ReferenceLine {
                kind,
                position,
                title: format!("{}, {}", level_words(level), title(test, blend, estimate, strip)),
                runs: ticks(strip, |run| &run.blend == blend),
            });
        }
    }
    lines
}

/// What the strip shows, for those who hear the page: blends from the better side to the worse, with their numbers.
fn finding(test: &TestStanding, strip: &Strip, cast: &Cast<'_>) -> String {
    let mut blends: Vec<(&BlendCode, &Estimate)> = test.estimates.iter().collect();
    let better_first = |estimate: &Estimate| -estimate.value * strip.better.sign();
    blends.sort_by(|a, b| better_first(a.1).total_cmp(&better_first(b.1)));
    let listed: Vec<String> = blends
        .iter()
        .map(|(blend, estimate)| {
            let role = match cast.role_words(blend) {
                "candidate" => String::new(),
                role => format!(" ({role})"),
            };
            format!("{blend}{role} {}", value_words(test, blend, estimate, strip))
        })
        .collect();
    let unit = match figures::unit(strip.unit) {
        "" => String::new(),
        word => format!(" in {word}"),
    };
    if listed.is_empty() {
        return format!("{}: no estimate", test.label);
    }
    format!(
        "{}{unit}, from better to worse: {}",
        test.label,
        listed.join(", ")
    )
}
