//! What was fitted and drawn for one question about a trial, so that the next one need not do it again.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::standing::kernel::fit::TestFit;
use crate::standing::kernel::input::FittedFrom;
use crate::standing::kernel::weights::DrawnBefore;
use crate::standing::kernel::{KernelInput, TestInput};

/// Most positions that are held, over all fits: 4 bytes each (ours).
const MOST_POSITIONS: usize = 48 << 20;

/// Fits of tests, by all that they hang on: an answer with them is the same, bit for bit, as without. Shared between
/// threads. All are forgotten when more than about 200 MB are held.
#[derive(Debug, Default)]
pub struct KnownFits {
    held: Mutex<Held>,
    pub(super) weights: DrawnBefore,
}

#[derive(Debug, Default)]
struct Held {
    /// Per test and draws: fits with different head-room.
    fits: BTreeMap<Drawn, Vec<(f64, Arc<TestFit>)>>,
    positions: usize,
}

/// A test and how its positions are drawn.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Drawn {
    test: FittedFrom,
    draws: usize,
    seed: u64,
    streams: Vec<u64>,
}

impl Drawn {
    fn of(test: &TestInput, input: &KernelInput) -> Self {
        Self {
            test: test.fitted_from(&input.blocks),
            draws: input.draws,
            seed: input.seed,
            streams: input.candidate_streams.clone(),
        }
    }
}

impl KnownFits {
    /// The fit of a test, where it is known; with another head-room only its mean positions are computed.
    pub(super) fn fit_of(&self, test: &TestInput, input: &KernelInput) -> Option<Arc<TestFit>> {
        let drawn = Drawn::of(test, input);
        let other = {
            let held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
            let fits = held.fits.get(&drawn)?;
            if let Some((_, fit)) = fits.iter().find(|(head_room, _)| *head_room == input.head_room) {
                return Some(Arc::clone(fit));
            }
            Arc::clone(&fits.first()?.1)
        };
        let fit = Arc::new(other.with_head_room(input.head_room));
        // its positions are shared; its cells are about so large
        let cells = input.draws * fit.candidates.len() / 8;
        self.hold(drawn, input.head_room, &fit, cells);
        Some(fit)
    }

    pub(super) fn add(&self, test: &TestInput, input: &KernelInput, fit: &Arc<TestFit>) {
        let positions = input.draws * fit.candidates.len();
        self.hold(Drawn::of(test, input), input.head_room, fit, positions);
    }

    fn hold(&self, drawn: Drawn, head_room: f64, fit: &Arc<TestFit>, positions: usize) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        if held.positions + positions > MOST_POSITIONS {
            *held = Held::default();
        }
        held.positions += positions;
        held.fits
            .entry(drawn)
            .or_default()
            .push((head_room, Arc::clone(fit)));
    }
}
