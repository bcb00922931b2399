//! From a filled table to results.

use crate::catalogue::readings::{
    AcidReading, BallScar, LoadStep, PressureReading, ReadingsFault, ReadingsProblem, Specimen,
    StageInspection, StepOutcome, failing_stage, life_to_acid_number_h, mass_losses_mg, mean_scar_mm,
    minutes_to_pressure_drop, ok_load, passed_load, viscosity_increase_percent,
};
use crate::intake::bench::problems::reading_problem;
use crate::intake::bench::run_log;
use crate::intake::bench::{BenchFault, BenchTable, BenchValue, CellKind, FromBench, table_of};
use crate::intake::read_number;

/// Largest departure of one ball from the mean of all, mm (four-ball wear method for oils, from memory).
const BALLS_APART_MM: f64 = 0.04;
/// Face width of the scuffing gears, mm (ISO 14635-1, from memory), and the teeth of their pinion.
const GEAR: (f64, usize) = (20.0, 16);
/// Below this a balance tells no loss, mg (ours).
const BALANCE_MG: f64 = 1.0;
/// Acid number that ends the life of an oil, mg KOH/g (ASTM D943).
const END_OF_LIFE: f64 = 2.0;
/// Pressure drop that ends the test, kPa (ASTM D2272).
const PRESSURE_DROP_KPA: f64 = 175.0;

/// The results of a filled table, one list of cells per row; `None` where the method has no table or no cell is filled.
///
/// # Errors
/// Every cell that cannot be used.
pub fn results_of(method: &str, cells: &[Vec<String>]) -> Option<Result<FromBench, Vec<BenchFault>>> {
    let table = table_of(method)?;
    let filled: Vec<(usize, &Vec<String>)> = cells
        .iter()
        .enumerate()
        .filter(|(_, row)| row.iter().any(|cell| !cell.trim().is_empty()))
        .collect();
    if filled.is_empty() {
        return None;
    }
    Some(read_rows(&table, &filled).and_then(|rows| {
        let of_row = |fault: ReadingsFault| {
            let row = filled.get(fault.row).map_or(0, |(row, _)| *row);
            vec![BenchFault {
                row,
                column: column_of(&table, fault.field),
                problem: reading_problem(fault.problem),
            }]
        };
        compute(method, &rows).map_err(of_row)
    }))
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
    let number = |text: &str| read_number(text).map_err(|fault| format!("'{}' {fault}", text.trim()));
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
    let named = table
        .columns
        .iter()
        .find(|column| field.starts_with(column.name) || column.name.starts_with(field));
    named.or(table.columns.first()).map_or("", |column| column.name)
}

fn compute(method: &str, rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let pair = |row: &Row| (row[0][0], row[1][0]);
    match method {
        "fb_ep_oil" | "fb_ep_grease" => run_log::results(rows),
        "bor_oil" | "bor_grease" => ok_load(&steps(rows)).map(|found| ladder("ok_load", "lb", found)),
        "lo_oil_ep" | "lo_grease_ep" => {
            passed_load(&steps(rows)).map(|found| ladder("pass_load", "N", found))
        }
        "gear_A8" | "gear_A10" | "gear_A28_grease" => stages(rows),
        "rb_oil" | "rb_grease" => bearings(rows),
        "ox_d943" => {
            let read = |row: &Row| AcidReading {
                hours: pair(row).0,
                acid_number: pair(row).1,
            };
            let readings: Vec<AcidReading> = rows.iter().map(read).collect();
            life_to_acid_number_h(&readings, END_OF_LIFE).map(|life| bounded("life", "h", life))
        }
        "ox_d2272" => {
            let read = |row: &Row| PressureReading {
                minutes: pair(row).0,
                pressure_kpa: pair(row).1,
            };
            let readings: Vec<PressureReading> = rows.iter().map(read).collect();
            minutes_to_pressure_drop(&readings, PRESSURE_DROP_KPA).map(|time| bounded("time", "min", time))
        }
        "ox_d2893" => {
            let (before, after) = pair(&rows[0]);
            viscosity_increase_percent(before, after).map(|rise| one("kv100_increase", "%", &plain(rise)))
        }
        _ => scars(rows),
    }
}

