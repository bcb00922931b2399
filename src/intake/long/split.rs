//! Text to rows and cells, with the row numbers that a spreadsheet shows and the lines that an editor shows.
//!
//! A quoted cell may hold separators and line breaks; a line break is `\n`, `\r\n` or `\r`, also mixed in one file.

use crate::intake::table::MOST_ROWS;

/// Cells beyond this number in one row are dropped: no sheet of results is as wide.
const MOST_CELLS: usize = 256;

/// One row that is not blank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Record {
    /// Number of the row, from 1; a line break inside a quoted cell starts no row, a blank line is one.
    pub(crate) row: u64,
    /// Line on which the row starts, from 1.
    pub(crate) line: u64,
    pub(crate) cells: Vec<String>,
}

/// How the text ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ending {
    /// With its last row.
    Whole,
    /// Inside a quotation mark that never closes: the last row swallowed the rest.
    Unclosed,
    /// There are more rows than are read.
    TooManyRows,
}

/// The rows of a text whose cells a character separates.
pub(crate) fn split(text: &str, separator: char) -> (Vec<Record>, Ending) {
    let mut splitter = Splitter {
        separator,
        records: Vec::new(),
        cells: Vec::new(),
        cell: String::new(),
        row: 1,
        line: 1,
        row_line: 1,
    };
    let ending = splitter.run(text);
    (splitter.records, ending)
}

/// The cells of the first row that is not blank.
pub(crate) fn first_row(text: &str, separator: char) -> Vec<String> {
    let mut end = text.len();
    let mut quoted = false;
    let mut blank = true;
    for (at, c) in text.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '\r' | '\n' if !quoted && !blank => {
                end = at;
                break;
            }
            _ => {}
        }
        blank &= c.is_whitespace();
    }
    let (mut records, _) = split(&text[..end], separator);
    if records.is_empty() {
        Vec::new()
    } else {
        records.swap_remove(0).cells
    }
}

struct Splitter {
    separator: char,
    records: Vec<Record>,
    cells: Vec<String>,
    cell: String,
    row: u64,
    line: u64,
    row_line: u64,
}

impl Splitter {
    fn run(&mut self, text: &str) -> Ending {
        let mut characters = text.chars().peekable();
        let mut quoted = false;
        let mut fresh = true;
        while let Some(c) = characters.next() {
            let is_break = c == '\n' || c == '\r';
            if c == '\r' && characters.peek() == Some(&'\n') {
                characters.next();
            }
            if quoted {
                match c {
                    '"' if characters.peek() == Some(&'"') => {
                        characters.next();
                        self.cell.push('"');
                    }
                    '"' => quoted = false,
                    _ if is_break => {
                        self.line += 1;
                        self.cell.push('\n');
                    }
                    other => self.cell.push(other),
                }
            } else if is_break {
                self.line += 1;
                self.end_row();
                fresh = true;
                if self.records.len() > MOST_ROWS + 1 {
                    return Ending::TooManyRows;
                }
            } else if c == self.separator {
                self.end_cell();
                fresh = true;
            } else if c == '"' && fresh {
                quoted = true;
                fresh = false;
            } else {
                self.cell.push(c);
                fresh = false;
            }
        }
        if !self.cell.is_empty() || !self.cells.is_empty() {
            self.end_row();
        }
        if quoted {
            Ending::Unclosed
        } else if self.records.len() > MOST_ROWS + 1 {
            Ending::TooManyRows
        } else {
            Ending::Whole
        }
    }

    fn end_cell(&mut self) {
        let cell = std::mem::take(&mut self.cell);
        if self.cells.len() < MOST_CELLS {
            self.cells.push(cell);
        }
    }

    fn end_row(&mut self) {
        self.end_cell();
        let cells = std::mem::take(&mut self.cells);
        if cells.iter().any(|cell| !cell.trim().is_empty()) {
            self.records.push(Record {
                row: self.row,
                line: self.row_line,
                cells,
            });
        }
        self.row += 1;
        self.row_line = self.line;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> Vec<(u64, u64, Vec<String>)> {
        let (records, ending) = split(text, ',');
        assert_eq!(ending, Ending::Whole);
        records.into_iter().map(|r| (r.row, r.line, r.cells)).collect()
    }

    #[test]
    fn a_line_break_in_quotes_moves_the_line_and_not_the_row() {
        let found = rows("a,b\n\"x\r\ny, \"\"z\"\"\",1\r\n\rc,2");
        let cells = |a: &str, b: &str| vec![a.to_string(), b.to_string()];
        assert_eq!(
            found,
            [
                (1, 1, cells("a", "b")),
                (2, 2, cells("x\ny, \"z\"", "1")),
                (4, 5, cells("c", "2")),
            ]
        );
    }

    #[test]
    fn a_quotation_mark_that_never_closes_is_noticed() {
        assert_eq!(split("a,b\n\"x,1\ny,2\n", ',').1, Ending::Unclosed);
        assert_eq!(split("a,b\n6\" pipe,1\n", ',').1, Ending::Whole);
    }

    #[test]
    fn of_a_row_256_cells_are_kept() {
        for (cells, kept) in [(255, 255), (256, 256), (257, 256)] {
            assert_eq!(rows(&vec!["a"; cells].join(","))[0].2.len(), kept);
        }
    }

    #[test]
    fn the_first_row_may_follow_blank_lines() {
        assert_eq!(first_row("\n\n a;b\nc;d", ';'), [" a", "b"]);
        assert!(first_row("", ';').is_empty());
    }
}
