//! Who pays for which boxes, what they are worth, and shares that sum to 100.

mod ties;

use super::*;
use crate::exact::Percent;
use crate::records::{Charges, OwnSize, PriceLine, SettlementLine};
use crate::testing::{date, dec, kept, records};

fn boxes(text: &str) -> Boxes {
    Boxes::new(dec(text)).unwrap()
}

fn pounds(n: i64) -> Pounds {
    Pounds::whole(n).unwrap()
}

fn line(day: u32, size: &str, grade: &str, n: i64, lb_per_box: Option<i64>) -> PackoutLine {
    PackoutLine {
        date: date(7, day),
        outcome: LineOutcome::Packed { size_class: size.into(), grade: grade.into(), boxes: Boxes::whole(n).unwrap() },
        weight: lb_per_box.map(|each| pounds(each * n)),
        note: String::new(),
    }
}

fn cull(cause: &str, lb: i64) -> PackoutLine {
    PackoutLine {
        outcome: LineOutcome::Culled { cause: cause.into() },
        weight: Some(pounds(lb)),
        ..line(1, "", "", 0, None)
    }
}

fn settlement(size: Option<&str>, grade: Option<&str>, sold: Sold) -> SettlementLine {
    SettlementLine {
        date: date(8, 3),
        buyer: String::new(),
        size_class: size.map(Into::into),
        grade: grade.map(Into::into),
        sold,
        charges: Charges::default(),
        note: String::new(),
    }
}

fn by_box(n: &str, price: &str) -> Sold {
    Sold::Boxes { boxes: boxes(n), price: UnitPrice::round(dec(price)).unwrap() }
}

fn by_pound(n: i64, price: &str) -> Sold {
    Sold::Weight { weight: pounds(n), price: UnitPrice::round(dec(price)).unwrap() }
}

fn price(day: u32, size: Option<&str>, grade: Option<&str>, each: &str) -> PriceLine {
    PriceLine {
        from: date(7, day),
        crop: None,
        size_class: size.map(Into::into),
        grade: grade.map(Into::into),
        net_price: UnitPrice::round(dec(each)).unwrap(),
        note: String::new(),
    }
}

fn season_of(
    packout: Vec<PackoutLine>,
    settlements: Vec<SettlementLine>,
    prices: Vec<PriceLine>,
) -> (PackoutSeason, Sales, Vec<Gap>) {
    let mut all = records();
    all.packout = kept(packout);
    all.settlements = kept(settlements);
    all.prices = kept(prices);
    super::season(&all)
}

fn net(cell: &crate::season::PackoutCell) -> Option<(i64, Evidence)> {
    cell.net.as_ref().map(|net| (net.value.cents(), net.evidence))
}

fn said(gaps: &[Gap]) -> Vec<&str> {
    gaps.iter().map(|gap| gap.what.as_str()).collect()
}

#[test]
fn a_line_of_money_rounds_each_product_once() {
    let charges = Charges {
        packing: UnitPrice::round(dec("3.333333")).unwrap(),
        cooling: UnitPrice::round(dec("0.75")).unwrap(),
        freight: UnitPrice::ZERO,
        commission: Percent::new(dec("8")).unwrap(),
        lump: Money::from_cents(-250),
    };
    let sold = SettlementLine { charges, ..settlement(None, None, by_box("101", "16.55")) };
    let money = line_money(&sold);
    assert_eq!(money.gross.cents(), 167_155);
    // 336.666633 + 75.75 + 133.724 - 2.50
    assert_eq!(money.charges.cents(), 33_667 + 7_575 + 13_372 - 250);
    assert_eq!(money.net(), money.gross.minus(money.charges));
}

#[test]
fn prices_are_weighted_and_sizes_stand_in_list_order() {
    let (season, sales, gaps) = season_of(
        vec![
            line(1, "AA", "Fancy", 300, Some(22)),
            line(1, "B", "Fancy", 100, Some(22)),
            line(2, "AA", "Fancy", 100, Some(22)),
            line(2, "AA", "Choice", 100, Some(22)),
        ],
        vec![
            settlement(Some("AA"), Some("Fancy"), by_box("400", "20")),
            settlement(Some("AA"), Some("Choice"), by_box("100", "10")),
            settlement(Some("B"), Some("Fancy"), by_box("100", "8")),
        ],
        vec![],
    );
    let sizes: Vec<_> = season.sizes.iter().map(|cell| cell.size_class.as_deref().unwrap()).collect();
    assert_eq!(sizes, ["B", "AA"]);
    assert_eq!(season.sizes[1].net_per_box.as_ref().unwrap().value, UnitPrice::from_micros(18_000_000));
    assert_eq!(season.net_per_box.as_ref().unwrap().value, UnitPrice::spread(dec("9800"), dec("600")).unwrap());
    assert_eq!(season.net_per_pound.unwrap().value, UnitPrice::spread(dec("9800"), dec("13200")).unwrap());
    assert_eq!(sales.gross.unwrap().value, Money::from_cents(980_000));
    assert_eq!((sales.charges, sales.unsettled), (None, None));
    assert!(gaps.is_empty());
}

