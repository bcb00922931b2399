//! Readings as a technician takes them down, to results as an import gives them.
//!
//! Each kind of readings has a table here: what stands in its columns, how many rows it may have, and which results come
//! out. Rows left empty say nothing. Which kind a method takes stands in its data file.

mod compute;
mod problems;
#[cfg(test)]
mod tests;

pub(crate) use problems::run_problem;

use crate::catalogue::readings::ReadingsFault;
use crate::catalogue::{Method, Readings};
use crate::intake::bench::problems::reading_problem;
use crate::intake::read_number;

/// What a cell holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellKind {
    /// A number.
    Number,
    /// A number, or this word in its place.
    NumberOr(&'static str),
    /// Numbers with `;` between them, or none.
    Numbers,
    /// One of these words.
    Word(&'static [&'static str]),
}

/// A column of readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchColumn {
    /// Short id, as in the kind of a stored reading.
    pub name: &'static str,
    /// What stands above it.
    pub label: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What its cells hold.
    pub kind: CellKind,
}

/// What a technician takes down of one run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchTable {
    /// What one row is: `ball`, `load`, `stage`.
    pub row: &'static str,
    /// Its columns.
    pub columns: &'static [BenchColumn],
    /// Most rows.
    pub rows: usize,
    /// What is done with the readings, in a sentence.
    pub rule: &'static str,
}

/// A result that comes out of readings.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchValue {
    /// Quantity id.
    pub quantity: &'static str,
    /// As an import would have it: `0.66`, `> 45`, `pass 45 / fail 50`.
    pub text: String,
    /// Its unit.
    pub unit: &'static str,
    /// Which specimen of the run, from 0; each is a replicate of its own.
    pub specimen: u32,
}

/// What readings come to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FromBench {
    /// The results.
    pub values: Vec<BenchValue>,
    /// What should be looked at again.
    pub remarks: Vec<String>,
}

/// A cell that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BenchFault {
    /// Its row, from 0.
    pub row: usize,
    /// Its column.
    pub column: &'static str,
    /// What is wrong, with the mend.
    pub problem: String,
}

const OUTCOMES: CellKind = CellKind::Word(&["passed", "failed"]);

const fn column(name: &'static str, label: &'static str, unit: &'static str, kind: CellKind) -> BenchColumn {
    BenchColumn {
        name,
        label,
        unit,
        kind,
    }
}

const fn number(name: &'static str, label: &'static str, unit: &'static str) -> BenchColumn {
    column(name, label, unit, CellKind::Number)
}

const SCARS: &[BenchColumn] = &[
    number("along", "Along the striations", "mm"),
    number("across", "Across them", "mm"),
];

/// The table of a kind of readings.
pub fn table_of(readings: Readings) -> BenchTable {
    let (row, rows, columns, rule): (_, _, &'static [BenchColumn], _) = match readings {
        Readings::FourBallWear => (
            "ball",
            3,
            SCARS,
            "Mean of the three lower balls, two directions each. A ball whose own mean departs by more than 0.04 mm is named: look at the alignment of the machine.",
        ),
        Readings::FourBallRunLog => (
            "run",
            24,
            const {
                &[
                    number("load", "Load", "kgf"),
                    column("scar", "Mean scar, or weld", "mm", CellKind::NumberOr("weld")),
                ]
            },
            "Weld load: the lowest that welded or left a mean scar of 4 mm, above the greatest that was run and did not. Last non-seizure load: up to it every scar lies within 5 % of the compensation line. Load-wear index: mean of the ten corrected loads below the weld.",
        ),
        Readings::BallOnDiscScar => ("ball", 1, SCARS, "Mean of the two directions."),
        Readings::LoadStepsLb => (
            "load",
            14,
            const {
                &[
                    number("load", "Load", "lb"),
                    column("outcome", "Score or seizure", "", OUTCOMES),
                ]
            },
            "OK load: the greatest that passed below the smallest that failed. A load that both passed and failed widens it to the loads next to it.",
        ),
        Readings::LoadStepsN => (
            "load",
            16,
            const {
                &[
                    number("load", "Load", "N"),
                    column("outcome", "Seizure", "", OUTCOMES),
                ]
            },
            "The greatest load that passed; the run ends at the first that fails.",
        ),
        Readings::GearStages => (
            "stage",
            14,
            const {
                &[
                    number("stage", "Load stage", ""),
                    column(
                        "widths",
                        "Damaged widths, one for each tooth that has some, with ; between",
                        "mm",
                        CellKind::Numbers,
                    ),
                ]
            },
            "A stage fails when the widths summed over the pinion's teeth reach the face width, 20 mm.",
        ),
        Readings::BearingMasses => (
            "bearing",
            4,
            const {
                &[
                    number("roller_before", "Rollers before", "g"),
                    number("roller_after", "Rollers after", "g"),
                    number("cage_before", "Cage before", "g"),
                    number("cage_after", "Cage after", "g"),
                ]
            },
            "Mass loss of the rollers and of the cage of each bearing; each bearing of a run is kept.",
        ),
        Readings::RollerMasses => (
            "bearing",
            4,
            const {
                &[
                    number("roller_before", "Rolling elements before", "g"),
                    number("roller_after", "Rolling elements after", "g"),
                ]
            },
            "Mass loss of the rolling elements of each bearing; each bearing of a run is kept.",
        ),
        Readings::AcidNumbers => (
            "reading",
            16,
            const {
                &[
                    number("hours", "Hours", "h"),
                    number("acid", "Acid number", "mg KOH/g"),
                ]
            },
            "Hours at which the acid number reached 2.0 mg KOH/g, straight between two readings.",
        ),
        Readings::Pressures => (
            "reading",
            24,
            const {
                &[
                    number("minutes", "Minutes", "min"),
                    number("pressure", "Pressure", "kPa"),
                ]
            },
            "Minutes until the pressure had fallen by 175 kPa from its greatest value.",
        ),
        Readings::Viscosities => (
            "oil",
            1,
            const {
                &[
                    number("before", "Viscosity at 100 °C before", "mm2/s"),
                    number("after", "Viscosity at 100 °C after", "mm2/s"),
                ]
            },
            "Rise of the viscosity at 100 °C in per cent of what it was.",
        ),
    };
    BenchTable {
        row,
        columns,
        rows,
        rule,
    }
}

