//! What all forms share: the faults of their fields, and how lines, texts, slugs and numbers are read from these.

use crate::intake::cells::{Cells, Names};
use crate::intake::read_number;
use crate::intake::table::Table;
use crate::records::table::{FileColumns, Record};

/// The most characters of a one-line text.
const LONGEST_LINE: usize = 200;
/// The most characters of a note or caution.
const LONGEST_TEXT: usize = 4000;

/// What is wrong with a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftFault {
    /// The field: `name`, or `c0.share` for the share of the first contact, `c0.p.load_n.lo` for a parameter.
    pub field: String,
    /// What is wrong, with the mend.
    pub problem: String,
    /// Whether something is wrong with what is typed, or nothing is typed yet.
    pub kind: FaultKind,
}

/// Whether a field is wrong or still empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// What is typed cannot be used.
    Wrong,
    /// Something is still to be typed.
    Missing,
}

impl DraftFault {
    /// What is typed cannot be used.
    pub(crate) fn wrong(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            problem: problem.into(),
            kind: FaultKind::Wrong,
        }
    }

    /// Something is still to be typed.
    pub(crate) fn missing(field: impl Into<String>, problem: impl Into<String>) -> Self {
        Self {
            kind: FaultKind::Missing,
            ..Self::wrong(field, problem)
        }
    }
}

/// What is wrong with a form so far.
#[derive(Default)]
pub(crate) struct Faults(pub(crate) Vec<DraftFault>);

impl Faults {
    /// What is typed cannot be used.
    pub(crate) fn wrong(&mut self, field: impl Into<String>, problem: impl Into<String>) {
        self.0.push(DraftFault::wrong(field, problem));
    }

    /// Something is still to be typed.
    pub(crate) fn missing(&mut self, field: impl Into<String>, problem: impl Into<String>) {
        self.0.push(DraftFault::missing(field, problem));
    }

    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The record that a row of typed fields reads as by the rules of its file. A fault is said at the field that `field` finds for its
    /// column, unless that has one already.
    pub(crate) fn row<R: Record>(
        &mut self,
        names: &Names,
        fields: &[(&str, &str)],
        field: impl Fn(&str) -> String,
        read: impl FnOnce(&mut Cells<'_>) -> Option<(R::Owner, R)>,
    ) -> Option<R> {
        let table = Table::of_fields(FileColumns::of::<R>(), fields);
        let mut found = Vec::new();
        let read = read(&mut Cells::new(&table, table.rows.first()?, names, &mut found));
        found.sort();
        for fault in found {
            let field = field(&fault.column);
            if !self.0.iter().any(|known| known.field == field) {
                self.wrong(field, fault.problem);
            }
        }
        read.map(|(_, record)| record)
    }

    /// Small letters, digits and hyphens: what an address carries without marks.
    pub(crate) fn slug(&mut self, field: &str, example: &str, typed: &str) -> Option<String> {
        let text = typed.trim();
        if text.is_empty() {
            let problem = format!("is empty; a short name for addresses belongs here, such as {example}");
            self.missing(field, problem);
            return None;
        }
        let usable = text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
        if !usable || text == "new" || text.starts_with('-') || text.ends_with('-') || text.len() > 60 {
            let problem = "takes up to 60 small letters, digits and hyphens between them, and is not 'new'";
            self.wrong(field, problem);
            return None;
        }
        Some(text.to_string())
    }

    /// A text of one line; an empty one is missing.
    pub(crate) fn line(&mut self, field: &str, what: &str, typed: &str) -> String {
        let typed = typed.trim();
        if typed.is_empty() {
            self.missing(field, format!("is empty; {what} belongs here"));
        } else if typed.chars().count() > LONGEST_LINE {
            self.wrong(field, format!("is longer than {LONGEST_LINE} characters"));
        } else if typed.chars().any(char::is_control) {
            self.wrong(field, "holds a control character; retype it");
        }
        typed.to_string()
    }

    /// A text of any number of lines, which may be empty.
    pub(crate) fn text(&mut self, field: &str, typed: &str) -> String {
        let typed = typed.trim().replace("\r\n", "\n");
        if typed.chars().count() > LONGEST_TEXT {
            self.wrong(field, format!("is longer than {LONGEST_TEXT} characters"));
        } else if typed.chars().any(|c| c.is_control() && c != '\n' && c != '\t') {
            self.wrong(field, "holds a control character; retype it");
        }
        typed
    }

    /// A number, or nothing.
    pub(crate) fn number(&mut self, field: &str, typed: &str) -> Option<f64> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        let read = read_number(typed);
        read.map_err(|problem| self.wrong(field, problem.to_string()))
            .ok()
    }

    /// The numbers of a list with `;` between. The first item that cannot be used is named with what stands `against` it
    /// behind those before it; an empty list is missing.
    pub(crate) fn numbers(
        &mut self,
        field: &str,
        typed: &str,
        when_empty: &str,
        against: impl Fn(&[f64], f64) -> Option<&'static str>,
    ) -> Vec<f64> {
        let mut list = Vec::new();
        for item in typed.split(';').map(str::trim).filter(|item| !item.is_empty()) {
            let read = read_number(item).map_err(|problem| format!("'{item}' {problem}"));
            let read = read.and_then(|number| match against(&list, number) {
                Some(problem) => Err(format!("'{item}'{problem}")),
                None => Ok(number),
            });
            match read {
                Ok(number) => list.push(number),
                Err(problem) => {
                    self.wrong(field, problem);
                    return Vec::new();
                }
            }
        }
        if list.is_empty() {
            self.missing(field, when_empty);
        }
        list
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn takes(read: impl Fn(&mut Faults)) -> bool {
        let mut faults = Faults::default();
        read(&mut faults);
        faults.is_empty()
    }

    #[test]
    fn a_line_takes_200_characters_a_text_4000_and_a_short_name_60() {
        for (more, fits) in [(-1, true), (0, true), (1, false)] {
            // characters of two bytes each, where they may be
            let of = |character: &str, most: usize| character.repeat(most.saturating_add_signed(more));
            assert_eq!(
                takes(|faults| drop(faults.line("name", "a name", &of("é", 200)))),
                fits,
                "{more}"
            );
            assert_eq!(
                takes(|faults| drop(faults.text("note", &of("é", 4000)))),
                fits,
                "{more}"
            );
            assert_eq!(
                takes(|faults| drop(faults.slug("trial", "a-trial", &of("b", 60)))),
                fits,
                "{more}"
            );
        }
    }
}
