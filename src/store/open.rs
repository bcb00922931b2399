//! Opening, creating and closing the file.

use crate::store::StoreError;
use sqlx::migrate::{MigrateError, Migrator};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{ConnectOptions, Connection, Row, Sqlite, SqliteConnection, Transaction};
#[cfg(feature = "facade")]
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Duration;

static MIGRATIONS: Migrator = sqlx::migrate!();

/// `PRAGMA application_id` of our files, set by the first migration: "like".
const APPLICATION_ID: i64 = 0x6c69_6b65;
const READERS: u32 = 4;
/// How long to wait for another program that writes to the same file.
const PATIENCE: Duration = Duration::from_secs(10);

/// The archive's file: one connection that writes, several that read.
#[derive(Clone, Debug)]
pub struct Store {
    writer: SqlitePool,
    readers: SqlitePool,
}

impl Store {
    /// Opens a file that exists and brings its tables up to date.
    ///
    /// # Errors
    /// `NotFound` where there is no such file; `NotOurs` where it is a folder, no database, another program's database
    /// or one of a later version.
    pub async fn open(path: &Path) -> Result<Self, StoreError> {
        if path.is_dir() {
            return Err(not_ours(path, "is a folder, not a file"));
        }
        if !path.exists() {
            return Err(StoreError::NotFound(path.display().to_string()));
        }
        refuse_what_is_not_ours(path).await?;
        Self::connect(path, options(path)).await
    }

    /// Creates a file with empty tables.
    ///
    /// # Errors
    /// `AlreadyThere` where something has that name, `NotFound` where its folder does not exist.
    pub async fn open_new(path: &Path) -> Result<Self, StoreError> {
        if path.exists() {
            return Err(StoreError::AlreadyThere(path.display().to_string()));
        }
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
        if let Some(folder) = folder
            && !folder.is_dir()
        {
            return Err(StoreError::NotFound(format!("the folder {}", folder.display())));
        }
        Self::connect(path, options(path).create_if_missing(true)).await
    }

    async fn connect(path: &Path, options: SqliteConnectOptions) -> Result<Self, StoreError> {
        let writer = SqlitePoolOptions::new()
            .max_connections(1)
            .acquire_timeout(PATIENCE)
            .connect_with(options.clone())
            .await
            .map_err(|error| refusal(path, error))?;
        let prepared = prepare(path, &writer).await;
        if let Err(error) = prepared {
            writer.close().await;
            return Err(error);
        }
        let readers = SqlitePoolOptions::new()
            .max_connections(READERS)
            .acquire_timeout(PATIENCE)
            .connect_lazy_with(options.pragma("query_only", "1"));
        Ok(Self { writer, readers })
    }

    /// Brings everything from the log into the file and lets go of it.
    ///
    /// # Errors
    /// `Db` where the log could not be brought in; the file is let go of all the same, and the next opening does it.
    pub async fn close(self) -> Result<(), StoreError> {
        self.readers.close().await;
        let checkpoint = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)")
            .execute(&self.writer)
            .await;
        self.writer.close().await;
        checkpoint?;
        Ok(())
    }

    pub(crate) fn writer(&self) -> &SqlitePool {
        &self.writer
    }

    /// A transaction that holds the right to write from its start. Dropped without a commit it leaves nothing.
    pub(crate) async fn begin_write(&self) -> Result<Transaction<'static, Sqlite>, StoreError> {
        Ok(self.writer.begin_with("BEGIN IMMEDIATE").await?)
    }

    /// A transaction in which every read sees the same state.
    pub(crate) async fn begin_read(&self) -> Result<Transaction<'static, Sqlite>, StoreError> {
        Ok(self.readers.begin().await?)
    }

    /// How the connection that writes is set: durability and references, by the names of the database.
    #[cfg(feature = "facade")]
    pub async fn settings(&self) -> Result<BTreeMap<&'static str, String>, StoreError> {
        let mut connection = self.writer.acquire().await?;
        let mut settings = BTreeMap::new();
        let mode = sqlx::query("PRAGMA journal_mode")
            .fetch_one(&mut *connection)
            .await?;
        settings.insert("journal_mode", mode.try_get::<String, _>(0)?);
        let numbers = [
            ("synchronous", "PRAGMA synchronous"),
            ("foreign_keys", "PRAGMA foreign_keys"),
        ];
        for (name, sql) in numbers {
            let number = first_number(&mut connection, sql).await?;
            settings.insert(name, number.to_string());
        }
        Ok(settings)
    }

    /// How often something was written to the file, by any program: what was derived from an earlier count is stale.
    pub async fn writes(&self) -> Result<i64, StoreError> {
        let row = sqlx::query("SELECT writes FROM archive_state WHERE id = 1")
            .fetch_one(&self.readers)
            .await?;
        Ok(row.try_get("writes")?)
    }
}

fn options(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(true)
        .busy_timeout(PATIENCE)
        .pragma("trusted_schema", "0")
}

/// Looks before anything is set or made in the file, so that another program's database stays as it is.
async fn refuse_what_is_not_ours(path: &Path) -> Result<(), StoreError> {
    let mut look = SqliteConnectOptions::new()
        .filename(path)
        .busy_timeout(PATIENCE)
        .connect()
        .await
        .map_err(|error| refusal(path, error))?;
    let application = first_number(&mut look, "PRAGMA application_id").await;
    let tables = first_number(&mut look, "SELECT COUNT(*) FROM sqlite_master").await;
    look.close().await?;
    let (application, tables) = application
        .and_then(|application| Ok((application, tables?)))
        .map_err(|error| refusal(path, error))?;
    if application != APPLICATION_ID && tables > 0 {
        return Err(not_ours(path, "is the database of another program"));
    }
    Ok(())
}

async fn first_number(connection: &mut SqliteConnection, sql: &'static str) -> Result<i64, sqlx::Error> {
    sqlx::query(sql).fetch_one(connection).await?.try_get(0)
}

async fn prepare(path: &Path, writer: &SqlitePool) -> Result<(), StoreError> {
    MIGRATIONS.run(writer).await.map_err(|error| match error {
        MigrateError::VersionMissing(_) | MigrateError::VersionMismatch(_) => not_ours(
            path,
            "was written by another version of this program, which is needed to open it",
        ),
        MigrateError::Execute(error) => refusal(path, error),
        other => other.into(),
    })
}

/// A database error in words where it says that the file is not usable.
fn refusal(path: &Path, error: sqlx::Error) -> StoreError {
    let code = error
        .as_database_error()
        .and_then(|error| error.code())
        .and_then(|code| code.parse::<u32>().ok());
    // Primary result codes of SQLite: 26 not a database, 14 cannot open, 8 read-only, 11 damaged, 5 busy.
    let words = match code.map(|code| code & 0xff) {
        Some(26) => "is not a database",
        Some(14) => "cannot be opened",
        Some(8) => "cannot be written to",
        Some(11) => "is a damaged database",
        Some(5) => "is in use by another program",
        _ => return error.into(),
    };
    not_ours(path, words)
}

fn not_ours(path: &Path, problem: &str) -> StoreError {
    StoreError::NotOurs {
        path: path.to_path_buf(),
        problem: problem.to_string(),
    }
}