#[test]
fn a_wide_line_pays_what_named_lines_left() {
    let (season, _, gaps) = season_of(
        vec![line(1, "A", "Fancy", 100, None), line(1, "AA", "Fancy", 100, None), line(1, "B", "Fancy", 50, None)],
        vec![
            settlement(None, Some("Fancy"), by_box("150", "10")),
            settlement(Some("AA"), None, by_box("100", "20")),
            settlement(None, None, Sold::Adjustment(Money::from_cents(10_001))),
        ],
        vec![],
    );
    // AA is settled by its own line; the wide one goes to A 100 and B 50; the bonus to all, by boxes.
    let nets: Vec<_> = season.cells.iter().map(|cell| net(cell).unwrap().0).collect();
    assert_eq!(nets, [50_000 + 2_000, 100_000 + 4_001, 200_000 + 4_000]);
    assert_eq!(season.boxes_without_price, None);
    assert_eq!(said(&gaps), ["250 boxes have no weight."]);
}

#[test]
fn what_is_not_settled_takes_the_list_price_of_its_day() {
    let (season, sales, gaps) = season_of(
        vec![line(1, "A", "Fancy", 100, Some(20)), line(9, "A", "Fancy", 60, Some(20))],
        vec![settlement(Some("A"), Some("Fancy"), by_box("80", "20"))],
        vec![price(1, None, None, "1"), price(1, Some("A"), None, "12"), price(8, Some("A"), None, "10")],
    );
    // The first 80 are settled: 20 are left of 1 July at 12, and 60 of 9 July at 10.
    assert_eq!(net(&season.cells[0]), Some((160_000 + 24_000 + 60_000, Evidence::Assumed)));
    assert_eq!(sales.unsettled.as_ref().map(|figure| figure.value.cents()), Some(84_000));
    assert_eq!(season.boxes_unsettled.map(|figure| figure.value), Some(boxes("80")), "160 packed, 80 settled");
    assert_eq!(sales.gross.unwrap().evidence, Evidence::Assumed);
    assert!(gaps.is_empty());
}

#[test]
fn each_class_shows_what_it_brings_over_the_one_below() {
    let (season, ..) = season_of(
        vec![
            line(1, "A", "Fancy", 100, Some(20)),
            line(1, "B", "Fancy", 100, Some(25)),
            line(1, "AA", "Choice", 10, Some(20)),
            line(1, "AAA", "Fancy", 100, Some(20)),
            line(1, "AA", "Fancy", 10, None),
        ],
        vec![
            settlement(Some("B"), Some("Fancy"), by_box("100", "10")),
            settlement(Some("A"), Some("Fancy"), by_box("100", "12")),
            settlement(Some("AAA"), Some("Fancy"), by_box("100", "11")),
        ],
        vec![],
    );
    let premiums: Vec<_> = season
        .cells
        .iter()
        .map(|cell| {
            let pound = cell.premium_per_pound.as_ref().map(|each| each.value.to_string());
            let each_box = cell.premium_per_box.as_ref().map(|each| each.value.to_string());
            (cell.size_class.as_deref().unwrap(), cell.grade.as_deref().unwrap(), pound, each_box)
        })
        .collect();
    let text = |text: &str| Some(text.to_owned());
    assert_eq!(
        premiums,
        [
            ("B", "Fancy", None, None),
            ("A", "Fancy", text("0.20"), text("2.00")),
            ("AA", "Choice", None, None),
            ("AA", "Fancy", None, None),
            // Over A: nothing of AA has a price.
            ("AAA", "Fancy", text("-0.05"), text("-1.00")),
        ]
    );
    assert!(season.grades.iter().all(|grade| grade.premium_per_box.is_none()));
}

