use chrono::NaiveDate;
use reckon::figure::{Kept, RecordId};
use reckon::money::Money;
use reckon::records::{Cost, CostGroup, SharedBasis, Shares};
use reckon::season::SharedCost;
use scraper::Html;

use super::{Books, CostsPage};
use crate::pages::html::{all, farms, held, records, row, shell, text};
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
    let season = blocks[0].1.season;
    // The third has no season of its own here.
    let all = vec![blocks[0].0, blocks[1].0, row(9, &farms()[1], &print::samples::full()).id];
    let shared = |cost: Kept<Cost>, weight: i64| store::SharedOut {
        out: reckon::sharing::shared_out(&cost.record, &season, &[weight.into(); 3]),
        cost,
        farm: None,
        share_only: false,
        blocks: all.clone(),
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
        ["RB-1 10 33.3333 33.34a cent left over", "RB-2 10 33.3333 33.33", "a block without a season 10 33.3333 33.33"]
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
    assert_eq!(total, "All costs 250.50 100.00 450.00 800.50");
}

#[test]
fn a_person_of_some_farms_sees_the_share_of_these_and_not_the_invoice() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let mut books = books();
    let diesel = books.shared.remove(0);
    let out = diesel.out.of_some([true, true, false]);
    let share = store::SharedOut { out, share_only: true, blocks: diesel.blocks[..2].to_vec(), ..diesel };
    books.shared.insert(0, share);
    let html = held(&CostsPage::of(shell, &season, &books));
    let told = text(all(&html, "details.cost")[0]);
    assert!(told.starts_with("3 May 2026, diesel: $66.67"), "{told}");
    assert!(told.contains("share of an operation-wide invoice"), "{told}");
    assert!(told.contains("The share of your farms 66.67") && !told.contains("acres among"), "{told}");
    assert_eq!(text(all(&html, "table.groups tfoot tr.sum")[0]), "All costs 250.50 66.67 450.00 767.17");
}

#[test]
fn fixed_shares_name_who_bears_what_and_who_is_spared() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let mut books = books();
    let cost = &mut books.shared[0].cost.record;
    cost.basis = SharedBasis::Fixed;
    cost.shares = Shares::parse("RB-1=62.5;RB-2=25;GONE-7=12.5").unwrap();
    let weights = [62.5, 25.0, 0.0].map(|percent| rust_decimal::Decimal::try_from(percent).unwrap());
    books.shared[0].out = reckon::sharing::shared_out(cost, &season, &weights);
    let html = held(&CostsPage::of(shell, &season, &books));
    let rows: Vec<String> = all(&html, "details.cost tbody tr").into_iter().map(text).collect();
    assert_eq!(rows, ["RB-1 62.5 71.4286 71.43a cent left over", "RB-2 25 28.5714 28.57"]);
    let told = text(all(&html, "details.cost")[0]);
    assert!(told.contains("1 other block has no percent in its list and bears none of it."), "{told}");
    assert!(told.contains("names blocks that do not exist"), "{told}");
}

#[test]
fn what_came_back_is_said_to_be_a_credit() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let mut books = books();
    books.blocks[0].1.costs[0].record.amount = Money::from_cents(-1_200);
    books.shared[0].cost.record.amount = Money::from_cents(-10_000);
    books.shared[0].out = reckon::sharing::shared_out(&books.shared[0].cost.record, &season, &[10.into(); 3]);
    let html = held(&CostsPage::of(shell, &season, &books));
    assert!(text(all(&html, "details.cost summary")[0]).ends_with("diesel: −$100.00, a credit"));
    assert!(text(all(&html, "main")[0]).contains("−12.00a credit"));
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
    // Every cost is on a line, and is the statement's.
    for row in ["On the form's lines 317.17", "Costs of the statement: gross less return over all costs 317.17"] {
        assert!(rows.iter().any(|found| found == row), "{row} in {rows:?}");
    }
    assert_eq!(all(&html, "main > .paper-only").len(), 1, "one heading on paper, from the layout");
}

#[test]
fn a_season_without_a_cost_says_so() {
    let shell = shell("/season/2026/costs");
    let season = shell.season.unwrap();
    let html = held(&CostsPage::of(shell, &season, &Books { blocks: Vec::new(), shared: Vec::new() }));
    assert!(text(all(&html, "main")[0]).contains("No invoice or other cost is kept in this season yet."));
}
