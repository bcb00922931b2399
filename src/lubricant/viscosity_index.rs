//! Viscosity index (ASTM D2270).

use crate::lubricant::error::within;
use crate::lubricant::{LubricantError, OilLimit};

/// L and H over the viscosity at 100 °C, 2 to 70 mm2/s: table of ASTM D2270 as carried by an open chemistry
/// library, spot-checked against three values printed in the standard (119.94, 69.48, 28.97).
const TABLE: &str = include_str!("d2270_lh_table.csv");

/// L and H in mm2/s: viscosities at 40 °C of the oils of index 0 and 100 that share this viscosity at 100 °C.
/// Interpolated in the table up to 70 mm2/s, by the standard's formulas above.
///
/// # Errors
/// Names `kv100_mm2_s` below 2 mm2/s, where the index is not defined.
pub fn reference_viscosities(kv100_mm2_s: f64) -> Result<(f64, f64), LubricantError> {
    let y = within("kv100_mm2_s", kv100_mm2_s, [2.0, 1.0e4], OilLimit::IndexDefined)?;
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
        OilLimit::NotRising,
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

    /// `L = a Y^2 + b Y + c`, `H = d Y^2 + e Y + f` from this Y on (fit printed with the standard, from memory).
    const FIT: [[f64; 7]; 15] = [
        [2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077],
        [3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183],
        [4.4, 2.5, -7.2143, 13.812, 0.82143, 1.5679, 0.119],
        [5.0, 0.101, 16.635, -45.469, 0.04985, 9.1613, -18.557],
        [6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656],
        [7.0, 0.01191, 21.475, -72.870, 0.79762, -0.7321, 14.610],
        [7.7, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240],
        [9.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810],
        [12.0, 0.7672, 10.7972, -38.180, 0.20073, 8.4658, -22.490],
        [15.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930],
        [18.0, 0.97256, 5.25, -0.980, 0.24504, 7.4160, -16.730],
        [22.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230],
        [28.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750],
        [40.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620],
        [55.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940],
    ];

    #[test]
    fn every_row_of_the_table_lies_on_the_printed_fit() {
        for [y, l, h] in rows() {
            let [_, a, b, c, d, e, f] = FIT.into_iter().rev().find(|fit| fit[0] <= y).unwrap();
            let off = |row: f64, fit: f64| (row / fit - 1.0).abs();
            assert!(off(l, a * y * y + b * y + c) < 1.2e-3, "L at {y}");
            assert!(off(h, d * y * y + e * y + f) < 1.2e-3, "H at {y}");
        }
    }

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
