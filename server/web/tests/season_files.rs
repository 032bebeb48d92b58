//! Seasons as files: the operation's report, spreadsheet and JSON, and a block's spreadsheet.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, site};
use serde_json::Value;
use store::Role;
use web::routes::to;

const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

#[actix_web::test]
async fn the_operation_ties_out_in_every_file() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let json = site(owner.request("GET", &to::operation_json(2026))).await;
    let season: Value = serde_json::from_str(&json.body).unwrap();
    assert_eq!(season["unallocated"], "555.00");
    let over_all = season.pointer("/statement/lines/return_over_all_costs/amount/value").unwrap().as_str().unwrap();
    let after = season["return_after_unallocated"].as_str().unwrap();
    let cents = |text: &str| (text.parse::<f64>().unwrap() * 100.0).round();
    assert!((cents(over_all) - 55_500.0 - cents(after)).abs() < 0.5, "{over_all} {after}");
    assert_eq!(season.pointer("/shared_costs/0/parts/0/block").unwrap(), "RB-1");

    for (paper, name) in [("letter", "operation-2026.pdf"), ("a4", "operation-2026.pdf")] {
        let report = site(owner.request("GET", &to::operation_pdf(2026, paper))).await;
        assert_eq!((report.status, report.header("content-type")), (200, "application/pdf"));
        assert_eq!(report.header("content-disposition"), format!("inline; filename=\"{name}\""));
        assert!(report.body.starts_with("%PDF-1.7"));
    }
    let books =
        [(to::operation_xlsx(2026), "operation-2026.xlsx"), (to::season_xlsx(2026, house.block), "RB-1-2026.xlsx")];
    for (address, name) in books {
        let book = site(owner.request("GET", &address)).await;
        assert_eq!((book.status, book.header("content-type")), (200, XLSX), "{address}");
        assert_eq!(book.header("content-disposition"), format!("attachment; filename=\"{name}\""));
        assert!(book.body.starts_with("PK"));
    }
    for address in ["/season/2026/operation.pdf?paper=a5", "/season/1999/operation.pdf", "/season/1999/operation.xlsx"]
    {
        assert_eq!(site(owner.request("GET", address)).await.status, 404, "{address}");
    }
}

#[actix_web::test]
async fn pages_lead_to_the_files() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let overview = site(owner.request("GET", &to::overview(2026))).await;
    for link in [to::operation_pdf(2026, "letter"), to::operation_pdf(2026, "a4"), to::operation_xlsx(2026)] {
        assert!(overview.body.contains(&format!("href=\"{link}\"")), "{link}");
    }
    assert!(overview.body.contains("Season report of the operation, PDF"));
    let block = site(owner.request("GET", &to::block(2026, house.block))).await;
    assert!(block.body.contains(&to::season_xlsx(2026, house.block)));
}

#[actix_web::test]
async fn a_person_of_one_farm_gets_its_files_and_no_other() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let other = house.browser(house.known("other farm", Role::Manager, Some(house.other_farm)).await).await;
    let json = site(other.request("GET", &to::operation_json(2026))).await;
    assert_eq!(json.status, 200);
    for hidden in ["RB-1", "777", "333", "1110"] {
        assert!(!json.body.contains(hidden), "{hidden}");
    }
    let season: Value = serde_json::from_str(&json.body).unwrap();
    assert_eq!(season["whole"], false);
    assert_eq!(site(other.request("GET", &to::operation_pdf(2026, "letter"))).await.status, 200);
    assert_eq!(site(other.request("GET", &to::season_xlsx(2026, house.block))).await.status, 404);
    let lead = house.browser(house.known("lead", Role::CrewLead, Some(house.farm)).await).await;
    for address in [to::operation_pdf(2026, "letter"), to::operation_xlsx(2026), to::season_xlsx(2026, house.block)] {
        assert_eq!(site(lead.request("GET", &address)).await.status, 403, "{address}");
    }
}
