//! Kept summaries: the row of a block season and reckon's `Summary`, and back.

use reckon::compare::Observation;
use reckon::exact::{Acres, Pounds};
use reckon::money::Money;
use reckon::summary::Summary;
use reckon::units::{AcreInches, GallonsUs};
use sea_orm::entity::prelude::Uuid;

use crate::error::StoreError;
use crate::observed;
use crate::read::{Bad, measure_or_none};
use crate::tables::ledger::block_season::Model;

impl Model {
    /// A row to be locked, before its summary is reckoned for the first time.
    pub(crate) fn unreckoned(operation_id: Uuid, year: i64, block_id: Uuid) -> Self {
        let nothing = Self {
            operation_id,
            year,
            block_id,
            version: 0,
            stale: true,
            acres_micros: 0,
            trees: 0,
            thinning_cost_cents: None,
            thinned_trees: 0,
            applied_gal: None,
            needed_gal: None,
            kept_acre_in: None,
            mulched_acres_micros: 0,
            net_cents: None,
            weight_lb_micros: 0,
            over_operating_cents: None,
            over_all_cents: None,
            stated_acres_micros: 0,
            unsettled_cents: 0,
            missing: String::new(),
            worth_a_look: String::new(),
            observed: None,
        };
        Self { stale: true, ..nothing.with(&Summary::default()) }
    }

    /// The same row with a fresh summary.
    pub(crate) fn with(self, summary: &Summary) -> Self {
        Self {
            operation_id: self.operation_id,
            year: self.year,
            block_id: self.block_id,
            version: self.version + 1,
            stale: false,
            acres_micros: summary.acres.micros(),
            trees: whole(summary.trees),
            thinning_cost_cents: summary.thinning_cost.map(Money::cents),
            thinned_trees: whole(summary.thinned_trees),
            applied_gal: summary.applied.map(GallonsUs::get),
            needed_gal: summary.needed.map(GallonsUs::get),
            kept_acre_in: summary.kept.map(AcreInches::get),
            mulched_acres_micros: summary.mulched_acres.micros(),
            net_cents: summary.net.map(Money::cents),
            weight_lb_micros: summary.weight.micros(),
            over_operating_cents: summary.over_operating.map(Money::cents),
            over_all_cents: summary.over_all.map(Money::cents),
            stated_acres_micros: summary.stated_acres.micros(),
            unsettled_cents: summary.unsettled.cents(),
            missing: sentences(&summary.missing),
            worth_a_look: sentences(&summary.worth_a_look),
            observed: None,
        }
    }

    /// The same row with what it shows of its method of thinning.
    pub(crate) fn observing(self, observations: &[Observation]) -> Self {
        Self { observed: Some(observed::text(observations)), ..self }
    }

    /// The summary; `None` where it was never reckoned.
    pub(crate) fn summary(&self) -> Result<Option<Summary>, StoreError> {
        if self.stale {
            return Ok(None);
        }
        self.read().map(Some).map_err(|bad| bad.at("block_season", self.block_id))
    }

    fn read(&self) -> Result<Summary, Bad> {
        Ok(Summary {
            acres: Acres::from_micros(self.acres_micros),
            trees: u64::try_from(self.trees).map_err(|_| Bad("trees"))?,
            thinning_cost: self.thinning_cost_cents.map(Money::from_cents),
            thinned_trees: u64::try_from(self.thinned_trees).map_err(|_| Bad("thinned_trees"))?,
            applied: measure_or_none(self.applied_gal, GallonsUs::new, "applied_gal")?,
            needed: measure_or_none(self.needed_gal, GallonsUs::new, "needed_gal")?,
            kept: measure_or_none(self.kept_acre_in, AcreInches::new, "kept_acre_in")?,
            mulched_acres: Acres::from_micros(self.mulched_acres_micros),
            net: self.net_cents.map(Money::from_cents),
            weight: Pounds::from_micros(self.weight_lb_micros),
            over_operating: self.over_operating_cents.map(Money::from_cents),
            over_all: self.over_all_cents.map(Money::from_cents),
            stated_acres: Acres::from_micros(self.stated_acres_micros),
            unsettled: Money::from_cents(self.unsettled_cents),
            missing: serde_json::from_str(&self.missing).map_err(|_| Bad("missing"))?,
            worth_a_look: serde_json::from_str(&self.worth_a_look).map_err(|_| Bad("worth_a_look"))?,
        })
    }
}

fn whole(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn sentences(list: &[String]) -> String {
    serde_json::Value::from(list.to_vec()).to_string()
}
