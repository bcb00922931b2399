//! One test: where blends stand on the position scale, by how much of a component they hold.

use crate::charts::marks::{reference_line, solid};
use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::scale::{on_strip, on_the_strip};
use crate::charts::ticks::{TICK_TEXT, mark_below};
use crate::charts::{Anchors, Axis, Role, Span, Svg, Width};

/// A blend in a trial.
#[derive(Clone, Debug, PartialEq)]
pub struct RatePoint {
    /// Colour and shape, by the place of its trial.
    pub mark: usize,
    /// Treat rate, wt%.
    pub rate: f64,
    /// Where it stands.
    pub span: Span,
    /// For a pointer that rests on it.
    pub title: String,
}

/// A test with all blends.
#[derive(Clone, Debug, PartialEq)]
pub struct RateChart {
    /// The axis of the latest trial.
    pub axis: Axis,
    /// What fixes the scale.
    pub anchors: Anchors,
    /// Blends, in any order.
    pub points: Vec<RatePoint>,
    /// Position at the least and at the greatest rate, where the data carry a line.
    pub line: Option<(f64, f64)>,
    /// What it shows, for those who hear the page.
    pub finding: String,
}

const WIDTH: f64 = 360.0;
const HEIGHT: f64 = 210.0;
const TOP: f64 = 12.0;
const FOOT: f64 = 24.0;
/// Room for the numbers of the scale.
const LEFT: f64 = 52.0;
/// Room for a mark at the greatest rate, and its number.
const RIGHT: f64 = 24.0;

impl RateChart {
    /// The drawing: treat rate to the right, better upwards.
    pub fn draw(&self) -> Svg {
        let mut picture = Picture::new(WIDTH, HEIGHT);
        let (foot, right) = (HEIGHT - FOOT, WIDTH - RIGHT);
        let top_rate = self.greatest();
        let x = |rate: f64| LEFT + (right - LEFT) * (rate / top_rate).clamp(0.0, 1.0);
        picture.draw(|pen| {
            self.scale(pen, right);
            for position in self.anchors.lines() {
                reference_line(
                    pen,
                    *position,
                    (LEFT, height(*position)),
                    (right, height(*position)),
                );
            }
            let marks = marks(top_rate);
            for step in 0..=marks {
                let rate = top_rate * step as f64 / marks as f64;
                mark_below(pen, (x(rate), foot), &self.axis.numbers.shown().number(rate));
            }
            pen.line(&[(LEFT, foot), (right, foot)], Role::Rule, 1.0);
            if let Some((at_least, at_most)) = self.line {
                let rates = self.points.iter().map(|point| point.rate);
                let least = rates.fold(f64::INFINITY, f64::min);
                let ends = [
                    (x(least), height(at_least)),
                    (x(top_of(&self.points)), height(at_most)),
                ];
                pen.line(&ends, Role::Quiet, 1.5);
            }
        });
        for point in self.points.iter().filter(|point| point.span.mean.is_finite()) {
            picture.draw_titled(&point.title, |pen| {
                let (at, role) = (
                    (x(point.rate), height(point.span.mean)),
                    Role::Candidate(point.mark),
                );
                let ends = [(at.0, height(point.span.lo)), (at.0, height(point.span.hi))];
                pen.line(&ends, role, 1.5);
                solid(pen, at, 5.5, point.mark);
                if !on_strip(point.span.mean) {
                    pen.ring(at, 8.5, role, 1.0);
                }
            });
        }
        picture.finish(&self.finding)
    }

