//! Closing and reopening a season by its pages, and the revisions of reports.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Answer, Browser, House, Site, site};
use reckon::block::Season;
use store::{Right, Role};

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";

async fn close(site: &Site, owner: &Browser) -> Answer {
    site(owner.form("/season/2026/close", &[])).await
}

async fn reopen(site: &Site, owner: &Browser, reason: &str) -> Answer {
    site(owner.form("/season/2026/reopen", &[("reason", reason)])).await
}

/// What the report says in its running head and below its title: its texts, read from the layout.
async fn standing(house: &House) -> String {
    let desk = house.state.store.desk(&house.owner);
    let season: Season = desk.season(2026).await.unwrap();
    let standing = web::closing::standing(&desk, house.block, &season, |at| at.date_naive()).await.unwrap();
    let reckoned = desk.reported(house.block, 2026).await.unwrap().reckon();
    let issue = print::report::Issue { paper: print::sheet::Paper::Letter, made_on: season.last_day, standing };
    let sheet = print::report::sheet(&reckoned, &issue);
    sheet.texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
}

async fn report(house: &House, site: &Site, owner: &Browser) -> String {
    let answer = site(owner.request("GET", &format!("/season/2026/block/{}/report.pdf", house.block))).await;
    assert_eq!(answer.status, 200);
    answer.body
}

#[actix_web::test]
async fn a_season_is_closed_and_opened_again_by_its_page() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let seasons = site(owner.request("GET", "/seasons")).await;
    assert!(seasons.body.contains("href=\"/season/2026/close\""));
    let question = site(owner.request("GET", "/season/2026/close")).await;
    assert!(question.body.contains("Close season 2026?") && question.body.contains("RB-1"), "{}", question.body);
    assert_eq!(close(&site, &owner).await.header("location"), "/seasons?said=closed");
    let seasons = site(owner.request("GET", "/seasons")).await;
    assert!(seasons.body.contains("closed by Ana Owner on 1 Jul 2026"), "{}", seasons.body);
    // What was sent twice, or what somebody else was faster with, changes nothing.
    let twice = close(&site, &owner).await;
    assert_eq!(twice.status, 409);
    assert!(twice.body.contains("closed by Ana Owner on 1 Jul 2026"), "{}", twice.body);

    assert_eq!(reopen(&site, &owner, "  ").await.status, 422);
    assert_eq!(reopen(&site, &owner, &"x".repeat(501)).await.status, 422);
    assert_eq!(reopen(&site, &owner, "a late <settlement>").await.header("location"), "/seasons?said=reopened");
    let seasons = site(owner.request("GET", "/seasons")).await;
    assert!(
        seasons.body.contains("reopened by Ana Owner on 1 Jul 2026: a late &#60;settlement&#62;"),
        "{}",
        seasons.body
    );
    let changes = site(owner.request("GET", "/changes")).await;
    assert!(changes.body.contains("season reopened") && changes.body.contains("a late &#60;settlement&#62;"));
    assert!(changes.body.contains("season closed"));
}

#[actix_web::test]
async fn a_closed_season_says_who_closed_it_and_how_to_go_on() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    close(&site, &owner).await;
    let said = "Season 2026 was closed by Ana Owner on 1 Jul 2026";
    let list = house.labor_list();
    let correct = format!("{list}/{}/correct", house.labor);
    for page in [list.clone(), format!("{list}/add"), correct.clone()] {
        let answer = site(owner.request("GET", &page)).await;
        assert!(answer.body.contains(said) && answer.body.contains("reopens"), "{page}: {}", answer.body);
    }
    let fields = [("key", KEY), ("version", "1"), ("date", "2026-07-01"), ("task", "thin"), ("hours", "8")];
    for path in [format!("{list}/add"), correct, format!("{list}/{}/remove", house.labor)] {
        let answer = site(owner.form(&path, &fields)).await;
        assert_eq!(answer.status, 409, "{path}");
        assert!(answer.body.contains(said), "{path}: {}", answer.body);
    }
    // A wage that holds from the season on would change its figures as well.
    let rate = [("key", KEY), ("from", "2026-06-01"), ("rate", "wage"), ("usd_per_hour", "21")];
    let answer = site(owner.form("/season/2026/records/rates/add", &rate)).await;
    assert!(answer.status == 409 && answer.body.contains(said), "{}: {}", answer.status, answer.body);
    let file = "from,rate,usd_per_hour\n2026-06-01,wage,21\n";
    let answer = site(owner.file("/bring-in", &[("kind", "rates")], "rates.csv", file.as_bytes())).await;
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("nothing new in season 2026, which is closed"), "{}", answer.body);
    assert!(answer.body.contains("closed by Ana Owner on 1 Jul 2026"), "{}", answer.body);
}

