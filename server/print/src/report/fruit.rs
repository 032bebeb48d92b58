//! Packout by size class and grade, prices with the premium of each class, culls.

use reckon::season::{BlockSeason, PackoutCell, PackoutSeason};

use super::flow::{Flow, SOFT_NOTE};
use super::table::{Cell, Column, Table, Weight};
use super::work::Facts;
use crate::sheet::Ink;
use crate::{figures, words};

pub(super) fn draw(flow: &mut Flow, season: &BlockSeason) {
    let packout = &season.packout;
    if packout.boxes.is_none() && packout.picked.is_none() && packout.culls.is_empty() {
        flow.heading("Packout and price", 14.0);
        flow.note(SOFT_NOTE, "Nothing was packed or picked.");
        return;
    }
    totals(flow, packout);
    if !packout.cells.is_empty() {
        let table = by_size_and_grade(packout);
        let beginning = table.beginning(flow);
        flow.need(beginning + 4.0);
        flow.y += 4.0;
        table.draw(flow);
    }
    told(flow, packout);
}

fn totals(flow: &mut Flow, season: &PackoutSeason) {
    let mut facts = Facts::default();
    if let Some(boxes) = &season.boxes {
        facts.push("Packed", figures::plain(boxes.value), "boxes", boxes);
    }
    if let Some(weight) = &season.weight {
        facts.push("Packed weight", figures::exact(weight.value, 0), "lb", weight);
    }
    facts.measure("Packed, each acre", season.boxes_per_acre.as_ref());
    facts.measure("Packed, each tree", season.weight_per_tree.as_ref());
    if let Some(picked) = &season.picked {
        facts.push("Picked", figures::exact(picked.value, 0), "lb", picked);
    }
    facts.measure("Packed of packed and culled", season.packed_share.as_ref());
    if let Some(price) = &season.net_per_pound {
        facts.push("Net to grower", figures::price(price.value, 2), "$/lb", price);
    }
    if let Some(price) = &season.net_per_box {
        facts.push("Net to grower", figures::price(price.value, 2), "$/box", price);
    }
    if !facts.is_empty() {
        facts.draw(flow, "Packout and price");
    }
}

/// Each size class and grade, then each grade, then all of it.
fn by_size_and_grade(season: &PackoutSeason) -> Table {
    let mut table = Table::new(vec![
        Column::words("size class", 50.0),
        Column::words("grade", 40.0),
        Column::number("boxes"),
        Column::number("weight\nlb"),
        Column::bar("share\n%", Ink::Price),
        Column::number("net to grower\n$"),
        Column::number("a box\n$"),
        Column::number("a lb\n$"),
        Column::number("over class\nbelow, $ a lb"),
        Column::words("price known", 50.0),
    ]);
    let most = season.cells.iter().map(|cell| cell.share.value.get()).fold(0.0, f64::max);
    let mut size_before = None;
    for cell in &season.cells {
        // A size class stands once, before its first grade, and its grades stay with it.
        if size_before == Some(&cell.size_class) {
            table.keep_with_next();
        }
        let size = if size_before == Some(&cell.size_class) { None } else { cell.size_class.as_deref() };
        size_before = Some(&cell.size_class);
        let premium = cell.premium_per_pound.as_ref().map(|premium| figures::signed_price(premium.value, 2));
        table.row(Weight::Plain, cells(size.unwrap_or_default(), cell, most, premium.unwrap_or_default()));
    }
    for cell in &season.grades {
        table.row(Weight::Bold, cells("All sizes", cell, 0.0, String::new()));
    }
    if let Some(boxes) = &season.boxes {
        table.row(
            Weight::Last,
            vec![
                Cell::words("Packed"),
                Cell::words(""),
                Cell::figure(figures::plain(boxes.value)),
                Cell::or_dash(season.weight.as_ref().map(|weight| figures::exact(weight.value, 0))),
                Cell::figure("100".to_owned()),
                Cell::words(""),
                Cell::or_dash(season.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
                Cell::or_dash(season.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
            ],
        );
    }
    table
}

fn cells(size: &str, cell: &PackoutCell, most: f64, premium: String) -> Vec<Cell> {
    let known = cell.net.as_ref().map_or_else(|| "no price".to_owned(), |net| words::known(net.evidence, net.n()));
    let share = cell.share.value;
    vec![
        Cell::words(size),
        Cell::words(cell.grade.as_deref().unwrap_or_default()),
        Cell::figure(figures::plain(cell.boxes.value)),
        Cell::or_dash(cell.weight.as_ref().map(|weight| figures::exact(weight.value, 0))),
        Cell::barred(figures::float(share.get(), 1), if most > 0.0 { share.get() / most } else { 0.0 }),
        Cell::or_dash(cell.net.as_ref().map(|net| figures::money(net.value))),
        Cell::or_dash(cell.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
        Cell::or_dash(cell.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
        Cell::figure(premium),
        Cell::soft(&known),
    ]
}

/// Culls by cause, and boxes without a price.
fn told(flow: &mut Flow, season: &PackoutSeason) {
    let mut sentences = Vec::new();
    let culls = season.culls.iter().map(|line| match &line.weight {
        Some(weight) => {
            let known = words::known(weight.evidence, weight.n());
            format!("{} {} lb ({known})", line.cause, figures::exact(weight.value, 0))
        }
        None => format!("{} (weight not given)", line.cause),
    });
    let culls = culls.collect::<Vec<_>>().join(", ");
    if !culls.is_empty() {
        sentences.push(format!("Culled: {culls}."));
    }
    sentences.extend(classes(season));
    if let Some(boxes) = &season.boxes_without_price {
        let n = figures::plain(boxes.value);
        sentences.push(format!("{n} boxes have neither a settlement nor a price and are in no price here."));
    }
    if !sentences.is_empty() {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &sentences.join(" "));
    }
}

/// Own sizes by what they stand for, where an own list says so.
pub(super) fn classes(season: &PackoutSeason) -> Option<String> {
    let class = |cell: &PackoutCell| {
        let share = figures::float(cell.share.value.get(), 1);
        let price = cell
            .net_per_pound
            .as_ref()
            .map(|price| format!(" at {} a lb", figures::dollars(&figures::price(price.value, 2))));
        format!("{} ({share}%{})", cell.size_class.as_deref().unwrap_or_default(), price.unwrap_or_default())
    };
    let classes: Vec<String> = season.classes.iter().map(class).collect();
    (!classes.is_empty()).then(|| format!("By what your own sizes stand for: {}.", classes.join(", ")))
}
