//! What each size class, each grade and each week of packing brought, crop by crop.

use reckon::operation_season::{CropSeason, OperationSeason};
use reckon::season::{PackoutCell, PackoutSeason, PackoutWeek};

use super::super::first;
use super::super::flow::{Flow, SOFT_NOTE};
use super::super::fruit::classes;
use super::super::table::{Cell, Column, Table, Weight};
use crate::sheet::Ink;
use crate::{chart, figures, words};

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason) {
    for crop in &season.crops {
        one(flow, crop);
    }
}

fn one(flow: &mut Flow, crop: &CropSeason) {
    let fruit = &crop.packout;
    let name = if crop.name.is_empty() { "crop not given" } else { &crop.name };
    let title = format!("Packout and price: {name}");
    if fruit.sizes.is_empty() && fruit.grades.is_empty() {
        flow.heading(&title, 14.0);
        let blocks = crop.blocks.join(", ");
        flow.note(SOFT_NOTE, &format!("Sold without packing, so by no size class or grade ({blocks})."));
        return;
    }
    let table = sizes_and_grades(fruit);
    let beginning = table.beginning(flow);
    flow.heading(&title, beginning + 14.0);
    told(flow, crop);
    table.draw(flow);
    if !fruit.weeks.is_empty() {
        weeks_and_chart(flow, fruit, &title);
    }
}

fn sizes_and_grades(fruit: &PackoutSeason) -> Table {
    let mut table = Table::new(vec![
        Column::words("size class or grade", 60.0),
        Column::number("boxes"),
        Column::number("weight\nlb"),
        Column::bar("share\n%", Ink::Price),
        Column::number("net to grower\n$"),
        Column::number("a box\n$"),
        Column::number("a lb\n$"),
        Column::number("over class below\n$ a box"),
        Column::number("over class below\n$ a lb"),
        Column::words("price known", 50.0),
    ]);
    let most = fruit.sizes.iter().map(|cell| cell.share.value.get()).fold(0.0, f64::max);
    for cell in &fruit.sizes {
        table.row(Weight::Plain, cells(cell.size_class.as_deref().unwrap_or("No size given"), cell, most));
    }
    for cell in &fruit.grades {
        table.row(Weight::Bold, cells(cell.grade.as_deref().unwrap_or("No grade given"), cell, 0.0));
    }
    if let Some(boxes) = &fruit.boxes {
        table.row(
            Weight::Last,
            vec![
                Cell::words("Packed"),
                Cell::figure(figures::plain(boxes.value)),
                Cell::or_dash(fruit.weight.as_ref().map(|weight| figures::exact(weight.value, 0))),
                Cell::figure("100".to_owned()),
                Cell::words(""),
                Cell::or_dash(fruit.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
                Cell::or_dash(fruit.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
            ],
        );
    }
    table
}

fn cells(name: &str, cell: &PackoutCell, most: f64) -> Vec<Cell> {
    let share = cell.share.value.get();
    let premium = |text: Option<String>| Cell::figure(text.unwrap_or_default());
    vec![
        Cell::words(name),
        Cell::figure(figures::plain(cell.boxes.value)),
        Cell::or_dash(cell.weight.as_ref().map(|weight| figures::exact(weight.value, 0))),
        Cell::barred(figures::float(share, 1), if most > 0.0 { share / most } else { 0.0 }),
        Cell::or_dash(cell.net.as_ref().map(|net| figures::money(net.value))),
        Cell::or_dash(cell.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
        Cell::or_dash(cell.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
        premium(cell.premium_per_box.as_ref().map(|price| figures::signed_price(price.value, 2))),
        premium(cell.premium_per_pound.as_ref().map(|price| figures::signed_price(price.value, 2))),
        Cell::soft(&words::price_known(cell.net.as_ref())),
    ]
}

fn told(flow: &mut Flow, crop: &CropSeason) {
    let mut said = format!("Prices are weighted over the boxes of {}.", crop.blocks.join(", "));
    if let Some(boxes) = &crop.packout.boxes_without_price {
        let n = figures::plain(boxes.value);
        said = format!("{said} {n} boxes have neither a settlement nor a price and are in no price here.");
    }
    if let Some(classes) = classes(&crop.packout) {
        said = format!("{said} Sizes are small to large as the operation's own list has them. {classes}");
    }
    flow.note(SOFT_NOTE, &said);
    flow.y += 3.0;
}

/// The weeks on the left, the chart of prices on the right where the weeks are as high as it. On a page of
/// their own they say of which crop they are.
fn weeks_and_chart(flow: &mut Flow, fruit: &PackoutSeason, title: &str) {
    let width = flow.width() * 0.34;
    let chart = chart::price(fruit, width);
    let height = chart.as_ref().map_or(0.0, |chart| chart.height + 24.0);
    let table = weeks(&fruit.weeks);
    let beginning = table.beginning(flow).max(height);
    if flow.need(beginning + 6.0) {
        flow.heading(&format!("{title}, by week"), beginning);
    } else {
        flow.y += 6.0;
    }
    let top = flow.y;
    let Some(chart) = chart.filter(|_| height + 6.0 <= flow.room()) else {
        table.draw(flow);
        return;
    };
    let right = flow.right() - width;
    let end = first::placed(flow, Some(&chart), "", "", (right, top + 12.0), width);
    flow.y = top;
    table.draw_within(flow, flow.width() - width - 26.0);
    // A table that went on to another page left the chart behind.
    if flow.y >= top {
        flow.y = flow.y.max(end);
    }
}

fn weeks(weeks: &[PackoutWeek]) -> Table {
    let mut table = Table::new(vec![
        Column::words("packed in the week of", 60.0),
        Column::number("boxes"),
        Column::number("net to grower\n$"),
        Column::number("a box\n$"),
        Column::number("a lb\n$"),
        Column::words("price known", 50.0),
    ]);
    for week in weeks {
        table.row(
            Weight::Plain,
            vec![
                Cell::words(&words::day(week.starts)),
                Cell::figure(figures::plain(week.boxes.value)),
                Cell::or_dash(week.net.as_ref().map(|net| figures::money(net.value))),
                Cell::or_dash(week.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
                Cell::or_dash(week.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
                Cell::soft(&words::price_known(week.net.as_ref())),
            ],
        );
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::page_checks::has;
    use crate::samples;
    use crate::sheet::Paper;

    /// Weeks that go on to another page would else be of no crop.
    #[test]
    fn weeks_on_a_page_of_their_own_say_whose_they_are() {
        let season = samples::operation();
        let crop = &season.crops[0];
        let mut flow = Flow::new(Paper::Letter, "", "");
        let first = sizes_and_grades(&crop.packout).height(&flow) + 70.0;
        flow.y += flow.room() - first;
        one(&mut flow, crop);
        let sheet = flow.finish("");
        let title = format!("Packout and price: {}", crop.name);
        assert!(has(&sheet.pages[0], &title) && has(&sheet.pages[1], &format!("{title}, by week")));
    }
}
