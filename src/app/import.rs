//! Taking a file of results in: first looked at, then all of it or nothing.

use crate::app::{App, AppError, now, today};
use crate::intake::{
    CellProblem, ColumnUse, DateOrder, Decimal, DraftRun, Finding, KnownNames, LongFile, LongRefusal,
    LongRow, Question, read_long,
};
use crate::prose::faults::{asked_of_a_row, may_be_the_same_run};
use crate::records::{AcceptedAs, TrialSlug};
use crate::store::{Fate, GivenRun};

/// A file of results as it was understood, with a verdict for each row.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportPreview {
    /// Its name.
    pub name: String,
    /// Its encoding.
    pub encoding: &'static str,
    /// The word for what separates its cells.
    pub separator: &'static str,
    /// The decimal sign that its values settle.
    pub decimal: Option<Decimal>,
    /// The order that its dates settle.
    pub order: Option<DateOrder>,
    /// Its headings, and how each was understood.
    pub columns: Vec<(String, ColumnUse)>,
    /// Its rows in order; what is wrong with the file as a whole stands at row 1, or 0 where it has none.
    pub rows: Vec<ImportRow>,
    /// Whether anything was written.
    pub written: bool,
}

/// One row with its verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct ImportRow {
    /// Its number as a spreadsheet shows it; the header is 1.
    pub row: u64,
    /// The line on which it starts.
    pub line: u64,
    /// Its cells in short.
    pub said: String,
    /// The run as it was read.
    pub draft: Option<Box<DraftRun>>,
    /// What becomes of it.
    pub verdict: Verdict,
}

/// What becomes of a row.
#[derive(Clone, Debug, PartialEq, Eq, strum::IntoStaticStr)]
#[strum(serialize_all = "lowercase")]
pub enum Verdict {
    /// It is written on confirmation.
    New,
    /// The run is there already.
    #[strum(serialize = "already there")]
    AlreadyThere,
    /// The run is there with something else: refused, a correction is made on purpose.
    Changes {
        /// What is there, where the two differ.
        there: String,
        /// What is given, where the two differ.
        given: String,
    },
    /// It cannot be used: every cell that is wrong.
    Refused(Vec<CellProblem>),
    /// It is written when somebody says that it is right: what is asked of each cell.
    Asked(Vec<Question>),
    /// It says that the test was not run; nothing is kept of it.
    #[strum(serialize = "not run")]
    NotRun,
}

impl Verdict {
    /// One word or two for it.
    pub fn word(&self) -> &'static str {
        self.into()
    }
}

/// How many rows have each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ImportCounts {
    /// New.
    pub new: usize,
    /// There already.
    pub same: usize,
    /// There with something else.
    pub changes: usize,
    /// Not usable.
    pub refused: usize,
    /// Asked about.
    pub asked: usize,
    /// Not run.
    pub not_run: usize,
}

impl ImportPreview {
    /// How many rows have each verdict.
    pub fn counts(&self) -> ImportCounts {
        let mut counts = ImportCounts::default();
        for row in &self.rows {
            match row.verdict {
                Verdict::New => counts.new += 1,
                Verdict::AlreadyThere => counts.same += 1,
                Verdict::Changes { .. } => counts.changes += 1,
                Verdict::Refused(_) => counts.refused += 1,
                Verdict::Asked(_) => counts.asked += 1,
                Verdict::NotRun => counts.not_run += 1,
            }
        }
        counts
    }

    /// The headings that are not read.
    pub fn unread_columns(&self) -> impl Iterator<Item = &(String, ColumnUse)> {
        let filled = self
            .columns
            .iter()
            .filter(|(heading, _)| !heading.trim().is_empty());
        filled.filter(|(_, used)| *used == ColumnUse::NotRead)
    }

    /// Whether no row stands against writing the file.
    pub fn is_accepted(&self) -> bool {
        let counts = self.counts();
        counts.refused == 0 && counts.changes == 0 && counts.asked == 0
    }

