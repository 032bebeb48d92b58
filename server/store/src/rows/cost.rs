//! Rows of costs. A cost is a block's, a farm's, or (with neither) the whole operation's.

use reckon::exact::Percent;
use reckon::money::Money;
use reckon::records::{Cost, CostGroup, Lasting, SharedBasis, Shares};

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
        shares: String,
        life_years: Option<i64>,
        salvage_cents: Option<i64>,
        interest_pct_micros: Option<i64>,
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
            shares: cost.shares.to_string(),
            life_years: cost.lasting.map(|lasting| i64::from(lasting.life_years)),
            salvage_cents: cost.lasting.map(|lasting| lasting.salvage.cents()),
            interest_pct_micros: cost.lasting.map(|lasting| lasting.rate.micros()),
        }
    }
}

impl TryFrom<Fields> for Cost {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let lasting = lasting(row.life_years, row.salvage_cents, row.interest_pct_micros)?;
        Ok(Self {
            date: row.day,
            payee: row.payee,
            category: row.category,
            group: word(&CostGroup::ALL, CostGroup::word, &row.cost_group, "cost_group")?,
            amount: Money::from_cents(row.amount_cents),
            basis: word(&SharedBasis::ALL, SharedBasis::word, &row.basis, "basis")?,
            shares: Shares::parse(&row.shares).ok_or(Bad("shares"))?,
            lasting,
            note: row.note,
        })
    }
}

/// All three, or none of them.
fn lasting(life_years: Option<i64>, salvage_cents: Option<i64>, rate: Option<i64>) -> Result<Option<Lasting>, Bad> {
    match (life_years, salvage_cents, rate) {
        (None, None, None) => Ok(None),
        (Some(years), Some(salvage), Some(rate)) => Ok(Some(Lasting {
            life_years: u32::try_from(years).map_err(|_| Bad("life_years"))?,
            salvage: Money::from_cents(salvage),
            rate: Percent::from_micros(rate),
        })),
        _ => Err(Bad("life_years")),
    }
}
