//! The season as records of a block.

use chrono::{Datelike, NaiveDate};
use reckon::block::{Block, Emitter, Farm, Season, SeasonState};
use reckon::exact::{Acres, Years};
use reckon::figure::{Kept, RecordId};
use reckon::records::{Applied, CanopyDay, IrrigationSet, MulchApplication, MulchKind, MulchShape, WeatherDay};
use reckon::season::SeasonRecords;
use reckon::units::{Inches, MM_PER_INCH, MetresPerSecond, Millimetres};
use reckon::water::setup::Setting;

use crate::fixture::{Row, number, table, toml};

const HECTARE_IN_ACRES: i64 = 2_471_054;

pub(super) fn file(name: &str) -> String {
    format!("water/season_run_a/{name}")
}

pub(super) fn date(row: &Row) -> NaiveDate {
    row.text("date").parse().unwrap()
}

pub(super) fn kept<R>(records: impl IntoIterator<Item = R>) -> Vec<Kept<R>> {
    (2..).zip(records).map(|(line, record)| Kept { id: RecordId::Line(line), record }).collect()
}

/// `2022-07-19` as month x 100 + day.
pub(super) fn month_day(text: &str) -> f64 {
    let day: NaiveDate = text.parse().unwrap();
    f64::from(day.month() * 100 + day.day())
}

/// The block of the run, its soil and conventions as settings.
pub(crate) fn block() -> Block {
    let run = toml(&file("parameters.toml"));
    let mut block = Block {
        code: "A".into(),
        crop: "peach".into(),
        acres: Acres::from_micros(HECTARE_IN_ACRES),
        trees: Some(500),
        emitter: Emitter::Drip,
        ..Block::default()
    };
    for (setting, place) in [
        (Setting::FieldCapacity, "soil.theta_FC_m3_per_m3"),
        (Setting::WiltingPoint, "soil.theta_WP_m3_per_m3"),
        (Setting::InitialMoisture, "soil.theta_initial_m3_per_m3"),
        (Setting::RootDepthM, "soil.Zr_m_constant"),
        (Setting::DepletionFraction, "soil.p_table"),
        (Setting::SurfaceDepthM, "soil.Ze_m"),
        (Setting::RewMm, "soil.REW_mm"),
        (Setting::InitialSurfaceDepletionMm, "soil.De_initial_mm"),
        (Setting::InitialWettedFraction, "soil.fw_initial"),
        (Setting::HeightM, "crop.height_m_constant"),
        (Setting::InitialDays, "crop.Lini_day"),
        (Setting::DevelopmentDays, "crop.Ldev_day"),
        (Setting::MidDays, "crop.Lmid_day"),
        (Setting::LateDays, "crop.Llate_day"),
        (Setting::KcbIni, "crop.Kcb_ini"),
        (Setting::WettedFraction, "irrigation.fw"),
        (Setting::ApplicationEfficiencyPct, "irrigation.application_efficiency_pct"),
        (Setting::RuleDepletionMm, "irrigation.trigger_mm"),
        (Setting::RuleNetMm, "irrigation.net_depth_per_event_mm"),
    ] {
        block.water.set(setting, Some(number(&run, place)));
    }
    let text = |place: &str| run["irrigation"][place].as_str().unwrap().to_owned();
    block.water.set(Setting::RuleFirstMonthDay, Some(month_day(&text("first_allowed"))));
    block.water.set(Setting::RuleLastMonthDay, Some(month_day(&text("last_allowed"))));
    block.water.set(Setting::GrowthStartMonth, Some(4.0));
    block.water.set(Setting::GrowthStartDay, Some(1.0));
    block
}

pub(super) fn weather_day(row: &Row) -> WeatherDay {
    WeatherDay {
        date: date(row),
        t_max: None,
        t_min: None,
        rain: Millimetres::new(row.number("rain_mm")),
        runoff: None,
        eto: Millimetres::new(row.number("ETo_mm")),
        solar: None,
        sunshine_hours: None,
        wind: MetresPerSecond::new(row.number("u2_m_per_s")),
        wind_height_m: None,
        rh_max_pct: None,
        rh_min_pct: Some(row.number("RHmin_pct")),
        vapour_pressure_kpa: None,
        dew_point: None,
        note: String::new(),
    }
}

fn canopy_day(row: &Row) -> CanopyDay {
    CanopyDay {
        date: date(row),
        kcb: Some(row.number("Kcb")),
        ground_cover: Some(row.number("fc")),
        height_m: None,
        root_depth_m: None,
        note: String::new(),
    }
}

fn mulch() -> MulchApplication {
    let share = number(&toml(&file("parameters.toml")), "mulch.organic_cover_pct_of_soil_surface");
    MulchApplication {
        date: NaiveDate::from_ymd_opt(2022, 4, 1).unwrap(),
        material: "wood chips".into(),
        kind: MulchKind::Organic,
        depth: Inches::of(4.0),
        shape: MulchShape::SharePct(share),
        clear_radius: Inches::of(12.0),
        life: Years::whole(2).unwrap(),
        material_cost: None,
        delivery_cost: None,
        spreading_cost: None,
        note: String::new(),
    }
}

/// The records of the season: weather, canopy by day, mulch, and the sets of a daily file.
pub(crate) fn records(block: Block, sets_of: Option<&str>) -> SeasonRecords {
    let inputs = table(&file("daily_inputs.csv"));
    let sets = sets_of.map(|name| table(&file(name))).unwrap_or_default();
    let set = |row: &Row| {
        let mm = row.number("irrigation_gross_mm");
        let applied = Applied::Depth(Inches::of(mm / MM_PER_INCH));
        (mm > 0.0).then(|| IrrigationSet { date: date(row), applied, note: String::new() })
    };
    SeasonRecords {
        irrigation: kept(sets.iter().filter_map(set)),
        weather: kept(inputs.iter().map(weather_day)),
        canopy: kept(inputs.iter().map(canopy_day)),
        mulch: kept([mulch()]),
        ..SeasonRecords::without_records(
            "Test Orchards".into(),
            Farm::default(),
            block,
            Season {
                year: 2022,
                first_day: NaiveDate::from_ymd_opt(2022, 1, 1).unwrap(),
                last_day: NaiveDate::from_ymd_opt(2022, 12, 31).unwrap(),
                state: SeasonState::Open,
            },
        )
    }
}
