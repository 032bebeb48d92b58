//! `seasonbook`: the command line, configuration and wiring of the rooms beside this file.

mod clock;
mod commands;
mod out;
mod private;
mod trouble;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use crate::trouble::Trouble;

/// Season records of orchard blocks: what each block earned, which thinning paid, what mulch saved.
#[derive(Debug, Parser)]
#[command(version, about, after_help = AFTER_HELP)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

/// What scripts need to know.
const AFTER_HELP: &str = "\
Results go to standard output, problems to standard error.
Exit codes: 0 done; 1 a problem in the input, the book or the machine; 2 the command was typed wrongly.

Begin with `seasonbook demo`, or with `seasonbook serve` and its first page.";

/// Each says what it does beside its own options.
#[derive(Debug, Subcommand)]
enum Command {
    Demo(commands::demo::Demo),
    Serve(commands::serve::Serve),
    BringIn(commands::bring_in::BringIn),
    Reckon(commands::reckon_folder::ReckonFolder),
    /// Print the columns of every kind of file, and the settings of the water balance.
    Formats,
    Compare(commands::compare::Compare),
    Reports(commands::reports::Reports),
    AddPerson(commands::add_person::AddPerson),
    BackUp(commands::back_up::BackUp),
}

/// Where the book is kept.
#[derive(Debug, clap::Args)]
struct Database {
    /// The book: an SQLite file, or an address (`sqlite://book.sqlite?mode=rwc`, `postgres://…`).
    #[arg(
        long,
        value_name = "BOOK",
        env = "SEASONBOOK_DATABASE",
        hide_env_values = true,
        default_value = "sqlite://seasonbook-data/book.sqlite?mode=rwc"
    )]
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
        // Colour is for a person's screen, not for a file or another program.
        .with_ansi(std::io::IsTerminal::is_terminal(&std::io::stderr()))
        .init();
    match run(Line::parse().command) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            out::warn(&trouble.to_string());
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
            return out::write(&intake::formats());
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
