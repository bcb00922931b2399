//! What a form asks for, with every unit word that its field takes and the SI value that follows.

/// A kind of measured value as forms ask for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// m.
    Length,
    /// N.
    Force,
    /// N m.
    Torque,
    /// m/s.
    Speed,
    /// r/min.
    Rotation,
    /// Degrees of angle.
    Angle,
    /// Hz.
    Frequency,
    /// °C.
    Temperature,
    /// Pa.
    Pressure,
    /// A number without a unit; `%` is a hundredth.
    Ratio,
}

/// A unit word with what one of it is: `value = (number + offset) * factor`.
struct Word(&'static str, f64, f64);

const INCH_M: f64 = 0.0254;
const LBF_N: f64 = 4.448_221_615_260_5;
const KGF_N: f64 = 9.806_65;

impl Measure {
    /// The measure of a key, by the SI unit at its end: `load_n`, `pinion_rpm`; a key without one is a ratio.
    pub fn of_key(key: &str) -> Self {
        const SUFFIXES: [(&str, Measure); 9] = [
            ("_m_s", Measure::Speed),
            ("_pa", Measure::Pressure),
            ("_nm", Measure::Torque),
            ("_rpm", Measure::Rotation),
            ("_deg", Measure::Angle),
            ("_hz", Measure::Frequency),
            ("_m", Measure::Length),
            ("_n", Measure::Force),
            ("_c", Measure::Temperature),
        ];
        let found = SUFFIXES.into_iter().find(|(suffix, _)| key.ends_with(suffix));
        found.map_or(Self::Ratio, |(_, measure)| measure)
    }

    /// Exact factors: the international inch and pound of 1959, standard gravity (NIST SP 811, appendix B); the
    /// Fahrenheit scale by its definition from 32 °F and 212 °F.
    fn words(self) -> &'static [Word] {
        match self {
            Self::Length => &[
                Word("mm", 1e-3, 0.0),
                Word("m", 1.0, 0.0),
                Word("cm", 1e-2, 0.0),
                Word("µm", 1e-6, 0.0),
                Word("um", 1e-6, 0.0),
                Word("μm", 1e-6, 0.0),
                Word("in", INCH_M, 0.0),
                Word("\"", INCH_M, 0.0),
            ],
            Self::Force => &[
                Word("N", 1.0, 0.0),
                Word("kN", 1e3, 0.0),
                Word("kgf", KGF_N, 0.0),
                Word("kp", KGF_N, 0.0),
                Word("lbf", LBF_N, 0.0),
            ],
            Self::Torque => &[
                Word("N m", 1.0, 0.0),
                Word("Nm", 1.0, 0.0),
                Word("N·m", 1.0, 0.0),
                Word("kN m", 1e3, 0.0),
                Word("kNm", 1e3, 0.0),
                Word("lbf in", LBF_N * INCH_M, 0.0),
                Word("lbf ft", LBF_N * INCH_M * 12.0, 0.0),
            ],
            Self::Speed => &[
                Word("m/s", 1.0, 0.0),
                Word("mm/s", 1e-3, 0.0),
                Word("m/min", 1.0 / 60.0, 0.0),
                Word("ft/min", INCH_M * 12.0 / 60.0, 0.0),
            ],
            Self::Rotation => &[
                Word("r/min", 1.0, 0.0),
                Word("rpm", 1.0, 0.0),
                Word("1/min", 1.0, 0.0),
                Word("min-1", 1.0, 0.0),
                Word("r/s", 60.0, 0.0),
            ],
            Self::Angle => &[
                Word("°", 1.0, 0.0),
                Word("deg", 1.0, 0.0),
                Word("rad", 180.0 / std::f64::consts::PI, 0.0),
            ],
            Self::Frequency => &[
                Word("Hz", 1.0, 0.0),
                Word("1/s", 1.0, 0.0),
                Word("1/min", 1.0 / 60.0, 0.0),
            ],
            Self::Temperature => &[
                Word("°C", 1.0, 0.0),
                Word("C", 1.0, 0.0),
                Word("degC", 1.0, 0.0),
                Word("°F", 5.0 / 9.0, -32.0),
                Word("F", 5.0 / 9.0, -32.0),
                Word("degF", 5.0 / 9.0, -32.0),
                Word("K", 1.0, -273.15),
            ],
            Self::Pressure => &[
                Word("MPa", 1e6, 0.0),
                Word("GPa", 1e9, 0.0),
                Word("Pa", 1.0, 0.0),
                Word("kPa", 1e3, 0.0),
                Word("bar", 1e5, 0.0),
                Word("N/mm²", 1e6, 0.0),
                Word("N/mm2", 1e6, 0.0),
                Word("psi", LBF_N / (INCH_M * INCH_M), 0.0),
            ],
            Self::Ratio => &[Word("", 1.0, 0.0), Word("-", 1.0, 0.0), Word("%", 1e-2, 0.0)],
        }
    }

    fn word(self, unit: &str) -> Option<&'static Word> {
        let same = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        self.words().iter().find(|Word(word, ..)| *word == same(unit))
    }

    /// The unit that a field shows where nothing else is said.
    pub fn usual_unit(self) -> &'static str {
        self.words().first().map_or("", |Word(word, ..)| word)
    }

    /// Every unit word that is taken, the usual one first.
    pub fn units(self) -> Vec<&'static str> {
        let words = self.words().iter().map(|Word(word, ..)| *word);
        words.filter(|word| !word.is_empty()).collect()
    }

    /// A number in a unit as the value in SI (r/min, degrees and °C for those that have them); `None` for a unit that
    /// does not measure this.
    pub fn to_si(self, number: f64, unit: &str) -> Option<f64> {
        self.word(unit)
            .map(|Word(_, factor, offset)| match (*factor, *offset) {
                (1.0, 0.0) => number,
                (factor, offset) => tidy((number + offset) * factor, 14),
            })
    }

    /// A value in SI as the number in a unit; `None` for a unit that does not measure this.
    #[expect(
        clippy::wrong_self_convention,
        reason = "the measure says which way the value goes"
    )]
    pub fn from_si(self, value: f64, unit: &str) -> Option<f64> {
        self.word(unit)
            .map(|Word(_, factor, offset)| match (*factor, *offset) {
                (1.0, 0.0) => value,
                (factor, 0.0) => tidy(value / factor, 12),
                // What is taken off is large beside small numbers.
                (factor, offset) => tidy(value / factor - offset, 10),
            })
    }
}

