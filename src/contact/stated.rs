//! A contact whose terms are stated because its geometry is not known.

use crate::contact::note::Note;
use crate::contact::terms::{ContactTerms, Materials, Motion, ShapeClass, Supply};
use crate::contact::{ContactError, Wrong};
use crate::units::Interval;
use serde::{Deserialize, Serialize};
use std::fmt::Display;

/// A stated contact; every term may be missing.
///
/// In JSON a number stands for itself, a pair for an interval from its first to its second number:
/// `{"shape": "line", "max_pressure_pa": [0.7e9, 1.5e9], "sliding_m_s": 0.1, "motion": "reversing"}`.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, Serialize)]
#[serde(try_from = "WrittenContact", into = "WrittenContact")]
pub struct StatedContact {
    /// Form of the contact area.
    pub shape: Option<ShapeClass>,
    /// Longer over shorter axis, 1 to 100.
    pub ellipticity: Option<Interval>,
    /// Maximum pressure, Pa.
    pub max_pressure_pa: Option<Interval>,
    /// Mean pressure, Pa.
    pub mean_pressure_pa: Option<Interval>,
    /// Sliding speed, m/s.
    pub sliding_m_s: Option<Interval>,
    /// Rolling (entrainment) speed, m/s.
    pub entrainment_m_s: Option<Interval>,
    /// Sliding over entrainment.
    pub slide_roll: Option<Interval>,
    /// Motion.
    pub motion: Option<Motion>,
    /// Film thickness over combined roughness.
    pub film_ratio: Option<Interval>,
    /// Materials.
    pub materials: Option<Materials>,
    /// Share of its time for which a spot of the more loaded body is in contact.
    pub time_share: Option<Interval>,
    /// Bulk temperature, °C.
    pub temperature_c: Option<Interval>,
    /// Bulk temperature plus flash, °C.
    pub contact_temperature_c: Option<Interval>,
    /// Supply.
    pub supply: Option<Supply>,
}

impl StatedContact {
    /// Its terms. A point has ellipticity 1 and a line 100 where none is stated; a rolling speed that is not stated is half
    /// the sliding speed where one body stands still (slide-roll ratio 2), else the sliding speed over the slide-roll ratio
    /// at their greater ends, and unknown where the bodies only roll.
    pub fn terms(&self) -> ContactTerms {
        let implied = match self.shape {
            Some(ShapeClass::Point) => Interval::point(1.0),
            Some(ShapeClass::Line) => Interval::point(100.0),
            _ => None,
        };
        let (entrainment_m_s, notes) = match (self.entrainment_m_s, self.rolling_from_sliding()) {
            (None, Some(rolling)) => (Some(rolling), vec![Note::RollingFromSliding]),
            (stated, _) => (stated, Vec::new()),
        };
        ContactTerms {
            shape: self.shape,
            ellipticity: self.ellipticity.or(implied),
            max_pressure_pa: self.max_pressure_pa,
            mean_pressure_pa: self.mean_pressure_pa,
            sliding_m_s: self.sliding_m_s,
            entrainment_m_s,
            slide_roll: self.slide_roll,
            motion: self.motion,
            bulk_temperature_c: self.temperature_c,
            contact_temperature_c: self.contact_temperature_c,
            film_ratio: self.film_ratio,
            materials: self.materials,
            time_share: self.time_share,
            supply: self.supply,
            friction_power_w_m2: None,
            notes,
        }
        .with_friction_power()
    }

    fn rolling_from_sliding(&self) -> Option<Interval> {
        let (sliding, ratio) = self.sliding_m_s.zip(self.slide_roll)?;
        match (ratio.lo() >= ONE_STANDS_STILL, ratio.hi() > 0.0) {
            (true, _) => sliding.map(|sliding| 0.5 * sliding),
            (false, true) => Interval::point(sliding.hi() / ratio.hi()),
            (false, false) => None,
        }
    }
}

/// Slide-roll ratio of a body that slides on one that stands still.
const ONE_STANDS_STILL: f64 = 2.0;

/// One number or a pair of numbers; anything else is kept until its key can be named.
#[derive(Clone, Copy, Debug, Deserialize, Serialize)]
#[serde(untagged)]
enum WrittenRange {
    One(f64),
    Pair([f64; 2]),
    #[serde(skip_serializing)]
    Other(serde::de::IgnoredAny),
}

