//! Contacts of machines: stated by their terms, or computed from geometry, load and speed.
//!
//! Every load, speed and temperature of a duty is one number or a pair, from the mildest to the severest; the terms
//! are intervals over the corners of that duty.

mod around;
mod ball_bearing;
mod bevel_pair;
mod bounds;
mod cam_follower;
mod chain;
mod cone;
mod conformal;
mod cylindrical_roller;
mod drawn;
mod duty;
mod flanks;
mod form;
mod gear_pair;
mod journal_bearing;
mod key;
mod oscillating;
mod parameter;
mod read;
mod registry;
mod rings;
mod rope;
mod slipper;
mod spherical_roller;
mod state;
mod stated;
mod tapered_roller;
mod thrust_roller;
mod vane;
mod worm_throat;

use crate::contact::ContactError;
use crate::contact::stated::StatedContact;
use crate::contact::terms::ContactTerms;
use crate::contact::words::{of_parameter, of_value};
use crate::lubricant::Oil;
use crate::units::Interval;
use read::Parameters;
use registry::Entry;
use state::{Geometry, RangeFact};
use std::sync::Arc;

pub use duty::{DutyChange, DutyFactors, PressureLaw};
pub use form::{FieldKind, FieldNeed, FormField};
pub use gear_pair::GearMesh;
pub use read::PresetFault;

/// How a machine's contact is given: by the word of a preset and its parameters.
#[derive(Clone, Debug)]
pub struct MachinePreset {
    entry: &'static Entry,
    parameters: Parameters,
    contact: Contact,
}

#[derive(Clone, Debug)]
enum Contact {
    /// As intervals.
    Stated(Box<StatedContact>),
    /// By a geometry, which follows from the parameters.
    Computed(Arc<dyn Geometry>),
}

impl PartialEq for MachinePreset {
    fn eq(&self, other: &Self) -> bool {
        self.entry.word == other.entry.word && self.parameters == other.parameters
    }
}

impl MachinePreset {
    /// The words that name a preset.
    pub const WORDS: &'static [&'static str] = registry::WORDS;

    /// The contact of a preset's word and its parameters, a JSON object in SI units.
    ///
    /// # Errors
    /// Names the first key that is unknown, given twice, missing, of the wrong type or without meaning; the key
    /// `preset` for an unknown word, with the list; the key `parameters` for text that is no JSON object.
    pub fn parse(preset_word: &str, json: &str) -> Result<Self, PresetFault> {
        let entry = Entry::named(preset_word)?;
        let parameters = Parameters::read(entry.word, json, &entry.keys())?;
        let contact = match entry.build {
            Some(build) => Contact::Computed(build(&parameters)?),
            None => Contact::Stated(Box::new(parameters.fields()?)),
        };
        Ok(Self {
            entry,
            parameters,
            contact,
        })
    }

    /// Everything that keeps parameters from being a contact: what is wrong with each key by itself, or, where every key
    /// can be read, the first thing that is wrong between them; empty where [`MachinePreset::parse`] takes them.
    pub fn faults(preset_word: &str, json: &str) -> Vec<PresetFault> {
        let entry = match Entry::named(preset_word) {
            Ok(entry) => entry,
            Err(fault) => return vec![fault],
        };
        let alone = Parameters::faults(entry.word, json, &entry.keys());
        if alone.is_empty() {
            Self::parse(preset_word, json).err().into_iter().collect()
        } else {
            alone
        }
    }

    /// What a form for a preset's parameters asks for, in its order; empty for an unknown word.
    pub fn form(preset_word: &str) -> Vec<FormField> {
        let entry = Entry::named(preset_word);
        let keys = entry.map(Entry::keys).unwrap_or_default();
        keys.iter()
            .map(|key| FormField::of(preset_word.trim(), key))
            .collect()
    }

    /// The word for it.
    pub fn word(&self) -> &'static str {
        self.entry.word
    }

    /// The gears, where it is a gear pair.
    pub fn gears(&self) -> Option<&GearMesh> {
        self.geometry().ok().and_then(Geometry::gears)
    }

    /// What there is to compute; a stated contact has no geometry.
    fn geometry(&self) -> Result<&dyn Geometry, &StatedContact> {
        match &self.contact {
            Contact::Computed(geometry) => Ok(geometry.as_ref()),
            Contact::Stated(stated) => Err(stated.as_ref()),
        }
    }

    /// The terms over the whole duty, each from its mean over a path, lift or roller to the place where a failure starts.
    /// Film: the oil at both ends of the bulk temperature, unknown without oil or roughness and for conformal contacts
    /// whose film is not computed. Contact temperature: bulk plus flash, for conformal contacts bulk alone. A contact
    /// that goes to and fro stands still at each reversal, where nothing is drawn in. No pressure lies above the hardness
    /// of the softer body. What an element adds stands in its own description.
    ///
    /// # Errors
    /// Materials for which no elastic or thermal constants are kept.
    pub fn terms(&self, oil: Option<&Oil>) -> Result<ContactTerms, ContactError> {
        match self.geometry() {
            Ok(geometry) => state::terms(geometry, oil),
            Err(stated) => Ok(stated.terms()),
        }
    }

    /// All parameters, with the defaults that were taken, as a JSON object that reads back as the same contact.
    pub fn parameters_json(&self) -> String {
        self.parameters.object().to_string()
    }

    /// Label and value with its unit of every parameter, defaults included, for a page.
    pub fn inputs(&self) -> Vec<(&'static str, String)> {
        let list = self.parameters.list().iter();
        let label = |key| of_parameter(self.entry.word, key).label.as_str();
        list.map(|parameter| (label(parameter.key), parameter.text()))
            .collect()
    }

    /// What is computed over the duty, for a page: label, range, and the unit of that range. A term that is not
    /// known is left out; for a stated contact these are its terms.
    ///
    /// # Errors
    /// As for the terms.
    pub fn computed(
        &self,
        oil: Option<&Oil>,
    ) -> Result<Vec<(&'static str, Interval, &'static str)>, ContactError> {
        let terms = self.terms(oil)?;
        let scaled = |range: Option<Interval>, factor: f64| range.and_then(|range| range.map(|x| x * factor));
        let known = [
            ("max_pressure_mpa", scaled(terms.max_pressure_pa, 1e-6)),
            ("mean_pressure_mpa", scaled(terms.mean_pressure_pa, 1e-6)),
            ("sliding_m_s", terms.sliding_m_s),
            ("entrainment_m_s", terms.entrainment_m_s),
            ("slide_roll", terms.slide_roll),
            ("contact_temperature_c", terms.contact_temperature_c),
            ("film_ratio", terms.film_ratio),
            ("time_share_percent", scaled(terms.time_share, 100.0)),
            ("friction_power_w_mm2", scaled(terms.friction_power_w_m2, 1e-6)),
        ];
        let known = known.into_iter().filter_map(|(key, range)| Some((key, range?)));
        let own = match self.geometry() {
            Ok(geometry) => state::facts(geometry, oil)?,
            Err(_) => Vec::new(),
        };
        let said = |(key, range): RangeFact| {
            let words = of_value(key);
            (words.label.as_str(), range, words.unit.as_str())
        };
        Ok(known.chain(own).map(said).collect())
    }

    /// Longer and shorter side of the contact area in m at the severe end of the duty, to draw to scale; `None` for a
    /// stated contact and where the terms cannot be computed.
    pub fn footprint(&self) -> Option<(f64, f64)> {
        self.geometry().ok().and_then(state::footprint)
    }
}
