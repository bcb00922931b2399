//! Two bodies that touch, seen in their two planes, and the area of contact between them from above.

use crate::charts::footprint::ScaleBar;
use crate::charts::pen::{Pen, Picture, Side, arc};
use crate::charts::{Role, Svg};
use crate::units::DisplayPreferences;
use std::f64::consts::TAU;

/// Two bodies and their area of contact.
#[derive(Clone, Debug, PartialEq)]
pub struct TwoBodiesPicture {
    /// Radii of both bodies in the plane of motion, m: hollow negative, flat `None`.
    pub along_m: [Option<f64>; 2],
    /// The same across it.
    pub across_m: [Option<f64>; 2],
    /// Half-axes of the area along the motion and across it, m.
    pub half_axes_m: [f64; 2],
    /// How the area ends.
    pub form: AreaForm,
    /// How its numbers are written.
    pub shown: DisplayPreferences,
}

/// How an area of contact ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AreaForm {
    /// A circle or an ellipse.
    Round,
    /// A line with square ends.
    Straight,
}

const VIEW: (f64, f64) = (165.0, 172.0);
/// The closest radius is drawn as so many pixels.
const CLOSEST: f64 = 34.0;
const TEXT: f64 = 12.0;
/// Room for the area.
const ROOM: (f64, f64) = (250.0, 84.0);
const HEIGHT: f64 = 160.0;
const WIDTH: f64 = 300.0;

impl TwoBodiesPicture {
    /// Both bodies in the plane of motion and across it; each plane with a scale of its own.
    pub fn bodies(&self) -> Svg {
        let mut picture = Picture::new(2.0 * VIEW.0, VIEW.1);
        picture.draw(|pen| {
            for (place, (radii, words)) in [
                (self.along_m, "along the motion"),
                (self.across_m, "across the motion"),
            ]
            .into_iter()
            .enumerate()
            {
                let middle = (VIEW.0 * (place as f64 + 0.5), 76.0);
                view(pen, middle, radii);
                pen.text(words, (middle.0, VIEW.1 - 8.0), Side::Middle, Role::Quiet, TEXT);
            }
        });
        let [along, across] = [self.along_m, self.across_m]
            .map(|[first, second]| format!("{} on {}", self.radius(first), self.radius(second)));
        picture.finish(&format!(
            "Two bodies that touch, in the plane of motion {along}; across it {across}"
        ))
    }

    /// `radius 6.35 mm`, `hollow radius 20 mm`, `flat`.
    fn radius(&self, radius_m: Option<f64>) -> String {
        match radius_m {
            None => "flat".to_string(),
            Some(r) if r < 0.0 => format!("hollow radius {} mm", self.shown.number(-1e3 * r)),
            Some(r) => format!("radius {} mm", self.shown.number(1e3 * r)),
        }
    }

    /// The area of contact from above, motion from left to right, with a scale bar; `None` where a size is no size.
    pub fn area(&self) -> Option<Svg> {
        let [along, across] = self.half_axes_m;
        let usable = |size: f64| size.is_finite() && size > 0.0;
        let scale = (0.5 * ROOM.0 / along).min(0.5 * ROOM.1 / across);
        if !(usable(along) && usable(across) && usable(scale)) {
            return None;
        }
        // Thinner than a quarter of a pixel nothing would be seen of it.
        let [along, across] = [along, across].map(|size| (size * scale).max(0.2));
        let mut picture = Picture::new(WIDTH, HEIGHT);
        picture.draw(|pen| {
            let (x, y) = (WIDTH / 2.0, 52.0);
            match self.form {
                AreaForm::Straight => pen.area(
                    (x - along, y - across),
                    (x + along, y + across),
                    Role::Accent,
                    1.0,
                ),
                AreaForm::Round => pen.shape(&ellipse((x, y), [along, across])[1..], Role::Accent),
            }
            if along.max(across) < 3.5 || along.min(across) < 0.6 {
                pen.dashed_ring((x, y), 13.0, Role::Quiet, 1.0);
            }
            arrow(pen, (x, 104.0));
            let bar = ScaleBar {
                most: WIDTH / 3.0,
                text: TEXT,
            };
            bar.draw(pen, (x, HEIGHT - 24.0), scale, self.shown);
        });
        let [long, wide] = self.half_axes_m.map(|half_m| self.shown.number(2e3 * half_m));
        Some(picture.finish(&format!(
            "The area of contact from above: {long} mm along the motion, {wide} mm across it"
        )))
    }
}

