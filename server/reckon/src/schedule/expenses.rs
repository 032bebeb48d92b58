//! What was paid, and the form's lines added up.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::words::{CREW, SOLD_NET, WATER};
use super::{FormLine, PART_II, Placing, suggest};
use crate::costs;
use crate::exact::Percent;
use crate::labor::entry_cost;
use crate::money::Money;
use crate::packout::line_money;
use crate::rates::Rates;
use crate::records::{LaborEntry, Loading, Pay};
use crate::season::SeasonRecords;
use crate::water::applied;
use crate::{interest, mulch};

/// One expense of a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expense {
    /// What it was for.
    pub what: String,
    /// Dollars; a credit is below zero.
    pub amount: Money,
    /// Where it goes.
    pub placing: Placing,
}

/// A line of the form and what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScheduleLine {
    /// The line.
    pub line: FormLine,
    /// Its sum.
    pub amount: Money,
    /// What it was for, with its sum and what to look at; by name.
    pub parts: Vec<(String, Money, &'static str)>,
}

/// The form's lines for several blocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScheduleF {
    /// Gross of settlements: Part I, line 2.
    pub sales: Money,
    /// Lines with an amount, in the order of the form.
    pub lines: Vec<ScheduleLine>,
    /// Costs for which a person must choose a line.
    pub to_choose: Vec<(String, Money)>,
    /// Costs that never go on the form, and why.
    pub left_out: Vec<(String, Money, &'static str)>,
    /// Mulch laid in the season, whole: it stands in the supplies, and on the statement over its life.
    pub mulch: Money,
}

/// The block's expenses in its season: labor, water, mulch bought, its part of invoices, and what
/// packers kept back.
pub fn expenses(records: &SeasonRecords) -> Vec<Expense> {
    let mut found = labor(records);
    found.extend(water(records));
    found.push(supplied(mulch_bought(records)));
    found.extend(costs::parts(records).into_iter().map(|part| {
        let placing = if part.cost.lasting.is_some() {
            Placing::LeftOut(super::words::ECONOMIC)
        } else {
            suggest(part.cost.group, &part.cost.category)
        };
        Expense { what: part.cost.category.clone(), amount: part.amount, placing }
    }));
    found.extend(kept_back(records));
    let (imputed, _) = interest::season(records);
    found.extend(imputed.map(|figure| {
        let placing = Placing::LeftOut("Reckoned, and paid to nobody: enter the interest paid as a cost.");
        Expense { what: "interest on operating capital".into(), amount: figure.value, placing }
    }));
    found.retain(|expense| !expense.amount.is_zero());
    found
}

/// Pay, and apart from it what own payroll costs on top: taxes go to another line than wages.
fn labor(records: &SeasonRecords) -> Vec<Expense> {
    let rates = Rates::new(&records.rates);
    let mut found = Vec::new();
    for entry in records.labor.iter().map(|kept| &kept.record) {
        let Ok(loaded) = entry_cost(entry, rates) else { continue };
        let bare = LaborEntry { loading: Loading::Payroll(Percent::ZERO), ..entry.clone() };
        let pay = entry_cost(&bare, rates).unwrap_or(loaded);
        let crew = matches!(entry.pay, Pay::Contract(_)) || matches!(entry.loading, Loading::Commission(_));
        if crew {
            found.push(Expense { what: "labor contractor".into(), amount: loaded, placing: Placing::on("22", CREW) });
            continue;
        }
        found.push(Expense { what: "wages".into(), amount: pay, placing: Placing::on("22", "") });
        let placing = Placing::on("29", "Employer's payroll taxes; a health plan in it goes to 15, insurance to 20.");
        found.push(Expense { what: "payroll costs".into(), amount: loaded.minus(pay), placing });
    }
    found
}

fn water(records: &SeasonRecords) -> Option<Expense> {
    let rates = Rates::new(&records.rates);
    let charges = records.irrigation.iter().filter_map(|kept| applied::charge_of(&kept.record, &records.block, rates));
    let paid: Decimal = charges.sum();
    let amount = Money::round(applied::in_dollars(paid)?).ok()?;
    Some(Expense { what: "irrigation water".into(), amount, placing: Placing::on("30", WATER) })
}

/// Mulch bought in the season, whole: the form knows no life of a mulch.
fn mulch_bought(records: &SeasonRecords) -> Money {
    let laid = records.mulch.iter().map(|kept| &kept.record).filter(|laid| records.season.holds(laid.date));
    laid.filter_map(mulch::whole_cost).sum()
}

fn supplied(amount: Money) -> Expense {
    let comment = "Mulch for several years may have to be capitalized: ask the bookkeeper.";
    Expense { what: "mulch".into(), amount, placing: Placing::on("28", comment) }
}

fn kept_back(records: &SeasonRecords) -> Vec<Expense> {
    let lines: Vec<_> = records.settlements.iter().map(|kept| line_money(&kept.record)).collect();
    let charge = |what: &str, number, comment, amount: Money| Expense {
        what: what.into(),
        amount,
        placing: Placing::on(number, comment),
    };
    vec![
        charge("packing", "32", SOLD_NET, lines.iter().map(|line| line.packing).sum()),
        charge("cooling and storage", "27", SOLD_NET, lines.iter().map(|line| line.cooling).sum()),
        charge("freight", "18", SOLD_NET, lines.iter().map(|line| line.freight).sum()),
        charge("sales commission", "32", SOLD_NET, lines.iter().map(|line| line.commission).sum()),
        charge("other charges", "32", SOLD_NET, lines.iter().map(|line| line.lump).sum()),
    ]
}

/// The form's lines for these blocks. Parts of shared invoices add up to the invoice again.
pub fn schedule<'r>(blocks: impl IntoIterator<Item = &'r SeasonRecords>) -> ScheduleF {
    let mut lines: BTreeMap<&str, BTreeMap<(String, &'static str), Money>> = BTreeMap::new();
    let mut to_choose: BTreeMap<String, Money> = BTreeMap::new();
    let mut left_out: BTreeMap<(String, &'static str), Money> = BTreeMap::new();
    let (mut sales, mut mulch) = (Money::ZERO, Money::ZERO);
    for records in blocks {
        sales = records.settlements.iter().map(|kept| line_money(&kept.record).gross).fold(sales, Money::plus);
        mulch = mulch.plus(mulch_bought(records));
        for expense in expenses(records) {
            let sum = match expense.placing {
                Placing::Line(line, note) => lines.entry(line.number).or_default().entry((expense.what, note)),
                Placing::LeftOut(why) => left_out.entry((expense.what, why)),
                Placing::Choose => {
                    let sum = to_choose.entry(expense.what).or_default();
                    *sum = sum.plus(expense.amount);
                    continue;
                }
            }
            .or_default();
            *sum = sum.plus(expense.amount);
        }
    }
    let named = |((what, note), amount): ((String, &'static str), Money)| (what, amount, note);
    let line = |line: &FormLine| {
        let parts: Vec<_> = lines.remove(line.number)?.into_iter().map(named).collect();
        Some(ScheduleLine { line: *line, amount: parts.iter().map(|(_, amount, _)| *amount).sum(), parts })
    };
    ScheduleF {
        sales,
        lines: PART_II.iter().filter_map(line).collect(),
        to_choose: to_choose.into_iter().collect(),
        left_out: left_out.into_iter().map(named).collect(),
        mulch,
    }
}
