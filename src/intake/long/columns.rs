//! The columns of a long file, and the words by which each is known.

use crate::units::Unit;

/// What a column says of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// Trial.
    Trial,
    /// Blend.
    Blend,
    /// Method.
    Method,
    /// Quantity.
    Quantity,
    /// Value.
    Value,
    /// Unit.
    Unit,
    /// Rig.
    Rig,
    /// Date.
    Date,
    /// Replicate.
    Replicate,
    /// Campaign.
    Campaign,
    /// Conditions.
    Conditions,
    /// Purpose.
    Purpose,
    /// Status.
    Status,
    /// Reason.
    Reason,
    /// Source.
    Source,
    /// Note.
    Note,
    /// The last load or stage that was run and passed.
    LastPassed,
    /// What somebody said yes to.
    Accepted,
}

/// One column with its words.
#[derive(Clone, Copy, Debug)]
pub struct ColumnWords {
    /// What it says.
    pub field: Field,
    /// Its name in an archive folder.
    pub name: &'static str,
    /// Other headings by which it is known; capitals, `_` and `-` make no difference.
    pub synonyms: &'static [&'static str],
    /// What belongs there.
    pub meaning: &'static str,
}

macro_rules! columns {
    ($($field:ident $name:literal [$($synonym:literal),*] $meaning:literal;)*) => {
        /// Every column that is read.
        pub const COLUMNS: &[ColumnWords] = &[$(ColumnWords {
            field: Field::$field, name: $name, synonyms: &[$($synonym),*], meaning: $meaning,
        }),*];
    };
}

columns! {
    Trial "trial" ["study", "programme"] "the trial's name in its address; may be left out where a trial is chosen";
    Blend "blend" ["oil", "sample", "lubricant", "fluid", "grease", "blend code", "sample code", "formulation"]
        "the blend's code";
    Method "method" ["test", "test method", "standard", "procedure"]
        "the method by id, standard number or title, or method/quantity";
    Quantity "quantity" ["property", "measurand", "parameter"]
        "the quantity by id or label; may be left out where the method has one";
    Value "value" ["result", "reading", "measured value", "test result"]
        "0.45, 0,45, >12, 12+, 30-35, pass 11 / fail 12, 250 kgf; blank, - or n/a says not run";
    Unit "unit" ["units"] "the value's unit; it may stand in the value's cell or its heading instead";
    Rig "rig" ["apparatus", "tester", "instrument", "equipment", "bench"] "the rig's id";
    Date "date" ["run date", "test date", "date of test", "date of run", "tested on", "run on", "start date"]
        "2026-11-24, 24.11.2026 or 24 Nov 2026";
    Replicate "replicate" ["run", "run no", "run number", "repeat", "rep", "repetition"]
        "number of the run, from 1; blank is the first";
    Campaign "campaign" ["block", "test campaign"] "the block in which the rig's reference oil was run too";
    Conditions "conditions" ["condition", "test conditions", "operating conditions"]
        "conditions where they depart from the method; a heading 'condition: load' keeps one of its own";
    Purpose "purpose" ["run purpose"] "test, reference check or stopped; blank is test";
    Status "status" ["validity", "result status"] "valid, suspect or void; blank is valid";
    Reason "reason" ["why"] "why a result is suspect or void";
    Source "source" ["data source"] "measured or data sheet; blank is measured";
    Note "note" ["notes", "remark", "remarks", "comment", "comments"] "anything else";
    LastPassed "last_passed" ["last pass", "last passed load", "last passed stage"]
        "of a load or stage that failed: the last one that was run and passed, or none";
    Accepted "accepted" []
        "a yes to a row that is asked about: unusual, same-run, or both with ; between";
}

impl Field {
    /// The column's name.
    pub fn name(self) -> &'static str {
        let found = COLUMNS.iter().find(|column| column.field == self);
        found.map_or("", |column| column.name)
    }
}

/// How a heading is understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ColumnUse {
    /// As a column of a run.
    Field(Field),
    /// As a condition of that name.
    Condition(String),
    /// Not at all.
    NotRead,
}

/// A heading with the unit that stands in its brackets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Heading {
    pub(crate) text: String,
    pub(crate) used: ColumnUse,
    pub(crate) unit: Option<Unit>,
}

/// How one heading is understood.
pub(crate) fn heading(text: &str) -> Heading {
    let text = text.trim().to_string();
    let plain = plain(&text);
    let as_used = |used, unit| Heading {
        text: text.clone(),
        used,
        unit,
    };
    if let Some(field) = field(&plain) {
        return as_used(ColumnUse::Field(field), None);
    }
    if let Some((name, unit)) = bracketed(&text)
        && field(&self::plain(name)) == Some(Field::Value)
    {
        return as_used(ColumnUse::Field(Field::Value), Some(unit));
    }
    let condition = ["condition:", "condition "]
        .iter()
        .find_map(|start| plain.strip_prefix(start));
    match condition.map(str::trim) {
        Some(name) if !name.is_empty() => as_used(ColumnUse::Condition(name.to_string()), None),
        _ => as_used(ColumnUse::NotRead, None),
    }
}

/// How many of the headings name a column of a run.
pub(crate) fn known_among(cells: &[String]) -> usize {
    let known = cells
        .iter()
        .filter(|cell| matches!(heading(cell).used, ColumnUse::Field(_)));
    known.count()
}

fn field(plain: &str) -> Option<Field> {
    let found = COLUMNS
        .iter()
        .find(|column| self::plain(column.name) == plain || column.synonyms.contains(&plain));
    found.map(|column| column.field)
}

/// Small letters, one space between words, no full stop or colon at the end.
fn plain(text: &str) -> String {
    let spaced = text.to_lowercase().replace(['_', '-', '\u{a0}'], " ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    words
        .join(" ")
        .trim_end_matches(['.', ':'])
        .trim_end()
        .to_string()
}

/// `value (mm)` as name and unit.
fn bracketed(text: &str) -> Option<(&str, Unit)> {
    let inner = text.strip_suffix(')').map(|rest| (rest, '('));
    let (rest, open) = inner.or_else(|| text.strip_suffix(']').map(|rest| (rest, '[')))?;
    let (name, unit) = rest.rsplit_once(open)?;
    Some((name, unit.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_are_known_by_their_synonyms_in_any_spelling() {
        for (text, field) in [
            ("Oil", Field::Blend),
            ("SAMPLE", Field::Blend),
            ("Test_Method", Field::Method),
            ("result", Field::Value),
            ("Run no.", Field::Replicate),
            ("apparatus ", Field::Rig),
            ("test-date", Field::Date),
        ] {
            assert_eq!(heading(text).used, ColumnUse::Field(field), "{text}");
        }
        assert_eq!(heading("value (mm)").unit, Some(Unit::Millimetre));
        assert_eq!(
            heading("Condition: load"),
            Heading {
                text: "Condition: load".into(),
                used: ColumnUse::Condition("load".into()),
                unit: None
            }
        );
        assert_eq!(heading("operator").used, ColumnUse::NotRead);
    }

    #[test]
    fn no_word_names_two_columns() {
        let mut words: Vec<&str> = COLUMNS
            .iter()
            .flat_map(|column| column.synonyms.iter().copied().chain([column.name]))
            .collect();
        let all = words.len();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), all);
        assert!(words.iter().all(|word| plain(word) == word.replace('_', " ")));
    }
}