fn scars(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let balls: Vec<BallScar> = rows
        .iter()
        .map(|row| BallScar {
            along_mm: row[0][0],
            across_mm: row[1][0],
        })
        .collect();
    let result = mean_scar_mm(&balls, BALLS_APART_MM)?;
    let remarks = result.apart.iter().map(|ball| {
        format!(
            "ball {} reads {} mm, more than {BALLS_APART_MM} mm from the mean: look at the alignment of the machine",
            ball + 1,
            plain(balls[*ball].mean_mm())
        )
    });
    Ok(FromBench {
        remarks: remarks.collect(),
        ..one("scar", "mm", &plain(result.mean_mm))
    })
}

fn steps(rows: &[Row]) -> Vec<LoadStep> {
    let step = |row: &Row| LoadStep {
        load: row[0][0],
        outcome: if row[1][0] == 0.0 {
            StepOutcome::Passed
        } else {
            StepOutcome::Failed
        },
    };
    rows.iter().map(step).collect()
}

fn ladder(quantity: &'static str, unit: &'static str, found: (Option<f64>, Option<f64>)) -> FromBench {
    match found {
        (Some(passed), Some(failed)) => one(
            quantity,
            unit,
            &format!("pass {} / fail {}", plain(passed), plain(failed)),
        ),
        (Some(passed), None) => FromBench {
            remarks: vec![format!(
                "no load failed: the result is a bound, above {} {unit}",
                plain(passed)
            )],
            ..one(quantity, unit, &format!(">{}", plain(passed)))
        },
        (None, Some(failed)) => one(quantity, unit, &format!("<{}", plain(failed))),
        (None, None) => FromBench::default(),
    }
}

fn stages(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let mut inspections = Vec::new();
    for (place, row) in rows.iter().enumerate() {
        let stage = row[0][0];
        if stage.fract() != 0.0 || !(1.0..=20.0).contains(&stage) {
            return Err(ReadingsFault {
                row: place,
                field: "stage",
                problem: ReadingsProblem::NoStage(stage),
            });
        }
        inspections.push(StageInspection {
            stage: stage as u32,
            widths_mm: row[1].clone(),
        });
    }
    let (failing, passed) = failing_stage(&inspections, GEAR.0, GEAR.1)?;
    Ok(match (failing, passed) {
        (Some(stage), _) => one("fail_stage", "stage", &stage.to_string()),
        (None, Some(stage)) => FromBench {
            remarks: vec![format!(
                "no stage failed: the result is a bound, above stage {stage}"
            )],
            ..one("fail_stage", "stage", &format!(">{stage}"))
        },
        (None, None) => FromBench::default(),
    })
}

fn bearings(rows: &[Row]) -> Result<FromBench, ReadingsFault> {
    let mut found = FromBench::default();
    for (quantity, at) in [("roller_wear", 0), ("cage_wear", 2)] {
        let specimens: Vec<Specimen> = rows
            .iter()
            .map(|row| Specimen {
                before_g: row[at][0],
                after_g: row[at + 1][0],
            })
            .collect();
        let losses = mass_losses_mg(&specimens, BALANCE_MG).map_err(|fault| in_column(quantity, fault))?;
        for (specimen, loss) in losses.into_iter().enumerate() {
            found.values.push(BenchValue {
                quantity,
                text: if loss < BALANCE_MG {
                    format!("<{}", plain(BALANCE_MG))
                } else {
                    plain(loss)
                },
                unit: "mg",
                specimen: specimen as u32,
            });
        }
    }
    Ok(found)
}

/// The column of a mass that cannot be used.
fn in_column(quantity: &str, fault: ReadingsFault) -> ReadingsFault {
    let field = match (quantity, fault.field) {
        ("roller_wear", "after") => "roller_after",
        ("roller_wear", _) => "roller_before",
        (_, "after") => "cage_after",
        _ => "cage_before",
    };
    ReadingsFault { field, ..fault }
}

fn bounded(quantity: &'static str, unit: &'static str, found: Result<f64, f64>) -> FromBench {
    match found {
        Ok(value) => one(quantity, unit, &plain(value)),
        Err(run) => FromBench {
            remarks: vec![format!(
                "the limit was not reached: the result is a bound, above {} {unit}",
                plain(run)
            )],
            ..one(quantity, unit, &format!(">{}", plain(run)))
        },
    }
}

fn one(quantity: &'static str, unit: &'static str, text: &str) -> FromBench {
    FromBench {
        values: vec![BenchValue {
            quantity,
            text: text.to_string(),
            unit,
            specimen: 0,
        }],
        remarks: Vec::new(),
    }
}

/// A number to a tenth of the last digit that any of these readings has.
pub(super) fn plain(number: f64) -> String {
    let text = format!("{number:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}
