//! Severity of blocks: a rig in a campaign may read hard or mild; the reference oils run in it tell by how much.

use crate::records::Role;
use crate::resemblance::median;
use crate::standing::evidence::{Block, Evidence, central};
use crate::standing::spread::Spread;
use crate::stats::severity::{BlockShift, severity_shift};
use std::collections::{BTreeMap, BTreeSet};

/// Whether severity is adjusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Adjust {
    /// By the reference oils of each block.
    Severity,
    /// Results as read.
    Raw,
}

/// The shift of every block of a test. A test that ran in one block only has nothing to adjust.
///
/// `unsettled`: blocks whose reference runs lie in an out-of-control span of their rig. They are adjusted like any other,
/// but what a reference oil usually reads is taken from the others, where there are any.
pub(crate) fn shifts(
    evidence: &Evidence,
    spread: &Spread,
    adjust: Adjust,
    unsettled: &BTreeSet<Block>,
) -> BTreeMap<Block, BlockShift> {
    let blocks = evidence.blocks();
    let one_block = blocks.len() <= 1;
    let residuals = residuals(evidence, unsettled);
    let shift = |block: &Block| {
        if one_block || adjust == Adjust::Raw {
            return BlockShift::NONE;
        }
        let none = Vec::new();
        severity_shift(
            residuals.get(block).unwrap_or(&none),
            spread.within_sd,
            spread.between_variance,
        )
    };
    blocks
        .into_iter()
        .map(|block| (block.clone(), shift(&block)))
        .collect()
}

/// Per block: each reference run in it, less that oil's median block mean over in-control blocks. An oil that was run in
/// none of these is held against the median of all its blocks (ours): something must stand for its usual level.
fn residuals(evidence: &Evidence, unsettled: &BTreeSet<Block>) -> BTreeMap<Block, Vec<f64>> {
    let mut residuals: BTreeMap<Block, Vec<f64>> = BTreeMap::new();
    for cell in evidence.cells.iter().filter(|cell| cell.role == Role::Reference) {
        let readings: Vec<(&Block, f64)> = cell
            .runs
            .iter()
            .filter_map(|run| Some((&run.block, central(run.observation)?)))
            .collect();
        let mut by_block: BTreeMap<&Block, Vec<f64>> = BTreeMap::new();
        for (block, reading) in &readings {
            by_block.entry(block).or_default().push(*reading);
        }
        let means = |in_control: &dyn Fn(&Block) -> bool| -> Vec<f64> {
            let blocks = by_block.iter().filter(|(block, _)| in_control(block));
            blocks.map(|(_, of_block)| sorted_mean(of_block)).collect()
        };
        let settled = median(means(&|block| !unsettled.contains(block)));
        let Some(usual) = settled.or_else(|| median(means(&|_| true))) else {
            continue;
        };
        for (block, reading) in readings {
            residuals.entry(block.clone()).or_default().push(reading - usual);
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
