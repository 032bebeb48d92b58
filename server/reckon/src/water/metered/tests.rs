use super::*;
use crate::records::{Applied, IrrigationSet, MeterUnit, MulchShape};
use crate::season::SeasonRecords;
use crate::testing::date;
use crate::water::testing::{days, dry, kept, mulch};

/// A block of 60 dry days under metered sets of so many gallons each week.
fn block(code: &str, gallons: f64) -> SeasonRecords {
    let mut records = dry(60);
    records.block.code = code.into();
    let set = |day| {
        let applied =
            Applied::Meter { start: 0.0, end: gallons, unit: MeterUnit::Gallons, rolls_at: None, replaced: None };
        IrrigationSet { date: day, applied, note: String::new() }
    };
    records.irrigation = kept(days(date(5, 4), 56).step_by(7).map(set));
    records
}

fn mulched(code: &str, gallons: f64) -> SeasonRecords {
    let mut records = block(code, gallons);
    records.mulch = kept([mulch(MulchShape::SharePct(60.0))]);
    records
}

fn reckoned(records: &SeasonRecords) -> BlockSeason {
    crate::reckon(records)
}

#[test]
fn a_mulched_block_stands_beside_its_bare_neighbors() {
    let own = reckoned(&mulched("A", 240_000.0));
    // By code, whatever the order they come in.
    let others = [block("C", 310_000.0), block("B", 290_000.0)];
    let season = own.clone().with_comparisons(&others);
    assert!(season.how.iter().any(|entry| entry.id == "metered-saving"));
    let saving = season.water.metered_saving.unwrap();
    assert_eq!(saving.comparisons.iter().map(|one| one.label.as_str()).collect::<Vec<_>>(), ["B", "C"]);
    // Same weather and trees, so the shares go as the gallons: 240 of a mean of 300.
    assert!((saving.less_applied.value.get() - 20.0).abs() < 1e-9, "{saving:?}");
    assert!((saving.own.value.get() / saving.bare.value.get() - 0.8).abs() < 1e-9);
    // 60,000 gallons less on each of 8 days.
    assert!((saving.gallons.value.get() - 480_000.0).abs() < 1e-3, "{}", saving.gallons.value.get());
    assert_eq!(saving.applied_evidence, Evidence::Metered);
    assert_eq!(saving.own.evidence, Evidence::Modelled, "the need is modelled");
    assert_eq!(own.water.saving, season.water.saving, "the modelled saving stays as it was");
}

#[test]
fn what_is_not_comparable_is_passed_over() {
    let own = reckoned(&mulched("A", 240_000.0));
    let mut other_farm = block("B", 300_000.0);
    other_farm.farm.name = "Elsewhere".into();
    let mut other_crop = block("C", 300_000.0);
    other_crop.block.crop = "cherry".into();
    let no_water = {
        let mut records = block("D", 300_000.0);
        records.irrigation.clear();
        records
    };
    let short = {
        let mut records = block("E", 300_000.0);
        records.weather.truncate(20);
        records
    };
    let mut year_after = block("A", 300_000.0);
    year_after.season.year = 2027;
    let others = [other_farm, other_crop, no_water, short, mulched("F", 300_000.0), block("A", 300_000.0), year_after];
    assert_eq!(own.clone().with_comparisons(&others).water.metered_saving, None, "at least one is needed");
    let bare = reckoned(&block("G", 300_000.0));
    assert_eq!(
        bare.with_comparisons(&[mulched("A", 240_000.0)]).water.metered_saving,
        None,
        "a bare block saves nothing"
    );
}

#[test]
fn the_blocks_own_bare_year_serves() {
    let mut year_before = block("A", 300_000.0);
    year_before.season.year = 2025;
    let reported = Reported { own: mulched("A", 330_000.0), beside: vec![year_before.clone()] };
    let saving = reported.reckon().water.metered_saving.unwrap();
    assert_eq!(saving.comparisons[0].label, "A in 2025");
    assert!((saving.less_applied.value.get() + 10.0).abs() < 1e-9, "a tenth more was applied");
    assert!(saving.depth.value.get() < 0.0);
    let bare = Reported { own: block("A", 330_000.0), beside: vec![year_before] };
    assert_eq!(bare.reckon(), reckoned(&bare.own), "a bare block is reported as it is reckoned");
}

#[test]
fn neighbors_stand_before_the_blocks_own_years() {
    let earlier = |year| {
        let mut records = block("A", 300_000.0);
        records.season.year = year;
        records
    };
    let own = mulched("A", 240_000.0);
    let label = |beside: Vec<SeasonRecords>| {
        let saving = Reported { own: own.clone(), beside }.reckon().water.metered_saving.unwrap();
        saving.comparisons.into_iter().map(|one| one.label).collect::<Vec<_>>()
    };
    let (c, b) = (block("C", 310_000.0), block("B", 290_000.0));
    let there = label(vec![earlier(2025), c.clone(), earlier(2024), b.clone()]);
    assert_eq!(there, ["B", "C", "A in 2024", "A in 2025"]);
    assert_eq!(label(vec![b, earlier(2024), c, earlier(2025)]), there);
}
