//! An archive folder: read whole or refused whole, with everything that is wrong with it.

use crate::intake::cells::{Cells, Names};
use crate::intake::methods::Methods;
use crate::intake::table::{Condition, Table};
use crate::intake::{Fault, blends, machines, methods, results, scales, sequels, trials};
use crate::records::Archive;
use crate::records::table::Record;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// The files of a folder by name.
pub type ArchiveFiles = BTreeMap<String, Vec<u8>>;

/// A folder that can be taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct Accepted {
    /// What it holds.
    pub archive: Archive,
    /// What somebody should know about it, although it is no reason to refuse it.
    pub warnings: Vec<Fault>,
}

/// The tables of a folder, the names they define, and what was found wrong so far.
pub(crate) struct Folder {
    tables: BTreeMap<&'static str, Table>,
    pub(crate) faults: Vec<Fault>,
    pub(crate) warnings: Vec<Fault>,
    names: Names,
}

impl Folder {
    fn open(files: &ArchiveFiles) -> Self {
        let mut faults = Vec::new();
        let mut tables = BTreeMap::new();
        let mut known = Vec::new();
        for file in Archive::default().files() {
            let (name, file) = (file.file.name, file.file);
            known.push(name);
            let table = match files.get(name) {
                Some(bytes) => Table::read(file, bytes, &mut faults),
                None => Table::missing(file),
            };
            tables.insert(name, table);
        }
        for name in files.keys() {
            if name.to_lowercase().ends_with(".csv") && !known.contains(&name.as_str()) {
                let problem = format!(
                    "is not a file of an archive folder; those are {}",
                    known.join(", ")
                );
                faults.push(Fault::new(name, 0, "", "", problem));
            }
        }
        if !known.iter().any(|name| files.contains_key(*name)) {
            let problem = format!("holds no file of an archive; those are {}", known.join(", "));
            faults.push(Fault::new("the folder", 0, "", "", problem));
        }
        Self {
            names: Names::of(&tables),
            tables,
            faults,
            warnings: Vec::new(),
        }
    }

    pub(crate) fn table<R: Record>(&self) -> &Table {
        &self.tables[R::FILE]
    }

    /// What each sound row of a file reads as, with its line. Rows with a fault are left out, their faults noted.
    pub(crate) fn read<R: Record>(&mut self) -> Vec<(u64, R::Owner, R)> {
        self.read_with(|cells| cells.record())
    }

    /// The same with rules of the table's own.
    pub(crate) fn read_with<R: Record>(
        &mut self,
        mut read: impl FnMut(&mut Cells<'_>) -> Option<(R::Owner, R)>,
    ) -> Vec<(u64, R::Owner, R)> {
        let mut found = Vec::new();
        let table = &self.tables[R::FILE];
        let sound = table.rows.iter().filter(|row| row.condition == Condition::Sound);
        for row in sound {
            let mut cells = Cells::new(table, row, &self.names, &mut self.faults);
            if let Some((owner, record)) = read(&mut cells) {
                found.push((row.line, owner, record));
            }
        }
        found
    }

    /// Notes a fault of a row.
    pub(crate) fn refuse<R: Record>(
        &mut self,
        line: u64,
        column: &str,
        text: &str,
        problem: impl Into<String>,
    ) {
        self.faults.push(Fault::new(R::FILE, line, column, text, problem));
    }

    /// Notes what should be known of a row that is taken in.
    pub(crate) fn warn<R: Record>(
        &mut self,
        line: u64,
        column: &str,
        text: &str,
        problem: impl Into<String>,
    ) {
        self.warnings
            .push(Fault::new(R::FILE, line, column, text, problem));
    }

    /// Refuses every row whose key stands in an earlier row.
    pub(crate) fn refuse_doubles<R: Record>(&mut self) {
        let table = &self.tables[R::FILE];
        let mut seen: BTreeMap<Vec<&str>, u64> = BTreeMap::new();
        for row in &table.rows {
            let cells = R::KEY.iter().map(|column| table.cell(row, column).trim());
            let cells: Vec<&str> = cells.collect();
            let complete = cells.first().is_some_and(|cell| !cell.is_empty());
            if !complete || row.condition == Condition::Damaged {
                continue;
            }
            if let Some(line) = seen.get(&cells) {
                let problem = format!("{} stands in line {line} already", R::KEY.join(", "));
                let column = R::KEY.last().copied().unwrap_or_default();
                let fault = Fault::new(R::FILE, row.line, column, &cells.join(", "), problem);
                self.faults.push(fault);
            } else {
                seen.insert(cells, row.line);
            }
        }
    }
}

/// The archive in the files of a folder, or every fault in file and line order. `today` is the day of entry of results that
/// give none.
pub fn read_folder(files: &ArchiveFiles, today: Date) -> Result<Accepted, Vec<Fault>> {
    let mut folder = Folder::open(files);
    let components = blends::components(&mut folder);
    let blends = blends::blends(&mut folder);
    let machines = machines::machines(&mut folder);
    let own_methods = methods::own_methods(&mut folder);
    let known = Methods::new(&folder, &own_methods);
    let rigs = trials::rigs(&mut folder, &known);
    let trials = trials::trials(&mut folder, &machines, &known);
    let term_scales = scales::term_scales(&mut folder);
    let results = results::results(&mut folder, &known, &trials, &rigs, today);
    let outcomes = sequels::outcomes(&mut folder);
    let readings = sequels::readings(&mut folder, &known);
    let decisions = sequels::decisions(&mut folder);
    if !folder.faults.is_empty() {
        folder.faults.sort();
        return Err(folder.faults);
    }
    folder.warnings.sort();
    Ok(Accepted {
        archive: Archive {
            components,
            blends,
            machines,
            own_methods,
            rigs,
            trials,
            term_scales,
            results,
            readings,
            decisions,
            outcomes,
        },
        warnings: folder.warnings,
    })
}
