//! An archive folder: read whole or refused whole, with everything that is wrong with it.

use crate::intake::cells::{Cells, Defined};
use crate::intake::methods::Methods;
use crate::intake::table::{Condition, Table};
use crate::intake::{Fault, blends, machines, methods, results, scales, sequels, trials};
use crate::records::Archive;
use crate::records::rows::{self, FILES, FileColumns};
use std::collections::{BTreeMap, BTreeSet};

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
    pub(crate) components: Defined,
    pub(crate) blends: Defined,
    pub(crate) machines: Defined,
    pub(crate) rigs: Defined,
    pub(crate) trials: Defined,
}

impl Folder {
    fn open(files: &ArchiveFiles) -> Self {
        let mut faults = Vec::new();
        let mut tables = BTreeMap::new();
        for file in FILES {
            let table = match files.get(file.name) {
                Some(bytes) => Table::read(*file, bytes, &mut faults),
                None => Table::missing(*file),
            };
            tables.insert(file.name, table);
        }
        let known: Vec<&str> = FILES.iter().map(|file| file.name).collect();
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
        let names = |file: FileColumns, column| defined(&tables[file.name], column);
        Self {
            components: names(rows::COMPONENTS, "component"),
            blends: names(rows::BLENDS, "blend"),
            machines: names(rows::MACHINES, "machine"),
            rigs: names(rows::RIGS, "rig"),
            trials: names(rows::TRIALS, "trial"),
            tables,
            faults,
            warnings: Vec::new(),
        }
    }

    pub(crate) fn table(&self, file: FileColumns) -> &Table {
        &self.tables[file.name]
    }

    /// What each sound row of a file reads as, with its line. Rows with a fault are left out, their faults noted.
    pub(crate) fn read<T>(
        &mut self,
        file: FileColumns,
        mut read: impl FnMut(&Names<'_>, &mut Cells<'_>) -> Option<T>,
    ) -> Vec<(u64, T)> {
        let mut found = Vec::new();
        let names = Names {
            components: &self.components,
            blends: &self.blends,
            machines: &self.machines,
            rigs: &self.rigs,
            trials: &self.trials,
        };
        let table = &self.tables[file.name];
        let sound = table.rows.iter().filter(|row| row.condition == Condition::Sound);
        for row in sound {
            let mut cells = Cells::new(table, row, &mut self.faults);
            if let Some(item) = read(&names, &mut cells) {
                found.push((row.line, item));
            }
        }
        found
    }

    /// Refuses every row whose key stands in an earlier row.
    pub(crate) fn refuse_doubles(&mut self, file: FileColumns, key: &[&str]) {
        let table = &self.tables[file.name];
        let mut seen: BTreeMap<Vec<&str>, u64> = BTreeMap::new();
        for row in &table.rows {
            let cells: Vec<&str> = key.iter().map(|column| table.cell(row, column).trim()).collect();
            let complete = cells.first().is_some_and(|cell| !cell.is_empty());
            if !complete || row.condition == Condition::Damaged {
                continue;
            }
            if let Some(line) = seen.get(&cells) {
                let problem = format!("{} stands in line {line} already", key.join(", "));
                let text = cells.join(", ");
                self.faults.push(Fault::new(
                    file.name,
                    row.line,
                    key[key.len() - 1],
                    &text,
                    problem,
                ));
            } else {
                seen.insert(cells, row.line);
            }
        }
    }
}

/// The names that a folder defines.
pub(crate) struct Names<'a> {
    pub(crate) components: &'a Defined,
    pub(crate) blends: &'a Defined,
    pub(crate) machines: &'a Defined,
    pub(crate) rigs: &'a Defined,
    pub(crate) trials: &'a Defined,
}

fn defined(table: &Table, column: &str) -> Defined {
    let cells = table
        .rows
        .iter()
        .map(|row| table.cell(row, column).trim().to_string());
    table
        .has(column)
        .then(|| cells.filter(|name| !name.is_empty()).collect::<BTreeSet<_>>())
}

/// The archive in the files of a folder, or every fault in file and line order.
pub fn read_folder(files: &ArchiveFiles) -> Result<Accepted, Vec<Fault>> {
    let mut folder = Folder::open(files);
    let components = blends::components(&mut folder);
    let blends = blends::blends(&mut folder);
    let machines = machines::machines(&mut folder);
    let own_methods = methods::own_methods(&mut folder);
    let known = Methods::new(&folder, &own_methods);
    let rigs = trials::rigs(&mut folder, &known);
    let trials = trials::trials(&mut folder, &machines, &known);
    let term_scales = scales::term_scales(&mut folder);
    let results = results::results(&mut folder, &known, &trials);
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
