//! Labor, thinning, water and mulch as JSON.

use reckon::season::{
    AppliedPart, EtoSource, LaborMeasure, LaborSeason, MethodPass, MethodTaken, MulchLaid, MulchSaving, MulchSeason,
    Saving, TensionPoint, ThinningSeason, WaterSeason, WaterWeek,
};
use reckon::thinning::guides::Guide;
use reckon::water::advice::WaterAdvice;
use reckon::water::metered::{Comparison, MeteredSaving};
use reckon::water::months::{RainCheck, WaterMonth};
use serde_json::{Map, Value, json};

use super::figure::{Writer, number};
use crate::words;

pub(super) fn labor(w: Writer, season: &LaborSeason) -> Value {
    let tasks =
        season.tasks.iter().map(|task| with(labor_measure(w, &task.measure), [("name", task.task.word().into())]));
    json!({
        "entries": season.entries,
        "all": labor_measure(w, &season.all),
        "tasks": tasks.collect::<Value>(),
        "thinning": season.thinning.as_ref().map(|all| labor_measure(w, all)),
        "passes": season.passes.iter().map(|one| pass(w, one)).collect::<Value>(),
        "cost_per_thousand_removed": w.maybe(season.cost_per_thousand_removed.as_ref(), Writer::price),
        "thinning_cost_per_box": w.maybe(season.thinning_cost_per_box.as_ref(), Writer::price),
    })
}

fn labor_measure(w: Writer, labor: &LaborMeasure) -> Value {
    json!({
        "entries": labor.entries,
        "hours": w.maybe(labor.hours.as_ref(), Writer::exact),
        "overtime": w.maybe(labor.overtime.as_ref(), Writer::exact),
        "cost": w.money(&labor.cost),
        "trees": w.maybe(labor.trees.as_ref(), Writer::measure),
        "cost_per_tree": w.maybe(labor.cost_per_tree.as_ref(), Writer::price),
        "hours_per_tree": w.maybe(labor.hours_per_tree.as_ref(), Writer::measure),
        "cost_per_acre": w.maybe(labor.cost_per_acre.as_ref(), Writer::price),
        "hours_per_acre": w.maybe(labor.hours_per_acre.as_ref(), Writer::measure),
        "cost_per_thousand_removed": w.maybe(labor.cost_per_thousand.as_ref(), Writer::price),
        "hours_per_thousand_removed": w.maybe(labor.hours_per_thousand.as_ref(), Writer::measure),
        "trees_are": labor.trees_from.map(words::trees_from),
    })
}

fn pass(w: Writer, pass: &MethodPass) -> Value {
    let (first, last) = pass.days;
    with(
        labor_measure(w, &pass.measure),
        [
            ("name", words::pass_and_method(pass.pass, pass.method).into()),
            ("method", pass.method.map(reckon::records::ThinningMethod::word).into()),
            ("pass", pass.pass.into()),
            ("first_day", first.to_string().into()),
            ("last_day", last.to_string().into()),
        ],
    )
}

pub(super) fn thinning(w: Writer, season: &ThinningSeason) -> Value {
    json!({
        "samples": season.samples,
        "removed": w.maybe(season.removed.as_ref(), Writer::measure),
        "removed_standard_error": w.maybe(season.removed_standard_error.as_ref(), Writer::measure),
        "whole_trees": season.whole_trees,
        "samples_remarks": season.samples_say(),
        "before_standard_error": w.maybe(season.before_standard_error.as_ref(), Writer::measure),
        "before_per_tree": w.maybe(season.before_per_tree.as_ref(), Writer::measure),
        "left_per_tree": w.maybe(season.left_per_tree.as_ref(), Writer::measure),
        "removed_in_block": w.maybe(season.removed_in_block.as_ref(), Writer::measure),
        "removed_in_block_standard_error": w.maybe(season.removed_in_block_standard_error.as_ref(), Writer::measure),
        "trees_to_count": w.maybe(season.trees_to_count.as_ref(), Writer::measure),
        "spacing": w.maybe(season.spacing.as_ref(), Writer::measure),
        "spacing_standard_error": w.maybe(season.spacing_standard_error.as_ref(), Writer::measure),
        "left_standard_error": w.maybe(season.left_standard_error.as_ref(), Writer::measure),
        "expected_crop": w.maybe(season.crop.as_ref(), Writer::measure),
        "expected_crop_standard_error": w.maybe(season.crop_standard_error.as_ref(), Writer::measure),
        "target": season.target.as_ref().map(|wanted| w.measure(&wanted.figure)),
        "target_from": season.target.as_ref().map(|wanted| wanted.from.source()),
        "left_of_target": w.maybe(season.left_of_target.as_ref(), Writer::measure),
        "target_spacing": season.target_spacing.as_ref().map(|wanted| w.measure(&wanted.figure)),
        "target_spacing_from": season.target_spacing.as_ref().map(|wanted| wanted.from.source()),
        "spacing_of_target": w.maybe(season.spacing_of_target.as_ref(), Writer::measure),
        "published_guides": season.guides.iter().map(|one| guide(one)).collect::<Value>(),
        "fruit_diameter": w.maybe(season.diameter.as_ref(), Writer::measure),
        "by_method": season.by_method.iter().map(|taken| by_method(w, taken)).collect::<Value>(),
    })
}

