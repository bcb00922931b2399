//! What is frozen when a decision is signed: the standing, and everything it was computed from.
//!
//! What is read back may come from an earlier, a later or another engine: what is missing is left out, what is unknown
//! is skipped.

use crate::app::AppError;
use crate::catalogue::{MethodId, built_in_text, method_from_toml};
use crate::records::{Archive, FileRows, OwnMethod, TestKey, TrialRecords};
use crate::standing::Comparison;
use crate::wire::standing_json;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::{Map, Value};
use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

/// The form of what is frozen; a reader that does not know a later one shows what it finds.
const FORM: u32 = 1;

/// A row of an archive file: column to cell.
pub(crate) type Row = BTreeMap<String, String>;

/// Rows by file name, in the form of an archive folder.
pub(crate) type Tables = BTreeMap<String, Vec<Row>>;

/// What stands when a decision is signed. The standing is written whole, and read as far as it is shown.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Snapshot<S> {
    pub(crate) form: Value,
    /// Version of the engine; empty where it is not said.
    #[serde(deserialize_with = "words")]
    pub engine: String,
    /// Number of draws.
    pub draws: Option<u64>,
    /// Seed of the draws.
    pub seed: Option<u64>,
    /// The standing.
    #[serde(deserialize_with = "readable")]
    #[serde(bound(deserialize = "S: DeserializeOwned + Default"))]
    pub standing: S,
    /// What it was computed from, as rows of an archive folder.
    #[serde(deserialize_with = "readable")]
    pub(crate) inputs: Tables,
    /// The files of the built-in methods that the trial uses, as they were written, by method id.
    pub(crate) methods: BTreeMap<MethodId, String>,
    /// The signature; `None` before it is given.
    #[serde(flatten)]
    pub signature: Option<Signature>,
}

/// What a signature adds: no two are alike.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Signature {
    /// When it was signed, ISO 8601; empty where it is not said.
    pub signed_at: String,
    /// What was said on each grave caution.
    #[serde(deserialize_with = "each")]
    pub acknowledged: Vec<Acknowledged>,
    pub(crate) decisions_before: usize,
}

/// What was said on a caution.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Acknowledged {
    /// Kind of the caution.
    pub kind: String,
    /// Its test, `method/quantity`; empty where it has none.
    pub test: String,
    /// Severity.
    pub severity: String,
    /// Heading of the caution.
    pub heading: String,
    /// Words of the caution.
    pub text: String,
    /// What was said.
    pub sentence: String,
}

/// A snapshot as it is read back.
pub type Frozen = Snapshot<FrozenStanding>;

/// A standing as it was frozen.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct FrozenStanding {
    /// The sentence that could be read aloud.
    pub sentence: String,
    /// The candidate with the greatest score.
    pub front_runner: Option<String>,
    /// Candidates by score.
    #[serde(deserialize_with = "each")]
    pub candidates: Vec<FrozenCandidate>,
    /// Tests by weight.
    #[serde(deserialize_with = "each")]
    pub tests: Vec<FrozenTest>,
    /// Cautions, most severe first.
    #[serde(deserialize_with = "each")]
    pub cautions: Vec<FrozenCaution>,
    /// Gates.
    #[serde(deserialize_with = "each")]
    pub gates: Vec<FrozenGate>,
}

/// A candidate as it stood.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct FrozenCandidate {
    /// Code.
    pub blend: String,
    /// Share of draws in which it ranked first.
    pub p_best: Option<f64>,
    /// Score between known poor (0) and known good (1).
    pub score: Option<f64>,
    /// Lower end of the score's 90 % interval.
    pub score_lo: Option<f64>,
    /// Upper end of the score's 90 % interval.
    pub score_hi: Option<f64>,
    /// Share of the weight that was run.
    pub coverage: Option<f64>,
    /// Why it was out.
    pub out: Option<String>,
}

/// A test as it counted.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct FrozenTest {
    /// `method/quantity`.
    pub key: String,
    /// Weight.
    pub weight: Option<f64>,
    /// Resemblance.
    pub resemblance: Option<f64>,
    /// Why it was not weighed.
    pub excluded: Option<String>,
}

/// A caution as it stood.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct FrozenCaution {
    /// Kind.
    pub kind: String,
    /// Test.
    pub test: Option<String>,
    /// `stop`, `high`, `medium` or `note`.
    pub severity: String,
    /// Heading.
    pub heading: String,
    /// Words.
    pub text: String,
    evidence: BTreeMap<String, Value>,
}

