//! Two contact areas drawn truly to one scale, with a scale bar.

use crate::charts::pen::{Pen, Picture, Side, arc};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use crate::charts::ticks::round_at_most;
use crate::units::DisplayPreferences;
use std::f64::consts::TAU;

/// The form of a contact area, sizes in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outline {
    /// A circle of a diameter.
    Circle(f64),
    /// An oblong: longer side, shorter side.
    Oblong(f64, f64),
}

/// The contact areas of a test and of a machine; one of them stands alone where the other has no geometry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootprintChart {
    /// The test's, unworn.
    pub test: Option<Outline>,
    /// The test's worn spot.
    pub worn: Option<Outline>,
    /// The machine's.
    pub machine: Option<Outline>,
    /// How its numbers are written.
    pub shown: DisplayPreferences,
}

const HALF: f64 = 310.0;
const HEIGHT: f64 = 156.0;
/// Largest drawing within one half.
const ROOM: (f64, f64) = (270.0, 92.0);
const MIDDLE: f64 = 54.0;
const TEXT: f64 = 14.0;
/// An area smaller than this is ringed, so that it is found.
const SEEN: f64 = 7.0;
/// Where something would be narrower than this, oblongs are cut in their length, if that helps.
const LEGIBLE: f64 = 8.0;

impl Outline {
    fn sides(self) -> (f64, f64) {
        match self {
            Self::Circle(diameter) => (diameter, diameter),
            Self::Oblong(long, short) => (long, short),
        }
    }

    /// Whether it is longer than its room at this scale.
    fn is_cut(self, scale: f64) -> bool {
        self.sides().0 * scale > ROOM.0 * (1.0 + 1e-9)
    }
}

impl FootprintChart {
    fn all(&self) -> impl Iterator<Item = Outline> {
        [self.test, self.worn, self.machine].into_iter().flatten()
    }

    /// Pixels per metre: the one scale of the whole drawing. All of it is drawn where its narrowest area can be seen so,
    /// else lengths are cut and the widest width fills the room; `None` where a size is no size.
    pub fn pixels_per_metre(&self) -> Option<f64> {
        let least = |room: &dyn Fn(Outline) -> f64| self.all().map(room).fold(f64::INFINITY, f64::min);
        let whole = least(&|outline| {
            let (long, short) = outline.sides();
            (ROOM.0 / long).min(ROOM.1 / short)
        });
        let widths = least(&|outline| ROOM.1 / outline.sides().1);
        let narrowest = least(&|outline| outline.sides().1);
        let scale = if narrowest * whole < LEGIBLE * (1.0 - 1e-9) {
            widths
        } else {
            whole
        };
        (narrowest > 0.0 && scale.is_finite() && scale > 0.0).then_some(scale)
    }

    /// Whether a length is cut in the drawing.
    pub fn is_cut(&self) -> bool {
        let scale = self.pixels_per_metre();
        scale.is_some_and(|scale| self.all().any(|outline| outline.is_cut(scale)))
    }

    /// The drawing: the test at the left, the machine at the right; `None` where a size is no size.
    pub fn draw(&self, finding: &str) -> Option<Svg> {
        let scale = self.pixels_per_metre()?;
        let both = self.test.is_some() && self.machine.is_some();
        let width = if both { 2.0 * HALF } else { HALF };
        let mut picture = Picture::new(width, HEIGHT);
        picture.draw(|pen| {
            if let Some(test) = self.test {
                let left = (HALF / 2.0, MIDDLE);
                if let Some(worn) = self.worn {
                    pen.shape(&drawn(left, worn, scale), Role::Trough);
                    pen.outline(&drawn(left, worn, scale), Role::Quiet, 1.0);
                }
                pen.shape(&drawn(left, test, scale), Role::Loss);
                find(pen, left, self.worn.unwrap_or(test), scale);
                self.length_of_a_cut(pen, left.0, test, scale);
            }
            if let Some(machine) = self.machine {
                let right = (width - HALF / 2.0, MIDDLE);
                pen.shape(&drawn(right, machine, scale), Role::Accent);
                find(pen, right, machine, scale);
                self.length_of_a_cut(pen, right.0, machine, scale);
            }
            if both {
                pen.line(&[(HALF, 6.0), (HALF, HEIGHT - 46.0)], Role::Rule, 1.0);
            }
            let bar = ScaleBar {
                most: HALF / 3.0,
                text: TEXT,
            };
            bar.draw(pen, (width / 2.0, HEIGHT - 25.0), scale, self.shown);
        });
        Some(picture.finish(finding))
    }

    fn length_of_a_cut(&self, pen: &Pen<'_>, x: f64, outline: Outline, scale: f64) {
        if outline.is_cut(scale) {
            let text = format!("{} mm long, cut here", self.shown.number(outline.sides().0 * 1e3));
            pen.text(
                &text,
                (x, MIDDLE + ROOM.1 / 2.0 + 16.0),
                Side::Middle,
                Role::Ink,
                TEXT,
            );
        }
    }
}

