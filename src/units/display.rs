//! In which units a reader wants forces, pressures and temperatures shown, and how numbers are written for him.
//!
//! It touches what is shown and nothing else: what is kept, exported and sent as JSON stays in its own units.

use crate::units::{Dimension, Unit, number_words};

macro_rules! choices {
    ($(#[$doc:meta])* $name:ident, $($(#[$default:ident])? $variant:ident = $word:literal, $means:literal;)*) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
        pub enum $name { $(#[doc = $means] $(#[$default])? $variant,)* }

        impl $name {
            /// All of the list, the usual one first.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The word that is kept for it.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// What it does, in words.
            pub fn means(self) -> &'static str {
                match self { $(Self::$variant => $means,)* }
            }

            /// The one of a word; `None` for a word that is not in the list.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|choice| choice.word() == word)
            }
        }
    };
}

choices! {
    /// Unit of forces and loads.
    ForceUnit,
    #[default] AsKept = "own", "as each standard has it";
    Newton = "N", "N";
    KilogramForce = "kgf", "kgf";
    PoundForce = "lbf", "lbf";
}

choices! {
    /// Unit of pressures.
    PressureUnit,
    #[default] AsKept = "own", "GPa or MPa, as usual";
    Megapascal = "MPa", "MPa";
    Gigapascal = "GPa", "GPa";
    Ksi = "ksi", "ksi";
}

choices! {
    /// Unit of temperatures.
    TemperatureUnit,
    #[default] Celsius = "C", "°C";
    Fahrenheit = "F", "°F";
}

choices! {
    /// What stands before the decimals.
    DecimalSign,
    #[default] Point = "point", "a point: 0.45";
    Comma = "comma", "a comma: 0,45";
}

choices! {
    /// What stands between groups of three digits, from five digits on.
    Thousands,
    #[default] Nothing = "none", "nothing: 12000";
    ThinSpace = "thin", "a thin space: 12\u{202f}000";
}

/// What a reader wants shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DisplayPreferences {
    /// Forces and loads.
    pub force: ForceUnit,
    /// Pressures.
    pub pressure: PressureUnit,
    /// Temperatures.
    pub temperature: TemperatureUnit,
    /// Decimal sign.
    pub decimal: DecimalSign,
    /// Groups of digits.
    pub thousands: Thousands,
}

/// How values that are kept in one unit are shown: `shown = kept * factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InUnit {
    factor: f64,
    offset: f64,
    word: &'static str,
    shown: DisplayPreferences,
}

/// Exact: 1000 pounds-force (international pound of 1959, standard gravity) per square inch of 0.0254 m, NIST SP 811.
const KSI_PA: f64 = 1000.0 * 4.448_221_615_260_5 / (0.0254 * 0.0254);

impl DisplayPreferences {
    /// A number as a person writes it.
    pub fn number(self, value: f64) -> String {
        self.dress(&number_words(value))
    }

    /// A number with so many decimals.
    pub fn fixed(self, value: f64, decimals: usize) -> String {
        self.dress(&format!("{value:.decimals$}"))
    }

    /// A text that is one number, with the reader's decimal sign and groups.
    pub fn dress(self, number: &str) -> String {
        let (whole, decimals) = match number.split_once('.') {
            Some((whole, decimals)) => (whole, Some(decimals)),
            None => (number, None),
        };
        let whole = match self.thousands {
            Thousands::ThinSpace => grouped(whole),
            Thousands::Nothing => whole.to_string(),
        };
        match (decimals, self.decimal) {
            (None, _) => whole,
            (Some(decimals), DecimalSign::Point) => format!("{whole}.{decimals}"),
            (Some(decimals), DecimalSign::Comma) => format!("{whole},{decimals}"),
        }
    }

    /// A text of words and numbers, each number that has decimals with the reader's decimal sign.
    pub fn dress_within(self, text: &str) -> String {
        if self.decimal == DecimalSign::Point {
            return text.to_string();
        }
        let is_of_number = |c: char| c.is_ascii_digit() || c == '.';
        let mut dressed = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(start) = rest.find(|c: char| c.is_alphanumeric()) {
            let word = &rest[start..];
            let end = word
                .find(|c: char| !(c.is_alphanumeric() || c == '.'))
                .unwrap_or(word.len());
            let token = word[..end].trim_end_matches('.');
            dressed.push_str(&rest[..start]);
            if token.chars().all(is_of_number) && token.matches('.').count() == 1 {
                dressed.push_str(&self.dress(token));
            } else {
                dressed.push_str(token);
            }
            rest = &word[token.len()..];
        }
        dressed.push_str(rest);
        dressed
    }

