//! Commands and exit codes: 0 done, 1 ran and the answer is no, 2 could not run.

mod archive;
mod import;
mod print;
mod report;
mod serve;
mod standing;

use crate::app::{App, AppError};
use clap::{Args, Parser, Subcommand};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The answer of a command that ran.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answer {
    Done,
    No,
}

#[derive(Debug, Parser)]
#[command(
    name = "likewear",
    version,
    about = "Compares lubricant blends across bench and rig tests, weighted by how closely each test's contact resembles \
             the target machine's. Without a command it serves ./likewear.db, which it creates with invented demo trials.",
    after_help = "Example:\n  likewear\n\nExit codes: 0 done, 1 ran and the answer is no, 2 could not run."
)]
struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the dashboard on this machine
    #[command(after_help = "Example:\n  likewear serve --data trials.db --listen 127.0.0.1:4180")]
    Serve(ServeArguments),
    /// Load an archive folder: all of it, or nothing and a list of every fault
    #[command(after_help = "Example:\n  likewear load my-archive --data trials.db --check")]
    Load(LoadArguments),
    /// Import a CSV file of results, one run per row: all of it, or nothing and a list of every fault
    #[command(
        after_help = "Example:\n  likewear import runs.csv --data trials.db --trial pitch-drive-full --check"
    )]
    Import(ImportArguments),
    /// Say who is in front, how sure that is, and what it rests on
    #[command(
        after_help = "Example:\n  likewear standing pitch-drive-full --data likewear.db --without fb_ep_oil,lo_oil_wear/cof"
    )]
    Standing(StandingArguments),
    /// Write a trial as one HTML file that needs nothing else: to print, to hand on, to keep
    #[command(
        after_help = "Example:\n  likewear report pitch-drive-full --data likewear.db --out pitch-drive.html"
    )]
    Report(ReportArguments),
    /// Write the archive as a folder of CSV files, history included
    #[command(after_help = "Example:\n  likewear export my-archive --data trials.db")]
    Export(ExportArguments),
    /// Copy the archive's file as it is at one moment, also while the dashboard is served
    #[command(after_help = "Example:\n  likewear backup trials-2026-11-24.db --data trials.db")]
    Backup(BackupArguments),
    /// Check the file: integrity, references, rules that must always hold
    #[command(after_help = "Example:\n  likewear check --data trials.db")]
    Check(CheckArguments),
}

#[derive(Debug, Args)]
struct ServeArguments {
    /// The archive's file; created with the demo where it does not exist
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
    /// Address on this machine; port 0 picks a free one
    #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:4180")]
    listen: String,
    /// Create a missing file without the demo
    #[arg(long)]
    empty: bool,
}

#[derive(Debug, Args)]
struct LoadArguments {
    /// The folder with the CSV files
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// The archive's file; created, without the demo, where it does not exist
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
    /// Only look for faults and say what would be written
    #[arg(long)]
    check: bool,
}

#[derive(Debug, Args)]
struct ImportArguments {
    /// The CSV file; its first row names the columns
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
    /// The trial of rows that name none; may be left out where the file has a column of trials
    #[arg(long, value_name = "TRIAL")]
    trial: Option<String>,
    /// Only say what would become of each row
    #[arg(long)]
    check: bool,
}

#[derive(Debug, Args)]
struct StandingArguments {
    /// The trial
    #[arg(value_name = "TRIAL")]
    trial: String,
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
    /// Print JSON
    #[arg(long)]
    json: bool,
    /// Leave out a method with all its quantities, or one quantity
    #[arg(long, value_name = "METHOD[/QUANTITY]", value_delimiter = ',')]
    without: Vec<String>,
}

#[derive(Debug, Args)]
struct ReportArguments {
    /// The trial
    #[arg(value_name = "TRIAL")]
    trial: String,
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
    /// The file to write; one that is there is replaced
    #[arg(long, value_name = "FILE.html")]
    out: PathBuf,
}

#[derive(Debug, Args)]
struct BackupArguments {
    /// A file that does not exist yet
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
}

#[derive(Debug, Args)]
struct ExportArguments {
    /// A folder that does not exist yet, or holds no archive
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
}

#[derive(Debug, Args)]
struct CheckArguments {
    /// The archive's file
    #[arg(long, value_name = "FILE", default_value = "likewear.db")]
    data: PathBuf,
}

/// Runs a command line to its exit code.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(words) => {
            let help_was_asked_for = !words.use_stderr();
            return match words.print() {
                Ok(()) if help_was_asked_for => ExitCode::SUCCESS,
                _ => ExitCode::from(2),
            };
        }
    };
    log_to_standard_error();
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let answer = runtime
        .map_err(anyhow::Error::from)
        .and_then(|runtime| runtime.block_on(carry_out(arguments)));
    match answer {
        Ok(Answer::Done) => ExitCode::SUCCESS,
        Ok(Answer::No) => ExitCode::from(1),
        Err(error) => {
            print::diagnostic(&format!("likewear: {error:#}"));
            ExitCode::from(2)
        }
    }
}

async fn carry_out(arguments: Arguments) -> anyhow::Result<Answer> {
    let usual = ServeArguments {
        data: "likewear.db".into(),
        listen: "127.0.0.1:4180".into(),
        empty: false,
    };
    match arguments.command.unwrap_or(Command::Serve(usual)) {
        Command::Serve(arguments) => serve::serve(&arguments).await,
        Command::Load(arguments) => archive::load(&arguments).await,
        Command::Import(arguments) => import::import(&arguments).await,
        Command::Standing(arguments) => standing::standing(&arguments).await,
        Command::Report(arguments) => report::report(&arguments).await,
        Command::Backup(arguments) => report::backup(&arguments).await,
        Command::Export(arguments) => archive::export(&arguments).await,
        Command::Check(arguments) => archive::check(&arguments).await,
    }
}

/// Does something with the archive of a file, and lets go of the file whatever came of it.
async fn with_archive<T>(file: &Path, work: impl AsyncFnOnce(&App) -> T) -> Result<T, AppError> {
    let app = App::open(file).await?;
    let done = work(&app).await;
    app.close().await?;
    Ok(done)
}

fn log_to_standard_error() {
    let filter = tracing_subscriber::EnvFilter::try_from_default_env()
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn"));
    // A second call, as in tests, keeps the first subscriber.
    let _ = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .try_init();
}
