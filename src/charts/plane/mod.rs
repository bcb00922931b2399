//! Lines, marks and bands on two axes.

mod axis;

pub use axis::{PlaneAxis, PlaneScale};

use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::section::{Window, clipped};
use crate::charts::ticks::{TICK_TEXT, mark_below, mark_beside};
use crate::charts::{Role, Svg, Width};

/// How a series is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// A line.
    Line,
    /// A thin line.
    Thin,
    /// A line in dashes.
    Dashed,
    /// Full dots.
    Dots,
    /// Empty rings.
    Rings,
    /// Oblique crosses.
    Crosses,
}

/// Points that belong together, in the units of the axes.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneSeries {
    /// What it stands for.
    pub role: Role,
    /// How it is drawn.
    pub look: Look,
    /// Its points.
    pub points: Vec<(f64, f64)>,
}

/// A chart on two axes.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaneChart {
    /// To the right.
    pub x: PlaneAxis,
    /// Upward.
    pub y: PlaneAxis,
    /// Outline of a band, cut off at the axes; empty for none.
    pub band: Vec<(f64, f64)>,
    /// Upright lines with a letter above.
    pub uprights: Vec<(f64, &'static str)>,
    /// Lines and marks, the last on top.
    pub series: Vec<PlaneSeries>,
    /// What it shows, for those who hear the page.
    pub finding: String,
}

const LEFT: f64 = 52.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 34.0;
const HEIGHT: f64 = 290.0;
const BOTTOM: f64 = 44.0;

impl PlaneChart {
    /// The drawing.
    pub fn draw(&self, width: Width) -> Svg {
        let mut picture = Picture::new(width.pixels(), HEIGHT);
        let plane = Plane {
            chart: self,
            right: width.pixels() - RIGHT,
        };
        picture.draw(|pen| {
            plane.band(pen);
            plane.axes(pen, width);
            for series in &self.series {
                plane.series(pen, series);
            }
        });
        picture.finish(&self.finding)
    }
}

struct Plane<'a> {
    chart: &'a PlaneChart,
    right: f64,
}

