//! Farms and blocks from a file: new ones are added, equal ones are in the book already, and one
//! that differs from the book's is a problem, since a file must not overwrite what was corrected.

use intake::{FileRead, Parsed, Problem, ReadRow};
use reckon::block::{Block, Farm};
use store::{Right, Scope, Store};

use super::{BringInError, BroughtIn, first};
use crate::place::Places;

pub(super) async fn farms(store: &Store, scope: &Scope, read: FileRead) -> Result<BroughtIn, BringInError> {
    let rows: Vec<(u32, Farm)> = read.rows.into_iter().filter_map(farm).collect();
    let mut book = store.book(scope, Right::SetUp).await?;
    let known = store.desk(scope).farms().await?;
    let (mut added, mut already, mut problems) = (0, 0, Vec::new());
    for (line, farm) in rows {
        match known.iter().find(|row| row.farm.name == farm.name) {
            Some(row) if row.farm == farm => already += 1,
            Some(_) => problems.push(differs(line, "farm", &farm.name)),
            None => {
                book.add_farm(&farm).await?;
                added += 1;
            }
        }
    }
    if !problems.is_empty() {
        return Err(BringInError::Problems(first(problems)));
    }
    book.save().await?;
    Ok(BroughtIn { added, already, same_file: None, remarks: read.remarks })
}

pub(super) async fn blocks(store: &Store, scope: &Scope, read: FileRead) -> Result<BroughtIn, BringInError> {
    let rows: Vec<(u32, String, Block)> = read.rows.into_iter().filter_map(block).collect();
    let mut book = store.book(scope, Right::SetUp).await?;
    let places = Places::of(&store.desk(scope)).await?;
    let known = store.desk(scope).blocks().await?;
    let (mut added, mut already, mut problems) = (0, 0, Vec::new());
    for (line, farm, block) in rows {
        match known.iter().find(|row| row.block.code == block.code) {
            Some(row) if row.block == block && row.farm_name == farm => already += 1,
            Some(_) => problems.push(differs(line, "block", &block.code)),
            None => match places.farm(Some(line), &farm) {
                Ok(farm) => {
                    book.add_block(farm, &block).await?;
                    added += 1;
                }
                Err(problem) => problems.push(problem),
            },
        }
    }
    if !problems.is_empty() {
        return Err(BringInError::Problems(first(problems)));
    }
    book.save().await?;
    Ok(BroughtIn { added, already, same_file: None, remarks: read.remarks })
}

fn farm(row: ReadRow) -> Option<(u32, Farm)> {
    match row.parsed {
        Parsed::Farm(farm) => Some((row.line, farm)),
        _ => None,
    }
}

fn block(row: ReadRow) -> Option<(u32, String, Block)> {
    match row.parsed {
        Parsed::Block { farm, block } => Some((row.line, farm, block)),
        _ => None,
    }
}

fn differs(line: u32, column: &str, name: &str) -> Problem {
    let expected = format!("a {column} that is new, or one that says the same as the book; this one differs");
    Problem::at(Some(line), column, name, expected, "")
}
