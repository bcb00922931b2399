//! Ticks of a strip in the test's own unit: where they lie on the position scale, and which of them carry a number.

use crate::charts::pen::{Pen, Side};
use crate::charts::role::Role;
use crate::charts::scale::{POSITION_HI, POSITION_LO, Width, on_strip};
use crate::units::{InUnit, position, ratio};

/// How values of the unit lie on the working scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AxisKind {
    /// As they are.
    Linear,
    /// By natural logarithm.
    Ln,
    /// By logarithm to base 10.
    Log10,
}

impl AxisKind {
    /// A value in the unit on the working scale; not finite where it has no place there.
    pub(in crate::charts) fn to_working(self, value: f64) -> f64 {
        match self {
            Self::Linear => value,
            Self::Ln => value.ln(),
            Self::Log10 => value.log10(),
        }
    }

    /// A value on the working scale in the unit.
    #[expect(
        clippy::wrong_self_convention,
        reason = "the scale says which way the value goes"
    )]
    pub(in crate::charts) fn from_working(self, working: f64) -> f64 {
        match self {
            Self::Linear => working,
            Self::Ln => working.exp(),
            Self::Log10 => 10f64.powf(working),
        }
    }
}

/// A mark with its number under a horizontal axis.
pub(in crate::charts) fn mark_below(pen: &Pen<'_>, (x, foot): (f64, f64), number: &str) {
    pen.line(&[(x, foot), (x, foot + 4.0)], Role::Rule, 1.0);
    pen.text(number, (x, foot + 13.0), Side::Middle, Role::Quiet, TICK_TEXT);
}

/// A mark with its number beside an upright axis.
pub(in crate::charts) fn mark_beside(pen: &Pen<'_>, (left, y): (f64, f64), number: &str) {
    pen.line(&[(left - 4.0, y), (left, y)], Role::Rule, 1.0);
    pen.text(number, (left - 7.0, y), Side::End, Role::Quiet, TICK_TEXT);
}

/// The axis of one strip: the value `zero + x * per_position` on the working scale lies at the position of the ratio x
/// ([`position`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Working scale.
    pub kind: AxisKind,
    /// Working value at position 0.
    pub zero: f64,
    /// Working value of the way from 0 to 1; negative where less is better.
    pub per_position: f64,
    /// How much counts beyond 0 and 1; infinite where the axis is straight.
    pub head_room: f64,
    /// The unit's word as it is shown, empty where there is none.
    pub unit: String,
    /// How values of the unit are shown.
    pub numbers: InUnit,
    /// Steps of a ladder or stages; empty where results are readings.
    pub steps: Vec<f64>,
}

/// A tick at a position; `label` is empty where the number would collide with another.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::charts) struct Tick {
    pub(in crate::charts) position: f64,
    pub(in crate::charts) label: String,
}

/// Height of tick numbers, CSS pixels.
pub(in crate::charts) const TICK_TEXT: f64 = 12.0;

/// No wider than this per character of a number in `TICK_TEXT`.
const PER_CHARACTER: f64 = 7.2;

/// Room between two numbers.
const APART: f64 = 9.0;

/// Most ticks that are worth drawing on one strip.
const MOST: usize = 60;

impl Axis {
    /// The position of a value in the unit; `None` where it has none.
    pub fn position(&self, value: f64) -> Option<f64> {
        let ratio = (self.kind.to_working(value) - self.zero) / self.per_position;
        ratio.is_finite().then(|| position(ratio, self.head_room))
    }

    /// The value in the unit at a position; `None` where it leaves the finite numbers.
    pub fn value(&self, position: f64) -> Option<f64> {
        let ratio = ratio(position, self.head_room);
        let value = self.kind.from_working(self.zero + ratio * self.per_position);
        value.is_finite().then_some(value)
    }

    /// The band within `half` ways from 0 to 1 of a position.
    pub(in crate::charts) fn band(&self, around: f64, half: f64) -> (f64, f64) {
        let at = ratio(around, self.head_room);
        let [lo, hi] = [at - half, at + half].map(|end| position(end, self.head_room));
        (lo, hi)
    }