/// The results of a filled table of a method, one list of cells per row; `None` where no cell is filled, or the method takes
/// no readings.
///
/// # Errors
/// Every cell that cannot be used.
pub fn results_of(method: &Method, cells: &[Vec<String>]) -> Option<Result<FromBench, Vec<BenchFault>>> {
    let readings = method.readings?;
    let ladders = method.quantities.iter().map(|quantity| quantity.scale.steps());
    let ladder = ladders
        .into_iter()
        .find(|steps| !steps.is_empty())
        .unwrap_or_default();
    let table = table_of(readings);
    let is_filled = |row: &&Vec<String>| row.iter().any(|cell| !cell.trim().is_empty());
    let filled: Vec<(usize, &Vec<String>)> = cells
        .iter()
        .enumerate()
        .filter(|(_, row)| is_filled(row))
        .collect();
    if filled.is_empty() {
        return None;
    }
    let of_row = |fault: ReadingsFault| {
        vec![BenchFault {
            row: filled.get(fault.row).map_or(0, |(row, _)| *row),
            column: column_of(&table, fault.field),
            problem: reading_problem(fault.problem),
        }]
    };
    Some(
        read_rows(&table, &filled).and_then(|rows| compute::compute(readings, ladder, &rows).map_err(of_row)),
    )
}

/// A row with its numbers; a word is its place in the list of words.
type Row = Vec<Vec<f64>>;

fn read_rows(table: &BenchTable, filled: &[(usize, &Vec<String>)]) -> Result<Vec<Row>, Vec<BenchFault>> {
    let mut faults = Vec::new();
    let mut rows = Vec::new();
    for (place, cells) in filled {
        let mut row = Vec::new();
        for (at, column) in table.columns.iter().enumerate() {
            let text = cells.get(at).map_or("", |cell| cell.trim());
            match read_cell(text, column.kind) {
                Ok(numbers) => row.push(numbers),
                Err(problem) => faults.push(BenchFault {
                    row: *place,
                    column: column.name,
                    problem,
                }),
            }
        }
        rows.push(row);
    }
    if faults.is_empty() { Ok(rows) } else { Err(faults) }
}

fn read_cell(text: &str, kind: CellKind) -> Result<Vec<f64>, String> {
    let number = |text: &str| read_number(text).map_err(|fault| format!("'{text}' {fault}"));
    match kind {
        CellKind::Number if text.is_empty() => Err("is empty; fill it, or empty the whole row".to_string()),
        CellKind::Number => number(text).map(|one| vec![one]),
        CellKind::NumberOr(word) if word.eq_ignore_ascii_case(text) => Ok(vec![f64::INFINITY]),
        CellKind::NumberOr(word) => number(text)
            .map(|one| vec![one])
            .map_err(|problem| format!("{problem}; write a number or the word {word}")),
        CellKind::Numbers => text
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(number)
            .collect(),
        CellKind::Word(words) => {
            let found = words.iter().position(|word| word.eq_ignore_ascii_case(text));
            found
                .map(|place| vec![place as f64])
                .ok_or_else(|| format!("must be one of: {}", words.join(", ")))
        }
    }
}

/// The column that a field of the arithmetic stands for; the first where it names none.
fn column_of(table: &BenchTable, field: &str) -> &'static str {
    let mut columns = table.columns.iter();
    let named = columns.find(|column| field.starts_with(column.name) || column.name.starts_with(field));
    named.or(table.columns.first()).map_or("", |column| column.name)
}
