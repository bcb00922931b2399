//! Where a value comes from. Every number of a data file carries a mark; a number without one is a fault of the file.
//!
//! In a file a marked value is a table `{ v = 1760, mark = "seen", source = "S2" }`; `source` is a key of the file's
//! `[sources]` table or plain words. [`take_marks`] takes the tables apart: the plain values go on to the types that
//! hold them, the marks to the page that shows them.

use serde::{Deserialize, Serialize, Serializer};
use std::collections::BTreeMap;
use std::fmt;
use toml::Value;

/// How far a value can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Mark {
    /// Read in the source that is named.
    Seen,
    /// Remembered, not seen.
    Memory,
    /// Computed from other values of the file.
    Computed,
    /// Our own judgement; no source exists.
    Ours,
    /// Common practice of the trade, without a source.
    #[serde(rename = "common practice")]
    CommonPractice,
}

impl Mark {
    /// All, the surest first.
    pub const ALL: [Mark; 5] = [
        Self::Seen,
        Self::Memory,
        Self::Computed,
        Self::CommonPractice,
        Self::Ours,
    ];

    /// The words a page shows.
    pub fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Memory => "from memory, not seen",
            Self::Computed => "computed",
            Self::Ours => "ours",
            Self::CommonPractice => "common practice, no source",
        }
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

impl Serialize for Mark {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.words())
    }
}

/// A value of a data file with its mark, as a page lists it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sourced {
    /// Where it stands in the file, `contact.element.speed_rpm`.
    pub path: String,
    /// The value as written.
    pub value: String,
    /// Its mark.
    pub mark: Mark,
    /// Its source in words, empty when there is none.
    pub source: String,
}

/// A fault of a data file, with where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MarkFault {
    /// A source that is not a text.
    SourceNoText(String),
    /// A number without a mark.
    Unmarked(String),
    /// Marked as seen, but no source is named.
    NoSource(String),
    /// No marked value, and what the reader of the file says.
    Unread(String, String),
}

/// The plain values of a file and, apart from them, the mark of each.
pub fn take_marks(mut file: Value) -> Result<(Value, Vec<Sourced>), MarkFault> {
    let mut sources = BTreeMap::new();
    if let Some(table) = file.as_table_mut()
        && let Some(Value::Table(named)) = table.remove("sources")
    {
        for (key, words) in named {
            let words = words.as_str().map(str::to_string);
            sources.insert(
                key.clone(),
                words.ok_or_else(|| MarkFault::SourceNoText(format!("sources.{key}")))?,
            );
        }
    }
    let mut found = Vec::new();
    let plain = strip(file, "", &sources, &mut found)?;
    Ok((plain, found))
}

fn strip(
    value: Value,
    path: &str,
    sources: &BTreeMap<String, String>,
    found: &mut Vec<Sourced>,
) -> Result<Value, MarkFault> {
    match value {
        Value::Table(table) if table.contains_key("v") => {
            let value = table["v"].clone();
            found.push(sourced(table, path, sources)?);
            Ok(value)
        }
        Value::Table(table) => {
            let mut plain = toml::Table::new();
            for (key, inner) in table {
                let at = if path.is_empty() {
                    key.clone()
                } else {
                    format!("{path}.{key}")
                };
                plain.insert(key, strip(inner, &at, sources, found)?);
            }
            Ok(Value::Table(plain))
        }
        Value::Array(items) => {
            let numbered = items.into_iter().enumerate();
            let plain: Result<Vec<_>, _> = numbered
                .map(|(i, item)| strip(item, &format!("{path}.{}", i + 1), sources, found))
                .collect();
            Ok(Value::Array(plain?))
        }
        Value::Integer(_) | Value::Float(_) => Err(MarkFault::Unmarked(path.to_string())),
        other => Ok(other),
    }
}

/// A marked value as it stands in a file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Marked {
    v: Value,
    mark: Mark,
    #[serde(default)]
    source: String,
}

fn sourced(table: toml::Table, path: &str, sources: &BTreeMap<String, String>) -> Result<Sourced, MarkFault> {
    let marked: Marked = Value::Table(table)
        .try_into()
        .map_err(|error: toml::de::Error| MarkFault::Unread(path.to_string(), error.message().to_string()))?;
    let named = sources.get(&marked.source);
    let source = named.cloned().unwrap_or(marked.source);
    if marked.mark == Mark::Seen && source.is_empty() {
        return Err(MarkFault::NoSource(path.to_string()));
    }
    Ok(Sourced {
        path: path.to_string(),
        value: marked.v.to_string().replace(['"', '\n'], ""),
        mark: marked.mark,
        source,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(text: &str) -> Value {
        Value::Table(text.parse::<toml::Table>().unwrap())
    }

    #[test]
    fn a_marked_value_comes_apart_into_its_value_and_its_source() {
        let file =
            parse("[sources]\nA = \"a text\"\n[x]\nspeed = { v = 3, mark = \"seen\", source = \"A\" }");
        let (plain, found) = take_marks(file).unwrap();
        assert_eq!(plain["x"]["speed"].as_integer(), Some(3));
        assert_eq!(
            (found[0].path.as_str(), found[0].source.as_str()),
            ("x.speed", "a text")
        );
    }

    #[test]
    fn a_number_without_a_mark_is_a_fault_that_says_where() {
        let fault = take_marks(parse("[x]\nspeed = 3")).unwrap_err();
        assert_eq!(fault, MarkFault::Unmarked("x.speed".to_string()));
    }

    #[test]
    fn seen_without_a_source_is_a_fault() {
        assert!(take_marks(parse("speed = { v = 3, mark = \"seen\" }")).is_err());
        assert!(take_marks(parse("speed = { v = 3, mark = \"memory\" }")).is_ok());
    }
}
