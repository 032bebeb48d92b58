//! Water applied against need, what the mulch did, mulch laid.

use reckon::season::{BlockSeason, MulchLaid, MulchSaving, Saving, WaterSeason};
use reckon::units::Kilopascals;
use reckon::water::metered::MeteredSaving;

use super::flow::{Flow, SOFT_NOTE};
use super::table::{Cell, Column, Table, Weight, number};
use super::work::Facts;
use crate::{chart, figures, words};

/// What the mulch did, and what was laid.
pub(super) fn under_mulch(flow: &mut Flow, season: &BlockSeason) {
    if let Some(saving) = &season.water.saving {
        savings(flow, saving);
    }
    if !season.mulch.laid.is_empty() {
        mulch(flow, season);
    }
}

/// Water applied against need, in single figures.
pub(super) fn balance(flow: &mut Flow, season: &WaterSeason) {
    let facts = facts(season);
    if facts.is_empty() {
        flow.heading("Water", 14.0);
        flow.note(SOFT_NOTE, "No irrigation and no weather were recorded.");
        return;
    }
    facts.draw(flow, "Water");
    let told = told(season);
    if !told.is_empty() {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &told);
    }
}

/// Whether the rest of this page holds [`balance`].
pub(super) fn balance_fits(flow: &Flow, season: &WaterSeason) -> bool {
    let lines = number(SOFT_NOTE.wrapped(flow.width(), &told(season)).len());
    facts(season).height(flow) + 2.0 + lines * (SOFT_NOTE.size + 3.0) <= flow.room()
}

fn facts(season: &WaterSeason) -> Facts {
    let mut facts = Facts::default();
    facts.measure("Irrigation applied", season.applied.as_ref());
    if season.parts.len() > 1 {
        for part in &season.parts {
            let name = format!("of it {}, {}", part.volume.evidence.word(), figures::counted(part.sets, "set", "sets"));
            facts.measure(&name, Some(&part.volume));
        }
    }
    facts.measure("Applied, depth", season.applied_depth.as_ref());
    facts.measure("Applied, each tree", season.applied_per_tree.as_ref());
    if let Some(cost) = &season.cost {
        facts.push("Cost of the water", figures::money(cost.value), "$", cost);
    }
    facts.measure("Reference ET", season.eto.as_ref());
    facts.measure("Crop need", season.need.as_ref());
    facts.measure("Used by trees and soil", season.used.as_ref());
    facts.measure("Rain", season.rain.as_ref());
    facts.measure("Rain kept in the root zone", season.rain_kept.as_ref());
    facts.measure("Drained below the roots", season.drained.as_ref());
    facts.measure("Need met", season.met.as_ref());
    facts.measure("Applied, of gross need", season.applied_of_need.as_ref());
    facts
}

/// Span, sets, source of reference ET, tension: what needs no table.
fn told(season: &WaterSeason) -> String {
    let mut sentences = Vec::new();
    if let Some((first, last)) = season.span {
        let sets = figures::counted(season.sets, "set", "sets");
        sentences.push(format!("{} to {}, {sets}.", words::full_day(first), words::full_day(last)));
    }
    let sources = season.eto_sources.iter();
    let sources = sources
        .map(|(source, days)| format!("{} on {}", words::eto_source(*source), figures::counted(*days, "day", "days")));
    let sources = sources.collect::<Vec<_>>().join(", ");
    if !sources.is_empty() {
        sentences.push(format!("Reference ET {sources}."));
    }
    let kpa = |reading: f64| figures::quantity(Kilopascals::of(reading));
    if let Some((low, high)) = chart::range(season.tension.iter().map(|point| point.tension.get())) {
        let n = figures::counted(season.tension.len(), "reading", "readings");
        sentences.push(format!("Soil-water tension {} to {} kPa in {n}.", kpa(low), kpa(high)));
    }
    if let Some(saving) = &season.metered_saving {
        sentences.push(metered(saving));
    }
    if let Some(advice) = &season.advice {
        sentences.extend(advice.sentences.iter().cloned());
    }
    sentences.join(" ")
}

