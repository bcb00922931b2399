//! The bodies of a contact in section, to one scale, with their dimensions. Every text has a row or a column of its own
//! outside the bodies, so that none meets another.

mod area;
mod clip;
mod layout;

use crate::charts::pen::{Pen, Picture, arc};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use clip::strokes;
use layout::Layout;
use std::f64::consts::{PI, TAU};

pub(in crate::charts) use clip::{Window, clipped};

pub use area::{AreaChart, AreaShape, ClassForm, length};
pub use clip::{circle, disc};

/// A place in m: to the right, upwards.
pub type Place = (f64, f64);

/// What is drawn of a body, lengths in m.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A body cut by the section: its closed outline.
    Body(Vec<Place>),
    /// A body with a round hollow: its middle and radius. How thick its wall is, is not known.
    Hollow(Place, f64),
    /// The outline of something behind or beside the section, or of the same body at another time.
    Behind(Vec<Place>),
    /// A line of thought: a pitch circle, an axis.
    Guide(Vec<Place>),
    /// Where surfaces touch.
    Touch(Place),
}

/// A length with its text: both ends, across or upright.
#[derive(Clone, Debug, PartialEq)]
pub struct DimensionLine {
    /// One end.
    pub from: Place,
    /// The other.
    pub to: Place,
    /// What it is and how long.
    pub words: String,
}

/// Which ends of an arrow have a head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heads {
    /// The last one.
    One,
    /// Both: to and fro.
    Both,
}

/// A motion: the points that its arrow runs through.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrow {
    /// The points.
    pub path: Vec<Place>,
    /// Its heads.
    pub heads: Heads,
}

impl Arrow {
    /// From a point to another.
    pub fn straight(from: Place, to: Place, heads: Heads) -> Self {
        Self {
            path: vec![from, to],
            heads,
        }
    }

    /// Round a middle, from an angle to another, in radians against the clock from three o'clock.
    pub fn round(middle: Place, radius: f64, from: f64, to: f64, heads: Heads) -> Self {
        Self {
            path: arc(middle, [radius; 2], [from, to], 16),
            heads,
        }
    }
}

/// A contact in section.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionChart {
    /// Left, right, bottom and top of what is drawn; bodies that reach beyond are cut off by a break line.
    pub window: [f64; 4],
    /// Bodies, in the order of drawing.
    pub shapes: Vec<Shape>,
    /// Lengths from left to right, each in a row below.
    pub across: Vec<DimensionLine>,
    /// Lengths from bottom to top, each in a column at the right.
    pub upright: Vec<DimensionLine>,
    /// Motions.
    pub arrows: Vec<Arrow>,
    /// Where the load comes down, and how great it is.
    pub load: Option<(Place, String)>,
    /// Forces inside the drawing, from where to the tip.
    pub forces: Vec<[Place; 2]>,
    /// Lines below the drawing.
    pub notes: Vec<String>,
}

/// A text as it is laid out: left, top, right and bottom in CSS pixels, widths taken generously.
#[derive(Clone, Debug, PartialEq)]
pub struct TextBox {
    /// The text.
    pub words: String,
    /// Left, top, right, bottom.
    pub sides: [f64; 4],
}

impl SectionChart {
    /// The drawing, with what it shows in words.
    pub fn draw(&self, finding: &str) -> Svg {
        let layout = Layout::of(self);
        let mut picture = Picture::new(layout.width, layout.height);
        picture.draw(|pen| {
            for shape in &self.shapes {
                self.shape(pen, &layout, shape);
            }
            for arrow in &self.arrows {
                draw_arrow(pen, &layout, arrow);
            }
            for force in &self.forces {
                layout.force(pen, *force);
            }
            layout.lines(pen);
            layout.texts(pen);
        });
        picture.finish(finding)
    }

