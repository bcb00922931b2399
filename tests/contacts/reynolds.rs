//! Rigid films and journal bearings against Reynolds' equation solved on a grid, with the pressure held at or above none
//! (films) or cut off below none (journals: half film). The formulas' coefficients are from memory.

use likewear::facade::contact::film::{Inlet, Regime, line_regime_films, point_regime_films};
use likewear::facade::contact::journal::{JournalBearing, sommerfeld_of_eccentricity};
use std::f64::consts::PI;

/// Places from -`reach` to `reach` or from 0 to `reach`, dense near 0.
fn places(count: usize, reach: f64, first: f64) -> Vec<f64> {
    let at = |index: usize| first + (1.0 - first) * index as f64 / (count - 1) as f64;
    (0..count)
        .map(|index| reach * (6.0 * at(index)).sinh() / 6f64.sinh())
        .collect()
}

/// Load `integral of P` of `d/dX (k^3 P_X) + d/dY (k^3 P_Y) = k_X`, `k = 1 + X^2/2 + Y^2/(2 a)`, P at or above none, by
/// projected relaxation over half of the plane.
fn relaxed_load(ratio: f64) -> f64 {
    let (xs, ys) = (
        places(81, 60.0, -1.0),
        places(36, 60.0 * ratio.sqrt().max(1.0), 0.0),
    );
    let gap = |x: f64, y: f64| 1.0 + 0.5 * x * x + 0.5 * y * y / ratio;
    let width = |all: &[f64], index: usize| 0.5 * (all[index + 1] - all[index.saturating_sub(1)]);
    let mut pressure = vec![vec![0.0; ys.len()]; xs.len()];
    let cubed = |x: f64, y: f64| gap(x, y).powi(3);
    let cells: Vec<[f64; 6]> = (1..xs.len() - 1)
        .flat_map(|i| (0..ys.len() - 1).map(move |j| (i, j)))
        .map(|(i, j)| {
            let (dx, dy) = (width(&xs, i), width(&ys, j));
            let west = cubed(0.5 * (xs[i] + xs[i - 1]), ys[j]) * dy / (xs[i] - xs[i - 1]);
            let east = cubed(0.5 * (xs[i] + xs[i + 1]), ys[j]) * dy / (xs[i + 1] - xs[i]);
            let north = cubed(xs[i], 0.5 * (ys[j] + ys[j + 1])) * dx / (ys[j + 1] - ys[j]);
            let south = match j {
                0 => 0.0,
                _ => cubed(xs[i], 0.5 * (ys[j] + ys[j - 1])) * dx / (ys[j] - ys[j - 1]),
            };
            let source = 0.5 * (gap(xs[i + 1], ys[j]) - gap(xs[i - 1], ys[j])) * dy;
            [west, east, north, south, source, dx * dy]
        })
        .collect();
    let across = ys.len() - 1;
    for _ in 0..1500 {
        for (index, [west, east, north, south, source, _]) in cells.iter().enumerate() {
            let (i, j) = (1 + index / across, index % across);
            let below = if j == 0 { 0.0 } else { pressure[i][j - 1] };
            let inflow = west * pressure[i - 1][j]
                + east * pressure[i + 1][j]
                + north * pressure[i][j + 1]
                + south * below;
            let settled = (inflow - source) / (west + east + north + south);
            let now: f64 = pressure[i][j];
            pressure[i][j] = (now + 1.6 * (settled - now)).max(0.0);
        }
    }
    let load = |(index, cell): (usize, &[f64; 6])| pressure[1 + index / across][index % across] * cell[5];
    2.0 * cells.iter().enumerate().map(load).sum::<f64>()
}

/// `W / U = 12 I / sqrt(h / Rx)`, I the load of the scaled equation.
#[test]
fn a_rigid_ball_and_rigid_ellipses_carry_what_reynolds_equation_says_within_six_per_cent() {
    for ratio in [1.0, 4.0, 10.0] {
        let inlet = Inlet {
            viscosity_pa_s: 0.1,
            alpha_per_pa: 1e-12,
            entrainment_m_s: 1.0,
        };
        let radius = 0.01;
        let films = point_regime_films(0.1, [radius, ratio * radius], 1e11, 1.0, inlet);
        let thickness = films.thickness_m(Regime::IsoviscousRigid);
        let carried = 0.1 * 1.0 * radius * 12.0 * relaxed_load(ratio) / (thickness / radius).sqrt();
        assert!((carried / 0.1 - 1.0).abs() < 0.06, "{ratio}: {carried} N");
    }
}

