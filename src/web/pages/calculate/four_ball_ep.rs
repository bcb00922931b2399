//! `/calculate/four-ball-ep`: last non-seizure load, weld point and load-wear index of a run log.

use crate::app;
use crate::calculate::{
    Answered, FourBallAnswer, FourBallRun, Level, Missing, ScarFrom, calculate_four_ball_ep, missing_words,
    read_number,
};
use crate::charts::{Look, PlaneAxis, PlaneChart, PlaneScale, Role};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, text};
use crate::web::pages::calculate::{Drawn, answered, frame, series};
use crate::web::question::Pairs;
use askama::Template;
use axum::response::Response;

pub(super) const PATH: &str = "/calculate/four-ball-ep";
const FIELDS: [FieldSpec; 1] = [text(
    "runs",
    "20 0.27\n24 0.28\n32 0.31\n40 0.33\n50 0.36\n63 0.39\n80 1.50\n100 1.80\n126 2.10\n160 2.40\n200 weld",
)];

/// A load that was found, or why it was not.
type Found = (Option<f64>, String);

struct Answer {
    last: Found,
    weld: Found,
    index: Found,
    plot: Drawn,
    levels: Vec<Level>,
}

#[derive(Template)]
#[template(path = "calculate/four_ball_ep.html")]
struct FourBallPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

pub(super) async fn show_four_ball_ep(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let runs = read_log(form)?;
        Ok(shown(calculate_four_ball_ep(&runs)?))
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
    let lines = form.field("runs").typed.lines().map(str::trim);
    for line in lines.filter(|line| !line.is_empty()) {
        match read_run(line) {
            Ok(run) => runs.push(run),
            Err(why) => {
                let problem = format!("row {}: {why}", runs.len() + 1);
                form.fault("runs", problem);
                break;
            }
        }
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
    let number = |text: &str| read_number(text).map_err(|fault| format!("'{}' {fault}", app::shown(text)));
    let weld = outcome.eq_ignore_ascii_case("weld") || outcome.eq_ignore_ascii_case("welded");
    Ok(FourBallRun {
        load_kgf: number(load)?,
        scar_mm: if weld { None } else { Some(number(outcome)?) },
        weld,
    })
}

fn shown(answer: FourBallAnswer) -> Answer {
    let found = |value: &Result<f64, Missing>| {
        let missing = value.as_ref().err().map(missing_words);
        (value.as_ref().ok().copied(), missing.unwrap_or_default())
    };
    Answer {
        last: found(&answer.result.last_non_seizure_kgf),
        weld: found(&answer.result.weld_kgf),
        index: found(&answer.result.load_wear_index_kgf),
        plot: Drawn::from(chart(&answer)),
        levels: answer.result.levels,
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
