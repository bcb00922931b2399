//! Drawing in CSS pixels on a grid four times as fine, group by group. The drawing library is named here and in `role`.

use crate::charts::Svg;
use crate::charts::compact::compact;
use crate::charts::role::{Role, paint};
use plotters::backend::SVGBackend;
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};
use plotters::element::{Circle, PathElement, Polygon, Rectangle, Text};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, FontTransform, IntoFont, ShapeStyle, TextStyle};
use std::fmt::Write;

/// Grid steps per CSS pixel; the library rounds to whole steps.
const FINE: f64 = 4.0;

/// Where a text stands beside its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::charts) enum Side {
    Start,
    Middle,
    End,
}

/// A finished group of shapes.
pub(in crate::charts) struct Picture {
    width: f64,
    height: f64,
    body: String,
}

/// Draws one group.
pub(in crate::charts) struct Pen<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
}

impl Picture {
    /// An empty picture, in CSS pixels.
    pub(in crate::charts) fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            body: String::new(),
        }
    }

    /// Adds shapes.
    pub(in crate::charts) fn draw(&mut self, shapes: impl FnOnce(&Pen<'_>)) {
        let drawn = self.shapes(shapes);
        self.body.push_str(&drawn);
    }

    /// Adds shapes that a pointer resting on them explains; an empty title explains nothing.
    pub(in crate::charts) fn draw_titled(&mut self, title: &str, shapes: impl FnOnce(&Pen<'_>)) {
        if title.is_empty() {
            return self.draw(shapes);
        }
        let drawn = self.shapes(shapes);
        let _ = write!(self.body, "<g><title>{}</title>\n{drawn}</g>\n", escaped(title));
    }

    fn shapes(&self, shapes: impl FnOnce(&Pen<'_>)) -> String {
        let size = ((self.width * FINE) as u32, (self.height * FINE) as u32);
        let mut buffer = String::new();
        {
            let pen = Pen {
                area: SVGBackend::with_string(&mut buffer, size).into_drawing_area(),
            };
            shapes(&pen);
            pen.area.present().expect("drawing into a text cannot fail");
        }
        let inner = buffer.split_once('\n').map_or("", |(_, inner)| inner);
        inner.trim_end().trim_end_matches("</svg>").to_string()
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
            paint(&compact(&self.body))
        ))
    }
}

/// Text as it may stand in markup and in a quoted attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// A point on the grid; `None` where it is not finite or far outside any picture.
fn on_grid((x, y): (f64, f64)) -> Option<(i32, i32)> {
    let usable = |v: f64| v.is_finite() && v.abs() < 1e5;
    (usable(x) && usable(y)).then(|| ((x * FINE).round() as i32, (y * FINE).round() as i32))
}

fn stroke(role: Role, width: f64) -> ShapeStyle {
    ShapeStyle {
        color: role.reserved().to_rgba(),
        filled: false,
        stroke_width: (width * FINE).round().max(1.0) as u32,
    }
}

fn fill(role: Role, opacity: f64) -> ShapeStyle {
    ShapeStyle {
        color: role.reserved().mix(opacity),
        filled: true,
        stroke_width: 0,
    }
}

/// The library divides by this when it writes a text's size.
const LIBRARY_SIZE: f64 = 1.24;

const SURE: &str = "drawing into a text cannot fail";