#[actix_web::test]
async fn a_report_says_which_revision_it_is_and_what_it_replaces() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let open = report(&house, &site, &owner).await;
    assert!(standing(&house).await.contains("season still open"));
    close(&site, &owner).await;
    let first = standing(&house).await;
    assert!(
        first.contains("Season 2026 · revision 1") && first.contains("Revision 1, closed on 1 Jul 2026."),
        "{first}"
    );
    assert!(!first.contains("Figures have changed since"), "the report is what it was closed with: {first}");
    let printed = report(&house, &site, &owner).await;
    assert_ne!(printed, open);
    assert_eq!(report(&house, &site, &owner).await, printed, "the same data gives the same bytes");

    // Closed again with the same figures, it stays the first.
    reopen(&site, &owner, "a look").await;
    assert!(standing(&house).await.contains("Season still open; it was closed as revision 1 of 1 Jul 2026"));
    close(&site, &owner).await;
    assert_eq!(report(&house, &site, &owner).await, printed);

    reopen(&site, &owner, "a forgotten crew day").await;
    let fields = [("key", KEY), ("date", "2026-06-01"), ("task", "thin"), ("people", "2"), ("hours_each", "8")];
    let added = site(owner.form(&format!("{}/add", house.labor_list()), &fields)).await;
    assert_eq!(added.status, 303, "{}", added.body);
    close(&site, &owner).await;
    let second = standing(&house).await;
    let said = "Revision 2, replaces revision 1 of 1 Jul 2026: return over all costs was";
    assert!(second.contains("Season 2026 · revision 2") && second.contains(said), "{second}");
    assert_ne!(report(&house, &site, &owner).await, printed);
}

/// The operation's report is numbered as its blocks' are; a person of some farms has another report, and it
/// has no number and no figure of the whole.
#[actix_web::test]
async fn the_operations_report_says_which_revision_it_is() {
    let house = House::new().await;
    house.spend().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let text = async |scope: &store::Scope| {
        let desk = house.state.store.desk(scope);
        let records = desk.operation_records(2026).await.unwrap();
        let standing = web::closing::operation_standing(&desk, &records.season, |at| at.date_naive()).await.unwrap();
        let made_on = records.season.last_day;
        let issue = print::report::Issue { paper: print::sheet::Paper::Letter, made_on, standing };
        let sheet = print::report::operation::sheet(&records.reckon(), &issue);
        sheet.texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
    };
    assert!(text(&house.owner).await.contains("Season 2026 · season still open"));
    close(&site, &owner).await;
    let first = text(&house.owner).await;
    assert!(
        first.contains("Season 2026 · revision 1") && first.contains("Revision 1, closed on 1 Jul 2026."),
        "{first}"
    );
    assert!(!first.contains("Figures have changed since"), "{first}");
    let pdf = async || site(owner.request("GET", "/season/2026/operation.pdf")).await.body;
    let printed = pdf().await;
    reopen(&site, &owner, "a look").await;
    assert!(text(&house.owner).await.contains("it was closed as revision 1 of 1 Jul 2026: return over all costs was"));
    close(&site, &owner).await;
    assert_eq!(pdf().await, printed, "closed again with the same figures");
    reopen(&site, &owner, "a forgotten invoice").await;
    house.spend().await;
    close(&site, &owner).await;
    let second = text(&house.owner).await;
    assert!(
        second.contains("Season 2026 · revision 2") && second.contains("Revision 2, replaces revision 1"),
        "{second}"
    );
    assert!(!second.contains("Figures have changed since"), "{second}");

    let limited = house.known("manager of one", Role::Manager, Some(house.farm)).await;
    let door = house.state.store.door();
    door.begin_session(limited, [9; 32], [0; 32], chrono::TimeDelta::days(1)).await.unwrap();
    let limited = door.session(&[9; 32]).await.unwrap().unwrap().scope;
    let told = text(&limited).await;
    assert!(told.contains("Season 2026 · closed") && told.contains("this is of some farms"), "{told}");
}

