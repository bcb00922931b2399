//! Finding trials, and counting what they could be narrowed by.

use crate::catalogue::MethodId;
use crate::records::table::{Columns, column, records};
use crate::records::{BlendCode, MachineSlug, TrialSlug, TrialStatus};
use crate::store::search::push_words;
use crate::store::table::Reader;
use crate::store::{Store, StoreError};
use jiff::civil::Date;
use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

/// What to find; empty fields ask for everything.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct TrialFilter {
    /// Words, each of which must begin a word of a trial's texts.
    pub words: String,
    /// Machine slug.
    pub machine: String,
    /// Machine kind.
    pub kind: String,
    /// Method id.
    pub method: Option<MethodId>,
    /// Component name.
    pub component: String,
    /// Status word.
    pub status: String,
    /// Year opened.
    pub year: String,
    /// Word of the newest decision's kind.
    pub outcome: String,
}

/// In which order trials are listed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TrialOrder {
    /// The latest opened first.
    #[default]
    Latest,
    /// Those that are planned or running first, each part with the latest opened first.
    OpenFirst,
    /// By their questions, as the list shows them.
    Question,
    /// By their newest decision, the latest first, those without one last.
    Decision,
}

impl TrialOrder {
    /// What rows are ordered by, and which way round; those that it leaves alike follow by date.
    fn by(self) -> (String, bool) {
        match self {
            Self::Latest => ("t.opened_on".to_string(), true),
            Self::OpenFirst => (format!("{STATUS} IN ('planned', 'running')"), true),
            Self::Question => (
                "LOWER(CASE t.short WHEN '' THEN t.question ELSE t.short END)".to_string(),
                false,
            ),
            Self::Decision => (
                "(SELECT MAX(d.decided_on) FROM decisions d WHERE d.trial = t.trial)".to_string(),
                true,
            ),
        }
    }
}

/// Which part of a list to read, in which order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Part {
    /// The order.
    pub order: TrialOrder,
    /// Whether it is turned round.
    pub is_reversed: bool,
    /// How many trials are skipped.
    pub skipped: usize,
    /// How many are read.
    pub length: usize,
}

records! {
    /// A trial without what belongs to it.
    TrialHead {
        /// Slug.
        trial: TrialSlug = column("trial"),
        /// Title.
        title: String = column("title"),
        /// Question.
        question: String = column("question"),
        /// The same in at most 60 characters, or empty.
        short: String = column("short"),
        /// Machine.
        machine: MachineSlug = column("machine"),
        /// The version of the machine with which it is judged.
        machine_version: u32 = column("machine_version"),
        /// The machine's name.
        machine_name: String = column("machine_name"),
        /// Status.
        status: TrialStatus = column("status"),
        /// Opened.
        opened_on: Option<Date> = column("opened_on"),
        /// Whether the data is invented.
        invented: bool = column("invented"),
    }
}

/// A facet's value, and how many trials it would leave.
pub type Tally = (String, usize);

/// What a list of trials can be narrowed by. Each facet counts under all other conditions, not under its own, so that
/// its other values stay in sight.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Facets {
    /// Machine kinds.
    pub kinds: Vec<Tally>,
    /// Method ids.
    pub methods: Vec<Tally>,
    /// Component names.
    pub components: Vec<Tally>,
    /// Status words.
    pub statuses: Vec<Tally>,
    /// Years opened, the latest first.
    pub years: Vec<Tally>,
    /// Words of the newest decisions' kinds.
    pub outcomes: Vec<Tally>,
}

/// A part of a filter that a facet leaves out when it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Facet {
    Kind,
    Method,
    Component,
    Status,
    Year,
    Outcome,
}

/// What a decision decided, as [`crate::records::Decision::decided`] has it.
macro_rules! kind {
    () => {
        "COALESCE(d.kind, CASE d.chosen WHEN 'none' THEN 'no choice yet' ELSE 'scale up' END)"
    };
}
pub(crate) const KIND: &str = kind!();

