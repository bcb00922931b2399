//! Measures how often the standing is right, on 5 000 simulated trials per line, and writes what the about page tells.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a measurement that cannot be made or written must stop, and tells how long it took"
)]

#[path = "../calibration/simulate.rs"]
mod simulate;

use std::time::Instant;

const TRIALS: usize = 5_000;
const DRAWS: usize = 1_000;
const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/standing/calibration.json");

fn main() {
    let start = Instant::now();
    let calibration = simulate::calibrate(TRIALS, DRAWS);
    let mut text = serde_json::to_string_pretty(&calibration).unwrap();
    text.push('\n');
    std::fs::write(FILE, text).unwrap();
    println!(
        "{TRIALS} trials per line, {:.0} s, written to {FILE}",
        start.elapsed().as_secs_f64()
    );
}
