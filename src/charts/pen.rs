//! Drawing in CSS pixels on a grid four times as fine, group by group.

use crate::charts::Svg;
use crate::charts::role::Role;
use crate::charts::svg::{Markup, Writer, escaped};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};
use plotters::element::{Circle, Drawable, PathElement, PointCollection, Polygon, Rectangle, Text};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontDesc, FontStyle, FontTransform, IntoFont, ShapeStyle, TextStyle};
use std::f64::consts::TAU;

/// Grid steps per CSS pixel; the library rounds to whole steps.
const FINE: f64 = 4.0;

/// Where a text stands beside its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::charts) enum Side {
    Start,
    Middle,
    End,
}

/// A picture as it is drawn.
pub(in crate::charts) struct Picture {
    width: f64,
    height: f64,
    markup: Markup,
}

/// Draws one group.
pub(in crate::charts) struct Pen<'m> {
    area: DrawingArea<Writer<'m>, Shift>,
}

impl Picture {
    /// An empty picture, in CSS pixels.
    pub(in crate::charts) fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            markup: Markup::default(),
        }
    }

    /// Adds shapes.
    pub(in crate::charts) fn draw(&mut self, shapes: impl FnOnce(&Pen<'_>)) {
        let writer = Writer {
            markup: &mut self.markup,
            size: ((self.width * FINE) as u32, (self.height * FINE) as u32),
        };
        shapes(&Pen {
            area: writer.into_drawing_area(),
        });
    }

    /// Adds shapes that a pointer resting on them explains; an empty title explains nothing.
    pub(in crate::charts) fn draw_titled(&mut self, title: &str, shapes: impl FnOnce(&Pen<'_>)) {
        if title.is_empty() {
            return self.draw(shapes);
        }
        self.markup
            .add(format_args!("<g><title>{}</title>", escaped(title)));
        self.draw(shapes);
        self.markup.add(format_args!("</g>"));
    }

    /// The picture with the finding it shows, for those who hear the page.
    pub(in crate::charts) fn finish(self, finding: &str) -> Svg {
        let (width, height) = (self.width, self.height);
        let label = if finding.is_empty() {
            "aria-hidden=\"true\"".to_string()
        } else {
            format!("role=\"img\" aria-label=\"{}\"", escaped(finding))
        };
        Svg::of(format!(
            "<svg viewBox=\"0 0 {} {}\" width=\"{width}\" height=\"{height}\" fill=\"none\" {label}>{}</svg>",
            width * FINE,
            height * FINE,
            self.markup.finish()
        ))
    }
}

/// A point on the grid; `None` where it is not finite or far outside any picture.
fn on_grid((x, y): (f64, f64)) -> Option<(i32, i32)> {
    let usable = |v: f64| v.is_finite() && v.abs() < 1e5;
    (usable(x) && usable(y)).then(|| ((x * FINE).round() as i32, (y * FINE).round() as i32))
}

fn all_on_grid(points: &[(f64, f64)]) -> Option<Vec<(i32, i32)>> {
    points.iter().copied().map(on_grid).collect()
}

fn stroke(role: Role, width: f64) -> ShapeStyle {
    ShapeStyle {
        color: role.colour().to_rgba(),
        filled: false,
        stroke_width: (width * FINE).round().max(1.0) as u32,
    }
}

fn fill(role: Role, opacity: f64) -> ShapeStyle {
    ShapeStyle {
        color: role.colour().mix(opacity),
        filled: true,
        stroke_width: 0,
    }
}

fn font<'f>(size: f64) -> FontDesc<'f> {
    ("sans-serif", size * FINE).into_font()
}

impl<'m> Pen<'m> {
    fn put<'e, E: Drawable<Writer<'m>>>(&self, element: &'e E)
    where
        &'e E: PointCollection<'e, (i32, i32)>,
    {
        self.area.draw(element).expect("writing into a text cannot fail");
    }

    /// A line through points; nothing when one of them cannot be placed.
    pub(in crate::charts) fn line(&self, points: &[(f64, f64)], role: Role, width: f64) {
        if let Some(placed) = all_on_grid(points) {
            self.put(&PathElement::new(placed, stroke(role, width)));
        }
    }

    /// A straight line in dashes of `on` with gaps of `off`.
    pub(in crate::charts) fn dashes(
        &self,
        from: (f64, f64),
        to: (f64, f64),
        (on, off): (f64, f64),
        role: Role,
        width: f64,
    ) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        if !(length > 0.0 && length < 1e5) {
            return;
        }
        let along = |s: f64| (from.0 + dx * s / length, from.1 + dy * s / length);
        let mut start = 0.0;
        while start < length {
            self.line(&[along(start), along((start + on).min(length))], role, width);
            start += on + off;
        }
    }

    /// A closed line through points.
    pub(in crate::charts) fn outline(&self, points: &[(f64, f64)], role: Role, width: f64) {
        let closed: Vec<_> = points.iter().chain(points.first()).copied().collect();
        self.line(&closed, role, width);
    }

    /// A filled shape.
    pub(in crate::charts) fn shape(&self, points: &[(f64, f64)], role: Role) {
        if let Some(placed) = all_on_grid(points) {
            self.put(&Polygon::new(placed, fill(role, 1.0)));
        }
    }

    /// A filled box between two corners.
    pub(in crate::charts) fn area(&self, a: (f64, f64), b: (f64, f64), role: Role, opacity: f64) {
        if let (Some(a), Some(b)) = (on_grid(a), on_grid(b))
            && a.0 < b.0
            && a.1 < b.1
        {
            self.put(&Rectangle::new([a, b], fill(role, opacity)));
        }
    }

    /// A filled disc.
    pub(in crate::charts) fn disc(&self, centre: (f64, f64), radius: f64, role: Role) {
        self.circle(centre, radius, fill(role, 1.0));
    }

    /// A circle's outline.
    pub(in crate::charts) fn ring(&self, centre: (f64, f64), radius: f64, role: Role, width: f64) {
        self.circle(centre, radius, stroke(role, width));
    }

    fn circle(&self, centre: (f64, f64), radius: f64, style: ShapeStyle) {
        if let Some(centre) = on_grid(centre) {
            let radius = (radius * FINE).round() as i32;
            self.put(&Circle::new(centre, radius, style));
        }
    }

    /// A circle's outline in dashes.
    pub(in crate::charts) fn dashed_ring(&self, centre: (f64, f64), radius: f64, role: Role, width: f64) {
        const DASHES: u32 = 8;
        for dash in 0..DASHES {
            let start = f64::from(dash) * TAU / f64::from(DASHES);
            let end = start + 0.6 * TAU / f64::from(DASHES);
            self.line(&arc(centre, [radius; 2], [start, end], 3), role, width);
        }
    }

    /// A short text of figures and units, of a size in CSS pixels, its baseline a little below the point.
    pub(in crate::charts) fn text(&self, text: &str, at: (f64, f64), side: Side, role: Role, size: f64) {
        self.write(text, at, side, role, font(size));
    }

    /// The same, bold.
    pub(in crate::charts) fn bold(&self, text: &str, at: (f64, f64), side: Side, role: Role, size: f64) {
        self.write(text, at, side, role, font(size).style(FontStyle::Bold));
    }

    /// A short text that reads upwards, around its middle.
    pub(in crate::charts) fn upright(&self, text: &str, at: (f64, f64), role: Role, size: f64) {
        let font = font(size).transform(FontTransform::Rotate270);
        self.write(text, at, Side::Middle, role, font);
    }

    fn write(&self, text: &str, at: (f64, f64), side: Side, role: Role, font: FontDesc<'_>) {
        let Some(at) = on_grid(at) else { return };
        let horizontal = match side {
            Side::Start => HPos::Left,
            Side::Middle => HPos::Center,
            Side::End => HPos::Right,
        };
        let colour = role.colour();
        let style = TextStyle::from(font)
            .color(&colour)
            .pos(Pos::new(horizontal, VPos::Center));
        self.put(&Text::new(text, at, style));
    }
}

/// Points of an ellipse's arc: middle, half-axes, first and last angle in rad, number of steps.
pub fn arc(
    (x, y): (f64, f64),
    [across, down]: [f64; 2],
    [from, to]: [f64; 2],
    steps: u32,
) -> Vec<(f64, f64)> {
    let on = |step: u32| {
        let angle = from + (to - from) * f64::from(step) / f64::from(steps);
        (x + across * angle.cos(), y + down * angle.sin())
    };
    (0..=steps).map(on).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_that_is_not_finite_draws_nothing() {
        let mut picture = Picture::new(10.0, 10.0);
        picture.draw(|pen| {
            pen.line(&[(f64::NAN, 1.0), (2.0, 2.0)], Role::Ink, 1.0);
            pen.disc((f64::INFINITY, 1.0), 2.0, Role::Ink);
            pen.area((0.0, f64::NAN), (1.0, 1.0), Role::Band, 1.0);
            pen.dashes((0.0, 0.0), (f64::NAN, 1.0), (1.0, 1.0), Role::Ink, 1.0);
            pen.shape(&[(0.0, 0.0), (1e9, 1.0), (1.0, 1.0)], Role::Ink);
        });
        assert_eq!(picture.markup.finish(), "");
    }

    #[test]
    fn words_of_the_record_cannot_leave_their_attribute() {
        let mut picture = Picture::new(10.0, 10.0);
        picture.draw_titled("a<b", |pen| pen.disc((1.0, 1.0), 1.0, Role::Ink));
        let svg = picture.finish("says \"<script>\"").to_string();
        assert!(svg.contains("aria-label=\"says &quot;&lt;script&gt;&quot;\""));
        assert!(svg.contains("<title>a&lt;b</title>") && !svg.contains("<script>"));
    }
}