#[test]
fn the_earliest_settlement_pays_the_earliest_week() {
    let (season, ..) = season_of(
        // 2026-07-01 is a Wednesday: the first two fall in one week, 6 July begins the next.
        vec![
            line(6, "A", "Fancy", 100, Some(20)),
            line(1, "A", "Fancy", 60, Some(20)),
            line(5, "B", "Fancy", 40, None),
        ],
        vec![
            SettlementLine { date: date(8, 20), ..settlement(Some("A"), None, by_box("60", "10")) },
            SettlementLine { date: date(8, 1), ..settlement(Some("A"), None, by_box("80", "20")) },
            settlement(None, None, Sold::Adjustment(Money::from_cents(2_000))),
        ],
        vec![price(1, Some("A"), None, "5")],
    );
    let weeks: Vec<_> = season
        .weeks
        .iter()
        .map(|week| (week.starts, week.boxes.value, week.net.as_ref().map(|net| (net.value.cents(), net.evidence))))
        .collect();
    assert_eq!(
        weeks,
        [
            // 60 boxes at 20.00, and 10.00 of the adjustment on the 100 boxes.
            (date(6, 29), boxes("100"), Some((121_000, Evidence::Invoiced))),
            // 20 at 20.00, 60 at 10.00, 20 at the list, and the other 10.00.
            (date(7, 6), boxes("100"), Some((40_000 + 60_000 + 10_000 + 1_000, Evidence::Assumed))),
        ]
    );
    assert_eq!(season.weeks[1].net_per_box.as_ref().unwrap().value, UnitPrice::from_micros(11_100_000));
    assert_eq!(season.weeks[1].net_per_pound.as_ref().unwrap().value, UnitPrice::from_micros(555_000));
    assert_eq!((season.weeks[0].weight.as_ref(), season.weeks[0].net_per_pound.as_ref()), (None, None));
}

#[test]
fn boxes_nobody_values_are_counted_and_left_out_of_the_price() {
    let (season, sales, gaps) = season_of(
        vec![line(1, "A", "Fancy", 500, Some(20)), line(1, "B", "Fancy", 12, Some(20))],
        vec![settlement(Some("A"), None, by_box("100", "20"))],
        vec![],
    );
    assert_eq!(said(&gaps), ["412 boxes without a price."]);
    assert_eq!(season.boxes_without_price.unwrap().value, boxes("412"));
    assert_eq!(season.net_per_box.unwrap().value, UnitPrice::from_micros(20_000_000));
    assert_eq!(season.net_per_pound.unwrap().value, UnitPrice::from_micros(1_000_000));
    assert_eq!(season.priced_weight.unwrap().value, pounds(2_000));
    assert_eq!(net(&season.sizes[0]), None);
    assert_eq!(sales.gross.unwrap().value, Money::from_cents(200_000));
}

#[test]
fn more_settled_than_packed_is_asked_about() {
    let (season, _, gaps) = season_of(
        vec![line(1, "AA", "Fancy", 412, Some(22))],
        vec![settlement(Some("AA"), Some("Fancy"), by_box("500", "10")), settlement(Some("C"), None, by_box("5", "4"))],
        vec![],
    );
    assert_eq!(
        said(&gaps),
        [
            "The settlement of 3 August pays for 88 boxes of AA, Fancy more than were packed.",
            "The settlement of 3 August is for C, and no such boxes were packed.",
        ]
    );
    assert_eq!(net(&season.cells[0]), Some((500_000, Evidence::Invoiced)));
}

#[test]
fn fruit_sold_by_weight_goes_out_by_weight() {
    let packed = || vec![line(1, "A", "Fancy", 100, Some(30)), line(1, "B", "Fancy", 100, Some(10))];
    let (season, _, gaps) = season_of(packed(), vec![settlement(None, None, by_pound(3_980, "0.5"))], vec![]);
    assert_eq!(net(&season.sizes[1]), Some((149_250, Evidence::Invoiced)), "3 of 4 parts of 1,990.00");
    assert!(gaps.is_empty(), "20 lb of shrink is the same fruit: {gaps:?}");
    let (season, _, gaps) = season_of(packed(), vec![settlement(None, None, by_pound(2_000, "0.5"))], vec![]);
    assert_eq!(season.boxes_without_price.unwrap().value, boxes("100"));
    assert_eq!(said(&gaps), ["100 boxes without a price."]);
    let (_, _, gaps) = season_of(packed(), vec![settlement(Some("A"), None, by_pound(4_000, "0.5"))], vec![]);
    assert_eq!(gaps[0].what, "The settlement of 3 August pays for 1,000 lb of A more than were packed.");
}

#[test]
fn processing_fruit_is_sold_and_never_packed() {
    let (season, sales, gaps) = season_of(vec![], vec![settlement(None, None, by_pound(40_000, "0.245"))], vec![]);
    assert_eq!(sales.gross.unwrap().value, Money::from_cents(980_000));
    assert_eq!(season.net_per_pound.unwrap().value, UnitPrice::from_micros(245_000));
    assert!(season.cells.is_empty() && season.net_per_box.is_none());
    assert_eq!(
        said(&gaps),
        ["Fruit was sold, but none is recorded as packed: there is no price by size class and grade."]
    );
}

