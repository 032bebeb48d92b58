//! Questions about boxes, weights and prices.

use reckon::block::Block;
use reckon::money::round_half_away;
use reckon::records::{LineOutcome, PackoutLine, Pick, PriceLine, SettlementLine, Sold};
use rust_decimal::Decimal;

use super::{Question, number, question, too_many};

/// Boxes an acre in one line.
const BOXES_PER_ACRE: u32 = 5_000;
/// Pounds an acre in one picking.
const POUNDS_PER_ACRE: u32 = 100_000;
/// Pounds in a box.
const BOX_LB: (u32, u32) = (2, 60);
/// Dollars a box.
const BOX_USD: u32 = 200;
/// Dollars a pound.
const POUND_USD: u32 = 20;

pub(super) fn pick(pick: &Pick, block: Option<&Block>) -> Vec<Question> {
    let asked = pick.weight.and_then(|weight| {
        too_many(weight.decimal(), block, POUNDS_PER_ACRE).map(|acres| {
            let said = format!("{} pounds picked from {acres} acres. Is it so much?", number(weight.decimal()));
            question("weight_lb", said)
        })
    });
    asked.into_iter().collect()
}

pub(super) fn packout(line: &PackoutLine, block: Option<&Block>) -> Vec<Question> {
    let LineOutcome::Packed { boxes, .. } = &line.outcome else { return Vec::new() };
    let boxes = boxes.decimal();
    let many = too_many(boxes, block, BOXES_PER_ACRE).map(|acres| {
        question("boxes", format!("{} boxes from a block of {acres} acres. Is it so much?", number(boxes)))
    });
    let each = line.weight.and_then(|weight| weight.decimal().checked_div(boxes)).filter(|each| {
        let (least, most) = (Decimal::from(BOX_LB.0), Decimal::from(BOX_LB.1));
        *each < least || *each > most
    });
    let weight = each.map(|each| {
        let said =
            format!("A box would weigh {} pounds. Are boxes and weight right?", number(round_half_away(each, 1)));
        question("boxes", said)
    });
    many.into_iter().chain(weight).collect()
}

pub(super) fn settlement(line: &SettlementLine) -> Vec<Question> {
    let asked = match line.sold {
        Sold::Boxes { price, .. } => dear(price.decimal(), BOX_USD, "price_usd_per_box", "a box"),
        Sold::Weight { price, .. } => dear(price.decimal(), POUND_USD, "price_usd_per_lb", "a pound"),
        Sold::Adjustment(_) => None,
    };
    asked.into_iter().collect()
}

pub(super) fn price(line: &PriceLine) -> Option<Question> {
    dear(line.net_price.decimal(), BOX_USD, "net_usd_per_box", "a box")
}

fn dear(price: Decimal, most: u32, column: &'static str, of: &str) -> Option<Question> {
    (price > most.into())
        .then(|| question(column, format!("The price is {} dollars {of}. Is it so much?", number(price))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use reckon::exact::{Acres, Boxes, Pounds};
    use reckon::money::UnitPrice;
    use reckon::records::Charges;

    fn line(boxes: i64, pounds: i64) -> Vec<String> {
        let block = Block { acres: Acres::whole(2).unwrap(), ..Block::default() };
        let line = PackoutLine {
            date: "2026-07-01".parse().unwrap(),
            outcome: LineOutcome::Packed {
                size_class: "56".to_owned(),
                grade: "1".to_owned(),
                boxes: Boxes::whole(boxes).unwrap(),
            },
            weight: Some(Pounds::whole(pounds).unwrap()),
            note: String::new(),
        };
        packout(&line, Some(&block)).into_iter().map(|question| question.sentence).collect()
    }

    #[test]
    fn boxes_and_their_weight() {
        assert!(line(400, 9_000).is_empty());
        assert_eq!(line(40_000, 900_000), ["40,000 boxes from a block of 2 acres. Is it so much?"]);
        assert_eq!(line(40, 9_000), ["A box would weigh 225 pounds. Are boxes and weight right?"]);
        assert!(line(0, 9_000).is_empty());
    }

    #[test]
    fn a_price_with_its_point_lost() {
        let sold = |price| {
            let line = SettlementLine {
                date: "2026-07-01".parse().unwrap(),
                buyer: String::new(),
                size_class: None,
                grade: None,
                sold: Sold::Boxes { boxes: Boxes::whole(10).unwrap(), price: UnitPrice::from_micros(price) },
                charges: Charges::default(),
                note: String::new(),
            };
            settlement(&line).into_iter().map(|question| question.sentence).collect::<Vec<_>>()
        };
        assert!(sold(24_500_000).is_empty());
        assert_eq!(sold(2_450_000_000), ["The price is 2,450 dollars a box. Is it so much?"]);
    }
}
