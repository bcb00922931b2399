//! Where everything on a strip goes, and how it is drawn.

use crate::charts::lanes::lanes;
use crate::charts::marks;
use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO, Width, on_strip};
use crate::charts::strip::{
    Anchors, Ends, ReferenceKind, ReferenceLine, RunKind, RunTick, StripChart, StripMark, Who,
};
use crate::charts::svg::Svg;
use crate::charts::ticks::{TICK_TEXT, Tick};

const TOP: f64 = 5.0;
const LEAST_LANES: f64 = 30.0;
const BELOW_LANES: f64 = 5.0;
const AXIS: f64 = 21.0;
const ARROW: f64 = 30.0;
const PER_CHARACTER: f64 = 6.6;

/// Where one mark is drawn, CSS pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::charts::strip) enum Place {
    Inside {
        x: f64,
        lo: f64,
        hi: f64,
    },
    Cap {
        x: f64,
        lo: f64,
        tip: f64,
    },
    LeftEdge {
        x: f64,
    },
    RightEdge {
        x: f64,
    },
    /// Data-sheet values alone.
    Runs {
        lo: f64,
        hi: f64,
    },
}

struct Layout {
    width: Width,
    pitch: f64,
    radius: f64,
    height: f64,
    first_lane: f64,
    axis_y: f64,
}

impl Layout {
    fn new(width: Width, lane_count: usize) -> Self {
        let (pitch, radius) = pitch_and_radius(lane_count);
        let used = lane_count as f64 * pitch;
        let tall = used.max(LEAST_LANES);
        let axis_y = TOP + tall + BELOW_LANES;
        Self {
            width,
            pitch,
            radius,
            height: axis_y + AXIS,
            first_lane: TOP + (tall - used) / 2.0 + pitch / 2.0,
            axis_y,
        }
    }

    fn lane_y(&self, lane: usize) -> f64 {
        self.first_lane + lane as f64 * self.pitch
    }
}

/// The more lanes, the closer.
fn pitch_and_radius(lane_count: usize) -> (f64, f64) {
    match lane_count {
        0..=6 => (13.0, 4.6),
        7..=12 => (11.5, 4.2),
        _ => (10.0, 3.6),
    }
}

impl StripChart {
    /// The drawing.
    pub fn draw(&self, width: Width) -> Svg {
        let (_, radius) = pitch_and_radius(self.marks.len());
        let places: Vec<Option<Place>> = self
            .marks
            .iter()
            .map(|mark| self.place(mark, width, radius))
            .collect();
        let spans: Vec<(f64, f64)> = places
            .iter()
            .zip(&self.marks)
            .map(|(place, mark)| place.map_or((f64::NAN, f64::NAN), |place| taken(place, mark, radius)))
            .collect();
        let chosen = lanes(&spans, 3.0);
        let lane_count = chosen.iter().flatten().max().map_or(0, |lane| lane + 1);
        let layout = Layout::new(width, lane_count);
        let mut picture = Picture::new(width.pixels(), layout.height);
        picture.draw(|pen| self.draw_ground(pen, &layout));
        for reference in &self.references {
            picture.draw_titled(width.said(&reference.title), |pen| {
                draw_reference(pen, &layout, reference)
            });
        }
        for ((mark, place), lane) in self.marks.iter().zip(&places).zip(&chosen) {
            if let (Some(place), Some(lane)) = (place, lane) {
                picture.draw_titled(width.said(&mark.title), |pen| {
                    draw_mark(pen, &layout, mark, *place, *lane)
                });
            }
        }
        picture.finish(&self.finding)
    }

    /// Where a mark goes; `None` where nothing of it can be drawn.
    pub(in crate::charts::strip) fn place(
        &self,
        mark: &StripMark,
        width: Width,
        radius: f64,
    ) -> Option<Place> {
        let edge = width.pixels();
        let Some(span) = mark.span else {
            return runs_place(mark, width);
        };
        let mean = match (mark.ends, self.cap) {
            (Ends::Capped, Some(cap)) => cap,
            _ => span.mean,
        };
        if !mean.is_finite() {
            return None;
        }
        if mean < POSITION_LO {
            return Some(Place::LeftEdge { x: radius + 8.0 });
        }
        if mean > POSITION_HI {
            return Some(Place::RightEdge {
                x: edge - radius - 8.0,
            });
        }
        let x = width.x(mean);
        let lo = end_x(span.lo, x, width);
        if mark.ends == Ends::Capped {
            let tip = (x + ARROW).min(edge - 1.0);
            return Some(Place::Cap { x, lo, tip });
        }
        Some(Place::Inside {
            x,
            lo,
            hi: end_x(span.hi, x, width),
        })
    }