#[test]
fn charges_by_the_box_need_boxes() {
    let mut sold = settlement(None, None, by_pound(2_000, "0.5"));
    sold.charges.packing = UnitPrice::from_micros(1_000_000);
    let (_, sales, gaps) = season_of(vec![line(1, "A", "Fancy", 100, Some(20))], vec![sold], vec![]);
    assert_eq!(said(&gaps), ["A settlement of 3 August has charges by the box and no boxes."]);
    assert_eq!(sales.charges, None);
}

#[test]
fn culls_by_cause_and_the_packed_share() {
    let (season, _, _) = season_of(
        vec![line(1, "A", "Fancy", 45, Some(20)), cull("split", 30), cull("soft", 60), cull("split", 10)],
        vec![],
        vec![],
    );
    let culls: Vec<_> = season.culls.iter().map(|c| (c.cause.as_str(), c.weight.as_ref().unwrap().value)).collect();
    assert_eq!(culls, [("soft", pounds(60)), ("split", pounds(40))]);
    assert!((season.packed_share.unwrap().value.get() - 90.0).abs() < 1e-12);
    assert!((season.weight_per_tree.unwrap().value.get() - 0.9).abs() < 1e-12);
}

#[test]
fn shares_sum_to_a_hundred_where_plain_rounding_would_not() {
    let thirds = ["D", "C", "B"].map(|size| line(1, size, "Fancy", 100, Some(20)));
    let (season, _, _) = season_of(thirds.into(), vec![], vec![]);
    let shares: Vec<f64> = season.sizes.iter().map(|cell| cell.share.value.get()).collect();
    assert_eq!(shares.iter().map(|share| format!("{share:.1}")).collect::<Vec<_>>(), ["33.4", "33.3", "33.3"]);
}

fn own(words: &str, place: u32, means: &str) -> OwnSize {
    OwnSize {
        from: date(1, 1),
        crop: Some("peach".into()),
        size_class: words.into(),
        place,
        means: Some(means.into()),
        note: String::new(),
    }
}

/// Two sheds' words for one fruit: the own list says what each stands for.
#[test]
fn an_own_list_orders_sizes_and_lets_buyers_words_find_their_boxes() {
    let mut season = records();
    season.sizes = kept([own("Grand", 2, "AA"), own("Fair", 1, "A"), own("Top", 3, "AA")]);
    season.packout = kept([
        line(20, "Grand", "1", 100, Some(20)),
        line(20, "Fair", "1", 50, Some(20)),
        line(21, "Top", "1", 100, Some(20)),
        line(21, "crate", "1", 10, Some(20)),
    ]);
    // The buyer pays by the published words.
    season.settlements =
        kept([settlement(Some("AA"), None, by_box("200", "16")), settlement(Some("A"), None, by_box("50", "10"))]);
    let (packout, sales, gaps) = super::season(&season);
    let sizes: Vec<&str> = packout.sizes.iter().filter_map(|cell| cell.size_class.as_deref()).collect();
    assert_eq!(sizes, ["Fair", "Grand", "Top", "crate"]);
    // Top stands for what Grand stands for: both are a step up from Fair.
    let steps: Vec<_> =
        packout.sizes.iter().map(|cell| cell.premium_per_box.as_ref().map(|p| p.value.micros())).collect();
    assert_eq!(steps, [None, Some(6_000_000), Some(6_000_000), None]);
    let classes: Vec<_> = packout
        .classes
        .iter()
        .map(|cell| (cell.size_class.as_deref().unwrap(), cell.boxes.value, cell.net.as_ref().map(|n| n.value.cents())))
        .collect();
    assert_eq!(
        classes,
        [
            ("A", Boxes::whole(50).unwrap(), Some(50_000)),
            ("AA", Boxes::whole(200).unwrap(), Some(320_000)),
            ("crate", Boxes::whole(10).unwrap(), None)
        ]
    );
    assert_eq!(packout.classes[1].premium_per_box.as_ref().unwrap().value, UnitPrice::from_micros(6_000_000));
    assert_eq!(sales.gross.unwrap().value, Money::from_cents(370_000));
    assert!(gaps.iter().all(|gap| !gap.what.contains("no such boxes")), "{gaps:?}");
    season.sizes.clear();
    let (packout, _, gaps) = super::season(&season);
    assert!(packout.classes.is_empty(), "no list, no comparison");
    assert!(gaps.iter().any(|gap| gap.what.contains("no such boxes were packed")));
}
