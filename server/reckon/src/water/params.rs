//! From settings to what the run takes.

use chrono::{Datelike, Days, NaiveDate};

use crate::block::MonthDay;

use super::canopy::Stages;
use super::daily::{MulchRule, Order, Params, Rule};
use super::resolve::Resolved;
use super::setup::Setting;

impl Params {
    /// The parameters of a block whose roots reach this deep on the first day.
    pub fn of(resolved: &Resolved, first_root_depth_m: f64) -> Self {
        let number = |setting| resolved.number(setting);
        let field_capacity = number(Setting::FieldCapacity);
        // A wilting point at or above field capacity leaves a hair of water, not a division by zero.
        let available_mm_per_m = 1000.0 * (field_capacity - number(Setting::WiltingPoint)).max(1e-3);
        let taw = available_mm_per_m * first_root_depth_m;
        let moist = |moisture: f64| 1000.0 * (field_capacity - moisture) * first_root_depth_m;
        let depletion = resolved
            .value(Setting::InitialDepletionMm)
            .or_else(|| resolved.value(Setting::InitialMoisture).map(moist))
            .unwrap_or(0.0);
        Self {
            available_mm_per_m,
            p: number(Setting::DepletionFraction),
            p_follows_etc: resolved.is_on(Setting::DepletionFractionFollowsEtc),
            tew_mm: number(Setting::TewMm),
            rew_mm: number(Setting::RewMm),
            initial_depletion_mm: depletion.clamp(0.0, taw.max(0.0)),
            initial_surface_depletion_mm: number(Setting::InitialSurfaceDepletionMm),
            initial_fw: number(Setting::InitialWettedFraction),
            fw: number(Setting::WettedFraction),
            fw_shaded: resolved.is_on(Setting::WettedFractionShaded),
            efficiency: efficiency(resolved),
            rain_wets_all_mm: number(Setting::RainWetsAllMm),
            rain_with_irrigation_wets_all: resolved.is_on(Setting::RainWithIrrigationWetsAll),
            capillary_rise_mm: number(Setting::CapillaryRiseMm),
            light_rain_of_eto: number(Setting::LightRainOfEto),
            mulch: mulch_rule(resolved),
            order: if resolved.is_on(Setting::WettingFirst) { Order::WettingFirst } else { Order::EvaporationFirst },
            rule: rule(resolved),
        }
    }
}

fn mulch_rule(resolved: &Resolved) -> MulchRule {
    MulchRule {
        organic: resolved.number(Setting::MulchReductionPct) / 100.0,
        plastic_kcb: resolved.number(Setting::PlasticKcbReductionPct) / 100.0,
        over_wetted_first: resolved.is_on(Setting::MulchOverWettedFirst),
    }
}

/// Application efficiency, 0 to 1.
fn efficiency(resolved: &Resolved) -> f64 {
    (resolved.number(Setting::ApplicationEfficiencyPct) / 100.0).clamp(0.1, 1.0)
}

fn rule(resolved: &Resolved) -> Rule {
    let (first, last) = growing_days(resolved).unwrap_or((101, 1231));
    let gross = resolved.value(Setting::RuleGrossMm).map(|gross| gross * efficiency(resolved));
    Rule {
        depletion_mm: resolved.value(Setting::RuleDepletionMm),
        of_raw: resolved.value(Setting::RuleDepletionOfRaw),
        of_taw: resolved.value(Setting::RuleDepletionOfTaw),
        net_mm: resolved.value(Setting::RuleNetMm).or(gross),
        window: (
            whole(resolved.value(Setting::RuleFirstMonthDay)).unwrap_or(first),
            whole(resolved.value(Setting::RuleLastMonthDay)).unwrap_or(last),
        ),
    }
}

/// First and last day of the curve in a year without a leap day, as month x 100 + day.
fn growing_days(resolved: &Resolved) -> Option<(u32, u32)> {
    let first = growth_start(resolved)?.in_year(2025)?;
    let length = whole(Some(stages(resolved).total()))?;
    let last = first.checked_add_days(Days::new(u64::from(length.saturating_sub(1).min(364))))?;
    let number = |day: NaiveDate| day.month() * 100 + day.day();
    Some((number(first), number(last)))
}

/// First day of the curve. A day its month does not have falls back to the first of the month.
pub(crate) fn growth_start(resolved: &Resolved) -> Option<MonthDay> {
    let month = whole(resolved.value(Setting::GrowthStartMonth))?;
    let day = whole(resolved.value(Setting::GrowthStartDay))?;
    MonthDay::new(month, day).or_else(|| MonthDay::new(month, 1))
}

/// Lengths of the stages.
pub(crate) fn stages(resolved: &Resolved) -> Stages {
    Stages {
        initial: resolved.number(Setting::InitialDays),
        development: resolved.number(Setting::DevelopmentDays),
        mid: resolved.number(Setting::MidDays),
        late: resolved.number(Setting::LateDays),
    }
}

/// The whole number a setting stands for.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "ranges are checked at intake, clamped")]
pub(crate) fn whole(value: Option<f64>) -> Option<u32> {
    value.map(|number| libm::round(number).clamp(0.0, 10_000.0) as u32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::Block;

    #[test]
    fn the_rule_irrigates_while_the_curve_runs_unless_told() {
        let mut block = Block { crop: "peach".into(), ..Block::default() };
        let window = |block: &Block| Params::of(&Resolved::of(block), 1.0).rule.window;
        // 240 days from 1 March.
        assert_eq!(window(&block), (301, 1026));
        block.water.set(Setting::RuleFirstMonthDay, Some(420.0));
        assert_eq!(window(&block), (420, 1026));
        block.water.set(Setting::GrowthStartMonth, Some(9.0));
        assert_eq!(window(&block), (420, 428));
    }

    #[test]
    fn moisture_on_the_first_morning_is_a_depletion_of_the_roots() {
        let mut block = Block::default();
        block.water.set(Setting::FieldCapacity, Some(0.23));
        block.water.set(Setting::WiltingPoint, Some(0.10));
        block.water.set(Setting::InitialMoisture, Some(0.21));
        let params = Params::of(&Resolved::of(&block), 1.0);
        assert!((params.initial_depletion_mm - 20.0).abs() < 1e-9);
        assert!((params.available_mm_per_m - 130.0).abs() < 1e-9);
        block.water.set(Setting::InitialDepletionMm, Some(500.0));
        let dry = Params::of(&Resolved::of(&block), 1.0);
        assert!((dry.initial_depletion_mm - 130.0).abs() < 1e-9, "no drier than wilting point");
    }
}