/// The form in which a stated contact is written.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct WrittenContact {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shape: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ellipticity: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    max_pressure_pa: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mean_pressure_pa: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sliding_m_s: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    entrainment_m_s: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slide_roll: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    motion: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    film_ratio: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    materials: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    time_share: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    temperature_c: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    contact_temperature_c: Option<WrittenRange>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    supply: Option<String>,
}

/// The interval of one key, inside `range`.
fn interval(
    field: &'static str,
    span: Option<WrittenRange>,
    range: [f64; 2],
) -> Result<Option<Interval>, ContactError> {
    let Some(span) = span else { return Ok(None) };
    let refuse = |wrong: Wrong, values: &[&dyn Display]| {
        let problem = wrong.words_with(values);
        Err(ContactError::Interval { field, problem })
    };
    let [lo, hi] = match span {
        WrittenRange::One(value) => [value, value],
        WrittenRange::Pair(pair) => pair,
        WrittenRange::Other(_) => return refuse(Wrong::NotARange, &[]),
    };
    let Some(interval) = Interval::new(lo, hi) else {
        return refuse(Wrong::EndNotFinite, &[]);
    };
    if lo > hi {
        return refuse(Wrong::Reversed, &[&lo, &hi]);
    }
    if lo < range[0] || hi > range[1] {
        return refuse(Wrong::NotBetween, &[&range[0], &range[1]]);
    }
    Ok(Some(interval))
}

fn word<T: std::str::FromStr<Err = crate::contact::UnknownWord>>(
    text: Option<String>,
) -> Result<Option<T>, ContactError> {
    Ok(text.map(|text| text.parse()).transpose()?)
}

impl TryFrom<WrittenContact> for StatedContact {
    type Error = ContactError;

    fn try_from(written: WrittenContact) -> Result<Self, ContactError> {
        const TEMPERATURE: [f64; 2] = [-273.15, 5000.0];
        const PRESSURE: [f64; 2] = [0.0, 1e12];
        Ok(Self {
            shape: word(written.shape)?,
            ellipticity: interval("ellipticity", written.ellipticity, [1.0, 100.0])?,
            max_pressure_pa: interval("max_pressure_pa", written.max_pressure_pa, PRESSURE)?,
            mean_pressure_pa: interval("mean_pressure_pa", written.mean_pressure_pa, PRESSURE)?,
            sliding_m_s: interval("sliding_m_s", written.sliding_m_s, [0.0, 1e4])?,
            entrainment_m_s: interval("entrainment_m_s", written.entrainment_m_s, [0.0, 1e4])?,
            slide_roll: interval("slide_roll", written.slide_roll, [0.0, 1e6])?,
            motion: word(written.motion)?,
            film_ratio: interval("film_ratio", written.film_ratio, [0.0, 1e6])?,
            materials: word(written.materials)?,
            time_share: interval("time_share", written.time_share, [0.0, 1.0])?,
            temperature_c: interval("temperature_c", written.temperature_c, TEMPERATURE)?,
            contact_temperature_c: interval(
                "contact_temperature_c",
                written.contact_temperature_c,
                TEMPERATURE,
            )?,
            supply: word(written.supply)?,
        })
    }
}