/// Decided as soon as the newest signed decision scales a blend up, as [`crate::records::TrialRecords::status`] has it.
const STATUS: &str = concat!(
    "CASE WHEN t.status IN ('planned', 'running') AND (SELECT ",
    kind!(),
    " FROM decisions d WHERE d.trial = t.trial AND d.snapshot <> '' ORDER BY d.decided_on DESC, d.id DESC LIMIT 1) \
    = 'scale up' THEN 'decided' ELSE t.status END"
);
/// The kind of the newest decision.
const OUTCOME: &str = concat!(
    "COALESCE((SELECT ",
    kind!(),
    " FROM decisions d WHERE d.trial = t.trial ORDER BY d.decided_on DESC, d.id DESC LIMIT 1), 'nothing decided')"
);
const HEAD: &str = "SELECT t.trial, t.title, t.question, t.short, t.machine, t.machine_version, m.name AS machine_name, \
    t.opened_on, t.invented, ";
const FROM: &str = " FROM trials t JOIN machines m ON m.machine = t.machine";
const LATEST_FIRST: &str = " ORDER BY t.opened_on IS NULL, t.opened_on DESC, t.trial";

impl Store {
    /// The trials that a filter leaves, the latest first.
    pub async fn list_trials(&self, filter: &TrialFilter) -> Result<Vec<TrialHead>, StoreError> {
        let mut query = head_query();
        query.push(FROM);
        push_conditions(&mut query, filter, None);
        query.push(LATEST_FIRST);
        let mut transaction = self.begin_read().await?;
        heads(&mut transaction, query).await
    }

    /// How many trials a filter leaves, and some of them.
    pub async fn page_of_trials(
        &self,
        filter: &TrialFilter,
        part: Part,
    ) -> Result<(usize, Vec<TrialHead>), StoreError> {
        let mut transaction = self.begin_read().await?;
        let mut count = QueryBuilder::<Sqlite>::new("SELECT COUNT(*)");
        count.push(FROM);
        push_conditions(&mut count, filter, None);
        let total: i64 = count.build_query_scalar().fetch_one(&mut *transaction).await?;
        let mut query = head_query();
        query.push(FROM);
        push_conditions(&mut query, filter, None);
        push_order(&mut query, part);
        query.push(" LIMIT ");
        query.push_bind(i64::try_from(part.length).unwrap_or(i64::MAX));
        query.push(" OFFSET ");
        query.push_bind(i64::try_from(part.skipped).unwrap_or(i64::MAX));
        let heads = heads(&mut transaction, query).await?;
        Ok((usize::try_from(total).unwrap_or(0), heads))
    }

    /// The trials that hold a blend, the latest first.
    pub async fn trials_with_blend(&self, blend: &BlendCode) -> Result<Vec<TrialHead>, StoreError> {
        let mut query = head_query();
        query.push(FROM);
        query.push(" WHERE t.trial IN (SELECT x.trial FROM trial_blends x WHERE x.blend = ");
        query.push_bind(blend.to_string()).push(")").push(LATEST_FIRST);
        let mut transaction = self.begin_read().await?;
        heads(&mut transaction, query).await
    }

