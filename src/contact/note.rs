//! What has to be said about a computed contact: what is assumed, left out or exceeded.

use crate::contact::words::WORDS;
use serde::Deserialize;

/// One thing that has to be said; its words stand in `words.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Note {
    /// A line: the ends of the stated length are not modelled.
    LineEnds,
    /// The ellipse is longer than the stated length.
    LongerThanBody,
    /// The area is not small against a radius of the bodies.
    NotSmall,
    /// The greatest pressure is above that at which the softer body yields.
    BeyondFirstYield,
    /// The elastic pressure is above the hardness of the softer body.
    HeldAtHardness,
    /// Maximum pressure above 3.5 GPa, beyond the film formula.
    FilmPressure,
    /// Entrainment above 10 m/s: the inlet heats by shear.
    InletShear,
    /// Axes more than 8 to 1: outside the solved cases of the film formula.
    FilmEllipticity,
    /// Longer axis along the motion: outside the cases of the usual film formula and of the regime chart.
    LongAxisAlong,
    /// Axes at an angle to the motion: likewise.
    Skewed,
    /// No film ratio without an oil.
    NoOil,
    /// No film ratio without the roughness of both bodies.
    NoRoughness,
    /// The pressure-viscosity coefficient was not measured.
    EstimatedAlpha,
    /// Packed or dabbed grease is taken as a bath.
    FullyFlooded,
    /// A stroke has mean speeds.
    StrokeMeans,
    /// Which pressure a gear pair has.
    PitchPointPressure,
    /// How two pairs of teeth share the load.
    LoadOnPath,
    /// A helical pair is not computed as such.
    VirtualSpurPair,
    /// A bevel pair is not computed as such.
    DevelopedCones,
    /// Which ball a deep groove bearing is computed at.
    LoadedBall,
    /// Which ball an angular contact bearing is computed at.
    LoadedBallAtAngle,
    /// Which roller a bearing is computed at.
    LoadedRoller,
    /// Which barrel a spherical roller bearing is computed at.
    LoadedBarrel,
    /// How the rib of a tapered roller bearing is computed.
    RollerEndOnRib,
    /// What the viscosity ratio is for.
    ViscosityRatio,
    /// Where a bearing that swings is computed.
    LoadedElement,
    /// A swing has mean speeds.
    SwingMeans,
    /// A swing shorter than the contact.
    SwingFrets,
    /// How a worm is computed.
    WormAsRack,
    /// How the flash of a worm is computed.
    WormFlash,
    /// No time in contact for a worm.
    WormTime,
    /// Bodies that fit into each other, without a film.
    ConformalPressure,
    /// Bodies that fit into each other, with a film.
    ConformalWithFilm,
    /// No flash of bodies that fit into each other.
    BulkCompared,
    /// How the film of a journal is computed.
    RigidJournal,
    /// Outside the lengths for which the film of a journal was checked.
    JournalLength,
    /// Eccentricity above 0.95.
    NearTouch,
    /// When a chain's pin slides.
    ArticulationOnly,
    /// A slipper does not tilt.
    LevelPad,
    /// A cam has mean values.
    CamMeans,
    /// Which film a cam under a flat follower has.
    FlatFollowerFilm,
    /// The slip of a follower's roller is not computed.
    RollerSlipGiven,
    /// How a vane is computed.
    VaneRound,
    /// Which slip a rope's wire has.
    FreeSlip,
    /// Which film a rope's wire has.
    SlipMeans,
    /// A slip shorter than the contact.
    WiresFret,
    /// A machine's contact reaches to the place where its failure starts.
    ToWhereItStarts,
    /// A contact that turns back stands still at each reversal.
    StillAtReversal,
    /// A gear test heats itself.
    HeatsItself,
    /// A stated contact without a rolling speed.
    RollingFromSliding,
    /// Nothing is computed without the load that decided a test.
    LoadNotKnown,
}

impl Note {
    /// It in words.
    pub fn words(self) -> &'static str {
        &WORDS.notes[&self]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_note_has_its_words() {
        let last = Note::LoadNotKnown;
        assert_eq!(WORDS.notes.len(), last as usize + 1);
        assert_eq!(WORDS.notes.keys().next_back(), Some(&last));
        assert!(WORDS.notes.values().all(|words| words.len() > 10));
    }
}
