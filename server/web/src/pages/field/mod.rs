//! The season, a farm and a block for people who do not see money: where the blocks are, what work is
//! due in them, and their lists of records.

#[cfg(test)]
mod tests;

use askama::Template;
use print::figures::{counted, plain};
use reckon::block::{Block, SeasonState};
use reckon::figure::RecordKind;
use store::{BlockRow, Desk, FarmId};

use super::block::behind::{AddLink, adds, lists};
use super::block::{At, Seen, fruit_counted};
use super::due::due_in;
use super::season::BlockSentence;
use crate::extract::{BlockAt, FarmAt, SeasonAt};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// A link and its words.
struct Link {
    link: String,
    words: String,
}

/// A block in the list.
struct Line {
    link: String,
    code: String,
    variety: String,
    about: String,
    water: String,
    labor: String,
}

/// One farm's blocks.
struct Farm {
    name: String,
    link: String,
    lines: Vec<Line>,
}

/// Blocks of the season, or of one farm.
#[derive(Template)]
#[template(path = "field/blocks.html")]
struct Blocks {
    shell: Shell,
    title: String,
    year: i32,
    farms: Vec<Farm>,
    due: Vec<BlockSentence>,
}

/// One block.
#[derive(Template)]
#[template(path = "field/block.html")]
struct FieldBlock {
    shell: Shell,
    year: i32,
    above: Link,
    code: String,
    about: String,
    /// When it ripens and what pollinizes it.
    ripens: Option<String>,
    /// Fruit wanted, and what the counts say.
    fruit: Vec<String>,
    observations: Vec<Seen>,
    due: Vec<BlockSentence>,
    adds: Vec<AddLink>,
    lists: Vec<Link>,
    pages: Vec<Link>,
}

/// The season without money.
pub(super) async fn season(desk: &Desk<'_>, shell: Shell, at: SeasonAt) -> Page {
    let title = format!("The season of {}", at.year);
    blocks(desk, shell, at.year, title, None).await
}

/// A farm's season without money.
pub(super) async fn farm(desk: &Desk<'_>, shell: Shell, at: FarmAt) -> Page {
    let name = desk.farm(at.farm).await?.farm.name;
    blocks(desk, shell, at.year, name, Some(at.farm)).await
}

async fn blocks(desk: &Desk<'_>, shell: Shell, year: i32, title: String, only: Option<FarmId>) -> Page {
    let season = desk.season(year).await?;
    let mut rows = desk.blocks().await?;
    rows.retain(|row| only.is_none_or(|farm| row.farm_id == farm));
    let due = due_in(desk, &season, shell.today, |id| rows.iter().any(|row| row.id == id)).await?;
    show(&Blocks { shell, title, year, farms: farms(year, &rows), due })
}

fn farms(year: i32, rows: &[BlockRow]) -> Vec<Farm> {
    let mut farms: Vec<Farm> = Vec::new();
    for row in rows {
        let block = line(year, row);
        if let Some(farm) = farms.iter_mut().find(|farm| farm.name == row.farm_name) {
            farm.lines.push(block);
        } else {
            farms.push(Farm { name: row.farm_name.clone(), link: to::farm(year, row.farm_id), lines: vec![block] });
        }
    }
    farms
}

fn line(year: i32, row: &BlockRow) -> Line {
    Line {
        link: to::block(year, row.id),
        code: row.block.code.clone(),
        variety: row.block.variety.clone(),
        about: about(&row.block),
        water: to::water(year, row.id),
        labor: to::records(year, Some(row.id), RecordKind::Labor),
    }
}

/// "nectarine, 15 acres, 2,387 trees"
fn about(block: &Block) -> String {
    let trees = block.trees.and_then(|trees| usize::try_from(trees).ok());
    let parts = [
        Some(block.crop.clone()).filter(|crop| !crop.is_empty()),
        Some(format!("{} acres", plain(block.acres))),
        trees.map(|trees| counted(trees, "tree", "trees")),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A block without money.
pub(super) async fn block(desk: &Desk<'_>, shell: Shell, at: BlockAt) -> Page {
    let season = desk.season(at.year).await?;
    let row = desk.block(at.block).await?;
    let reckoned = super::block::season(desk, at).await?;
    let due = due_in(desk, &season, shell.today, |id| id == at.block).await?;
    let here = At { year: at.year, block: at.block };
    let list = |list: AddLink| (list.link, super::capital(list.words));
    let pages =
        [(to::water(at.year, at.block), "Water by day and by month"), (to::soil(at.year, at.block), "Soil and canopy")];
    show(&FieldBlock {
        above: Link { link: to::farm(at.year, row.farm_id), words: row.farm_name.clone() },
        adds: if season.state == SeasonState::Open { adds(here, &shell) } else { Vec::new() },
        lists: links(lists(here, &shell).into_iter().map(list)),
        pages: links(pages.into_iter().map(|(link, words)| (link, words.to_owned()))),
        code: format!("{} {}", row.block.code, row.block.variety),
        about: about(&row.block),
        ripens: reckon::pollination::heading(&row.block),
        fruit: fruit_counted(&reckoned.thinning),
        observations: reckoned.observations.iter().map(Seen::of).collect(),
        shell: shell.below(to::farm(at.year, row.farm_id)),
        year: at.year,
        due,
    })
}

fn links(pairs: impl Iterator<Item = (String, String)>) -> Vec<Link> {
    pairs.map(|(link, words)| Link { link, words }).collect()
}
