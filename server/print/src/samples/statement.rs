use reckon::block::Block;
use reckon::break_even::{CropCosts, CropUnit, Levels};
use reckon::figure::{Evidence, Figure, RecordKind, RecordRef};
use reckon::money::{Money, UnitPrice};
use reckon::ranging::Crop;
use reckon::season::{LaborSeason, LineRole, PackoutSeason, Statement, StatementKey, StatementLine};
use rust_decimal::Decimal;

use super::lines;

/// Charges kept back by the buyer, in cents.
const CHARGES: i64 = -7_869_420;

pub(super) fn statement(block: &Block, labor: &LaborSeason, packout: &PackoutSeason) -> Statement {
    let net: i64 = packout.sizes.iter().filter_map(|size| size.net.as_ref()).map(|net| net.value.cents()).sum();
    let thinning = labor.thinning.as_ref().map_or(0, |thinning| -thinning.cost.value.cents());
    let mut book = Writer { block, packout, lines: Vec::new() };
    let sold = lines(RecordKind::Settlement, 2, 9);
    book.item(StatementKey::Gross, net - CHARGES, Evidence::Invoiced, sold.clone());
    book.item(StatementKey::Charges, CHARGES, Evidence::Invoiced, sold.clone());
    book.sum(StatementKey::NetToGrower, LineRole::Subtotal, net, Evidence::Invoiced);
    let growing = [
        (StatementKey::ThinningLabor, thinning, Evidence::Metered, lines(RecordKind::Labor, 21, 41)),
        (StatementKey::OtherGrowingLabor, -1_389_200, Evidence::Metered, lines(RecordKind::Labor, 2, 53)),
        (StatementKey::Water, -174_944, Evidence::Metered, lines(RecordKind::Irrigation, 2, 44)),
        (StatementKey::OtherGrowing, -3_304_815, Evidence::Invoiced, lines(RecordKind::Cost, 2, 14)),
        (StatementKey::HarvestLabor, -2_933_050, Evidence::Metered, lines(RecordKind::Labor, 96, 28)),
        (StatementKey::OtherHarvest, -412_200, Evidence::Invoiced, lines(RecordKind::Cost, 16, 3)),
        (StatementKey::Assessments, -98_640, Evidence::Invoiced, lines(RecordKind::Cost, 19, 1)),
        (StatementKey::Interest, -141_305, Evidence::Invoiced, lines(RecordKind::Cost, 20, 1)),
    ];
    let operating: i64 = growing.iter().map(|(_, cents, ..)| cents).sum();
    for (key, cents, evidence, refs) in growing {
        book.item(key, cents, evidence, refs);
    }
    book.sum(StatementKey::OperatingCosts, LineRole::Subtotal, operating, Evidence::Invoiced);
    book.sum(StatementKey::OverOperating, LineRole::Subtotal, net + operating, Evidence::Invoiced);
    book.item(StatementKey::CashOverhead, -1_250_480, Evidence::Invoiced, lines(RecordKind::Cost, 21, 6));
    let over_cash = net + operating - 1_250_480;
    book.sum(StatementKey::OverCash, LineRole::Subtotal, over_cash, Evidence::Invoiced);
    book.item(StatementKey::MulchOverLife, -231_450, Evidence::Modelled, lines(RecordKind::Mulch, 2, 2));
    book.item(StatementKey::NonCashOverhead, -1_573_430, Evidence::Modelled, lines(RecordKind::Cost, 27, 2));
    book.sum(StatementKey::OverAll, LineRole::Total, over_cash - 231_450 - 1_573_430, Evidence::Modelled);
    let unsettled = Some(Figure::new(Money::from_cents(412_850), Evidence::Assumed, lines(RecordKind::Price, 2, 4)));
    let crop = crop(block, packout, net - CHARGES);
    let cost = |level: i64| {
        book.lines.last().map_or_else(|| crop_cost(level), |line| line.amount.map(Money::from_cents(level)))
    };
    let costs = Levels {
        operating: cost(-operating - CHARGES),
        cash: cost(-operating - CHARGES + 1_250_480),
        all: cost(-operating - CHARGES + 1_250_480 + 231_450 + 1_573_430),
    };
    Statement {
        break_even: crop.break_even(&costs),
        ranging: crop.ranging(),
        lines: book.lines,
        pounds: packout.weight.as_ref().map(|weight| weight.value),
        unsettled,
    }
}

fn crop_cost(cents: i64) -> Figure<Money> {
    Figure::new(Money::from_cents(cents), Evidence::Invoiced, [])
}

/// The boxes of the sample with its costs by what they follow, in dollars.
fn crop(block: &Block, packout: &PackoutSeason, gross: i64) -> Crop {
    let dollars = |cents: i64| Money::from_cents(cents).decimal();
    let quantity = packout.boxes.as_ref().map_or(Decimal::ONE, |boxes| boxes.value.decimal());
    Crop {
        unit: CropUnit::Box,
        costs: CropCosts {
            quantity,
            fixed: dollars(5_010_264),
            by_yield: dollars(-CHARGES + 2_933_050 + 412_200 + 98_640),
            of_gross: Decimal::ZERO,
            cash_overhead: dollars(1_250_480),
            non_cash_overhead: dollars(231_450 + 1_573_430),
        },
        price: Some(dollars(gross) / quantity),
        acres: block.acres,
        evidence: Evidence::Invoiced,
        records: lines(RecordKind::Settlement, 2, 9),
    }
}

struct Writer<'s> {
    block: &'s Block,
    packout: &'s PackoutSeason,
    lines: Vec<StatementLine>,
}

impl Writer<'_> {
    fn item(&mut self, key: StatementKey, cents: i64, evidence: Evidence, refs: Vec<RecordRef>) {
        self.push(key, LineRole::Item, Figure::new(Money::from_cents(cents), evidence, refs));
    }

    /// A sum rests on every record named so far.
    fn sum(&mut self, key: StatementKey, role: LineRole, cents: i64, evidence: Evidence) {
        let refs: Vec<RecordRef> = self.lines.iter().flat_map(|line| line.amount.records.clone()).collect();
        self.push(key, role, Figure::new(Money::from_cents(cents), evidence, refs));
    }

    fn push(&mut self, key: StatementKey, role: LineRole, amount: Figure<Money>) {
        let exact = amount.value.decimal();
        let boxes = self.packout.boxes.as_ref().map(|boxes| boxes.value.decimal());
        self.lines.push(StatementLine {
            key,
            role,
            per_acre: UnitPrice::spread(exact, self.block.acres.decimal()),
            per_tree: self.block.trees.and_then(|trees| UnitPrice::spread(exact, Decimal::from(trees))),
            per_box: boxes.and_then(|boxes| UnitPrice::spread(exact, boxes)),
            per_pound: self.packout.weight.as_ref().and_then(|w| UnitPrice::spread(exact, w.value.decimal())),
            amount,
        });
    }
}
