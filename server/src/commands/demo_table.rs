//! The short table the demo prints: what was reckoned, a line a block.

use std::fmt::Write as _;

use print::figures;
use reckon::season::BlockSeason;
use reckon::summary::Summary;

const HEADS: [&str; 9] = ["Block", "Variety", "Acres", "Thinning", "Water", "Kept", "Price", "Return", "Missing"];
const UNITS: [&str; 9] = ["", "", "", "$ a tree", "% of need", "acre-in/ac", "$ a lb", "$ an acre", ""];

/// One season as text: blocks in order, then the operation.
pub(crate) fn table(year: i32, seasons: &[BlockSeason]) -> String {
    let summaries: Vec<Summary> = seasons.iter().map(Summary::of).collect();
    let mut rows = vec![HEADS.map(str::to_owned), UNITS.map(str::to_owned)];
    for (season, summary) in seasons.iter().zip(&summaries) {
        let block = &season.heading.block;
        rows.push(row(&block.code, &format!("{} {}", block.variety, block.crop), summary));
    }
    rows.push(row("All", "", &Summary::total(&summaries)));
    let mut out = format!("Season {year}\n");
    for row in &rows {
        // Names to the left, numbers to the right.
        let widths: [usize; 9] = std::array::from_fn(|column| width(&rows, column));
        for (column, (cell, width)) in row.iter().zip(widths).enumerate() {
            let padded = if column < 2 { format!("{cell:<width$}") } else { format!("{cell:>width$}") };
            let _ = write!(out, "{padded}  ");
        }
        let end = out.trim_end().len();
        out.truncate(end);
        out.push('\n');
    }
    out
}

fn row(code: &str, name: &str, summary: &Summary) -> [String; 9] {
    let or_dash = |text: Option<String>| text.unwrap_or_else(|| "–".to_owned());
    [
        code.to_owned(),
        name.to_owned(),
        figures::exact(summary.acres, 1),
        or_dash(summary.thinning_per_tree().map(|p| figures::price(p, 2))),
        or_dash(summary.applied_of_need().map(figures::quantity)),
        summary.kept_per_acre().map_or_else(|| "bare".to_owned(), figures::quantity),
        or_dash(summary.net_per_pound().map(|p| figures::price(p, 2))),
        or_dash(summary.return_per_acre().map(|p| figures::price(p, 0))),
        if summary.missing.is_empty() { String::new() } else { summary.missing.len().to_string() },
    ]
}

fn width(rows: &[[String; 9]], column: usize) -> usize {
    rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
}
