use super::*;
use crate::charts::strip::{ScoreChart, Span};
use crate::charts::ticks::{Axis, AxisKind};

fn axis() -> Axis {
    Axis {
        kind: AxisKind::Linear,
        zero: 0.0,
        per_position: 10.0,
        unit: "mm".to_string(),
        numbers: crate::units::Shown::default().plain(""),
        steps: Vec::new(),
    }
}

fn mark(index: usize, mean: f64, half: f64) -> StripMark {
    StripMark {
        who: Who::Candidate(index),
        title: format!("K-{index}"),
        span: Some(Span {
            mean,
            lo: mean - half,
            hi: mean + half,
        }),
        ends: Ends::Interval,
        value_words: "0.21".to_string(),
        runs: Vec::new(),
    }
}

fn chart(marks: Vec<StripMark>) -> StripChart {
    StripChart {
        axis: axis(),
        anchors: Anchors::Both,
        references: vec![
            ReferenceLine {
                kind: ReferenceKind::KnownPoor,
                position: 0.0,
                title: "poor".to_string(),
                runs: Vec::new(),
            },
            ReferenceLine {
                kind: ReferenceKind::KnownGood,
                position: 1.0,
                title: "good".to_string(),
                runs: Vec::new(),
            },
        ],
        band: Some(0.1),
        cap: None,
        marks,
        finding: "finding".to_string(),
    }
}

fn height(svg: &Svg) -> f64 {
    let text = svg.as_str();
    let start = text.find("height=\"").unwrap() + 8;
    text[start..].split('"').next().unwrap().parse().unwrap()
}

#[test]
fn nothing_in_a_drawing_is_a_colour_or_not_a_number() {
    let mut odd = mark(1, f64::NAN, 0.1);
    odd.runs.push(RunTick {
        lo: Some(f64::NAN),
        hi: Some(f64::INFINITY),
        kind: RunKind::Measured,
    });
    let mut half = mark(2, 0.5, f64::NAN);
    half.span = Some(Span {
        mean: 0.5,
        lo: f64::NEG_INFINITY,
        hi: f64::NAN,
    });
    let mut drawn = chart(vec![mark(0, 0.5, 0.1), odd, half]);
    drawn.band = Some(f64::NAN);
    drawn.cap = Some(f64::NAN);
    for width in [Width::Wide, Width::Narrow] {
        let svg = drawn.draw(width).to_string();
        assert!(
            !svg.contains("NaN") && !svg.contains("inf") && !svg.contains('#'),
            "{svg}"
        );
        assert!(svg.contains("var(--k0)") && svg.contains("var(--k2)"));
        assert!(!svg.contains("var(--k1)"), "a mark without a number is not drawn");
    }
}

#[test]
fn the_reference_lines_lie_at_the_same_x_on_every_strip() {
    let one = chart(vec![mark(0, 0.2, 0.3)]).draw(Width::Wide).to_string();
    let many = chart((0..20).map(|i| mark(i, 0.5, 0.2)).collect())
        .draw(Width::Wide)
        .to_string();
    let good_x = (Width::Wide.x(1.0) * 4.0).round();
    for svg in [one, many] {
        assert!(svg.contains(&format!("d=\"m{good_x} 0v")), "{good_x}");
    }
}

#[test]
fn a_strip_grows_with_the_marks_that_overlap() {
    let few = chart(vec![mark(0, 0.1, 0.05), mark(1, 0.9, 0.05)]).draw(Width::Wide);
    let many = chart((0..20).map(|i| mark(i, 0.5, 0.05)).collect()).draw(Width::Wide);
    assert!(height(&many) > height(&few) + 100.0);
    for i in 0..20 {
        assert!(many.as_str().contains(&format!("var(--k{i})")));
    }
}

#[test]
fn a_point_outside_the_strip_stands_at_the_edge_with_its_value() {
    for mean in [-3.0, 7.0] {
        let svg = chart(vec![mark(0, mean, 0.1)]).draw(Width::Wide).to_string();
        assert!(svg.contains("0.21"), "{mean}");
    }
    assert!(
        !chart(vec![mark(0, 0.5, 0.1)])
            .draw(Width::Wide)
            .to_string()
            .contains("0.21")
    );
}

#[test]
fn a_capped_mark_starts_at_the_cap_and_points_to_the_right() {
    let mut capped = mark(0, 0.7, 0.3);
    capped.ends = Ends::Capped;
    let mut drawn = chart(vec![capped]);
    drawn.cap = Some(1.0);
    let Some(Place::Cap { x, tip, .. }) = drawn.place(&drawn.marks[0], Width::Wide, 4.0) else {
        panic!("not placed at the cap");
    };
    assert_eq!(x, Width::Wide.x(1.0));
    assert!(tip > x);
}

#[test]
fn a_scale_without_both_references_has_a_frame() {
    let both = chart(vec![mark(0, 0.5, 0.1)]);
    let mut one = both.clone();
    one.anchors = Anchors::One;
    let dashes = |chart: &StripChart| chart.draw(Width::Wide).as_str().matches('m').count();
    assert!(dashes(&one) > dashes(&both) + 20);
}

#[test]
fn a_score_without_a_number_draws_the_references_alone() {
    let chart = ScoreChart {
        candidate: 4,
        span: None,
        finding: "not weighed".to_string(),
    };
    let svg = chart.draw(Width::Wide).to_string();
    assert!(svg.contains("var(--reference)") && !svg.contains("--k4"));
}
