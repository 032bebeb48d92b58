//! The values and conventions of a block's balance, as the report prints them.

use crate::season::{HowReckoned, SeasonRecords, WaterSeason};

use super::preset::Origin;
use super::resolve::Resolved;
use super::setup::Setting;

const FAO56: &str = "Allen, Pereira, Raes, Smith: FAO Irrigation and Drainage Paper 56 (1998), chapters 6 to 8 and 10";

/// What the balance was run with; nothing where none was made.
pub fn how(records: &SeasonRecords, season: &WaterSeason) -> Vec<HowReckoned> {
    if season.runs.is_none() {
        return Vec::new();
    }
    let resolved = Resolved::of(&records.block);
    let explained = |id, title, formula, source| HowReckoned { id, title, formula, source };
    vec![
        explained("water-settings", "Settings of the water balance", settings(&resolved), FAO56),
        explained("water-conventions", "Conventions of the water balance", conventions(&resolved), FAO56),
    ]
}

/// Every value by where it comes from.
fn settings(resolved: &Resolved) -> String {
    let listed = |origin: Origin| {
        let values = resolved.values().filter(|(.., from)| *from == origin);
        let named: Vec<String> = values.map(|(info, value, _)| format!("{} {}", info.name, short(value))).collect();
        if named.is_empty() { String::new() } else { format!("{}: {}. ", capital(origin), named.join(", ")) }
    };
    let soil = format!("Soil: {}, {}. ", resolved.soil.word(), resolved.soil_origin.word());
    let lists = [Origin::Set, Origin::Preset, Origin::Assumed].map(listed);
    format!("{soil}{}", lists.concat()).trim_end().to_owned()
}

const fn capital(origin: Origin) -> &'static str {
    match origin {
        Origin::Set => "Set for the block",
        Origin::Preset => "From published tables",
        Origin::Assumed => "Assumed",
    }
}

/// Four decimals at most, no trailing zeros.
fn short(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn conventions(resolved: &Resolved) -> String {
    let on = |setting| resolved.is_on(setting);
    let order = if on(Setting::WettingFirst) {
        "Rain and irrigation come before the day's evaporation, and surplus drains before the trees use it."
    } else {
        "Evaporation and stress follow the evening before; rain and irrigation come after them."
    };
    let wetted = if on(Setting::RainWithIrrigationWetsAll) {
        "After real rain the whole surface is wet, also on a day of irrigation."
    } else {
        "After real rain the whole surface is wet, but on a day of irrigation only the irrigated share."
    };
    let climate = if on(Setting::KcbClimateAdjustment) {
        "Kcb of the mid and late stage is adjusted by the stage's mean wind and lowest humidity, where 0.45 or more."
    } else {
        "Kcb is taken as given, without adjustment to climate."
    };
    let curve = if on(Setting::CurveFirstDay) { "day 1" } else { "day 0" };
    format!(
        "{order} {wetted} {climate} The curve counts its first day as {curve}. Mulch counts by its share of the whole \
         surface, and of layers laid on different dates the stronger; plastic leaves the uncovered share open and takes \
         a tenth of Kcb where it lies. Wind not measured: 2 m/s. Lowest humidity not measured: from vapour pressure, dew \
         point or lowest temperature, else 45 %. Water an empty root zone could not give is kept apart as unmet."
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::Block;

    #[test]
    fn every_value_says_where_it_comes_from() {
        let mut block = Block { crop: "peach".into(), ..Block::default() };
        block.water.set(Setting::WettedFraction, Some(0.3));
        let text = settings(&Resolved::of(&block));
        assert!(
            text.starts_with("Soil: loam, assumed. Set for the block: wetted_fraction 0.3. From published"),
            "{text}"
        );
        assert!(text.contains("kcb_mid 0.85"), "{text}");
        assert!(text.contains("Assumed: field_capacity 0.25"), "{text}");
    }

    #[test]
    fn conventions_follow_the_switches() {
        let mut block = Block::default();
        let text = |block: &Block| conventions(&Resolved::of(block));
        assert!(text(&block).starts_with("Evaporation and stress follow the evening before"));
        block.water.set(Setting::WettingFirst, Some(1.0));
        assert!(text(&block).starts_with("Rain and irrigation come before"));
    }
}
