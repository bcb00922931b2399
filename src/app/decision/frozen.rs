//! What was frozen with a decision, read back. It may come from an earlier, a later or another engine: what is missing
//! is left out, what is unknown is skipped.

use crate::app::decision::snapshot::{Row, Tables};
use crate::catalogue::method_from_toml;
use crate::records::TestKey;
use serde_json::Value;
use std::collections::BTreeMap;

/// A standing as it was frozen, with what it was computed from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Frozen {
    /// Version of the engine; empty where it is not said.
    pub engine: String,
    /// When it was signed, ISO 8601; empty where it is not said.
    pub signed_at: String,
    /// Number of draws.
    pub draws: Option<u64>,
    /// Seed of the draws.
    pub seed: Option<u64>,
    /// The sentence that could be read aloud.
    pub sentence: String,
    /// The candidate with the greatest score.
    pub front_runner: Option<String>,
    /// The candidate that was called the leader.
    pub leader: Option<String>,
    /// Candidates by score.
    pub candidates: Vec<FrozenCandidate>,
    /// Tests by weight.
    pub tests: Vec<FrozenTest>,
    /// Cautions, most severe first.
    pub cautions: Vec<FrozenCaution>,
    /// Gates.
    pub gates: Vec<FrozenGate>,
    /// What was said on each grave caution.
    pub acknowledged: Vec<Acknowledged>,
    pub(crate) inputs: Tables,
    pub(crate) methods: BTreeMap<String, String>,
}

/// A candidate as it stood.
#[derive(Clone, Debug, Default, PartialEq)]
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
    /// Why it was out; empty where it was not.
    pub out: String,
}

/// A test as it counted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FrozenTest {
    /// `method/quantity`.
    pub key: String,
    /// Weight.
    pub weight: Option<f64>,
    /// Resemblance.
    pub resemblance: Option<f64>,
    /// Relevance.
    pub relevance: Option<f64>,
    /// Why it was not weighed; empty where it was.
    pub excluded: String,
}

/// A caution as it stood.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FrozenCaution {
    /// Kind.
    pub kind: String,
    /// Test; empty where it had none.
    pub test: String,
    /// `stop`, `high`, `medium` or `note`.
    pub severity: String,
    /// Heading.
    pub heading: String,
    /// Words.
    pub text: String,
    /// The names in its evidence, by which it is told from others of its kind.
    pub(crate) names: Vec<String>,
}

/// A gate as it stood.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FrozenGate {
    /// `method/quantity`.
    pub key: String,
    /// Blend.
    pub blend: String,
    /// Limit.
    pub limit: String,
    /// Results.
    pub results: String,
    /// Outcome.
    pub outcome: String,
}

/// What was said on a caution.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Acknowledged {
    /// Severity.
    pub severity: String,
    /// Heading of the caution.
    pub heading: String,
    /// Words of the caution.
    pub text: String,
    /// What was said.
    pub sentence: String,
}

impl Frozen {
    /// What a snapshot holds; `None` where it is empty, is no JSON object, or holds nothing that is known.
    pub fn read(snapshot: &str) -> Option<Self> {
        let value: Value = serde_json::from_str(snapshot).ok()?;
        let frozen = Self::of(&value);
        let holds_something = !frozen.sentence.is_empty()
            || !frozen.candidates.is_empty()
            || !frozen.cautions.is_empty()
            || !frozen.inputs.is_empty();
        holds_something.then_some(frozen)
    }

    /// What a state holds. A bare standing is read as well.
    pub(crate) fn of(value: &Value) -> Self {
        let standing = value
            .get("standing")
            .filter(|inner| inner.is_object())
            .unwrap_or(value);
        let either = |key: &str| value.get(key).or_else(|| standing.get(key));
        Self {
            engine: either("engine").map(words).unwrap_or_default(),
            signed_at: text(value, "signed_at"),
            draws: either("draws").and_then(Value::as_u64),
            seed: either("seed").and_then(Value::as_u64),
            sentence: text(standing, "sentence"),
            front_runner: given(standing, "front_runner"),
            leader: given(standing, "leader"),
            candidates: each(standing, "candidates", candidate),
            tests: each(standing, "tests", test),
            cautions: each(standing, "cautions", caution),
            gates: each(standing, "gates", gate),
            acknowledged: each(value, "acknowledged", acknowledged),
            inputs: tables(value.get("inputs")),
            methods: row(value.get("methods").unwrap_or(&Value::Null)),
        }
    }