    /// Ticks from left to right.
    pub(in crate::charts) fn ticks(&self, width: Width) -> Vec<Tick> {
        let (Some(a), Some(b)) = (self.value(POSITION_LO), self.value(POSITION_HI)) else {
            return Vec::new();
        };
        let (a, b) = (self.numbers.value(a), self.numbers.value(b));
        let (lo, hi) = (a.min(b), a.max(b));
        let room = width.pixels() / 50.0;
        let kept = |values: Vec<f64>| values.into_iter().map(|value| self.numbers.kept(value)).collect();
        let values: Vec<f64> = if !self.steps.is_empty() {
            let shown = |step: &f64| (lo..=hi).contains(&self.numbers.value(*step));
            self.steps.iter().copied().filter(shown).collect()
        } else if self.kind == AxisKind::Linear || hi < lo * 4.0 {
            kept(even_values(lo, hi, room))
        } else {
            kept(log_values(lo, hi, 0.75 * room))
        };
        let mut placed: Vec<(f64, f64)> = values
            .into_iter()
            .filter_map(|value| self.position(value).map(|position| (position, value)))
            .filter(|(position, _)| on_strip(*position))
            .take(MOST)
            .collect();
        placed.sort_by(|x, y| x.0.total_cmp(&y.0));
        labelled(&placed, width, self)
    }
}

/// Numbers on every first, second, third … tick: the densest that does not collide between 0 and 1, where the axis is even.
/// Beyond them it crowds, and a number stays away that would touch the one before it or the unit.
fn labelled(placed: &[(f64, f64)], width: Width, axis: &Axis) -> Vec<Tick> {
    let texts: Vec<String> = placed
        .iter()
        .map(|(_, value)| axis.numbers.number(*value))
        .collect();
    let span = |i: usize| {
        let half = texts[i].chars().count() as f64 * PER_CHARACTER / 2.0;
        let x = width.x(placed[i].0);
        (x - half, x + half)
    };
    let is_even = |i: &usize| (0.0..=1.0).contains(&placed[*i].0);
    let fits = |stride: usize| {
        let even: Vec<usize> = (0..placed.len()).step_by(stride).filter(is_even).collect();
        even.windows(2)
            .all(|pair| span(pair[0]).1 + APART <= span(pair[1]).0)
    };
    let stride = (1..=placed.len().max(1))
        .find(|stride| fits(*stride))
        .unwrap_or(1);
    let (mut free_from, unit_starts) = (0.0, width.pixels() - unit_width(&axis.unit));
    let mut ticks = Vec::with_capacity(placed.len());
    for (i, (position, _)) in placed.iter().enumerate() {
        let (from, to) = span(i);
        let shows = i.is_multiple_of(stride) && from >= free_from && to + APART <= unit_starts;
        if shows {
            free_from = to + APART;
        }
        ticks.push(Tick {
            position: *position,
            label: if shows { texts[i].clone() } else { String::new() },
        });
    }
    ticks
}

/// Room that the unit takes at the right end of the axis.
fn unit_width(unit: &str) -> f64 {
    unit.chars().count() as f64 * PER_CHARACTER
}

/// Multiples of 1, 2 or 5 times a power of ten, about `count` of them.
pub(in crate::charts) fn even_values(lo: f64, hi: f64, count: f64) -> Vec<f64> {
    let rough = (hi - lo) / count.max(2.0);
    if !(rough.is_finite() && rough > 0.0) {
        return Vec::new();
    }
    let decade = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|nice| nice * decade)
        .find(|step| *step >= rough)
        .unwrap_or(decade * 10.0);
    let first = (lo / step).ceil();
    (0..MOST)
        .map(|i| (first + i as f64) * step)
        .take_while(|value| *value <= hi + step * 1e-9)
        .collect()
}

/// The greatest of 5, 2 and 1 times a power of ten that is no more than `most`.
pub(in crate::charts) fn round_at_most(most: f64) -> f64 {
    let decade = 10f64.powf(most.log10().floor());
    let nice = [5.0, 2.0, 1.0].into_iter().map(|n| n * decade);
    nice.into_iter().find(|n| *n <= most).unwrap_or(decade)
}

