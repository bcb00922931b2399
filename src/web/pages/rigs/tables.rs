//! The tables beside a rig's control chart.

use super::*;
use crate::prose::reasons::rule;
use crate::web::figures;
use crate::web::pages::rigs::words;

pub(super) fn rules(rules: &[Rule]) -> String {
    rules.iter().map(|one| rule(*one)).collect::<Vec<_>>().join("; ")
}

pub(super) fn signals(chart: &RigChart, of: &RigQuantity) -> Vec<SignalRow> {
    let rows = numbered(chart).into_iter().map(|(place, number)| {
        let point = &chart.points[place];
        SignalRow {
            number,
            date: figures::date(Some(point.date)),
            value: figures::with_unit(
                &figures::figure_in(point.value, of.quantity.unit),
                of.quantity.unit,
            ),
            rules: rules(&point.signals),
            is_alarm: point.is_alarm(),
        }
    });
    rows.collect()
}

pub(super) fn stretches(chart: &RigChart, of: &RigQuantity) -> Vec<StretchRow> {
    let rows = chart.stretches.iter().enumerate().map(|(at, stretch)| {
        let limits = stretch.limits.map(|limits| {
            let ends = [limits.lower(), limits.centre, limits.upper()];
            ends.map(|working| in_unit(of, working))
        });
        let [lower, centre, upper] = limits.unwrap_or_default();
        StretchRow {
            number: at + 1,
            from: figures::date(chart.points.get(stretch.first).map(|point| point.date)),
            runs: stretch.points,
            lower,
            centre,
            upper,
            kind: match stretch.limits {
                None => words::NO_LIMITS_TOO_FEW_RUNS,
                Some(limits) if limits.provisional => words::PROVISIONAL,
                Some(_) => words::FROM_ITS_OWN_RUNS,
            },
        }
    });
    rows.collect()
}

pub(super) fn points(chart: &RigChart, of: &RigQuantity) -> Vec<PointRow> {
    let stretch_of = |place: usize| {
        let own = |stretch: &crate::standing::ChartStretch| {
            (stretch.first..stretch.first + stretch.points).contains(&place)
        };
        chart.stretches.iter().position(own).map_or(0, |at| at + 1)
    };
    let rows = chart.points.iter().enumerate().map(|(place, point)| PointRow {
        date: figures::date(Some(point.date)),
        replicate: point.replicate,
        value: figures::figure_in(point.value, of.quantity.unit),
        weighted_mean: in_unit(of, point.ewma),
        stretch: stretch_of(place),
        rules: rules(&point.signals),
    });
    rows.collect()
}

/// `after 4 March 2024 until 9 May 2024 (alarm on 2 April 2024)`.
pub(crate) fn span_words(span: &OutOfControlSpan) -> String {
    let day = |date| figures::date(Some(date));
    let after = span.after.map_or_else(
        || words::FROM_THE_FIRST_RUN.to_string(),
        |date| words::after(&day(date)),
    );
    let until = span
        .until
        .map_or_else(|| words::UP_TO_NOW.to_string(), |date| words::until(&day(date)));
    let alarm = if span.first_alarm == span.last_alarm {
        words::alarm_on(&day(span.first_alarm))
    } else {
        words::alarms_between(&day(span.first_alarm), &day(span.last_alarm))
    };
    format!("{after} {until} ({alarm})")
}

pub(super) fn marked(
    result: &crate::records::RunResult,
    span: &OutOfControlSpan,
    of: &RigQuantity,
    titles: &BTreeMap<TrialSlug, String>,
) -> MarkedRow {
    MarkedRow {
        blend: result.blend.to_string(),
        blend_href: blends::href(&result.blend),
        trial: titles
            .get(&result.trial)
            .cloned()
            .unwrap_or_else(|| result.trial.to_string()),
        trial_href: format!("/trials/{}", encoded_step(result.trial.as_str())),
        date: figures::date(result.date),
        value: figures::with_unit(&figures::value(&result.value, of.quantity.unit), of.quantity.unit),
        span: span_words(span),
    }
}
