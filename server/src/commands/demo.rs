//! `seasonbook demo`: an invented operation, loaded by the same door as any file, reported and served.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use include_dir::{Dir, include_dir};
use intake::FileKind;
use reckon::block::{Season, SeasonState};
use reckon::figure::RecordKind;
use serde::Deserialize;
use store::{Doubles, NewUser, Right, Role, Scope, Source, Store};
use web::bring_in::{Wishes, bring_in_file};
use web::pages::people::Asked;

use crate::clock::{Machine, today};
use crate::commands::{book, reports, serve};
use crate::trouble::Trouble;
use crate::{PaperName, folder, out};

static SCENARIO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../fixtures/demo");

/// Make a fresh database with the demo scenario, write every block's report, and serve it.
#[derive(Debug, clap::Args)]
pub(crate) struct Demo {
    /// Folder of the demo database; an earlier demo in it is replaced.
    #[arg(long, value_name = "FOLDER", default_value = "seasonbook-data")]
    data: PathBuf,
    /// Folder for the PDF season reports.
    #[arg(long, value_name = "FOLDER", default_value = "season-reports")]
    reports: PathBuf,
    /// Paper of the reports.
    #[arg(long, value_enum, default_value = "letter")]
    paper: PaperName,
    /// Address to listen on: loopback, as the sign-in is printed.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:8600")]
    listen: SocketAddr,
    /// Use this empty database instead of a fresh SQLite file, for example a PostgreSQL one.
    #[arg(long, value_name = "BOOK")]
    database: Option<String>,
    /// Stop after the reports are written.
    #[arg(long)]
    no_serve: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Scenario {
    operation: String,
    seasons: Vec<SeasonDays>,
    people: Vec<Person>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SeasonDays {
    year: i32,
    first_day: chrono::NaiveDate,
    last_day: chrono::NaiveDate,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Person {
    name: String,
    email: String,
    role: String,
    #[serde(default)]
    farms: Vec<String>,
}

impl Demo {
    pub(crate) async fn run(self) -> Result<(), Trouble> {
        if !self.listen.ip().is_loopback() {
            return Err(Trouble::Asked("The demo prints its sign-in, so it is served on loopback only.".to_owned()));
        }
        let (store, database) = if let Some(url) = &self.database {
            (serve::open(&book::address(url), Arc::new(Machine)).await?, url.clone())
        } else {
            let file = self.data.join("demo.sqlite");
            (fresh_store(&file).await?, file.display().to_string())
        };
        if !store.door().is_empty().await? {
            return Err(Trouble::Refused(
                "This database holds a book already; the demo needs an empty one.".to_owned(),
            ));
        }
        let operation = operation()?;
        let password = web::password::one_time(&Machine.secret());
        let scope = found(&store, &operation, &password).await?;
        let rows = load(&store, &scope, &operation).await?;
        let rows = print::figures::count(rows);
        out::say(&format!("{rows} rows of the demo scenario brought in: {} (invented).", operation.operation))?;
        let to = folder(&self.reports)?;
        self.report(&store, &scope, &operation, &to).await?;
        out::say(&next_commands(&database, operation.seasons.iter().map(|days| days.year).max()))?;
        if self.no_serve {
            return Ok(());
        }
        let listener = serve::listen(self.listen)?;
        out::say(&format!("\n{}", serve::greeting(&listener)?))?;
        out::say(&format!("Sign in as any of these with the password  {password}"))?;
        for person in &operation.people {
            out::say(&format!("  {:<12} {}", person.role, person.email))?;
        }
        serve::serve(store, listener, false).await
    }

    async fn report(&self, store: &Store, scope: &Scope, operation: &Scenario, to: &Path) -> Result<(), Trouble> {
        for days in &operation.seasons {
            let season = store.desk(scope).season(days.year).await?;
            let made = reports::write_all(store, scope, &season, self.paper.into(), today(), to).await?;
            out::say(&format!(
                "
{}",
                crate::commands::demo_table::table(days.year, &made)
            ))?;
        }
        out::say(&format!("PDF season reports are in {}.", to.display()))
    }
}

fn operation() -> Result<Scenario, Trouble> {
    let text = SCENARIO
        .get_file("operation.toml")
        .and_then(include_dir::File::contents_utf8)
        .ok_or_else(|| Trouble::Asked("The program was built without its demo scenario.".to_owned()))?;
    toml::from_str(text).map_err(|error| Trouble::Asked(format!("operation.toml of the demo: {error}")))
}

/// Removes an earlier demo, together with the files SQLite keeps beside it, and makes a new database.
async fn fresh_store(path: &Path) -> Result<Store, Trouble> {
    for suffix in ["", "-wal", "-shm"] {
        let file = PathBuf::from(format!("{}{suffix}", path.display()));
        match std::fs::remove_file(&file) {
            Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
                return Err(Trouble::file("replace", &file, source));
            }
            _ => {}
        }
    }
    serve::open(&format!("sqlite://{}?mode=rwc", path.display()), Arc::new(Machine)).await
}

/// Makes the operation, its seasons and farms, and then its people: a crew lead's farm must exist.
async fn found(store: &Store, operation: &Scenario, password: &str) -> Result<Scope, Trouble> {
    let hash = || web::password::hash(password, &Machine.secret()).map_err(|reason| Trouble::Asked(reason.to_string()));
    let owner = operation
        .people
        .iter()
        .find(|person| person.role == Role::Owner.word())
        .ok_or_else(|| Trouble::Asked("operation.toml of the demo names no owner.".to_owned()))?;
    let new = NewUser { name: &owner.name, email: &owner.email, password_hash: &hash()? };
    let scope = store.door().found_operation(&operation.operation, new).await?;
    let mut book = store.book(&scope, Right::SetUp).await?;
    for days in &operation.seasons {
        let season =
            Season { year: days.year, first_day: days.first_day, last_day: days.last_day, state: SeasonState::Open };
        book.open_season(&season).await?;
    }
    book.save().await?;
    bring_in(store, &scope, FileKind::Farms, "farms.csv").await?;
    let farms = store.desk(&scope).farms().await?;
    for person in operation.people.iter().filter(|person| person.email != owner.email) {
        let asked = Asked::limited_to(&person.name, &person.email, &person.role, &person.farms);
        let checked = asked
            .checked(&farms)
            .map_err(|problems| Trouble::Refused(format!("operation.toml of the demo: {problems:?}")))?;
        let new = NewUser { name: &person.name, email: &person.email, password_hash: &hash()? };
        let mut book = store.book(&scope, Right::SetUp).await?;
        book.add_person(new, checked.role, checked.farms.as_deref()).await?;
        book.save().await?;
    }
    Ok(scope)
}

/// Brings in every other file of the scenario; gives back the rows.
async fn load(store: &Store, scope: &Scope, operation: &Scenario) -> Result<usize, Trouble> {
    let mut rows = bring_in(store, scope, FileKind::Blocks, "blocks.csv").await?;
    let folders = std::iter::once(String::new()).chain(operation.seasons.iter().map(|s| format!("{}/", s.year)));
    for folder in folders {
        for kind in RecordKind::ALL {
            rows += bring_in(store, scope, FileKind::Records(kind), &format!("{folder}{}.csv", kind.word())).await?;
        }
    }
    Ok(rows)
}

/// Brings in one file of the scenario, if it has it.
async fn bring_in(store: &Store, scope: &Scope, kind: FileKind, path: &str) -> Result<usize, Trouble> {
    let Some(file) = SCENARIO.get_file(path) else { return Ok(0) };
    // The scenario is ours: its days may lie ahead of the machine's, and two crews may have worked alike.
    let wishes = Wishes { sure: true, doubles: Doubles::Add, ..Wishes::on(Machine.now().date_naive()) };
    let done = bring_in_file(store, scope, kind, path, file.contents().to_vec(), None, &wishes).await?;
    Ok(done.added)
}

/// The commands that work on the demo's book, as they are typed: without `--database` they would look
/// for the person's own.
fn next_commands(database: &str, year: Option<i32>) -> String {
    let year = year.map(|year| format!(" --year {year}")).unwrap_or_default();
    format!(
        "
Other commands reach this book with --database, for example:
  \
         seasonbook reports{year} --database {database}
  \
         seasonbook bring-in labor labor.csv --database {database}
  \
         seasonbook back-up copy.sqlite --database {database}
  \
         seasonbook serve --database {database}"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scenario_is_in_the_program() {
        let operation = operation().unwrap();
        assert_eq!(operation.seasons.len(), 2);
        assert!(operation.people.iter().any(|person| person.role == "crew lead" && !person.farms.is_empty()));
        assert!(SCENARIO.get_file("blocks.csv").is_some());
    }

    #[test]
    fn the_next_commands_name_the_book() {
        let text = next_commands("seasonbook-data/demo.sqlite", Some(2026));
        assert!(
            text.contains(
                "
  seasonbook reports --year 2026 --database seasonbook-data/demo.sqlite
"
            ),
            "{text}"
        );
    }
}
