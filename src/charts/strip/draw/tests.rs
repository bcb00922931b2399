use super::*;
use crate::charts::strip::{ScoreChart, Span};
use crate::charts::ticks::{Axis, AxisKind};

fn axis() -> Axis {
    Axis {
        kind: AxisKind::Linear,
        zero: 0.0,
        per_position: 10.0,
        head_room: 0.5,
        unit: "mm".to_string(),
        numbers: crate::units::DisplayPreferences::default().plain(""),
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
    let text = svg.to_string();
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
        assert!(many.to_string().contains(&format!("var(--k{i})")));
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
    one.anchors = Anchors::Good;
    let dashes = |chart: &StripChart| chart.draw(Width::Wide).to_string().matches('m').count();
    assert!(dashes(&one) > dashes(&both) + 20);
}

#[test]
fn a_score_without_a_number_draws_nothing() {
    let chart = ScoreChart {
        candidate: 4,
        span: None,
        finding: "not weighed".to_string(),
    };
    let svg = chart.draw(Width::Wide).to_string();
    assert!(!svg.contains("var(--"), "{svg}");
}

#[test]
fn a_candidate_has_one_lane_in_every_row_and_who_was_not_run_has_a_word_in_it() {
    let row = |marks| chart(marks).draw_row(&[0, 1, 2]).to_string();
    let lane = |svg: &str, index: usize| {
        let from = svg.find(&format!("<title>K-{index}<")).unwrap();
        let group = svg[from..].split("</g>").next().unwrap();
        group.replace(&index.to_string(), "")
    };
    let all = row(vec![mark(0, 0.2, 0.1), mark(1, 0.2, 0.1), mark(2, 0.2, 0.1)]);
    let two = row(vec![mark(2, 0.2, 0.1), mark(0, 0.2, 0.1)]);
    for index in [0, 2] {
        assert_eq!(lane(&all, index), lane(&two, index), "{index}");
    }
    assert_ne!(lane(&all, 0), lane(&all, 2));
    assert!(!all.contains("not run"));
    assert_eq!(two.matches("not run").count(), 1);
}

#[test]
fn in_a_row_who_failed_a_requirement_is_hollow_grey_without_an_interval() {
    let svg = chart(vec![mark(0, 0.4, 0.1), mark(1, 0.6, 0.1)])
        .draw_row(&[0])
        .to_string();
    assert!(svg.contains("var(--k0)") && !svg.contains("var(--k1)"));
    assert!(svg.contains("var(--control)"));
    let both = chart(vec![mark(0, 0.4, 0.1), mark(1, 0.6, 0.1)])
        .draw_row(&[0, 1])
        .to_string();
    assert!(both.contains("var(--k1)") && !both.contains("var(--control)"));
}

#[test]
fn more_lanes_stand_closer_and_a_row_is_never_lower_than_its_least_height() {
    let of = |lanes: usize| {
        let order: Vec<usize> = (0..lanes).collect();
        height(&chart(vec![mark(0, 0.4, 0.1)]).draw_row(&order))
    };
    let heights = [0, 1, 3, 4, 6, 7, 20].map(of);
    assert_eq!(heights, [26.0, 26.0, 29.0, 33.0, 47.0, 47.0, 125.0]);
}

/// A box of a text or a mark, in CSS pixels.
#[derive(Clone, Debug)]
struct Taken {
    what: String,
    x: (f64, f64),
    y: (f64, f64),
}

impl Taken {
    fn meets(&self, other: &Self) -> bool {
        let apart = |a: (f64, f64), b: (f64, f64)| a.1 <= b.0 || b.1 <= a.0;
        !apart(self.x, other.x) && !apart(self.y, other.y)
    }
}

fn attribute(tag: &str, name: &str) -> Option<f64> {
    let at = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[at..].split('"').next()?.parse().ok()
}

/// Every text of a drawing with the room that it takes: no figure of a common font is wider than 0.6 of its size, or
/// higher than 0.8 of it.
fn texts(svg: &str) -> Vec<Taken> {
    const WIDE: f64 = 0.6;
    let mut found = Vec::new();
    for group in svg.split("<g").skip(1) {
        let (look, inside) = group.split_once('>').unwrap();
        for text in inside.split("<text").skip(1) {
            let (place, rest) = text.split_once('>').unwrap();
            let words = rest
                .split('<')
                .next()
                .unwrap()
                .replace("&gt;", ">")
                .replace("&lt;", "<");
            let (x, y) = (
                attribute(place, "x").unwrap() / 4.0,
                attribute(place, "y").unwrap() / 4.0,
            );
            let size = attribute(look, "font-size").unwrap() / 4.0;
            let width = words.chars().count() as f64 * WIDE * size;
            let from = match look {
                look if look.contains("\"middle\"") => x - width / 2.0,
                look if look.contains("\"end\"") => x - width,
                _ => x,
            };
            found.push(Taken {
                what: words,
                x: (from, from + width),
                y: (y - 0.4 * size, y + 0.4 * size),
            });
        }
    }
    found
}

/// The marks as they are placed, each with its radius.
fn symbols(chart: &StripChart, width: Width) -> Vec<Taken> {
    let (_, radius) = pitch_and_radius(chart.marks.len());
    let places: Vec<Option<Place>> = chart
        .marks
        .iter()
        .map(|mark| chart.place(mark, width, radius))
        .collect();
    let spans: Vec<(f64, f64)> = (places.iter().zip(&chart.marks))
        .map(|(place, mark)| place.map_or((f64::NAN, f64::NAN), |place| taken(place, mark, radius)))
        .collect();
    let chosen = lanes(&spans, 3.0);
    let lane_count = chosen.iter().flatten().max().map_or(0, |lane| lane + 1);
    let layout = Layout::new(width, lane_count);
    let one = |(i, place): (usize, &Option<Place>)| {
        let (Place::Inside { x, .. } | Place::Cap { x, .. } | Place::LeftEdge { x } | Place::RightEdge { x }) =
            (*place)?
        else {
            return None;
        };
        let y = layout.lane_y(chosen[i]?);
        Some(Taken {
            what: format!("mark {i}"),
            x: (x - radius, x + radius),
            y: (y - radius, y + radius),
        })
    };
    places.iter().enumerate().filter_map(one).collect()
}

/// Where generated candidates lie: together, apart, at the cap, beyond both ends.
fn generated(count: usize, turn: usize) -> StripChart {
    let marks = (0..count).map(|i| {
        let scattered = ((i * 37 + turn * 61) % 101) as f64 / 100.0;
        let mean = match turn % 4 {
            0 => 0.5,
            1 => -0.6 + 2.2 * scattered,
            2 => 0.9 + 0.2 * scattered,
            _ => scattered,
        };
        let mut mark = mark(i, mean, 0.05 + 0.2 * scattered);
        mark.title = format!("BLEND-OF-24-CHARACTERS-{i}");
        mark.value_words = format!("> {}", 1234 + i);
        if turn % 4 == 2 && i % 2 == 0 {
            mark.ends = Ends::Capped;
        }
        mark
    });
    let mut chart = chart(marks.collect());
    chart.cap = (turn % 4 == 2).then_some(1.0);
    chart.axis.unit = ["mm", "mm²/s", "stage", ""][turn % 4].to_string();
    chart
}

#[test]
fn no_text_and_no_mark_of_a_strip_meets_another_or_is_cut_off() {
    for count in [1, 2, 6, 20] {
        for turn in 0..24 {
            for width in [Width::Wide, Width::Narrow] {
                let chart = generated(count, turn);
                let svg = chart.draw(width).to_string();
                let mut boxes = texts(&svg);
                assert!(!boxes.is_empty());
                for text in &boxes {
                    assert!(
                        text.x.0 >= -0.5 && text.x.1 <= width.pixels() + 0.5,
                        "{count} {turn} {width:?}: {} is cut off: {text:?}",
                        text.what
                    );
                    assert!(
                        text.y.0 >= 0.0 && text.y.1 <= height(&chart.draw(width)),
                        "{text:?}"
                    );
                }
                boxes.extend(symbols(&chart, width));
                for (i, one) in boxes.iter().enumerate() {
                    for other in &boxes[i + 1..] {
                        assert!(
                            !one.meets(other),
                            "{count} {turn} {width:?}: {} meets {}",
                            one.what,
                            other.what
                        );
                    }
                }
            }
        }
    }
}
