use chrono::{Days, NaiveDate};
use reckon::block::Block;
use reckon::exact::Years;
use reckon::figure::{Evidence, Figure, RecordId, RecordKind, RecordRef};
use reckon::money::Money;
use reckon::season::{
    AppliedPart, EtoSource, MulchLaid, MulchSaving, MulchSeason, Saving, TensionPoint, WaterSeason, WaterWeek,
};
use reckon::units::{
    AcreInches, AcreInchesPerAcre, Count, CubicYards, GallonsPerTree, GallonsUs, Inches, Kilopascals, MM_PER_INCH,
    Share, SquareFeet,
};
use reckon::water::months::{RainCheck, WaterMonth};
use reckon::water::run::{WaterDay, WaterRuns};
use reckon::water::setup::Soil;
use reckon::water::tension;

use super::water_words::{advice, metered_saving};
use super::{day, figure};

/// Weeks of the sample's balance.
const WEEKS: u32 = 26;
/// Week and inches of rain that stayed.
const RAIN: [(u32, f64); 8] =
    [(0, 0.17), (1, 0.40), (2, 0.18), (3, 0.15), (5, 0.19), (6, 0.58), (10, 0.50), (22, 0.07)];
/// Bare need over mulched need, less one.
const BARE: f64 = 0.085;

pub(super) fn water(block: &Block) -> WaterSeason {
    let weeks: Vec<WaterWeek> = (0..WEEKS).map(week).collect();
    let sum = |inches: fn(&WaterWeek) -> f64| weeks.iter().map(inches).sum::<f64>();
    let (applied, need, rain) = (sum(|w| w.applied.get()), sum(|w| w.need.get()), sum(|w| w.rain_kept.get()));
    let acres = block.acres.as_f64();
    let modelled = |inches| Some(figure(Inches::of(inches), Evidence::Modelled, RecordKind::Weather, 182));
    let gallons = AcreInches::of(applied * acres).to_gallons();
    let metered = figure((), Evidence::Metered, RecordKind::Irrigation, 38);
    let counted = figure((), Evidence::Counted, RecordKind::Irrigation, 6);
    WaterSeason {
        sets: 44,
        applied: Some(figure(gallons, Evidence::Counted, RecordKind::Irrigation, 44)),
        applied_depth: Some(figure(Inches::of(applied), Evidence::Counted, RecordKind::Irrigation, 44)),
        applied_per_tree: Some(figure(
            GallonsPerTree::of(gallons.get() / f64::from(block.trees.unwrap_or(1))),
            Evidence::Counted,
            RecordKind::Irrigation,
            44,
        )),
        parts: vec![
            AppliedPart { volume: metered.map(GallonsUs::of(gallons.get() * 0.9)), sets: 38 },
            AppliedPart { volume: counted.map(GallonsUs::of(gallons.get() * 0.1)), sets: 6 },
        ],
        cost: Some(figure(Money::from_cents(174_944), Evidence::Counted, RecordKind::Irrigation, 44)),
        span: Some((first_day(), last_day())),
        eto_sources: vec![(EtoSource::Station, 176), (EtoSource::Hargreaves, 6)],
        eto: modelled(need * 1.14),
        need: modelled(need),
        used: modelled(need * 0.985),
        rain: modelled(rain * 1.3),
        rain_kept: modelled(rain),
        drained: modelled(0.52),
        met: Some(figure(Share::of(96.3), Evidence::Modelled, RecordKind::Irrigation, 44)),
        applied_of_need: Some(figure(Share::of(98.1), Evidence::Modelled, RecordKind::Irrigation, 44)),
        tension: (0..24).map(tension).collect(),
        saving: Some(saving(block, need)),
        months: months(&weeks),
        rain_check: Some(rain_check(rain)),
        metered_saving: Some(metered_saving(block, need)),
        advice: Some(advice(block)),
        runs: Some(runs()),
        weeks,
    }
}

fn first_day() -> NaiveDate {
    day(4, 6)
}

fn last_day() -> NaiveDate {
    day(10, 4)
}