    /// How many trials each value of each facet would leave.
    pub async fn count_facets(&self, filter: &TrialFilter) -> Result<Facets, StoreError> {
        let mut transaction = self.begin_read().await?;
        let by_count = " GROUP BY 1 ORDER BY 2 DESC, 1";
        let of_blends = " JOIN (SELECT DISTINCT x.trial, c.component FROM trial_blends x \
                         JOIN blend_components c ON c.blend = x.blend) f ON f.trial = t.trial";
        let of_methods =
            " JOIN (SELECT DISTINCT x.trial, x.method FROM trial_methods x) f ON f.trial = t.trial";
        let year = "SUBSTR(t.opened_on, 1, 4)";
        let mut found = Vec::new();
        for (facet, value, join, order) in [
            (Facet::Kind, "m.kind", "", by_count),
            (Facet::Method, "f.method", of_methods, by_count),
            (Facet::Component, "f.component", of_blends, by_count),
            (Facet::Status, STATUS, "", by_count),
            (Facet::Year, year, "", " GROUP BY 1 ORDER BY 1 DESC"),
            (Facet::Outcome, OUTCOME, "", by_count),
        ] {
            let mut query = QueryBuilder::<Sqlite>::new("SELECT ");
            query.push(value).push(", COUNT(*)").push(FROM).push(join);
            push_conditions(&mut query, filter, Some(facet));
            query.push(" AND ").push(value).push(" IS NOT NULL").push(order);
            let rows: Vec<(String, i64)> = query.build_query_as().fetch_all(&mut *transaction).await?;
            let tallies = rows
                .into_iter()
                .map(|(value, count)| (value, usize::try_from(count).unwrap_or(0)));
            found.push(tallies.collect::<Vec<Tally>>());
        }
        let mut found = found.into_iter();
        let mut next = || found.next().unwrap_or_default();
        Ok(Facets {
            kinds: next(),
            methods: next(),
            components: next(),
            statuses: next(),
            years: next(),
            outcomes: next(),
        })
    }
}

fn head_query() -> QueryBuilder<Sqlite> {
    let mut query = QueryBuilder::new(HEAD);
    query.push(STATUS).push(" AS status");
    query
}

/// What is missing comes last, whichever way round.
fn push_order(query: &mut QueryBuilder<Sqlite>, part: Part) {
    let (by, latest_first) = part.order.by();
    let way = if latest_first != part.is_reversed {
        "DESC"
    } else {
        "ASC"
    };
    query.push(format!(
        " ORDER BY {by} IS NULL, {by} {way}, t.opened_on IS NULL, t.opened_on DESC, t.trial"
    ));
}

/// The conditions of a filter, without the one that a facet sets.
fn push_conditions(query: &mut QueryBuilder<Sqlite>, filter: &TrialFilter, without: Option<Facet>) {
    query.push(" WHERE 1 = 1");
    push_words(query, &filter.words);
    let (status_is, outcome_is) = (format!(" AND {STATUS} = "), format!(" AND {OUTCOME} = "));
    let method = filter.method.as_ref().map_or("", MethodId::as_str);
    let conditions = [
        (None, " AND t.machine = ", filter.machine.as_str(), ""),
        (Some(Facet::Kind), " AND m.kind = ", &filter.kind, ""),
        (Some(Facet::Status), &status_is, &filter.status, ""),
        (Some(Facet::Outcome), &outcome_is, &filter.outcome, ""),
        (
            Some(Facet::Year),
            " AND SUBSTR(t.opened_on, 1, 4) = ",
            &filter.year,
            "",
        ),
        (
            Some(Facet::Method),
            " AND t.trial IN (SELECT x.trial FROM trial_methods x WHERE x.method = ",
            method,
            ")",
        ),
        (
            Some(Facet::Component),
            " AND t.trial IN (SELECT x.trial FROM blend_components c JOIN trial_blends x ON x.blend = c.blend \
             WHERE c.component = ",
            &filter.component,
            ")",
        ),
    ];
    for (facet, condition, wanted, end) in conditions {
        let left_out = facet.is_some() && facet == without;
        if !left_out && !wanted.trim().is_empty() {
            query
                .push(condition)
                .push_bind(wanted.trim().to_string())
                .push(end);
        }
    }
}

async fn heads(
    connection: &mut SqliteConnection,
    mut query: QueryBuilder<Sqlite>,
) -> Result<Vec<TrialHead>, StoreError> {
    let found = query.build().fetch_all(&mut *connection).await?;
    let mut reader = Reader::new(connection);
    let heads = reader.take("trials", &found, |row| TrialHead::read(row))?;
    reader.sound(heads)
}
