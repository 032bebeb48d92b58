//! What else a block's money says: price by week, break-even price and yield, return over a range of
//! both, and with which blocks its thinning method is compared.

use reckon::break_even::BreakEven;
use reckon::compare::{Facet, Observation};
use reckon::season::{BlockSeason, PackoutWeek};

use super::flow::{Flow, SOFT_NOTE};
use super::operation::ranging;
use super::table::{Cell, Column, Table, Weight};
use crate::{figures, words};

/// What has no room beside the price tables.
const RANGING: &str = "Returns over a range of yields and prices";
/// What has no room at all.
const TABLES: &str = "Prices by week, break-even and returns over a range of yields and prices";

/// Pages that a block's report should take.
const PAGES: usize = 3;

/// How much of what can be looked up elsewhere is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extent {
    /// These tables, and every formula in full.
    Whole,
    /// These tables, and the first sentence of every formula.
    Brief,
    /// Prices by week and break-even, and the first sentence of every formula.
    Part,
    /// Every formula in full, without these tables.
    Plain,
    /// The first sentence of every formula, without these tables.
    Short,
}

impl Extent {
    /// Where the whole does not stay within the pages, the first of these that does is printed; where none
    /// does, the whole.
    pub(super) const SHORTER: [Self; 4] = [Self::Brief, Self::Part, Self::Plain, Self::Short];

    pub(super) const fn fits(pages: usize) -> bool {
        pages <= PAGES
    }

    /// Whether prices by week and break-even are printed.
    pub(super) const fn prices(self) -> bool {
        matches!(self, Self::Whole | Self::Brief | Self::Part)
    }

    /// Whether the table of returns over yields and prices is printed.
    pub(super) const fn ranging(self) -> bool {
        matches!(self, Self::Whole | Self::Brief)
    }

    /// Whether every formula is printed in full.
    pub(super) const fn formulas(self) -> bool {
        matches!(self, Self::Whole | Self::Plain)
    }
}

pub(super) fn draw(flow: &mut Flow, season: &BlockSeason, extent: Extent) {
    let statement = &season.statement;
    let (weeks, levels) = (weeks(&season.packout.weeks), levels(&statement.break_even));
    if weeks.rows.is_empty() && levels.rows.is_empty() {
        return;
    }
    if !extent.prices() {
        elsewhere(flow, TABLES);
        return;
    }
    let height = Table::beside_height(flow, &weeks, &levels);
    flow.heading("Price by week of packing, and break-even", height);
    Table::beside(flow, &weeks, &levels);
    let Some(ranging) = statement.ranging.as_ref() else { return };
    if extent.ranging() {
        let table = ranging::table(ranging);
        table.draw_under(flow, &words::capital(&ranging::title(ranging)));
    } else {
        elsewhere(flow, RANGING);
    }
}

/// Where a section is found that has no room here, in its place.
fn elsewhere(flow: &mut Flow, what: &str) {
    flow.y += 3.0;
    flow.note(SOFT_NOTE, &format!("{what}: on the block's statement page and in the operation's season report."));
}

fn weeks(weeks: &[PackoutWeek]) -> Table {
    let mut table = Table::new(vec![
        Column::words("week of", 30.0),
        Column::number("boxes"),
        Column::number("a box\n$"),
        Column::number("a lb\n$"),
        Column::words("price known", 40.0),
    ]);
    for week in weeks {
        let cells = vec![
            Cell::words(&words::day(week.starts)),
            Cell::figure(figures::plain(week.boxes.value)),
            Cell::or_dash(week.net_per_box.as_ref().map(|price| figures::price(price.value, 2))),
            Cell::or_dash(week.net_per_pound.as_ref().map(|price| figures::price(price.value, 2))),
            Cell::soft(&words::price_known(week.net.as_ref())),
        ];
        table.row(Weight::Plain, cells);
    }
    table
}

fn levels(levels: &[BreakEven]) -> Table {
    let unit = levels.first().map_or("unit", |level| level.unit.word());
    let many = levels.first().map_or("units", |level| level.unit.many());
    let mut table = Table::new(vec![
        Column::words("nothing left over", 60.0),
        Column::number("costs\n$"),
        Column::number(&format!("gross price\na {unit}, $")),
        Column::number(&format!("or {many}\nan acre")),
    ]);
    for level in levels {
        let cells = vec![
            Cell::words(level.level.label()),
            Cell::figure(figures::money(level.cost.value)),
            Cell::or_dash(ranging::price(level)),
            Cell::or_dash(ranging::each_acre(level)),
        ];
        table.row(Weight::Plain, cells);
    }
    table
}

/// "Thinned cuts then by hand; compared with the other nectarine blocks of the season."
pub(super) fn group(flow: &mut Flow, season: &BlockSeason) {
    let seen = Observation::of(season);
    let Some(first) = seen.first() else { return };
    let mut methods: Vec<&str> = seen.iter().map(|part| part.method.as_str()).collect();
    methods.dedup();
    let crop = first.traits.facet(Facet::Crop);
    let told = match methods[..] {
        [one] => format!("Method in the comparison: {one}; it stands among the block-seasons of {crop}."),
        _ => format!(
            "In the comparison it stands among those of {crop} in parts, each with its own trees: {}.",
            methods.join("; ")
        ),
    };
    flow.y += 2.0;
    flow.note(SOFT_NOTE, &told);
}