/// A gate as it stood.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default)]
pub struct FrozenGate {
    /// Method id; `None` where it is not said.
    pub method: Option<MethodId>,
    /// Quantity id.
    pub quantity: String,
    /// Blend.
    pub blend: String,
    /// Limit.
    #[serde(deserialize_with = "words")]
    pub limit: String,
    /// Every run as read.
    #[serde(deserialize_with = "list")]
    pub runs: Vec<String>,
    /// The unit of the runs.
    pub unit: String,
    /// Their mean.
    pub mean: Option<f64>,
    /// From which distance to the limit the mean told.
    pub margin: Option<f64>,
    /// The runs in one text, as the first edition of a snapshot has them.
    #[serde(deserialize_with = "words")]
    pub results: String,
    /// Outcome.
    pub outcome: String,
}

/// What a standing is computed from, as rows of an archive folder. Every file is there, those without rows too.
pub(crate) fn inputs(records: &TrialRecords, own_methods: &[OwnMethod]) -> Tables {
    let used = own_methods
        .iter()
        .filter(|rows| records.method(&rows.id).is_some());
    let archive = Archive {
        blends: records.blends.clone(),
        machines: vec![records.machine.clone()],
        own_methods: used.cloned().collect(),
        rigs: records.rigs.clone(),
        trials: vec![records.trial.clone()],
        term_scales: records.term_scales.clone(),
        results: records.results.clone(),
        ..Archive::default()
    };
    let table = |FileRows { file, rows }: FileRows| {
        let columns: Vec<&str> = file.all().collect();
        let row = |cells: Vec<String>| {
            let named = columns.iter().map(ToString::to_string);
            named.zip(cells).collect::<Row>()
        };
        (file.name.to_string(), rows.into_iter().map(row).collect())
    };
    archive.files().into_iter().map(table).collect()
}

/// The files of the built-in methods that a trial uses, as they were written, by method id.
pub(crate) fn method_texts(records: &TrialRecords) -> BTreeMap<MethodId, String> {
    let texts = records.methods.iter().filter_map(|method| {
        let text = built_in_text(method.id.as_str())?;
        Some((method.id.clone(), text.to_string()))
    });
    texts.collect()
}

impl Snapshot<Value> {
    /// The standing as it is with everything it was computed from; no time is in it, so that the same evidence gives
    /// the same.
    pub(crate) fn of(comparison: &Comparison, own_methods: &[OwnMethod]) -> Self {
        let (standing, records) = (&comparison.standing, &comparison.records);
        Self {
            form: FORM.into(),
            engine: env!("CARGO_PKG_VERSION").to_string(),
            draws: Some(standing.draws as u64),
            seed: Some(standing.seed),
            standing: standing_json(comparison),
            inputs: inputs(records, own_methods),
            methods: method_texts(records),
            signature: None,
        }
    }

    /// As it is kept: JSON with its names in the order of the alphabet.
    pub(crate) fn to_json(&self) -> Result<Value, AppError> {
        serde_json::to_value(self).map_err(AppError::unwritten("a snapshot"))
    }
}

/// A short text that differs where the evidence, the standing or the decisions of a trial differ. It tells states apart
/// within one run of the program; it guards nothing.
pub(crate) fn seen(state: &Value, decisions: usize) -> String {
    let mut hasher = DefaultHasher::new();
    (state.to_string(), decisions).hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}

impl Frozen {
    /// What a kept text holds; `None` where it is empty, is no JSON object, or holds nothing that is known.
    pub fn read(snapshot: &str) -> Option<Self> {
        let frozen = Self::of_json(serde_json::from_str(snapshot).ok()?)?;
        let standing = &frozen.standing;
        let holds_something = !standing.sentence.is_empty()
            || !standing.candidates.is_empty()
            || !standing.cautions.is_empty()
            || !frozen.inputs.is_empty();
        holds_something.then_some(frozen)
    }

    /// What a JSON object holds. A bare standing is read as well.
    pub(crate) fn of_json(mut value: Value) -> Option<Self> {
        let state = value.as_object_mut()?;
        if !state.get("standing").is_some_and(Value::is_object) {
            let bare = Value::Object(state.clone());
            state.insert("standing".to_string(), bare);
        }
        for key in ["engine", "draws", "seed"] {
            let of_standing = state["standing"].get(key).cloned().unwrap_or_default();
            state.entry(key).or_insert(of_standing);
        }
        as_far_as_it_reads(value)
    }

