//! One colour and one shape per candidate, the same on every chart.
//!
//! Six hues after Okabe and Ito (2008), without their second blue, and seven shapes: twenty candidates differ in one
//! or the other, the first six in both. The hues themselves are custom properties of the style sheet.

use crate::charts::pen::{Pen, Picture, arc};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use std::f64::consts::TAU;

/// The line of a reference oil by its position: the known poor (0) dashed, any other whole.
pub(in crate::charts) fn reference_line(pen: &Pen<'_>, position: f64, from: (f64, f64), to: (f64, f64)) {
    if position == 0.0 {
        pen.dashes(from, to, (5.0, 3.5), Role::Reference, 1.75);
    } else {
        pen.line(&[from, to], Role::Reference, 1.75);
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shape {
    Disc,
    Square,
    Diamond,
    Up,
    Down,
    Hexagon,
    Cross,
}

const SHAPES: [(Shape, &str); 7] = [
    (Shape::Disc, "disc"),
    (Shape::Square, "square"),
    (Shape::Diamond, "diamond"),
    (Shape::Up, "triangle"),
    (Shape::Down, "triangle on its tip"),
    (Shape::Hexagon, "hexagon"),
    (Shape::Cross, "cross"),
];

fn shape(index: usize) -> Shape {
    SHAPES[index % SHAPES.len()].0
}

/// The shape's name, for those who do not see it.
pub fn mark_words(index: usize) -> &'static str {
    SHAPES[index % SHAPES.len()].1
}

/// The outline of a shape around the origin, radius 1; empty for the disc.
fn outline(shape: Shape) -> Vec<(f64, f64)> {
    match shape {
        Shape::Disc => Vec::new(),
        Shape::Square => vec![(-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)],
        Shape::Diamond => vec![(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)],
        Shape::Up => vec![(0.0, -1.15), (1.15, 0.9), (-1.15, 0.9)],
        Shape::Down => vec![(0.0, 1.15), (1.15, -0.9), (-1.15, -0.9)],
        Shape::Hexagon => arc((0.0, 0.0), [1.15; 2], [0.0, TAU], 6)[..6].to_vec(),
        Shape::Cross => {
            let (long, thin) = (1.15, 0.42);
            vec![
                (-thin, -long),
                (thin, -long),
                (thin, -thin),
                (long, -thin),
                (long, thin),
                (thin, thin),
                (thin, long),
                (-thin, long),
                (-thin, thin),
                (-long, thin),
                (-long, -thin),
                (-thin, -thin),
            ]
        }
    }
}

fn around(centre: (f64, f64), radius: f64, shape: Shape) -> Vec<(f64, f64)> {
    outline(shape)
        .into_iter()
        .map(|(x, y)| (centre.0 + x * radius, centre.1 + y * radius))
        .collect()
}

/// A candidate's mark with a rim of ground around it.
pub(in crate::charts) fn solid(pen: &Pen<'_>, centre: (f64, f64), radius: f64, candidate: usize) {
    filled(pen, centre, radius * 1.32, candidate, Role::Ground);
    filled(pen, centre, radius, candidate, Role::Candidate(candidate));
}

fn filled(pen: &Pen<'_>, centre: (f64, f64), radius: f64, candidate: usize, role: Role) {
    match shape(candidate) {
        Shape::Disc => pen.disc(centre, radius, role),
        other => pen.shape(&around(centre, radius, other), role),
    }
}

/// A candidate's mark as an outline: a value from a data sheet.
pub(in crate::charts) fn open(pen: &Pen<'_>, centre: (f64, f64), radius: f64, candidate: usize) {
    outlined(pen, centre, radius, candidate, Role::Candidate(candidate));
}

/// The hollow grey mark of a candidate that failed a requirement.
pub(in crate::charts) fn failed(pen: &Pen<'_>, centre: (f64, f64), radius: f64, candidate: usize) {
    outlined(pen, centre, radius, candidate, Role::Control);
}

fn outlined(pen: &Pen<'_>, centre: (f64, f64), radius: f64, candidate: usize, role: Role) {
    match shape(candidate) {
        Shape::Disc => pen.ring(centre, radius, role, 1.0),
        other => pen.outline(&around(centre, radius, other), role, 1.0),
    }
}

/// The mark of a candidate that failed a requirement, for a legend.
pub fn legend_failed(candidate: usize) -> Svg {
    legend(|pen, middle| failed(pen, middle, 5.0, candidate))
}

/// The mark of a number that was only said: an open square, so that it is none of the candidates'.
pub(in crate::charts) fn said(pen: &Pen<'_>, (x, y): (f64, f64), radius: f64) {
    let r = radius + 0.5;
    let corners = [(-r, -r), (r, -r), (r, r), (-r, r)].map(|(dx, dy)| (x + dx, y + dy));
    pen.shape(&corners, Role::Ground);
    pen.outline(&corners, Role::Loss, 1.75);
}

/// The mark of a number that was only said, for a legend.
pub fn legend_said() -> Svg {
    legend(|pen, middle| said(pen, middle, 4.5))
}

/// The mark for a legend, where nothing lies under it.
pub fn legend_mark(candidate: usize) -> Svg {
    let role = Role::Candidate(candidate);
    legend(|pen, middle| filled(pen, middle, 5.0, candidate, role))
}

/// The control fluid's mark for a legend.
pub fn legend_control() -> Svg {
    legend(|pen, middle| pen.dashed_ring(middle, 5.0, Role::Control, 1.5))
}

fn legend(mark: impl FnOnce(&Pen<'_>, (f64, f64))) -> Svg {
    let mut picture = Picture::new(16.0, 16.0);
    picture.draw(|pen| mark(pen, (8.0, 8.0)));
    picture.finish("")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::charts::role::CANDIDATE_COLOURS;
    use std::collections::BTreeSet;

    /// How many hues the style sheet gives the candidates, in turn.
    const HUES: usize = 6;

    #[test]
    fn twenty_candidates_differ_in_hue_or_shape_and_neighbours_in_both() {
        let looks: BTreeSet<_> = (0..CANDIDATE_COLOURS)
            .map(|i| (i % HUES, i % SHAPES.len()))
            .collect();
        assert_eq!(looks.len(), CANDIDATE_COLOURS);
        for i in 0..CANDIDATE_COLOURS - 1 {
            assert_ne!(i % HUES, (i + 1) % HUES);
            assert_ne!(shape(i), shape(i + 1));
        }
    }

    #[test]
    fn a_legend_mark_is_drawn_in_its_candidates_property() {
        assert!(legend_mark(7).to_string().contains("var(--k7)"));
        assert!(!legend_mark(7).to_string().contains('#'));
    }
}
