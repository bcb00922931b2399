//! Pressure on the worn area beside the fresh one, as the page of an explanation shows it.

use crate::charts::number_words;
use crate::desk::explain::{Explanation, WornBlend, WornContact};
use crate::web::words;

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
    let mpa = |pressure: f64| number_words(pressure / 1e6);
    let row = |blend: &WornBlend| WornRow {
        blend: blend.blend.clone(),
        role: blend.role,
        runs: blend.runs,
        scar: number_words(blend.scar_m * 1e3),
        pressure: mpa(blend.worn_mean_pressure_pa),
        range: if blend.runs > 1 {
            let (lo, hi) = (blend.worn_mean_pressure_lo_pa, blend.worn_mean_pressure_hi_pa);
            format!("{} to {}", mpa(lo), mpa(hi))
        } else {
            String::new()
        },
        times: number_words(blend.fresh_over_worn),
    };
    worn.blends.iter().map(row).collect()
}

/// `On the scar of X, 0.67 mm, it is 454 MPa in the mean, from 1 run.`; empty where none of it was measured.
pub(super) fn words_here(explained: &Explanation) -> String {
    let mut blends = explained.worn.iter().flat_map(|worn| &worn.blends);
    let here = blends.find(|row| row.blend == explained.blend);
    here.map_or_else(String::new, |row| {
        format!(
            "On the scar of {}, {} mm, it is {} MPa in the mean, from {}.",
            row.blend,
            number_words(row.scar_m * 1e3),
            number_words(row.worn_mean_pressure_pa / 1e6),
            words::count(row.runs, "run")
        )
    })
}

/// `160 N on one contact: fresh 2268 MPa in the mean, 3402 MPa at most`.
pub(super) fn fresh_words(worn: &WornContact) -> String {
    format!(
        "Before any wear, {} N on one contact press with {} MPa in the mean and {} MPa at most.",
        number_words(worn.load_n),
        number_words(worn.fresh_mean_pressure_pa / 1e6),
        number_words(worn.fresh_max_pressure_pa / 1e6)
    )
}
