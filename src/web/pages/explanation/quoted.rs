//! Another oil's number that somebody holds up: the form that asks for it, and its place on the test's strip.

use crate::charts::{Anchors, Ends, Span, StripMark, Svg, Who, Width, legend_said};
use crate::explain::{Explanation, QuotedAnswer, QuotedAsk, QuotedPlace};
use crate::records::TestKey;
use crate::standing::Comparison;
use crate::web::pages::comparison::cast::{Cast, LegendEntry};
use crate::web::pages::comparison::plot;
use crate::web::question::Pairs;

/// Beyond every strip: where an open end is drawn to.
const OPEN_END: f64 = 1e6;

/// The form and the strip, as the page shows them.
pub(super) struct QuotedView {
    pub(super) asked: QuotedAsk,
    faults: Vec<(&'static str, String)>,
    pub(super) strip: Option<QuotedStrip>,
}

/// The test's strip with the number on it.
pub(super) struct QuotedStrip {
    pub(super) wide: Svg,
    pub(super) narrow: Svg,
    /// Whether both reference oils fix its scale.
    pub(super) anchored: bool,
    pub(super) mark: Svg,
    pub(super) legend: Vec<LegendEntry>,
}

/// What an address holds up; `None` where it has no value.
pub(super) fn asked(pairs: &Pairs) -> Option<QuotedAsk> {
    let text = |field: &str| pairs.field(field).map(ToString::to_string);
    Some(QuotedAsk {
        value: text("value").filter(|value| !value.is_empty())?,
        unit: text("unit").unwrap_or_default(),
        standard: text("standard").unwrap_or_default(),
        oil: text("oil").unwrap_or_default(),
    })
}

impl QuotedView {
    pub(super) fn new(explained: &Explanation, comparison: &Comparison) -> Self {
        let held = explained.quoted.as_ref();
        let faults = held.iter().flat_map(|held| &held.faults);
        let said = held.and_then(|held| held.said.as_ref());
        Self {
            asked: held.map(|held| held.asked.clone()).unwrap_or_default(),
            faults: faults.map(|fault| (fault.field, fault.problem.clone())).collect(),
            strip: said.and_then(|said| strip(explained, said, comparison)),
        }
    }

    /// What is wrong with a field; empty where nothing is.
    pub(super) fn fault(&self, field: &str) -> &str {
        let found = self.faults.iter().find(|(of, _)| *of == field);
        found.map_or("", |(_, problem)| problem)
    }

    pub(super) fn is_refused(&self) -> bool {
        !self.faults.is_empty()
    }
}

fn strip(explained: &Explanation, said: &QuotedAnswer, comparison: &Comparison) -> Option<QuotedStrip> {
    let key = TestKey::new(&explained.method, &explained.quantity);
    let test = comparison.standing.test(&key)?;
    let cast = Cast::of(&comparison.records);
    let mut chart = plot::chart(test, &comparison.standing, &comparison.records, &cast)?;
    chart.marks.push(mark(said, said.place?));
    chart.finding = format!("{}; {} {}, as said", chart.finding, said.oil, said.number);
    Some(QuotedStrip {
        wide: chart.draw(Width::Wide),
        narrow: chart.draw(Width::Narrow),
        anchored: chart.anchors == Anchors::Both,
        mark: legend_said(),
        legend: cast.legend(),
    })
}

/// The open mark: in the middle of what the number says, with a line over all of it.
fn mark(said: &QuotedAnswer, place: QuotedPlace) -> StripMark {
    let (lo, hi) = (place.lo.unwrap_or(-OPEN_END), place.hi.unwrap_or(OPEN_END));
    let mean = match (place.lo, place.hi) {
        (Some(lo), Some(hi)) => (lo + hi) / 2.0,
        (Some(end), None) | (None, Some(end)) => end,
        (None, None) => f64::NAN,
    };
    StripMark {
        who: Who::Said,
        title: format!("{}: {}, as said; never weighed", said.oil, said.number),
        span: Some(Span { mean, lo, hi }),
        ends: Ends::Interval,
        value_words: said.number.clone(),
        runs: Vec::new(),
    }
}