impl From<StatedContact> for WrittenContact {
    fn from(stated: StatedContact) -> Self {
        let span = |interval: Option<Interval>| {
            interval.map(|interval| {
                if interval.is_point() {
                    WrittenRange::One(interval.lo())
                } else {
                    WrittenRange::Pair([interval.lo(), interval.hi()])
                }
            })
        };
        Self {
            shape: stated.shape.map(|shape| shape.word().to_string()),
            ellipticity: span(stated.ellipticity),
            max_pressure_pa: span(stated.max_pressure_pa),
            mean_pressure_pa: span(stated.mean_pressure_pa),
            sliding_m_s: span(stated.sliding_m_s),
            entrainment_m_s: span(stated.entrainment_m_s),
            slide_roll: span(stated.slide_roll),
            motion: stated.motion.map(|motion| motion.word().to_string()),
            film_ratio: span(stated.film_ratio),
            materials: stated.materials.map(|materials| materials.word().to_string()),
            time_share: span(stated.time_share),
            temperature_c: span(stated.temperature_c),
            contact_temperature_c: span(stated.contact_temperature_c),
            supply: stated.supply.map(|supply| supply.word().to_string()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRIVE: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.7e9,1.5e9],
        "sliding_m_s":[0,0.12],"slide_roll":[0,1.2],"motion":"reversing","film_ratio":[0.05,0.5],
        "materials":"hard steel/hard steel","time_share":[0.01,0.02],"temperature_c":[5,40],"supply":"splash"}"#;

    fn refusal(json: &str) -> String {
        serde_json::from_str::<StatedContact>(json)
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn a_stated_contact_gives_its_terms_and_the_friction_power_that_follows() {
        let terms = serde_json::from_str::<StatedContact>(DRIVE).unwrap().terms();
        assert_eq!(terms.max_pressure_pa, Interval::new(0.7e9, 1.5e9));
        assert_eq!(terms.bulk_temperature_c, Interval::new(5.0, 40.0));
        assert_eq!(terms.contact_temperature_c, None);
        assert_eq!(terms.friction_power_w_m2, Interval::new(0.0, 1.5e9 * 0.12));
    }

    #[test]
    fn what_is_written_reads_back_as_the_same_contact() {
        let stated: StatedContact = serde_json::from_str(DRIVE).unwrap();
        let written = serde_json::to_string(&stated).unwrap();
        assert_eq!(serde_json::from_str::<StatedContact>(&written).unwrap(), stated);
    }

    #[test]
    fn every_key_may_be_missing() {
        let stated: StatedContact = serde_json::from_str("{}").unwrap();
        assert_eq!(stated.terms(), ContactTerms::default());
    }

    fn rolling(json: &str) -> Option<Interval> {
        let terms = serde_json::from_str::<StatedContact>(json).unwrap().terms();
        let derived = terms.notes == [Note::RollingFromSliding];
        assert_eq!(
            derived,
            terms.entrainment_m_s.is_some() && !json.contains("entrainment")
        );
        terms.entrainment_m_s
    }

    #[test]
    fn a_rolling_speed_that_is_not_stated_follows_from_sliding_and_slide_roll_ratio() {
        let with = |ratio: &str| rolling(&format!(r#"{{"sliding_m_s":[0,0.12],"slide_roll":{ratio}}}"#));
        assert_eq!(with("2"), Interval::new(0.0, 0.06));
        assert_eq!(with("[2,3]"), Interval::new(0.0, 0.06));
        assert_eq!(with("[1.99,2]"), Interval::point(0.06));
        assert_eq!(with("[0,1.2]"), Interval::point(0.12 / 1.2));
        assert_eq!(with("0"), None);
        assert_eq!(rolling(r#"{"sliding_m_s":1}"#), None);
        let stated = r#"{"sliding_m_s":1,"slide_roll":2,"entrainment_m_s":[3,4]}"#;
        assert_eq!(rolling(stated), Interval::new(3.0, 4.0));
    }

    #[test]
    fn one_number_is_an_interval_of_its_own() {
        let stated: StatedContact = serde_json::from_str(r#"{"slide_roll": 2}"#).unwrap();
        assert_eq!(stated.slide_roll, Interval::point(2.0));
    }

    #[test]
    fn a_reversed_interval_an_impossible_value_and_a_foreign_key_are_refused_by_name() {
        assert!(refusal(r#"{"sliding_m_s":[2,1]}"#).contains("sliding_m_s: reversed"));
        assert!(refusal(r#"{"time_share":1.5}"#).contains("time_share: must lie between 0 and 1"));
        assert!(refusal(r#"{"max_pressure_pa":[-1,1]}"#).contains("max_pressure_pa"));
        assert!(refusal(r#"{"pressure":1}"#).contains("unknown field `pressure`"));
        assert!(refusal(r#"{"sliding_m_s":"fast"}"#).contains("sliding_m_s: must be a number or a pair"));
        assert!(refusal(r#"{"slide_roll":[0,1,2]}"#).contains("slide_roll: must be a number or a pair"));
    }

    #[test]
    fn a_word_outside_the_list_is_refused_with_the_list() {
        let words = refusal(r#"{"supply":"by hand"}"#);
        assert!(words.contains("bath, splash, circulated, once-through, packed grease, thin dab"));
    }
}
