//! Pressure on the worn area beside the fresh one, as the page of an explanation shows it.

use crate::explain::{Explanation, WornBlend, WornContact};
use crate::units::Unit;
use crate::web::figures;

/// The worn contact of one blend, as the page shows it.
pub(super) struct WornRow {
    pub(super) blend: String,
    pub(super) role: &'static str,
    pub(super) runs: usize,
    pub(super) scar: String,
    pub(super) pressure: String,
    pub(super) range: String,
    pub(super) times: String,
}

pub(super) fn rows(worn: &WornContact) -> Vec<WornRow> {
    let mpa = |pressure: f64| figures::figure_in(pressure / 1e6, Unit::Megapascal);
    let row = |blend: &WornBlend| WornRow {
        blend: blend.blend.clone(),
        role: blend.role,
        runs: blend.runs,
        scar: figures::figure(blend.scar_m * 1e3),
        pressure: mpa(blend.worn_mean_pressure_pa),
        range: if blend.runs > 1 {
            let (lo, hi) = (blend.worn_mean_pressure_lo_pa, blend.worn_mean_pressure_hi_pa);
            format!("{} to {}", mpa(lo), mpa(hi))
        } else {
            String::new()
        },
        times: figures::figure(blend.fresh_over_worn),
    };
    worn.blends.iter().map(row).collect()
}

/// `On the scar of X, 0.67 mm, it is 454 MPa in the mean, from 1 run.`; empty where none of it was measured.
pub(super) fn words_here(explained: &Explanation) -> String {
    let mut blends = explained.worn.iter().flat_map(|worn| &worn.blends);
    let here = blends.find(|row| row.blend == explained.blend);
    here.map_or_else(String::new, |row| {
        format!(
            "On the scar of {}, {} mm, it is {} in the mean, from {}.",
            row.blend,
            figures::figure(row.scar_m * 1e3),
            figures::measured(row.worn_mean_pressure_pa / 1e6, "MPa"),
            figures::count(row.runs, "run")
        )
    })
}

/// `160 N on one contact: fresh 2268 MPa in the mean, 3402 MPa at most`.
pub(super) fn fresh_words(worn: &WornContact) -> String {
    format!(
        "Before any wear, {} on one contact press with {} in the mean and {} at most.",
        figures::measured(worn.load_n, "N"),
        figures::measured(worn.fresh_mean_pressure_pa / 1e6, "MPa"),
        figures::measured(worn.fresh_max_pressure_pa / 1e6, "MPa")
    )
}
