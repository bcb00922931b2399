//! The area of a contact, magnified, with a scale bar of its own. Surfaces move from left to right.

use crate::charts::pen::{Pen, Picture, arc};
use crate::charts::role::Role;
use crate::charts::section::clip::{Window, circle, strokes};
use crate::charts::section::layout::Layout;
use crate::charts::section::{Arrow, clip};
use crate::charts::section::{DimensionLine, Heads, Place, SectionChart, TextBox, dashed, draw_arrow, edges};
use crate::charts::svg::Svg;
use crate::charts::ticks::round_at_most;
use crate::units::DisplayPreferences;
use std::f64::consts::TAU;

/// The form of an area; lengths in m, along the motion and across it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AreaShape {
    /// An ellipse, or a circle.
    Ellipse {
        /// Whole axis along the motion.
        along_m: f64,
        /// Whole axis across it.
        across_m: f64,
    },
    /// A strip.
    Strip {
        /// Width, along the motion.
        along_m: f64,
        /// Length, across it.
        across_m: f64,
    },
    /// A rectangle.
    Rectangle {
        /// Side along the motion.
        along_m: f64,
        /// Side across it.
        across_m: f64,
    },
    /// A ring.
    Ring {
        /// Outer diameter.
        outer_m: f64,
        /// Inner diameter.
        inner_m: f64,
    },
    /// Known by its class alone: drawn in dashes, without sizes.
    Class(ClassForm),
}

/// A form without sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClassForm {
    /// A circle.
    Point,
    /// An ellipse.
    Elliptical,
    /// A strip.
    Line,
    /// A rectangle.
    Conformal,
    /// Not even the class is known.
    Unknown,
}

/// An area with its motion.
#[derive(Clone, Debug, PartialEq)]
pub struct AreaChart {
    /// Its form.
    pub form: AreaShape,
    /// Whether surfaces move one way or to and fro.
    pub motion: Heads,
    /// Short lines in the middle of a form without sizes.
    pub inside: Vec<String>,
    /// Lines below the drawing.
    pub notes: Vec<String>,
    /// How its numbers are written.
    pub shown: DisplayPreferences,
}

/// Greatest ratio of the sides that is drawn whole.
const LONGEST: f64 = 6.0;

impl AreaChart {
    /// Half of what is drawn along and across, and whether the longer side is cut.
    fn half(&self) -> ([f64; 2], bool) {
        let (along, across) = match self.form {
            AreaShape::Ellipse { along_m, across_m }
            | AreaShape::Strip { along_m, across_m }
            | AreaShape::Rectangle { along_m, across_m } => (along_m, across_m),
            AreaShape::Ring { outer_m, .. } => (outer_m, outer_m),
            AreaShape::Class(ClassForm::Line) => (0.45, 1.0),
            AreaShape::Class(ClassForm::Elliptical) => (0.5, 1.0),
            AreaShape::Class(_) => (1.0, 1.0),
        };
        let shorter = along.min(across);
        let cut = along.max(across) > LONGEST * shorter;
        let most = LONGEST * shorter;
        ([0.5 * along.min(most), 0.5 * across.min(most)], cut)
    }

    /// The same drawing as a section: one scale, lengths in rows and columns.
    pub(in crate::charts::section) fn section(&self) -> SectionChart {
        let ([along, across], cut) = self.half();
        // A cut side ends at the window; a whole one, and the arrow, have room in it.
        let tall = if cut && across > along {
            across
        } else {
            1.08 * across
        };
        let wide = if cut && along > across { along } else { 1.7 * along };
        let measured = !matches!(self.form, AreaShape::Class(_));
        let mut chart = SectionChart {
            window: [-wide.max(0.8 * tall), wide.max(0.8 * tall), -tall, tall],
            shapes: Vec::new(),
            across: Vec::new(),
            upright: Vec::new(),
            arrows: Vec::new(),
            load: None,
            forces: Vec::new(),
            notes: self.notes.clone(),
        };
        if measured {
            self.measures(&mut chart);
            let (from, to) = (-0.8 * chart.window[1], 0.8 * chart.window[1]);
            chart
                .arrows
                .push(Arrow::straight((from, 0.0), (to, 0.0), self.motion));
            // no longer than two thirds of what is drawn
            let bar = round_at_most(2.0 * chart.window[1] * 2.0 / 3.0);
            // It measures nothing in the drawing: no thin lines lead to it.
            let below = -100.0 * chart.window[1];
            chart.across.push(DimensionLine {
                from: (-0.5 * bar, below),
                to: (0.5 * bar, below),
                words: format!("scale: {}", length(bar, self.shown)),
            });
        }
        chart
    }

