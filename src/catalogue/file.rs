//! Reads a method from its data file, or a contact from the JSON of a laboratory's own method.

use crate::catalogue::surroundings::{SurroundingsFile, surroundings_to_json};
use crate::catalogue::{Condition, LoadRule, Mark, Method, MethodContact, Quantity, Sourced, take_marks};
use crate::contact::element::Element;
use crate::contact::stated::StatedContact;
use serde::Deserialize;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeOwned, IntoDeserializer};

/// Why a data file is not a method.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct FileFault(pub String);

fn fault(words: impl Into<String>) -> FileFault {
    FileFault(words.into())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RigFile {
    element: Element,
    surroundings: SurroundingsFile,
    load: LoadRule,
}

/// The method of a TOML data file.
pub fn method_from_toml(text: &str) -> Result<Method, FileFault> {
    let table: toml::Table = text.parse().map_err(|error| fault(format!("{error}")))?;
    let (plain, mut sources) =
        take_marks(toml::Value::Table(table)).map_err(|error| fault(error.to_string()))?;
    let method: Method = plain
        .try_into()
        .map_err(|error: toml::de::Error| fault(error.message()))?;
    method.quantities.iter().try_for_each(check)?;
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(Method { sources, ..method })
}

fn check(quantity: &Quantity) -> Result<(), FileFault> {
    if quantity.steps.windows(2).any(|pair| pair[0] >= pair[1]) {
        return Err(fault(format!("quantity {}: steps must rise", quantity.id)));
    }
    if let Some(precision) = &quantity.precision {
        positive("precision.r", precision.repeatability)?;
        positive("precision.R", precision.reproducibility.unwrap_or(1.0))?;
        positive("precision.level", precision.level.unwrap_or(1.0))?;
    }
    Ok(())
}

/// A contact: `{"element":…,"surroundings":…,"load":…}` where geometry is known, else the keys of a stated contact.
pub fn contact_from_json(json: serde_json::Value) -> Result<MethodContact, FileFault> {
    if json.get("element").is_none() {
        return read::<StatedContact>(json).map(MethodContact::Stated);
    }
    let rig: RigFile = read(json)?;
    rig.element
        .validate()
        .map_err(|error| fault(format!("element: {error}")))?;
    match rig.load {
        LoadRule::ForcePerUnit(factor) => positive("newton_per_unit", factor),
        LoadRule::StageTorques(_) => Ok(0.0),
        LoadRule::FixedForce(force) => positive("fixed_force_n", force),
        LoadRule::FixedTorque(torque) => positive("fixed_torque_nm", torque),
    }?;
    Ok(MethodContact::Rig {
        element: rig.element,
        surroundings: rig.surroundings.try_into()?,
        load: rig.load,
    })
}

impl TryFrom<serde_json::Value> for MethodContact {
    type Error = FileFault;

    fn try_from(json: serde_json::Value) -> Result<Self, FileFault> {
        contact_from_json(json)
    }
}

/// The form in which [`contact_from_json`] reads a contact.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn contact_to_json(contact: &MethodContact) -> Result<serde_json::Value, FileFault> {
    let unwritable = |error: serde_json::Error| fault(error.to_string());
    let (element, surroundings, load) = match contact {
        MethodContact::Stated(stated) => return serde_json::to_value(stated).map_err(unwritable),
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => (element, surroundings, load),
    };
    Ok(serde_json::json!({
        "element": serde_json::to_value(element).map_err(unwritable)?,
        "surroundings": surroundings_to_json(surroundings),
        "load": serde_json::to_value(load).map_err(unwritable)?,
    }))
}

/// Conditions of a JSON list `[{"name": "speed", "value": "1200 r/min"}]`.
///
/// # Errors
/// Text that is no such list.
pub fn conditions_from_json(json: &str) -> Result<Vec<Condition>, FileFault> {
    serde_json::from_str(json).map_err(|error| fault(format!("is not a JSON list of conditions: {error}")))
}

/// The form in which [`conditions_from_json`] reads conditions.
pub fn conditions_to_json(conditions: &[Condition]) -> String {
    serde_json::json!(conditions).to_string()
}

fn read<T: DeserializeOwned>(json: serde_json::Value) -> Result<T, FileFault> {
    serde_json::from_value(json).map_err(|error| fault(error.to_string()))
}

pub(crate) fn positive(name: &str, value: f64) -> Result<f64, FileFault> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(fault(format!("{name}: must be above 0")))
    }
}

/// The member of a closed list that a word of a file stands for: `from_word::<Better>("higher")`.
pub fn from_word<T: DeserializeOwned>(word: &str) -> Option<T> {
    let word: StrDeserializer<'_, serde::de::value::Error> = word.trim().into_deserializer();
    T::deserialize(word).ok()
}

/// A value of a laboratory's own method, which carries one mark for all.
pub fn own_mark(path: &str, value: &str, words: &str) -> Sourced {
    Sourced {
        path: path.to_string(),
        value: value.to_string(),
        mark: Mark::Ours,
        source: words.to_string(),
    }
}
