//! Unit words as laboratories write them, with exact factors.

use std::fmt;
use std::str::FromStr;

/// What a unit measures; a value converts only within its dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Force: N.
    Force,
    /// Mass on a loading pan or lost by a specimen: kg. Never a force.
    Mass,
    /// Length: m.
    Length,
    /// Time: s.
    Time,
    /// Pressure: Pa.
    Pressure,
    /// Kinematic viscosity: m2/s.
    KinematicViscosity,
    /// Temperature on a scale: °C (affine, not a factor).
    Temperature,
    /// Temperature difference: K.
    TemperatureRise,
    /// Mass of a substance per mass of oil.
    MassFraction,
    /// Volume: m3.
    Volume,
    /// Torque: N m.
    Torque,
    /// Dynamic viscosity: Pa s.
    DynamicViscosity,
    /// Mass of potassium hydroxide per mass of oil that takes up its acid.
    AcidNumber,
    /// Counted, classed or without dimension: stages, classes, teeth, ratios, per cent, millions of cycles.
    Count,
}

macro_rules! units {
    ($($name:ident, $dimension:ident, $factor:expr, $word:literal $(, $synonym:literal)*;)*) => {
        /// A unit that a result may carry.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Unit { $(#[doc = $word] $name,)* }

        impl Unit {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The word it is printed with.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }

            /// What it measures.
            pub fn dimension(self) -> Dimension {
                match self { $(Self::$name => Dimension::$dimension,)* }
            }

            /// How many SI units (of its dimension) one of it is.
            pub fn factor(self) -> f64 {
                match self { $(Self::$name => $factor,)* }
            }

            fn from_word(word: &str) -> Option<Self> {
                match word { $($word $(| $synonym)* => Some(Self::$name),)* _ => None }
            }
        }
    };
}

units! {
    Newton, Force, 1.0, "N";
    Kilonewton, Force, 1e3, "kN";
    KilogramForce, Force, 9.806_65, "kgf", "kp";
    PoundForce, Force, 4.448_221_615_260_5, "lbf";
    Pound, Mass, 0.453_592_37, "lb", "lbs";
    Kilogram, Mass, 1.0, "kg";
    Gram, Mass, 1e-3, "g";
    Milligram, Mass, 1e-6, "mg";
    Metre, Length, 1.0, "m";
    Millimetre, Length, 1e-3, "mm";
    TenthMillimetre, Length, 1e-4, "dmm", "0.1 mm";
    Micrometre, Length, 1e-6, "um", "µm", "μm";
    Inch, Length, 0.0254, "in";
    Second, Time, 1.0, "s";
    Minute, Time, 60.0, "min";
    Hour, Time, 3600.0, "h";
    Pascal, Pressure, 1.0, "Pa";
    Kilopascal, Pressure, 1e3, "kPa";
    Bar, Pressure, 1e5, "bar";
    Megapascal, Pressure, 1e6, "MPa";
    Gigapascal, Pressure, 1e9, "GPa";
    SquareMillimetrePerSecond, KinematicViscosity, 1e-6, "mm2/s", "mm²/s", "cSt";
    DegreeCelsius, Temperature, 1.0, "°C", "C", "degC";
    Kelvin, TemperatureRise, 1.0, "K";
    MilligramPerKilogram, MassFraction, 1e-6, "mg/kg", "ppm";
    Millilitre, Volume, 1e-6, "mL", "ml";
    NewtonMetre, Torque, 1.0, "N m", "Nm";
    MillipascalSecond, DynamicViscosity, 1e-3, "mPa s", "mPa·s", "cP";
    MilligramPotassiumHydroxide, AcidNumber, 1e-3, "mg KOH/g";
    Stage, Count, 1.0, "stage", "stages";
    Class, Count, 1.0, "class";
    Rating, Count, 1.0, "rating", "0-5";
    Teeth, Count, 1.0, "teeth";
    PerCent, Count, 1.0, "%";
    One, Count, 1.0, "-", "1";
    MillionCycles, Count, 1.0, "million cycles", "10^6 cycles";
}

/// A word that names no unit of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownUnit(pub String);

impl FromStr for Unit {
    type Err = UnknownUnit;

    fn from_str(text: &str) -> Result<Self, UnknownUnit> {
        Self::from_word(text.trim()).ok_or_else(|| UnknownUnit(text.trim().to_string()))
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Unit {
    /// A value of this unit in another one; `None` when they do not measure the same thing, or count different things.
    pub fn convert(self, value: f64, to: Unit) -> Option<f64> {
        if self == to {
            return Some(value);
        }
        let convertible = self.dimension() == to.dimension() && self.dimension() != Dimension::Count;
        convertible.then(|| value * self.factor() / to.factor())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact by definition: CGPM 1901 (standard gravity) and the international pound of 1959 (NIST SP 811, appendix B).
    #[test]
    fn kilogram_force_and_pound_force_have_their_exact_factors() {
        assert_eq!(Unit::KilogramForce.convert(1.0, Unit::Newton), Some(9.806_65));
        assert_eq!(
            Unit::PoundForce.convert(1.0, Unit::Newton),
            Some(4.448_221_615_260_5)
        );
    }

    #[test]
    fn a_mass_on_the_pan_is_never_a_force() {
        assert_eq!(Unit::Pound.convert(30.0, Unit::PoundForce), None);
    }

    #[test]
    fn a_tenth_of_a_millimetre_is_a_length_and_an_acid_number_no_share_of_water() {
        assert_eq!(Unit::TenthMillimetre.convert(270.0, Unit::Millimetre), Some(27.0));
        assert_eq!(
            Unit::MilligramPotassiumHydroxide.convert(1.0, Unit::MilligramPerKilogram),
            None
        );
    }

    #[test]
    fn stages_and_classes_do_not_convert_into_each_other() {
        assert_eq!(Unit::Stage.convert(1.0, Unit::Class), None);
        assert_eq!(Unit::Stage.convert(1.0, Unit::Stage), Some(1.0));
    }

    #[test]
    fn every_word_reads_back_as_its_unit() {
        for word in [
            "N", "kgf", "lbf", "lb", "mm", "dmm", "0.1 mm", "µm", "mg", "mm²/s", "°C", "N m", "mPa s",
            "mg KOH/g", "stage", "-",
        ] {
            let unit: Unit = word.parse().unwrap();
            assert_eq!(unit.word().parse::<Unit>(), Ok(unit));
        }
        assert!("furlong".parse::<Unit>().is_err());
    }
}
