//! Failure modes: a closed list, so that a test and a machine name the same thing with the same word.

use serde::{Serialize, Serializer};
use std::fmt;

macro_rules! modes {
    ($($name:ident, $word:literal, $needs_contact:literal, [$($other:literal),*];)*) => {
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

            /// Beginnings of other words for it that a question may use.
            fn other_words(self) -> &'static [&'static str] {
                match self { $(Self::$name => &[$($other),*],)* }
            }
        }
    };
}

modes! {
    Scuffing, "scuffing", true, ["scuff", "scoring"];
    Seizure, "seizure", true, ["seiz"];
    AdhesiveWear, "adhesive wear", true, [];
    SlowSpeedWear, "slow-speed wear", true, ["slow gear wear"];
    RollingWear, "rolling wear", true, ["roller wear"];
    CageWear, "cage wear", true, ["cage"];
    Micropitting, "micropitting", true, ["grey staining"];
    Pitting, "pitting", true, ["spalling"];
    Fretting, "fretting", true, [];
    FalseBrinelling, "false brinelling", true, ["brinelling", "standstill marks"];
    Friction, "friction", true, ["efficiency"];
    BronzeWear, "bronze wear", true, ["bronze", "worm wheel"];
    Smearing, "smearing", true, ["skidding"];
    AbrasiveWear, "abrasive wear", true, ["abrasi"];
    WhiteEtchingCracks, "white etching cracks", true, ["white structure"];
    ElectricalErosion, "electrical erosion", true, ["current passage"];
    Rust, "rust", false, [];
    CopperCorrosion, "copper corrosion", false, ["copper"];
    Oxidation, "oxidation", false, ["oxid", "ageing", "aging"];
    Foaming, "foaming", false, ["foam"];
    WaterSeparation, "water separation", false, ["demulsib", "separates water", "separate water"];
    WaterWashout, "water washout", false, ["washout", "washed out", "wash out"];
    Cavitation, "cavitation", false, ["cavitat"];
    GreaseLife, "grease life", false, ["relubrication"];
    OilSeparation, "oil separation", false, ["bleed"];
    AirRelease, "air release", false, ["deaerat"];
    Filterability, "filterability", false, ["filter"];
    SealDamage, "seal damage", false, ["elastomer", "seals"];
    LowTemperatureFlow, "low-temperature flow", false, ["cold start", "pour point", "low temperature"];
}

impl Mode {
    /// The mode of a word; `None` for a word outside the list.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|mode| mode.word() == word.trim())
    }

    /// The modes that a text names by their word or another kept one, wherever such a word begins in it.
    pub fn named_in(text: &str) -> Vec<Self> {
        let text = text.to_lowercase();
        let begins = |wanted: &str| {
            let mut places = text.match_indices(wanted);
            places.any(|(at, _)| {
                !text[..at].ends_with(|before: char| before.is_alphanumeric() || before == '-')
            })
        };
        let named = Self::ALL.iter().copied();
        named
            .filter(|mode| begins(mode.word()) || mode.other_words().iter().any(|word| begins(word)))
            .collect()
    }
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for Mode {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_names_modes_by_any_kept_word_that_begins_in_it() {
        for (question, modes) in [
            (
                "Which oil spares the BRONZE wheel, without attacking copper?",
                vec![Mode::BronzeWear, Mode::CopperCorrosion],
            ),
            (
                "Which grease is least washed out and oxidises last?",
                vec![Mode::Oxidation, Mode::WaterWashout],
            ),
            ("Does less defoamer cost wear?", vec![]),
            ("Which of the candidates deserves the programme?", vec![]),
            (
                "Is it micropitting or white etching cracks?",
                vec![Mode::Micropitting, Mode::WhiteEtchingCracks],
            ),
        ] {
            assert_eq!(Mode::named_in(question), modes, "{question}");
        }
        for mode in Mode::ALL {
            assert!(Mode::named_in(mode.word()).contains(mode));
        }
    }
}