impl Plane<'_> {
    fn x(&self, value: f64) -> Option<f64> {
        let share = self.chart.x.share(value)?;
        Some(LEFT + share * (self.right - LEFT))
    }

    fn y(&self, value: f64) -> Option<f64> {
        let share = self.chart.y.share(value)?;
        Some(HEIGHT - BOTTOM - share * (HEIGHT - BOTTOM - TOP))
    }

    fn at(&self, (x, y): (f64, f64)) -> Option<(f64, f64)> {
        Some((self.x(x)?, self.y(y)?))
    }

    fn axes(&self, pen: &Pen<'_>, width: Width) {
        let (foot, right) = (HEIGHT - BOTTOM, self.right);
        let across = if width == Width::Wide { 9.0 } else { 5.0 };
        for (value, words) in self.chart.x.ticks(across) {
            let Some(x) = self.x(value) else { continue };
            pen.line(&[(x, TOP), (x, foot)], Role::Trough, 1.0);
            mark_below(pen, (x, foot), &words);
        }
        for (value, words) in self.chart.y.ticks(5.0) {
            let Some(y) = self.y(value) else { continue };
            pen.line(&[(LEFT, y), (right, y)], Role::Trough, 1.0);
            mark_beside(pen, (LEFT, y), &words);
        }
        pen.line(&[(LEFT, TOP), (LEFT, foot), (right, foot)], Role::Rule, 1.0);
        for (value, letter) in &self.chart.uprights {
            let Some(x) = self.x(*value) else { continue };
            pen.dashes((x, TOP), (x, foot), (3.0, 3.0), Role::Quiet, 1.0);
            pen.bold(letter, (x, TOP - 7.0), Side::Middle, Role::Ink, TICK_TEXT);
        }
        pen.text(
            &self.chart.y.title(),
            (2.0, 8.0),
            Side::Start,
            Role::Quiet,
            TICK_TEXT,
        );
        pen.text(
            &self.chart.x.title(),
            (right, HEIGHT - 8.0),
            Side::End,
            Role::Quiet,
            TICK_TEXT,
        );
    }

    fn band(&self, pen: &Pen<'_>) {
        let places = self.chart.band.iter().filter_map(|point| self.place(point));
        let outline = clipped(&places.collect::<Vec<_>>(), Window::UNIT);
        if outline.len() > 2 {
            let placed: Vec<_> = outline.into_iter().map(|place| self.on_picture(place)).collect();
            pen.shape(&placed, Role::Band);
        }
    }

    fn series(&self, pen: &Pen<'_>, series: &PlaneSeries) {
        let (role, points) = (series.role, &series.points);
        match series.look {
            Look::Line | Look::Thin => {
                let width = if series.look == Look::Thin { 1.25 } else { 2.0 };
                for piece in self.pieces(points) {
                    pen.line(&piece, role, width);
                }
            }
            Look::Dashed => {
                let pieces = self.pieces(points);
                for pair in pieces.iter().flat_map(|piece| piece.windows(2)) {
                    pen.dashes(pair[0], pair[1], (6.0, 4.0), role, 1.5);
                }
            }
            Look::Dots => self.marks(points, |at| pen.disc(at, 4.0, role)),
            Look::Rings => self.marks(points, |at| pen.ring(at, 4.5, role, 1.5)),
            Look::Crosses => self.marks(points, |(x, y)| {
                pen.line(&[(x - 4.0, y - 4.0), (x + 4.0, y + 4.0)], role, 2.25);
                pen.line(&[(x - 4.0, y + 4.0), (x + 4.0, y - 4.0)], role, 2.25);
            }),
        }
    }

    fn marks(&self, points: &[(f64, f64)], draw: impl Fn((f64, f64))) {
        points.iter().filter_map(|point| self.at(*point)).for_each(draw);
    }

    /// Shares of both axes, also outside them.
    fn place(&self, (x, y): &(f64, f64)) -> Option<(f64, f64)> {
        Some((self.chart.x.place(*x)?, self.chart.y.place(*y)?))
    }

    /// What is left of a line, cut off at the axes, in pieces that hang together.
    fn pieces(&self, points: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
        let places: Vec<Option<(f64, f64)>> = points.iter().map(|point| self.place(point)).collect();
        let placed = places.split(Option::is_none);
        let inside =
            placed.flat_map(|run| Window::UNIT.inside(&run.iter().copied().flatten().collect::<Vec<_>>()));
        inside
            .map(|piece| piece.into_iter().map(|place| self.on_picture(place)).collect())
            .collect()
    }

    fn on_picture(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (foot, across) = (HEIGHT - BOTTOM, self.right - LEFT);
        (LEFT + x * across, foot - y * (foot - TOP))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(points: Vec<(f64, f64)>) -> PlaneChart {
        PlaneChart {
            x: PlaneAxis::around("load", "kgf", PlaneScale::Log, [10.0, 1000.0]),
            y: PlaneAxis::around("scar", "mm", PlaneScale::Log, [0.1, 10.0]),
            band: vec![(20.0, 0.2), (200.0, 0.3), (200.0, 50.0), (20.0, 0.4)],
            uprights: vec![(100.0, "W")],
            series: vec![PlaneSeries {
                role: Role::Loss,
                look: Look::Dots,
                points,
            }],
            finding: "a <log>".to_string(),
        }
    }

    #[test]
    fn points_that_have_no_place_are_left_out() {
        let points = vec![(20.0, 0.3), (f64::NAN, 1.0), (0.0, 1.0), (1e9, 1.0), (50.0, 2.0)];
        for width in [Width::Wide, Width::Narrow] {
            let drawing = chart(points.clone()).draw(width).to_string();
            assert_eq!(drawing.matches("<circle").count(), 2);
            assert!(!drawing.contains("NaN") && !drawing.contains('#') && drawing.contains("&lt;log&gt;"));
            assert!(
                drawing.contains("var(--band)"),
                "a band that leaves the axis is cut off, not lost"
            );
        }
    }

    #[test]
    fn axes_without_values_draw_no_marks() {
        let mut nothing = chart(vec![(1.0, 1.0)]);
        nothing.x = PlaneAxis::around("", "", PlaneScale::Log, []);
        assert!(!nothing.draw(Width::Wide).to_string().contains("<circle"));
    }
}