    fn measures(&self, chart: &mut SectionChart) {
        let upright = |long: f64, words: String| DimensionLine {
            from: (0.0, -0.5 * long),
            to: (0.0, 0.5 * long),
            words,
        };
        let across = |from: f64, to: f64, words: String| DimensionLine {
            from: (from, 0.0),
            to: (to, 0.0),
            words,
        };
        match self.form {
            AreaShape::Ellipse { along_m, across_m } => {
                let (a, b) = (0.5 * along_m, 0.5 * across_m);
                if (along_m / across_m - 1.0).abs() > 1e-6 {
                    let words = format!("whole width across {}", length(across_m, self.shown));
                    chart
                        .across
                        .push(across(0.0, a, format!("half-width {}", length(a, self.shown))));
                    chart.upright.push(upright(2.0 * b, words));
                } else {
                    chart
                        .across
                        .push(across(0.0, a, format!("radius {}", length(a, self.shown))));
                }
            }
            AreaShape::Rectangle { along_m, across_m } => {
                let half = 0.5 * along_m;
                let words = format!("along the motion {}", length(along_m, self.shown));
                chart.across.push(across(-half, half, words));
                chart.upright.push(upright(
                    across_m,
                    format!("across it {}", length(across_m, self.shown)),
                ));
            }
            AreaShape::Strip { along_m, across_m } => {
                let half = format!("half-width {}", length(0.5 * along_m, self.shown));
                chart.across.push(across(0.0, 0.5 * along_m, half));
                chart.upright.push(upright(
                    across_m,
                    format!("length {}", length(across_m, self.shown)),
                ));
            }
            AreaShape::Ring { outer_m, inner_m } => {
                let outer = format!("outside diameter {}", length(outer_m, self.shown));
                let inner = format!("inside diameter {}", length(inner_m, self.shown));
                chart.across.push(across(-0.5 * inner_m, 0.5 * inner_m, inner));
                chart.across.push(across(-0.5 * outer_m, 0.5 * outer_m, outer));
            }
            AreaShape::Class(_) => {}
        }
    }

    /// The drawing, with what it shows in words.
    pub fn draw(&self, finding: &str) -> Svg {
        let section = self.section();
        let layout = Layout::of(&section).with_words_inside(&self.inside);
        let mut picture = Picture::new(layout.width, layout.height);
        picture.draw(|pen| {
            self.fill(pen, &layout, section.window);
            for arrow in &section.arrows {
                draw_arrow(pen, &layout, arrow);
            }
            layout.lines(pen);
            layout.texts(pen);
        });
        picture.finish(finding)
    }

    fn outline(&self, long: [f64; 2]) -> Vec<Place> {
        let [a, b] = long;
        let round = match self.form {
            AreaShape::Ellipse { .. } | AreaShape::Ring { .. } => true,
            AreaShape::Strip { .. } | AreaShape::Rectangle { .. } => false,
            AreaShape::Class(class) => matches!(class, ClassForm::Point | ClassForm::Elliptical),
        };
        if round {
            arc((0.0, 0.0), [a, b], [0.0, TAU], 120)
        } else {
            vec![(-a, -b), (a, -b), (a, b), (-a, b), (-a, -b)]
        }
    }

    fn fill(&self, pen: &Pen<'_>, layout: &Layout, sides: [f64; 4]) {
        let window = Window::of(sides);
        let placed = |points: &[Place]| layout.all_at(points);
        let whole = match self.form {
            AreaShape::Ellipse { along_m, across_m }
            | AreaShape::Strip { along_m, across_m }
            | AreaShape::Rectangle { along_m, across_m } => [0.5 * along_m, 0.5 * across_m],
            AreaShape::Ring { .. } | AreaShape::Class(_) => self.half().0,
        };
        let outline = self.outline(whole);
        match self.form {
            AreaShape::Class(ClassForm::Unknown) => {}
            AreaShape::Class(_) => dashed(pen, &placed(&outline)),
            _ => {
                let closed = &outline[..outline.len() - 1];
                let inside = clip::clipped(closed, window);
                pen.shape(&placed(&inside), Role::Film);
                edges(pen, layout, strokes(&inside, window));
            }
        }
        if let AreaShape::Ring { inner_m, .. } = self.form {
            let inner = circle((0.0, 0.0), 0.5 * inner_m, sides);
            pen.shape(&placed(&inner), Role::Ground);
            pen.line(&placed(&inner), Role::Ink, 1.5);
        }
    }

    /// Every text of the drawing where it stands.
    pub(in crate::charts::section) fn boxes(&self) -> Vec<TextBox> {
        Layout::of(&self.section())
            .with_words_inside(&self.inside)
            .boxes()
    }

    /// Every text of the drawing.
    pub fn texts(&self) -> impl Iterator<Item = String> {
        self.boxes().into_iter().map(|text| text.words)
    }
}

/// `180 µm`, `12.7 mm`, `1.2 m`.
pub fn length(metres: f64, shown: DisplayPreferences) -> String {
    let (value, unit) = if metres < 0.995e-3 {
        (1e6 * metres, "µm")
    } else if metres < 0.9995 {
        (1e3 * metres, "mm")
    } else {
        (metres, "m")
    };
    // Drawings give diameters to a tenth of a millimetre.
    if unit == "mm" && value >= 100.0 {
        let tenths = (10.0 * value).round() / 10.0;
        return format!("{} {unit}", shown.dress(&tenths.to_string()));
    }
    format!("{} {unit}", shown.number(value))
}