/// The corners of an area around a point, an oblong that is longer than its room with jagged ends.
fn drawn((x, y): (f64, f64), form: Outline, scale: f64) -> Vec<(f64, f64)> {
    let (long, short) = form.sides();
    // Thinner than a quarter of a pixel nothing would be seen of it.
    let (w, h) = (
        (long * scale / 2.0).min(ROOM.0 / 2.0),
        (short * scale / 2.0).max(0.125),
    );
    match form {
        Outline::Circle(_) => arc((x, y), [h; 2], [0.0, TAU], 72)[1..].to_vec(),
        Outline::Oblong(..) if form.is_cut(scale) => {
            let depth = h.min(4.0);
            let jags = |side: f64| {
                let steps = 8;
                (0..=steps).map(move |step| {
                    let in_or_out = if step % 2 == 0 { depth } else { -depth };
                    (
                        x + side * w + in_or_out,
                        y - side * h * (1.0 - 2.0 * f64::from(step) / f64::from(steps)),
                    )
                })
            };
            jags(1.0).chain(jags(-1.0)).collect()
        }
        Outline::Oblong(..) => vec![(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)],
    }
}

/// A ring around what would be overlooked.
fn find(pen: &Pen<'_>, at: (f64, f64), form: Outline, scale: f64) {
    if form.sides().0 * scale < SEEN {
        pen.dashed_ring(at, 13.0, Role::Quiet, 1.0);
    }
}

/// A bar of a round length with its length below.
pub(in crate::charts) struct ScaleBar {
    /// It is no longer than this, pixels.
    pub(in crate::charts) most: f64,
    /// Size of its text.
    pub(in crate::charts) text: f64,
}

impl ScaleBar {
    /// Draws it around a point.
    pub(in crate::charts) fn draw(
        &self,
        pen: &Pen<'_>,
        (x, y): (f64, f64),
        scale: f64,
        shown: DisplayPreferences,
    ) {
        let length_m = round_at_most(self.most / scale);
        let half = length_m * scale / 2.0;
        pen.line(&[(x - half, y), (x + half, y)], Role::Ink, 1.5);
        for end in [x - half, x + half] {
            pen.line(&[(end, y - 4.0), (end, y + 4.0)], Role::Ink, 1.5);
        }
        let text = format!("{} mm", shown.number(length_m * 1e3));
        pen.text(
            &text,
            (x, y + self.text + 2.0),
            Side::Middle,
            Role::Ink,
            self.text,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(test: Outline, machine: Option<Outline>) -> FootprintChart {
        FootprintChart {
            test: Some(test),
            worn: None,
            machine,
            shown: DisplayPreferences::default(),
        }
    }

    #[test]
    fn both_areas_have_one_scale_which_the_larger_sets() {
        let chart = chart(Outline::Circle(0.64e-3), Some(Outline::Oblong(12e-3, 0.36e-3)));
        let scale = chart.pixels_per_metre().unwrap();
        assert!((scale * 12e-3 - ROOM.0).abs() < 1e-9 && !chart.is_cut());
        let svg = chart.draw("two areas").unwrap().to_string();
        assert!(svg.contains("2 mm") && !svg.contains("cut here"), "{svg}");
    }

    /// Where the narrower side would have less than eight pixels, lengths are cut: just below, at and above it.
    #[test]
    fn what_would_be_too_narrow_is_drawn_wider_and_the_long_side_cut() {
        let width_m = LEGIBLE / (ROOM.0 / 20e-3);
        for (factor, is_cut) in [(0.999, true), (1.0, false), (1.001, false)] {
            let chart = chart(
                Outline::Circle(0.9e-3),
                Some(Outline::Oblong(20e-3, width_m * factor)),
            );
            assert_eq!(chart.is_cut(), is_cut, "{factor}");
            let scale = chart.pixels_per_metre().unwrap();
            let expected = if is_cut { ROOM.1 / 0.9e-3 } else { ROOM.0 / 20e-3 };
            assert!((scale / expected - 1.0).abs() < 1e-9, "{factor}: {scale}");
            let svg = chart.draw("two areas").unwrap().to_string();
            assert_eq!(svg.contains("20 mm long, cut here"), is_cut, "{factor}");
        }
    }

    #[test]
    fn a_cut_area_keeps_within_its_half_and_a_spot_on_a_broad_area_is_ringed() {
        let strip = Outline::Oblong(120e-3, 0.85e-3);
        let points = drawn((155.0, MIDDLE), strip, 100.0 / 1e-3);
        assert!(
            points
                .iter()
                .all(|(x, y)| (10.0..300.0).contains(x) && (8.0..100.0).contains(y))
        );
        let bush = chart(Outline::Circle(0.5e-3), Some(Outline::Oblong(60e-3, 50e-3)));
        assert!(!bush.is_cut());
        assert!(bush.draw("a spot").unwrap().to_string().contains("var(--quiet)"));
    }

    #[test]
    fn one_of_them_stands_alone_and_neither_is_no_drawing() {
        let strip = Outline::Oblong(30e-3, 0.05e-3);
        let alone = FootprintChart {
            test: None,
            ..chart(strip, Some(strip))
        };
        let both = chart(strip, Some(strip)).draw("both").unwrap().to_string();
        let alone = alone.draw("one").unwrap().to_string();
        assert!(
            alone.contains("width=\"310\"")
                && !alone.contains("width=\"620\"")
                && both.contains("width=\"620\""),
            "{alone}"
        );
        let neither = FootprintChart {
            test: None,
            ..chart(strip, None)
        };
        assert!(neither.draw("").is_none());
    }

    #[test]
    fn a_size_that_is_no_size_draws_nothing() {
        for size in [0.0, f64::NAN, -1.0] {
            assert!(chart(Outline::Circle(size), None).draw("").is_none(), "{size}");
        }
    }
}