fn by_method(w: Writer, taken: &MethodTaken) -> Value {
    json!({
        "method": taken.method.word(),
        "samples": taken.samples,
        "removed": w.measure(&taken.removed),
        "removed_per_tree": w.maybe(taken.per_tree.as_ref(), Writer::measure),
    })
}

/// Ends in inches, or fruit on a lateral; with the guide's own words and source.
fn guide(guide: &Guide) -> Value {
    let ends = guide.inches().map(|(low, high)| (number(low.get()), number(high.get())));
    json!({
        "name": guide.words(),
        "low_in": ends.as_ref().map(|(low, _)| low),
        "high_in": ends.as_ref().map(|(_, high)| high),
        "source": guide.source.words(),
    })
}

pub(super) fn water(w: Writer, season: &WaterSeason) -> Value {
    json!({
        "sets": season.sets,
        "applied": w.maybe(season.applied.as_ref(), Writer::measure),
        "applied_depth": w.maybe(season.applied_depth.as_ref(), Writer::measure),
        "applied_per_tree": w.maybe(season.applied_per_tree.as_ref(), Writer::measure),
        "parts": season.parts.iter().map(|one| part(w, one)).collect::<Value>(),
        "cost": w.maybe(season.cost.as_ref(), Writer::money),
        "first_day": season.span.map(|(first, _)| first.to_string()),
        "last_day": season.span.map(|(_, last)| last.to_string()),
        "eto_sources": season.eto_sources.iter().map(eto_source).collect::<Value>(),
        "eto": w.maybe(season.eto.as_ref(), Writer::measure),
        "need": w.maybe(season.need.as_ref(), Writer::measure),
        "used": w.maybe(season.used.as_ref(), Writer::measure),
        "rain": w.maybe(season.rain.as_ref(), Writer::measure),
        "rain_kept": w.maybe(season.rain_kept.as_ref(), Writer::measure),
        "drained": w.maybe(season.drained.as_ref(), Writer::measure),
        "met": w.maybe(season.met.as_ref(), Writer::measure),
        "applied_of_need": w.maybe(season.applied_of_need.as_ref(), Writer::measure),
        "weeks": season.weeks.iter().map(week).collect::<Value>(),
        "months": season.months.iter().map(month).collect::<Value>(),
        "rain_check": season.rain_check.as_ref().map(|check| rain_check(w, check)),
        "tension": season.tension.iter().map(tension).collect::<Value>(),
        "mulch_saving": season.saving.as_ref().map(|saving| mulch_saving(w, saving)),
        "metered_saving": season.metered_saving.as_ref().map(|saving| metered_saving(w, saving)),
        "advice": season.advice.as_ref().map(|said| advice(w, said)),
    })
}

fn part(w: Writer, part: &AppliedPart) -> Value {
    json!({ "name": part.volume.evidence.word(), "volume": w.measure(&part.volume), "sets": part.sets })
}

fn eto_source((source, days): &(EtoSource, usize)) -> Value {
    json!({ "source": words::eto_source(*source), "days": days })
}

fn week(week: &WaterWeek) -> Value {
    json!({
        "starts": week.starts.to_string(),
        "days": week.days,
        "need_in": number(week.need.get()),
        "need_bare_in": number(week.need_bare.get()),
        "applied_in": number(week.applied.get()),
        "rain_in": number(week.rain.get()),
        "rain_kept_in": number(week.rain_kept.get()),
        "drained_in": number(week.drained.get()),
        "depletion_in": number(week.depletion.get()),
    })
}

fn tension(point: &TensionPoint) -> Value {
    json!({
        "date": point.date.to_string(),
        "depth_in": number(point.depth.get()),
        "tension_kpa": number(point.tension.get()),
        "says": point.band.word(),
        "depletion_in": point.depletion.map(|depth| number(depth.get())),
    })
}

