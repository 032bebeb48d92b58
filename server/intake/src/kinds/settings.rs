//! The settings of the water balance as columns: label and example; name, range and sentence are
//! reckon's own list.

use reckon::block::MonthDay;
use reckon::water::setup::{Setting, SettingInfo, WaterSetup};

use crate::column::{Column, number};
use crate::row::{Row, from};

/// How a setting is typed.
enum Shape {
    /// Any number in its range.
    Number,
    /// A whole number in its range; switches are 0 or 1.
    Whole,
    /// Month x 100 + day.
    MonthDay,
}

pub(crate) fn column(info: &SettingInfo) -> Column {
    let (label, unit, example) = label(info.setting);
    number(info.name, label, unit, info.about, example)
}

pub(crate) fn read(row: &mut Row<'_>, info: &SettingInfo) -> Option<f64> {
    let bounds = from(info.low).up_to(info.high);
    match shape(info.setting) {
        Shape::Number => row.float(info.name, bounds),
        Shape::Whole => row.whole(info.name, bounds).map(f64::from),
        Shape::MonthDay => {
            let day = row.whole(info.name, bounds)?;
            if MonthDay::new(day / 100, day % 100).is_none() {
                row.problem(info.name, "a day of the year as month x 100 + day");
            }
            Some(f64::from(day))
        }
    }
}

