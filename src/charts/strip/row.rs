//! A test as one row of a figure: every candidate in the lane that it has in all rows, reference lines left to the page,
//! which draws them once through all rows.

use crate::charts::marks;
use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO, Width, on_strip};
use crate::charts::strip::draw::{Place, arrow_head};
use crate::charts::strip::{ReferenceKind, StripChart, StripMark, Who};
use crate::charts::svg::Svg;

/// Rows have one drawing for every width of page.
const WIDTH: Width = Width::Narrow;
const LEAST_HEIGHT: f64 = 26.0;
const AROUND_LANES: f64 = 5.0;
const WORDS: f64 = 9.0;

/// Where the lanes of a row lie, CSS pixels.
struct Lanes {
    pitch: f64,
    radius: f64,
    height: f64,
    first: f64,
}

impl Lanes {
    /// The more, the closer.
    fn of(count: usize) -> Self {
        let pitch = match count {
            0..=3 => 8.0,
            4..=6 => 7.0,
            _ => 6.0,
        };
        let used = pitch * count as f64;
        let height = (used + AROUND_LANES).max(LEAST_HEIGHT);
        Self {
            pitch,
            radius: 0.48 * pitch,
            height,
            first: (height - used + pitch) / 2.0,
        }
    }

    fn y(&self, lane: usize) -> f64 {
        self.first + lane as f64 * self.pitch
    }
}

impl StripChart {
    /// The drawing as a row, with a lane for each candidate of `order`. Other candidates, which failed a requirement, and
    /// control fluids stand hollow in the middle, without an interval.
    pub fn draw_row(&self, order: &[usize]) -> Svg {
        let lanes = Lanes::of(order.len());
        let mut picture = Picture::new(WIDTH.pixels(), lanes.height);
        picture.draw(|pen| {
            self.draw_tint(pen, lanes.height);
            for (lane, index) in order.iter().enumerate() {
                if !self.marks.iter().any(|mark| mark.who == Who::Candidate(*index)) {
                    let at = (2.0, lanes.y(lane));
                    pen.text("not run", at, Side::Start, Role::Quiet, WORDS);
                }
            }
        });
        let lane_of = |mark: &StripMark| order.iter().position(|index| mark.who == Who::Candidate(*index));
        let (inside, others): (Vec<_>, Vec<_>) =
            (self.marks.iter()).partition(|mark| lane_of(mark).is_some());
        for mark in others.into_iter().chain(inside) {
            if let Some(place) = self.place(mark, WIDTH, lanes.radius) {
                let lane = lane_of(mark);
                let y = lane.map_or(lanes.height / 2.0, |lane| lanes.y(lane));
                picture.draw_titled(&mark.title, |pen| {
                    draw_mark(pen, mark.who, place, (y, lanes.radius), lane.is_some());
                });
            }
        }
        picture.finish("")
    }

    /// Where a single result cannot be told from the known good.
    fn draw_tint(&self, pen: &Pen<'_>, height: f64) {
        let mut goods = self
            .references
            .iter()
            .filter(|line| line.kind == ReferenceKind::KnownGood);
        let band = self.band.filter(|band| band.is_finite() && *band > 0.0);
        let (Some(good), Some(band)) = (goods.find(|line| on_strip(line.position)), band) else {
            return;
        };
        let (lo, hi) = self.axis.band(good.position, band);
        let (lo, hi) = (WIDTH.x(lo.max(POSITION_LO)), WIDTH.x(hi.min(POSITION_HI)));
        pen.area((lo, 0.0), (hi, height), Role::Band, 0.75);
        // the page's line, where the tint lies over it
        let x = WIDTH.x(1.0);
        pen.line(&[(x, 0.0), (x, height)], Role::Reference, 1.75);
    }
}

fn draw_mark(pen: &Pen<'_>, who: Who, place: Place, (y, radius): (f64, f64), is_inside: bool) {
    let symbol = |x: f64| match who {
        Who::Candidate(index) if is_inside => marks::solid(pen, (x, y), radius, index),
        Who::Candidate(index) => marks::failed(pen, (x, y), radius, index),
        Who::Control => pen.dashed_ring((x, y), radius, Role::Control, 1.5),
        Who::Said => marks::said(pen, (x, y), radius),
    };
    let role = match who {
        Who::Candidate(index) if is_inside => Role::Candidate(index),
        _ => Role::Control,
    };
    match place {
        Place::Inside { x, lo, hi } => {
            if is_inside {
                pen.line(&[(lo, y), (hi, y)], role, 1.75);
            }
            symbol(x);
        }
        Place::Cap { x, tip, .. } => {
            pen.line(&[(x, y), (tip, y)], role, 1.75);
            arrow_head(pen, (tip, y), 1.0, role);
            symbol(x);
        }
        Place::LeftEdge { x } => {
            arrow_head(pen, (1.0, y), -1.0, role);
            symbol(x);
        }
        Place::RightEdge { x } => {
            arrow_head(pen, (WIDTH.pixels() - 1.0, y), 1.0, role);
            symbol(x);
        }
        Place::Runs { lo, hi } => {
            for x in [lo, hi] {
                match who {
                    Who::Candidate(index) => marks::open(pen, (x, y), 0.9 * radius, index),
                    Who::Control | Who::Said => pen.ring((x, y), 0.9 * radius, role, 1.0),
                }
            }
        }
    }
}
