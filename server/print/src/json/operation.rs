//! The season of an operation as JSON: every figure of its printed report and its spreadsheet.

use reckon::operation_season::{CropSeason, FarmSeason, OperationSeason, SharedAmong};
use reckon::overview::{Difference, Facts, Overview, Ranked};
use reckon::schedule::{SALES, ScheduleF, ScheduleLine};
use reckon::season::{BlockSeason, Statement};
use reckon::sharing::{Ledger, Sums};
use serde_json::{Value, json};

use super::figure::{Writer, number};
use super::{comparison, earnings, gap, how, of_year, work};
use crate::fingerprint::{fingerprint, operation_fingerprint};

/// The whole season of an operation, with its fingerprint.
pub fn operation(season: &OperationSeason) -> Value {
    work::with(operation_body(season, true), [("fingerprint", operation_fingerprint(season).to_string().into())])
}

/// The same without its fingerprint, with or without naming the records behind each figure.
pub(crate) fn operation_body(season: &OperationSeason, records: bool) -> Value {
    let w = Writer { records };
    json!({
        "operation": season.operation,
        "whole": season.whole,
        "season": of_year(&season.season),
        "acres": season.acres.to_string(),
        "overview": overview(&season.overview),
        "last_year": season.last_year,
        "farms": season.farms.iter().map(|one| farm(w, one)).collect::<Value>(),
        "statement": earnings::statement(w, &season.statement),
        "unallocated": season.unallocated.to_string(),
        "return_after_unallocated": season.after_unallocated.to_string(),
        "costs_by_group": ledger(&season.ledger),
        "shared_costs": season.shared.iter().map(shared).collect::<Value>(),
        "shared_by_block": season.shared_by_block.iter()
            .map(|(block, amount)| json!({ "block": block, "amount": amount.to_string() })).collect::<Value>(),
        "schedule_f": form(&season.schedule, &season.statement),
        "crops": season.crops.iter().map(|one| crop(w, one)).collect::<Value>(),
        "thinning": comparison(&season.thinning),
        "blocks": season.blocks.iter().map(|one| block(w, one)).collect::<Value>(),
        "how": season.how.iter().map(how).collect::<Value>(),
    })
}

fn overview(overview: &Overview) -> Value {
    json!({
        "median": overview.median.as_ref().map(facts),
        "ranked": overview.ranked.iter().map(ranked).collect::<Value>(),
    })
}

fn ranked(ranked: &Ranked) -> Value {
    json!({
        "place": ranked.place,
        "facts": facts(&ranked.facts),
        "against_median": ranked.against_median.as_ref().map(difference),
        "against_last": ranked.against_last.as_ref().map(difference),
    })
}

/// For each acre; dollars as strings of plain digits.
fn facts(facts: &Facts) -> Value {
    json!({
        "code": facts.code,
        "return_over_all_costs": facts.over_all.to_string(),
        "net_to_grower": facts.net.to_string(),
        "yield_lb": facts.yield_lb.map(|pounds| pounds.to_string()),
        "price": facts.price.map(|price| price.to_string()),
        "labor": facts.labor.to_string(),
        "water": facts.water.to_string(),
        "other_costs": facts.other.to_string(),
        "applied_in": facts.applied.map(|depth| number(depth.get())),
    })
}

fn difference(found: &Difference) -> Value {
    let cause = |cause: &reckon::overview::Cause| {
        json!({
            "factor": cause.factor.word(),
            "own": cause.own.to_string(),
            "other": cause.other.to_string(),
            "effect": cause.effect.to_string(),
        })
    };
    json!({
        "return_over_all_costs": found.over_all.to_string(),
        "causes": found.causes.iter().map(cause).collect::<Value>(),
    })
}

fn farm(w: Writer, farm: &FarmSeason) -> Value {
    json!({ "name": farm.name, "blocks": farm.blocks, "statement": earnings::statement(w, &farm.statement) })
}

fn ledger(ledger: &Ledger) -> Value {
    let sums = |name: &str, sums: &Sums| {
        json!({
            "name": name,
            "own": sums.own.to_string(),
            "shared": sums.shared.to_string(),
            "unallocated": sums.unallocated.to_string(),
            "all": sums.all().to_string(),
        })
    };
    let groups = ledger.groups.iter().map(|(group, own)| sums(group.word(), own));
    groups.chain([sums("all", &ledger.total)]).collect()
}

fn shared(shared: &SharedAmong) -> Value {
    let cost = &shared.cost.record;
    let part = |(block, part): (&String, &reckon::allocate::Part)| {
        json!({
            "block": block,
            "weight": part.weight.to_string(),
            "amount": part.amount.to_string(),
            "odd_cent": part.odd_cent,
        })
    };
    json!({
        "date": cost.date.to_string(),
        "category": cost.category,
        "payee": cost.payee,
        "farm": shared.farm,
        "group": cost.group.word(),
        "shared_by": cost.basis.word(),
        "share_only": shared.share_only,
        "amount": shared.out.amount.to_string(),
        "parts": shared.blocks.iter().zip(&shared.out.parts).map(part).collect::<Value>(),
        "unallocated": shared.out.unallocated.to_string(),
    })
}

fn form(form: &ScheduleF, statement: &Statement) -> Value {
    let line = |line: &ScheduleLine| {
        let parts = line
            .parts
            .iter()
            .map(|(what, amount, comment)| json!({ "what": what, "amount": amount.to_string(), "comment": comment }));
        json!({
            "line": line.line.number,
            "name": line.line.name,
            "amount": line.amount.to_string(),
            "parts": parts.collect::<Value>(),
        })
    };
    json!({
        "sales": { "line": SALES.number, "name": SALES.name, "amount": form.sales.to_string() },
        "lines": form.lines.iter().map(line).collect::<Value>(),
        "to_choose": form.to_choose.iter()
            .map(|(what, amount)| json!({ "what": what, "amount": amount.to_string() })).collect::<Value>(),
        "left_out": form.left_out.iter()
            .map(|(what, amount, why)| json!({ "what": what, "amount": amount.to_string(), "why": why }))
            .collect::<Value>(),
        "to_statement": form.tie(statement).steps().iter()
            .map(|(what, amount)| json!({ "what": what, "amount": amount.to_string() })).collect::<Value>(),
    })
}

fn crop(w: Writer, crop: &CropSeason) -> Value {
    json!({ "name": crop.name, "blocks": crop.blocks, "packout": earnings::packout(w, &crop.packout) })
}

fn block(w: Writer, season: &BlockSeason) -> Value {
    let heading = &season.heading;
    json!({
        "code": heading.block.code,
        "farm": heading.farm.name,
        "crop": heading.block.crop,
        "variety": heading.block.variety,
        "fingerprint": fingerprint(season).to_string(),
        "labor": work::labor(w, &season.labor),
        "water": work::water(w, &season.water),
        "statement": earnings::statement(w, &season.statement),
        "gaps": season.gaps.iter().map(|one| gap(w, one)).collect::<Value>(),
    })
}
