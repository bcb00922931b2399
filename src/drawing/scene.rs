//! A section as it grows: bodies, lengths with their numbers, motions.

use crate::charts::{Arrow, DimensionLine, Heads, Place, SectionChart, Shape, disc, length};
use crate::contact::depicted::{Bodies, Moves};
use crate::drawing::{Say, gears, pairs, round};

/// A section and the numbers in it.
pub(super) struct Scene {
    chart: SectionChart,
    numbers: Vec<(String, String)>,
    say: Say,
}

impl Scene {
    /// The section of these bodies; `None` where they are not known.
    pub(super) fn of(bodies: &Bodies, say: Say) -> Option<Self> {
        match *bodies {
            Bodies::FourBalls { ball_diameter_m } => Some(round::four_balls(ball_diameter_m, say)),
            Bodies::Pair {
                upper,
                lower,
                stroke_m,
            } => Some(pairs::pair(upper, lower, stroke_m, say)),
            Bodies::Gears(gears) => Some(gears::gears(&gears, say)),
            Bodies::BetweenRings {
                element,
                element_diameter_m,
                pitch_diameter_m,
                elements,
                moves,
            } => Some(round::between_rings(
                element,
                [element_diameter_m, pitch_diameter_m],
                elements,
                moves,
                say,
            )),
            Bodies::BetweenWashers {
                element,
                element_diameter_m,
                mean_diameter_m,
            } => Some(pairs::between_washers(
                element,
                element_diameter_m,
                mean_diameter_m,
                say,
            )),
            Bodies::Worm {
                worm_pitch_diameter_m,
                wheel_pitch_diameter_m,
                wheel_face_width_m,
            } => Some(round::worm(
                worm_pitch_diameter_m,
                wheel_pitch_diameter_m,
                wheel_face_width_m,
                say,
            )),
            Bodies::InBush {
                inner,
                diameter_m,
                clearance_m,
                moves,
            } => Some(round::in_bush(inner, diameter_m, clearance_m, moves, say)),
            Bodies::FlatOnFlat {
                upper,
                length_m,
                lower,
                moves,
            } => Some(pairs::flat_on_flat(upper, length_m, lower, moves, say)),
            Bodies::Pad {
                outer_m,
                inner_m,
                pitch_diameter_m,
            } => Some(pairs::pad(outer_m, inner_m, pitch_diameter_m, say)),
            Bodies::Cam(cam) => Some(round::cam(&cam, say)),
            Bodies::CrossedWires {
                wire_diameter_m,
                crossing_deg,
            } => Some(round::crossed_wires(wire_diameter_m, crossing_deg, say)),
            Bodies::NotKnown => None,
        }
    }

    /// An empty section of that window: left, right, bottom, top.
    pub(super) fn new(window: [f64; 4], say: Say) -> Self {
        Self {
            chart: SectionChart {
                window,
                shapes: Vec::new(),
                across: Vec::new(),
                upright: Vec::new(),
                arrows: Vec::new(),
                load: None,
                forces: Vec::new(),
                notes: Vec::new(),
            },
            numbers: Vec::new(),
            say,
        }
    }

    pub(super) fn window(&self) -> [f64; 4] {
        self.chart.window
    }

    pub(super) fn finish(self) -> (SectionChart, Vec<(String, String)>) {
        (self.chart, self.numbers)
    }

    pub(super) fn shape(&mut self, shape: Shape) {
        self.chart.shapes.push(shape);
    }

    /// A block with upright sides, as wide to the left as to the right, between two heights.
    pub(super) fn block(&mut self, half_width: f64, from: f64, to: f64) {
        self.shape(Shape::Body(vec![
            (-half_width, from),
            (half_width, from),
            (half_width, to),
            (-half_width, to),
        ]));
    }

    /// A round body, its middle above the origin.
    pub(super) fn round(&mut self, height: f64, radius: f64) {
        let outline = disc((0.0, height), radius, self.window());
        self.shape(Shape::Body(outline));
    }

    /// A length in a row below.
    pub(super) fn across(&mut self, label: &str, from: Place, to: Place) {
        let metres = (to.0 - from.0).abs();
        let words = self.number(label, metres);
        self.chart.across.push(DimensionLine { from, to, words });
    }

    /// A length in a column at the right.
    pub(super) fn upright(&mut self, label: &str, from: Place, to: Place) {
        let metres = (to.1 - from.1).abs();
        let words = self.number(label, metres);
        self.chart.upright.push(DimensionLine { from, to, words });
    }

    fn number(&mut self, label: &str, metres: f64) -> String {
        let words = length(metres, self.say.shown);
        self.numbers.push((label.to_string(), words.clone()));
        format!("{label} {words}")
    }

    /// A length that is told below the drawing.
    pub(super) fn told(&mut self, label: &str, metres: f64) {
        let words = self.number(label, metres);
        self.chart.notes.push(words);
    }

    pub(super) fn note(&mut self, words: impl Into<String>) {
        self.chart.notes.push(words.into());
    }

    pub(super) fn arrow(&mut self, arrow: Arrow) {
        self.chart.arrows.push(arrow);
    }

    /// An arrow round a middle, against the clock or with it, where the body moves; nothing where it stands still.
    pub(super) fn turn(&mut self, middle: Place, radius: f64, from: f64, to: f64, moves: Moves) {
        if let Some(heads) = heads(moves) {
            self.arrow(Arrow::round(middle, radius, from, to, heads));
        }
    }

    /// A straight arrow from left to right where the body moves.
    pub(super) fn slide(&mut self, middle: Place, half: f64, moves: Moves) {
        if let Some(heads) = heads(moves) {
            let (x, y) = middle;
            self.arrow(Arrow::straight((x - half, y), (x + half, y), heads));
        }
    }

    /// The load's arrow from above onto a place.
    pub(super) fn load(&mut self, tip: Place) {
        if let Some(load) = self.say.load() {
            self.chart.load = Some((tip, format!("load {load}")));
        }
    }

    /// The load's arrow inside the drawing, its number below.
    pub(super) fn force(&mut self, from: Place, tip: Place) {
        if let Some(load) = self.say.load() {
            self.chart.forces.push([from, tip]);
            self.note(format!("load on this contact {load}"));
        }
    }
}

fn heads(moves: Moves) -> Option<Heads> {
    match moves {
        Moves::Still => None,
        Moves::OneWay | Moves::SlidesOneWay => Some(Heads::One),
        Moves::ToAndFro => Some(Heads::Both),
    }
}
