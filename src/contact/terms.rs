//! The words and numbers by which contacts are compared.

use crate::contact::error::UnknownWord;
use crate::contact::note::Note;
use crate::contact::{ContactError, elastic};
use crate::units::Interval;
use serde::Deserialize;
use std::fmt;
use std::str::FromStr;

macro_rules! closed_list {
    ($(#[$doc:meta])* $name:ident, $what:literal, $($variant:ident = $word:literal,)*) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
        pub enum $name { $(#[doc = $word] #[serde(rename = $word)] $variant,)* }

        impl $name {
            /// What the list is of, in a refusal.
            pub const WHAT: &'static str = $what;

            /// The words of the list, in its order.
            pub const WORDS: &'static [&'static str] = &[$($word,)*];

            /// The word it is written with.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }
        }

        impl FromStr for $name {
            type Err = UnknownWord;

            fn from_str(text: &str) -> Result<Self, UnknownWord> {
                match text.trim() {
                    $($word => Ok(Self::$variant),)*
                    other => Err(UnknownWord {
                        what: Self::WHAT,
                        word: other.to_string(),
                        allowed: Self::WORDS.join(", "),
                    }),
                }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

closed_list! {
    /// Form of the contact area.
    ShapeClass, "shape class",
    Point = "point",
    Elliptical = "elliptical",
    Line = "line",
    Conformal = "conformal",
}

closed_list! {
    /// How the bodies move against each other.
    Motion, "motion",
    OneWay = "one way",
    Reversing = "reversing",
    StopStart = "stop-start",
    Fretting = "fretting",
}

closed_list! {
    /// What the two bodies are made of.
    Materials, "pair of materials",
    HardSteelHardSteel = "hard steel/hard steel",
    HardSteelSoftSteel = "hard steel/soft steel",
    HardSteelCastIron = "hard steel/cast iron",
    HardSteelBronze = "hard steel/bronze",
    HardSteelPolymer = "hard steel/polymer",
    CoatedHardSteel = "coated/hard steel",
    SoftSteelSoftSteel = "soft steel/soft steel",
    HardSteelBabbitt = "hard steel/babbitt",
    WheelSteelRailSteel = "wheel steel/rail steel",
    HardSteelCeramic = "hard steel/ceramic",
}

closed_list! {
    /// How lubricant reaches the contact.
    Supply, "supply",
    Bath = "bath",
    Splash = "splash",
    Circulated = "circulated",
    OnceThrough = "once-through",
    PackedGrease = "packed grease",
    ThinDab = "thin dab",
}

impl Motion {
    /// Of a contact that goes to and fro, by its travel over its own width along the motion: fretting below 1, where the
    /// middle of the contact is never uncovered (the border is ours).
    pub fn by_travel(travel_over_width: f64) -> Self {
        if travel_over_width < 1.0 {
            Self::Fretting
        } else {
            Self::Reversing
        }
    }
}

impl Materials {
    /// Elastic constants of the two bodies; a coating is taken as too thin to matter.
    ///
    /// # Errors
    /// For polymers, whose moduli differ from grade to grade by more than ten times.
    pub fn elastic(self) -> Result<[elastic::Elastic; 2], ContactError> {
        self.second().map(|(second, _)| [elastic::STEEL, second])
    }

    /// Thermal constants of the two bodies.
    ///
    /// # Errors
    /// For polymers.
    pub fn thermal(self) -> Result<[elastic::Thermal; 2], ContactError> {
        self.second().map(|(_, second)| [elastic::STEEL_THERMAL, second])
    }

    /// Constants of the body that is not the hard steel.
    fn second(self) -> Result<(elastic::Elastic, elastic::Thermal), ContactError> {
        match self {
            Self::HardSteelHardSteel
            | Self::HardSteelSoftSteel
            | Self::SoftSteelSoftSteel
            | Self::WheelSteelRailSteel
            | Self::CoatedHardSteel => Ok((elastic::STEEL, elastic::STEEL_THERMAL)),
            Self::HardSteelCastIron => Ok((elastic::CAST_IRON, elastic::CAST_IRON_THERMAL)),
            Self::HardSteelBronze => Ok((elastic::BRONZE, elastic::BRONZE_THERMAL)),
            Self::HardSteelBabbitt => Ok((elastic::BABBITT, elastic::BABBITT_THERMAL)),
            Self::HardSteelCeramic => Ok((elastic::CERAMIC, elastic::CERAMIC_THERMAL)),
            Self::HardSteelPolymer => Err(ContactError::NoModuli {
                materials: self.word(),
            }),
        }
    }
}

/// One contact in the terms by which it is compared with others. What is not known is `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ContactTerms {
    /// Form of the contact area.
    pub shape: Option<ShapeClass>,
    /// Longer over shorter axis: 1 for a circle, 100 for a line.
    pub ellipticity: Option<Interval>,
    /// Maximum pressure, Pa; with a worn scar from the mean on the scar to the fresh maximum.
    pub max_pressure_pa: Option<Interval>,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: Option<Interval>,
    /// Sliding speed without sign, m/s. Where it varies along a path or stroke, a test has its mean, a machine's contact
    /// from its mean to the place where its failure starts; likewise all that varies there.
    pub sliding_m_s: Option<Interval>,
    /// Rolling (entrainment) speed without sign, m/s: half the sum of both surface speeds.
    pub entrainment_m_s: Option<Interval>,
    /// Sliding over entrainment, without sign; 2 where one body stands still.
    pub slide_roll: Option<Interval>,
    /// Motion.
    pub motion: Option<Motion>,
    /// Temperature of the bodies away from the contact, °C.
    pub bulk_temperature_c: Option<Interval>,
    /// Bulk temperature plus flash, °C.
    pub contact_temperature_c: Option<Interval>,
    /// Minimum film thickness over combined roughness.
    pub film_ratio: Option<Interval>,
    /// Materials.
    pub materials: Option<Materials>,
    /// Share of its time for which a spot of the more loaded body is in contact.
    pub time_share: Option<Interval>,
    /// Supply.
    pub supply: Option<Supply>,
    /// Pressure times sliding speed, W/m2 (for conformal contacts the mean pressure).
    pub friction_power_w_m2: Option<Interval>,
    /// Estimates used and bounds exceeded.
    pub notes: Vec<Note>,
}

impl ContactTerms {
    /// These terms with no pressure above a hardness, Pa: nothing carries more.
    pub(crate) fn held_at_hardness(mut self, hardness_pa: f64) -> Self {
        let exceeds =
            |pressure: Option<Interval>| pressure.is_some_and(|pressure| pressure.hi() > hardness_pa);
        if exceeds(self.max_pressure_pa) || exceeds(self.mean_pressure_pa) {
            self.notes.push(Note::HeldAtHardness);
        }
        let held = |pressure: Option<Interval>| pressure.map(|pressure| pressure.clamp(0.0, hardness_pa));
        self.max_pressure_pa = held(self.max_pressure_pa);
        self.mean_pressure_pa = held(self.mean_pressure_pa);
        self
    }

    /// These terms with the friction power that follows from pressure and sliding: maximum pressure, for conformal
    /// contacts mean pressure.
    pub(crate) fn with_friction_power(mut self) -> Self {
        let pressure = if self.shape == Some(ShapeClass::Conformal) {
            self.mean_pressure_pa
        } else {
            self.max_pressure_pa
        };
        self.friction_power_w_m2 = pressure
            .zip(self.sliding_m_s)
            .and_then(|(p, v)| Interval::new(p.lo() * v.lo(), p.hi() * v.hi()));
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_reads_back_as_itself() {
        for word in ShapeClass::WORDS {
            assert_eq!(word.parse::<ShapeClass>().unwrap().word(), *word);
        }
        for word in Motion::WORDS {
            assert_eq!(word.parse::<Motion>().unwrap().word(), *word);
        }
        for word in Materials::WORDS {
            assert_eq!(word.parse::<Materials>().unwrap().word(), *word);
        }
        for word in Supply::WORDS {
            assert_eq!(word.parse::<Supply>().unwrap().word(), *word);
        }
    }

    #[test]
    fn an_unknown_word_is_refused_with_the_allowed_ones() {
        let error = "wiggling".parse::<Motion>().unwrap_err();
        assert_eq!(
            error.to_string(),
            "'wiggling' is no motion; allowed are: one way, reversing, stop-start, fretting"
        );
    }

    #[test]
    fn a_conformal_contact_takes_its_mean_pressure_for_friction_power() {
        let terms = ContactTerms {
            shape: Some(ShapeClass::Conformal),
            max_pressure_pa: Interval::point(9e6),
            mean_pressure_pa: Interval::new(1e6, 2e6),
            sliding_m_s: Interval::new(0.1, 3.0),
            ..ContactTerms::default()
        };
        assert_eq!(
            terms.with_friction_power().friction_power_w_m2,
            Interval::new(1e5, 6e6)
        );
    }

    #[test]
    fn a_pressure_below_the_hardness_stays_and_one_above_is_held_at_it_and_marked() {
        let terms = |greatest: f64| ContactTerms {
            max_pressure_pa: Interval::new(1e9, greatest),
            mean_pressure_pa: Interval::point(0.8e9),
            ..ContactTerms::default()
        };
        for kept in [1.99e9, 2e9] {
            assert_eq!(terms(kept).held_at_hardness(2e9), terms(kept));
        }
        let held = terms(2.01e9).held_at_hardness(2e9);
        assert_eq!(held.max_pressure_pa, Interval::new(1e9, 2e9));
        assert_eq!(held.mean_pressure_pa, Interval::point(0.8e9));
        assert_eq!(held.notes, [Note::HeldAtHardness]);
    }

    #[test]
    fn without_sliding_speed_the_friction_power_is_unknown() {
        let terms = ContactTerms {
            max_pressure_pa: Interval::point(9e6),
            ..ContactTerms::default()
        };
        assert_eq!(terms.with_friction_power().friction_power_w_m2, None);
    }
}
