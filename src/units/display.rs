//! In which units a reader wants forces, pressures and temperatures shown, and how numbers are written for him.
//!
//! It touches what is shown and nothing else: what is kept, exported and sent as JSON stays in its own units.

use crate::units::{Dimension, Unit};

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

/// At least three significant figures, no trailing zeros, a true minus, a point before the decimals.
fn number_words(value: f64) -> String {
    if !value.is_finite() {
        return "not a number".to_string();
    }
    if value == 0.0 {
        return "0".to_string();
    }
    let magnitude = value.abs().log10().floor() as i32;
    if !(-4..7).contains(&magnitude) {
        return format!("{value:.2e}");
    }
    let decimals = (2 - magnitude).max(0) as usize;
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        "0".to_string()
    } else {
        text.replace('-', "\u{2212}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64) -> bool {
        (found / wanted - 1.0).abs() < 1e-12
    }

    fn with(change: impl Fn(&mut DisplayPreferences)) -> DisplayPreferences {
        let mut shown = DisplayPreferences::default();
        change(&mut shown);
        shown
    }

    /// Exact by definition: 1 kgf is 9.80665 N, 1 lbf 4.4482216152605 N (NIST SP 811, appendix B).
    #[test]
    fn forces_convert_by_their_exact_factors() {
        let newton = with(|shown| shown.force = ForceUnit::Newton).in_unit(Unit::KilogramForce);
        assert!(near(newton.value(400.0), 3922.66) && newton.word() == "N");
        let pounds = with(|shown| shown.force = ForceUnit::PoundForce).in_unit(Unit::Newton);
        assert!(near(pounds.value(4.448_221_615_260_5), 1.0));
        assert!(near(pounds.kept(1.0), 4.448_221_615_260_5));
        let kept = with(|shown| shown.force = ForceUnit::KilogramForce).in_unit(Unit::KilogramForce);
        assert!(kept.is_as_kept() && kept.words(400.0) == "400 kgf");
    }

    /// 1 ksi is 6.894757 MPa (NIST SP 811, appendix B).
    #[test]
    fn pressures_convert_into_ksi() {
        let ksi = with(|shown| shown.pressure = PressureUnit::Ksi);
        assert!((ksi.in_unit(Unit::Megapascal).value(6.894_757) - 1.0).abs() < 1e-6);
        assert_eq!(ksi.in_unit(Unit::Gigapascal).words(1.0), "145 ksi");
        let mpa = with(|shown| shown.pressure = PressureUnit::Megapascal);
        assert_eq!(mpa.in_unit(Unit::Gigapascal).words(1.5), "1500 MPa");
    }

    /// 100 °C is 212 °F by the scale's definition; a difference has no zero to move.
    #[test]
    fn a_difference_of_temperature_is_not_offset() {
        let fahrenheit = with(|shown| shown.temperature = TemperatureUnit::Fahrenheit);
        assert_eq!(fahrenheit.in_unit(Unit::DegreeCelsius).words(100.0), "212 °F");
        assert_eq!(fahrenheit.in_unit(Unit::Kelvin).words(100.0), "180 °F");
        assert_eq!(
            DisplayPreferences::default().in_unit(Unit::Kelvin).words(100.0),
            "100 K"
        );
    }

    #[test]
    fn a_mass_on_the_pan_is_no_force_and_stays_what_it_is() {
        let newton = with(|shown| shown.force = ForceUnit::Newton);
        for unit in [Unit::Pound, Unit::Millimetre, Unit::Stage, Unit::Milligram] {
            assert!(newton.in_unit(unit).is_as_kept(), "{unit}");
        }
    }

    #[test]
    fn decimals_and_groups_are_the_readers() {
        let comma = with(|shown| {
            shown.decimal = DecimalSign::Comma;
            shown.thousands = Thousands::ThinSpace;
        });
        assert_eq!(comma.number(0.45), "0,45");
        assert_eq!(comma.number(12_000.0), "12\u{202f}000");
        assert_eq!(comma.number(-123_456.0), "\u{2212}123\u{202f}456");
        assert_eq!(comma.number(2600.0), "2600");
        assert_eq!(comma.fixed(1.0, 2), "1,00");
        assert_eq!(comma.number(f64::NAN), "not a number");
        assert_eq!(DisplayPreferences::default().number(12_000.5), "12000");
    }

    #[test]
    fn every_word_reads_back_and_another_is_none() {
        for unit in ForceUnit::ALL {
            assert_eq!(ForceUnit::from_word(unit.word()), Some(*unit));
        }
        assert_eq!(PressureUnit::from_word("bar"), None);
        assert_eq!(DecimalSign::from_word(""), None);
    }

    #[test]
    fn within_a_sentence_a_number_takes_the_decimal_sign_and_nothing_else_changes() {
        let comma = with(|shown| shown.decimal = DecimalSign::Comma);
        let said = "D2893: 7.3 %, 7.9 %, limit <= 6 %. Rate 0.12 mm; v1.2.3, test 7,5/80-80, T.2.";
        let heard = "D2893: 7,3 %, 7,9 %, limit <= 6 %. Rate 0,12 mm; v1.2.3, test 7,5/80-80, T.2.";
        assert_eq!(comma.dress_within(said), heard);
        assert_eq!(DisplayPreferences::default().dress_within(said), said);
    }

    #[test]
    fn numbers_read_as_a_person_writes_them() {
        for (value, words) in [
            (0.0, "0"),
            (12.0, "12"),
            (0.45, "0.45"),
            (0.1234, "0.123"),
            (315.4, "315"),
            (-0.18, "\u{2212}0.18"),
            (2600.0, "2600"),
            (f64::NAN, "not a number"),
        ] {
            assert_eq!(number_words(value), words);
        }
    }
}