    /// How values in a unit are shown.
    pub fn in_unit(self, unit: Unit) -> InUnit {
        let as_kept = self.plain(unit.word());
        let (to_si, of_one, word) = match unit.dimension() {
            Dimension::Force => match self.force {
                ForceUnit::AsKept => return as_kept,
                ForceUnit::Newton => (unit.factor(), Unit::Newton.factor(), "N"),
                ForceUnit::KilogramForce => (unit.factor(), Unit::KilogramForce.factor(), "kgf"),
                ForceUnit::PoundForce => (unit.factor(), Unit::PoundForce.factor(), "lbf"),
            },
            Dimension::Pressure => match self.pressure {
                PressureUnit::AsKept => return as_kept,
                PressureUnit::Megapascal => (unit.factor(), 1e6, "MPa"),
                PressureUnit::Gigapascal => (unit.factor(), 1e9, "GPa"),
                PressureUnit::Ksi => (unit.factor(), KSI_PA, "ksi"),
            },
            Dimension::Temperature if self.temperature == TemperatureUnit::Fahrenheit => {
                return InUnit {
                    factor: 1.8,
                    offset: 32.0,
                    word: "°F",
                    shown: self,
                };
            }
            Dimension::TemperatureRise if self.temperature == TemperatureUnit::Fahrenheit => {
                (1.0, 1.0 / 1.8, "°F")
            }
            _ => return as_kept,
        };
        if word == unit.word() {
            return as_kept;
        }
        InUnit {
            factor: to_si / of_one,
            offset: 0.0,
            word,
            shown: self,
        }
    }

    /// How values of a unit are shown, by the word that stands with them; as they are where it is no unit of a result.
    pub fn in_unit_of_word(self, word: &'static str) -> InUnit {
        match word.parse::<Unit>().map(|unit| self.in_unit(unit)) {
            Ok(shown) if !shown.is_as_kept() => shown,
            _ => self.plain(word),
        }
    }

    /// Values whose unit is none of those that can be chosen, or that carry none.
    pub fn plain(self, word: &'static str) -> InUnit {
        InUnit {
            factor: 1.0,
            offset: 0.0,
            word,
            shown: self,
        }
    }
}

impl InUnit {
    /// A kept value as the number that is shown.
    pub fn value(self, kept: f64) -> f64 {
        if self.is_as_kept() {
            kept
        } else {
            kept * self.factor + self.offset
        }
    }

    /// A difference of two kept values as the number that is shown: a scale's own zero does not enter.
    pub fn difference(self, kept: f64) -> f64 {
        kept * self.factor
    }

    /// The kept value of a number that is shown.
    pub fn kept(self, value: f64) -> f64 {
        if self.is_as_kept() {
            value
        } else {
            (value - self.offset) / self.factor
        }
    }

    /// A kept value in words, without its unit.
    pub fn number(self, kept: f64) -> String {
        self.shown.number(self.value(kept))
    }

    /// Two kept values in words, `0.7 to 1.5`, or one where they read alike; without the unit.
    pub fn range(self, lo: f64, hi: f64) -> String {
        let (lo, hi) = (self.number(lo), self.number(hi));
        if lo == hi { lo } else { format!("{lo} to {hi}") }
    }

    /// A kept value in words with its unit.
    pub fn words(self, kept: f64) -> String {
        match self.word {
            "" => self.number(kept),
            word => format!("{} {word}", self.number(kept)),
        }
    }

    /// The word of the unit that is shown.
    pub fn word(self) -> &'static str {
        self.word
    }

    /// Whether values are shown in the unit in which they are kept.
    pub fn is_as_kept(self) -> bool {
        self.factor == 1.0 && self.offset == 0.0
    }

    /// What the reader wants shown.
    pub fn shown(self) -> DisplayPreferences {
        self.shown
    }
}

/// Digits in groups of three from the right, five or more of them.
fn grouped(whole: &str) -> String {
    let digits = whole.trim_start_matches(['-', '\u{2212}']);
    if digits.len() < 5 || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return whole.to_string();
    }
    let sign = &whole[..whole.len() - digits.len()];
    let mut text = sign.to_string();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests;