/// The start of the curve is a day, in two columns.
pub(super) fn check_growth_start(row: &mut Row<'_>, water: &WaterSetup) {
    let (month, day) = (water.get(Setting::GrowthStartMonth), water.get(Setting::GrowthStartDay));
    match (month, day) {
        (Some(month), Some(day)) if !is_a_day(month, day) => {
            row.problem("growth_start_day", format!("a day of month {month}"));
        }
        (Some(_), None) => row.need("growth_start_day", "a day too, as growth_start_month is filled"),
        (None, Some(_)) => row.need("growth_start_month", "a month too, as growth_start_day is filled"),
        _ => {}
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole numbers from 1 to 31, checked")]
fn is_a_day(month: f64, day: f64) -> bool {
    MonthDay::new(month as u32, day as u32).is_some()
}

const fn shape(setting: Setting) -> Shape {
    match setting {
        Setting::DepletionFractionFollowsEtc
        | Setting::KcbClimateAdjustment
        | Setting::CurveFirstDay
        | Setting::InitialDays
        | Setting::DevelopmentDays
        | Setting::MidDays
        | Setting::LateDays
        | Setting::GrowthStartMonth
        | Setting::GrowthStartDay
        | Setting::GroundCover
        | Setting::KillingFrost
        | Setting::FillMissingWeather
        | Setting::MulchOverWettedFirst
        | Setting::WettedFractionShaded
        | Setting::WettingFirst
        | Setting::RainWithIrrigationWetsAll => Shape::Whole,
        Setting::RuleFirstMonthDay
        | Setting::RuleLastMonthDay
        | Setting::RunFirstMonthDay
        | Setting::RunLastMonthDay => Shape::MonthDay,
        _ => Shape::Number,
    }
}

/// Label, unit, example.
const fn label(setting: Setting) -> (&'static str, &'static str, &'static str) {
    match setting {
        Setting::FieldCapacity => ("Field capacity", "m³/m³", "0.25"),
        Setting::WiltingPoint => ("Wilting point", "m³/m³", "0.12"),
        Setting::InitialMoisture => ("Water on the first morning", "m³/m³", "0.22"),
        Setting::InitialDepletionMm => ("Depletion on the first morning", "mm", "20"),
        Setting::RootDepthM => ("Root depth", "m", "1.2"),
        Setting::DepletionFraction => ("Depletion without stress", "share", "0.5"),
        Setting::DepletionFractionFollowsEtc => ("Depletion follows need", "0 or 1", "1"),
        Setting::SurfaceDepthM => ("Surface layer", "m", "0.1"),
        Setting::RewMm => ("Readily evaporable water", "mm", "9"),
        Setting::TewMm => ("Total evaporable water", "mm", "19"),
        Setting::InitialSurfaceDepletionMm => ("Surface depletion, first morning", "mm", "10"),
        Setting::InitialWettedFraction => ("Wetted share before the first set", "share", "1"),
        Setting::KcbIni => ("Kcb, initial stage", "", "0.35"),
        Setting::KcbMid => ("Kcb, mid stage", "", "0.85"),
        Setting::KcbEnd => ("Kcb, end", "", "0.6"),
        Setting::KcbClimateAdjustment => ("Adjust Kcb to climate", "0 or 1", "1"),
        Setting::CurveFirstDay => ("First day of the curve", "0 or 1", "1"),
        Setting::InitialDays => ("Initial stage", "days", "20"),
        Setting::DevelopmentDays => ("Development stage", "days", "70"),
        Setting::MidDays => ("Mid stage", "days", "90"),
        Setting::LateDays => ("Late stage", "days", "30"),
        Setting::GrowthStartMonth => ("Curve starts, month", "", "4"),
        Setting::GrowthStartDay => ("Curve starts, day", "", "1"),
        Setting::HeightM => ("Height of the trees", "m", "3"),
        Setting::CoverIni => ("Canopy cover, initial stage", "share", "0.1"),
        Setting::CoverMid => ("Canopy cover, mid stage", "share", "0.6"),
        Setting::CoverEnd => ("Canopy cover, end", "share", "0.5"),
        Setting::KcMin => ("Kc of dry bare soil", "", "0.15"),
        Setting::GroundCover => ("Living ground cover", "0 or 1", "0"),
        Setting::WettedFraction => ("Surface wetted by irrigation", "share", "0.35"),
        Setting::WettedFractionShaded => ("Wetted share cut by shade", "0 or 1", "0"),
        Setting::ApplicationEfficiencyPct => ("Application efficiency", "%", "90"),
        Setting::RainWetsAllMm => ("Rain that wets all", "mm", "3"),
        Setting::WettingFirst => ("Wetting before evaporation", "0 or 1", "1"),
        Setting::RainWithIrrigationWetsAll => ("Rain on an irrigation day wets all", "0 or 1", "1"),
        Setting::CapillaryRiseMm => ("Capillary rise", "mm/day", "0"),
        Setting::RuleDepletionMm => ("Rule: irrigate above depletion", "mm", "40"),
        Setting::RuleDepletionOfRaw => ("Rule: share of readily available", "share", "1"),
        Setting::RuleNetMm => ("Rule: net depth of a set", "mm", "25"),
        Setting::RuleFirstMonthDay => ("Rule: first day", "MMDD", "420"),
        Setting::RuleLastMonthDay => ("Rule: last day", "MMDD", "930"),
        Setting::RootDepthMinM => ("Root depth at first", "m", "0.4"),
        Setting::KcbDormant => ("Kcb outside the curve", "", "0.15"),
        Setting::KillingFrost => ("Killing frost", "0 or 1", "1"),
        Setting::HeightMinM => ("Height at first", "m", "1"),
        Setting::KcMaxBase => ("Upper limit of Kc", "", "1.2"),
        Setting::LightRainOfEto => ("Light rain left out below", "share of ETo", "0.2"),
        Setting::RunFirstMonthDay => ("Balance: first day", "MMDD", "301"),
        Setting::RunLastMonthDay => ("Balance: last day", "MMDD", "1031"),
        Setting::FillMissingWeather => ("Estimate what the station lacks", "0 or 1", "0"),
        Setting::RadiationFromRange => ("Radiation from the temperature range", "", "0.16"),
        Setting::DewBelowLowC => ("Dew point below the low", "°C", "2"),
        Setting::RuleDepletionOfTaw => ("Rule: share of total available", "share", "0.4"),
        Setting::RuleGrossMm => ("Rule: gross depth of a set", "mm", "28"),
        Setting::MulchReductionPct => ("Evaporation cut by full organic cover", "%", "50"),
        Setting::MulchFullDepthIn => ("Depth of full effect", "in", "2"),
        Setting::MulchOverWettedFirst => ("Mulch on the wetted strip first", "0 or 1", "0"),
        Setting::MulchSettlingInPerYear => ("Yearly settling of mulch", "in", "1"),
        Setting::PlasticKcbReductionPct => ("Kcb cut by full plastic cover", "%", "10"),
        Setting::MulchInterestPct => ("Interest in the cost of mulch", "%", "5"),
        Setting::EvaporationUncertaintyPct => ("Uncertainty of evaporable water", "%", "15"),
        Setting::MulchUncertaintyPct => ("Uncertainty of the mulch rule", "%", "50"),
    }
}
