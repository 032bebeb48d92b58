//! Rows of costs. A cost is a block's, a farm's, or (with neither) the whole operation's.

use reckon::money::Money;
use reckon::records::{Cost, CostGroup, SharedBasis};

use crate::read::{Bad, word};

record_row! {
    Cost, Cost, "cost",
    place { block_id: Option<Uuid>, farm_id: Option<Uuid>, }
    fields {
        payee: String,
        category: String,
        cost_group: String,
        amount_cents: i64,
        basis: String,
    }
}

impl From<&Cost> for Fields {
    fn from(cost: &Cost) -> Self {
        Self {
            day: cost.date,
            note: cost.note.clone(),
            payee: cost.payee.clone(),
            category: cost.category.clone(),
            cost_group: cost.group.word().to_owned(),
            amount_cents: cost.amount.cents(),
            basis: cost.basis.word().to_owned(),
        }
    }
}

impl TryFrom<Fields> for Cost {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        Ok(Self {
            date: row.day,
            payee: row.payee,
            category: row.category,
            group: word(&CostGroup::ALL, CostGroup::word, &row.cost_group, "cost_group")?,
            amount: Money::from_cents(row.amount_cents),
            basis: word(&SharedBasis::ALL, SharedBasis::word, &row.basis, "basis")?,
            note: row.note,
        })
    }
}
