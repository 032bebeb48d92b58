//! A block season as JSON: every figure with its unit, its evidence and the records behind it.
//!
//! Keys are sorted, so the same season gives the same bytes. A figure that could not be made is
//! null; `gaps` says why.

mod comparison;
mod earnings;
mod figure;
mod operation;
mod weeks;
mod work;

use reckon::block::{Block, Farm, NeedsPollinizer, Season, SeasonState};
use reckon::figure::Gap;
use reckon::records::Observation;
use reckon::season::{BlockSeason, HowReckoned};
use serde_json::{Value, json};

use crate::fingerprint::fingerprint;
use crate::{headline, words};
pub use comparison::{comparison, judged_by, method_table};
use figure::Writer;
pub use operation::operation;
pub(crate) use operation::operation_body;
pub use weeks::crew_weeks;

/// The whole season, with its fingerprint.
pub fn block_season(season: &BlockSeason) -> Value {
    work::with(body(season, true), [("fingerprint", fingerprint(season).to_string().into())])
}

/// The whole season without its fingerprint, with or without naming the records behind each figure.
pub(crate) fn body(season: &BlockSeason, records: bool) -> Value {
    let w = Writer { records };
    json!({
        "operation": season.heading.operation,
        "farm": farm(&season.heading.farm),
        "block": block(&season.heading.block),
        "season": of_year(&season.heading.season),
        "records_read": season.heading.records,
        "headline": headlines(w, season),
        "labor": work::labor(w, &season.labor),
        "thinning": work::thinning(w, &season.thinning),
        "water": work::water(w, &season.water),
        "mulch": work::mulch(w, &season.mulch),
        "packout": earnings::packout(w, &season.packout),
        "statement": earnings::statement(w, &season.statement),
        "observations": season.observations.iter().map(observation).collect::<Value>(),
        "gaps": season.gaps.iter().map(|one| gap(w, one)).collect::<Value>(),
        "how": season.how.iter().map(how).collect::<Value>(),
    })
}

fn headlines(w: Writer, season: &BlockSeason) -> Value {
    json!({
        "thinning_labor_per_tree": w.maybe(headline::thinning(season), Writer::price),
        "kept_by_mulch_per_acre": w.maybe(headline::kept(season), Writer::measure),
        "net_price_per_pound": w.maybe(season.packout.net_per_pound.as_ref(), Writer::price),
        "net_price_per_box": w.maybe(season.packout.net_per_box.as_ref(), Writer::price),
        "return_per_acre": w.maybe(headline::return_per_acre(season).as_ref(), Writer::price),
    })
}

fn farm(farm: &Farm) -> Value {
    json!({
        "name": farm.name,
        "place": farm.place,
        "station": farm.station,
        "station_miles": farm.station_miles,
        "latitude_deg": farm.latitude_deg,
        "elevation_m": farm.elevation_m,
        "time_zone": farm.time_zone,
    })
}

fn block(block: &Block) -> Value {
    json!({
        "code": block.code,
        "crop": block.crop,
        "variety": block.variety,
        "planted_year": block.planted_year,
        "acres": figure::number(block.acres.as_f64()),
        "trees": block.trees,
        "row_spacing_ft": block.row_spacing.map(|feet| figure::number(feet.get())),
        "tree_spacing_ft": block.tree_spacing.map(|feet| figure::number(feet.get())),
        "emitter": block.emitter.word(),
        "emitters_per_tree": block.emitters_per_tree,
        "emitter_flow_gph": block.emitter_flow.map(|flow| figure::number(flow.get())),
        "ripening_from": block.ripening.map(|(from, _)| from.to_string()),
        "ripening_to": block.ripening.map(|(_, to)| to.to_string()),
        "rows": block.rows,
        "needs_pollinizer": block.needs_pollinizer.map(NeedsPollinizer::word),
        "pollinizer": block.pollinizer,
        "pollinizer_trees": block.pollinizer_trees,
        "target_fruit_per_tree": block.target_fruit.map(|fruit| figure::number(fruit.get())),
        "soil": block.water.soil.map(reckon::water::setup::Soil::word),
        "water_settings": block.water.values().map(|(info, value)| (info.name.to_owned(), figure::number(value)))
            .collect::<serde_json::Map<_, _>>(),
    })
}

fn of_year(season: &Season) -> Value {
    let state = match season.state {
        SeasonState::Open => "open",
        SeasonState::Closed => "closed",
    };
    json!({
        "year": season.year,
        "first_day": season.first_day.to_string(),
        "last_day": season.last_day.to_string(),
        "state": state,
    })
}

fn observation(seen: &Observation) -> Value {
    json!({
        "date": seen.date.to_string(),
        "what": seen.what,
        "share_pct": seen.share_pct,
        "note": seen.note,
    })
}

fn gap(w: Writer, gap: &Gap) -> Value {
    let mut whole = json!({
        "about": words::about(gap.about).to_lowercase(),
        "weight": words::weight(gap.weight),
        "what": gap.what,
        "mend": gap.mend,
    });
    if let (true, Value::Object(map)) = (w.records, &mut whole) {
        map.insert("records".to_owned(), Writer::names(&gap.records));
    }
    whole
}

fn how(how: &HowReckoned) -> Value {
    json!({ "id": how.id, "title": how.title, "formula": how.formula, "source": how.source })
}

#[cfg(test)]
mod tests;
