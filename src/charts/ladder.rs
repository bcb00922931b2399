//! One term of two contacts on one axis: the machine's range as a band, the test as a mark, the gap between them dashed.

use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use crate::charts::ticks::{AxisKind, TICK_TEXT, even_values, log_values};
use crate::units::DisplayPreferences;

/// A term to draw, in its unit.
#[derive(Clone, Debug, PartialEq)]
pub struct LadderChart {
    /// How the axis runs.
    pub kind: AxisKind,
    /// Its lower and upper end.
    pub ends: (f64, f64),
    /// The machine's range.
    pub machine: (f64, f64),
    /// The test's value or range.
    pub test: (f64, f64),
    /// How its numbers are written.
    pub shown: DisplayPreferences,
    /// What it shows, for those who do not see it.
    pub finding: String,
}

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 46.0;
/// Room at both ends, so that a number under an end is not cut.
const MARGIN: f64 = 22.0;
const AXIS: f64 = 26.0;
/// No wider than this per character of a number.
const PER_CHARACTER: f64 = 7.2;

impl LadderChart {
    /// Where a value lies from the left, held to the axis.
    fn x(&self, value: f64) -> f64 {
        let on = |value: f64| match self.kind {
            AxisKind::Linear => value,
            AxisKind::Ln | AxisKind::Log10 => value.max(1e-300).ln(),
        };
        let share = (on(value) - on(self.ends.0)) / (on(self.ends.1) - on(self.ends.0));
        MARGIN + share.clamp(0.0, 1.0) * (WIDTH - 2.0 * MARGIN)
    }

    /// The drawing.
    pub fn draw(&self) -> Svg {
        let mut picture = Picture::new(WIDTH, HEIGHT);
        picture.draw(|pen| {
            self.axis(pen);
            let (from, to) = (self.x(self.machine.0), self.x(self.machine.1));
            // A range of no width is drawn as wide as can be seen.
            let (from, to) = if to - from < 3.0 {
                (from - 1.5, to + 1.5)
            } else {
                (from, to)
            };
            pen.area((from, 7.0), (to, AXIS), Role::Film, 1.0);
            pen.line(
                &[(from, AXIS), (from, 7.0), (to, 7.0), (to, AXIS)],
                Role::Accent,
                1.0,
            );
            let (a, b) = (self.x(self.test.0), self.x(self.test.1));
            self.gap(pen, (from, to), (a, b));
            self.mark(pen, a, b);
        });
        picture.finish(&self.finding)
    }

    fn gap(&self, pen: &Pen<'_>, machine: (f64, f64), test: (f64, f64)) {
        let y = 12.0;
        if test.0 > machine.1 {
            pen.dashes((machine.1, y), (test.0, y), (4.0, 3.0), Role::Loss, 1.25);
        } else if test.1 < machine.0 {
            pen.dashes((test.1, y), (machine.0, y), (4.0, 3.0), Role::Loss, 1.25);
        }
    }

    /// A triangle that stands on the axis, or two with a bar between them for a range.
    fn mark(&self, pen: &Pen<'_>, a: f64, b: f64) {
        let triangle = |x: f64| {
            let points = [(x - 6.0, 8.0), (x + 6.0, 8.0), (x, AXIS - 1.0)];
            pen.shape(&points, Role::Loss);
        };
        if b - a < 10.0 {
            return triangle((a + b) / 2.0);
        }
        pen.area((a, 10.0), (b, 14.0), Role::Loss, 1.0);
        triangle(a);
        triangle(b);
    }

    fn axis(&self, pen: &Pen<'_>) {
        pen.line(&[(MARGIN, AXIS), (WIDTH - MARGIN, AXIS)], Role::Quiet, 1.0);
        let (lo, hi) = self.ends;
        let room = WIDTH / 50.0;
        let is_log = self.kind != AxisKind::Linear && hi > lo * 4.0;
        let values = if is_log {
            log_values(lo, hi, room)
        } else {
            even_values(lo, hi, room)
        };
        let mut taken = f64::NEG_INFINITY;
        for value in values {
            let x = self.x(value);
            pen.line(&[(x, AXIS), (x, AXIS + 4.0)], Role::Quiet, 1.0);
            let text = self.shown.number(value);
            let half = text.chars().count() as f64 * PER_CHARACTER / 2.0;
            if x - half < taken || x - half < 0.0 || x + half > WIDTH {
                continue;
            }
            taken = x + half + 7.0;
            pen.text(&text, (x, AXIS + 12.0), Side::Middle, Role::Quiet, TICK_TEXT);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ladder(kind: AxisKind, ends: (f64, f64), machine: (f64, f64), test: (f64, f64)) -> LadderChart {
        LadderChart {
            kind,
            ends,
            machine,
            test,
            shown: DisplayPreferences::default(),
            finding: "pressure".to_string(),
        }
    }

    #[test]
    fn the_mark_lies_right_of_the_band_when_the_test_is_more_severe() {
        let chart = ladder(AxisKind::Ln, (0.5, 10.0), (0.7, 1.5), (7.3, 7.3));
        assert!(chart.x(7.3) > chart.x(1.5) && chart.x(1.5) > chart.x(0.7));
        let svg = chart.draw().to_string();
        assert!(svg.contains("var(--loss)") && svg.contains("var(--film)") && svg.contains("aria-label"));
    }

    #[test]
    fn values_off_the_axis_and_axes_without_length_draw_without_a_number_that_is_none() {
        for chart in [
            ladder(AxisKind::Ln, (0.001, 2.0), (0.0, 0.01), (0.0, 0.0)),
            ladder(AxisKind::Linear, (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)),
            ladder(AxisKind::Ln, (f64::NAN, 1.0), (0.1, 0.2), (0.3, 0.4)),
        ] {
            assert!(!chart.draw().to_string().contains("NaN"));
        }
    }
}
