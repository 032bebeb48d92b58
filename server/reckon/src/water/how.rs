//! The values and conventions of a block's balance, as the report prints them.

use crate::season::{HowReckoned, SeasonRecords, WaterSeason};

use super::preset::Origin;
use super::resolve::Resolved;
use super::setup::Setting;

const FAO56: &str = "Allen, Pereira, Raes, Smith: FAO Irrigation and Drainage Paper 56 (1998), chapters 6 to 8 and 10";

/// What the balance was run with, and what only some seasons have; nothing where none was made.
pub fn how(records: &SeasonRecords, season: &WaterSeason) -> Vec<HowReckoned> {
    if season.runs.is_none() {
        return Vec::new();
    }
    let resolved = Resolved::of(&records.block);
    let explained = |id, title, formula, source| HowReckoned { id, title, formula, source };
    let always = [
        explained("water-settings", "Settings of the water balance", settings(&resolved), FAO56),
        explained("water-conventions", "Conventions of the water balance", conventions(&resolved), FAO56),
    ];
    let sometimes = [
        season.rain_check.as_ref().map(|_| rain_check()),
        season.advice.as_ref().map(|_| advice()),
        (!season.tension.is_empty()).then(tension_bands),
        season.metered_saving.as_ref().map(|_| metered_saving()),
    ];
    always.into_iter().chain(sometimes.into_iter().flatten()).collect()
}

/// What only some seasons have, for the list of every explanation.
pub fn sometimes() -> Vec<HowReckoned> {
    vec![metered_saving(), rain_check(), advice(), tension_bands()]
}

/// How the metered saving is made; it joins a season with its comparisons.
pub fn metered_saving() -> HowReckoned {
    HowReckoned {
        id: "metered-saving",
        title: "Metered saving",
        formula:
            "Water applied ÷ the crop need of bare soil, of this block, of the bare blocks of the same farm, season and \
                  crop group, and of its own earlier bare seasons: (mean of the bare − own) × own need. The balances must \
                  begin and end within 14 days of each other. At least one comparison; their number is shown. The water is as metered or counted, the need modelled. It stands beside the \
                  modelled saving and is never merged with it."
                .into(),
        source: "Comparison of records",
    }
}

fn rain_check() -> HowReckoned {
    HowReckoned {
        id: "rain-check",
        title: "Effective rain by a monthly formula",
        formula:
            "A cross-check only, over whole months, in inches: storage factor × (0.70917 × rain^0.82416 − 0.11556) × \
                  10^(0.02426 × need), never above rain or need; storage is the depletion fraction of the available \
                  water. The balance's own figure is the rain that neither ran off nor drained."
                .into(),
        source: "USDA-NRCS National Engineering Handbook, part 623, chapter 2 (SCS Technical Release 21), at second hand",
    }
}

fn advice() -> HowReckoned {
    HowReckoned {
        id: "water-advice",
        title: "What is left, and the next set",
        formula: "Left: available water − depletion on the last day with weather. Next set: the mean crop need of the last \
                  seven days is taken off each day, without rain, until the depletion rule calls for a set; its depth is \
                  what the rule puts into the roots, and ÷ application efficiency at the emitters. Said beside it: sets \
                  within two days after a quarter inch of rain or more that refilled the roots, sets at a fixed interval \
                  and amount while need changed, and sets the roots had no room for. Advice from records; check the soil \
                  first."
            .into(),
        source: FAO56,
    }
}

fn tension_bands() -> HowReckoned {
    HowReckoned {
        id: "tension-bands",
        title: "What a tension reading says",
        formula: "Wet, moist enough, time to irrigate, dry, by texture: limits 10, 20, 40 kPa in sands, 10, 30, 60 in loams, \
                  10, 60, 100 in clays. Readings never change the balance; both are shown."
            .into(),
        source: "Common practice, no source; sets usually begin at 30 to 80 kPa (New Mexico State University)",
    }
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
    let light = resolved.number(Setting::LightRainOfEto);
    let light = if light > 0.0 {
        format!(" Rain below {} of the day's reference ET is left out.", short(light))
    } else {
        String::new()
    };
    format!(
        "{order} {wetted}{light} {climate} The curve counts its first day as {curve}. {} Wind not measured: 2 m/s. Lowest \
         humidity not measured: from vapour pressure, dew point or lowest temperature, else 45%. Water an empty root zone \
         could not give is kept apart as unmet.",
        mulch(resolved)
    )
}

fn mulch(resolved: &Resolved) -> String {
    let number = |setting| short(resolved.number(setting));
    let basis = if resolved.is_on(Setting::MulchOverWettedFirst) {
        "Mulch lies on the wetted strip first: its share counts over the wetted surface."
    } else {
        "Mulch counts by its share of the whole surface."
    };
    format!(
        "{basis} Over all of it, organic mulch would take {}% of evaporation, from a depth of {} in and in proportion below; \
         it settles {} in a year. Of layers laid on different dates the stronger counts. Plastic leaves the uncovered share \
         open and takes {}% of Kcb where it lies.",
        number(Setting::MulchReductionPct),
        number(Setting::MulchFullDepthIn),
        number(Setting::MulchSettlingInPerYear),
        number(Setting::PlasticKcbReductionPct),
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
        assert!(text(&block).contains("it settles 0 in a year"));
        assert!(!text(&block).contains("is left out"));
        block.water.set(Setting::LightRainOfEto, Some(0.2));
        block.water.set(Setting::MulchOverWettedFirst, Some(1.0));
        let changed = text(&block);
        assert!(changed.contains("Rain below 0.2 of the day's reference ET is left out."), "{changed}");
        assert!(changed.contains("over the wetted surface"), "{changed}");
    }
}
