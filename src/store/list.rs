//! Finding trials.

use crate::records::{MachineSlug, TrialSlug, TrialStatus};
use crate::store::row::Stored;
use crate::store::{Store, StoreError};
use jiff::civil::Date;
use sqlx::{QueryBuilder, Sqlite};

/// What to find; empty fields ask for everything.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TrialFilter {
    /// Words, each of which must occur in a trial's texts.
    pub words: String,
    /// Machine slug.
    pub machine: String,
    /// Method id.
    pub method: String,
    /// Component name.
    pub component: String,
    /// Status word.
    pub status: String,
    /// Year opened.
    pub year: String,
}

/// A trial without what belongs to it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialHead {
    /// Slug.
    pub trial: TrialSlug,
    /// Title.
    pub title: String,
    /// Question.
    pub question: String,
    /// Machine.
    pub machine: MachineSlug,
    /// The machine's name.
    pub machine_name: String,
    /// Status.
    pub status: TrialStatus,
    /// Opened.
    pub opened_on: Option<Date>,
    /// Whether the data is invented.
    pub invented: bool,
}

impl Store {
    /// The trials that a filter leaves, the latest first.
    pub async fn list_trials(&self, filter: &TrialFilter) -> Result<Vec<TrialHead>, StoreError> {
        let mut query = QueryBuilder::<Sqlite>::new(
            "SELECT t.trial, t.title, t.question, t.machine, m.name AS machine_name, t.status, t.opened_on, t.invented \
             FROM trials t JOIN machines m ON m.machine = t.machine WHERE 1 = 1",
        );
        for word in filter.words.split_whitespace() {
            search(&mut query, word);
        }
        let equal = [
            (" AND t.machine = ", &filter.machine),
            (" AND t.status = ", &filter.status),
            (" AND SUBSTR(t.opened_on, 1, 4) = ", &filter.year),
        ];
        for (condition, wanted) in equal {
            if !wanted.trim().is_empty() {
                query.push(condition).push_bind(wanted.trim().to_string());
            }
        }
        if !filter.method.trim().is_empty() {
            query.push(" AND EXISTS (SELECT 1 FROM trial_methods x WHERE x.trial = t.trial AND x.method = ");
            query.push_bind(filter.method.trim().to_string()).push(")");
        }
        if !filter.component.trim().is_empty() {
            query.push(
                " AND EXISTS (SELECT 1 FROM trial_blends x JOIN blend_components c ON c.blend = x.blend \
                 WHERE x.trial = t.trial AND c.component = ",
            );
            query.push_bind(filter.component.trim().to_string()).push(")");
        }
        query.push(" ORDER BY t.opened_on IS NULL, t.opened_on DESC, t.trial");
        let mut transaction = self.begin_read().await?;
        let found = query.build().fetch_all(&mut *transaction).await?;
        let mut problems = Vec::new();
        let mut heads = Vec::new();
        for row in &found {
            heads.extend(head(&mut Stored::new("trials", row, &mut problems))?);
        }
        if problems.is_empty() {
            Ok(heads)
        } else {
            Err(StoreError::Damaged(problems))
        }
    }
}

/// The one place where words are searched: title, question, machine, blends, notes and reasons of a trial.
fn search(query: &mut QueryBuilder<Sqlite>, word: &str) {
    let escaped = word.replace('\\', "\\\\").replace('%', "\\%").replace('_', "\\_");
    let pattern = format!("%{escaped}%").to_lowercase();
    // Each text with the rows in which it stands.
    let texts = [
        (
            "b.blend || ' ' || b.name || ' ' || b.change_note || ' ' || b.note",
            "trial_blends x JOIN blends b ON b.blend = x.blend WHERE x.trial = t.trial",
        ),
        (
            "r.note || ' ' || r.reason || ' ' || r.conditions",
            "results r WHERE r.trial = t.trial",
        ),
        (
            "d.chosen || ' ' || d.reason || ' ' || d.dissent",
            "decisions d WHERE d.trial = t.trial",
        ),
    ];
    query.push(
        " AND (LOWER(t.trial || ' ' || t.title || ' ' || t.question || ' ' || m.name || ' ' || m.kind) LIKE ",
    );
    query.push_bind(pattern.clone()).push(" ESCAPE '\\'");
    for (text, rows) in texts {
        query.push(" OR EXISTS (SELECT 1 FROM ").push(rows);
        query.push(" AND LOWER(").push(text).push(") LIKE ");
        query.push_bind(pattern.clone()).push(" ESCAPE '\\')");
    }
    query.push(")");
}

fn head(row: &mut Stored<'_>) -> Result<Option<TrialHead>, StoreError> {
    let trial = row.read("trial", TrialSlug::new)?;
    let machine = row.read("machine", MachineSlug::new)?;
    let status = row.read("status", TrialStatus::from_word)?;
    let opened_on = row.date("opened_on")?;
    let (Some(trial), Some(machine), Some(status), Some(opened_on)) = (trial, machine, status, opened_on)
    else {
        return Ok(None);
    };
    Ok(Some(TrialHead {
        trial,
        title: row.text("title")?,
        question: row.text("question")?,
        machine,
        machine_name: row.text("machine_name")?,
        status,
        opened_on,
        invented: row.is_set("invented")?,
    }))
}
