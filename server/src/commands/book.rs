//! The book a command works on: found, opened, and asked for its seasons in plain words.

use std::path::Path;
use std::sync::Arc;

use reckon::block::Season;
use store::{Desk, Scope, Store, StoreError};

use crate::clock::Machine;
use crate::commands::serve;
use crate::trouble::Trouble;

/// How a book is filled from nothing.
const BRING_IN_FIRST: &str =
    "bring in farms and blocks first (seasonbook bring-in farms farms.csv, then seasonbook bring-in blocks blocks.csv)";

/// A book that is there: unlike `serve`, no other command makes one.
pub(crate) async fn open(database: &str) -> Result<Store, Trouble> {
    let url = address(database);
    if let Some(path) = serve::sqlite_path(&url).filter(|path| !Path::new(path).exists()) {
        return Err(Trouble::Refused(format!("This book is empty: there is no file {path}. {}", how_to_begin(path))));
    }
    serve::open(&url, Arc::new(Machine)).await
}

/// A file's name is as good as an address.
pub(crate) fn address(database: &str) -> String {
    let is_address = database.contains("://") || database.starts_with("sqlite:");
    if is_address { database.to_owned() } else { format!("sqlite://{database}?mode=rwc") }
}

/// Who the command works as: the person with this e-mail, else the owner of the book.
pub(crate) async fn operator(store: &Store, email: Option<&str>) -> Result<Scope, Trouble> {
    if store.door().is_empty().await? {
        return Err(Trouble::Refused(format!("This book is empty: nobody owns it yet. {}", how_to_begin(""))));
    }
    match (store.door().operator(email).await, email) {
        (Err(StoreError::NotFound), Some(email)) => {
            Err(Trouble::Refused(format!("Nobody signs in to this book as \"{email}\".")))
        }
        (scope, _) => Ok(scope?),
    }
}

/// The season asked for; else the newest that holds a record.
pub(crate) async fn season(desk: &Desk<'_>, year: Option<i32>) -> Result<Season, Trouble> {
    if desk.blocks().await?.is_empty() {
        return Err(Trouble::Refused(format!("This book is empty: {BRING_IN_FIRST}.")));
    }
    let Some(newest) = desk.newest_season_with_records().await? else {
        return Err(Trouble::Refused("This book has no season yet: open one on its page Seasons.".to_owned()));
    };
    let Some(year) = year else { return Ok(newest) };
    let seasons = desk.seasons().await?;
    seasons.iter().find(|season| season.year == year).copied().ok_or_else(|| {
        let mut years: Vec<i32> = seasons.iter().map(|season| season.year).collect();
        years.sort_unstable();
        Trouble::Refused(format!("There is no season {year} in this book; it has {}.", listed(&years)))
    })
}

/// `2024, 2025 and 2026`
fn listed(years: &[i32]) -> String {
    match years.split_last() {
        Some((last, rest)) if !rest.is_empty() => {
            let rest: Vec<String> = rest.iter().map(ToString::to_string).collect();
            format!("{} and {last}", rest.join(", "))
        }
        Some((only, _)) => only.to_string(),
        None => "none".to_owned(),
    }
}

/// What to do next; names the demo's book where one stands beside the file that is missing.
fn how_to_begin(path: &str) -> String {
    let begin = format!("Start it with seasonbook serve and its first page; then {BRING_IN_FIRST}.");
    let demo = Path::new(path).with_file_name("demo.sqlite");
    if !path.is_empty() && demo.exists() {
        return format!("{begin} The demo's book stands beside it: add --database {}.", demo.display());
    }
    begin
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_an_address() {
        assert_eq!(address("data/demo.sqlite"), "sqlite://data/demo.sqlite?mode=rwc");
        for address_given in ["sqlite://a.sqlite?mode=rwc", "sqlite:a.sqlite", "postgres://u@host/book"] {
            assert_eq!(address(address_given), address_given);
        }
    }

    #[test]
    fn years_are_listed() {
        assert_eq!(listed(&[2026]), "2026");
        assert_eq!(listed(&[2025, 2026]), "2025 and 2026");
        assert_eq!(listed(&[2024, 2025, 2026]), "2024, 2025 and 2026");
    }
}
