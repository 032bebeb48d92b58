//! Farms, blocks and seasons, and the way between their rows and reckon's types.

use reckon::block::{Block, Emitter, Farm, MonthDay, NeedsPollinizer, Season, SeasonState, folded};
use reckon::exact::Acres;
use reckon::units::{Feet, FruitPerTree, GallonsPerHour};
use reckon::water::setup::{Soil, WaterSetup, by_name};
use sea_orm::entity::prelude::Uuid;

use crate::error::StoreError;
use crate::read::{Bad, count_or_none, measure_or_none, number_or_none, word, word_or_none};

table! {
    /// A farm. `name_folded` is its name as names are compared.
    farm = "farm" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        version: i64,
        name: String,
        place: String,
        station: String,
        latitude_deg: Option<f64>,
        elevation_m: Option<f64>,
        station_miles: Option<f64>,
        time_zone: String,
        name_folded: String,
    }
}

table! {
    /// A block. Its settings stand in `block_setting`; `code_folded` is its code as codes are compared,
    /// and `joined_season` is the store's own: see `members`.
    block = "block" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        id: Uuid,
        farm_id: Uuid,
        version: i64,
        code: String,
        crop: String,
        variety: String,
        planted_year: Option<i64>,
        acres_micros: i64,
        trees: Option<i64>,
        row_spacing_ft: Option<f64>,
        tree_spacing_ft: Option<f64>,
        emitter: String,
        emitters_per_tree: Option<f64>,
        emitter_flow_gph: Option<f64>,
        ripening_from: Option<i64>,
        ripening_to: Option<i64>,
        pollinizer: String,
        soil: Option<String>,
        tree_rows: Option<i64>,
        needs_pollinizer: Option<String>,
        pollinizer_trees: Option<i64>,
        target_fruit_per_tree: Option<f64>,
        code_folded: String,
        first_season: Option<i64>,
        last_season: Option<i64>,
        joined_season: Option<i64>,
    }
}

table! {
    /// One setting of a block's water balance.
    block_setting = "block_setting" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        block_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        name: String,
        value: f64,
    }
}

table! {
    /// A season of an operation. `revision` counts its openings and closings.
    season = "season" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        year: i64,
        first_day: Date,
        last_day: Date,
        state: String,
        revision: i64,
    }
}

impl farm::Model {
    pub(crate) fn new(operation_id: Uuid, id: Uuid, version: i64, farm: &Farm) -> Self {
        Self {
            operation_id,
            id,
            version,
            name: farm.name.clone(),
            place: farm.place.clone(),
            station: farm.station.clone(),
            latitude_deg: farm.latitude_deg,
            elevation_m: farm.elevation_m,
            station_miles: farm.station_miles,
            time_zone: farm.time_zone.clone(),
            name_folded: folded(&farm.name),
        }
    }

    pub(crate) fn farm(&self) -> Result<Farm, StoreError> {
        self.read().map_err(|bad| bad.at("farm", self.id))
    }

    fn read(&self) -> Result<Farm, Bad> {
        Ok(Farm {
            name: self.name.clone(),
            place: self.place.clone(),
            station: self.station.clone(),
            latitude_deg: number_or_none(self.latitude_deg, "latitude_deg")?,
            elevation_m: number_or_none(self.elevation_m, "elevation_m")?,
            station_miles: number_or_none(self.station_miles, "station_miles")?,
            time_zone: self.time_zone.clone(),
        })
    }
}

impl block::Model {
    pub(crate) fn new(operation_id: Uuid, farm_id: Uuid, id: Uuid, version: i64, block: &Block) -> Self {
        Self {
            operation_id,
            id,
            farm_id,
            version,
            code: block.code.clone(),
            crop: block.crop.clone(),
            variety: block.variety.clone(),
            planted_year: block.planted_year.map(i64::from),
            acres_micros: block.acres.micros(),
            trees: block.trees.map(i64::from),
            row_spacing_ft: block.row_spacing.map(Feet::get),
            tree_spacing_ft: block.tree_spacing.map(Feet::get),
            emitter: block.emitter.word().to_owned(),
            emitters_per_tree: block.emitters_per_tree,
            emitter_flow_gph: block.emitter_flow.map(GallonsPerHour::get),
            ripening_from: block.ripening.map(|(from, _)| month_times_100_plus_day(from)),
            ripening_to: block.ripening.map(|(_, to)| month_times_100_plus_day(to)),
            pollinizer: block.pollinizer.clone(),
            soil: block.water.soil.map(|soil| soil.word().to_owned()),
            tree_rows: block.rows.map(i64::from),
            needs_pollinizer: block.needs_pollinizer.map(|need| need.word().to_owned()),
            pollinizer_trees: block.pollinizer_trees.map(i64::from),
            target_fruit_per_tree: block.target_fruit.map(FruitPerTree::get),
            code_folded: folded(&block.code),
            first_season: block.first_season.map(i64::from),
            last_season: block.last_season.map(i64::from),
            joined_season: None,
        }
    }

