//! Sets of irrigation: a meter, hours of running, or a depth.

use reckon::records::{Applied, IrrigationSet, MeterUnit};
use reckon::units::{GallonsPerHour, Inches};

use crate::column::{BLOCK, Column, NOTE, choice, day, number, words};
use crate::kinds::Printed;
use crate::row::{Conversion, DateRule, Row, above, from, plain};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Day the water was applied."),
    BLOCK,
    number("meter_start", "Meter before", "", "Reading before the set.", "41200"),
    number("meter_end", "Meter after", "", "Reading after the set.", "41950"),
    choice("meter_unit", "Meter unit", words!(MeterUnit), "What the meter counts.", "gal"),
    number(
        "meter_rolls_at",
        "Meter rolls over at",
        "",
        "Number at which the register shows zero again. Blank = it did not roll over.",
        "100000",
    ),
    number(
        "old_meter_end",
        "Old meter, last reading",
        "",
        "Last reading of the old meter, when it was replaced during the set.",
        "41600",
    ),
    number(
        "new_meter_start",
        "New meter, first reading",
        "",
        "First reading of the new meter, when it was replaced during the set.",
        "0",
    ),
    number("run_hours", "Hours run", "h", "Hours the set ran. Give a meter, hours run, or a depth.", "12"),
    number(
        "emitter_flow_gph",
        "Flow of an emitter",
        "gal/h",
        "Gallons an hour from one emitter. Blank = as in the block.",
        "1",
    ),
    number("emitters", "Emitters running", "", "Emitters that ran. Blank = all of the block.", "4774"),
    number(
        "depth_in",
        "Depth in inches",
        "in",
        "Depth over the block in inches. Give a meter, hours run, or a depth.",
        "1.2",
    ),
    number("depth_mm", "Depth in millimetres", "mm", "Depth over the block in millimetres, instead of inches.", "30"),
    NOTE,
];

const METER: &[&str] =
    &["meter_start", "meter_end", "meter_unit", "meter_rolls_at", "old_meter_end", "new_meter_start"];
const RUNTIME: &[&str] = &["run_hours", "emitter_flow_gph", "emitters"];
const DEPTH: &[&str] = &["depth_in", "depth_mm"];

pub(super) fn read(row: &mut Row<'_>) -> Option<IrrigationSet> {
    let date = row.date("date", DateRule::InSeason);
    let applied = applied(row);
    Some(IrrigationSet { date: date?, applied: applied?, note: row.text("note") })
}

fn applied(row: &mut Row<'_>) -> Option<Applied> {
    let ways = [METER, RUNTIME, DEPTH];
    let Some(way) = ways.into_iter().find(|way| way.iter().any(|name| row.has(name))) else {
        row.problem("meter_start", "meter_start and meter_end, or run_hours, or a depth");
        return None;
    };
    let first = way.iter().copied().find(|name| row.has(name)).unwrap_or_default();
    for name in ways.into_iter().filter(|other| *other != way).flatten() {
        row.refuse(name, &format!("{first} is filled; give a meter, hours run, or a depth"));
    }
    match way {
        METER => meter(row),
        RUNTIME => runtime(row),
        _ => {
            let inches = ("depth_in", from(0.0).up_to(100.0));
            row.either(inches, ("depth_mm", from(0.0).up_to(2_540.0), Conversion::MM_TO_INCHES))
                .map(|depth| Applied::Depth(Inches::of(depth)))
        }
    }
}

fn meter(row: &mut Row<'_>) -> Option<Applied> {
    row.need("meter_start", "the reading before the set");
    row.need("meter_end", "the reading after the set");
    row.need("meter_unit", "what the meter counts");
    if row.has("old_meter_end") != row.has("new_meter_start") {
        row.need("old_meter_end", "the old meter's last reading too, as new_meter_start is filled");
        row.need("new_meter_start", "the new meter's first reading too, as old_meter_end is filled");
    }
    let start = row.float("meter_start", from(0.0));
    let end = row.float("meter_end", from(0.0));
    let unit = row.choice("meter_unit", &MeterUnit::ALL, MeterUnit::word);
    let rolls_at = row.float("meter_rolls_at", above(0.0));
    let old_end = row.float("old_meter_end", from(0.0));
    let new_start = row.float("new_meter_start", from(0.0));
    let (start, end, unit) = (start?, end?, unit?);
    match old_end.zip(new_start) {
        Some((old_end, new_start)) => {
            forwards(row, ("meter_start", start), ("old_meter_end", old_end), rolls_at);
            forwards(row, ("new_meter_start", new_start), ("meter_end", end), rolls_at);
        }
        None => forwards(row, ("meter_start", start), ("meter_end", end), rolls_at),
    }
    Some(Applied::Meter { start, end, unit, rolls_at, replaced: old_end.zip(new_start) })
}

/// A register runs forwards, or through zero where it is said to.
fn forwards(row: &mut Row<'_>, first: (&'static str, f64), last: (&'static str, f64), rolls_at: Option<f64>) {
    match rolls_at {
        None if last.1 < first.1 => {
            let (name, reading) = (first.0, plain(first.1));
            let expected = format!("at least {name} ({reading}), or meter_rolls_at filled if the register passed zero");
            row.problem_like(last.0, expected, &plain(first.1 + 750.0));
        }
        Some(rolls_at) => {
            for (name, reading) in [first, last] {
                if reading > rolls_at {
                    row.problem_like(name, format!("at most meter_rolls_at ({})", plain(rolls_at)), "");
                }
            }
        }
        None => {}
    }
}

fn runtime(row: &mut Row<'_>) -> Option<Applied> {
    row.need("run_hours", "the hours the set ran");
    let hours = row.exact("run_hours", above(0.0).up_to(9_999.0));
    let flow = row.float("emitter_flow_gph", above(0.0).up_to(100_000.0)).map(GallonsPerHour::of);
    let emitters = row.whole("emitters", from(1.0).up_to(100_000_000.0));
    Some(Applied::Runtime { hours: hours?, flow, emitters })
}

pub(super) fn print(set: &IrrigationSet) -> Vec<(&'static str, String)> {
    let printed = Printed::default().put("date", set.date);
    let printed = match set.applied {
        Applied::Meter { start, end, unit, rolls_at, replaced } => printed
            .float("meter_start", start)
            .float("meter_end", end)
            .put("meter_unit", unit.word())
            .maybe_float("meter_rolls_at", rolls_at)
            .maybe_float("old_meter_end", replaced.map(|(old, _)| old))
            .maybe_float("new_meter_start", replaced.map(|(_, new)| new)),
        Applied::Runtime { hours, flow, emitters } => printed
            .put("run_hours", hours)
            .maybe_float("emitter_flow_gph", flow.map(GallonsPerHour::get))
            .maybe("emitters", emitters),
        Applied::Depth(depth) => printed.float("depth_in", depth.get()),
    };
    printed.text("note", &set.note).done()
}
