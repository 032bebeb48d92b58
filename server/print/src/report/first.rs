//! Page one: the block, its four figures, the two charts, the statement.

use reckon::block::Block;
use reckon::money::Money;
use reckon::season::{BlockSeason, LineRole, Statement, StatementLine};

use super::flow::{self, Flow, HEADING, HEADLINE, KNOWN, LABEL, SOFT_NOTE, STANDING, SUBTITLE, TITLE, UNIT};
use super::table::{Cell, Column, Table, Weight};
use crate::chart::{self, Drawing};
use crate::headline::{Headline, headlines};
use crate::sheet::{Align, Ink, Mark};
use crate::{figures, words};

/// `standing` is the sentence on which issue this is, where there is something to say.
pub(super) fn draw(flow: &mut Flow, season: &BlockSeason, standing: Option<&str>) {
    title(flow, season);
    if let Some(standing) = standing {
        flow.y -= 12.0;
        flow.note(STANDING, standing);
        flow.y += 12.0;
    }
    four_figures(flow, &headlines(season));
    charts(flow, season);
    statement(flow, season);
}

fn title(flow: &mut Flow, season: &BlockSeason) {
    title_lines(flow, TITLE, &super::title(season));
    flow.y += 3.0;
    flow.note(SUBTITLE, &description(season));
    if let Some(ripens) = reckon::pollination::heading(&season.heading.block) {
        flow.note(SUBTITLE, &ripens);
    }
    flow.y += 12.0;
}

/// A title; a long one is set smaller before it is wrapped.
pub(super) fn title_lines(flow: &mut Flow, title: flow::Style, text: &str) {
    let style = [title, title.sized(18.0), title.sized(15.0)]
        .into_iter()
        .find(|style| style.width(text) <= flow.width())
        .unwrap_or(title.sized(13.0));
    for line in style.wrapped(flow.width(), text) {
        flow.y += style.size + 4.0;
        let place = (flow.left, flow.y);
        flow.text(style, place, Align::Left, &line);
    }
}

/// Acres, trees, spacing, year planted, water, mulch: what is known of them.
fn description(season: &BlockSeason) -> String {
    let block = &season.heading.block;
    let mut parts = vec![format!("{} acres", figures::plain(block.acres))];
    parts.push(trees(block));
    parts.extend(block.planted_year.map(|year| format!("planted {year}")));
    parts.push(block.emitter.word().to_owned());
    let mulch = words::materials(&season.mulch);
    parts.push(mulch.map_or_else(|| "bare soil".to_owned(), |materials| format!("mulch: {materials}")));
    parts.join(" · ")
}

fn trees(block: &Block) -> String {
    let trees = block.trees.map_or_else(
        || "trees not counted".to_owned(),
        |trees| format!("{} trees", figures::float(f64::from(trees), 0)),
    );
    let feet = |feet: reckon::units::Feet| figures::shortest(feet.get());
    match (block.row_spacing, block.tree_spacing) {
        (Some(row), Some(tree)) => format!("{trees} at {} × {} ft", feet(row), feet(tree)),
        _ => trees,
    }
}

/// Four figures in a row between two rules.
pub(super) fn four_figures(flow: &mut Flow, headlines: &[Headline; 4]) {
    let (top, left, quarter) = (flow.y, flow.left, flow.width() / 4.0);
    flow.rule(top, 0.7, Ink::Text);
    let mut x = left;
    for (n, headline) in headlines.iter().enumerate() {
        let indent = if n == 0 { 0.0 } else { 12.0 };
        if n > 0 {
            flow.push(Mark::Line { from: (x, top), to: (x, top + 57.0), width: 0.5, ink: Ink::Hairline });
        }
        one_headline(flow, headline, (x + indent, top), quarter - indent - 8.0);
        x += quarter;
    }
    flow.rule(top + 57.0, 0.5, Ink::Hairline);
    flow.y = top + 57.0;
}

fn one_headline(flow: &mut Flow, headline: &Headline, (x, top): (f64, f64), room: f64) {
    flow.text(LABEL, (x, top + 15.0), Align::Left, headline.label);
    let sizes = [20.0, 17.0, 14.0, 12.0, 10.0, 8.0, 6.5].map(|size| HEADLINE.sized(size));
    let fits = |style: &flow::Style| style.width(&headline.number) + 4.0 + UNIT.width(headline.unit) <= room;
    let style = sizes.into_iter().find(fits).unwrap_or(HEADLINE.sized(5.0));
    flow.text(style, (x, top + 36.0), Align::Left, &headline.number);
    flow.text(UNIT, (x + style.width(&headline.number) + 4.0, top + 36.0), Align::Left, headline.unit);
    let ink = if headline.number == figures::NOT_KNOWN { Ink::Accent } else { Ink::Soft };
    flow.text(flow::Style { ink, ..KNOWN }, (x, top + 49.0), Align::Left, &headline.known());
}

