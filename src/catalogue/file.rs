//! Reads a method from its data file, or a contact from the JSON of a laboratory's own method.

use crate::catalogue::surroundings::{SurroundingsFile, surroundings_to_json};
use crate::catalogue::{
    Better, Category, Condition, LoadRule, Lubricant, Mark, Method, MethodContact, Mode, Origin, PlainNumber,
    Precision, PrecisionKind, PressureFrom, Quantity, Scale, Sourced, Use, take_marks,
};
use crate::contact::element::Element;
use crate::contact::stated::StatedContact;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::collections::BTreeMap;

/// Why a data file is not a method.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct FileFault(pub String);

fn fault(words: impl Into<String>) -> FileFault {
    FileFault(words.into())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MethodFile {
    id: String,
    title: String,
    standard: String,
    standard_title: String,
    lubricant: String,
    category: String,
    #[serde(default)]
    contact: Vec<toml::Table>,
    #[serde(default)]
    condition: Vec<ConditionFile>,
    quantity: Vec<QuantityFile>,
    caution: String,
    #[serde(default)]
    safety: String,
    #[serde(default)]
    note: String,
    #[serde(default)]
    several_specimens_per_run: bool,
    cost: Option<f64>,
    days: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ConditionFile {
    name: String,
    value: String,
}

impl From<ConditionFile> for Condition {
    fn from(file: ConditionFile) -> Self {
        Self {
            name: file.name,
            value: file.value,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RigFile {
    element: Element,
    surroundings: SurroundingsFile,
    load: LoadFile,
}

#[derive(Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum LoadFile {
    NewtonPerUnit(f64),
    StageTorquesNm(Vec<f64>),
    FixedForceN(f64),
    FixedTorqueNm(f64),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct QuantityFile {
    id: String,
    label: String,
    unit: String,
    better: String,
    scale: String,
    #[serde(default)]
    steps: Vec<f64>,
    cap: Option<f64>,
    first_inspected: Option<f64>,
    #[serde(default)]
    classes: Vec<String>,
    plain_number: String,
    modes: BTreeMap<String, f64>,
    #[serde(rename = "use")]
    usual_use: String,
    #[serde(default)]
    pressure: String,
    load_of: Option<String>,
    scar_of: Option<String>,
    nominal: Option<f64>,
    resolution: Option<f64>,
    precision: Option<PrecisionFile>,
    #[serde(default)]
    precision_note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PrecisionFile {
    kind: String,
    r: f64,
    #[serde(rename = "R")]
    reproducibility: Option<f64>,
    level: Option<f64>,
}

/// The method of a TOML data file.
pub fn method_from_toml(text: &str) -> Result<Method, FileFault> {
    let table: toml::Table = text.parse().map_err(|error| fault(format!("{error}")))?;
    let (plain, mut sources) =
        take_marks(toml::Value::Table(table)).map_err(|error| fault(error.to_string()))?;
    let file: MethodFile = plain
        .try_into()
        .map_err(|error: toml::de::Error| fault(error.message()))?;
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    method(file, sources)
}

fn method(file: MethodFile, sources: Vec<Sourced>) -> Result<Method, FileFault> {
    let contacts: Result<Vec<_>, _> = file
        .contact
        .into_iter()
        .map(|table| contact(toml::Value::Table(table)))
        .collect();
    let quantities: Result<Vec<_>, _> = file.quantity.into_iter().map(quantity).collect();
    Ok(Method {
        lubricant: Lubricant::from_word(&file.lubricant).ok_or_else(|| fault("lubricant: oil or grease"))?,
        category: Category::from_word(&file.category)
            .ok_or_else(|| fault("category: I, II, III, IV, V, VI or chemical bench"))?,
        contacts: contacts?,
        conditions: file.condition.into_iter().map(Condition::from).collect(),
        quantities: quantities?,
        id: file.id,
        title: file.title,
        standard: file.standard,
        standard_title: file.standard_title,
        caution: file.caution,
        safety: file.safety,
        note: file.note,
        several_specimens_per_run: file.several_specimens_per_run,
        cost: file.cost,
        days: file.days,
        sources,
        origin: Origin::BuiltIn,
    })
}

fn contact(value: toml::Value) -> Result<MethodContact, FileFault> {
    let json = serde_json::to_value(value).map_err(|error| fault(error.to_string()))?;
    contact_from_json(json)
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
    let load = match rig.load {
        LoadFile::NewtonPerUnit(factor) => LoadRule::ForcePerUnit(positive("newton_per_unit", factor)?),
        LoadFile::StageTorquesNm(torques) => LoadRule::StageTorques(torques),
        LoadFile::FixedForceN(force) => LoadRule::FixedForce(positive("fixed_force_n", force)?),
        LoadFile::FixedTorqueNm(torque) => LoadRule::FixedTorque(positive("fixed_torque_nm", torque)?),
    };
    Ok(MethodContact::Rig {
        element: rig.element,
        surroundings: rig.surroundings.try_into()?,
        load,
    })
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
    let load = match load {
        LoadRule::ForcePerUnit(factor) => serde_json::json!({ "newton_per_unit": factor }),
        LoadRule::StageTorques(torques) => serde_json::json!({ "stage_torques_nm": torques }),
        LoadRule::FixedForce(force) => serde_json::json!({ "fixed_force_n": force }),
        LoadRule::FixedTorque(torque) => serde_json::json!({ "fixed_torque_nm": torque }),
    };
    Ok(serde_json::json!({
        "element": serde_json::to_value(element).map_err(unwritable)?,
        "surroundings": surroundings_to_json(surroundings),
        "load": load,
    }))
}

/// Conditions of a JSON list `[{"name": "speed", "value": "1200 r/min"}]`.
///
/// # Errors
/// Text that is no such list.
pub fn conditions_from_json(json: &str) -> Result<Vec<Condition>, FileFault> {
    let list: Vec<ConditionFile> = serde_json::from_str(json)
        .map_err(|error| fault(format!("is not a JSON list of conditions: {error}")))?;
    Ok(list.into_iter().map(Condition::from).collect())
}

/// The form in which [`conditions_from_json`] reads conditions.
pub fn conditions_to_json(conditions: &[Condition]) -> String {
    let list = conditions
        .iter()
        .map(|condition| serde_json::json!({"name": condition.name, "value": condition.value}));
    serde_json::Value::Array(list.collect()).to_string()
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

fn quantity(file: QuantityFile) -> Result<Quantity, FileFault> {
    let about = |words: &str| fault(format!("quantity {}: {words}", file.id));
    let modes: Result<Vec<(Mode, f64)>, FileFault> = file
        .modes
        .iter()
        .map(|(word, strength)| {
            word.parse::<Mode>()
                .map(|mode| (mode, *strength))
                .map_err(|e| about(&e.to_string()))
        })
        .collect();
    if file.steps.windows(2).any(|pair| pair[0] >= pair[1]) {
        return Err(about("steps must rise"));
    }
    Ok(Quantity {
        unit: file
            .unit
            .parse()
            .map_err(|error| about(&format!("unit: {error}")))?,
        better: better_from_word(&file.better).ok_or_else(|| about("better: higher or lower"))?,
        scale: scale_from_word(&file.scale)
            .ok_or_else(|| about("scale: identity, ln, log10 ladder, ln ladder, stage or class"))?,
        plain_number: plain_number_from_word(&file.plain_number)
            .ok_or_else(|| about("plain_number: exact, failure or pass"))?,
        usual_use: use_from_word(&file.usual_use).ok_or_else(|| about("use: weigh, gate or show"))?,
        pressure_from: pressure_from_word(&file.pressure)
            .ok_or_else(|| about("pressure: deciding load, fixed load, worn to fresh, or empty"))?,
        precision: file.precision.map(|p| precision(p, &file.id)).transpose()?,
        modes: modes?,
        id: file.id,
        label: file.label,
        steps: file.steps,
        cap: file.cap,
        first_inspected: file.first_inspected,
        classes: file.classes,
        load_of: file.load_of,
        scar_of: file.scar_of,
        nominal: file.nominal,
        resolution: file.resolution,
        precision_note: file.precision_note,
    })
}

fn precision(file: PrecisionFile, quantity: &str) -> Result<Precision, FileFault> {
    let kind = precision_kind_from_word(&file.kind).ok_or_else(|| {
        fault(format!(
            "quantity {quantity}: precision kind: constant, percent or steps"
        ))
    })?;
    Ok(Precision {
        kind,
        repeatability: positive("precision.r", file.r)?,
        reproducibility: file
            .reproducibility
            .map(|r| positive("precision.R", r))
            .transpose()?,
        level: file
            .level
            .map(|level| positive("precision.level", level))
            .transpose()?,
    })
}

/// `higher` or `lower`.
pub fn better_from_word(word: &str) -> Option<Better> {
    [Better::Higher, Better::Lower]
        .into_iter()
        .find(|better| better.word() == word.trim())
}

/// The working scale of a word; a plain `ladder` is compared by log10.
pub fn scale_from_word(word: &str) -> Option<Scale> {
    Some(match word.trim() {
        "identity" => Scale::Identity,
        "ln" => Scale::Ln,
        "log10 ladder" | "ladder" => Scale::Log10Ladder,
        "ln ladder" => Scale::LnLadder,
        "stage" => Scale::Stage,
        "class" => Scale::Class,
        _ => return None,
    })
}

/// `exact`, `failure` or `pass`.
pub fn plain_number_from_word(word: &str) -> Option<PlainNumber> {
    Some(match word.trim() {
        "exact" => PlainNumber::Exact,
        "failure" => PlainNumber::Failure,
        "pass" => PlainNumber::Pass,
        _ => return None,
    })
}

/// `weigh`, `gate` or `show`.
pub fn use_from_word(word: &str) -> Option<Use> {
    [Use::Weigh, Use::Gate, Use::Show]
        .into_iter()
        .find(|used| used.word() == word.trim())
}

/// `constant`, `percent` or `steps`.
pub fn precision_kind_from_word(word: &str) -> Option<PrecisionKind> {
    Some(match word.trim() {
        "constant" => PrecisionKind::Constant,
        "percent" => PrecisionKind::PerCent,
        "steps" => PrecisionKind::Steps,
        _ => return None,
    })
}

fn pressure_from_word(word: &str) -> Option<PressureFrom> {
    Some(match word.trim() {
        "deciding load" => PressureFrom::DecidingLoad,
        "fixed load" => PressureFrom::FixedLoad,
        "worn to fresh" => PressureFrom::WornToFresh,
        "" => PressureFrom::None,
        _ => return None,
    })
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