    /// Every question about a row: row, line, and what is asked with how the file answers it.
    pub fn questions(&self) -> Vec<(u64, u64, CellProblem)> {
        let questions = self.rows.iter().flat_map(|row| {
            let questions = match &row.verdict {
                Verdict::Asked(questions) => questions.clone(),
                _ => Vec::new(),
            };
            questions.into_iter().map(|question| {
                let problem = asked_of_a_row(&question.cell.problem, question.what);
                (
                    row.row,
                    row.line,
                    CellProblem {
                        problem,
                        ..question.cell
                    },
                )
            })
        });
        questions.collect()
    }

    /// Every row that stands against it: row, line, and each problem.
    pub fn refusals(&self) -> Vec<(u64, u64, CellProblem)> {
        let problems = self.rows.iter().flat_map(|row| {
            let problems = match &row.verdict {
                Verdict::Refused(problems) => problems.clone(),
                Verdict::Changes { there, given } => vec![changed(row, there, given)],
                _ => Vec::new(),
            };
            problems.into_iter().map(|problem| (row.row, row.line, problem))
        });
        problems.collect()
    }
}

fn changed(row: &ImportRow, there: &str, given: &str) -> CellProblem {
    let column = given.split_whitespace().next().unwrap_or("value");
    let written = row.draft.as_ref().map(|draft| &draft.result.value_as_written);
    let text = match column {
        "value" => written.cloned().unwrap_or_default(),
        _ => String::new(),
    };
    CellProblem {
        column: column.to_string(),
        text,
        problem: format!(
            "this run is there with {there}, and the file gives {given}; correct the result on purpose instead"
        ),
    }
}

impl App {
    /// What [`App::confirm_import`] would do; nothing is kept. `trial` is for rows that name none.
    ///
    /// # Errors
    /// `NoSuchTrial`; `TooLarge` beyond 64 MB or 200 000 rows; `NotText` for a file that is no CSV.
    pub async fn preview_import(
        &self,
        bytes: &[u8],
        name: &str,
        trial: Option<&TrialSlug>,
    ) -> Result<ImportPreview, AppError> {
        let file = self.read_import(bytes, name, trial).await?;
        let given = given(&file);
        let fates = self.store().fates(&given).await?;
        Ok(preview(name, file, fates))
    }

    /// Writes every row that is new in one transaction; nothing where any row is refused, asked about or would change what
    /// is there. The answer says which it was.
    ///
    /// # Errors
    /// Those of [`App::preview_import`].
    pub async fn confirm_import(
        &self,
        bytes: &[u8],
        name: &str,
        trial: Option<&TrialSlug>,
    ) -> Result<ImportPreview, AppError> {
        let file = self.read_import(bytes, name, trial).await?;
        self.take_in(name, file).await
    }

    /// The same where somebody said of all rows that are asked about that they are right.
    ///
    /// # Errors
    /// Those of [`App::preview_import`].
    pub async fn confirm_asked_import(
        &self,
        bytes: &[u8],
        name: &str,
        trial: Option<&TrialSlug>,
    ) -> Result<ImportPreview, AppError> {
        let mut file = self.read_import(bytes, name, trial).await?;
        self.accept_all(&mut file).await?;
        self.take_in(name, file).await
    }

    async fn take_in(&self, name: &str, file: LongFile) -> Result<ImportPreview, AppError> {
        let given = given(&file);
        let fates = self.store().fates(&given).await?;
        let mut of_runs = fates.iter();
        let stands_against = |row: &LongRow| match &row.finding {
            Finding::Refused(_) => true,
            Finding::Run(draft) => {
                let verdict = verdict(draft, of_runs.next().cloned());
                !matches!(verdict, Verdict::New | Verdict::AlreadyThere)
            }
            Finding::NotRun => false,
        };
        if file.rows.iter().any(stands_against) {
            return Ok(preview(name, file, fates));
        }
        let fates = self.store().insert_runs(&given, &now()).await?;
        let mut preview = preview(name, file, fates);
        preview.written = preview.is_accepted();
        Ok(preview)
    }

