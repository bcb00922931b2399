//! One row of a long file to a run, or to everything that is wrong with it.

use crate::catalogue::{Bounds, Method, MethodId, Quantity};
use crate::intake::csv_escape::unescaped;
use crate::intake::long::columns::{ColumnUse, Field, Heading};
use crate::intake::long::conventions::{DateOrder, Decimal, date_in_order, settled};
use crate::intake::long::methods::find_test;
use crate::intake::long::split::Record;
use crate::intake::long::text::UNREADABLE;
use crate::intake::long::{CellProblem, DraftRun, Finding, KnownNames, Question};
use crate::intake::run_rules::{foreign_rig, future};
use crate::intake::{CellValue, ReadValue, ValueCells, read_result, read_value};
use crate::prose::faults::unusual;
use crate::records::table::items;
use crate::records::{
    AcceptedAs, BlendCode, Purpose, ResultSource, ResultStatus, Rig, RigId, RunResult, TestKey, Trial,
    TrialSlug, Word,
};
use crate::units::Unit;
use std::collections::BTreeMap;

/// The most characters that are kept of a cell.
const LONGEST_CELL: usize = 10_000;

/// The cell of a row under a column, trimmed; empty where there is none.
pub(super) fn text_of<'a>(headings: &[Heading], record: &'a Record, field: Field) -> &'a str {
    let at = headings
        .iter()
        .position(|heading| heading.used == ColumnUse::Field(field));
    let cell = at.and_then(|at| record.cells.get(at));
    cell.map_or("", |cell| unescaped(cell.trim()).trim())
}

/// What all rows of a file share.
pub(super) struct Reader<'a> {
    headings: &'a [Heading],
    known: &'a KnownNames<'a>,
    trials: BTreeMap<&'a str, &'a Trial>,
    blends: BTreeMap<&'a str, &'a BlendCode>,
    rigs: BTreeMap<&'a str, &'a Rig>,
    trial: Option<&'a TrialSlug>,
    name: &'a str,
    unit_in_heading: Option<Unit>,
    decimal: Option<Decimal>,
    order: Option<DateOrder>,
}

impl<'a> Reader<'a> {
    pub(super) fn new(
        headings: &'a [Heading],
        known: &'a KnownNames<'a>,
        trial: Option<&'a TrialSlug>,
        name: &'a str,
        decimal: Option<Decimal>,
        order: Option<DateOrder>,
    ) -> Self {
        Self {
            headings,
            known,
            trials: known.trials.iter().map(|t| (t.slug.as_str(), t)).collect(),
            blends: known.blends.iter().map(|b| (b.code.as_str(), &b.code)).collect(),
            rigs: known.rigs.iter().map(|rig| (rig.id.as_str(), rig)).collect(),
            trial,
            name,
            unit_in_heading: headings.iter().find_map(|heading| heading.unit),
            decimal,
            order,
        }
    }

    /// The row in short: blend, method, quantity, value, unit.
    pub(super) fn said(&self, record: &Record) -> String {
        let fields = [
            Field::Blend,
            Field::Method,
            Field::Quantity,
            Field::Value,
            Field::Unit,
        ];
        let cells = fields.map(|field| text_of(self.headings, record, field));
        let words: Vec<&str> = cells.into_iter().filter(|cell| !cell.is_empty()).collect();
        let short = words.join(", ").chars().take(160).collect::<String>();
        short.replace(|c: char| c.is_control(), " ")
    }

    pub(super) fn read(&self, record: &Record) -> Finding {
        let mut row = Row {
            reader: self,
            record,
            problems: Vec::new(),
            remarks: Vec::new(),
            asked: Vec::new(),
        };
        if row.is_damaged() {
            return Finding::Refused(row.problems);
        }
        if row.says_not_run() {
            return Finding::NotRun;
        }
        match row.run() {
            Some(result) if row.problems.is_empty() => Finding::Run(Box::new(DraftRun {
                result,
                stated: row.stated(),
                remarks: row.remarks,
                asked: row.asked,
            })),
            _ => Finding::Refused(row.problems),
        }
    }
}

struct Row<'a> {
    reader: &'a Reader<'a>,
    record: &'a Record,
    problems: Vec<CellProblem>,
    remarks: Vec<String>,
    asked: Vec<Question>,
}

