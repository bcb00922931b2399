//! Severity of a block (one rig while it holds one level): a shift shared by all results of the block.

/// What is known of a block's shift, on the working scale: result = true value + shift + error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockShift {
    /// Best estimate; taken off every result of the block.
    pub mean: f64,
    /// What remains unknown; one draw of it is shared by all results of the block.
    pub variance: f64,
}

impl BlockShift {
    /// Nothing to adjust: the method ran in one block only, or severity is left out on purpose.
    pub const NONE: Self = Self {
        mean: 0.0,
        variance: 0.0,
    };
}

/// Shift of a block from what reference oils read in it.
///
/// `residuals`: result minus that reference's median over in-control blocks, one per result; `within_sd`: standard
/// deviation s of one result; `between_variance`: variance v of shifts between blocks (negative counts as 0).
///
/// mean = share * average(residuals), variance = v * (1 - share), share = v / (v + s^2 / n):
/// the posterior of a normal shift, so that few readings move the block little. Without residuals: 0 and v.
pub fn severity_shift(residuals: &[f64], within_sd: f64, between_variance: f64) -> BlockShift {
    let between = between_variance.max(0.0);
    if residuals.is_empty() || between == 0.0 {
        return BlockShift {
            mean: 0.0,
            variance: between,
        };
    }
    let n = residuals.len() as f64;
    let average = residuals.iter().sum::<f64>() / n;
    let share = between / (between + within_sd * within_sd / n);
    BlockShift {
        mean: share * average,
        variance: between * (1.0 - share),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_without_a_reference_keeps_all_its_doubt() {
        assert_eq!(
            severity_shift(&[], 0.2, 0.09),
            BlockShift {
                mean: 0.0,
                variance: 0.09
            }
        );
    }

    #[test]
    fn readings_shrink_towards_no_shift() {
        // v = s^2, two readings: share 2/3
        let shift = severity_shift(&[0.3, 0.5], 0.2, 0.04);
        assert!((shift.mean - 0.4 * 2.0 / 3.0).abs() < 1e-15);
        assert!((shift.variance - 0.04 / 3.0).abs() < 1e-15);
        // many readings: nearly the plain average, nearly no doubt
        let many = severity_shift(&[0.4; 10_000], 0.2, 0.04);
        assert!((many.mean - 0.4).abs() < 1e-4 && many.variance < 1e-5);
    }

    #[test]
    fn without_variance_between_blocks_nothing_is_adjusted() {
        assert_eq!(severity_shift(&[5.0], 0.2, 0.0), BlockShift::NONE);
        assert_eq!(severity_shift(&[5.0], 0.2, -1.0), BlockShift::NONE);
    }
}