/// Four weeks stand for a month.
fn months(weeks: &[WaterWeek]) -> Vec<WaterMonth> {
    let month = |weeks: &[WaterWeek]| {
        let sum = |inches: fn(&WaterWeek) -> Inches| weeks.iter().map(inches).sum::<Inches>();
        let kept = sum(|week| week.rain_kept);
        WaterMonth {
            starts: weeks.first().map_or_else(first_day, |week| week.starts),
            days: weeks.iter().map(|week| week.days).sum(),
            need: sum(|week| week.need),
            rain: sum(|week| week.rain),
            rain_kept: kept,
            effective_rain: (weeks.len() == 4).then(|| Inches::of(kept.get() * 0.9)),
        }
    };
    weeks.chunks(4).map(month).collect()
}

fn rain_check(kept: f64) -> RainCheck {
    let modelled = |inches| figure(Inches::of(inches), Evidence::Modelled, RecordKind::Weather, 168);
    RainCheck { months: 6, kept: modelled(kept), by_formula: modelled(kept * 0.9) }
}

fn days_on(first: NaiveDate, days: u32) -> NaiveDate {
    first.checked_add_days(Days::new(u64::from(days))).unwrap_or(first)
}

/// Need of a week: a hump over the season.
fn need(week: u32) -> f64 {
    let place = f64::from(week) / f64::from(WEEKS - 1);
    let hump = 4.0 * place * (1.0 - place);
    0.42 + 1.16 * hump * hump
}

fn week(n: u32) -> WaterWeek {
    let kept = RAIN.iter().find(|(week, _)| *week == n).map_or(0.0, |(_, rain)| *rain);
    let need = need(n);
    // Sets are a whole number of hours, so a week is never met to the hundredth.
    let applied = if n < 3 { 0.0 } else { ((need - kept) * 1.02 * 16.0).round() / 16.0 };
    WaterWeek {
        starts: days_on(first_day(), n * 7),
        days: 7,
        need: Inches::of(need),
        need_bare: Inches::of(need * (1.0 + BARE)),
        applied: Inches::of(applied.max(0.0)),
        rain: Inches::of(kept * 1.3),
        rain_kept: Inches::of(kept),
        drained: Inches::of(if n == 6 { 0.31 } else { 0.008 }),
        depletion: Inches::of(1.1),
    }
}

fn tension(n: u32) -> TensionPoint {
    TensionPoint {
        date: days_on(first_day(), n * 7 + 2),
        depth: Inches::of(18.0),
        tension: Kilopascals::of(f64::from(14 + n % 7 * 6)),
        band: tension::band(Soil::SandyLoam, f64::from(14 + n % 7 * 6)),
        depletion: Some(Inches::of(0.4 + 0.2 * f64::from(n % 5))),
    }
}

fn saving(block: &Block, need: f64) -> MulchSaving {
    let bare = need * (1.0 + BARE);
    MulchSaving {
        avoided: one_saving(block, 2.86, bare, 26_460),
        kept: one_saving(block, 2.41, bare, 22_296),
        kept_range: (Inches::of(1.9), Inches::of(2.9)),
        range_of: (Share::of(25.0), Share::of(15.0)),
        not_needed: one_saving(block, 2.68, bare, 24_794),
        extra_drained: figure(Inches::of(0.45), Evidence::Modelled, RecordKind::Weather, 182),
        covered: figure(Share::of(38.4), Evidence::Modelled, RecordKind::Mulch, 2),
    }
}

fn one_saving(block: &Block, inches: f64, bare: f64, cents: i64) -> Saving {
    let made: Figure<()> = figure((), Evidence::Modelled, RecordKind::Weather, 182);
    let volume = AcreInches::of(inches * block.acres.as_f64());
    let gallons = volume.to_gallons();
    Saving {
        depth: made.map(Inches::of(inches)),
        acre_inches_per_acre: made.map(AcreInchesPerAcre::of(inches)),
        acre_inches: made.map(volume),
        gallons: made.map(gallons),
        gallons_per_tree: block.trees.map(|trees| made.map(GallonsPerTree::of(gallons.get() / f64::from(trees)))),
        worth: Some(made.map(Money::from_cents(cents))),
        share_of_need: Some(made.map(Share::of(inches / bare * 100.0))),
    }
}