/// Powers of ten with as many values between as there is room for.
pub(in crate::charts) fn log_values(lo: f64, hi: f64, count: f64) -> Vec<f64> {
    if lo <= 0.0 {
        return Vec::new();
    }
    let decades = (lo.log10().floor() as i32)..=(hi.log10().ceil() as i32);
    let within = |nice: &[f64]| -> Vec<f64> {
        let all = decades
            .clone()
            .take(40)
            .flat_map(|decade| nice.iter().map(move |n| n * 10f64.powi(decade)));
        all.filter(|value| (lo..=hi).contains(value)).collect()
    };
    let sets: [&[f64]; 3] = [&[1.0, 1.5, 2.0, 3.0, 5.0, 7.0], &[1.0, 2.0, 5.0], &[1.0]];
    sets.into_iter()
        .map(within)
        .find(|values| values.len() as f64 <= count.max(4.0))
        .unwrap_or_else(|| within(&[1.0]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{DisplayPreferences, ForceUnit, Unit};

    fn axis(kind: AxisKind, zero: f64, per_position: f64, steps: &[f64]) -> Axis {
        Axis {
            kind,
            zero,
            per_position,
            head_room: 0.5,
            unit: "kgf".to_string(),
            numbers: DisplayPreferences::default().in_unit(Unit::KilogramForce),
            steps: steps.to_vec(),
        }
    }

    fn collide(ticks: &[Tick], width: Width) -> bool {
        let shown: Vec<&Tick> = ticks.iter().filter(|tick| !tick.label.is_empty()).collect();
        shown.windows(2).any(|pair| {
            let half = |tick: &Tick| tick.label.chars().count() as f64 * PER_CHARACTER / 2.0;
            width.x(pair[0].position) + half(pair[0]) > width.x(pair[1].position) - half(pair[1])
        })
    }

    const LADDER: [f64; 22] = [
        6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 24.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 126.0, 160.0, 200.0,
        250.0, 315.0, 400.0, 500.0, 620.0, 800.0,
    ];

    #[test]
    fn numbers_of_a_ladder_never_collide_on_desk_or_phone() {
        let ladder = axis(AxisKind::Log10, 0.9, 1.3, &LADDER);
        for width in [Width::Wide, Width::Narrow] {
            let ticks = ladder.ticks(width);
            assert!(ticks.len() > 15, "{}", ticks.len());
            assert!(ticks.iter().any(|tick| !tick.label.is_empty()));
            assert!(!collide(&ticks, width), "{ticks:?}");
        }
    }

    #[test]
    fn less_is_better_runs_from_great_to_small() {
        let scar = axis(AxisKind::Linear, 0.8, -0.3, &[]);
        let labels: Vec<String> = scar
            .ticks(Width::Wide)
            .into_iter()
            .map(|tick| tick.label)
            .filter(|label| !label.is_empty())
            .collect();
        let numbers: Vec<f64> = labels.iter().map(|label| label.parse().unwrap()).collect();
        assert!(numbers.len() >= 4, "{labels:?}");
        assert!(numbers.windows(2).all(|pair| pair[0] > pair[1]), "{labels:?}");
    }

    #[test]
    fn decades_are_marked_at_round_numbers() {
        let wear = axis(AxisKind::Ln, 300f64.ln(), -(300f64 / 3.0).ln(), &[]);
        let ticks = wear.ticks(Width::Wide);
        for wanted in ["100", "10"] {
            assert!(
                ticks.iter().any(|tick| tick.label == wanted),
                "{wanted}: {ticks:?}"
            );
        }
        assert!(!collide(&ticks, Width::Wide));
    }

    #[test]
    fn a_scale_that_is_no_scale_has_no_ticks() {
        for per_position in [0.0, f64::NAN, 1e300] {
            let _ = axis(AxisKind::Linear, 1.0, per_position, &[]).ticks(Width::Wide);
            assert!(
                axis(AxisKind::Ln, 700.0, per_position, &[])
                    .ticks(Width::Narrow)
                    .len()
                    <= MOST
            );
        }
        assert!(
            axis(AxisKind::Linear, f64::NAN, 1.0, &[])
                .ticks(Width::Wide)
                .is_empty()
        );
    }

    /// 1 kgf is 9.80665 N by definition (CGPM 1901): 400 kgf is 3923 N.
    #[test]
    fn steps_carry_their_value_in_the_unit_that_is_shown_and_readings_get_round_ticks_in_it() {
        let newton = DisplayPreferences {
            force: ForceUnit::Newton,
            ..DisplayPreferences::default()
        };
        let mut ladder = axis(AxisKind::Log10, 200f64.log10(), 0.4, &[200.0, 400.0, 800.0]);
        ladder.numbers = newton.in_unit(Unit::KilogramForce);
        let ticks = ladder.ticks(Width::Wide);
        assert!(ticks.iter().any(|tick| tick.label == "3923"), "{ticks:?}");
        let mut readings = axis(AxisKind::Ln, 20f64.ln(), 0.5, &[]);
        readings.numbers = newton.in_unit(Unit::KilogramForce);
        let round = readings.ticks(Width::Wide);
        assert!(
            round
                .iter()
                .any(|tick| tick.label == "200" || tick.label == "300"),
            "{round:?}"
        );
    }
}