    /// A round number at or above the greatest treat rate.
    fn greatest(&self) -> f64 {
        let top = top_of(&self.points).max(1e-6);
        let unit = 10f64.powf(top.log10().floor());
        let rounds = [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
        let round = rounds
            .into_iter()
            .map(|part| part * unit)
            .find(|round| *round >= top * (1.0 - 1e-9));
        round.unwrap_or(10.0 * unit)
    }

    /// The scale of positions at the left, in the unit of the test.
    fn scale(&self, pen: &Pen<'_>, right: f64) {
        for tick in self.axis.ticks(ACROSS) {
            let at = height(tick.position);
            pen.line(&[(LEFT, at), (right, at)], Role::Rule, 0.75);
            pen.text(&tick.label, (LEFT - 6.0, at), Side::End, Role::Quiet, TICK_TEXT);
        }
    }
}

/// The strip whose ticks are taken, since so many stand clear above each other too.
const ACROSS: Width = Width::Narrow;

/// How far down a position lies.
fn height(position: f64) -> f64 {
    let part = ACROSS.x(on_the_strip(position, 0.02)) / ACROSS.pixels();
    let foot = HEIGHT - FOOT;
    foot - (foot - TOP) * part
}

/// Steps up to a round number that are round themselves: thirds of 1.5, 3 and 6, fifths of 5, quarters of the others.
fn marks(top: f64) -> usize {
    let first = top / 10f64.powf(top.log10().floor());
    let is = |round: f64| (first / round - 1.0).abs() < 1e-6;
    match () {
        () if is(1.5) || is(3.0) || is(6.0) => 3,
        () if is(5.0) => 5,
        () => 4,
    }
}

fn top_of(points: &[RatePoint]) -> f64 {
    points
        .iter()
        .map(|point| point.rate)
        .filter(|rate| rate.is_finite())
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::charts::AxisKind;

    fn chart(rates: &[f64]) -> RateChart {
        let point = |(place, rate): (usize, &f64)| RatePoint {
            mark: place % 3,
            rate: *rate,
            span: Span {
                mean: 0.2 * place as f64,
                lo: 0.2 * place as f64 - 0.1,
                hi: 0.2 * place as f64 + 0.1,
            },
            title: format!("blend {place}"),
        };
        RateChart {
            axis: Axis {
                kind: AxisKind::Linear,
                zero: 0.0,
                per_position: 1.0,
                head_room: 0.5,
                unit: "mm".to_string(),
                numbers: crate::units::DisplayPreferences::default().plain("mm"),
                steps: Vec::new(),
            },
            anchors: Anchors::Both,
            points: rates.iter().enumerate().map(point).collect(),
            line: Some((0.1, 0.7)),
            finding: "it rises".to_string(),
        }
    }

    #[test]
    fn the_scale_of_rates_ends_at_a_round_number_that_holds_them_all() {
        for (rates, top) in [
            (vec![0.8, 1.2], 1.5),
            (vec![2.0], 2.0),
            (vec![97.3], 100.0),
            (vec![0.03], 0.03),
        ] {
            assert!((chart(&rates).greatest() / top - 1.0).abs() < 1e-9, "{rates:?}");
        }
    }

    #[test]
    fn the_marks_of_the_rates_are_round_as_well() {
        for (rates, marked) in [
            (1.4, ["0.5<", "1<", "1.5<"].as_slice()),
            (4.6, &["1<", "2<", "5<"]),
            (0.05, &["0.01<", "0.04<"]),
            (34.8, &["10<", "20<", "40<"]),
            (0.6, &["0.2<", "0.4<", "0.6<"]),
        ] {
            let drawing = chart(&[rates]).draw().to_string();
            let flat: String = drawing.split_whitespace().collect();
            for mark in marked {
                assert!(flat.contains(&format!(">{mark}")), "{rates}: {mark} {flat}");
            }
        }
    }

    #[test]
    fn every_blend_is_drawn_and_named_and_nothing_is_not_a_number() {
        let drawing = chart(&[0.5, 1.0, 2.0]).draw().to_string();
        assert_eq!(drawing.matches("<title>").count(), 3);
        assert!(!drawing.contains("NaN"));
        let empty = RateChart {
            points: Vec::new(),
            line: None,
            ..chart(&[1.0])
        };
        assert!(!empty.draw().to_string().contains("NaN"));
    }
}
