//! Viscosity of an oil at a temperature, and its viscosity index.

use crate::calculate::{Answered, Refusal, oil_problem, refusal, refused_oil};
use crate::lubricant::viscosity::{GREATEST_KV_MM2_S, LEAST_KV_MM2_S, ViscosityLine, ZERO_CELSIUS_K};
use crate::lubricant::{IndexProcedure, viscosity_index_by_procedure};

/// Temperatures of the drawn line, °C.
const FROM_C: i32 = -20;
const TO_C: i32 = 150;
const STEP_C: usize = 10;

/// What is asked about an oil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ViscosityQuestion {
    /// Kinematic viscosity at 40 °C, mm2/s.
    pub kv40_mm2_s: f64,
    /// At 100 °C.
    pub kv100_mm2_s: f64,
    /// Temperature at which it is wanted, °C.
    pub temperature_c: Option<f64>,
}

/// Why there is no viscosity index.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown(pub String);

/// Viscosity and viscosity index.
#[derive(Clone, Debug, PartialEq)]
pub struct ViscosityAnswer {
    /// Kinematic viscosity at the temperature, mm2/s; `None` where none was asked for.
    pub kv_mm2_s: Option<f64>,
    /// Viscosity index, not rounded, and its procedure.
    pub index: Result<(f64, IndexProcedure), Unknown>,
    /// The slope B of the line.
    pub slope: f64,
    /// Temperature in °C and viscosity in mm2/s along the line.
    pub line: Vec<(f64, f64)>,
}

impl ViscosityAnswer {
    /// The index as the standard reports it: to the nearest whole number, ties to the even one (from memory).
    pub fn reported_index(&self) -> Option<f64> {
        self.index.as_ref().ok().map(|(index, _)| index.round_ties_even())
    }
}

/// Viscosity at a temperature (ASTM D341) and viscosity index (ASTM D2270).
///
/// # Errors
/// Viscosities that belong to no oil; a temperature at which the equation leaves 0.21 to 2e7 mm2/s.
pub fn calculate_viscosity(question: &ViscosityQuestion) -> Answered<ViscosityAnswer> {
    let line =
        ViscosityLine::new(question.kv40_mm2_s, question.kv100_mm2_s).map_err(|error| refused_oil(&error))?;
    let kv_mm2_s = question
        .temperature_c
        .map(|at| viscosity_at(&line, at))
        .transpose()?;
    let index = viscosity_index_by_procedure(question.kv40_mm2_s, question.kv100_mm2_s);
    let asked = question.temperature_c.into_iter();
    let mut temperatures: Vec<f64> = (FROM_C..=TO_C)
        .step_by(STEP_C)
        .map(f64::from)
        .chain(asked)
        .collect();
    temperatures.sort_by(f64::total_cmp);
    temperatures.dedup();
    Ok(ViscosityAnswer {
        kv_mm2_s,
        index: index.map_err(|error| Unknown(oil_problem(error.limit).to_string())),
        slope: line.b(),
        line: temperatures
            .into_iter()
            .filter_map(|at| Some((at, viscosity_at(&line, at).ok()?)))
            .collect(),
    })
}

fn viscosity_at(line: &ViscosityLine, temperature_c: f64) -> Result<f64, Vec<Refusal>> {
    let refuse = |problem: &str| Err(vec![refusal("temperature_c", problem)]);
    if !(temperature_c.is_finite() && temperature_c > -ZERO_CELSIUS_K) {
        return refuse("must be a temperature above absolute zero, −273.15 °C");
    }
    let kv = line.kv_mm2_s(temperature_c);
    if kv.is_finite() && kv > LEAST_KV_MM2_S && kv < GREATEST_KV_MM2_S {
        Ok(kv)
    } else {
        refuse("at this temperature the oil lies outside 0.21 to 2e7 mm2/s, where ASTM D341 ends")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(kv40_mm2_s: f64, kv100_mm2_s: f64, temperature_c: Option<f64>) -> Answered<ViscosityAnswer> {
        calculate_viscosity(&ViscosityQuestion {
            kv40_mm2_s,
            kv100_mm2_s,
            temperature_c,
        })
    }

    /// ASTM D2270, worked example: 92.43, reported as 92 (seen).
    #[test]
    fn the_index_is_given_whole_and_as_reported() {
        let answer = ask(73.30, 8.86, None).unwrap();
        let (index, procedure) = answer.index.clone().unwrap();
        assert!((index - 92.43).abs() < 0.02 && procedure == IndexProcedure::A);
        assert_eq!((answer.reported_index(), answer.kv_mm2_s), (Some(92.0), None));
    }

    #[test]
    fn a_thin_oil_has_a_viscosity_but_no_index() {
        let answer = ask(5.0, 1.7, Some(60.0)).unwrap();
        assert!(answer.index.is_err() && answer.kv_mm2_s.is_some());
    }

    #[test]
    fn a_temperature_beyond_the_equation_is_refused() {
        for at in [-300.0, -273.15, f64::NAN, -200.0, 2000.0] {
            assert_eq!(
                ask(220.0, 19.0, Some(at)).unwrap_err()[0].field,
                "temperature_c",
                "{at}"
            );
        }
        assert_eq!(ask(19.0, 220.0, None).unwrap_err()[0].field, "kv100_mm2_s");
    }

    #[test]
    fn the_line_holds_the_temperature_asked_for_and_falls() {
        let answer = ask(220.0, 19.0, Some(63.0)).unwrap();
        assert!(answer.line.iter().any(|(at, _)| *at == 63.0));
        assert!(answer.line.windows(2).all(|pair| pair[0].1 > pair[1].1));
    }
}