/// A closed season keeps the block as it stood: correcting the block moves later seasons and not its report.
#[actix_web::test]
async fn a_block_corrected_after_the_closing_leaves_the_report() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    close(&site, &owner).await;
    let printed = report(&house, &site, &owner).await;
    let row = house.state.store.desk(&house.owner).block(house.block).await.unwrap();
    let mut book = house.state.store.book(&house.owner, Right::SetUp).await.unwrap();
    let block = reckon::block::Block { trees: Some(2_000), ..row.block };
    book.correct_block(house.block, row.version, &block).await.unwrap();
    book.save().await.unwrap();
    assert!(!standing(&house).await.contains("Figures have changed since the closing"));
    assert_eq!(report(&house, &site, &owner).await, printed);
    reopen(&site, &owner, "the trees were counted").await;
    assert_ne!(report(&house, &site, &owner).await, printed);
}

#[actix_web::test]
async fn only_who_sees_every_farm_closes() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let one_farm = house.browser(house.known("other farm", Role::Manager, Some(house.other_farm)).await).await;
    for path in ["/season/2026/close", "/season/2026/reopen"] {
        assert_eq!(site(one_farm.request("GET", path)).await.status, 403, "{path}");
        assert_eq!(site(one_farm.form(path, &[("reason", "x")])).await.status, 403, "{path}");
    }
    let seasons = site(one_farm.request("GET", "/seasons")).await;
    assert!(!seasons.body.contains("/season/2026/close"));
    let manager = house.browser(house.known("manager", Role::Manager, None).await).await;
    assert_eq!(close(&site, &manager).await.status, 303);
    assert_eq!(site(manager.request("GET", "/season/1999/close")).await.status, 404);
}

/// A season opened by mistake goes after a question; one that something hangs on says what.
#[actix_web::test]
async fn a_season_opened_by_mistake_is_removed_by_its_page() {
    let house = House::new().await;
    house.open_season(2062).await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let seasons = site(owner.request("GET", "/seasons")).await.body;
    assert!(seasons.contains("href=\"/season/2062/remove\""), "{seasons}");
    let question = site(owner.request("GET", "/season/2062/remove")).await;
    assert!(question.body.contains("Remove season 2062?"), "{}", question.body);
    let held = site(owner.request("GET", "/season/2026/remove")).await;
    assert!(held.body.contains("Season 2026 stays") && held.body.contains("Labor entries: 1"), "{}", held.body);
    assert!(!held.body.contains("method=\"post\" action=\"/season/2026/remove\""));
    assert_eq!(site(owner.form("/season/2026/remove", &[])).await.status, 409);
    let one_farm = house.browser(house.known("other farm", Role::Manager, Some(house.other_farm)).await).await;
    assert_eq!(site(one_farm.request("GET", "/season/2062/remove")).await.status, 403);
    assert_eq!(site(one_farm.form("/season/2062/remove", &[])).await.status, 403);
    let gone = site(owner.form("/season/2062/remove", &[])).await;
    assert_eq!(gone.header("location"), "/seasons?said=season-removed");
    assert!(!site(owner.request("GET", "/seasons")).await.body.contains("/season/2062"));
    assert_eq!(site(owner.form("/season/2062/remove", &[])).await.status, 404);
    assert!(site(owner.request("GET", "/changes")).await.body.contains("season removed"));
}