    fn shape(&self, pen: &Pen<'_>, layout: &Layout, shape: &Shape) {
        let window = Window::of(self.window);
        let placed = |points: &[Place]| layout.all_at(points);
        match shape {
            Shape::Body(outline) => {
                let outline = clipped(outline, window);
                pen.shape(&placed(&outline), Role::Trough);
                edges(pen, layout, strokes(&outline, window));
            }
            Shape::Hollow(middle, radius) => {
                let wall = clipped(&wall(*middle, *radius, window), window);
                pen.shape(&placed(&wall), Role::Trough);
                let mut cut = strokes(&wall, window);
                cut.retain(|(_, is_break)| *is_break);
                edges(pen, layout, cut);
                for points in window.inside(&circle(*middle, *radius, self.window)) {
                    pen.line(&placed(&points), Role::Ink, 1.5);
                }
                for points in window.inside(&circle(*middle, WALL * radius, self.window)) {
                    dashed(pen, &placed(&points));
                }
            }
            Shape::Behind(points) => {
                for points in window.inside(points) {
                    pen.line(&placed(&points), Role::Quiet, 1.0);
                }
            }
            Shape::Guide(points) => {
                for points in window.inside(points) {
                    dashed(pen, &placed(&points));
                }
            }
            Shape::Touch(place) => pen.disc(layout.at(*place), 3.0, Role::Accent),
        }
    }
}

/// Outer over inner radius of a hollow body of which only the hollow is known.
const WALL: f64 = 1.14;

/// The wall of a hollow: along the hollow and back along the outside.
fn wall(middle: Place, radius: f64, window: Window) -> Vec<Place> {
    let (from, to) = clip::reach(middle, WALL * radius, window);
    let along = |radius: f64| arc(middle, [radius; 2], [from, to], 240);
    let outer = along(WALL * radius).into_iter().rev();
    along(radius).into_iter().chain(outer).collect()
}

/// The edges of a body: its own surface, and a wavy line where the window cuts it.
fn edges(pen: &Pen<'_>, layout: &Layout, lines: Vec<(Vec<Place>, bool)>) {
    for (points, is_break) in lines {
        let placed = layout.all_at(&points);
        if is_break {
            break_line(pen, &placed);
        } else {
            pen.line(&placed, Role::Ink, 1.5);
        }
    }
}

/// A wavy line along an edge where a body goes on.
fn break_line(pen: &Pen<'_>, points: &[(f64, f64)]) {
    for pair in points.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = dx.hypot(dy);
        if length <= 0.0 {
            continue;
        }
        let steps = (length / 2.0).ceil().max(2.0) as i32;
        let wave = |i: i32| {
            let share = f64::from(i) / f64::from(steps);
            let swing = 2.0 * (share * length * TAU / 16.0).sin();
            (
                a.0 + dx * share - dy / length * swing,
                a.1 + dy * share + dx / length * swing,
            )
        };
        let points: Vec<_> = (0..=steps).map(wave).collect();
        pen.line(&points, Role::Quiet, 1.0);
    }
}

/// Dashes along a line through many points.
fn dashed(pen: &Pen<'_>, points: &[(f64, f64)]) {
    const ON: f64 = 5.0;
    const OFF: f64 = 4.0;
    let mut run = 0.0;
    let mut dash: Vec<(f64, f64)> = Vec::new();
    for pair in points.windows(2) {
        let length = (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1);
        let steps = length.ceil().clamp(1.0, 2000.0);
        for step in 0..steps as i32 {
            let share = f64::from(step) / steps;
            let point = (
                pair[0].0 + (pair[1].0 - pair[0].0) * share,
                pair[0].1 + (pair[1].1 - pair[0].1) * share,
            );
            if run % (ON + OFF) < ON {
                dash.push(point);
            } else if dash.len() > 1 {
                pen.line(&dash, Role::Quiet, 1.0);
                dash.clear();
            }
            run += length / steps;
        }
    }
    if dash.len() > 1 {
        pen.line(&dash, Role::Quiet, 1.0);
    }
}

fn draw_arrow(pen: &Pen<'_>, layout: &Layout, arrow: &Arrow) {
    let points = layout.all_at(&arrow.path);
    pen.line(&points, Role::Accent, 1.75);
    if let [.., before, tip] = points[..] {
        head(pen, before, tip, Role::Accent);
    }
    if let ([tip, after, ..], Heads::Both) = (&points[..], arrow.heads) {
        head(pen, *after, *tip, Role::Accent);
    }
}

/// The head of an arrow that comes from a point to its tip.
pub(in crate::charts::section) fn head(pen: &Pen<'_>, from: (f64, f64), tip: (f64, f64), role: Role) {
    let heading = (tip.1 - from.1).atan2(tip.0 - from.0);
    let wing = |turn: f64| {
        let angle = heading + PI + turn;
        (tip.0 + 8.0 * angle.cos(), tip.1 + 8.0 * angle.sin())
    };
    pen.shape(&[wing(0.4), tip, wing(-0.4)], role);
}

#[cfg(test)]
mod tests;
