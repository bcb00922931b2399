//! The form in which the surroundings of a rig's contact are written.

use crate::catalogue::ContactFault;
use crate::catalogue::file::positive;
use crate::contact::UnknownWord;
use crate::contact::element::{DEFAULT_FRICTION_COEFFICIENT, Surroundings};
use crate::units::Interval;
use serde::Deserialize;
use std::str::FromStr;

/// `{"bulk_temperature_c": [18, 35], "motion": "one way", "materials": "hard steel/hard steel", "supply": "bath"}`;
/// roughness, hardness and friction coefficient may be missing.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SurroundingsFile {
    bulk_temperature_c: OneOrTwo,
    motion: String,
    materials: String,
    supply: String,
    roughness_rq_m: Option<[f64; 2]>,
    hardness_pa: Option<f64>,
    friction_coefficient: Option<f64>,
}

/// Surroundings in the form in which they are read.
pub(crate) fn surroundings_to_json(surroundings: &Surroundings) -> serde_json::Value {
    let bulk = surroundings.bulk_temperature_c;
    let mut json = serde_json::json!({
        "bulk_temperature_c": if bulk.is_point() {
            serde_json::json!(bulk.lo())
        } else {
            serde_json::json!([bulk.lo(), bulk.hi()])
        },
        "motion": surroundings.motion.word(),
        "materials": surroundings.materials.word(),
        "supply": surroundings.supply.word(),
        "friction_coefficient": surroundings.friction_coefficient,
    });
    if let [Some(first), Some(second)] = surroundings.roughness_rq_m {
        json["roughness_rq_m"] = serde_json::json!([first, second]);
    }
    if let Some(hardness_pa) = surroundings.hardness_pa {
        json["hardness_pa"] = serde_json::json!(hardness_pa);
    }
    json
}

/// A number, or the two ends of an interval.
#[derive(Deserialize)]
#[serde(untagged)]
enum OneOrTwo {
    One(f64),
    Two([f64; 2]),
}

impl TryFrom<SurroundingsFile> for Surroundings {
    type Error = ContactFault;

    fn try_from(file: SurroundingsFile) -> Result<Self, ContactFault> {
        let [roughness_0, roughness_1] = match file.roughness_rq_m {
            Some(both) => [
                Some(positive("roughness_rq_m", both[0])?),
                Some(positive("roughness_rq_m", both[1])?),
            ],
            None => [None, None],
        };
        Ok(Self {
            bulk_temperature_c: temperature(&file.bulk_temperature_c)?,
            motion: word("motion", &file.motion)?,
            materials: word("materials", &file.materials)?,
            supply: word("supply", &file.supply)?,
            roughness_rq_m: [roughness_0, roughness_1],
            hardness_pa: file
                .hardness_pa
                .map(|hardness| positive("hardness_pa", hardness))
                .transpose()?,
            friction_coefficient: match file.friction_coefficient {
                Some(coefficient) => positive("friction_coefficient", coefficient)?,
                None => DEFAULT_FRICTION_COEFFICIENT,
            },
        })
    }
}

fn temperature(written: &OneOrTwo) -> Result<Interval, ContactFault> {
    let [lo, hi] = match *written {
        OneOrTwo::One(value) => [value, value],
        OneOrTwo::Two(pair) => pair,
    };
    let usable = (-273.15..=5000.0).contains(&lo) && (-273.15..=5000.0).contains(&hi) && lo <= hi;
    Interval::new(lo, hi)
        .filter(|_| usable)
        .ok_or(ContactFault::BulkTemperature)
}

fn word<T: FromStr<Err = UnknownWord>>(key: &'static str, text: &str) -> Result<T, ContactFault> {
    text.parse().map_err(|unknown| ContactFault::Word(key, unknown))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(json: &str) -> Result<Surroundings, ContactFault> {
        serde_json::from_str::<SurroundingsFile>(json).unwrap().try_into()
    }

    fn bath_with(more: &str) -> String {
        format!(r#"{{"motion":"one way","materials":"hard steel/hard steel","supply":"bath"{more}}}"#)
    }

    #[test]
    fn one_temperature_or_a_pair_is_read_and_what_is_missing_stays_unknown() {
        let one = read(&bath_with(r#","bulk_temperature_c":75"#)).unwrap();
        assert!(one.bulk_temperature_c.is_point());
        assert_eq!((one.roughness_rq_m, one.hardness_pa), ([None, None], None));
        assert_eq!(one.friction_coefficient, DEFAULT_FRICTION_COEFFICIENT);
        let two = read(&bath_with(r#","bulk_temperature_c":[18,35]"#)).unwrap();
        assert_eq!(Some(two.bulk_temperature_c), Interval::new(18.0, 35.0));
    }

    #[test]
    fn a_falling_pair_a_foreign_word_and_a_roughness_of_zero_are_refused_by_name() {
        let refusal = |more: &str| read(&bath_with(more)).unwrap_err();
        assert_eq!(
            refusal(r#","bulk_temperature_c":[35,18]"#),
            ContactFault::BulkTemperature
        );
        assert_eq!(
            refusal(r#","bulk_temperature_c":75,"roughness_rq_m":[0,1e-7]"#),
            ContactFault::NotAbove0("roughness_rq_m")
        );
        assert_eq!(
            refusal(r#","bulk_temperature_c":75,"friction_coefficient":-0.1"#),
            ContactFault::NotAbove0("friction_coefficient")
        );
        assert_eq!(
            refusal(r#","bulk_temperature_c":75,"hardness_pa":0"#),
            ContactFault::NotAbove0("hardness_pa")
        );
        let foreign = r#"{"bulk_temperature_c":75,"motion":"round","materials":"x","supply":"bath"}"#;
        assert!(matches!(read(foreign), Err(ContactFault::Word("motion", _))));
    }
}
