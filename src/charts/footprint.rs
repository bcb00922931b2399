//! Two contact areas drawn truly to one scale, with a scale bar.

use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use crate::charts::ticks::round_at_most;
use crate::units::DisplayPreferences;

/// The form of a contact area, sizes in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outline {
    /// A circle of a diameter.
    Circle(f64),
    /// An oblong: longer side, shorter side.
    Oblong(f64, f64),
}

/// The contact areas of a test and of a machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FootprintChart {
    /// The test's, unworn.
    pub test: Outline,
    /// The test's worn spot.
    pub worn: Option<Outline>,
    /// The machine's; without it the test stands alone.
    pub machine: Option<Outline>,
    /// How its numbers are written.
    pub shown: DisplayPreferences,
}

const HALF: f64 = 310.0;
const HEIGHT: f64 = 150.0;
/// Largest drawing within one half.
const ROOM: (f64, f64) = (270.0, 92.0);
const MIDDLE: f64 = 54.0;
/// An area smaller than this is ringed, so that it is found.
const SEEN: f64 = 7.0;

impl Outline {
    fn sides(self) -> (f64, f64) {
        match self {
            Self::Circle(diameter) => (diameter, diameter),
            Self::Oblong(long, short) => (long, short),
        }
    }
}

impl FootprintChart {
    fn all(&self) -> impl Iterator<Item = Outline> {
        [Some(self.test), self.worn, self.machine].into_iter().flatten()
    }

    /// Pixels per metre: the one scale of the whole drawing; `None` where a size is no size.
    pub fn pixels_per_metre(&self) -> Option<f64> {
        let fits = self.all().map(|outline| {
            let (long, short) = outline.sides();
            (ROOM.0 / long).min(ROOM.1 / short)
        });
        let scale = fits.fold(f64::INFINITY, f64::min);
        let usable = self.all().all(|outline| outline.sides().1 > 0.0);
        (usable && scale.is_finite() && scale > 0.0).then_some(scale)
    }

    /// The drawing: the test at the left, the machine at the right; `None` where a size is no size.
    pub fn draw(&self, finding: &str) -> Option<Svg> {
        let scale = self.pixels_per_metre()?;
        let width = if self.machine.is_some() { 2.0 * HALF } else { HALF };
        let mut picture = Picture::new(width, HEIGHT);
        picture.draw(|pen| {
            let left = (HALF / 2.0, MIDDLE);
            if let Some(worn) = self.worn {
                fill(pen, left, worn, scale, Role::Trough);
                outline(pen, left, worn, scale, Role::Quiet);
            }
            fill(pen, left, self.test, scale, Role::Loss);
            find(pen, left, self.worn.unwrap_or(self.test), scale);
            if let Some(machine) = self.machine {
                let right = (HALF * 1.5, MIDDLE);
                fill(pen, right, machine, scale, Role::Accent);
                find(pen, right, machine, scale);
                pen.line(&[(HALF, 6.0), (HALF, HEIGHT - 44.0)], Role::Rule, 1.0);
            }
            scale_bar(pen, (width / 2.0, HEIGHT - 26.0), HALF / 3.0, scale, self.shown);
        });
        Some(picture.finish(finding))
    }
}

fn fill(pen: &Pen<'_>, (x, y): (f64, f64), form: Outline, scale: f64, role: Role) {
    let (long, short) = form.sides();
    let (half_long, half_short) = (long * scale / 2.0, short * scale / 2.0);
    match form {
        Outline::Circle(_) => pen.disc((x, y), half_long.max(0.25), role),
        Outline::Oblong(..) => {
            // Thinner than a quarter of a pixel nothing would be seen of it.
            let half_short = half_short.max(0.125);
            pen.area(
                (x - half_long, y - half_short),
                (x + half_long, y + half_short),
                role,
                1.0,
            );
        }
    }
}

fn outline(pen: &Pen<'_>, (x, y): (f64, f64), form: Outline, scale: f64, role: Role) {
    let (long, short) = form.sides();
    let (w, h) = (long * scale / 2.0, short * scale / 2.0);
    match form {
        Outline::Circle(_) => pen.ring((x, y), w, role, 1.0),
        Outline::Oblong(..) => {
            let corners = [(-w, -h), (w, -h), (w, h), (-w, h)];
            pen.outline(&corners.map(|(dx, dy)| (x + dx, y + dy)), role, 1.0);
        }
    }
}

/// A ring around what would be overlooked.
fn find(pen: &Pen<'_>, at: (f64, f64), form: Outline, scale: f64) {
    if form.sides().0 * scale < SEEN {
        pen.dashed_ring(at, 13.0, Role::Quiet, 1.0);
    }
}

/// A bar of a round length around a point, no longer than `most` pixels, with its length below.
pub(in crate::charts) fn scale_bar(
    pen: &Pen<'_>,
    (x, y): (f64, f64),
    most: f64,
    scale: f64,
    shown: DisplayPreferences,
) {
    let length_m = round_at_most(most / scale);
    let half = length_m * scale / 2.0;
    pen.line(&[(x - half, y), (x + half, y)], Role::Ink, 1.5);
    for end in [x - half, x + half] {
        pen.line(&[(end, y - 4.0), (end, y + 4.0)], Role::Ink, 1.5);
    }
    let text = format!("{} mm", shown.number(length_m * 1e3));
    pen.text(&text, (x, y + 14.0), Side::Middle, Role::Ink, 12.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_areas_have_one_scale_which_the_larger_sets() {
        let chart = FootprintChart {
            test: Outline::Circle(0.64e-3),
            worn: None,
            machine: Some(Outline::Oblong(20e-3, 0.36e-3)),
            shown: DisplayPreferences::default(),
        };
        let scale = chart.pixels_per_metre().unwrap();
        assert!((scale * 20e-3 - ROOM.0).abs() < 1e-9);
        let svg = chart.draw("two areas").unwrap().to_string();
        // The circle's radius on the drawing's grid of four steps a pixel.
        let radius = (0.32e-3 * scale * 4.0).round() as i32;
        assert!(svg.contains(&format!("r=\"{radius}\"")), "{svg}");
        assert!(svg.contains(">5 mm<") || svg.contains("5 mm"), "{svg}");
    }

    #[test]
    fn a_size_that_is_no_size_draws_nothing() {
        for size in [0.0, f64::NAN, -1.0] {
            let chart = FootprintChart {
                test: Outline::Circle(size),
                worn: None,
                machine: None,
                shown: DisplayPreferences::default(),
            };
            assert!(chart.draw("").is_none(), "{size}");
        }
    }
}
