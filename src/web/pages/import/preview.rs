//! The preview: how the file was understood, and a verdict for each row.

use crate::app::{ColumnUse, DateOrder, Decimal, DraftRun, ImportCounts, ImportPreview, ImportRow, Verdict};
use crate::catalogue::Method;
use crate::records::TrialSlug;
use crate::web::figures::{self, count};
use crate::web::frame::Frame;
use askama::Template;

/// More rows are not shown; those that stand against the import come first.
const MOST_SHOWN: usize = 1000;

/// The page.
#[derive(Template)]
#[template(path = "import/preview.html")]
pub(super) struct PreviewPage {
    pub(super) frame: Frame,
    pub(super) preview: ImportPreview,
    pub(super) counts: ImportCounts,
    pub(super) methods: Vec<Method>,
    pub(super) trials: Vec<TrialSlug>,
    pub(super) chosen: String,
    /// The file where it is short enough to be mended on the page.
    pub(super) text: Option<String>,
    pub(super) key: String,
}

impl PreviewPage {
    /// How many rows stand against writing any.
    fn against(&self) -> usize {
        self.counts.refused + self.counts.changes
    }

    /// How many rows are written on confirmation, once every question is answered.
    fn to_write(&self) -> usize {
        self.counts.new + self.counts.asked
    }

    /// The rows that are shown, in the order of the file.
    fn rows(&self) -> Vec<&ImportRow> {
        let is_against = |row: &&ImportRow| {
            !matches!(
                row.verdict,
                Verdict::New | Verdict::AlreadyThere | Verdict::NotRun
            )
        };
        let rows = self.preview.rows.iter();
        let mut shown: Vec<&ImportRow> = rows.clone().filter(is_against).take(MOST_SHOWN).collect();
        let others = rows.filter(|row| !is_against(row));
        shown.extend(others.take(MOST_SHOWN - shown.len()));
        shown.sort_by_key(|row| row.row);
        shown
    }

    fn understood(&self) -> String {
        let preview = &self.preview;
        let decimal = match preview.decimal {
            Some(Decimal::Point) => "decimal point",
            Some(Decimal::Comma) => "decimal comma",
            None => "decimal sign not settled by the file",
        };
        let order = match preview.order {
            Some(DateOrder::DayFirst) => "; dates with slashes have the day first",
            Some(DateOrder::MonthFirst) => "; dates with slashes have the month first",
            None => "",
        };
        let (encoding, separator) = (preview.encoding, preview.separator);
        format!("{encoding}; cells separated by {separator}; {decimal}{order}.")
    }

    /// `fb_ep_oil/weld 200 to 250 kgf, FB-1, 3 April 2026, run 1`.
    fn read_as(&self, draft: &DraftRun) -> String {
        let run = &draft.result;
        let method = self.methods.iter().find(|method| method.id == run.key.method);
        let quantity = method.and_then(|method| method.quantity(&run.key.quantity));
        let value = figures::value_with_unit(&run.value, quantity.map(|quantity| quantity.unit));
        let rig = run.rig.as_ref().map_or("no rig", |rig| rig.as_str());
        let date = figures::date(run.date);
        format!("{} {value}, {rig}, {date}, run {}", run.key, run.replicate)
    }
}

fn used_words(used: &ColumnUse) -> String {
    match used {
        ColumnUse::Field(field) => field.name().to_string(),
        ColumnUse::Condition(name) => format!("condition: {name}"),
        ColumnUse::NotRead => "not read".to_string(),
    }
}

/// The word of a verdict for style sheet and tests.
fn class(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::New => "new",
        Verdict::AlreadyThere => "same",
        Verdict::Changes { .. } => "changes",
        Verdict::Refused(_) => "refused",
        Verdict::Asked(_) => "asked",
        Verdict::NotRun => "not-run",
    }
}