    /// When it was signed, ISO 8601; empty where it is not said.
    pub fn signed_at(&self) -> &str {
        self.signature
            .as_ref()
            .map_or("", |signature| &signature.signed_at)
    }

    /// The candidate with a code.
    pub fn candidate(&self, blend: &str) -> Option<&FrozenCandidate> {
        let mut candidates = self.standing.candidates.iter();
        candidates.find(|candidate| candidate.blend == blend)
    }

    /// The label of a test with its standard, as they were; `None` where that is not said.
    pub fn test_words(&self, key: &TestKey) -> Option<String> {
        if let Some(method) = self.methods.get(&key.method) {
            let method = method_from_toml(method).ok()?;
            let label = &method.quantity(&key.quantity)?.label;
            return Some(format!("{label} ({})", method.standard));
        }
        let of_method = |row: &&Row| row.get("method").is_some_and(|id| id == key.method.as_str());
        let mut quantities = self.inputs.get("method_quantities.csv")?.iter().filter(of_method);
        let quantity = quantities.find(|row| row.get("quantity") == Some(&key.quantity))?;
        let method = self.inputs.get("methods.csv")?.iter().find(of_method)?;
        Some(format!(
            "{} ({})",
            quantity.get("label")?,
            method.get("standard")?
        ))
    }

    /// How many results it rests on, every revision counted; `None` where it is not said.
    pub fn results(&self) -> Option<usize> {
        self.inputs.get("results.csv").map(Vec::len)
    }

    /// The version of the machine with which it was judged; `None` where it is not said.
    pub fn machine_version(&self) -> Option<&str> {
        let version = self.inputs.get("trials.csv")?.first()?.get("machine_version")?;
        Some(version.as_str()).filter(|version| !version.is_empty())
    }
}

impl FrozenCaution {
    /// Whether it is of the same kind, on the same test and of the same names as another; its numbers may differ.
    pub(crate) fn is_same(&self, other: &Self) -> bool {
        let is_name = |(_, item): &(&String, &Value)| item.is_string() || item.is_array();
        let names = |caution: &'_ Self| -> Vec<(String, Value)> {
            let names = caution.evidence.iter().filter(is_name);
            names.map(|(name, item)| (name.clone(), item.clone())).collect()
        };
        (&self.kind, &self.test) == (&other.kind, &other.test) && names(self) == names(other)
    }
}

/// An object as far as it can be read: a member of another kind than is expected is left out.
fn as_far_as_it_reads<T: DeserializeOwned>(value: Value) -> Option<T> {
    if let Ok(whole) = T::deserialize(&value) {
        return Some(whole);
    }
    let Value::Object(members) = value else {
        return None;
    };
    let is_read = |(name, member): &(String, Value)| {
        let alone = Map::from_iter([(name.clone(), member.clone())]);
        T::deserialize(Value::Object(alone)).is_ok()
    };
    let readable: Map<String, Value> = members.into_iter().filter(is_read).collect();
    T::deserialize(Value::Object(readable)).ok()
}

fn readable<'de, D: Deserializer<'de>, T: DeserializeOwned + Default>(from: D) -> Result<T, D::Error> {
    Ok(as_far_as_it_reads(Value::deserialize(from)?).unwrap_or_default())
}

/// A text, or a number as text; empty for anything else.
fn words<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    Ok(match Value::deserialize(from)? {
        Value::String(text) => text,
        Value::Number(number) => number.to_string(),
        _ => String::new(),
    })
}

/// The texts of a list.
fn list<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<String>, D::Error> {
    let Value::Array(items) = Value::deserialize(from)? else {
        return Ok(Vec::new());
    };
    let texts = items.into_iter().filter_map(|item| match item {
        Value::String(text) => Some(text),
        _ => None,
    });
    Ok(texts.collect())
}

/// The objects of a list, each as far as it can be read.
fn each<'de, D: Deserializer<'de>, T: DeserializeOwned>(from: D) -> Result<Vec<T>, D::Error> {
    let Value::Array(items) = Value::deserialize(from)? else {
        return Ok(Vec::new());
    };
    Ok(items.into_iter().filter_map(as_far_as_it_reads).collect())
}