fn month(month: &WaterMonth) -> Value {
    json!({
        "starts": month.starts.to_string(),
        "days": month.days,
        "need_in": number(month.need.get()),
        "rain_in": number(month.rain.get()),
        "rain_kept_in": number(month.rain_kept.get()),
        "effective_rain_in": month.effective_rain.map(|depth| number(depth.get())),
    })
}

fn rain_check(w: Writer, check: &RainCheck) -> Value {
    json!({ "months": check.months, "kept": w.measure(&check.kept), "by_formula": w.measure(&check.by_formula) })
}

fn metered_saving(w: Writer, saving: &MeteredSaving) -> Value {
    let comparison =
        |one: &Comparison| json!({ "name": one.label, "applied_of_need_pct": number(one.applied_of_need.get()) });
    json!({
        "own": w.measure(&saving.own),
        "bare": w.measure(&saving.bare),
        "comparisons": saving.comparisons.iter().map(comparison).collect::<Value>(),
        "less_applied": w.measure(&saving.less_applied),
        "depth": w.measure(&saving.depth),
        "gallons": w.measure(&saving.gallons),
        "applied_is": saving.applied_evidence.word(),
    })
}

fn advice(w: Writer, advice: &WaterAdvice) -> Value {
    json!({
        "on": advice.on.to_string(),
        "left": w.measure(&advice.left),
        "left_share": w.measure(&advice.left_share),
        "before_stress": w.measure(&advice.before_stress),
        "daily_need": w.measure(&advice.daily_need),
        "next_set": advice.next_set.as_ref().map(|set| json!({
            "date": set.date.to_string(),
            "net": w.measure(&set.net),
            "gross": w.measure(&set.gross),
            "gallons": w.measure(&set.gallons),
            "hours": set.hours.map(number),
        })),
        "sentences": advice.sentences,
    })
}

fn mulch_saving(w: Writer, saving: &MulchSaving) -> Value {
    let (low, high) = saving.kept_range;
    json!({
        "evaporation_avoided": one_saving(w, &saving.avoided),
        "kept": one_saving(w, &saving.kept),
        "kept_low_in": number(low.get()),
        "kept_high_in": number(high.get()),
        "range_of_mulch_pct": number(saving.range_of.0.get()),
        "range_of_soil_pct": number(saving.range_of.1.get()),
        "irrigation_not_needed": one_saving(w, &saving.not_needed),
        "extra_drained": w.measure(&saving.extra_drained),
        "covered": w.measure(&saving.covered),
    })
}

fn one_saving(w: Writer, saving: &Saving) -> Value {
    json!({
        "depth": w.measure(&saving.depth),
        "acre_inches_per_acre": w.measure(&saving.acre_inches_per_acre),
        "acre_inches": w.measure(&saving.acre_inches),
        "gallons": w.measure(&saving.gallons),
        "gallons_per_tree": w.maybe(saving.gallons_per_tree.as_ref(), Writer::measure),
        "worth": w.maybe(saving.worth.as_ref(), Writer::money),
        "share_of_need": w.maybe(saving.share_of_need.as_ref(), Writer::measure),
    })
}

pub(super) fn mulch(w: Writer, season: &MulchSeason) -> Value {
    json!({
        "laid": season.laid.iter().map(|one| laid(w, one)).collect::<Value>(),
        "season_cost": w.maybe(season.season_cost.as_ref(), Writer::money),
        "cost_over_value": w.maybe(season.cost_over_value.as_ref(), Writer::measure),
        "seasons_to_pay_back": w.maybe(season.payback.as_ref(), Writer::measure),
    })
}

fn laid(w: Writer, laid: &MulchLaid) -> Value {
    json!({
        "name": format!("{} {}", laid.date, laid.material),
        "date": laid.date.to_string(),
        "material": laid.material,
        "depth_in": number(laid.depth.get()),
        "depth_left_in": number(laid.depth_left.get()),
        "covered": w.maybe(laid.covered.as_ref(), Writer::measure),
        "covered_share": w.maybe(laid.covered_share.as_ref(), Writer::measure),
        "volume": w.maybe(laid.volume.as_ref(), Writer::measure),
        "cost": w.maybe(laid.cost.as_ref(), Writer::money),
        "season_cost": w.maybe(laid.season_cost.as_ref(), Writer::money),
        "life_years": number(laid.life.as_f64()),
        "seasons_to_pay_back": w.maybe(laid.payback.as_ref(), Writer::measure),
    })
}

/// An object with more entries.
pub(super) fn with<const N: usize>(object: Value, more: [(&str, Value); N]) -> Value {
    let mut map = match object {
        Value::Object(map) => map,
        _ => Map::new(),
    };
    map.extend(more.map(|(key, value)| (key.to_owned(), value)));
    Value::Object(map)
}
