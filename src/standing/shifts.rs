//! The shift of every block of a test, from what reference oils read in it.

use crate::records::BlendCode;
use crate::resemblance::median;
use crate::standing::evidence::{Evidence, central};
use crate::standing::levels::Block;
use crate::standing::spread::Spread;
use crate::stats::severity::{BlockShift, severity_shift};
use std::collections::BTreeMap;

/// Whether severity is adjusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Adjust {
    /// By the reference oils of each block.
    Severity,
    /// Results as read.
    Raw,
}

/// The shift of every block of a test. A test that ran in one block only has nothing to adjust.
pub(crate) fn shifts(evidence: &Evidence, spread: &Spread, adjust: Adjust) -> BTreeMap<Block, BlockShift> {
    let blocks = evidence.blocks();
    let one_block = blocks.len() <= 1;
    let residuals = residuals(evidence);
    let shift = |block: &Block| {
        if one_block || adjust == Adjust::Raw {
            return BlockShift::NONE;
        }
        let of_block = residuals.get(block).map_or(&[][..], Vec::as_slice);
        severity_shift(of_block, spread.within_sd, spread.between_variance)
    };
    blocks
        .into_iter()
        .map(|block| (block.clone(), shift(&block)))
        .collect()
}

/// Per block: each reference run in it, less that oil's median block mean over in-control blocks. An oil that was run in
/// none of these tells nothing: what it usually reads is not known.
fn residuals(evidence: &Evidence) -> BTreeMap<Block, Vec<f64>> {
    let mut of_oils: BTreeMap<&BlendCode, BTreeMap<&Block, Vec<f64>>> = BTreeMap::new();
    for cell in &evidence.cells {
        let told = |block: &Block| evidence.levels.is_reference(cell.role, cell.blend, block);
        for run in cell.runs.iter().filter(|run| told(&run.block)) {
            let by_block = of_oils.entry(cell.blend).or_default();
            let of_block = by_block.entry(&run.block).or_default();
            of_block.extend(central(run.observation));
        }
    }
    let mut residuals: BTreeMap<Block, Vec<f64>> = BTreeMap::new();
    for mut by_block in of_oils.into_values() {
        by_block.retain(|_, readings| !readings.is_empty());
        let in_control = by_block
            .iter()
            .filter(|(block, _)| evidence.levels.is_in_control(block));
        let Some(usual) = median(in_control.map(|(_, readings)| sorted_mean(readings)).collect()) else {
            continue;
        };
        for (block, readings) in by_block {
            let of_block = residuals.entry(block.clone()).or_default();
            of_block.extend(readings.iter().map(|reading| reading - usual));
        }
    }
    for of_block in residuals.values_mut() {
        of_block.sort_by(f64::total_cmp);
    }
    residuals
}

/// The mean, summed in order of size so that the order of rows does not matter.
fn sorted_mean(numbers: &[f64]) -> f64 {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.iter().sum::<f64>() / sorted.len() as f64
}
