//! The control chart of a reference oil: run after run with centre, limits, weighted mean and signals.

use crate::charts::pen::{Pen, Picture, Side};
use crate::charts::ticks::{TICK_TEXT, even_values, mark_beside};
use crate::charts::{AxisKind, Role, Svg, Width};
use crate::units::InUnit;

/// One run of the reference oil, on the working scale.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlPoint {
    /// What it read.
    pub reading: f64,
    /// The weighted mean after it.
    pub weighted_mean: f64,
    /// What stands above it where a rule fired, a short number; empty where none did.
    pub signal: String,
    /// Date and value, for a pointer that rests on it.
    pub title: String,
}

/// Runs with one set of limits, on the working scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControlStretch {
    /// Place of its first run.
    pub first: usize,
    /// Number of its runs.
    pub runs: usize,
    /// Lower limit, centre, upper limit; `None` where there are none.
    pub limits: Option<(f64, f64, f64)>,
    /// Whether the limits are provisional: they are drawn dashed.
    pub certainty: Certainty,
}

/// How sure limits are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// From enough runs.
    Settled,
    /// From few runs, or from the method's precision.
    Provisional,
}

/// A control chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlChart {
    /// How values of the unit lie on the working scale.
    pub kind: AxisKind,
    /// How values of the unit are shown.
    pub numbers: InUnit,
    /// Runs in order.
    pub points: Vec<ControlPoint>,
    /// Stretches in order; a line is drawn where one begins after another.
    pub stretches: Vec<ControlStretch>,
    /// Points before which the level changed; the number of points where it changed after the last.
    pub cuts: Vec<usize>,
    /// Dates of the first and the last run.
    pub dates: (String, String),
    /// What it shows, for those who hear the page.
    pub finding: String,
}

const LEFT: f64 = 46.0;
const RIGHT: f64 = 10.0;
const TOP: f64 = 18.0;
const HEIGHT: f64 = 210.0;
const BOTTOM: f64 = 24.0;

/// Draws a control chart.
pub fn control_chart(chart: &ControlChart, width: Width) -> Svg {
    let mut picture = Picture::new(width.pixels(), HEIGHT);
    if let Some(plane) = Plane::of(chart, width) {
        picture.draw(|pen| {
            plane.limits(pen, chart);
            plane.scale(pen, chart);
            plane.weighted_mean(pen, chart);
            plane.cuts(pen, &chart.cuts);
        });
        for (place, point) in chart.points.iter().enumerate() {
            picture.draw_titled(&point.title, |pen| plane.point(pen, place, point));
        }
    }
    picture.finish(&chart.finding)
}

/// Where runs and readings lie, CSS pixels.
struct Plane {
    width: f64,
    runs: usize,
    lo: f64,
    hi: f64,
}

impl Plane {
    /// Room for all readings and limits; `None` where nothing can be placed.
    fn of(chart: &ControlChart, width: Width) -> Option<Self> {
        let limits = chart.stretches.iter().filter_map(|stretch| stretch.limits);
        let values = chart
            .points
            .iter()
            .flat_map(|point| [point.reading, point.weighted_mean])
            .chain(limits.flat_map(|(lower, _, upper)| [lower, upper]))
            .filter(|value| value.is_finite());
        let (lo, hi) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), value| {
            (lo.min(value), hi.max(value))
        });
        if !lo.is_finite() {
            return None;
        }
        let room = if hi > lo {
            0.08 * (hi - lo)
        } else {
            hi.abs().max(1.0) * 0.1
        };
        Some(Self {
            width: width.pixels(),
            runs: chart.points.len(),
            lo: lo - room,
            hi: hi + room,
        })
    }

    fn x(&self, place: f64) -> f64 {
        let room = self.width - LEFT - RIGHT;
        LEFT + room * (place + 0.5) / self.runs.max(1) as f64
    }

    fn y(&self, working: f64) -> f64 {
        let room = HEIGHT - TOP - BOTTOM;
        TOP + room * (self.hi - working) / (self.hi - self.lo)
    }

    fn limits(&self, pen: &Pen<'_>, chart: &ControlChart) {
        for (number, stretch) in chart.stretches.iter().enumerate() {
            let from = self.x(stretch.first as f64 - 0.5);
            let to = self.x((stretch.first + stretch.runs) as f64 - 0.5);
            if number > 0 {
                let (top, foot) = ((from, TOP - 8.0), (from, HEIGHT - BOTTOM));
                pen.dashes(top, foot, (2.0, 3.0), Role::Ink, 1.0);
            }
            let Some((lower, centre, upper)) = stretch.limits else {
                continue;
            };
            pen.area((from, self.y(upper)), (to, self.y(lower)), Role::Band, 0.6);
            for limit in [lower, upper] {
                let (a, b) = ((from, self.y(limit)), (to, self.y(limit)));
                match stretch.certainty {
                    Certainty::Settled => pen.line(&[a, b], Role::Reference, 1.25),
                    Certainty::Provisional => pen.dashes(a, b, (6.0, 4.0), Role::Reference, 1.25),
                }
            }
            pen.line(&[(from, self.y(centre)), (to, self.y(centre))], Role::Quiet, 1.0);
        }
    }

    fn scale(&self, pen: &Pen<'_>, chart: &ControlChart) {
        let foot = HEIGHT - BOTTOM;
        pen.line(
            &[(LEFT, TOP - 8.0), (LEFT, foot), (self.width - RIGHT, foot)],
            Role::Rule,
            1.0,
        );
        for (value, working) in ticks(chart.kind, chart.numbers, self.lo, self.hi) {
            let number = chart.numbers.shown().number(value);
            mark_beside(pen, (LEFT, self.y(working)), &number);
        }
        let under = foot + 13.0;
        pen.text(&chart.dates.0, (LEFT, under), Side::Start, Role::Quiet, TICK_TEXT);
        if self.runs > 1 {
            let end = (self.width - RIGHT, under);
            pen.text(&chart.dates.1, end, Side::End, Role::Quiet, TICK_TEXT);
        }
    }

    /// Where the level changed: from top to foot.
    fn cuts(&self, pen: &Pen<'_>, cuts: &[usize]) {
        for cut in cuts {
            let x = self.x(*cut as f64 - 0.5);
            pen.line(&[(x, TOP - 8.0), (x, HEIGHT - BOTTOM)], Role::Loss, 1.75);
        }
    }

    fn weighted_mean(&self, pen: &Pen<'_>, chart: &ControlChart) {
        for stretch in &chart.stretches {
            let own = chart
                .points
                .iter()
                .enumerate()
                .skip(stretch.first)
                .take(stretch.runs);
            let line: Vec<(f64, f64)> = own
                .map(|(place, point)| (self.x(place as f64), self.y(point.weighted_mean)))
                .collect();
            if line.len() > 1 {
                pen.line(&line, Role::Accent, 1.75);
            }
        }
    }

    fn point(&self, pen: &Pen<'_>, place: usize, point: &ControlPoint) {
        let at = (self.x(place as f64), self.y(point.reading));
        if point.signal.is_empty() {
            pen.disc(at, 2.75, Role::Ink);
            return;
        }
        pen.disc(at, 3.5, Role::Loss);
        pen.ring(at, 6.0, Role::Loss, 1.5);
        let above = at.1 - 13.0;
        let beside = if above > 6.0 { above } else { at.1 + 13.0 };
        pen.bold(&point.signal, (at.0, beside), Side::Middle, Role::Loss, TICK_TEXT);
    }
}

