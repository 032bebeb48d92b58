//! `seasonbook demo`: an invented operation, loaded by the same door as any file, reported and served.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use include_dir::{Dir, include_dir};
use intake::FileKind;
use reckon::block::{Season, SeasonState};
use reckon::figure::RecordKind;
use serde::Deserialize;
use store::{NewUser, Right, Role, Scope, Source, Store};

use crate::clock::Machine;
use crate::commands::{add_person, reports, serve};
use crate::trouble::Trouble;
use crate::{PaperName, folder};

static SCENARIO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../fixtures/demo");

/// Make a fresh database with the demo scenario, write every block's report, and serve it.
#[derive(Debug, clap::Args)]
pub(crate) struct Demo {
    /// Folder of the demo database; an earlier demo in it is replaced.
    #[arg(long, default_value = "seasonbook-data")]
    data: PathBuf,
    /// Folder for the PDF season reports.
    #[arg(long, default_value = "season-reports")]
    reports: PathBuf,
    /// Paper of the reports.
    #[arg(long, value_enum, default_value = "letter")]
    paper: PaperName,
    /// Address to listen on: loopback, as the sign-in is printed.
    #[arg(long, default_value = "127.0.0.1:8600")]
    listen: SocketAddr,
    /// Use this empty database instead of a fresh SQLite file, for example a PostgreSQL one.
    #[arg(long)]
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
        let data = folder(&self.data)?;
        let store = match &self.database {
            Some(url) => serve::open(url, Arc::new(Machine)).await?,
            None => fresh_store(&data.join("demo.sqlite")).await?,
        };
        if !store.door().is_empty().await? {
            return Err(Trouble::Asked("This database holds a book already; the demo needs an empty one.".to_owned()));
        }
        let operation = operation()?;
        let password = passphrase(Machine.secret());
        let scope = found(&store, &operation, &password).await?;
        let rows = load(&store, &scope, &operation).await?;
        println!("{} rows of the demo scenario brought in: {} (invented).", grouped(rows), operation.operation);
        let to = folder(&self.reports)?;
        self.report(&store, &scope, &operation, &to).await?;
        if self.no_serve {
            return Ok(());
        }
        let listener = serve::listen(self.listen)?;
        println!("\n{}", serve::greeting(&listener)?);
        println!("Sign in as any of these with the password  {password}");
        for person in &operation.people {
            println!("  {:<12} {}", person.role, person.email);
        }
        serve::serve(store, listener, false).await
    }

    async fn report(&self, store: &Store, scope: &Scope, operation: &Scenario, to: &Path) -> Result<(), Trouble> {
        let today = Machine.now().date_naive();
        for season in &operation.seasons {
            let made = reports::write_all(store, scope, season.year, self.paper.into(), today, to).await?;
            println!("\n{}", crate::commands::demo_table::table(season.year, &made));
        }
        println!("PDF season reports are in {}.", to.display());
        Ok(())
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
    for person in operation.people.iter().filter(|person| person.email != owner.email) {
        let role = Role::from_word(&person.role)
            .ok_or_else(|| Trouble::Asked(format!("operation.toml of the demo: no role \"{}\".", person.role)))?;
        let farms = add_person::farm_ids(store, &scope, &person.farms).await?;
        let new = NewUser { name: &person.name, email: &person.email, password_hash: &hash()? };
        let mut book = store.book(&scope, Right::SetUp).await?;
        book.add_person(new, role, farms.as_deref()).await?;
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
    let done = web::bring_in::bring_in_file(store, scope, kind, path, file.contents().to_vec(), None).await?;
    Ok(done.added)
}

/// A password a person can type, from 32 random bytes: sixteen letters without look-alikes, 80 bits.
fn passphrase(secret: [u8; 32]) -> String {
    const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
    let letters = secret.iter().take(16).filter_map(|byte| LETTERS.get(usize::from(byte % 32)));
    letters
        .enumerate()
        .flat_map(|(n, letter)| (n > 0 && n % 4 == 0).then_some('-').into_iter().chain([char::from(*letter)]))
        .collect()
}

fn grouped(n: usize) -> String {
    print::figures::count(n)
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
    fn a_passphrase_can_be_typed() {
        let phrase = passphrase([7; 32]);
        assert_eq!(phrase.len(), 19);
        assert!(phrase.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'));
    }
}
