//! Farms and blocks by page: kept once, put right, taken names, two people at one block.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Browser, House, site};
use reckon::water::setup::Setting;
use store::Role;

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";

const BLOCK: [(&str, &str); 4] = [("crop", "plum"), ("variety", "Ninebark"), ("acres", "9.8"), ("trees", "1,519")];

fn with<'f>(fields: &[(&'f str, &'f str)], more: &[(&'f str, &'f str)]) -> Vec<(&'f str, &'f str)> {
    fields.iter().chain(more).copied().collect()
}

#[actix_web::test]
async fn a_farm_and_its_block_are_added_once() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = web::routes::to::add_farm(2026);
    let blank = site(owner.request("GET", &add)).await;
    assert_eq!(blank.status, 200);
    let farm = [("key", KEY), ("farm", "Juniper Step"), ("latitude_deg", "-36.9"), ("elevation_ft", "4000")];
    let first = site(owner.form(&add, &farm)).await;
    assert_eq!(first.status, 303, "{}", first.body);
    assert!(first.header("location").ends_with("?said=farm"));
    let second = site(owner.form(&add, &farm)).await;
    assert_eq!(second.header("location"), first.header("location"), "the same form, sent twice");
    let desk = house.state.store.desk(&house.owner);
    let kept = desk.farms().await.unwrap().into_iter().find(|row| row.farm.name == "Juniper Step").unwrap();
    assert_eq!((kept.farm.station.as_str(), kept.farm.latitude_deg), ("Juniper Step", Some(-36.9)));

    let add = web::routes::to::add_block(2026, kept.id);
    let key = site(owner.request("GET", &add)).await.value("key");
    let block = with(&BLOCK, &[("key", &key), ("block", "JS-1"), ("soil", "clay"), ("farm", "Sand Draw")]);
    let added = site(owner.form(&add, &block)).await;
    assert!(added.header("location").ends_with("/soil?said=block"), "{}", added.body);
    let soil = site(owner.request("GET", added.header("location"))).await;
    assert!(soil.body.contains("Soil and canopy of JS-1") && soil.body.contains("The block is in the book."));
    let blocks = desk.blocks().await.unwrap();
    let kept = blocks.iter().find(|row| row.block.code == "JS-1").unwrap();
    assert_eq!((kept.farm_name.as_str(), kept.block.trees), ("Juniper Step", Some(1_519)), "the farm of the address");
}

#[actix_web::test]
async fn a_taken_name_and_a_wrong_field_come_back_as_typed() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = web::routes::to::add_block(2026, house.farm);
    let taken = site(owner.form(&add, &with(&BLOCK, &[("key", KEY), ("block", "RB-1")]))).await;
    assert_eq!(taken.status, 422);
    assert_eq!(taken.value("trees"), "1,519");
    assert!(taken.body.contains("expected a code that no other block of the operation has"));
    let wrong = with(&BLOCK[..3], &[("key", KEY), ("block", "RB-2"), ("trees", "many"), ("ripening_from", "07-18")]);
    let wrong = site(owner.form(&add, &wrong)).await;
    assert_eq!((wrong.status, wrong.value("trees").as_str()), (422, "many"));
    for field in ["trees-problem", "ripening_to-problem"] {
        assert!(wrong.body.contains(&format!("id=\"{field}\"")), "{field}");
    }
    let name = [("key", KEY), ("farm", "Sand Draw")];
    let name = site(owner.form(&web::routes::to::add_farm(2026), &name)).await;
    assert_eq!(name.status, 422);
    assert!(name.body.contains("expected a name that no other farm of the operation has"));
    let fixed = site(owner.form(&add, &with(&BLOCK, &[("key", KEY), ("block", "RB-2")]))).await;
    assert_eq!(fixed.status, 303, "the key is free: nothing was kept under it");
}

#[actix_web::test]
async fn soil_and_canopy_are_checked_kept_and_taken_back() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let soil = web::routes::to::soil(2026, house.block);
    let form = site(owner.request("GET", &soil)).await;
    let version = form.value("version");
    let bad = [
        ("key", KEY),
        ("version", version.as_str()),
        ("field_capacity", "0.1"),
        ("wilting_point", "0.2"),
        ("kcb_mid", "9"),
        ("growth_start_month", "2"),
        ("growth_start_day", "30"),
    ];
    let refused = site(owner.form(&soil, &bad)).await;
    assert_eq!(refused.status, 422);
    for field in ["wilting_point", "kcb_mid", "growth_start_day"] {
        assert!(refused.body.contains(&format!("id=\"{field}-problem\"")), "{field}");
    }
    assert_eq!(refused.value("kcb_mid"), "9");

    let good = [("key", KEY), ("version", version.as_str()), ("soil", "sand"), ("kcb_mid", "0.7")];
    let kept = site(owner.form(&soil, &good)).await;
    assert_eq!(kept.header("location"), format!("{soil}?said=soil"));
    let desk = house.state.store.desk(&house.owner);
    let row = desk.block(house.block).await.unwrap();
    assert_eq!(row.block.water.get(Setting::KcbMid), Some(0.7));
    assert_eq!((row.block.code.as_str(), row.block.trees), ("RB-1", Some(2_387)), "the rest of the block stays");

    let stale = with(&BLOCK, &[("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6072"), ("version", "1"), ("block", "RB-7")]);
    let correct = web::routes::to::correct_block(2026, house.block);
    let overtaken = site(owner.form(&correct, &stale)).await;
    assert_eq!((overtaken.status, overtaken.value("version").as_str()), (409, "2"));
    assert!(overtaken.body.contains("<dt>Block</dt><dd>RB-1</dd>"), "what the book says now");
    assert_eq!(overtaken.value("block"), "RB-7");
    let mine: Vec<_> = stale.iter().map(|(name, text)| (*name, if *name == "version" { "2" } else { text })).collect();
    assert_eq!(site(owner.form(&correct, &mine)).await.status, 303);
    let row = desk.block(house.block).await.unwrap();
    assert_eq!(row.block.code, "RB-7");
    assert_eq!(row.block.water.get(Setting::KcbMid), Some(0.7), "soil and canopy stay");
}

#[actix_web::test]
async fn a_manager_of_some_farms_adds_none() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let manager: Browser = house.browser(house.known("some farms", Role::Manager, Some(house.farm)).await).await;
    let add = web::routes::to::add_farm(2026);
    assert_eq!(site(manager.request("GET", &add)).await.status, 403);
    assert_eq!(site(manager.form(&add, &[("key", KEY), ("farm", "New")])).await.status, 403);
    assert!(!site(manager.request("GET", "/season/2026")).await.body.contains(&add), "nor is it offered");
    let own = web::routes::to::add_block(2026, house.farm);
    assert_eq!(site(manager.request("GET", &own)).await.status, 200);
    let lead = house.browser(house.known("lead", Role::CrewLead, None).await).await;
    let soil = site(lead.request("GET", &web::routes::to::soil(2026, house.block))).await;
    assert_eq!(soil.status, 200);
    assert!(!soil.body.contains("<button class=\"button\""), "a crew lead reads");
}
