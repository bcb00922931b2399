//! What touches what in a test: a small drawing beside the test's name. The drawing to scale is in `section`.

use crate::charts::pen::{Pen, Picture, arc};
use crate::charts::role::Role;
use crate::charts::svg::Svg;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// What touches what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactKind {
    /// One ball turns on three that stand still.
    BallOnThreeBalls,
    /// A ball strokes to and fro on a disc.
    BallOnDisc,
    /// A fixed block on a turning ring.
    BlockOnRing,
    /// Two gears.
    GearMesh,
    /// Rollers between washers.
    RollerOnWasher,
    /// Two discs rolling on each other.
    TwoDiscs,
    /// Known by its numbers only.
    Stated,
    /// No rubbing contact: glassware.
    Bench,
}

impl ContactKind {
    /// The kind in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::BallOnThreeBalls => "a ball turning on three fixed balls",
            Self::BallOnDisc => "a ball stroking to and fro on a disc",
            Self::BlockOnRing => "a fixed block on a turning ring",
            Self::GearMesh => "two gears in mesh",
            Self::RollerOnWasher => "rollers between two washers",
            Self::TwoDiscs => "two discs rolling on each other",
            Self::Stated => "a contact known by its stated numbers, not by its shape",
            Self::Bench => "a check without a rubbing contact",
        }
    }
}

/// How much a drawing shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// Beside a name.
    Small,
    /// On a page of its own.
    Large,
}

/// A contact to draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContactPicture {
    /// What touches what.
    pub kind: ContactKind,
    /// Second size over the first: stroke over ball, block over ring, wheel over pinion, disc over disc.
    pub ratio: f64,
}

const GRID: (f64, f64) = (48.0, 36.0);

/// Draws on a grid of 48 by 36, whatever the size of the picture.
struct Sketch<'a, 'b> {
    pen: &'a Pen<'b>,
    zoom: f64,
    thick: f64,
    detail: Detail,
}

impl ContactPicture {
    /// The drawing.
    pub fn draw(&self, detail: Detail) -> Svg {
        let (zoom, thick) = match detail {
            Detail::Small => (1.0, 1.25),
            Detail::Large => (7.5, 2.0),
        };
        let mut picture = Picture::new(GRID.0 * zoom, GRID.1 * zoom);
        picture.draw(|pen| {
            let sketch = Sketch {
                pen,
                zoom,
                thick,
                detail,
            };
            let ratio = if self.ratio.is_finite() { self.ratio } else { 1.0 };
            match self.kind {
                ContactKind::BallOnThreeBalls => sketch.four_balls(),
                ContactKind::BallOnDisc => sketch.ball_on_disc(ratio),
                ContactKind::BlockOnRing => sketch.block_on_ring(ratio),
                ContactKind::GearMesh => sketch.gears(ratio),
                ContactKind::RollerOnWasher => sketch.rollers(),
                ContactKind::TwoDiscs => sketch.two_discs(ratio),
                ContactKind::Stated => sketch.stated(),
                ContactKind::Bench => sketch.beaker(),
            }
        });
        picture.finish(match detail {
            Detail::Small => "",
            Detail::Large => self.kind.words(),
        })
    }
}

