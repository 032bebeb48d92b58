//! Lines of a settlement: what was sold, its price, and what was kept back.

use reckon::exact::{Pounds, unit};
use reckon::money::{Money, UnitPrice};
use reckon::records::{Charges, SettlementLine, Sold};
use rust_decimal::Decimal;

use crate::column::{BLOCK, Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{BOXES, DateRule, EITHER_SIGN, PERCENT, POUNDS, Row, from};

pub(super) const COLUMNS: &[Column] = &[
    day("date", "Day", "Date of the settlement."),
    BLOCK,
    text("buyer", "Buyer", "Your own name for the buyer. Blank = not said.", "Valley packing shed"),
    text("size_class", "Size class", "Size class, in the words of your list. Blank = the price holds for all.", "56"),
    text("grade", "Grade", "Grade, in the words of your list. Blank = the price holds for all.", "first"),
    number("boxes", "Boxes", "boxes", "Boxes settled, with a price for a box.", "412"),
    number("price_usd_per_box", "Price of a box", "$/box", "Dollars a box before charges.", "18.50"),
    number("weight_lb", "Pounds", "lb", "Pounds settled, with a price for a pound.", "10300"),
    number("price_usd_per_lb", "Price of a pound", "$/lb", "Dollars a pound before charges.", "0.74"),
    number("weight_tons", "Tons", "tons", "Tons of 2,000 lb settled, with a price for a ton.", "5.15"),
    number("price_usd_per_ton", "Price of a ton", "$/ton", "Dollars a ton of 2,000 lb before charges.", "420"),
    number("adjustment_usd", "Adjustment", "$", "Dollars paid later, no fruit; minus when paid back.", "-120.50"),
    number(
        "packing_usd_per_box",
        "Packing",
        "$/box",
        "Packing charge for a box, of boxes settled. Blank = none.",
        "4.25",
    ),
    number(
        "cooling_usd_per_box",
        "Cooling",
        "$/box",
        "Cooling and storage charge for a box, of boxes settled. Blank = none.",
        "0.80",
    ),
    number(
        "freight_usd_per_box",
        "Freight",
        "$/box",
        "Freight charge for a box, of boxes settled. Blank = none.",
        "1.10",
    ),
    number("commission_pct", "Sales commission", "%", "Sales commission in percent of gross. Blank = none.", "8"),
    number(
        "lump_charge_usd",
        "Lump charge",
        "$",
        "Any other charge in dollars; minus for a credit. Blank = none.",
        "75",
    ),
    NOTE,
];

/// Pounds in a short ton, exact (NIST SP 811, appendix B).
const POUNDS_PER_TON: i64 = 2_000;

pub(super) fn read(row: &mut Row<'_>) -> Option<SettlementLine> {
    let date = row.date("date", DateRule::InSeason);
    let sold = sold(row);
    let charges = charges(row);
    Some(SettlementLine {
        date: date?,
        buyer: row.text("buyer"),
        size_class: row.maybe_text("size_class"),
        grade: row.maybe_text("grade"),
        sold: sold?,
        charges,
        note: row.text("note"),
    })
}

/// Ways to say what was sold: the quantity and its price.
const WAYS: [&[&str]; 4] = [
    &["boxes", "price_usd_per_box"],
    &["weight_lb", "price_usd_per_lb"],
    &["weight_tons", "price_usd_per_ton"],
    &["adjustment_usd"],
];

fn sold(row: &mut Row<'_>) -> Option<Sold> {
    let Some(way) = WAYS.into_iter().find(|way| way.iter().any(|name| row.has(name))) else {
        if row.has("lump_charge_usd") {
            return Some(Sold::Adjustment(Money::ZERO));
        }
        row.problem("boxes", "boxes, pounds or tons with a price, or an adjustment");
        return None;
    };
    let first = way.iter().copied().find(|name| row.has(name)).unwrap_or_default();
    for name in WAYS.into_iter().filter(|other| *other != way).flatten() {
        row.refuse(name, &format!("{first} is filled and a line is settled one way only"));
    }
    for name in way {
        row.need(name, &format!("a number here too, as {first} is filled"));
    }
    match first {
        "boxes" | "price_usd_per_box" => {
            let (boxes, price) = (row.exact("boxes", BOXES), row.price("price_usd_per_box"));
            Some(Sold::Boxes { boxes: boxes?, price: price? })
        }
        "weight_lb" | "price_usd_per_lb" => {
            let (weight, price) = (row.exact("weight_lb", POUNDS), row.price("price_usd_per_lb"));
            Some(Sold::Weight { weight: weight?, price: price? })
        }
        "adjustment_usd" => row.money("adjustment_usd", EITHER_SIGN).map(Sold::Adjustment),
        _ => tons(row),
    }
}

/// Tons and dollars a ton as pounds and dollars a pound, without losing a part of a cent.
fn tons(row: &mut Row<'_>) -> Option<Sold> {
    let tons = row.decimal("weight_tons", from(0.0).up_to(499_999.0));
    let per_ton = row.decimal("price_usd_per_ton", from(0.0).up_to(999_999.0));
    let pounds = tons?.checked_mul(Decimal::from(POUNDS_PER_TON)).and_then(|pounds| Pounds::new(pounds).ok());
    let per_pound = per_ton?.checked_div(Decimal::from(POUNDS_PER_TON))?;
    let price: UnitPrice<unit::Pound> = UnitPrice::round(per_pound).ok()?;
    if price.decimal() != per_pound {
        row.problem("price_usd_per_ton", "dollars and cents a ton, or the price of a pound in price_usd_per_lb");
    }
    Some(Sold::Weight { weight: pounds?, price })
}

fn charges(row: &mut Row<'_>) -> Charges {
    if !row.has("boxes") {
        for name in ["packing_usd_per_box", "cooling_usd_per_box", "freight_usd_per_box"] {
            row.refuse(name, "the line has no boxes; a charge not by the box goes to lump_charge_usd");
        }
    }
    Charges {
        packing: row.price("packing_usd_per_box").unwrap_or_default(),
        cooling: row.price("cooling_usd_per_box").unwrap_or_default(),
        freight: row.price("freight_usd_per_box").unwrap_or_default(),
        commission: row.exact("commission_pct", PERCENT).unwrap_or_default(),
        lump: row.money("lump_charge_usd", EITHER_SIGN).unwrap_or_default(),
    }
}

pub(super) fn print(line: &SettlementLine) -> Vec<(&'static str, String)> {
    let printed = Printed::default()
        .put("date", line.date)
        .text("buyer", &line.buyer)
        .maybe("size_class", line.size_class.as_ref())
        .maybe("grade", line.grade.as_ref());
    let printed = match line.sold {
        Sold::Boxes { boxes, price } => printed.put("boxes", boxes).put("price_usd_per_box", price),
        Sold::Weight { weight, price } => printed.put("weight_lb", weight).put("price_usd_per_lb", price),
        Sold::Adjustment(money) => printed.put("adjustment_usd", money),
    };
    let charge = |price: UnitPrice<unit::Carton>| Some(price).filter(|price| *price != UnitPrice::ZERO);
    printed
        .maybe("packing_usd_per_box", charge(line.charges.packing))
        .maybe("cooling_usd_per_box", charge(line.charges.cooling))
        .maybe("freight_usd_per_box", charge(line.charges.freight))
        .maybe("commission_pct", Some(line.charges.commission).filter(|percent| !percent.is_zero()))
        .maybe("lump_charge_usd", Some(line.charges.lump).filter(|money| !money.is_zero()))
        .text("note", &line.note)
        .done()
}
