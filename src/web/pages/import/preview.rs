//! The preview: how the file was understood, and a verdict for each row.

use crate::app::{ColumnUse, DateOrder, Decimal, DraftRun, ImportPreview, ImportRow, Verdict};
use crate::catalogue::Method;
use crate::web::figures;
use crate::web::frame::{Frame, Section};
use crate::web::pages::import::words;
use askama::Template;

/// More rows are not shown; those that stand against the import come first.
const MOST_SHOWN: usize = 1000;

struct ShownRow {
    row: u64,
    verdict: &'static str,
    class: &'static str,
    said: String,
    read_as: String,
    reasons: Vec<Reason>,
}

struct Reason {
    column: String,
    text: String,
    problem: String,
}

/// The page.
#[derive(Template)]
#[template(path = "import/preview.html")]
pub(crate) struct PreviewPage {
    frame: Frame,
    name: String,
    summary: String,
    advice: String,
    can_be_written: bool,
    new: usize,
    understood: String,
    columns: Vec<(String, String)>,
    rows: Vec<ShownRow>,
    not_shown: usize,
    trials: Vec<String>,
    chosen: String,
    text: Option<String>,
    key: String,
}

impl PreviewPage {
    /// The preview of a file; `text` is the file where it is short enough to be mended on the page.
    pub(crate) fn new(
        preview: &ImportPreview,
        methods: &[Method],
        trials: Vec<String>,
        chosen: String,
        text: Option<String>,
        key: String,
    ) -> Self {
        let counts = preview.counts();
        let against = |row: &&ImportRow| matches!(row.verdict, Verdict::Refused(_) | Verdict::Changes { .. });
        let mut shown: Vec<&ImportRow> = preview.rows.iter().filter(against).take(MOST_SHOWN).collect();
        let others = preview.rows.iter().filter(|row| !against(row));
        shown.extend(others.take(MOST_SHOWN - shown.len()));
        shown.sort_by_key(|row| row.row);
        let standing_against = counts.refused + counts.changes;
        let can_be_written = standing_against == 0 && counts.new > 0;
        Self {
            frame: Frame::new(words::PREVIEW_OF_AN_IMPORT).of(Section::Import),
            name: preview.name.clone(),
            summary: words::summary(
                preview.rows.len(),
                counts.new,
                counts.same,
                counts.changes,
                counts.refused,
                counts.not_run,
            ),
            advice: match (standing_against, counts.new) {
                (0, 0) => words::NOTHING_IS_NEW.to_string(),
                (0, _) => words::NOTHING_IS_WRITTEN_YET.to_string(),
                _ => words::NOTHING_CAN_BE_WRITTEN.to_string(),
            },
            can_be_written,
            new: counts.new,
            understood: understood(preview),
            columns: preview
                .columns
                .iter()
                .map(|(heading, used)| (heading.clone(), used_words(used)))
                .collect(),
            not_shown: preview.rows.len() - shown.len(),
            rows: shown.into_iter().map(|row| shown_row(row, methods)).collect(),
            trials,
            chosen,
            text,
            key,
        }
    }
}

fn understood(preview: &ImportPreview) -> String {
    let decimal = match preview.decimal {
        Some(Decimal::Point) => words::DECIMAL_POINT,
        Some(Decimal::Comma) => words::DECIMAL_COMMA,
        None => words::DECIMAL_SIGN_NOT_SETTLED,
    };
    let order = match preview.order {
        Some(DateOrder::DayFirst) => words::DAY_FIRST,
        Some(DateOrder::MonthFirst) => words::MONTH_FIRST,
        None => "",
    };
    words::understood(preview.encoding, preview.separator, decimal, order)
}

fn used_words(used: &ColumnUse) -> String {
    match used {
        ColumnUse::Field(field) => field.name().to_string(),
        ColumnUse::Condition(name) => words::condition(name),
        ColumnUse::NotRead => words::NOT_READ.to_string(),
    }
}

fn shown_row(row: &ImportRow, methods: &[Method]) -> ShownRow {
    let plain = |problem: String| Reason {
        column: String::new(),
        text: String::new(),
        problem,
    };
    let mut reasons = match &row.verdict {
        Verdict::Refused(problems) => problems
            .iter()
            .map(|problem| Reason {
                column: problem.column.clone(),
                text: problem.text.clone(),
                problem: problem.problem.clone(),
            })
            .collect(),
        Verdict::Changes { there, given } => vec![plain(words::run_is_there_with(there, given))],
        _ => Vec::new(),
    };
    let remarks = row.draft.iter().flat_map(|draft| draft.remarks.iter().cloned());
    reasons.extend(remarks.map(plain));
    ShownRow {
        row: row.row,
        verdict: row.verdict.word(),
        class: match row.verdict {
            Verdict::New => "new",
            Verdict::AlreadyThere => "same",
            Verdict::Changes { .. } => "changes",
            Verdict::Refused(_) => "refused",
            Verdict::NotRun => "not-run",
        },
        said: row.said.clone(),
        read_as: row
            .draft
            .as_ref()
            .map(|draft| read_as(draft, methods))
            .unwrap_or_default(),
        reasons,
    }
}

/// `fb_ep_oil/weld 200 to 250 kgf, FB-1, 3 April 2026, run 1`.
fn read_as(draft: &DraftRun, methods: &[Method]) -> String {
    let run = &draft.result;
    let method = methods.iter().find(|method| method.id == run.key.method);
    let quantity = method.and_then(|method| method.quantity(&run.key.quantity));
    let value = figures::value_with_unit(&run.value, quantity.map(|quantity| quantity.unit));
    let rig = run
        .rig
        .as_ref()
        .map_or(words::NO_RIG.to_string(), ToString::to_string);
    words::row(&run.key, &value, &rig, &figures::date(run.date), run.replicate)
}
