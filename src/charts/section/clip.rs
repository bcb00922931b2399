//! What of a body lies within the window of a drawing.

use crate::charts::pen::arc;
use crate::charts::section::Place;
use std::f64::consts::{PI, TAU};

/// Left, right, bottom, top.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::charts) struct Window([f64; 4]);

impl Window {
    /// From 0 to 1 both ways.
    pub(in crate::charts) const UNIT: Self = Self([0.0, 1.0, 0.0, 1.0]);

    pub(in crate::charts) fn of(sides: [f64; 4]) -> Self {
        Self(sides)
    }

    fn size(self) -> f64 {
        let [left, right, bottom, top] = self.0;
        (right - left).hypot(top - bottom)
    }

    /// How far a point lies within each side.
    fn depths(self, (x, y): Place) -> [f64; 4] {
        let [left, right, bottom, top] = self.0;
        [x - left, right - x, y - bottom, top - y]
    }

    /// The parts of a line that lie inside.
    pub(in crate::charts) fn inside(self, points: &[Place]) -> Vec<Vec<Place>> {
        let mut parts = Vec::new();
        let mut part: Vec<Place> = Vec::new();
        for pair in points.windows(2) {
            let Some((a, b)) = self.cut(pair[0], pair[1]) else {
                parts.push(std::mem::take(&mut part));
                continue;
            };
            if part.last() != Some(&a) {
                parts.push(std::mem::take(&mut part));
                part.push(a);
            }
            part.push(b);
        }
        parts.push(part);
        parts.retain(|part| part.len() > 1);
        parts
    }

    /// The part of a straight line that lies inside.
    fn cut(self, a: Place, b: Place) -> Option<(Place, Place)> {
        let (mut from, mut to) = (0.0f64, 1.0f64);
        for (at_a, at_b) in self.depths(a).into_iter().zip(self.depths(b)) {
            if at_a < 0.0 && at_b < 0.0 {
                return None;
            }
            let share = at_a / (at_a - at_b);
            if at_a < 0.0 {
                from = from.max(share);
            } else if at_b < 0.0 {
                to = to.min(share);
            }
        }
        let at = |share: f64| (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
        let start = if from == 0.0 { a } else { at(from) };
        (from < to).then(|| (start, if to == 1.0 { b } else { at(to) }))
    }

    /// Whether both ends of a line lie on the same side of the window.
    fn has_on_a_side(self, a: Place, b: Place) -> bool {
        let near = 1e-9 * self.size();
        let mut sides = self.depths(a).into_iter().zip(self.depths(b));
        sides.any(|(a, b)| a.abs() < near && b.abs() < near)
    }
}

/// The part of a closed outline that lies inside the window (Sutherland and Hodgman's way, side by side).
pub(in crate::charts) fn clipped(outline: &[Place], window: Window) -> Vec<Place> {
    let mut points = outline.to_vec();
    for side in 0..4 {
        let mut kept = Vec::with_capacity(points.len() + 4);
        for (i, point) in points.iter().enumerate() {
            let before = points[(i + points.len() - 1) % points.len()];
            let (at_before, at_point) = (window.depths(before)[side], window.depths(*point)[side]);
            if (at_before < 0.0) != (at_point < 0.0) {
                let share = at_before / (at_before - at_point);
                kept.push((
                    before.0 + (point.0 - before.0) * share,
                    before.1 + (point.1 - before.1) * share,
                ));
            }
            if at_point >= 0.0 {
                kept.push(*point);
            }
        }
        points = kept;
    }
    points
}

/// A closed outline as lines of one kind each: its own surface, or `true` where the window cuts it.
pub(in crate::charts) fn strokes(outline: &[Place], window: Window) -> Vec<(Vec<Place>, bool)> {
    let mut lines: Vec<(Vec<Place>, bool)> = Vec::new();
    let next = outline.iter().cycle().skip(1);
    for (a, b) in outline.iter().zip(next) {
        let is_break = window.has_on_a_side(*a, *b);
        match lines.last_mut() {
            Some((points, kind)) if *kind == is_break => points.push(*b),
            _ => lines.push((vec![*a, *b], is_break)),
        }
    }
    lines
}

/// The angles between which a circle of that radius can lie inside the window, the whole turn where it is small.
pub(in crate::charts) fn reach(middle: Place, radius: f64, window: Window) -> (f64, f64) {
    let [left, right, bottom, top] = window.0;
    let target = (0.5 * (left + right), 0.5 * (bottom + top));
    let away = (target.0 - middle.0).hypot(target.1 - middle.1);
    let half = 0.55 * window.size();
    if radius < 2.0 * half || away < half {
        return (0.0, TAU);
    }
    let towards = (target.1 - middle.1).atan2(target.0 - middle.0);
    let width = (1.2 * half / away).min(1.0).asin().min(PI);
    (towards - width, towards + width)
}

/// A circle as points that lie close where the window is; closed where it is drawn whole.
pub fn circle(middle: Place, radius: f64, window: [f64; 4]) -> Vec<Place> {
    let (from, to) = reach(middle, radius, Window(window));
    arc(middle, [radius; 2], [from, to], 240)
}

/// A round body: its circle, or where that reaches far out of the window the sector towards it.
pub fn disc(middle: Place, radius: f64, window: [f64; 4]) -> Vec<Place> {
    let mut outline = circle(middle, radius, window);
    let (from, to) = reach(middle, radius, Window(window));
    if to - from < TAU {
        outline.push(middle);
    }
    outline
}
