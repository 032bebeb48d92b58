use chrono::NaiveDate;
use reckon::figure::{Kept, RecordId};
use reckon::money::Money;
use reckon::records::{Cost, CostGroup, SharedBasis, Shares};
use reckon::season::SharedCost;
use scraper::Html;

use super::{Books, CostsPage};
use crate::pages::html::{all, farms, held, records, shell, text};
use crate::shell::Shell;

fn cost(n: u128, category: &str, group: CostGroup, cents: i64) -> Kept<Cost> {
    let record = Cost {
        date: NaiveDate::from_ymd_opt(2026, 5, 3).unwrap(),
        payee: "Canyon Supply".to_owned(),
        category: category.to_owned(),
        group,
        amount: Money::from_cents(cents),
        basis: SharedBasis::Acres,
        shares: Shares::default(),
        lasting: None,
        note: String::new(),
    };
    Kept { id: RecordId::Stored(n), record }
}

/// Three blocks of 10 acres, one of them on a farm the person may not see; diesel for all of them,
/// bees by boxes that nobody packed, and lime for the first.
fn books() -> Books {
    let mut blocks = vec![records(1, "RB-1"), records(2, "RB-2")];
    let diesel = cost(1, "diesel", CostGroup::Cultural, 10_000);
    let mut bees = cost(2, "bee hives", CostGroup::Cultural, 45_000);
    bees.record.basis = SharedBasis::Boxes;
    for (own, (_, records)) in blocks.iter_mut().enumerate() {
        records.shared_costs = vec![
            SharedCost { cost: diesel.clone(), weights: vec![10.into(); 3], own },
            SharedCost { cost: bees.clone(), weights: vec![0.into(); 3], own },
        ];
    }
    blocks[0].1.costs = vec![cost(3, "lime", CostGroup::Cultural, 25_050)];
    let all = vec![Some(blocks[0].0), Some(blocks[1].0), None];
    let shared = |cost: Kept<Cost>, weight: i64| store::SharedOut {
        cost,
        farm: None,
        blocks: all.clone(),
        weights: vec![weight.into(); 3],
    };
    let shared = vec![shared(diesel, 10), shared(bees, 0)];
    Books { blocks, shared }
}

fn page(shell: Shell) -> Html {
    let season = shell.season.unwrap();
    held(&CostsPage::of(shell, &season, &books()))
}

#[test]
fn each_block_bears_its_cents_and_the_parts_are_the_whole() {
    let html = page(shell("/season/2026/costs"));
    let diesel = all(&html, "details.cost")[0];
    assert!(text(diesel).starts_with("3 May 2026, diesel: $100.00"), "{}", text(diesel));
    assert!(text(diesel).contains("shared by acres among 3 blocks"));
    let rows: Vec<String> = all(&html, "details.cost tbody tr").into_iter().map(text).collect();
    assert_eq!(
        rows,
        ["RB-1 10 33.3333 33.34a cent left over", "RB-2 10 33.3333 33.33", "a block of another farm 10 33.3333 33.33"]
    );
    assert_eq!(text(all(&html, "details.cost tfoot tr")[0]), "The season's cost 100.00");
}

#[test]
fn a_farms_cost_names_its_farm() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let mut books = books();
    books.shared[0].farm = Some(shell.farms[1].id);
    let html = held(&CostsPage::of(shell, &season, &books));
    let diesel = text(all(&html, "details.cost")[0]);
    assert!(diesel.starts_with("3 May 2026, diesel, River Bench: $100.00"), "{diesel}");
    assert!(diesel.contains("a cost of River Bench, shared by acres"), "{diesel}");
}

#[test]
fn what_nobody_bears_is_shown_with_its_reason() {
    let html = page(shell("/season/2026/costs"));
    let bees = text(all(&html, "details.cost")[1]);
    assert!(bees.contains("borne by no block") && bees.contains("has packed boxes this season"), "{bees}");
    assert!(text(all(&html, "main")[0]).contains("$450.00 is borne by no block"));
    let total = text(all(&html, "table.groups tfoot tr.sum")[0]);
    // Own 250.50, shared 66.67 of the blocks seen, nobody 450.00, and all of it with the part of the other farm.
    assert_eq!(total, "All costs 250.50 66.67 450.00 800.50");
}

#[test]
fn a_person_of_some_farms_sees_what_others_bear_apart() {
    let mut shell = shell("/season/2026/costs");
    shell.sees_all = false;
    shell.farms = farms().into_iter().take(2).collect();
    let total = text(all(&page(shell), "table.groups tfoot tr.sum")[0]);
    assert_eq!(total, "All costs 250.50 66.67 33.33 450.00 800.50");
}

#[test]
fn schedule_f_is_a_suggestion_and_sends_to_the_bookkeeper() {
    let html = page(shell("/season/2026/costs"));
    let form = text(all(&html, "#schedule-f")[0]);
    assert!(form.contains("ask the bookkeeper or the tax adviser"), "{form}");
    let rows: Vec<String> = all(&html, "#schedule-f tbody tr").into_iter().map(text).collect();
    for row in ["17 Fertilizers and lime 250.50", "lime 250.50", "19 Gasoline, fuel, and oil 66.67"] {
        assert!(rows.iter().any(|found| found == row), "{row} in {rows:?}");
    }
    assert!(all(&html, "a[href='/season/2026/schedule-f.csv']").len() == 1);
}

#[test]
fn a_season_without_a_cost_says_so() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let html = held(&CostsPage::of(shell, &season, &Books { blocks: Vec::new(), shared: Vec::new() }));
    assert!(text(all(&html, "main")[0]).contains("No invoice or other cost is kept in this season yet."));
}
