//! Where everything of a section drawing stands, in CSS pixels.

use crate::charts::pen::{Pen, Side};
use crate::charts::role::Role;
use crate::charts::section::{DimensionLine, Place, SectionChart, TextBox, head};

/// Width of every drawing.
pub(in crate::charts::section) const WIDTH: f64 = 360.0;
/// Greatest height of the bodies.
const TALLEST: f64 = 230.0;
const EDGE: f64 = 8.0;
/// Above the bodies: the load's arrow and its text.
const LOAD_ROW: f64 = 40.0;
/// Below them: a length and its text.
const ROW: f64 = 31.0;
/// At their right: an upright length and its text.
const COLUMN: f64 = 32.0;
const NOTE: f64 = 16.0;
/// Size of every text.
pub(in crate::charts::section) const TEXT: f64 = 12.0;
/// No wider than this per character.
const PER_CHARACTER: f64 = 7.0;

/// A text, its middle or start, and its direction.
struct Written {
    words: String,
    at: (f64, f64),
    side: Side,
    upright: Upright,
    role: Role,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Upright {
    Yes,
    No,
}

/// The layout of one drawing.
pub(in crate::charts::section) struct Layout {
    pub(in crate::charts::section) width: f64,
    pub(in crate::charts::section) height: f64,
    pub(in crate::charts::section) scale: f64,
    window: [f64; 4],
    left: f64,
    top: f64,
    texts: Vec<Written>,
    /// Thin lines of lengths.
    thin: Vec<[(f64, f64); 2]>,
    /// Ends of lengths: the tip and where its arrow comes from.
    tips: Vec<[(f64, f64); 2]>,
    load: Option<[(f64, f64); 2]>,
}

/// Width that a text takes, generously.
fn wide(words: &str) -> f64 {
    words.chars().count() as f64 * PER_CHARACTER
}

/// A note in lines that fit the drawing.
fn wrapped(note: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in note.split_whitespace() {
        let line = lines
            .last_mut()
            .filter(|line| line.is_empty() || wide(line) + PER_CHARACTER + wide(word) <= WIDTH - 2.0 * EDGE);
        match line {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_string()),
        }
    }
    lines
}

impl Layout {
    pub(in crate::charts::section) fn of(chart: &SectionChart) -> Self {
        let [left, right, bottom, top] = chart.window;
        let room = WIDTH - 2.0 * EDGE - COLUMN * chart.upright.len() as f64;
        let scale = (room / (right - left)).min(TALLEST / (top - bottom));
        let head = if chart.load.is_some() { LOAD_ROW } else { EDGE };
        let drawn = scale * (top - bottom);
        let upright = chart.upright.iter().map(|measure| wide(&measure.words));
        let tall = upright.fold(drawn, f64::max);
        let rows = ROW * chart.across.len() as f64;
        let lines: Vec<String> = chart.notes.iter().flat_map(|note| wrapped(note)).collect();
        let notes = NOTE * lines.len() as f64;
        let mut layout = Self {
            width: WIDTH,
            height: (head + tall + EDGE + rows + notes + EDGE).ceil(),
            scale,
            window: chart.window,
            left: EDGE + 0.5 * (room - scale * (right - left)),
            top: head + 0.5 * (tall - drawn),
            texts: Vec::new(),
            thin: Vec::new(),
            tips: Vec::new(),
            load: None,
        };
        let mut across: Vec<&DimensionLine> = chart.across.iter().collect();
        across.sort_by(|a, b| (a.to.0 - a.from.0).abs().total_cmp(&(b.to.0 - b.from.0).abs()));
        for (row, measure) in across.into_iter().enumerate() {
            layout.across(measure, head + tall + EDGE + ROW * row as f64);
        }
        for (column, measure) in chart.upright.iter().enumerate() {
            layout.upright(measure, EDGE + room + COLUMN * column as f64, [head, head + tall]);
        }
        for (line, note) in lines.iter().enumerate() {
            let y = head + tall + EDGE + rows + NOTE * (line as f64 + 0.5);
            layout.write(note, (EDGE, y), Side::Start, Role::Quiet);
        }
        if let Some((tip, words)) = &chart.load {
            layout.load(*tip, words);
        }
        layout
    }

    /// With lines in the middle of the window, one below the other.
    pub(in crate::charts::section) fn with_words_inside(mut self, lines: &[String]) -> Self {
        let [left, right, bottom, top] = self.window;
        let (x, y) = self.at((0.5 * (left + right), 0.5 * (bottom + top)));
        let first = y - 0.5 * NOTE * (lines.len() as f64 - 1.0);
        for (line, words) in lines.iter().enumerate() {
            self.write(words, (x, first + NOTE * line as f64), Side::Middle, Role::Quiet);
        }
        self
    }

    /// Where a place of the section stands in the drawing.
    pub(in crate::charts::section) fn at(&self, (x, y): Place) -> (f64, f64) {
        let [left, _, _, top] = self.window;
        (
            self.left + self.scale * (x - left),
            self.top + self.scale * (top - y),
        )
    }

    /// Where several places stand.
    pub(in crate::charts::section) fn all_at(&self, places: &[Place]) -> Vec<(f64, f64)> {
        places.iter().map(|place| self.at(*place)).collect()
    }

    fn write(&mut self, words: &str, at: (f64, f64), side: Side, role: Role) {
        self.texts.push(Written {
            words: words.to_string(),
            at,
            side,
            upright: Upright::No,
            role,
        });
    }