    /// The candidate with a code.
    pub fn candidate(&self, blend: &str) -> Option<&FrozenCandidate> {
        self.candidates.iter().find(|candidate| candidate.blend == blend)
    }

    /// The label of a test with its standard, as they were; `None` where that is not said.
    pub fn test_words(&self, key: &TestKey) -> Option<String> {
        if let Some(method) = self.methods.get(&key.method) {
            let method = method_from_toml(method).ok()?;
            let label = &method.quantity(&key.quantity)?.label;
            return Some(format!("{label} ({})", method.standard));
        }
        let of_method = |row: &&Row| row.get("method") == Some(&key.method);
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

    /// The version of the machine with which it was judged; empty where it is not said.
    pub fn machine_version(&self) -> String {
        let trials = self.inputs.get("trials.csv");
        let version = trials.and_then(|rows| rows.first()?.get("machine_version"));
        version.cloned().unwrap_or_default()
    }
}

fn each<T>(value: &Value, key: &str, read: impl Fn(&Value) -> T) -> Vec<T> {
    let items = value.get(key).and_then(Value::as_array);
    let items = items.into_iter().flatten().filter(|item| item.is_object());
    items.map(read).collect()
}

/// A text, or a number as text; empty for anything else.
fn words(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Number(number) => number.to_string(),
        _ => String::new(),
    }
}

fn text(value: &Value, key: &str) -> String {
    value.get(key).map(words).unwrap_or_default()
}

fn given(value: &Value, key: &str) -> Option<String> {
    Some(text(value, key)).filter(|text| !text.is_empty())
}

fn number(value: &Value, key: &str) -> Option<f64> {
    value.get(key).and_then(Value::as_f64)
}

fn candidate(value: &Value) -> FrozenCandidate {
    FrozenCandidate {
        blend: text(value, "blend"),
        p_best: number(value, "p_best"),
        score: number(value, "score"),
        score_lo: number(value, "score_lo"),
        score_hi: number(value, "score_hi"),
        coverage: number(value, "coverage"),
        out: text(value, "out"),
    }
}

fn test(value: &Value) -> FrozenTest {
    FrozenTest {
        key: text(value, "key"),
        weight: number(value, "weight"),
        resemblance: number(value, "resemblance"),
        relevance: number(value, "relevance"),
        excluded: text(value, "excluded"),
    }
}

fn caution(value: &Value) -> FrozenCaution {
    let evidence = value.get("evidence").and_then(Value::as_object);
    let items = evidence.into_iter().flatten();
    let names = items.flat_map(|(name, item)| match item {
        Value::String(text) => vec![format!("{name} {text}")],
        Value::Array(list) => list.iter().map(|one| format!("{name} {}", words(one))).collect(),
        _ => Vec::new(),
    });
    FrozenCaution {
        kind: text(value, "kind"),
        test: text(value, "test"),
        severity: text(value, "severity"),
        heading: text(value, "heading"),
        text: text(value, "text"),
        names: names.collect(),
    }
}

fn gate(value: &Value) -> FrozenGate {
    FrozenGate {
        key: format!("{}/{}", text(value, "method"), text(value, "quantity")),
        blend: text(value, "blend"),
        limit: text(value, "limit"),
        results: text(value, "results"),
        outcome: text(value, "outcome"),
    }
}

fn acknowledged(value: &Value) -> Acknowledged {
    Acknowledged {
        severity: text(value, "severity"),
        heading: text(value, "heading"),
        text: text(value, "text"),
        sentence: text(value, "sentence"),
    }
}

fn tables(value: Option<&Value>) -> Tables {
    let files = value.and_then(Value::as_object).into_iter().flatten();
    let of_file = files.filter_map(|(name, rows)| {
        let rows = rows.as_array()?.iter().map(row).collect();
        Some((name.clone(), rows))
    });
    of_file.collect()
}

fn row(value: &Value) -> Row {
    let cells = value.as_object().into_iter().flatten();
    cells
        .map(|(column, cell)| (column.clone(), words(cell)))
        .collect()
}
