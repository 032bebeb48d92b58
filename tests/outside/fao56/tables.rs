//! Presets against the tables they come from.

use reckon::block::Emitter;
use reckon::water::preset::{self, CropGroup, Floor};
use reckon::water::setup::Soil;

use crate::fixture::{close, table};

/// Table 19 (p. 144): the presets are the middles of its ranges.
#[test]
fn table_19_soils() {
    let rows = table("water/fao56_table19_soil.csv");
    assert_eq!(rows.len(), Soil::ALL.len());
    for (soil, row) in Soil::ALL.into_iter().zip(&rows) {
        let middle = |low: &str, high: &str| f64::midpoint(row.number(low), row.number(high));
        let preset = preset::soil_water(soil);
        let name = row.text("soil_type");
        close(name, preset.field_capacity, middle("theta_FC_low_m3_per_m3", "theta_FC_high_m3_per_m3"), 1e-9);
        close(name, preset.wilting_point, middle("theta_WP_low_m3_per_m3", "theta_WP_high_m3_per_m3"), 1e-9);
        close(name, preset.rew_mm, middle("REW_low_mm", "REW_high_mm"), 1e-9);
        close(name, preset.tew_mm, middle("TEW_low_mm_at_Ze_0p10_m", "TEW_high_mm_at_Ze_0p10_m"), 1e-9);
    }
}

/// Tables 12 and 17 (p. 113 and 140), every row of the crops; table 22 (p. 165) for p.
#[test]
fn tables_12_17_and_22_crops() {
    let rows = table("water/fao56_crop_coefficients_stone_fruit.csv");
    let rooting = table("water/fao56_stage_lengths_rooting.csv");
    assert_eq!(rows.len(), 9);
    for row in &rows {
        let crop = row.text("crop_group");
        let group = match crop {
            "apricots_peaches_stone_fruit" => CropGroup::StoneFruit,
            "apples_cherries_pears" => CropGroup::PomeAndCherry,
            "almonds" => CropGroup::Almond,
            other => panic!("no row for {other}"),
        };
        let floor = Floor {
            ground_cover: row.text("ground_cover") == "active_ground_cover",
            killing_frost: row.text("frost") != "no_frost",
        };
        let preset = preset::crop_water(group, floor);
        for (what, ours, columns) in [
            ("Kc", preset.kc, ["Kc_ini", "Kc_mid", "Kc_end_before_leaf_drop"]),
            ("Kcb", preset.kcb, ["Kcb_ini", "Kcb_mid", "Kcb_end_before_leaf_drop"]),
        ] {
            for (ours, column) in ours.into_iter().zip(columns) {
                close(&format!("{crop} {what}"), ours, row.number(column), 1e-9);
            }
        }
        close(crop, preset.height_m, row.number("max_height_m"), 1e-9);
        let roots = rooting.iter().find(|row| row.text("table") == "22" && row.text("crop") == crop).unwrap();
        close(crop, preset.depletion_fraction, roots.number("p_at_ETc_5_mm_per_day"), 1e-9);
    }
}

/// Footnotes of tables 12 and 17: Kcb after leaf fall, bare floor 0.15, living cover 0.45 to 0.75.
#[test]
fn after_leaf_fall() {
    let dormant = |ground_cover, killing_frost| preset::dormant_kcb(Floor { ground_cover, killing_frost });
    close("bare", dormant(false, true), 0.15, 0.0);
    close("bare, no frost", dormant(false, false), 0.15, 0.0);
    close("cover", dormant(true, true), 0.45, 0.0);
    close("cover, no frost", dormant(true, false), 0.75, 0.0);
}

/// Table 21 (p. 149): ground covered by stage.
#[test]
fn table_21_ground_covered() {
    let rows = table("water/fao56_table21_fc.csv");
    assert_eq!(rows.len(), preset::COVER_BY_STAGE.len());
    for ((from, to), row) in preset::COVER_BY_STAGE.into_iter().zip(&rows) {
        close(row.text("growth_stage"), from, row.number("fc_from"), 0.0);
        close(row.text("growth_stage"), to, row.number("fc_to"), 0.0);
    }
}

/// Table 11 (p. 107), deciduous orchard, California; table 22, shallow end of rooting.
#[test]
fn tables_11_and_22_stage_lengths_and_roots() {
    use reckon::water::resolve::Resolved;
    use reckon::water::setup::Setting;
    let rows = table("water/fao56_stage_lengths_rooting.csv");
    let row = rows.iter().find(|row| row.text("region_or_note") == "California_USA").unwrap();
    let resolved = Resolved::of(&reckon::block::Block { crop: "peach".into(), ..Default::default() });
    for (setting, column) in [
        (Setting::InitialDays, "Lini_day"),
        (Setting::DevelopmentDays, "Ldev_day"),
        (Setting::MidDays, "Lmid_day"),
        (Setting::LateDays, "Llate_day"),
    ] {
        close(column, resolved.number(setting), row.number(column), 0.0);
    }
    assert_eq!(row.text("start_month"), "March");
    close("start", resolved.number(Setting::GrowthStartMonth), 3.0, 0.0);
    let roots = rows.iter().find(|row| row.text("crop") == "apricots_peaches_stone_fruit").unwrap();
    close("roots", resolved.number(Setting::RootDepthM), roots.number("Zr_max_low_m"), 0.0);
}

/// Table 20 (p. 149). The row for micro-sprinklers is from memory and no test.
#[test]
fn table_20_wetted_share() {
    let rows = table("water/fao56_table20_fw.csv");
    for (emitter, event) in [
        (Emitter::Drip, "trickle"),
        (Emitter::DoubleDrip, "trickle"),
        (Emitter::Sprinkler, "sprinkler"),
        (Emitter::Flood, "basin"),
        (Emitter::Furrow, "furrow_every_furrow_wide_bed"),
    ] {
        let row = rows.iter().find(|row| row.text("wetting_event") == event).unwrap();
        let (share, _) = preset::wetted_fraction(emitter);
        assert!((row.number("fw_low")..=row.number("fw_high")).contains(&share), "{event}");
    }
}

/// Source: FAO Irrigation Water Management Training Manual 4, annex I (quoted), and the look-up table
/// of a published water-demand model; see `fixtures/published/water/README.md`.
#[test]
fn application_efficiencies() {
    let rows = table("water/application_efficiency.csv");
    for (emitter, method) in [(Emitter::Drip, "drip"), (Emitter::Sprinkler, "sprinkler"), (Emitter::Furrow, "surface")]
    {
        let row = rows.iter().find(|row| row.text("method") == method).unwrap();
        close(method, preset::application_efficiency(emitter).0, row.number("field_application_efficiency_pct"), 0.0);
    }
}
