//! Failure modes: a closed list, so that a test and a machine name the same thing with the same word.

use std::fmt;

macro_rules! modes {
    ($($name:ident, $word:literal, $needs_contact:literal;)*) => {
        /// A way in which a lubricated contact, or the oil itself, fails.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Mode { $(#[doc = $word] $name,)* }

        impl Mode {
            /// All modes, contact modes first.
            pub const ALL: &'static [Mode] = &[$(Self::$name,)*];

            /// The word for it.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }

            /// Whether only a test with a rubbing contact can score it; the others are covered by a gate.
            pub fn needs_contact(self) -> bool {
                match self { $(Self::$name => $needs_contact,)* }
            }
        }
    };
}

modes! {
    Scuffing, "scuffing", true;
    Seizure, "seizure", true;
    AdhesiveWear, "adhesive wear", true;
    SlowSpeedWear, "slow-speed wear", true;
    RollingWear, "rolling wear", true;
    CageWear, "cage wear", true;
    Micropitting, "micropitting", true;
    Pitting, "pitting", true;
    Fretting, "fretting", true;
    FalseBrinelling, "false brinelling", true;
    Friction, "friction", true;
    BronzeWear, "bronze wear", true;
    Smearing, "smearing", true;
    AbrasiveWear, "abrasive wear", true;
    WhiteEtchingCracks, "white etching cracks", true;
    ElectricalErosion, "electrical erosion", true;
    Rust, "rust", false;
    CopperCorrosion, "copper corrosion", false;
    Oxidation, "oxidation", false;
    Foaming, "foaming", false;
    WaterSeparation, "water separation", false;
    WaterWashout, "water washout", false;
    Cavitation, "cavitation", false;
    GreaseLife, "grease life", false;
    OilSeparation, "oil separation", false;
    AirRelease, "air release", false;
    Filterability, "filterability", false;
    LowTemperatureFlow, "low-temperature flow", false;
}

impl Mode {
    /// The mode of a word; `None` for a word outside the list.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|mode| mode.word() == word.trim())
    }
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