/// Water on the left; labor on the right, and price by size class below it where there is room.
fn charts(flow: &mut Flow, season: &BlockSeason) {
    let gap = 26.0;
    let left_width = (flow.width() - gap) * 0.6;
    let right_width = flow.width() - gap - left_width;
    let right = flow.left + left_width + gap;
    let top = flow.y + 22.0;
    let labor = chart::labor(&season.labor, right_width);
    let mut end =
        placed(flow, labor.as_ref(), "Thinning, $ a tree", "No labor was recorded.", (right, top), right_width);
    if let Some(price) = chart::price(&season.packout, right_width)
        && end + 34.0 + price.height <= top + 260.0
    {
        end = placed(flow, Some(&price), "", "", (right, end + 25.0), right_width);
    }
    let water = chart::water(&season.water, left_width, (end - top - 9.0).clamp(148.0, 190.0));
    let absent = "No water balance: it needs the days of a weather station.";
    let left = flow.left;
    let water_end = placed(flow, water.as_ref(), "Water, inches a week", absent, (left, top), left_width);
    flow.y = end.max(water_end);
}

/// A chart below its title, or a sentence on why there is none. Gives back where it ends.
pub(super) fn placed(
    flow: &mut Flow,
    drawing: Option<&Drawing>,
    title: &str,
    absent: &str,
    (x, y): (f64, f64),
    width: f64,
) -> f64 {
    flow.text(HEADING, (x, y), Align::Left, drawing.map_or(title, |drawing| drawing.title.as_str()));
    let Some(drawing) = drawing else {
        let mut end = y + 6.0;
        for line in SOFT_NOTE.wrapped(width, absent) {
            end += 11.0;
            flow.text(SOFT_NOTE, (x, end), Align::Left, &line);
        }
        return end;
    };
    for mark in &drawing.marks {
        flow.push(mark.moved(x, y + 9.0));
    }
    y + 9.0 + drawing.height
}

fn statement(flow: &mut Flow, season: &BlockSeason) {
    let mut table = Table::new(vec![
        Column::words("", 90.0),
        Column::words("how known", 70.0),
        Column::number("the block\n$"),
        Column::number("an acre\n$"),
        Column::number("a tree\n$"),
        Column::number("a box\n$"),
        Column::number("a lb\n$"),
    ]);
    for line in &season.statement.lines {
        table.row(weight(line.role), statement_cells(line));
    }
    let beginning = table.beginning(flow);
    flow.heading("Statement", beginning);
    if table.rows.is_empty() {
        flow.note(SOFT_NOTE, "Nothing to state yet: no settlement, price or cost was recorded.");
        return;
    }
    table.draw(flow);
    incomplete(flow, &season.statement);
    if let Some(told) = break_even(season) {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &told);
    }
    if let Some(unsettled) = &season.statement.unsettled {
        not_settled(flow, unsettled.value, &words::known(unsettled.evidence, unsettled.n()));
    }
}

/// What the last sum leaves out, where it does.
pub(super) fn incomplete(flow: &mut Flow, statement: &Statement) {
    if let Some(lacking) = statement.lines.last().and_then(|last| words::lacking(&last.amount)) {
        flow.y += 2.0;
        flow.note(SOFT_NOTE, &format!("What is marked incomplete leaves something out: {lacking}."));
    }
}

/// How much of net to grower is not settled, and how that is known.
pub(super) fn not_settled(flow: &mut Flow, amount: Money, known: &str) {
    let amount = figures::dollars(&figures::money(amount));
    flow.y += 2.0;
    flow.note(SOFT_NOTE, &format!("Of net to grower, {amount} rests on the price list and is not settled ({known})."));
}

/// Gross price at which the block's own yield leaves nothing over, for each level of costs.
fn break_even(season: &BlockSeason) -> Option<String> {
    let levels = season.statement.break_even.iter();
    let prices: Vec<String> = levels
        .filter_map(|level| {
            let price = figures::dollars(&figures::price(level.price.as_ref()?.value, 2));
            Some(format!("{price} over {}", level.level.label().to_lowercase()))
        })
        .collect();
    let unit = season.statement.break_even.first()?.unit.word();
    (!prices.is_empty()).then(|| format!("Break-even gross price a {unit} at this yield: {}.", prices.join(", ")))
}

pub(super) const fn weight(role: LineRole) -> Weight {
    match role {
        LineRole::Item => Weight::Plain,
        LineRole::Subtotal => Weight::Bold,
        LineRole::Total => Weight::Last,
    }
}

fn statement_cells(line: &StatementLine) -> Vec<Cell> {
    vec![
        Cell::words(line.key.label()),
        Cell::soft(&words::known_of(&line.amount)),
        Cell::figure(figures::money(line.amount.value)),
        Cell::or_dash(line.per_acre.map(|price| figures::price(price, 0))),
        Cell::or_dash(line.per_tree.map(|price| figures::price(price, 2))),
        Cell::or_dash(line.per_box.map(|price| figures::price(price, 2))),
        Cell::or_dash(line.per_pound.map(|price| figures::price(price, 3))),
    ]
}
