//! What the runs at a gate say, in the words that pages, JSON and command line share.

use crate::catalogue::Value;
use crate::prose::standing::in_a_sentence;
use crate::standing::{GateCount, GateRun, GateStanding, UnmetGate};
use crate::units::{DisplayPreferences, Unit};

/// Every run of a gate as read, without the unit: numbers with as many decimals as the one that has most.
pub fn runs(gate: &GateStanding, shown: DisplayPreferences) -> Vec<String> {
    let numbers = gate.runs.iter().flat_map(|run| numbers_of(&run.value));
    let decimals = numbers.map(decimals).max().unwrap_or(0);
    let words = |run: &GateRun| match (value(&run.value, decimals, shown), run.stopped) {
        (_, true) if run.value == Value::Stopped => STOPPED.to_string(),
        (value, true) => format!("{value} ({STOPPED})"),
        (value, false) => value,
    };
    gate.runs.iter().map(words).collect()
}

const STOPPED: &str = "stopped";

fn numbers_of(value: &Value) -> Vec<f64> {
    match *value {
        Value::Exact(number) | Value::Above(number) | Value::Below(number) => vec![number],
        Value::Between { lo, hi } => vec![lo, hi],
        Value::Class(_) | Value::Stopped => Vec::new(),
    }
}

/// The decimals of the shortest text that reads back as a number.
fn decimals(number: f64) -> usize {
    let text = number.to_string();
    text.split_once('.').map_or(0, |(_, decimals)| decimals.len())
}

fn value(value: &Value, decimals: usize, shown: DisplayPreferences) -> String {
    let fixed = |number: &f64| shown.fixed(*number, decimals);
    match value {
        Value::Exact(number) => fixed(number),
        Value::Between { lo, hi } => format!("{} to {}", fixed(lo), fixed(hi)),
        Value::Above(number) => format!("> {}", fixed(number)),
        Value::Below(number) => format!("< {}", fixed(number)),
        Value::Class(class) => class.clone(),
        Value::Stopped => STOPPED.to_string(),
    }
}

/// Every run with the unit once: `5.4, 6.0 %`; empty where nothing was run.
pub fn gate_results(gate: &GateStanding, shown: DisplayPreferences) -> String {
    let runs = runs(gate, shown).join(", ");
    match unit(gate) {
        Some(unit) if gate.runs.iter().any(|run| !numbers_of(&run.value).is_empty()) => {
            format!("{runs} {unit}")
        }
        _ => runs,
    }
}

fn unit(gate: &GateStanding) -> Option<Unit> {
    Some(gate.unit).filter(|unit| !matches!(unit, Unit::One | Unit::Class | Unit::Rating))
}

/// The limit as it is printed: `≤ 1b`.
pub fn gate_limit(gate: &GateStanding, shown: DisplayPreferences) -> String {
    shown.dress_within(&gate.limit.replace("<=", "≤").replace(">=", "≥"))
}

/// What the outcome is read from: `mean 5.7 %, inside the limit by 0.3, margin 0.37`, `1 of 3 runs outside`. Empty where
/// nothing was run.
pub fn gate_reading(gate: &GateStanding, shown: DisplayPreferences) -> String {
    if gate.runs.iter().any(|run| run.stopped) {
        return "a run was stopped for cause".to_string();
    }
    let margin = gate
        .margin
        .map(|margin| format!("margin {}", shown.number(margin)));
    let mean = gate.mean.zip(gate.inside_by).map(|(mean, inside_by)| {
        let unit = unit(gate).map(|unit| format!(" {unit}"));
        let mean = format!("mean {}{}", shown.number(mean), unit.unwrap_or_default());
        let side = match inside_by {
            0.0 => "on the limit".to_string(),
            by if by > 0.0 => format!("inside the limit by {}", shown.number(by)),
            by => format!("outside the limit by {}", shown.number(-by)),
        };
        if gate.count.runs > 1 {
            format!("{mean}, {side}")
        } else {
            side
        }
    });
    let bound =
        (gate.mean.is_none() && gate.margin.is_some()).then(|| "mean known as a bound only".to_string());
    let counts = (gate.margin.is_none() || gate.count.is_split()).then(|| counted(gate.count));
    let parts = [mean, bound, margin, counts.flatten()];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// `1 of 3 runs outside`; `None` with fewer than two, where the run says it.
fn counted(
    GateCount {
        inside,
        outside,
        runs,
    }: GateCount,
) -> Option<String> {
    let open = runs - inside - outside;
    let of = |some: usize, side: &str| match some {
        all if all == runs => format!("all {runs} runs {side}"),
        some => format!("{some} of {runs} runs {side}"),
    };
    match (inside, outside, open) {
        _ if runs < 2 => None,
        (_, 0, 0) => Some(of(inside, "inside")),
        (_, 0, _) => Some(of(open, "open")),
        (_, _, 0) => Some(of(outside, "outside")),
        (..) => Some(format!("{}, {open} open", of(outside, "outside"))),
    }
}

/// A gate that was not clearly met, as a caution names it: `Tarnish class 1b, 4c (limit ≤ 1b; 1 of 2 runs outside)`.
pub fn unmet_gate(UnmetGate(gate): &UnmetGate, shown: DisplayPreferences) -> String {
    let (results, limit) = (gate_results(gate, shown), gate_limit(gate, shown));
    let reading = after("; ", &gate_reading(gate, shown));
    format!("{} {results} (limit {limit}{reading})", gate.label)
}

/// A text with what parts it from what stands before; nothing for no text.
fn after(parting: &str, text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!("{parting}{text}")
    }
}

/// The gates that a candidate failed; empty when it failed none.
pub fn failed_gates(failed: &[GateStanding], shown: DisplayPreferences) -> String {
    let words = |gate: &GateStanding| {
        let (results, limit) = (gate_results(gate, shown), gate_limit(gate, shown));
        let reading = after(", ", &gate_reading(gate, shown));
        format!(
            "{} ({}): {results}, limit {limit}{reading}",
            gate.label, gate.standard
        )
    };
    failed.iter().map(words).collect::<Vec<_>>().join("; ")
}

/// What a candidate failed, in few words: `tarnish class 3b (limit ≤ 1b); rise of viscosity 7.3, 7.9 % (limit ≤ 6 %)`.
pub fn failed_in_short(failed: &[GateStanding], shown: DisplayPreferences) -> String {
    let words = |gate: &GateStanding| {
        let (results, limit) = (gate_results(gate, shown), gate_limit(gate, shown));
        format!("{} {results} (limit {limit})", in_a_sentence(&gate.label))
    };
    failed.iter().map(words).collect::<Vec<_>>().join("; ")
}