    fn draw_ground(&self, pen: &Pen<'_>, layout: &Layout) {
        let width = layout.width;
        let edge = width.pixels();
        let (top, bottom) = (1.0, layout.axis_y);
        if let Some(band) = self.band.filter(|band| band.is_finite() && *band > 0.0) {
            for line in &self.references {
                if line.kind == ReferenceKind::KnownMiddle || !on_strip(line.position) {
                    continue;
                }
                let (lo, hi) = self.axis.band(line.position, band);
                let (lo, hi) = (width.x(lo.max(POSITION_LO)), width.x(hi.min(POSITION_HI)));
                pen.area((lo, top), (hi, bottom), Role::Band, 0.75);
            }
        }
        pen.line(&[(0.0, bottom), (edge, bottom)], Role::Rule, 1.0);
        if self.anchors != Anchors::Both {
            for (from, to) in [
                ((0.5, top), (edge - 0.5, top)),
                ((0.5, top), (0.5, bottom)),
                ((edge - 0.5, top), (edge - 0.5, bottom)),
            ] {
                pen.dashes(from, to, (6.0, 4.0), Role::Quiet, 1.0);
            }
        }
        draw_ticks(pen, layout, &self.axis.ticks(width), &self.axis.unit);
        if let Some(cap) = self.cap.filter(|cap| on_strip(*cap)) {
            let x = width.x(cap);
            pen.dashes((x, bottom - 12.0), (x, bottom + 5.0), (2.0, 2.0), Role::Ink, 1.5);
        }
    }
}

fn draw_ticks(pen: &Pen<'_>, layout: &Layout, ticks: &[Tick], unit: &str) {
    let y = layout.axis_y;
    for tick in ticks {
        let x = layout.width.x(tick.position);
        let length = if tick.label.is_empty() { 3.0 } else { 5.0 };
        pen.line(&[(x, y), (x, y + length)], Role::Rule, 1.0);
    }
    for tick in ticks.iter().filter(|tick| !tick.label.is_empty()) {
        let x = layout.width.x(tick.position);
        pen.text(&tick.label, (x, y + 12.5), Side::Middle, Role::Quiet, TICK_TEXT);
    }
    let right = layout.width.pixels() - 1.0;
    pen.text(unit, (right, y + 12.5), Side::End, Role::Quiet, TICK_TEXT);
}

/// The end of a whisker: where it lies, or the edge of the strip; the mark itself where it is not a number.
pub(in crate::charts::strip) fn end_x(position: f64, mark_x: f64, width: Width) -> f64 {
    if position.is_finite() {
        width.x(position.clamp(POSITION_LO, POSITION_HI))
    } else {
        mark_x
    }
}

fn runs_place(mark: &StripMark, width: Width) -> Option<Place> {
    let xs: Vec<f64> = mark
        .runs
        .iter()
        .filter_map(|run| run.lo.or(run.hi))
        .filter(|position| on_strip(*position))
        .map(|position| width.x(position))
        .collect();
    let lo = xs.iter().copied().reduce(f64::min)?;
    let hi = xs.iter().copied().reduce(f64::max)?;
    Some(Place::Runs { lo, hi })
}

/// The span of the lane that a mark needs.
fn taken(place: Place, mark: &StripMark, radius: f64) -> (f64, f64) {
    let reach = radius * 1.3;
    let words = mark.value_words.chars().count() as f64 * PER_CHARACTER + 6.0;
    match place {
        Place::Inside { x, lo, hi } => (lo.min(x - reach), hi.max(x + reach)),
        Place::Cap { x, lo, tip } => (lo.min(x - reach), tip.max(x + reach)),
        Place::LeftEdge { x } => (0.0, x + reach + words),
        Place::RightEdge { x } => (x - reach - words, x + reach + 8.0),
        Place::Runs { lo, hi } => (lo - reach, hi + reach),
    }
}