    /// Notes in every row that is asked about that somebody said yes to it.
    pub(super) async fn accept_all(&self, file: &mut LongFile) -> Result<(), AppError> {
        let mut fates = self.store().fates(&given(file)).await?.into_iter();
        for row in &mut file.rows {
            let Finding::Run(draft) = &mut row.finding else {
                continue;
            };
            let questions = std::mem::take(&mut draft.asked);
            questions
                .iter()
                .for_each(|question| draft.result.accept(question.what));
            if let Some(Fate::MayBeThere { .. }) = fates.next() {
                draft.result.accept(AcceptedAs::SameRun);
            }
        }
        Ok(())
    }

    async fn read_import(
        &self,
        bytes: &[u8],
        name: &str,
        trial: Option<&TrialSlug>,
    ) -> Result<LongFile, AppError> {
        let read = self
            .with_known_names(trial, |known| read_long(bytes, &plain_name(name), trial, known))
            .await?;
        read.map_err(|refusal| match refusal {
            LongRefusal::NotText(_) => AppError::NotText(format!("the file {refusal}")),
            LongRefusal::TooLong | LongRefusal::TooManyRows => {
                AppError::TooLarge(format!("the file {refusal}"))
            }
        })
    }

    /// Reads something with the names that a row may use.
    pub(super) async fn with_known_names<T>(
        &self,
        trial: Option<&TrialSlug>,
        read: impl FnOnce(&KnownNames<'_>) -> T,
    ) -> Result<T, AppError> {
        let archive = self.store().read_names().await?;
        let methods = self.methods().await?;
        if let Some(slug) = trial
            && !archive.trials.iter().any(|known| &known.slug == slug)
        {
            return Err(AppError::NoSuchTrial(slug.to_string()));
        }
        Ok(read(&KnownNames {
            trials: &archive.trials,
            blends: &archive.blends,
            rigs: &archive.rigs,
            methods: &methods,
            today: today(),
        }))
    }
}

/// The name of a file without its folders, on one line and not too long.
fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let short: String = last.chars().filter(|c| !c.is_control()).take(120).collect();
    match short.trim() {
        "" => "pasted text".to_string(),
        name => name.to_string(),
    }
}

pub(super) fn given(file: &LongFile) -> Vec<GivenRun> {
    let runs = file.rows.iter().filter_map(|row| match &row.finding {
        Finding::Run(draft) => Some(GivenRun {
            result: draft.result.clone(),
            stated: draft.stated.clone(),
        }),
        _ => None,
    });
    runs.collect()
}

fn verdict(draft: &DraftRun, fate: Option<Fate>) -> Verdict {
    let mut questions = draft.asked.clone();
    match fate {
        Some(Fate::AlreadyThere) => return Verdict::AlreadyThere,
        Some(Fate::Changes { there, given }) => return Verdict::Changes { there, given },
        Some(Fate::MayBeThere { other }) => questions.push(Question {
            cell: CellProblem {
                column: "replicate".to_string(),
                text: draft.result.replicate.to_string(),
                problem: may_be_the_same_run(&format!("the run {other}")),
            },
            what: AcceptedAs::SameRun,
        }),
        Some(Fate::New) | None => {}
    }
    match questions.is_empty() {
        true => Verdict::New,
        false => Verdict::Asked(questions),
    }
}

fn preview(name: &str, file: LongFile, fates: Vec<Fate>) -> ImportPreview {
    let mut fates = fates.into_iter();
    let rows = file.rows.into_iter().map(|row| {
        let (draft, verdict) = match row.finding {
            Finding::NotRun => (None, Verdict::NotRun),
            Finding::Refused(problems) => (None, Verdict::Refused(problems)),
            Finding::Run(draft) => {
                let verdict = verdict(&draft, fates.next());
                (Some(draft), verdict)
            }
        };
        ImportRow {
            row: row.row,
            line: row.line,
            said: row.said,
            draft,
            verdict,
        }
    });
    ImportPreview {
        name: plain_name(name),
        rows: rows.collect(),
        encoding: file.encoding,
        separator: file.separator,
        decimal: file.decimal,
        order: file.order,
        columns: file.columns,
        written: false,
    }
}
