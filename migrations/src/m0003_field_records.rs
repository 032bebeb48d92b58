//! What is written down in the orchard: one table a record kind.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, Expr, ExprTrait, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::Sheet;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

const METHODS: [&str; 5] = ["by hand", "cuts", "pole", "machine", "chemical"];
const TASKS: [&str; 11] =
    ["prune", "thin", "prop", "irrigate", "mulch", "spray", "weeds", "fertilize", "pick", "haul", "other"];

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        labor(manager).await?;
        fruit_counts(manager).await?;
        irrigation(manager).await?;
        weather(manager).await?;
        mulch(manager).await?;
        small_kinds(manager).await
    }
}

async fn labor(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "labor")
        .block_record()
        .word("task", &TASKS)
        .word_or_none("method", &METHODS)
        .wholes_or_none(&["pass"])
        .texts(&["crew"])
        .wholes_or_none(&["people", "hours_micros"])
        .wholes(&["overtime_hours_micros"])
        .wholes_or_none(&["overtime_multiplier_pct_micros"])
        .word("pay", &["hour", "piece", "contract"])
        .wholes_or_none(&["wage_micros", "pieces_micros", "piece_rate_micros", "contract_cents"])
        .word("loading", &["rates", "payroll", "commission"])
        .wholes_or_none(&["loading_pct_micros", "trees_done"])
        .create(manager)
        .await
}

async fn fruit_counts(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "fruit_count")
        .block_record()
        .texts(&["sample"])
        .flag("branch")
        .wholes_or_none(&["fruit_before", "fruit_after"])
        .doubles_or_none(&["shoot_in", "fruit_diameter_in"])
        .word_or_none("method", &METHODS)
        .create(manager)
        .await
}

async fn irrigation(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "irrigation")
        .block_record()
        .word("known_by", &["meter", "runtime", "depth"])
        .doubles_or_none(&["meter_start", "meter_end", "meter_rolls_at", "old_meter_end", "new_meter_start"])
        .word_or_none("meter_unit", &["gal", "acre-in", "acre-ft", "m3", "100 ft3"])
        .wholes_or_none(&["run_hours_micros", "emitters"])
        .doubles_or_none(&["emitter_flow_gph", "depth_in"])
        .create(manager)
        .await
}

/// Weather belongs to a station that several farms may share.
async fn weather(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "weather")
        .ids(&["operation_id", "id"])
        .texts(&["station"])
        .record()
        .doubles_or_none(&["t_max_c", "t_min_c", "rain_mm", "runoff_mm", "eto_mm", "solar_mj_m2", "sunshine_hours"])
        .doubles_or_none(&["wind_m_s", "wind_height_m", "rh_max_pct", "rh_min_pct", "vapour_pressure_kpa"])
        .doubles_or_none(&["dew_point_c"])
        .index("station", &["operation_id", "station", "day", "id"])
        .create(manager)
        .await
}

async fn mulch(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "mulch")
        .block_record()
        .texts(&["material"])
        .word("mulch_kind", &["organic", "plastic"])
        .doubles(&["depth_in"])
        // Where it lies, exactly one of the three.
        .doubles_or_none(&["strip_width_ft", "ring_radius_ft", "share_pct"])
        .check("shape", one_of(["strip_width_ft", "ring_radius_ft", "share_pct"]))
        .doubles(&["clear_radius_in"])
        .wholes(&["life_years_micros", "material_cents", "delivery_cents", "spreading_cents"])
        .create(manager)
        .await
}

/// Exactly one of three columns is given.
pub(crate) fn one_of(columns: [&'static str; 3]) -> Expr {
    let [a, b, c] = columns;
    let only = |given: &'static str, x: &'static str, y: &'static str| {
        Expr::col(given).is_not_null().and(Expr::col(x).is_null()).and(Expr::col(y).is_null())
    };
    only(a, b, c).or(only(b, a, c)).or(only(c, a, b))
}

async fn small_kinds(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "tension")
        .block_record()
        .texts(&["place"])
        .doubles(&["depth_in", "tension_kpa"])
        .create(manager)
        .await?;
    Sheet::new(manager, "canopy")
        .block_record()
        .doubles_or_none(&["kcb", "ground_cover", "height_m", "root_depth_m"])
        .create(manager)
        .await?;
    Sheet::new(manager, "pick")
        .block_record()
        .wholes_or_none(&["pick_number", "bins_micros", "lugs_micros", "weight_lb_micros"])
        .create(manager)
        .await?;
    Sheet::new(manager, "observation")
        .block_record()
        .texts(&["what"])
        .doubles_or_none(&["share_pct"])
        .create(manager)
        .await
}