/// Martin's problem in one dimension: the film breaks off where pressure and its slope are none. `w h0 / (eta u R)` is
/// 12 times the scaled load.
#[test]
fn a_rigid_roller_carries_what_reynolds_equation_says_within_one_per_cent() {
    const REACH: f64 = 300.0;
    const PARTS: usize = 200_000;
    let gap = |x: f64| 1.0 + 0.5 * x * x;
    let ends = |outlet: f64| {
        let step = (outlet + REACH) / PARTS as f64;
        let (mut pressure, mut load) = (0.0, 0.0);
        for part in 0..PARTS {
            let x = -REACH + (part as f64 + 0.5) * step;
            pressure += (gap(x) - gap(outlet)) / gap(x).powi(3) * step;
            load += pressure * step;
        }
        (pressure, load)
    };
    let (mut low, mut high) = (0.0, 2.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if ends(middle).0 > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let inlet = Inlet {
        viscosity_pa_s: 0.1,
        alpha_per_pa: 1e-12,
        entrainment_m_s: 1.0,
    };
    let films = line_regime_films(1000.0, 0.01, 1e11, inlet);
    let solved = 12.0 * ends(low).1 * 0.1 * 1.0 * 0.01 / 1000.0;
    let kept = films.thickness_m(Regime::IsoviscousRigid);
    assert!((kept / solved - 1.0).abs() < 0.01, "{kept} {solved}");
}

/// Sommerfeld number of a half film from `pressure(theta)`, the mean over the length in the unit `eta w (r/c)^2`.
fn sommerfeld(pressure: impl Fn(f64) -> f64) -> f64 {
    const PARTS: usize = 2000;
    let (mut along, mut across) = (0.0, 0.0);
    for part in 0..PARTS {
        let theta = (part as f64 + 0.5) * PI / PARTS as f64;
        along -= pressure(theta) * theta.cos();
        across += pressure(theta) * theta.sin();
    }
    1.0 / (PI * along.hypot(across) * PI / PARTS as f64)
}

#[test]
fn the_film_takes_the_pressures_of_a_short_and_of_a_long_bearing_summed() {
    for e in [0.1, 0.5, 0.9] {
        let gap = |theta: f64| 1.0 + e * theta.cos();
        let slender = 0.4;
        let short = sommerfeld(|theta| 2.0 * slender * slender * e * theta.sin() / gap(theta).powi(3));
        // Sommerfeld's pressure, checked in turn by its equation: the flow h^3 p' / 6 - h is the same everywhere.
        let long = |theta: f64| {
            6.0 * e * theta.sin() * (2.0 + e * theta.cos()) / ((2.0 + e * e) * gap(theta).powi(2))
        };
        let flow = |theta: f64| {
            let slope = (long(theta + 1e-5) - long(theta - 1e-5)) / 2e-5;
            gap(theta).powi(3) * slope / 6.0 - gap(theta)
        };
        assert!((flow(0.5) - flow(2.0)).abs() < 1e-6);
        let (kept, both) = (sommerfeld_of_eccentricity(e, slender), short + sommerfeld(long));
        assert!((kept / both - 1.0).abs() < 1e-4, "{e}: {kept} {both}");
    }
}

/// Mean pressure over the length at each angle from 0 to pi, by relaxation, in the unit `eta w (r/c)^2`.
fn journal_pressures(e: f64, length_over_diameter: f64) -> Vec<f64> {
    const ROUND: usize = 60;
    const HALF: usize = 10;
    let step = PI / ROUND as f64;
    let cubed = |theta: f64| (1.0 + e * theta.cos()).powi(3);
    let side = (HALF as f64 / length_over_diameter).powi(2);
    let mut pressure = vec![[0.0; HALF + 1]; ROUND + 1];
    for _ in 0..4000 {
        for i in 1..ROUND {
            let theta = i as f64 * step;
            let (west, east) = (
                cubed(theta - 0.5 * step) / (step * step),
                cubed(theta + 0.5 * step) / (step * step),
            );
            let out = cubed(theta) * side;
            for j in 0..HALF {
                let inner = pressure[i][if j == 0 { 1 } else { j - 1 }];
                let inflow = west * pressure[i - 1][j]
                    + east * pressure[i + 1][j]
                    + out * (pressure[i][j + 1] + inner)
                    + 6.0 * e * theta.sin();
                let settled = inflow / (west + east + 2.0 * out);
                let now: f64 = pressure[i][j];
                pressure[i][j] = now + 1.5 * (settled - now);
            }
        }
    }
    let mean = |row: &[f64; HALF + 1]| (0.5 * row[0] + row[1..HALF].iter().sum::<f64>()) / HALF as f64;
    pressure.iter().map(mean).collect()
}

#[test]
fn the_film_between_short_and_long_is_up_to_thirty_per_cent_thicker_than_solved_and_never_thinner() {
    for slender in [0.25, 1.0, 2.0] {
        for e in [0.2, 0.5, 0.9] {
            let pressures = journal_pressures(e, slender);
            let step = PI / (pressures.len() - 1) as f64;
            let at = |theta: f64| {
                let place = (theta / step).min(pressures.len() as f64 - 1.001);
                let below = place.floor() as usize;
                let share = place - place.floor();
                pressures[below] * (1.0 - share) + pressures[below + 1] * share
            };
            let bearing = JournalBearing {
                load_n: 1000.0,
                radius_m: 0.02,
                radial_clearance_m: 20e-6,
                length_m: 0.04 * slender,
                revolutions_per_s: sommerfeld(at) * 1000.0 / (0.04 * 0.04 * slender) / 0.02 * 1e-6,
                viscosity_pa_s: 0.02,
            };
            let film = bearing.film().unwrap();
            assert!((film.sommerfeld / sommerfeld(at) - 1.0).abs() < 1e-9);
            let thicker = film.minimum_m / (20e-6 * (1.0 - e));
            assert!((0.99..1.30).contains(&thicker), "{slender} {e}: {thicker}");
        }
    }
}
