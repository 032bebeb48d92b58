//! Statements, costs, overview and packout as each person sees them: money of farms out of scope
//! never shows.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, lime, site};
use reckon::block::Block;
use reckon::exact::Acres;
use reckon::records::{Cost, Record, SharedBasis, Shares};
use store::{Right, Role, Target};

#[actix_web::test]
async fn the_owner_reads_every_page_and_the_costs_tie_out() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let statement = site(owner.request("GET", "/season/2026/statement")).await;
    assert!(statement.body.contains("−1,110.00"), "777 and 333 are growing costs");
    assert!(statement.body.contains("Shared costs of $555.00 could go to no block"), "the other farm has no block");
    let costs = site(owner.request("GET", "/season/2026/costs")).await;
    for amount in ["777.00", "333.00", "555.00", "1,665.00"] {
        assert!(costs.body.contains(amount), "{amount}");
    }
    let block = site(owner.request("GET", &web::routes::to::block_statement(2026, house.block))).await;
    assert!(block.body.contains("−1,110.00"));
    for page in [web::routes::to::overview(2026), web::routes::to::packout(2026)] {
        assert_eq!(site(owner.request("GET", &page)).await.status, 200, "{page}");
    }
}

#[actix_web::test]
async fn a_person_of_one_farm_reads_its_money_and_no_other() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let other = house.browser(house.known("other farm", Role::Manager, Some(house.other_farm)).await).await;
    for page in ["statement", "overview", "costs", "packout", "schedule-f.csv"] {
        let answer = site(other.request("GET", &format!("/season/2026/{page}"))).await;
        assert_eq!(answer.status, 200, "{page}");
        for hidden in ["RB-1", "777", "333", "1,110"] {
            assert!(!answer.seen().contains(hidden), "{hidden} on {page}");
        }
    }
    let farm = web::routes::to::statement(2026, Some(house.farm));
    assert_eq!(site(other.request("GET", &farm)).await.status, 404);
}

#[actix_web::test]
async fn a_crew_lead_has_no_costs_page_and_no_link_to_it() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let lead = house.browser(house.known("lead", Role::CrewLead, Some(house.farm)).await).await;
    for page in [web::routes::to::costs(2026), web::routes::to::schedule_f(2026)] {
        assert_eq!(site(lead.request("GET", &page)).await.status, 403, "{page}");
    }
    let season = site(lead.request("GET", "/season/2026")).await;
    assert_eq!(season.status, 200);
    assert!(!season.body.contains(&web::routes::to::costs(2026)));
    let manager = house.browser(house.known("manager of one", Role::Manager, Some(house.farm)).await).await;
    let statement = site(manager.request("GET", "/season/2026/statement")).await;
    assert!(statement.status == 200 && statement.body.contains("Your farms"));
}

#[actix_web::test]
async fn the_form_comes_as_a_file_and_a_farm_that_is_none_is_not_found() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let form = site(owner.request("GET", "/season/2026/schedule-f.csv")).await;
    assert_eq!(form.header("content-type"), "text/csv; charset=utf-8");
    assert_eq!(form.header("content-disposition"), "attachment; filename=\"schedule-f-2026.csv\"");
    assert!(form.body.starts_with("line,name,what,amount_usd,comment"));
    assert!(form.body.contains("17,Fertilizers and lime,,1110.00,"), "{}", form.body);
    for address in ["/season/2026/statement?farm=nine", "/season/1999/statement", "/season/1999/costs"] {
        assert_eq!(site(owner.request("GET", address)).await.status, 404, "{address}");
    }
}

/// A cost in fixed shares names blocks; who is limited to a farm learns of no block of another.
#[actix_web::test]
async fn fixed_shares_name_no_block_of_another_farm() {
    let house = House::new().await;
    let other = Block { code: "SD-77".to_owned(), acres: Acres::whole(9).unwrap(), ..Block::default() };
    let mut book = house.state.store.book(&house.owner, Right::SetUp).await.unwrap();
    book.add_block(house.other_farm, &other).await.unwrap();
    let shares = Shares::parse("RB-1=40;SD-77=60").unwrap();
    let cost = if let Record::Cost(cost) = lime(900) { Some(cost) } else { None };
    let cost = Cost { basis: SharedBasis::Fixed, shares, ..cost.unwrap() };
    let id = book.add(&Target::Farm(house.farm), &Record::Cost(cost)).await.unwrap();
    book.save().await.unwrap();
    let site = site(&house.state).await;
    let limited = house.browser(house.known("one farm", Role::Manager, Some(house.farm)).await).await;
    let list = "/season/2026/records/costs";
    let seen = site(limited.request("GET", list)).await.body;
    let told = "RB-1=40;a block of another farm=60";
    assert!(seen.contains(told) && !seen.contains("SD-77"), "{seen}");
    assert!(site(house.owner_browser().await.request("GET", list)).await.body.contains("RB-1=40;SD-77=60"));
    let form = format!("{list}/{id}/correct");
    let page = site(limited.request("GET", &form)).await;
    assert_eq!(page.value("shares"), told);
    assert!(!page.body.contains("SD-77"), "{}", page.body);
    let fields = [
        ("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071"),
        ("version", "1"),
        ("date", "2026-03-02"),
        ("farm", "River Bench"),
        ("category", "lime"),
        ("group", "cultural"),
        ("amount_usd", "901"),
        ("shared_by", "fixed shares"),
        ("shares", "RB-1=45;a block of another farm=55"),
    ];
    let short =
        fields.map(|(name, text)| (name, if name == "shares" { "RB-1=45;a block of another farm=5" } else { text }));
    let refused = site(limited.form(&form, &short)).await;
    assert!(refused.status == 422 && !refused.body.contains("SD-77"), "{}", refused.body);
    let kept = site(limited.form(&form, &fields)).await;
    assert_eq!(kept.status, 303, "{}", kept.body);
    let changes = site(limited.request("GET", "/changes")).await.body;
    assert!(changes.contains("RB-1=45;a block of another farm=55") && !changes.contains("SD-77"), "{changes}");
    let whole = site(house.owner_browser().await.request("GET", "/changes")).await.body;
    assert!(whole.contains("RB-1=45;SD-77=55"), "the block is still in it: {whole}");
}