/// Without what a conversion leaves in the last digits, so that 4.5 mm is 0.0045 m and comes back as 4.5 mm.
fn tidy(value: f64, digits: usize) -> f64 {
    format!("{value:.digits$e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact by definition (NIST SP 811, appendix B); 212 °F is 100 °C.
    #[test]
    fn trade_units_become_si() {
        for (measure, number, unit, si) in [
            (Measure::Force, 1.0, "kgf", 9.806_65),
            (Measure::Force, 10.0, "lbf", 44.482_216_152_605),
            (Measure::Temperature, 212.0, "°F", 100.0),
            (Measure::Temperature, 293.15, "K", 20.0),
            (Measure::Length, 0.5, "in", 0.0127),
            (Measure::Torque, 1.0, "lbf ft", 1.355_817_948_331),
            (Measure::Pressure, 1.2, "GPa", 1.2e9),
            (Measure::Rotation, 2.0, "r/s", 120.0),
            (Measure::Ratio, 5.0, "%", 0.05),
        ] {
            let found = measure.to_si(number, unit).unwrap();
            assert!((found - si).abs() <= 1e-10 * si.abs(), "{number} {unit}: {found}");
        }
    }

    #[test]
    fn a_unit_of_something_else_is_no_unit_of_this() {
        assert_eq!(Measure::Force.to_si(1.0, "kg"), None);
        assert_eq!(Measure::Force.to_si(1.0, "mm"), None);
        assert_eq!(Measure::Length.to_si(1.0, ""), None);
    }

    #[test]
    fn what_goes_in_comes_out_again_in_every_unit() {
        for key in [
            "a_m", "a_n", "a_nm", "a_m_s", "a_rpm", "a_deg", "a_hz", "a_c", "a_pa", "a",
        ] {
            let measure = Measure::of_key(key);
            for unit in measure.units() {
                let there = measure.to_si(4.5, unit).unwrap();
                assert_eq!(measure.from_si(there, unit), Some(4.5), "{key} in {unit}");
            }
        }
    }

    #[test]
    fn the_end_of_a_key_says_what_it_measures() {
        assert_eq!(Measure::of_key("pinion_torque_nm"), Measure::Torque);
        assert_eq!(Measure::of_key("speed_m_s"), Measure::Speed);
        assert_eq!(Measure::of_key("roughness_rq_m"), Measure::Length);
        assert_eq!(Measure::of_key("friction_coefficient"), Measure::Ratio);
    }
}