    /// A length in its row: the line, its ends, thin lines up to what it measures, the text below.
    fn across(&mut self, measure: &DimensionLine, top: f64) {
        let [left, right, ..] = self.window;
        let y = top + 8.0;
        let inside = |x: f64| x.clamp(left, right);
        let ends = [measure.from, measure.to].map(|(x, at)| {
            let (px, py) = self.at((inside(x), at));
            ((px, y), py, x == inside(x))
        });
        let [(a, ..), (b, ..)] = ends;
        self.length(a, b, ends.map(|(.., whole)| whole));
        for (end, from, whole) in ends {
            if whole {
                self.thin.push([(end.0, from.min(y)), (end.0, y + 4.0)]);
            }
        }
        let half = 0.5 * wide(&measure.words);
        let middle = (0.5 * (a.0 + b.0)).clamp(EDGE + half, (WIDTH - EDGE - half).max(EDGE + half));
        self.write(&measure.words, (middle, y + 13.0), Side::Middle, Role::Ink);
    }

    /// A length in its column: the text at the left of its line, reading upwards.
    fn upright(&mut self, measure: &DimensionLine, left: f64, [from, to]: [f64; 2]) {
        let [_, _, bottom, top] = self.window;
        let x = left + 25.0;
        let inside = |y: f64| y.clamp(bottom, top);
        let ends = [measure.from, measure.to].map(|(at, y)| {
            let (px, py) = self.at((at, inside(y)));
            ((x, py), px, y == inside(y))
        });
        let [(a, ..), (b, ..)] = ends;
        self.length(a, b, ends.map(|(.., whole)| whole));
        for (end, starts, whole) in ends {
            if whole {
                self.thin.push([(starts.min(x), end.1), (x + 4.0, end.1)]);
            }
        }
        let half = 0.5 * wide(&measure.words);
        let middle = (0.5 * (a.1 + b.1)).min(to - half).max(from + half);
        self.texts.push(Written {
            words: measure.words.clone(),
            at: (x - 11.0, middle),
            side: Side::Middle,
            upright: Upright::Yes,
            role: Role::Ink,
        });
    }

    /// The line of a length; an end that lies outside has no tip, tips of a short one come from outside.
    fn length(&mut self, a: (f64, f64), b: (f64, f64), whole: [bool; 2]) {
        const SHORT: f64 = 22.0;
        const STUB: f64 = 12.0;
        let long = (b.0 - a.0).hypot(b.1 - a.1);
        self.thin.push([a, b]);
        let along = if long > 0.0 {
            ((b.0 - a.0) / long, (b.1 - a.1) / long)
        } else {
            (1.0, 0.0)
        };
        for (end, way, whole) in [(a, 1.0, whole[0]), (b, -1.0, whole[1])] {
            let way = if long < SHORT { -way } else { way };
            let from = (end.0 + way * STUB * along.0, end.1 + way * STUB * along.1);
            if whole {
                self.tips.push([from, end]);
                self.thin.push([from, end]);
            }
        }
    }

    /// The arrow of the load, and its text at the side that has room.
    fn load(&mut self, tip: Place, words: &str) {
        let (x, y) = self.at(tip);
        self.load = Some([(x, 6.0), (x, y)]);
        let room = WIDTH - EDGE - (x + 10.0);
        let (at, side) = if wide(words) <= room {
            (x + 10.0, Side::Start)
        } else {
            (x - 10.0, Side::End)
        };
        self.write(words, (at, 15.0), side, Role::Ink);
    }

    /// The lines of lengths and load.
    pub(in crate::charts::section) fn lines(&self, pen: &Pen<'_>) {
        for line in &self.thin {
            pen.line(line, Role::Control, 0.75);
        }
        for [from, tip] in &self.tips {
            head(pen, *from, *tip, Role::Control);
        }
        if let Some([from, tip]) = self.load {
            pen.line(&[from, tip], Role::Loss, 2.0);
            head(pen, from, tip, Role::Loss);
        }
    }

    /// The arrow of a force inside the drawing.
    pub(in crate::charts::section) fn force(&self, pen: &Pen<'_>, [from, tip]: [Place; 2]) {
        let (from, tip) = (self.at(from), self.at(tip));
        pen.line(&[from, tip], Role::Loss, 2.0);
        head(pen, from, tip, Role::Loss);
    }

    /// The texts.
    pub(in crate::charts::section) fn texts(&self, pen: &Pen<'_>) {
        for (text, ground) in self.texts.iter().zip(self.boxes()) {
            // Thin lines that run behind a text stop beside it.
            let [left, top, right, bottom] = ground.sides;
            if text.role == Role::Ink {
                pen.area((left, top), (right, bottom), Role::Ground, 1.0);
            }
            match text.upright {
                Upright::No => pen.text(&text.words, text.at, text.side, text.role, TEXT),
                Upright::Yes => pen.upright(&text.words, text.at, text.role, TEXT),
            }
        }
    }

    /// What every text takes up.
    pub(in crate::charts::section) fn boxes(&self) -> Vec<TextBox> {
        let boxed = |text: &Written| {
            let (long, thick) = (wide(&text.words), TEXT * 1.2);
            let (x, y) = text.at;
            let (w, h) = match text.upright {
                Upright::No => (long, thick),
                Upright::Yes => (thick, long),
            };
            let left = match text.side {
                Side::Start => x,
                Side::Middle => x - 0.5 * w,
                Side::End => x - w,
            };
            TextBox {
                words: text.words.clone(),
                sides: [left, y - 0.5 * h, left + w, y + 0.5 * h],
            }
        };
        self.texts.iter().map(boxed).collect()
    }
}