fn draw_reference(pen: &Pen<'_>, layout: &Layout, reference: &ReferenceLine) {
    let bottom = layout.axis_y;
    if on_strip(reference.position) {
        let x = layout.width.x(reference.position);
        let (from, to) = ((x, 0.0), (x, bottom));
        match reference.kind {
            ReferenceKind::KnownGood => pen.line(&[from, to], Role::Reference, 1.75),
            ReferenceKind::KnownPoor => pen.dashes(from, to, (5.0, 3.5), Role::Reference, 1.75),
            ReferenceKind::KnownMiddle => pen.dashes(from, to, (1.5, 3.0), Role::Reference, 1.25),
        }
    }
    for run in &reference.runs {
        if let Some(position) = run.lo.or(run.hi).filter(|position| on_strip(*position)) {
            let x = layout.width.x(position);
            pen.line(&[(x, bottom - 6.0), (x, bottom)], Role::Reference, 1.0);
        }
    }
}

fn draw_mark(pen: &Pen<'_>, layout: &Layout, mark: &StripMark, place: Place, lane: usize) {
    let y = layout.lane_y(lane);
    let role = match mark.who {
        Who::Candidate(index) => Role::Candidate(index),
        Who::Control => Role::Control,
        Who::Said => Role::Loss,
    };
    // runs that would stand in the words of a mark at the edge are read from the table
    let words = taken(place, mark, layout.radius);
    let at_edge = matches!(place, Place::LeftEdge { .. } | Place::RightEdge { .. });
    let is_hidden = |x: f64| at_edge && (words.0..=words.1).contains(&x);
    for run in &mark.runs {
        let ends = [run.lo, run.hi].into_iter().flatten();
        if !ends.map(|end| layout.width.x(end)).any(is_hidden) {
            draw_run(pen, layout, run, mark.who, y);
        }
    }
    let radius = layout.radius;
    let symbol = |x: f64| match mark.who {
        Who::Candidate(index) => marks::solid(pen, (x, y), radius, index),
        Who::Control => {
            pen.disc((x, y), radius + 1.0, Role::Ground);
            pen.dashed_ring((x, y), radius, Role::Control, 1.5);
        }
        Who::Said => marks::said(pen, (x, y), radius),
    };
    match place {
        Place::Inside { x, lo, hi } => {
            pen.line(&[(lo, y), (hi, y)], role, 1.75);
            symbol(x);
        }
        Place::Cap { x, lo, tip } => {
            pen.line(&[(lo, y), (tip, y)], role, 1.75);
            arrow_head(pen, (tip, y), 1.0, role);
            symbol(x);
        }
        Place::LeftEdge { x } => {
            arrow_head(pen, (1.0, y), -1.0, role);
            symbol(x);
            let at = (x + radius + 5.0, y);
            pen.text(&mark.value_words, at, Side::Start, Role::Ink, TICK_TEXT);
        }
        Place::RightEdge { x } => {
            arrow_head(pen, (layout.width.pixels() - 1.0, y), 1.0, role);
            symbol(x);
            let at = (x - radius - 5.0, y);
            pen.text(&mark.value_words, at, Side::End, Role::Ink, TICK_TEXT);
        }
        Place::Runs { .. } => {}
    }
}

/// A tip that points right (`way` 1) or left (-1).
pub(in crate::charts::strip) fn arrow_head(pen: &Pen<'_>, tip: (f64, f64), way: f64, role: Role) {
    let (x, y) = tip;
    pen.line(
        &[(x - 5.0 * way, y - 3.5), (x, y), (x - 5.0 * way, y + 3.5)],
        role,
        1.75,
    );
}

fn draw_run(pen: &Pen<'_>, layout: &Layout, run: &RunTick, who: Who, y: f64) {
    let shown = |position: Option<f64>| position.filter(|position| on_strip(*position));
    let width = layout.width;
    let role = match who {
        Who::Candidate(index) => Role::Candidate(index),
        Who::Control => Role::Control,
        Who::Said => Role::Loss,
    };
    let Some(first) = shown(run.lo).or(shown(run.hi)) else {
        return;
    };
    let x = width.x(first);
    match (run.kind, who) {
        (RunKind::DataSheet, Who::Candidate(index)) => marks::open(pen, (x, y), layout.radius * 0.9, index),
        (RunKind::DataSheet, Who::Control | Who::Said) => pen.ring((x, y), layout.radius * 0.9, role, 1.0),
        (RunKind::Measured, _) => match (shown(run.lo), shown(run.hi)) {
            (Some(lo), Some(hi)) if lo != hi => {
                let under = y + 4.5;
                pen.line(&[(width.x(lo), under), (width.x(hi), under)], role, 1.0);
            }
            _ => pen.line(&[(x, y - 4.0), (x, y + 4.0)], role, 1.0),
        },
    }
}

#[cfg(test)]
mod tests;