/// Round values of the unit that is shown between two working values, each with its working value.
fn ticks(kind: AxisKind, numbers: InUnit, lo: f64, hi: f64) -> Vec<(f64, f64)> {
    let [from, to] = [lo, hi].map(|working| numbers.value(kind.from_working(working)));
    if !(from.is_finite() && to.is_finite() && to > from) {
        return Vec::new();
    }
    let rounds: Vec<f64> = if kind != AxisKind::Linear && to > 8.0 * from {
        (-12..=12)
            .flat_map(|power| [1.0, 2.0, 5.0].map(|digit| digit * 10f64.powi(power)))
            .collect()
    } else {
        even_values(from, to, 5.0)
    };
    rounds
        .into_iter()
        .filter(|value| (from..=to).contains(value))
        .map(|value| (value, kind.to_working(numbers.kept(value))))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn as_kept() -> InUnit {
        crate::units::DisplayPreferences::default().plain("")
    }

    fn chart(readings: &[f64]) -> ControlChart {
        ControlChart {
            kind: AxisKind::Ln,
            numbers: as_kept(),
            points: readings
                .iter()
                .map(|reading| ControlPoint {
                    reading: *reading,
                    weighted_mean: 0.0,
                    signal: if *reading > 2.0 {
                        "1".to_string()
                    } else {
                        String::new()
                    },
                    title: "a <run>".to_string(),
                })
                .collect(),
            stretches: vec![ControlStretch {
                first: 0,
                runs: readings.len(),
                limits: Some((-1.0, 0.0, 1.0)),
                certainty: Certainty::Provisional,
            }],
            cuts: Vec::new(),
            dates: ("2024-01-02".to_string(), "2024-03-04".to_string()),
            finding: "one of three".to_string(),
        }
    }

    #[test]
    fn a_signal_is_marked_and_every_run_is_drawn() {
        let drawing = control_chart(&chart(&[0.0, 0.5, 3.0]), Width::Wide).to_string();
        assert_eq!(drawing.matches("<title>").count(), 3);
        assert!(drawing.contains("var(--loss)") && drawing.contains("aria-label=\"one of three\""));
        let calm = control_chart(&chart(&[0.0, 0.5]), Width::Narrow).to_string();
        assert!(!calm.contains("var(--loss)") && !calm.contains("NaN"));
    }

    #[test]
    fn every_change_of_level_is_an_upright_line() {
        let of = |cuts: Vec<usize>| {
            let cut = ControlChart {
                cuts,
                ..chart(&[0.0, 0.5])
            };
            control_chart(&cut, Width::Wide).to_string()
        };
        let [none, one, two] = [vec![], vec![1], vec![1, 2]].map(of);
        assert!(!none.contains("var(--loss)") && one.contains("var(--loss)"));
        assert!(two.contains("var(--loss)") && two.len() > one.len());
    }

    #[test]
    fn nothing_to_place_draws_an_empty_frame() {
        let mut nothing = chart(&[]);
        nothing.stretches.clear();
        assert!(!control_chart(&nothing, Width::Wide).to_string().contains("<line"));
    }

    #[test]
    fn ticks_are_round_values_of_the_unit() {
        let values: Vec<f64> = ticks(AxisKind::Linear, as_kept(), 0.31, 0.49)
            .iter()
            .map(|tick| tick.0)
            .collect();
        let shown = crate::units::DisplayPreferences::default();
        let words: Vec<String> = values.into_iter().map(|value| shown.number(value)).collect();
        assert_eq!(words, ["0.35", "0.4", "0.45"]);
        let decades: Vec<f64> = ticks(AxisKind::Log10, as_kept(), 0.0, 2.0)
            .iter()
            .map(|tick| tick.0)
            .collect();
        assert_eq!(decades, [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]);
    }
}
