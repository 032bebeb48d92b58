//! Rows of settlements.

use reckon::exact::{Boxes, Percent, Pounds};
use reckon::money::{Money, UnitPrice};
use reckon::records::{Charges, SettlementLine, Sold};

use crate::read::{Bad, given};

record_row! {
    Settlement, SettlementLine, "settlement",
    place { block_id: Uuid, }
    fields {
        buyer: String,
        size_class: Option<String>,
        grade: Option<String>,
        sold: String,
        boxes_micros: Option<i64>,
        box_price_micros: Option<i64>,
        weight_lb_micros: Option<i64>,
        pound_price_micros: Option<i64>,
        adjustment_cents: Option<i64>,
        packing_micros: i64,
        cooling_micros: i64,
        freight_micros: i64,
        commission_pct_micros: i64,
        lump_cents: i64,
    }
}

impl From<&SettlementLine> for Fields {
    fn from(line: &SettlementLine) -> Self {
        let mut row = Self {
            day: line.date,
            note: line.note.clone(),
            buyer: line.buyer.clone(),
            size_class: line.size_class.clone(),
            grade: line.grade.clone(),
            sold: String::new(),
            boxes_micros: None,
            box_price_micros: None,
            weight_lb_micros: None,
            pound_price_micros: None,
            adjustment_cents: None,
            packing_micros: line.charges.packing.micros(),
            cooling_micros: line.charges.cooling.micros(),
            freight_micros: line.charges.freight.micros(),
            commission_pct_micros: line.charges.commission.micros(),
            lump_cents: line.charges.lump.cents(),
        };
        row.sell(line.sold);
        row
    }
}

impl Fields {
    fn sell(&mut self, sold: Sold) {
        let word = match sold {
            Sold::Boxes { boxes, price } => {
                (self.boxes_micros, self.box_price_micros) = (Some(boxes.micros()), Some(price.micros()));
                "boxes"
            }
            Sold::Weight { weight, price } => {
                (self.weight_lb_micros, self.pound_price_micros) = (Some(weight.micros()), Some(price.micros()));
                "weight"
            }
            Sold::Adjustment(sum) => {
                self.adjustment_cents = Some(sum.cents());
                "adjustment"
            }
        };
        word.clone_into(&mut self.sold);
    }

    fn sold(&self) -> Result<Sold, Bad> {
        match self.sold.as_str() {
            "boxes" => Ok(Sold::Boxes {
                boxes: Boxes::from_micros(given(self.boxes_micros, "boxes_micros")?),
                price: UnitPrice::from_micros(given(self.box_price_micros, "box_price_micros")?),
            }),
            "weight" => Ok(Sold::Weight {
                weight: Pounds::from_micros(given(self.weight_lb_micros, "weight_lb_micros")?),
                price: UnitPrice::from_micros(given(self.pound_price_micros, "pound_price_micros")?),
            }),
            "adjustment" => Ok(Sold::Adjustment(Money::from_cents(given(self.adjustment_cents, "adjustment_cents")?))),
            _ => Err(Bad("sold")),
        }
    }
}

impl TryFrom<Fields> for SettlementLine {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            sold: row.sold()?,
            charges: Charges {
                packing: UnitPrice::from_micros(row.packing_micros),
                cooling: UnitPrice::from_micros(row.cooling_micros),
                freight: UnitPrice::from_micros(row.freight_micros),
                commission: Percent::from_micros(row.commission_pct_micros),
                lump: Money::from_cents(row.lump_cents),
            },
            buyer: row.buyer,
            size_class: row.size_class,
            grade: row.grade,
            note: row.note,
        })
    }
}
