//! Contacts of machines: stated by their terms, or computed from geometry, load and speed.
//!
//! Every load, speed and temperature of a duty is one number or a pair, from the mildest to the severest; the terms
//! are intervals over the corners of that duty.

mod around;
mod conformal;
mod cylindrical_roller;
mod gear_pair;
mod parameter;
mod read;
mod state;
mod stated;
mod thrust_roller;
mod worm_throat;

use crate::contact::stated::StatedContact;
use crate::contact::terms::ContactTerms;
use crate::contact::{ContactError, UnknownWord};
use crate::lubricant::Oil;
use crate::units::Interval;
use parameter::Parameter;
use read::Fields;
use state::Geometry;

pub use conformal::{PinInBush, Slideway};
pub use cylindrical_roller::CylindricalRollerBearing;
pub use gear_pair::GearMesh;
pub use read::PresetFault;
pub use thrust_roller::ThrustRollerBearing;
pub use worm_throat::WormThroat;

/// How a machine's contact is given.
#[derive(Clone, Debug, PartialEq)]
pub enum MachinePreset {
    /// As intervals.
    Stated(StatedContact),
    /// An external spur or helical gear pair.
    GearPair(GearMesh),
    /// A cylindrical roller bearing under a radial load.
    CylindricalRollerBearing(CylindricalRollerBearing),
    /// A cylindrical roller thrust bearing.
    ThrustRollerBearing(ThrustRollerBearing),
    /// A worm and its wheel at the throat.
    WormThroat(WormThroat),
    /// A pin that swings in a bush.
    PinInBush(PinInBush),
    /// A slider on a way.
    Slideway(Slideway),
}

impl MachinePreset {
    /// The words that name a preset.
    pub const WORDS: &'static [&'static str] = &[
        "stated",
        "gear pair",
        "cylindrical roller bearing",
        "thrust roller bearing",
        "worm throat",
        "pin in bush",
        "slideway",
    ];

    /// The contact of a preset's word and its parameters, a JSON object in SI units.
    ///
    /// # Errors
    /// Names the first key that is unknown, given twice, missing, of the wrong type or without meaning; the key
    /// `preset` for an unknown word, with the list; the key `parameters` for text that is no JSON object.
    pub fn parse(preset_word: &str, json: &str) -> Result<Self, PresetFault> {
        let word = preset_word.trim();
        let fields = |keys: Vec<&'static str>| Fields::of(word, json, &keys);
        match word {
            "stated" => stated::read(json).map(Self::Stated),
            "gear pair" => GearMesh::read(&fields(GearMesh::keys())?).map(Self::GearPair),
            "cylindrical roller bearing" => {
                CylindricalRollerBearing::read(&fields(CylindricalRollerBearing::keys())?)
                    .map(Self::CylindricalRollerBearing)
            }
            "thrust roller bearing" => ThrustRollerBearing::read(&fields(ThrustRollerBearing::keys())?)
                .map(Self::ThrustRollerBearing),
            "worm throat" => WormThroat::read(&fields(WormThroat::keys())?).map(Self::WormThroat),
            "pin in bush" => PinInBush::read(&fields(PinInBush::keys())?).map(Self::PinInBush),
            "slideway" => Slideway::read(&fields(Slideway::keys())?).map(Self::Slideway),
            _ => {
                let unknown = UnknownWord {
                    what: "preset",
                    word: word.to_string(),
                    allowed: Self::WORDS.join(", "),
                };
                Err(PresetFault::new("preset", unknown.to_string()))
            }
        }
    }

    /// The keys that a preset's parameters may have, in the order of a form; empty for an unknown word.
    pub fn keys(preset_word: &str) -> Vec<&'static str> {
        match preset_word.trim() {
            "stated" => stated::KEYS.to_vec(),
            "gear pair" => GearMesh::keys(),
            "cylindrical roller bearing" => CylindricalRollerBearing::keys(),
            "thrust roller bearing" => ThrustRollerBearing::keys(),
            "worm throat" => WormThroat::keys(),
            "pin in bush" => PinInBush::keys(),
            "slideway" => Slideway::keys(),
            _ => Vec::new(),
        }
    }

    /// The word for it.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Stated(_) => "stated",
            Self::GearPair(_) => "gear pair",
            Self::CylindricalRollerBearing(_) => "cylindrical roller bearing",
            Self::ThrustRollerBearing(_) => "thrust roller bearing",
            Self::WormThroat(_) => "worm throat",
            Self::PinInBush(_) => "pin in bush",
            Self::Slideway(_) => "slideway",
        }
    }

    /// What there is to compute; a stated contact has no geometry.
    fn geometry(&self) -> Result<&dyn Geometry, &StatedContact> {
        match self {
            Self::Stated(stated) => Err(stated),
            Self::GearPair(it) => Ok(it),
            Self::CylindricalRollerBearing(it) => Ok(it),
            Self::ThrustRollerBearing(it) => Ok(it),
            Self::WormThroat(it) => Ok(it),
            Self::PinInBush(it) => Ok(it),
            Self::Slideway(it) => Ok(it),
        }
    }

    /// The terms over the whole duty. Film: the oil at both ends of the bulk temperature, unknown without oil or
    /// roughness and for conformal contacts. Contact temperature: bulk plus mean flash, unknown for conformal
    /// contacts. What an element adds stands in its own description.
    ///
    /// # Errors
    /// Materials for which no elastic or thermal constants are kept.
    pub fn terms(&self, oil: Option<&Oil>) -> Result<ContactTerms, ContactError> {
        match self.geometry() {
            Ok(geometry) => state::terms(geometry, oil),
            Err(stated) => Ok(stated.terms()),
        }
    }

    fn parameters(&self) -> Vec<Parameter> {
        match self.geometry() {
            Ok(geometry) => {
                let mut list = geometry.own_parameters();
                list.extend(geometry.around().parameters());
                list
            }
            Err(stated) => stated::parameters(stated),
        }
    }

    /// All parameters, with the defaults that were taken, as a JSON object that reads back as the same contact.
    pub fn parameters_json(&self) -> String {
        parameter::to_json(&self.parameters())
    }

    /// Label and value with its unit of every parameter, defaults included, for a page.
    pub fn inputs(&self) -> Vec<(&'static str, String)> {
        let parameters = self.parameters();
        parameters
            .iter()
            .map(|parameter| (parameter.label, parameter.text()))
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
            ("Maximum pressure", scaled(terms.max_pressure_pa, 1e-6), "MPa"),
            ("Mean pressure", scaled(terms.mean_pressure_pa, 1e-6), "MPa"),
            ("Sliding speed", terms.sliding_m_s, "m/s"),
            ("Slide-roll ratio", terms.slide_roll, "-"),
            ("Contact temperature", terms.contact_temperature_c, "°C"),
            ("Film ratio", terms.film_ratio, "-"),
            ("Share of time in contact", scaled(terms.time_share, 100.0), "%"),
            (
                "Pressure times sliding speed",
                scaled(terms.friction_power_w_m2, 1e-6),
                "W/mm²",
            ),
        ];
        let known = known
            .into_iter()
            .filter_map(|(label, range, unit)| Some((label, range?, unit)));
        let own = match self.geometry() {
            Ok(geometry) => state::facts(geometry)?,
            Err(_) => Vec::new(),
        };
        Ok(known.chain(own).collect())
    }

    /// Longer and shorter side of the contact area in m at the severe end of the duty, to draw to scale; `None` for a
    /// stated contact and where the terms cannot be computed.
    pub fn footprint(&self) -> Option<(f64, f64)> {
        self.geometry().ok().and_then(state::footprint)
    }
}
