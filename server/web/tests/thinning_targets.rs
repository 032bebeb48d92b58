//! How many fruit to leave, by ripening window: who keeps it, and where it is read.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, site};
use store::Role;

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";
const OTHER_KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6072";
const LIST: &str = "/season/2026/records/thinning-targets";

#[actix_web::test]
async fn a_target_kept_by_the_manager_stands_on_the_blocks_page() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let manager = house.browser(house.known("manager", Role::Manager, None).await).await;
    let add = format!("{LIST}/add");
    let both = [("key", KEY), ("from", "2026-01-01"), ("fruit_per_tree", "300"), ("fruit_per_acre", "60000")];
    let refused = site(manager.form(&add, &both)).await;
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("only one of the two may be"), "{}", refused.body);

    let target = [("key", KEY), ("from", "2026-01-01"), ("crop", "Nectarine"), ("fruit_per_tree", "320")];
    assert_eq!(site(manager.form(&add, &target)).await.status, 303);
    let list = site(manager.request("GET", LIST)).await.body;
    assert!(list.contains("Nectarine") && list.contains("320"), "{list}");
    assert!(list.contains("<h1>Thinning targets"), "{list}");
    let block = site(manager.request("GET", &house.address("/season/2026/block/BLOCK"))).await.body;
    let wanted = "Wanted: 320 fruit on a tree (the list, from 1 January 2026, of nectarines).";
    assert!(block.contains(wanted), "{block}");

    let mid = [
        ("key", OTHER_KEY),
        ("from", "2026-01-01"),
        ("crop", "nectarine"),
        ("ripening_from", "06-01"),
        ("ripening_to", "07-15"),
        ("fruit_per_tree", "280"),
    ];
    assert_eq!(site(manager.form(&add, &mid)).await.status, 303);
    let block = site(manager.request("GET", &house.address("/season/2026/block/BLOCK"))).await.body;
    assert!(block.contains(wanted), "the block has no days of ripening");
    assert!(block.contains("RB-1 has no days of ripening, and thinning targets of nectarines go by them."), "{block}");
}

/// A crew lead reads how many to leave, and changes it for no block of the operation.
#[actix_web::test]
async fn a_crew_lead_and_a_bookkeeper_read_targets_and_keep_none() {
    let house = House::new().await;
    let site = site(&house.state).await;
    for (name, role) in [("lead", Role::CrewLead), ("books", Role::Bookkeeper)] {
        let person = house.browser(house.known(name, role, None).await).await;
        let list = site(person.request("GET", LIST)).await;
        assert_eq!(list.status, 200, "{name}");
        assert!(list.body.contains(LIST), "it stands in the margin");
        assert!(!list.body.contains(&format!("{LIST}/add")), "{name}");
        let target = [("key", KEY), ("from", "2026-01-01"), ("fruit_per_tree", "320")];
        assert_eq!(site(person.form(&format!("{LIST}/add"), &target)).await.status, 403, "{name}");
    }
}
