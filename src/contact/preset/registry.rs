//! The list of presets: a new one is a file of its own and a line here.

use crate::contact::Wrong;
use crate::contact::preset::ball_bearing::{AngularContactBallBearing, DeepGrooveBallBearing};
use crate::contact::preset::bevel_pair::BevelPair;
use crate::contact::preset::cam_follower::{FlatFollower, RollerFollower};
use crate::contact::preset::chain::ChainPin;
use crate::contact::preset::conformal::{PinInBush, Slideway};
use crate::contact::preset::cylindrical_roller::CylindricalRollerBearing;
use crate::contact::preset::gear_pair::GearMesh;
use crate::contact::preset::journal_bearing::Journal;
use crate::contact::preset::key::Key;
use crate::contact::preset::oscillating::{OscillatingBallBearing, OscillatingRollerBearing};
use crate::contact::preset::read::{Parameters, PresetFault};
use crate::contact::preset::rope::CrossedWires;
use crate::contact::preset::slipper::SlipperOnPlate;
use crate::contact::preset::spherical_roller::SphericalRollerBearing;
use crate::contact::preset::state::Geometry;
use crate::contact::preset::stated;
use crate::contact::preset::tapered_roller::TaperedRollerBearing;
use crate::contact::preset::thrust_roller::ThrustRollerBearing;
use crate::contact::preset::vane::VaneOnRing;
use crate::contact::preset::worm_throat::WormThroat;
use std::sync::Arc;

/// All presets, in the order in which they are offered.
pub(super) const PRESETS: &[Entry] = &[
    Entry {
        word: "stated",
        keys: &[stated::KEYS],
        build: None,
    },
    Entry::of::<GearMesh>(),
    Entry::of::<BevelPair>(),
    Entry::of::<DeepGrooveBallBearing>(),
    Entry::of::<AngularContactBallBearing>(),
    Entry::of::<CylindricalRollerBearing>(),
    Entry::of::<SphericalRollerBearing>(),
    Entry::of::<TaperedRollerBearing>(),
    Entry::of::<ThrustRollerBearing>(),
    Entry::of::<WormThroat>(),
    Entry::of::<PinInBush>(),
    Entry::of::<Slideway>(),
    Entry::of::<FlatFollower>(),
    Entry::of::<RollerFollower>(),
    Entry::of::<VaneOnRing>(),
    Entry::of::<SlipperOnPlate>(),
    Entry::of::<Journal>(),
    Entry::of::<ChainPin>(),
    Entry::of::<CrossedWires>(),
    Entry::of::<OscillatingBallBearing>(),
    Entry::of::<OscillatingRollerBearing>(),
];

/// A kind of contact that is computed from its geometry.
pub(super) trait Preset: Geometry + Sized + 'static {
    /// The word that names it.
    const WORD: &'static str;
    /// Its keys in the order of a form, in groups.
    const KEYS: &'static [&'static [Key]];

    /// From the values of its keys, each of which was read; what is wrong between them names a key.
    fn read(given: &Parameters) -> Result<Self, PresetFault>;
}

type Build = fn(&Parameters) -> Result<Arc<dyn Geometry>, PresetFault>;

/// One preset.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) word: &'static str,
    keys: &'static [&'static [Key]],
    /// How its geometry is made; none for a contact that is stated.
    pub(super) build: Option<Build>,
}

impl Entry {
    const fn of<P: Preset>() -> Self {
        Self {
            word: P::WORD,
            keys: P::KEYS,
            build: Some(|given| Ok(Arc::new(P::read(given)?))),
        }
    }

    /// The preset of a word.
    pub(super) fn named(word: &str) -> Result<&'static Self, PresetFault> {
        let word = word.trim();
        let known = PRESETS.iter().find(|entry| entry.word == word);
        known.ok_or_else(|| {
            PresetFault::with("preset", Wrong::Unknown, &[&word, &"preset", &WORDS.join(", ")])
        })
    }

    /// Its keys in the order of a form.
    pub(super) fn keys(&self) -> Vec<Key> {
        self.keys.concat()
    }
}

/// The words of all presets.
pub(super) const WORDS: &[&str] = &{
    let mut words = [""; PRESETS.len()];
    let mut place = 0;
    while place < words.len() {
        words[place] = PRESETS[place].word;
        place += 1;
    }
    words
};