/// A value as it was read, and as it was written.
struct RowValue {
    read: ReadValue,
    written: String,
    unit: String,
}

/// Why a cell cannot be what was meant, with the mend.
fn damage(cell: &str) -> Option<&'static str> {
    if cell.contains('\0') {
        Some("holds a NUL character; save the file as UTF-8")
    } else if cell.contains(UNREADABLE) {
        Some("holds bytes that are no character; save the file as UTF-8")
    } else if cell.chars().count() > LONGEST_CELL {
        Some("is longer than 10000 characters")
    } else {
        None
    }
}

impl<'a> Row<'a> {
    fn text(&self, field: Field) -> &'a str {
        text_of(self.reader.headings, self.record, field)
    }

    fn refuse<T>(&mut self, field: Field, problem: impl Into<String>) -> Option<T> {
        let problem = CellProblem::new(field.name(), self.text(field), problem);
        self.problems.push(problem);
        None
    }

    /// Whether the cells cannot be told apart or read.
    fn is_damaged(&mut self) -> bool {
        let (cells, headings) = (&self.record.cells, self.reader.headings);
        let beyond = cells.get(headings.len()..).unwrap_or_default();
        if cells.len() < headings.len() || beyond.iter().any(|cell| !cell.trim().is_empty()) {
            let problem = format!(
                "the row has {} cells and the header {}",
                cells.len(),
                headings.len()
            );
            self.problems
                .push(CellProblem::new("", &cells.join(" | "), problem));
        }
        for (cell, heading) in cells.iter().zip(headings) {
            let Some(problem) = damage(cell) else { continue };
            let column = match heading.used {
                ColumnUse::Field(field) => field.name(),
                _ => &heading.text,
            };
            self.problems.push(CellProblem::new(column, cell, problem));
        }
        !self.problems.is_empty()
    }

    fn says_not_run(&self) -> bool {
        let was_stopped = self.text(Field::Purpose).eq_ignore_ascii_case("stopped");
        !was_stopped && read_value(self.text(Field::Value)) == Ok(CellValue::NotRun)
    }

    fn run(&mut self) -> Option<RunResult> {
        let trial = self.trial();
        let blend = self.blend();
        let purpose = self.word(
            Field::Purpose,
            Purpose::from_word,
            Purpose::Test,
            &Purpose::allowed(),
        );
        let status = self.word(
            Field::Status,
            ResultStatus::from_word,
            ResultStatus::Valid,
            &ResultStatus::allowed(),
        );
        let source = self.word(
            Field::Source,
            ResultSource::from_word,
            ResultSource::Measured,
            &ResultSource::allowed(),
        );
        let accepted = self.accepted();
        let is_void = status == Some(ResultStatus::Void);
        let test = self.test();
        let value = test.and_then(|(method, quantity)| {
            let conditions = self.conditions();
            let bounds = match is_void {
                true => Bounds::open(quantity),
                false => Bounds::of(method, quantity, &conditions),
            };
            self.value(&bounds, purpose.unwrap_or(Purpose::Test))
        });
        let rig = self.rig(test.map(|(method, _)| method).filter(|_| !is_void));
        let date = self.date();
        let replicate = self.replicate();
        if status.is_some_and(|status| status != ResultStatus::Valid) && self.text(Field::Reason).is_empty() {
            self.refuse::<()>(Field::Reason, "is empty; a void or suspect result says why");
        }
        let (trial, blend, (method, quantity), value) = (trial?, blend?, test?, value?);
        let key = TestKey::new(&method.id, &quantity.id);
        self.remark_on_strangers(trial, blend, &key);
        let accepted = accepted?;
        if let Some(why) = value.read.reading.unusual
            && !accepted.contains(&AcceptedAs::Unusual)
        {
            let question = unusual(&why, quantity.unit);
            self.asked.push(Question {
                cell: CellProblem::new("value", self.text(Field::Value), question),
                what: AcceptedAs::Unusual,
            });
        }
        let reading = value.read.reading;
        Some(RunResult {
            id: None,
            trial: trial.slug.clone(),
            blend: blend.clone(),
            key,
            value: reading.value,
            off_ladder: reading.off_ladder,
            value_as_written: value.written,
            unit_as_written: value.unit,
            rig: rig?,
            date: date?,
            replicate: replicate?,
            campaign: self.text(Field::Campaign).to_string(),
            conditions: self.conditions(),
            purpose: purpose?,
            status: status?,
            reason: self.text(Field::Reason).to_string(),
            source: source?,
            note: self.text(Field::Note).to_string(),
            last_passed: value.read.last_passed,
            accepted,
            supersedes: None,
            entered_at: String::new(),
            voided_at: String::new(),
            origin: format!("{} row {}", self.reader.name, self.record.row),
        })
    }

    fn trial(&mut self) -> Option<&'a Trial> {
        let reader = self.reader;
        let slug = match (self.text(Field::Trial), reader.trial) {
            ("", Some(chosen)) => chosen.as_str(),
            ("", None) => return self.refuse(Field::Trial, "is empty, and no trial was chosen for the file"),
            (named, Some(chosen)) if named != chosen.as_str() => {
                let problem = format!("is not the trial that was chosen for the file, {chosen}");
                return self.refuse(Field::Trial, problem);
            }
            (named, _) => named,
        };
        let found = reader.trials.get(slug).copied();
        found.or_else(|| self.refuse(Field::Trial, "is not a trial of this archive"))
    }

    fn blend(&mut self) -> Option<&'a BlendCode> {
        let reader = self.reader;
        let code = self.text(Field::Blend);
        if code.is_empty() {
            return self.refuse(Field::Blend, "is empty");
        }
        let found = reader.blends.get(code).copied();
        found.or_else(|| {
            let hint = spelt_otherwise(reader.blends.keys(), code);
            self.refuse(Field::Blend, format!("is not a blend of this archive{hint}"))
        })
    }

    /// The outer `None` is a fault. A rig that does not run the method is one.
    fn rig(&mut self, method: Option<&Method>) -> Option<Option<RigId>> {
        let reader = self.reader;
        let id = self.text(Field::Rig);
        if id.is_empty() {
            return Some(None);
        }
        let Some(rig) = reader.rigs.get(id) else {
            let hint = spelt_otherwise(reader.rigs.keys(), id);
            return self.refuse(Field::Rig, format!("is not a rig of this archive{hint}"));
        };
        let known = |id: &MethodId| reader.known.methods.iter().find(|method| &method.id == id);
        match method.and_then(|method| foreign_rig(rig, method, known, Method::name)) {
            Some(problem) => self.refuse(Field::Rig, problem),
            None => Some(Some(rig.id.clone())),
        }
    }

    /// What the row says yes to; `None` is a fault.
    fn accepted(&mut self) -> Option<Vec<AcceptedAs>> {
        let words = items(self.text(Field::Accepted)).map(|word| AcceptedAs::from_word(&word.to_lowercase()));
        let words: Option<Vec<AcceptedAs>> = words.collect();
        words.or_else(|| {
            let problem = format!("use words of: {}, with ';' between", AcceptedAs::allowed());
            self.refuse(Field::Accepted, problem)
        })
    }

    fn remark_on_strangers(&mut self, trial: &Trial, blend: &BlendCode, key: &TestKey) {
        if !trial.blends.iter().any(|part| &part.blend == blend) {
            let remark = "the trial does not name this blend; nothing weighs the result";
            self.remarks.push(remark.to_string());
        }
        if !trial.tests.iter().any(|test| &test.key == key) {
            let methods = &self.reader.known.methods;
            let method = methods.iter().find(|method| method.id == key.method);
            let test = method.map_or_else(|| key.to_string(), |method| method.name_of(&key.quantity));
            let remark = format!("the trial does not name the test {test}; nothing weighs the result");
            self.remarks.push(remark);
        }
    }

    /// The outer `None` is a fault.
    fn date(&mut self) -> Option<Option<jiff::civil::Date>> {
        let text = self.text(Field::Date);
        if text.is_empty() {
            return Some(None);
        }
        match date_in_order(text, self.reader.order) {
            Ok(date) => match future(date, self.reader.known.today) {
                Some(problem) => self.refuse(Field::Date, problem),
                None => Some(Some(date)),
            },
            Err(problem) => self.refuse(Field::Date, problem.to_string()),
        }
    }

    fn replicate(&mut self) -> Option<u32> {
        let text = self.text(Field::Replicate);
        if text.is_empty() {
            return Some(1);
        }
        let number = text.parse::<u32>().ok().filter(|number| *number >= 1);
        number.or_else(|| self.refuse(Field::Replicate, "is not a whole number from 1"))
    }

    fn word<T>(
        &mut self,
        field: Field,
        from_word: impl Fn(&str) -> Option<T>,
        when_blank: T,
        allowed: &str,
    ) -> Option<T> {
        let text = self.text(field).to_lowercase();
        if text.is_empty() {
            return Some(when_blank);
        }
        from_word(&text).or_else(|| self.refuse(field, format!("use one of: {allowed}, or leave it empty")))
    }

    /// The method and quantity that the row names.
    fn test(&mut self) -> Option<(&'a Method, &'a Quantity)> {
        let methods = self.reader.known.methods;
        match find_test(methods, self.text(Field::Method), self.text(Field::Quantity)) {
            Ok(found) => Some(found),
            Err(("quantity", problem)) => self.refuse(Field::Quantity, problem),
            Err((_, problem)) => self.refuse(Field::Method, problem),
        }
    }

    /// The value, with its cells as an archive folder writes them.
    fn value(&mut self, bounds: &Bounds<'_>, purpose: Purpose) -> Option<RowValue> {
        let reader = self.reader;
        let as_it_stands = self.text(Field::Value);
        let value = settled(as_it_stands, reader.decimal);
        let in_heading = reader.unit_in_heading.map_or("", Unit::word);
        let unit = match self.text(Field::Unit) {
            "" => in_heading,
            unit => unit,
        };
        let cells = ValueCells {
            value: &value,
            unit,
            last_passed: &settled(self.text(Field::LastPassed), reader.decimal),
        };
        match read_result(&cells, bounds, purpose) {
            Ok(Some(read)) => {
                if value != as_it_stands {
                    let remark =
                        format!("'{as_it_stands}' is read as {value}, as the file's other values are");
                    self.remarks.push(remark);
                }
                Some(RowValue {
                    read,
                    unit: unit.to_string(),
                    written: value,
                })
            }
            Ok(None) => self.refuse(Field::Value, "says not run"),
            Err(fault) => {
                let field = match fault.column {
                    "unit" => Field::Unit,
                    "last_passed" => Field::LastPassed,
                    _ => Field::Value,
                };
                self.refuse(field, fault.problem)
            }
        }
    }

    /// The column of conditions, and those that have a column of their own.
    fn conditions(&self) -> String {
        let own = self
            .reader
            .headings
            .iter()
            .zip(&self.record.cells)
            .filter_map(|(heading, cell)| match &heading.used {
                ColumnUse::Condition(name) if !cell.trim().is_empty() => {
                    Some(format!("{name} {}", unescaped(cell.trim())))
                }
                _ => None,
            });
        let stated = Some(self.text(Field::Conditions).to_string()).filter(|text| !text.is_empty());
        stated.into_iter().chain(own).collect::<Vec<_>>().join("; ")
    }

    fn stated(&self) -> Vec<&'static str> {
        let mut stated: Vec<&'static str> = crate::intake::long::COLUMNS
            .iter()
            .filter(|column| !self.text(column.field).is_empty())
            .map(|column| column.name)
            .collect();
        if !self.conditions().is_empty() && !stated.contains(&"conditions") {
            stated.push("conditions");
        }
        stated
    }
}

/// `; 'K-09' is`, where a name differs in capitals only.
fn spelt_otherwise<'a>(names: impl Iterator<Item = &'a &'a str>, given: &str) -> String {
    let mut names = names;
    names
        .find(|name| name.to_lowercase() == given.to_lowercase())
        .map_or(String::new(), |name| format!("; '{name}' is"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_takes_10000_characters_whatever_their_bytes() {
        for (characters, fits) in [(9_999, true), (10_000, true), (10_001, false)] {
            assert_eq!(damage(&"é".repeat(characters)).is_none(), fits, "{characters}");
        }
    }
}
