//! Viscosity index (ASTM D2270).

use crate::lubricant::LubricantError;
use crate::lubricant::error::within;

/// L and H over the viscosity at 100 °C, 2 to 70 mm2/s: table of ASTM D2270 as carried by an open chemistry
/// library, spot-checked against three values printed in the standard (119.94, 69.48, 28.97).
const TABLE: &str = include_str!("d2270_lh_table.csv");

/// L and H in mm2/s: viscosities at 40 °C of the oils of index 0 and 100 that share this viscosity at 100 °C.
/// Interpolated in the table up to 70 mm2/s, by the standard's formulas above.
///
/// # Errors
/// Names `kv100_mm2_s` below 2 mm2/s, where the index is not defined.
pub fn reference_viscosities(kv100_mm2_s: f64) -> Result<(f64, f64), LubricantError> {
    let y = within(
        "kv100_mm2_s",
        kv100_mm2_s,
        [2.0, 1.0e4],
        "the viscosity index is defined from 2 mm2/s at 100 °C upward (ASTM D2270)",
    )?;
    Ok(interpolated(y).unwrap_or((
        0.8353 * y * y + 14.67 * y - 216.0,
        0.1684 * y * y + 11.85 * y - 97.0,
    )))
}

fn rows() -> impl Iterator<Item = [f64; 3]> {
    TABLE.lines().filter_map(|line| {
        let mut cells = line.split(',').map(|cell| cell.trim().parse::<f64>().ok());
        Some([cells.next()??, cells.next()??, cells.next()??])
    })
}

fn interpolated(y: f64) -> Option<(f64, f64)> {
    rows().zip(rows().skip(1)).find_map(|(below, above)| {
        let share = (y - below[0]) / (above[0] - below[0]);
        let between = |column: usize| below[column] + share * (above[column] - below[column]);
        (0.0..=1.0).contains(&share).then(|| (between(1), between(2)))
    })
}

/// Which of its two procedures the standard takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IndexProcedure {
    /// For an index up to 100.
    A,
    /// For an index above 100.
    B,
}

/// Viscosity index from the viscosities at 40 and 100 °C in mm2/s, not rounded (the standard rounds to the
/// nearest whole number).
///
/// # Formula
/// Procedure A: `100 (L - U) / (L - H)`. Procedure B, where A exceeds 100: `(10^N - 1) / 0.00715 + 100`,
/// `N = (log H - log U) / log Y`, where U and Y are the viscosities at 40 and 100 °C.
///
/// # Errors
/// Names the viscosity that lies outside the standard, or that is not below the one at 40 °C.
pub fn viscosity_index(kv40_mm2_s: f64, kv100_mm2_s: f64) -> Result<f64, LubricantError> {
    viscosity_index_by_procedure(kv40_mm2_s, kv100_mm2_s).map(|(index, _)| index)
}

/// The same, with the procedure that it comes from.
///
/// # Errors
/// As [`viscosity_index`].
pub fn viscosity_index_by_procedure(
    kv40_mm2_s: f64,
    kv100_mm2_s: f64,
) -> Result<(f64, IndexProcedure), LubricantError> {
    let (l, h) = reference_viscosities(kv100_mm2_s)?;
    let u = within(
        "kv40_mm2_s",
        kv40_mm2_s,
        [kv100_mm2_s, 1.0e6],
        "must not be below the viscosity at 100 °C",
    )?;
    let procedure_a = 100.0 * (l - u) / (l - h);
    if procedure_a <= 100.0 {
        return Ok((procedure_a, IndexProcedure::A));
    }
    let n = (h.log10() - u.log10()) / kv100_mm2_s.log10();
    Ok(((10f64.powf(n) - 1.0) / 0.00715 + 100.0, IndexProcedure::B))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_has_all_its_rows_and_meets_the_formulas_at_seventy() {
        assert_eq!(rows().count(), 311);
        let (table_l, table_h) = reference_viscosities(70.0).unwrap();
        let (formula_l, formula_h) = reference_viscosities(70.000_001).unwrap();
        assert!((table_l / formula_l - 1.0).abs() < 3e-4);
        assert!((table_h / formula_h - 1.0).abs() < 3e-4);
    }

    #[test]
    fn thin_oils_have_no_viscosity_index() {
        assert_eq!(viscosity_index(5.0, 1.9).unwrap_err().field, "kv100_mm2_s");
    }

    #[test]
    fn procedures_a_and_b_meet_at_one_hundred() {
        let (_, h) = reference_viscosities(8.0).unwrap();
        let a = viscosity_index(h, 8.0).unwrap();
        let b = viscosity_index(h - 1e-6, 8.0).unwrap();
        assert!((a - 100.0).abs() < 1e-9 && (b - 100.0).abs() < 1e-3);
    }
}
