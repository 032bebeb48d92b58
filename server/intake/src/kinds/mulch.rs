//! Mulch laid.

use reckon::exact::Years;
use reckon::records::{MulchApplication, MulchKind, MulchShape};
use reckon::units::{Feet, Inches};

use crate::column::{BLOCK, Column, NOTE, choice, day, number, text, words};
use crate::kinds::Printed;
use crate::row::{DateRule, Row, above, from, plain};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day laid", "Day it was laid; it may be of an earlier season."),
    BLOCK,
    text("material", "Material", "What it is.", "wood chips").required(),
    choice(
        "kind",
        "Kind",
        words!(MulchKind),
        "Organic or plastic; the two save water by different rules. Blank = organic.",
        "organic",
    ),
    number("depth_in", "Depth", "in", "Depth as laid, in inches.", "4").required(),
    number(
        "strip_width_ft",
        "Width of the strip",
        "ft",
        "Whole width of a strip along each row, in feet. Give a strip, a ring, or a share.",
        "6",
    ),
    number(
        "ring_radius_ft",
        "Radius of the ring",
        "ft",
        "How far a ring reaches from each trunk, in feet. Give a strip, a ring, or a share.",
        "3",
    ),
    number(
        "share_pct",
        "Share of the surface",
        "%",
        "Percent of the block's whole surface. Give a strip, a ring, or a share.",
        "30",
    ),
    number(
        "clear_radius_in",
        "Kept clear around trunks",
        "in",
        "Bare ring around each trunk, in inches. Blank = 12.",
        "12",
    ),
    number("life_years", "Years it lasts", "years", "Years it is expected to last. Blank = 2.", "2"),
    number("material_usd", "Material", "$", "What the material cost; 0 = free. Blank = not said.", "1850"),
    number("delivery_usd", "Delivery", "$", "What bringing it cost; 0 = free. Blank = not said.", "240"),
    number(
        "spreading_usd",
        "Spreading",
        "$",
        "What spreading it cost, where that is not in the labor entries. Blank = not said.",
        "600",
    ),
    NOTE,
];

const SHAPES: &[&str] = &["strip_width_ft", "ring_radius_ft", "share_pct"];
/// Bare ring around a trunk when nothing is said: 12 to 18 in, common practice, no source.
const CLEAR_RADIUS_IN: f64 = 12.0;
/// Years a mulch lasts when nothing is said, in millionths; common practice, no source.
const LIFE_MICROS: i64 = 2_000_000;

pub(super) fn read(row: &mut Row<'_>) -> Option<MulchApplication> {
    let date = row.date("date", DateRule::NotAfterSeason);
    let kind = row.choice("kind", &MulchKind::ALL, MulchKind::word).unwrap_or(MulchKind::Organic);
    let depth = row.float("depth_in", above(0.0).up_to(60.0));
    let clear_radius = row.float("clear_radius_in", from(0.0).up_to(120.0)).unwrap_or(CLEAR_RADIUS_IN);
    let shape = shape(row, clear_radius);
    let life = row.exact("life_years", above(0.0).up_to(50.0)).unwrap_or(Years::from_micros(LIFE_MICROS));
    let material_cost = row.money("material_usd", from(0.0));
    let delivery_cost = row.money("delivery_usd", from(0.0));
    let spreading_cost = row.money("spreading_usd", from(0.0));
    Some(MulchApplication {
        date: date?,
        material: row.maybe_text("material")?,
        kind,
        depth: Inches::of(depth?),
        shape: shape?,
        clear_radius: Inches::of(clear_radius),
        life,
        material_cost,
        delivery_cost,
        spreading_cost,
        note: row.text("note"),
    })
}

fn shape(row: &mut Row<'_>, clear_radius_in: f64) -> Option<MulchShape> {
    row.need_any(SHAPES);
    match row.only_one(SHAPES)? {
        "strip_width_ft" => {
            row.float("strip_width_ft", above(0.0).up_to(100.0)).map(|width| MulchShape::Strip(Feet::of(width)))
        }
        "ring_radius_ft" => {
            let radius = row.float("ring_radius_ft", above(0.0).up_to(100.0))?;
            if radius * 12.0 <= clear_radius_in {
                let expected = format!("a ring beyond the part kept clear ({} in)", plain(clear_radius_in));
                row.problem("ring_radius_ft", expected);
            }
            Some(MulchShape::Ring(Feet::of(radius)))
        }
        _ => row.float("share_pct", above(0.0).up_to(100.0)).map(MulchShape::SharePct),
    }
}

pub(super) fn print(mulch: &MulchApplication) -> Vec<(&'static str, String)> {
    let printed = Printed::default()
        .put("date", mulch.date)
        .text("material", &mulch.material)
        .put("kind", mulch.kind.word())
        .float("depth_in", mulch.depth.get());
    let printed = match mulch.shape {
        MulchShape::Strip(width) => printed.float("strip_width_ft", width.get()),
        MulchShape::Ring(radius) => printed.float("ring_radius_ft", radius.get()),
        MulchShape::SharePct(share) => printed.float("share_pct", share),
    };
    printed
        .float("clear_radius_in", mulch.clear_radius.get())
        .put("life_years", mulch.life)
        .maybe("material_usd", mulch.material_cost)
        .maybe("delivery_usd", mulch.delivery_cost)
        .maybe("spreading_usd", mulch.spreading_cost)
        .text("note", &mulch.note)
        .done()
}