impl Sketch<'_, '_> {
    fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (x * self.zoom, y * self.zoom)
    }

    fn line(&self, points: &[(f64, f64)], role: Role) {
        let placed: Vec<_> = points.iter().map(|point| self.at(*point)).collect();
        self.pen.line(&placed, role, self.thick);
    }

    fn ring(&self, centre: (f64, f64), radius: f64, role: Role) {
        self.pen
            .ring(self.at(centre), radius * self.zoom, role, self.thick);
    }

    fn body(&self, a: (f64, f64), b: (f64, f64)) {
        self.pen.area(self.at(a), self.at(b), Role::Trough, 1.0);
        self.line(&[a, (b.0, a.1), b, (a.0, b.1), a], Role::Ink);
    }

    fn ball(&self, centre: (f64, f64), radius: f64) {
        self.pen.disc(self.at(centre), radius * self.zoom, Role::Trough);
        self.ring(centre, radius, Role::Ink);
    }

    /// Where surfaces touch.
    fn contact(&self, centre: (f64, f64)) {
        let radius = match self.detail {
            Detail::Small => 1.6,
            Detail::Large => 5.0,
        };
        self.pen.disc(self.at(centre), radius, Role::Accent);
    }

    /// A curved arrow around a centre, angles in turns of the clock from three o'clock.
    fn turning(&self, centre: (f64, f64), radius: f64, from: f64, to: f64) {
        let path = arc(centre, [radius; 2], [from, to], 12);
        self.line(&path, Role::Accent);
        let way = if to > from { FRAC_PI_2 } else { -FRAC_PI_2 };
        self.head(path[path.len() - 1], to + way);
    }

    fn head(&self, tip: (f64, f64), heading: f64) {
        let length = if self.detail == Detail::Small { 2.6 } else { 1.6 };
        let wing = |turn: f64| {
            let angle = heading + PI + turn;
            (tip.0 + length * angle.cos(), tip.1 + length * angle.sin())
        };
        self.line(&[wing(0.5), tip, wing(-0.5)], Role::Accent);
    }

    fn load(&self, from: (f64, f64), length: f64) {
        let tip = (from.0, from.1 + length);
        self.line(&[from, tip], Role::Quiet);
        let wing = if self.detail == Detail::Small { 2.0 } else { 1.2 };
        self.line(
            &[(tip.0 - wing, tip.1 - wing), tip, (tip.0 + wing, tip.1 - wing)],
            Role::Quiet,
        );
    }

    fn four_balls(&self) {
        let radius = 7.4;
        self.ball((24.0, 24.5), radius * 0.98);
        for x in [15.2, 32.8] {
            self.ball((x, 26.5), radius);
        }
        self.ball((24.0, 14.2), radius);
        self.contact((19.8, 20.4));
        self.contact((28.2, 20.4));
        self.turning((24.0, 5.6), 4.2, 0.9 * PI, 2.1 * PI);
    }

    fn ball_on_disc(&self, ratio: f64) {
        self.body((4.0, 22.0), (44.0, 27.5));
        self.ball((24.0, 14.0), 8.0);
        self.contact((24.0, 22.0));
        let half = (8.0 * ratio).clamp(4.0, 15.0);
        let y = 3.0;
        self.line(&[(24.0 - half, y), (24.0 + half, y)], Role::Accent);
        self.head((24.0 + half, y), 0.0);
        self.head((24.0 - half, y), PI);
    }

    fn block_on_ring(&self, ratio: f64) {
        self.ball((24.0, 22.5), 12.0);
        self.ring((24.0, 22.5), 7.0, Role::Ink);
        let half = (12.0 * ratio).clamp(4.5, 9.0);
        self.body((24.0 - half, 3.5), (24.0 + half, 10.5));
        self.contact((24.0, 10.5));
        self.turning((24.0, 22.5), 9.5, 0.8 * PI, 0.2 * PI);
    }

    fn gear(&self, centre: (f64, f64), radius: f64, teeth: usize, turn: f64) {
        let mut points = Vec::with_capacity(teeth * 4 + 1);
        let pitch = TAU / teeth as f64;
        for tooth in 0..=teeth {
            for (part, depth) in [(-0.30, -1.0), (-0.16, 1.0), (0.16, 1.0), (0.30, -1.0)] {
                if tooth == teeth && !points.is_empty() {
                    points.push(points[0]);
                    break;
                }
                let angle = turn + pitch * (tooth as f64 + part);
                let r = radius + depth * 1.25;
                points.push((centre.0 + r * angle.cos(), centre.1 + r * angle.sin()));
            }
        }
        let placed: Vec<_> = points.iter().map(|point| self.at(*point)).collect();
        self.pen.shape(&placed, Role::Trough);
        self.line(&points, Role::Ink);
        self.ring(centre, 1.8, Role::Ink);
    }

    fn gears(&self, ratio: f64) {
        let ratio = ratio.clamp(0.5, 2.0);
        let both = 20.0;
        let first = both / (1.0 + ratio);
        let second = both - first;
        let (left, y) = (4.0 + first, 17.0);
        let right = left + both;
        let teeth = |radius: f64| ((radius * 1.3).round() as usize).max(8);
        let wheel_teeth = teeth(second);
        let half_pitch = PI / wheel_teeth as f64;
        self.gear((left, y), first, teeth(first), 0.0);
        self.gear((right, y), second, wheel_teeth, PI + half_pitch);
        self.contact((left + first, y));
    }

    fn rollers(&self) {
        self.body((5.0, 7.0), (43.0, 11.5));
        self.body((5.0, 22.5), (43.0, 27.0));
        for x in [12.5, 24.0, 35.5] {
            self.ball((x, 17.0), 5.5);
            self.contact((x, 22.5));
        }
        self.load((24.0, 0.5), 5.5);
        self.line(&[(30.0, 3.5), (40.0, 3.5)], Role::Accent);
        self.head((40.0, 3.5), 0.0);
    }

    fn two_discs(&self, ratio: f64) {
        let ratio = ratio.clamp(0.5, 2.0);
        let first = 16.0 / (1.0 + ratio);
        let second = 16.0 - first;
        let upper = (24.0, 1.5 + first);
        let lower = (24.0, 1.5 + 2.0 * first + second);
        self.ball(upper, first);
        self.ball(lower, second);
        self.contact((24.0, 1.5 + 2.0 * first));
        self.turning(upper, first * 0.6, PI, 1.9 * PI);
        self.turning(lower, second * 0.6, 1.9 * PI, PI);
    }

    fn stated(&self) {
        let curve = |depth: f64, y: f64| -> Vec<(f64, f64)> {
            (0..=20)
                .map(|i| {
                    let x = -1.0 + f64::from(i) / 10.0;
                    (24.0 + 18.0 * x, y - depth * x * x)
                })
                .collect()
        };
        let drawn = |points: Vec<(f64, f64)>| match self.detail {
            Detail::Small => self.line(&points, Role::Quiet),
            Detail::Large => {
                for pair in points.chunks(2) {
                    self.line(pair, Role::Quiet);
                }
            }
        };
        drawn(curve(9.0, 18.0));
        drawn(curve(-9.0, 18.0));
        self.contact((24.0, 18.0));
    }

    fn beaker(&self) {
        let fluid = [(16.0, 19.0), (32.0, 19.0), (32.0, 31.0), (16.0, 31.0)];
        let placed: Vec<_> = fluid.iter().map(|point| self.at(*point)).collect();
        self.pen.shape(&placed, Role::Film);
        self.line(
            &[(14.0, 5.0), (16.0, 8.0), (16.0, 31.0), (32.0, 31.0), (32.0, 5.0)],
            Role::Ink,
        );
        self.line(&[(16.0, 19.0), (32.0, 19.0)], Role::Ink);
        self.line(&[(26.0, 2.0), (23.0, 28.0)], Role::Quiet);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const KINDS: [ContactKind; 8] = [
        ContactKind::BallOnThreeBalls,
        ContactKind::BallOnDisc,
        ContactKind::BlockOnRing,
        ContactKind::GearMesh,
        ContactKind::RollerOnWasher,
        ContactKind::TwoDiscs,
        ContactKind::Stated,
        ContactKind::Bench,
    ];

    #[test]
    fn every_kind_has_a_drawing_and_a_name_of_its_own() {
        let mut seen = BTreeSet::new();
        for kind in KINDS {
            for ratio in [1.0, 0.0, 1e9, f64::NAN] {
                let svg = ContactPicture { kind, ratio }.draw(Detail::Small).to_string();
                assert!(!svg.contains("NaN") && !svg.contains('#'), "{kind:?}");
                if ratio == 1.0 {
                    assert!(seen.insert(svg), "{kind:?} is drawn like another");
                }
            }
        }
        let words: BTreeSet<_> = KINDS.iter().map(|kind| kind.words()).collect();
        assert_eq!(words.len(), KINDS.len());
    }
}