impl Pen<'_> {
    /// A line through points; nothing when one of them cannot be placed.
    pub(in crate::charts) fn line(&self, points: &[(f64, f64)], role: Role, width: f64) {
        let placed: Option<Vec<_>> = points.iter().map(|point| on_grid(*point)).collect();
        if let Some(placed) = placed {
            self.area
                .draw(&PathElement::new(placed, stroke(role, width)))
                .expect(SURE);
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

    /// A filled shape.
    pub(in crate::charts) fn shape(&self, points: &[(f64, f64)], role: Role) {
        let placed: Option<Vec<_>> = points.iter().map(|point| on_grid(*point)).collect();
        if let Some(placed) = placed {
            self.area
                .draw(&Polygon::new(placed, fill(role, 1.0)))
                .expect(SURE);
        }
    }

    /// A filled box between two corners.
    pub(in crate::charts) fn area(&self, a: (f64, f64), b: (f64, f64), role: Role, opacity: f64) {
        if let (Some(a), Some(b)) = (on_grid(a), on_grid(b))
            && a.0 < b.0
            && a.1 < b.1
        {
            self.area
                .draw(&Rectangle::new([a, b], fill(role, opacity)))
                .expect(SURE);
        }
    }

    /// A filled disc.
    pub(in crate::charts) fn disc(&self, centre: (f64, f64), radius: f64, role: Role) {
        if let Some(centre) = on_grid(centre) {
            let radius = (radius * FINE).round() as i32;
            self.area
                .draw(&Circle::new(centre, radius, fill(role, 1.0)))
                .expect(SURE);
        }
    }

    /// A circle's outline.
    pub(in crate::charts) fn ring(&self, centre: (f64, f64), radius: f64, role: Role, width: f64) {
        if let Some(centre) = on_grid(centre) {
            let radius = (radius * FINE).round() as i32;
            self.area
                .draw(&Circle::new(centre, radius, stroke(role, width)))
                .expect(SURE);
        }
    }

    /// A circle's outline in dashes.
    pub(in crate::charts) fn dashed_ring(&self, centre: (f64, f64), radius: f64, role: Role, width: f64) {
        const DASHES: usize = 8;
        let at = |turn: f64| {
            let angle = turn * std::f64::consts::TAU;
            (centre.0 + radius * angle.cos(), centre.1 + radius * angle.sin())
        };
        for dash in 0..DASHES {
            let start = dash as f64 / DASHES as f64;
            let arc: Vec<_> = (0..=3)
                .map(|i| at(start + f64::from(i) * 0.2 / DASHES as f64))
                .collect();
            self.line(&arc, role, width);
        }
    }

    /// A short text of figures and units, of a size in CSS pixels, its baseline a little below the point.
    pub(in crate::charts) fn text(&self, text: &str, at: (f64, f64), side: Side, role: Role, size: f64) {
        self.write(text, at, side, role, size, FontStyle::Normal);
    }

    /// The same, bold.
    pub(in crate::charts) fn bold(&self, text: &str, at: (f64, f64), side: Side, role: Role, size: f64) {
        self.write(text, at, side, role, size, FontStyle::Bold);
    }

    /// A short text that reads upwards, around its middle.
    pub(in crate::charts) fn upright(&self, text: &str, at: (f64, f64), role: Role, size: f64) {
        let Some(at) = on_grid(at) else { return };
        let font = ("sans-serif", size * FINE * LIBRARY_SIZE).into_font();
        let colour = role.reserved();
        let style = TextStyle::from(font.transform(FontTransform::Rotate270))
            .color(&colour)
            .pos(Pos::new(HPos::Center, VPos::Center));
        let clean: String = text.chars().filter(|c| !c.is_control()).collect();
        self.area.draw(&Text::new(clean, at, style)).expect(SURE);
    }

    fn write(&self, text: &str, at: (f64, f64), side: Side, role: Role, size: f64, weight: FontStyle) {
        let Some(at) = on_grid(at) else { return };
        let horizontal = match side {
            Side::Start => HPos::Left,
            Side::Middle => HPos::Center,
            Side::End => HPos::Right,
        };
        let font = ("sans-serif", size * FINE * LIBRARY_SIZE)
            .into_font()
            .style(weight);
        let colour = role.reserved();
        let style = TextStyle::from(font)
            .color(&colour)
            .pos(Pos::new(horizontal, VPos::Center));
        let clean: String = text.chars().filter(|c| !c.is_control()).collect();
        self.area.draw(&Text::new(clean, at, style)).expect(SURE);
    }
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
        assert_eq!(picture.body.trim(), "");
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