fn arrow(pen: &Pen<'_>, (x, y): (f64, f64)) {
    pen.line(&[(x - 22.0, y), (x + 16.0, y)], Role::Quiet, 1.25);
    pen.shape(
        &[(x + 15.0, y - 3.5), (x + 23.0, y), (x + 15.0, y + 3.5)],
        Role::Quiet,
    );
}

fn ellipse(middle: (f64, f64), half_axes: [f64; 2]) -> Vec<(f64, f64)> {
    arc(middle, half_axes, [0.0, TAU], 72)
}

/// The first body above the point of contact, the second below it.
fn view(pen: &Pen<'_>, (x, y): (f64, f64), radii_m: [Option<f64>; 2]) {
    let closest = radii_m
        .into_iter()
        .flatten()
        .map(f64::abs)
        .fold(f64::INFINITY, f64::min);
    let pixels = |radius: f64| radius / closest * CLOSEST;
    for (radius, upward, role) in [(radii_m[0], -1.0, Role::Ink), (radii_m[1], 1.0, Role::Quiet)] {
        let outline = outline(radius.map(pixels), upward);
        let placed: Vec<(f64, f64)> = outline.into_iter().map(|(dx, dy)| (x + dx, y + dy)).collect();
        pen.line(&placed, role, 1.75);
    }
    pen.disc((x, y), 2.5, Role::Loss);
}

/// A body's surface around the point of contact, `upward` −1 for the body above; hollow surfaces bend the other way.
fn outline(radius: Option<f64>, upward: f64) -> Vec<(f64, f64)> {
    const HALF: f64 = 66.0;
    const STEPS: i32 = 48;
    let Some(radius) = radius else {
        return vec![(-HALF, 0.0), (HALF, 0.0)];
    };
    let size = radius.abs();
    let bend = upward * radius.signum();
    if size <= 1.2 * CLOSEST && radius > 0.0 {
        return ellipse((0.0, bend * size), [size; 2]);
    }
    let reach = HALF.min(0.96 * size);
    let sagitta = |dx: f64| dx * dx / (size + (size * size - dx * dx).max(0.0).sqrt());
    (-STEPS..=STEPS)
        .map(|step| reach * f64::from(step) / f64::from(STEPS))
        .map(|dx| (dx, bend * sagitta(dx)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(along_m: [Option<f64>; 2], half_axes_m: [f64; 2]) -> TwoBodiesPicture {
        TwoBodiesPicture {
            shown: DisplayPreferences::default(),
            along_m,
            across_m: [None, None],
            half_axes_m,
            form: AreaForm::Round,
        }
    }

    #[test]
    fn any_pair_of_bodies_is_drawn_within_its_view() {
        for along in [
            [Some(5e-3), None],
            [Some(5e-3), Some(-5.2e-3)],
            [Some(1e-9), Some(1e9)],
            [Some(-20e-3), Some(10e-3)],
        ] {
            let drawing = picture(along, [1e-4, 2e-4]).bodies().to_string();
            assert!(!drawing.contains("NaN") && !drawing.contains('#'), "{along:?}");
            for radius in along {
                let points = outline(radius.map(|radius| radius / 5e-3 * CLOSEST), -1.0);
                assert!(
                    points.iter().all(|(x, y)| x.abs() < 80.0 && y.abs() < 90.0),
                    "{radius:?}"
                );
            }
        }
    }

    #[test]
    fn a_size_that_is_no_size_has_no_area_and_a_thin_line_is_still_seen() {
        for size in [0.0, f64::NAN, f64::INFINITY, -1.0] {
            assert!(picture([None, None], [size, 1e-4]).area().is_none());
        }
        let line = TwoBodiesPicture {
            form: AreaForm::Straight,
            ..picture([Some(5e-3), None], [1e-9, 7e-3])
        };
        assert!(line.area().unwrap().to_string().contains("var(--accent)"));
    }
}
