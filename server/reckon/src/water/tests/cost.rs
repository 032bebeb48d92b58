//! What a season's water costs: exact over the sets, rounded once for the line.

use super::*;
use crate::exact::Hours;
use crate::units::GallonsPerHour;

/// Month, day and hundredths of an hour of a season's sets.
const SETS: [(u32, u32, i64); 32] = [
    (4, 1, 2975),
    (4, 16, 1775),
    (4, 25, 1750),
    (5, 2, 1700),
    (5, 9, 1725),
    (5, 15, 1925),
    (5, 20, 1925),
    (5, 25, 1875),
    (5, 30, 1925),
    (6, 3, 1725),
    (6, 8, 1925),
    (6, 12, 1700),
    (6, 17, 1875),
    (6, 22, 2000),
    (6, 26, 1450),
    (6, 30, 1625),
    (7, 4, 1500),
    (7, 8, 1575),
    (7, 17, 1550),
    (7, 25, 1575),
    (7, 29, 1525),
    (8, 1, 1475),
    (8, 6, 1550),
    (8, 10, 1600),
    (8, 14, 1650),
    (8, 24, 1850),
    (8, 28, 1450),
    (9, 5, 1775),
    (9, 11, 1775),
    (9, 22, 1800),
    (10, 1, 1800),
    (10, 14, 1250),
];

/// 331 emitters of 16 gal/h at $126 an acre-foot, from 15 July at $158. In fractions, with a gallon
/// 7/2,280,960 of an acre-foot: 1,255.764 9. Each set to a millionth of an acre-foot gave 1,255.77.
#[test]
fn sets_are_added_up_exactly_and_the_line_is_rounded_once() {
    let mut records = dry(1);
    records.weather.clear();
    records.block.trees = Some(331);
    records.block.emitters_per_tree = Some(1.0);
    records.block.emitter_flow = GallonsPerHour::new(16.0);
    records.rates = kept([water_rate(date(1, 1), 126), water_rate(date(7, 15), 158)]);
    let set = |(month, day, hundredths): (u32, u32, i64)| {
        let hours = Hours::from_micros(hundredths * 10_000);
        let applied = Applied::Runtime { hours, flow: None, emitters: None };
        IrrigationSet { date: date(month, day), applied, note: String::new() }
    };
    records.irrigation = kept(SETS.map(set));
    let cost = season(&records).0.cost.unwrap().value;
    assert_eq!(cost, Money::from_cents(125_576));
    // The statement, and the tax form's line, say the same.
    let statement = crate::reckon(&records).statement;
    let line = statement.line(crate::season::StatementKey::Water).unwrap();
    assert_eq!(line.amount.value, cost.negated());
}
