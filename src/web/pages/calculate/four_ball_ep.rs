//! `/calculate/four-ball-ep`: last non-seizure load, weld point and load-wear index of a run log.

use crate::app::App;
use crate::calculate::{
    Answered, FourBallAnswer, FourBallRun, Level, Missing, ScarFrom, calculate_four_ball_ep, missing_words,
    read_number,
};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, PlaneSeries, Role};
use crate::web::error::HttpError;
use crate::web::figures;
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form};
use crate::web::pages::calculate::shown::{Drawn, ShownAnswer};
use crate::web::pages::calculate::{answered, frame};
use crate::web::question::Pairs;
use askama::Template;
use axum::Router;
use axum::response::Response;
use axum::routing::get;
use std::sync::Arc;

const PATH: &str = "/calculate/four-ball-ep";
const FIELDS: [FieldSpec; 1] = [FieldSpec {
    name: "runs",
    label: "Run log: a line per run, load in kgf, then mean scar in mm or the word weld",
    example: "20 0.27\n24 0.28\n32 0.31\n40 0.33\n50 0.36\n63 0.39\n80 1.50\n100 1.80\n126 2.10\n160 2.40\n200 weld",
    key: "runs",
    factor: 1.0,
    lines: 12,
    heading: "",
}];

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route(PATH, get(show_four_ball_ep))
}

struct Row {
    load: String,
    scar: String,
    from: &'static str,
    unworn: String,
    line: String,
    seizure: &'static str,
    corrected: f64,
    corrected_words: String,
    in_index: String,
}

struct Answer {
    shown: Vec<ShownAnswer>,
    plot: Drawn,
    rows: Vec<Row>,
}

#[derive(Template)]
#[template(path = "calculate/four_ball_ep.html")]
struct FourBallPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

