//! One farm's season: its blocks, and where it lies.

#[cfg(test)]
mod tests;

use askama::Template;
use print::figures;
use reckon::block::Farm;
use reckon::summary::Summary;
use reckon::units::Metres;
use store::{BlockRow, FarmId, FarmRow, Right};

use super::due::due_in;
use super::season::{BlockSentence, Said, SeasonTable, sentences};
use crate::extract::{FarmAt, Reading};
use crate::pages::{Page, show};
use crate::shell::Shell;

/// The season of one farm.
#[derive(Template)]
#[template(path = "farm/show.html")]
pub struct FarmPage {
    shell: Shell,
    year: i32,
    farm: FarmId,
    name: String,
    facts: String,
    said: Said,
    table: SeasonTable,
    due: Vec<BlockSentence>,
    missing: Vec<BlockSentence>,
    worth_a_look: Vec<BlockSentence>,
}

impl FarmPage {
    /// From the kept summaries of the farm's blocks.
    pub fn of(shell: Shell, year: i32, row: &FarmRow, blocks: &[(BlockRow, Option<Summary>)]) -> Self {
        Self {
            farm: row.id,
            name: row.farm.name.clone(),
            facts: facts(&row.farm),
            said: Said::of(blocks),
            table: SeasonTable::of_farm(year, &row.farm.name, blocks),
            due: Vec::new(),
            missing: sentences(year, blocks, "missing", |summary| &summary.missing),
            worth_a_look: sentences(year, blocks, "worth-a-look", |summary| &summary.worth_a_look),
            shell,
            year,
        }
    }

    /// With what is due now.
    #[must_use]
    pub(crate) fn with_due(mut self, due: Vec<BlockSentence>) -> Self {
        self.due = due;
        self
    }
}

/// GET /season/{year}/farm/{farm}
pub async fn farm_page(reading: Reading, at: FarmAt, shell: Shell) -> Page {
    let desk = reading.desk();
    if !shell.may(Right::SeeMoney) {
        return super::field::farm(&desk, shell, at).await;
    }
    let season = desk.season(at.year).await?;
    let row = desk.farm(at.farm).await?;
    let mut blocks = desk.summaries(at.year).await?;
    blocks.retain(|(block, _)| block.farm_id == at.farm);
    let due = due_in(&desk, &season, shell.today, |id| blocks.iter().any(|(block, _)| block.id == id)).await?;
    show(&FarmPage::of(shell, at.year, &row, &blocks).with_due(due))
}

/// `weather station Bench, 4 miles away`.
fn station(farm: &Farm) -> String {
    let away = farm.station_miles.map(|miles| format!(", {} miles away", figures::shortest(miles)));
    format!("weather station {}{}", farm.station, away.unwrap_or_default())
}

/// `Near the old ferry, weather station Bench, 4,659 ft above the sea, latitude 36.10°`.
fn facts(farm: &Farm) -> String {
    let said = |text: &str, words: String| (!text.trim().is_empty()).then_some(words);
    let parts = [
        said(&farm.place, farm.place.clone()),
        said(&farm.station, station(farm)),
        farm.elevation_m
            .map(|metres| format!("{} ft above the sea", figures::float(Metres::of(metres).to_feet().get(), 0))),
        farm.latitude_deg.map(|degrees| format!("latitude {}°", figures::float(degrees, 2))),
        said(&farm.time_zone, format!("days kept in {}", farm.time_zone)),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
