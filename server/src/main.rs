//! `seasonbook`: the command line, configuration and wiring of the rooms beside this file.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "a command line speaks through these")]

mod clock;
mod commands;
mod trouble;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use crate::trouble::Trouble;

/// Season records of orchard blocks: what each block earned, which thinning paid, what mulch saved.
#[derive(Debug, Parser)]
#[command(version, about)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a fresh database with the demo scenario, write every block's report, and serve it.
    Demo(commands::demo::Demo),
    /// Serve the book.
    Serve(commands::serve::Serve),
    /// Bring a CSV file into the book: the whole file or nothing.
    BringIn(commands::bring_in::BringIn),
    /// Reckon one block season from a folder of CSV files, without a database.
    Reckon(commands::reckon_folder::ReckonFolder),
    /// Print the columns of every kind of file, and the settings of the water balance.
    Formats,
    /// Compare methods from a CSV file with the columns unit, method, value, without a database.
    Compare(commands::compare::Compare),
    /// Write the PDF season report of every block.
    Reports(commands::reports::Reports),
    /// Add a person who may sign in.
    AddPerson(commands::add_person::AddPerson),
    /// Copy the database while it is in use (SQLite).
    BackUp(commands::back_up::BackUp),
}

/// Where the book is kept.
#[derive(Debug, clap::Args)]
struct Database {
    /// SQLite file as `sqlite://book.sqlite?mode=rwc`, or a PostgreSQL address.
    #[arg(long, env = "SEASONBOOK_DATABASE", default_value = "sqlite://seasonbook-data/book.sqlite?mode=rwc")]
    database: String,
}

/// Paper of the PDF reports.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperName {
    Letter,
    A4,
}

impl From<PaperName> for print::sheet::Paper {
    fn from(name: PaperName) -> Self {
        match name {
            PaperName::Letter => Self::Letter,
            PaperName::A4 => Self::A4,
        }
    }
}

/// A folder the program writes into; made if missing.
fn folder(path: &std::path::Path) -> Result<PathBuf, Trouble> {
    std::fs::create_dir_all(path).map_err(|source| Trouble::file("make the folder", path, source))?;
    Ok(path.to_path_buf())
}

fn main() -> ExitCode {
    tracing_subscriber::fmt()
        .with_env_filter(
            tracing_subscriber::EnvFilter::try_from_env("SEASONBOOK_LOG")
                .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn,seasonbook=info,web=info")),
        )
        .with_writer(std::io::stderr)
        .init();
    match run(Line::parse().command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            eprintln!("{trouble}");
            trouble.code()
        }
    }
}

fn run(command: Command) -> Result<(), Trouble> {
    // Reckoning a folder or a table needs neither a runtime nor a database.
    match &command {
        Command::Reckon(command) => return command.run(),
        Command::Compare(command) => return command.run(),
        Command::Formats => {
            print!("{}", intake::formats());
            return Ok(());
        }
        _ => {}
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|source| Trouble::Start { what: "the worker threads", source })?;
    runtime.block_on(async {
        match command {
            Command::Demo(command) => command.run().await,
            Command::Serve(command) => command.run().await,
            Command::BringIn(command) => command.run().await,
            Command::Reports(command) => command.run().await,
            Command::AddPerson(command) => command.run().await,
            Command::BackUp(command) => command.run().await,
            Command::Reckon(_) | Command::Compare(_) | Command::Formats => Ok(()),
        }
    })
}
