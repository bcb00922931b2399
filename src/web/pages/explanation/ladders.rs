//! The eleven terms of a test beside the machine, as the page of an explanation shows them.

use crate::charts::{Amount, AxisKind, LadderChart, Svg, weight_bar};
use crate::explain::{Ladder, LadderScale, LadderSide};
use crate::web::figures;
use crate::web::preferences::preferences;

/// One term as the page shows it.
pub(super) struct LadderView {
    pub(super) term: &'static str,
    pub(super) label: &'static str,
    pub(super) unit: &'static str,
    pub(super) meaning: String,
    pub(super) drawing: Option<Svg>,
    pub(super) test: String,
    pub(super) machine: String,
    pub(super) similarity: String,
    pub(super) bar: Option<Svg>,
    pub(super) importance: String,
    pub(super) first_order: bool,
    pub(super) gap: String,
    pub(super) remark: &'static str,
    pub(super) notes: Vec<usize>,
}

/// Which footnotes stand behind a term.
pub(super) fn sources_of(term: &str) -> &'static [&'static str] {
    match term {
        "pressure" => &["contact", "load", "pressure"],
        "sliding" | "slide_roll" | "shape" | "time_in_contact" => &["contact"],
        "film_ratio" => &["contact", "conditions"],
        _ => &["conditions"],
    }
}

pub(super) fn view(ladder: &Ladder, notes: Vec<usize>) -> LadderView {
    let (test, machine) = (side_words(&ladder.test), side_words(&ladder.machine));
    LadderView {
        term: ladder.term,
        label: ladder.label,
        unit: ladder.unit,
        meaning: preferences().dress_within(ladder.meaning),
        drawing: drawing(ladder, &test, &machine),
        similarity: ladder
            .similarity
            .map_or_else(|| "left out".to_string(), figures::position),
        bar: ladder
            .similarity
            .map(|similarity| weight_bar(Amount::new(Some(similarity)))),
        importance: figures::figure(ladder.importance),
        first_order: ladder.first_order,
        gap: ladder.gap.clone(),
        remark: ladder.remark,
        notes,
        test: with_unit(test, ladder.unit),
        machine: with_unit(machine, ladder.unit),
    }
}

fn drawing(ladder: &Ladder, test_words: &str, machine_words: &str) -> Option<Svg> {
    let (LadderSide::Range(a, b), LadderSide::Range(c, d)) = (&ladder.test, &ladder.machine) else {
        return None;
    };
    let kind = match ladder.scale {
        LadderScale::Log => AxisKind::Ln,
        LadderScale::Linear => AxisKind::Linear,
        LadderScale::Words => return None,
    };
    let chart = LadderChart {
        shown: preferences(),
        kind,
        ends: ladder.axis?,
        machine: (*c, *d),
        test: (*a, *b),
        finding: format!(
            "{}: machine {machine_words}, test {test_words}; {}",
            with_comma(ladder.label, ladder.unit),
            ladder.gap
        ),
    };
    Some(chart.draw())
}

pub(super) fn side_words(side: &LadderSide) -> String {
    match side {
        LadderSide::Range(lo, hi) => figures::from_to(figures::figure(*lo), figures::figure(*hi)),
        LadderSide::Word(word) => (*word).to_string(),
        LadderSide::Unknown => "not known".to_string(),
    }
}

/// `Sliding speed, m/s`; the label alone where it has no unit.
fn with_comma(label: &str, unit: &str) -> String {
    if unit.is_empty() {
        label.to_string()
    } else {
        format!("{label}, {unit}")
    }
}

pub(super) fn with_unit(text: String, unit: &str) -> String {
    if unit.is_empty() || text == "not known" {
        text
    } else {
        format!("{text} {unit}")
    }
}
