//! Reads a method from its data file, or a contact from the JSON of a laboratory's own method.

use crate::catalogue::mark::MarkFault;
use crate::catalogue::surroundings::{SurroundingsFile, surroundings_to_json};
use crate::catalogue::{
    Condition, LoadRule, Mark, Method, MethodContact, NamedContact, Quantity, Sourced, take_marks,
};
use crate::contact::element::Element;
use crate::contact::stated::StatedContact;
use crate::contact::{ContactError, UnknownWord};
use serde::Deserialize;
use serde::de::value::StrDeserializer;
use serde::de::{DeserializeOwned, IntoDeserializer};
use std::collections::BTreeSet;

/// Why a data file is not a method. The files are part of the program: only its tests ever show one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileFault {
    /// The reader of the file says this.
    Unread(String),
    /// A value without its mark.
    Mark(MarkFault),
    /// A quantity whose precision is not above 0.
    Quantity(String),
    /// A quantity that comes from a contact that the method has not, and the contact's name.
    Contact(String, String),
    /// One of several contacts without a name, or two of one name.
    Unnamed,
}

/// Why JSON is no contact of a method.
#[derive(Clone, Debug, PartialEq)]
pub enum ContactFault {
    /// The reader of the JSON says this.
    Unread(String),
    /// An element that is none.
    Element(ContactError),
    /// A number under this key that is not above 0.
    NotAbove0(&'static str),
    /// A word under this key that is not on its list.
    Word(&'static str, UnknownWord),
    /// A bulk temperature that is neither one nor a rising pair.
    BulkTemperature,
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
    let unread = |error: toml::de::Error| FileFault::Unread(error.to_string());
    let table: toml::Table = text.parse().map_err(unread)?;
    let (plain, mut sources) = take_marks(toml::Value::Table(table)).map_err(FileFault::Mark)?;
    let method: Method = plain.try_into().map_err(unread)?;
    method.quantities.iter().try_for_each(check)?;
    for quantity in &method.quantities {
        if let Some(name) = method.missing_contact(quantity) {
            return Err(FileFault::Contact(quantity.id.clone(), name.to_string()));
        }
    }
    let several = method.contacts.len() > 1;
    let names: BTreeSet<&str> = method.contacts.iter().map(|named| named.name.as_str()).collect();
    if several && (names.contains("") || names.len() < method.contacts.len()) {
        return Err(FileFault::Unnamed);
    }
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(Method { sources, ..method })
}

fn check(quantity: &Quantity) -> Result<(), FileFault> {
    let is_sound = quantity.precision.iter().all(|precision| {
        is_positive(precision.repeatability)
            && precision.reproducibility.is_none_or(is_positive)
            && precision.level.is_none_or(is_positive)
    });
    is_sound
        .then_some(())
        .ok_or_else(|| FileFault::Quantity(quantity.id.clone()))
}

/// A contact: `{"element":…,"surroundings":…,"load":…}` where geometry is known, else the keys of a stated contact; beside
/// them `name`, which may be missing.
pub fn contact_from_json(mut json: serde_json::Value) -> Result<NamedContact, ContactFault> {
    let name = match json.as_object_mut().and_then(|keys| keys.remove("name")) {
        Some(name) => read::<String>(name)?.trim().to_string(),
        None => String::new(),
    };
    let contact = unnamed(json)?;
    Ok(NamedContact { name, contact })
}

fn unnamed(json: serde_json::Value) -> Result<MethodContact, ContactFault> {
    if json.get("element").is_none() {
        return read::<StatedContact>(json).map(MethodContact::Stated);
    }
    let rig: RigFile = read(json)?;
    rig.element.validate().map_err(ContactFault::Element)?;
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

impl TryFrom<serde_json::Value> for NamedContact {
    type Error = String;

    /// For the files that are part of the program: what is wrong in one of them is shown by tests alone.
    fn try_from(json: serde_json::Value) -> Result<Self, String> {
        contact_from_json(json).map_err(|fault| format!("{fault:?}"))
    }
}

/// The form in which [`contact_from_json`] reads a contact.
///
/// # Errors
/// A number that JSON cannot hold.
pub fn contact_to_json(named: &NamedContact) -> Result<serde_json::Value, serde_json::Error> {
    let mut json = unnamed_to_json(&named.contact)?;
    if !named.name.is_empty() {
        json["name"] = serde_json::json!(named.name);
    }
    Ok(json)
}

fn unnamed_to_json(contact: &MethodContact) -> Result<serde_json::Value, serde_json::Error> {
    let (element, surroundings, load) = match contact {
        MethodContact::Stated(stated) => return serde_json::to_value(stated),
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => (element, surroundings, load),
    };
    Ok(serde_json::json!({
        "element": serde_json::to_value(element)?,
        "surroundings": surroundings_to_json(surroundings),
        "load": serde_json::to_value(load)?,
    }))
}

/// Conditions of a JSON list `[{"name": "speed", "value": "1200 r/min"}]`.
///
/// # Errors
/// Text that is no such list.
pub fn conditions_from_json(json: &str) -> Result<Vec<Condition>, serde_json::Error> {
    serde_json::from_str(json)
}

/// The form in which [`conditions_from_json`] reads conditions.
pub fn conditions_to_json(conditions: &[Condition]) -> String {
    serde_json::json!(conditions).to_string()
}

fn read<T: DeserializeOwned>(json: serde_json::Value) -> Result<T, ContactFault> {
    serde_json::from_value(json).map_err(|error| ContactFault::Unread(error.to_string()))
}

fn is_positive(value: f64) -> bool {
    value.is_finite() && value > 0.0
}

pub(crate) fn positive(key: &'static str, value: f64) -> Result<f64, ContactFault> {
    let fits = is_positive(value);
    fits.then_some(value).ok_or(ContactFault::NotAbove0(key))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_text;

    #[test]
    fn of_several_contacts_each_has_a_name_of_its_own() {
        let sound = built_in_text("rb_oil").unwrap();
        assert!(method_from_toml(sound).is_ok());
        for name in ["", "raceways"] {
            let file = sound.replace("cage pockets", name);
            let file = file.replace("contacts = [\"\"]", "contacts = [\"raceways\"]");
            assert_eq!(
                method_from_toml(&file).unwrap_err(),
                FileFault::Unnamed,
                "{name:?}"
            );
        }
        // One contact alone may do without.
        let one = built_in_text("fb_ep_oil").unwrap();
        let file = one.replace("name = \"ball on three balls\"", "name = \"\"");
        assert!(method_from_toml(&file).is_ok());
    }
}