fn savings(flow: &mut Flow, saving: &MulchSaving) {
    let mut table = Table::new(vec![
        Column::words("water", 90.0),
        Column::number("in"),
        Column::number("acre-in\nan acre"),
        Column::number("acre-in"),
        Column::number("gal"),
        Column::number("gal a\ntree"),
        Column::number("% of bare\nneed"),
        Column::number("worth\n$"),
        Column::words("how known", 60.0),
    ]);
    table.row(Weight::Plain, saving_cells("Evaporation avoided", &saving.avoided));
    table.row(Weight::Bold, saving_cells("Kept for the trees", &saving.kept));
    table.row(Weight::Plain, saving_cells("Irrigation not needed", &saving.not_needed));
    table.draw_under(flow, "Mulch, and what it did");
    let (low, high) = saving.kept_range;
    let told = format!(
        "Kept lies between {} and {} in. {} in more drained below the roots than on bare soil, because the sets were \
         not cut by what was avoided. The mulch covers {}% of the surface.",
        figures::quantity(low),
        figures::quantity(high),
        figures::quantity(saving.extra_drained.value),
        figures::quantity(saving.covered.value),
    );
    flow.y += 2.0;
    flow.note(SOFT_NOTE, &told);
}

/// What the meters say beside what the model says; never merged.
fn metered(saving: &MeteredSaving) -> String {
    format!(
        "By the meters: {}% of bare-soil need applied here, {}% {}; {} ({}, the water itself {}).",
        figures::quantity(saving.own.value),
        figures::quantity(saving.bare.value),
        words::metered_against(saving),
        words::less(saving.less_applied.value),
        saving.less_applied.evidence.word(),
        saving.applied_evidence.word(),
    )
}

fn saving_cells(name: &str, saving: &Saving) -> Vec<Cell> {
    vec![
        Cell::words(name),
        Cell::figure(figures::quantity(saving.depth.value)),
        Cell::figure(figures::quantity(saving.acre_inches_per_acre.value)),
        Cell::figure(figures::quantity(saving.acre_inches.value)),
        Cell::figure(figures::quantity(saving.gallons.value)),
        Cell::or_dash(saving.gallons_per_tree.as_ref().map(|each| figures::quantity(each.value))),
        Cell::or_dash(saving.share_of_need.as_ref().map(|share| figures::float(share.value.get(), 1))),
        Cell::or_dash(saving.worth.as_ref().map(|worth| figures::money(worth.value))),
        Cell::soft(&words::known(saving.depth.evidence, saving.depth.n())),
    ]
}

fn mulch(flow: &mut Flow, season: &BlockSeason) {
    let mut table = Table::new(vec![
        Column::words("laid", 100.0),
        Column::number("depth\nin"),
        Column::number("covered\nft²"),
        Column::number("% of\nsurface"),
        Column::number("volume\nyd³"),
        Column::number("cost\n$"),
        Column::number("this season\n$"),
        Column::words("how known", 60.0),
    ]);
    for laid in &season.mulch.laid {
        table.row(Weight::Plain, mulch_cells(laid));
    }
    let beginning = table.beginning(flow);
    if season.water.saving.is_some() {
        flow.need(beginning + 4.0);
        flow.y += 4.0;
    } else {
        flow.heading("Mulch", beginning);
    }
    table.draw(flow);
    let mut told = Vec::new();
    if let Some(cost) = &season.mulch.season_cost {
        let amount = figures::dollars(&figures::money(cost.value));
        told.push(format!("{amount} of the mulch falls on this season ({}).", words::known(cost.evidence, cost.n())));
    }
    let paid = season.mulch.whole_cost().is_some_and(|cost| !cost.is_zero());
    if let Some(ratio) = season.mulch.cost_over_value.as_ref().filter(|_| paid) {
        let times = figures::float(ratio.value.get(), 1);
        told.push(format!(
            "That is {times} times the worth of the water kept ({}).",
            words::known(ratio.evidence, ratio.n())
        ));
    }
    if let Some(seasons) = season.mulch.payback.as_ref().filter(|_| paid) {
        let seasons = figures::float(seasons.value.get(), 1);
        told.push(format!("Its whole cost is what the water kept would be worth in {seasons} such seasons."));
    }
    flow.y += 2.0;
    flow.note(SOFT_NOTE, &told.join(" "));
}

fn mulch_cells(laid: &MulchLaid) -> Vec<Cell> {
    vec![
        Cell::words(&format!("{}, {}", words::full_day(laid.date), laid.material)),
        Cell::figure(figures::quantity(laid.depth)),
        Cell::or_dash(laid.covered.as_ref().map(|area| figures::quantity(area.value))),
        Cell::or_dash(laid.covered_share.as_ref().map(|share| figures::quantity(share.value))),
        Cell::or_dash(laid.volume.as_ref().map(|volume| figures::quantity(volume.value))),
        Cell::figure(words::mulch_cost(laid.cost.as_ref())),
        Cell::figure(words::mulch_cost(laid.season_cost.as_ref())),
        Cell::soft(&laid.cost.as_ref().map(|cost| words::known(cost.evidence, cost.n())).unwrap_or_default()),
    ]
}