async fn show_four_ball_ep(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let runs = read_log(form)?;
        Ok(shown(&calculate_four_ball_ep(&runs)?))
    });
    let page = FourBallPage {
        frame: frame("Four-ball extreme-pressure run log"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

/// The rows of a log; a line that cannot be read is a fault of the form's.
fn read_log(form: &mut Form) -> Answered<Vec<FourBallRun>> {
    let mut runs = Vec::new();
    let mut problem = None;
    for line in form
        .text("runs")
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
    {
        match read_run(line) {
            Ok(run) => runs.push(run),
            Err(why) => problem = problem.or(Some(format!("row {}: {why}", runs.len() + 1))),
        }
        if problem.is_some() {
            break;
        }
    }
    if let Some(problem) = problem {
        form.fault("runs", problem);
    }
    Ok(runs)
}

fn read_run(line: &str) -> Result<FourBallRun, String> {
    let cells: Vec<&str> = line
        .split(|c: char| c.is_whitespace() || c == ';')
        .map(|cell| cell.trim_end_matches(','))
        .filter(|cell| !cell.is_empty())
        .collect();
    let [load, outcome] = cells.as_slice() else {
        return Err("write a load and then a scar or the word weld".to_string());
    };
    let number = |text: &str| read_number(text).map_err(|fault| format!("'{}' {fault}", shortened(text)));
    let weld = outcome.eq_ignore_ascii_case("weld") || outcome.eq_ignore_ascii_case("welded");
    Ok(FourBallRun {
        load_kgf: number(load)?,
        scar_mm: if weld { None } else { Some(number(outcome)?) },
        weld,
    })
}

fn shortened(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

fn shown(answer: &FourBallAnswer) -> Answer {
    let line = |key, label, value: &Result<f64, Missing>| {
        let missing = value.as_ref().err().map(missing_words).unwrap_or_default();
        ShownAnswer::or(key, label, value.as_ref().ok().copied(), (1.0, "kgf"), &missing)
    };
    let result = &answer.result;
    Answer {
        shown: vec![
            line("lnsl_kgf", "last non-seizure load", &result.last_non_seizure_kgf),
            line("weld_kgf", "weld point", &result.weld_kgf),
            line("lwi_kgf", "load-wear index", &result.load_wear_index_kgf),
        ],
        plot: Drawn::from(&chart(answer)),
        rows: result.levels.iter().map(row).collect(),
    }
}

fn row(level: &Level) -> Row {
    let scar = |mm: f64| figures::fixed(mm, 3);
    Row {
        load: figures::figure(level.load_kgf),
        scar: scar(level.scar_mm),
        from: match level.scar_from {
            ScarFrom::Measured => "measured",
            ScarFrom::CompensationLine => "not run: compensation line",
            ScarFrom::StandIn => "not run: stand-in for the line",
        },
        unworn: scar(level.hertz_scar_mm),
        line: scar(level.compensation_scar_mm),
        seizure: if level.is_without_seizure() { "no" } else { "yes" },
        corrected: level.corrected_kgf,
        corrected_words: figures::fixed(level.corrected_kgf, 2),
        in_index: level.in_index.map_or(String::new(), |place| place.to_string()),
    }
}

fn chart(answer: &FourBallAnswer) -> PlaneChart {
    let levels = &answer.result.levels;
    let points = |from: fn(&Level) -> bool| -> Vec<(f64, f64)> {
        let kept = levels.iter().filter(|level| from(level));
        kept.map(|level| (level.load_kgf, level.scar_mm)).collect()
    };
    let weld = answer.result.weld_kgf.as_ref().ok();
    let loads = levels.iter().map(|level| level.load_kgf).chain(weld.copied());
    let x = PlaneAxis::around("load", "kgf", PlaneScale::Log, loads.chain([10.0, 400.0]));
    let y = PlaneAxis::around(
        "scar",
        "mm",
        PlaneScale::Log,
        levels.iter().map(|level| level.scar_mm).chain([0.17, 4.0]),
    );
    let series = |role, look, points| PlaneSeries { role, look, points };
    let ladder = answer.ladder.iter();
    let results = [
        &answer.result.last_non_seizure_kgf,
        &answer.result.load_wear_index_kgf,
    ];
    let [last, index] = results.map(|value| match value {
        Ok(load) => figures::measured(*load, "kgf"),
        Err(_) => "none".to_string(),
    });
    PlaneChart {
        x,
        y,
        band: Vec::new(),
        uprights: weld.map(|load| (*load, "weld")).into_iter().collect(),
        finding: format!("Scar over load; last non-seizure load {last}, load-wear index {index}"),
        series: vec![
            series(
                Role::Quiet,
                Look::Thin,
                ladder.clone().map(|(load, unworn, _)| (*load, *unworn)).collect(),
            ),
            series(
                Role::Quiet,
                Look::Dashed,
                ladder.map(|(load, _, line)| (*load, *line)).collect(),
            ),
            series(
                Role::Accent,
                Look::Thin,
                points(|level| level.scar_from == ScarFrom::Measured),
            ),
            series(
                Role::Accent,
                Look::Rings,
                points(|level| level.scar_from != ScarFrom::Measured),
            ),
            series(
                Role::Accent,
                Look::Dots,
                points(|level| level.scar_from == ScarFrom::Measured && level.is_without_seizure()),
            ),
            series(
                Role::Loss,
                Look::Crosses,
                points(|level| level.scar_from == ScarFrom::Measured && !level.is_without_seizure()),
            ),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_a_log_is_read_as_laboratories_write_it() {
        let run = |line| read_run(line).unwrap();
        assert_eq!(
            (run("63 0,39").load_kgf, run("63;0.39").scar_mm),
            (63.0, Some(0.39))
        );
        assert_eq!((run("63, 0.39").load_kgf, run("200\tWeld").weld), (63.0, true));
        for line in ["63", "63 0.39 2", "x 0.3", "63 seized", "63 1,234"] {
            assert!(read_run(line).is_err(), "{line}");
        }
    }
}