pub(super) fn mulch() -> MulchSeason {
    let laid = |date, material: &str, depth, covered, cents| MulchLaid {
        record: RecordRef { kind: RecordKind::Mulch, id: RecordId::Line(2) },
        date,
        material: material.to_owned(),
        depth: Inches::of(depth),
        depth_left: Inches::of(depth - 0.8),
        covered: Some(figure(SquareFeet::of(covered), Evidence::Counted, RecordKind::Mulch, 1)),
        covered_share: Some(figure(Share::of(covered / 6708.24), Evidence::Counted, RecordKind::Mulch, 1)),
        volume: Some(figure(CubicYards::of(covered * depth / 12.0 / 27.0), Evidence::Counted, RecordKind::Mulch, 1)),
        cost: Some(figure(Money::from_cents(cents), Evidence::Invoiced, RecordKind::Mulch, 1)),
        season_cost: Some(figure(Money::from_cents(cents / 2), Evidence::Invoiced, RecordKind::Mulch, 1)),
        life: Years::from_micros(2_000_000),
        payback: Some(figure(Count::of(20.8), Evidence::Modelled, RecordKind::Mulch, 1)),
    };
    MulchSeason {
        laid: vec![
            laid(day(3, 12), "wood chips", 4.0, 214_600.0, 362_900),
            laid(day(3, 20), "prunings, chipped", 3.0, 43_000.0, 100_000),
        ],
        season_cost: Some(figure(Money::from_cents(231_450), Evidence::Invoiced, RecordKind::Mulch, 2)),
        cost_over_value: Some(figure(Count::of(10.38), Evidence::Modelled, RecordKind::Mulch, 2)),
        payback: Some(figure(Count::of(20.76), Evidence::Modelled, RecordKind::Mulch, 2)),
    }
}

fn runs() -> WaterRuns {
    let run = |bare: bool, rule: bool| (0..WEEKS * 7).map(|n| water_day(n, bare, rule)).collect();
    WaterRuns {
        as_irrigated: run(false, false),
        as_irrigated_bare: run(true, false),
        by_rule: run(false, true),
        by_rule_bare: run(true, true),
    }
}

/// One day of a run that holds together well enough to be written down.
fn water_day(n: u32, bare: bool, rule: bool) -> WaterDay {
    let week = week(n / 7);
    let factor = if bare { 1.0 } else { 0.808 };
    let etc = week.need.get() * MM_PER_INCH / 7.0 * if bare { 1.0 + BARE } else { 1.0 };
    let (eto, e) = (etc / 0.88, etc * 0.12 * factor);
    let set_day = n % if rule { 5 } else { 7 } == 3;
    let gross = if set_day { week.applied.get() * MM_PER_INCH } else { 0.0 };
    WaterDay {
        date: days_on(first_day(), n),
        eto_mm: eto,
        kcb: 0.75,
        kc_max: 1.2,
        fc: 0.45,
        fw: 0.3,
        few: 0.3,
        de_end_mm: f64::from(n % 7) * 1.3,
        kr: 0.8,
        ke: e / eto,
        e_mm: e,
        dpe_mm: 0.0,
        etc_mm: etc,
        taw_mm: 130.0,
        p: 0.5,
        raw_mm: 65.0,
        ks: 1.0,
        eta_mm: etc,
        t_mm: etc - e,
        dp_mm: week.drained.get() * MM_PER_INCH / 7.0,
        dr_end_mm: f64::from(n % 7) * 4.1,
        irrigation_gross_mm: gross,
        irrigation_loss_mm: gross * 0.1,
        rain_mm: week.rain.get() * MM_PER_INCH / 7.0,
        runoff_mm: 0.0,
        rain_left_out_mm: 0.0,
        capillary_rise_mm: 0.0,
        unmet_mm: 0.0,
        mulch_factor: factor,
    }
}