    /// The block with its settings; settings of other blocks are passed over.
    pub(crate) fn block(&self, settings: &[block_setting::Model]) -> Result<Block, StoreError> {
        let mut water = self.water().map_err(|bad| bad.at("block", self.id))?;
        for row in settings.iter().filter(|row| row.block_id == self.id) {
            let info = by_name(&row.name).filter(|_| row.value.is_finite());
            let info = info.ok_or_else(|| Bad("name").at("block_setting", self.id))?;
            water.set(info.setting, Some(row.value));
        }
        self.read(water).map_err(|bad| bad.at("block", self.id))
    }

    fn water(&self) -> Result<WaterSetup, Bad> {
        let mut water = WaterSetup::default();
        water.soil = word_or_none(&Soil::ALL, Soil::word, self.soil.as_deref(), "soil")?;
        Ok(water)
    }

    fn read(&self, water: WaterSetup) -> Result<Block, Bad> {
        let ripening = match (self.ripening_from, self.ripening_to) {
            (None, None) => None,
            (from, to) => Some((month_day(from, "ripening_from")?, month_day(to, "ripening_to")?)),
        };
        Ok(Block {
            code: self.code.clone(),
            crop: self.crop.clone(),
            variety: self.variety.clone(),
            planted_year: year_or_none(self.planted_year, "planted_year")?,
            first_season: year_or_none(self.first_season, "first_season")?,
            last_season: year_or_none(self.last_season, "last_season")?,
            acres: Acres::from_micros(self.acres_micros),
            trees: count_or_none(self.trees, "trees")?,
            row_spacing: measure_or_none(self.row_spacing_ft, Feet::new, "row_spacing_ft")?,
            tree_spacing: measure_or_none(self.tree_spacing_ft, Feet::new, "tree_spacing_ft")?,
            emitter: word(&Emitter::ALL, Emitter::word, &self.emitter, "emitter")?,
            emitters_per_tree: number_or_none(self.emitters_per_tree, "emitters_per_tree")?,
            emitter_flow: measure_or_none(self.emitter_flow_gph, GallonsPerHour::new, "emitter_flow_gph")?,
            ripening,
            rows: count_or_none(self.tree_rows, "tree_rows")?,
            pollinizer: self.pollinizer.clone(),
            needs_pollinizer: word_or_none(
                &NeedsPollinizer::ALL,
                NeedsPollinizer::word,
                self.needs_pollinizer.as_deref(),
                "needs_pollinizer",
            )?,
            pollinizer_trees: count_or_none(self.pollinizer_trees, "pollinizer_trees")?,
            target_fruit: measure_or_none(self.target_fruit_per_tree, FruitPerTree::new, "target_fruit_per_tree")?,
            water,
        })
    }

    /// The settings a block's row cannot hold.
    pub(crate) fn settings(operation_id: Uuid, block_id: Uuid, block: &Block) -> Vec<block_setting::Model> {
        let row = |(info, value): (&reckon::water::setup::SettingInfo, f64)| block_setting::Model {
            operation_id,
            block_id,
            name: info.name.to_owned(),
            value,
        };
        block.water.values().map(row).collect()
    }
}

impl season::Model {
    pub(crate) fn new(operation_id: Uuid, season: &Season) -> Self {
        Self {
            operation_id,
            year: i64::from(season.year),
            first_day: season.first_day,
            last_day: season.last_day,
            state: state_word(season.state).to_owned(),
            revision: 1,
        }
    }

    pub(crate) fn season(&self) -> Result<Season, StoreError> {
        let bad = |column| Bad(column).at("season", self.operation_id);
        Ok(Season {
            year: i32::try_from(self.year).map_err(|_| bad("year"))?,
            first_day: self.first_day,
            last_day: self.last_day,
            state: match self.state.as_str() {
                "open" => SeasonState::Open,
                "closed" => SeasonState::Closed,
                _ => return Err(bad("state")),
            },
        })
    }
}

pub(crate) const fn state_word(state: SeasonState) -> &'static str {
    match state {
        SeasonState::Open => "open",
        SeasonState::Closed => "closed",
    }
}

fn year_or_none(year: Option<i64>, column: &'static str) -> Result<Option<i32>, Bad> {
    year.map(i32::try_from).transpose().map_err(|_| Bad(column))
}

pub(crate) fn month_times_100_plus_day(day: MonthDay) -> i64 {
    i64::from(day.month() * 100 + day.day())
}

pub(crate) fn month_day(value: Option<i64>, column: &'static str) -> Result<MonthDay, Bad> {
    let value = value.and_then(|v| u32::try_from(v).ok()).ok_or(Bad(column))?;
    MonthDay::new(value / 100, value % 100).ok_or(Bad(column))
}
