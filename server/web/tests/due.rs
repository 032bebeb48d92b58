//! Work due and methods compared, as a browser and a calendar get them.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, site};

#[actix_web::test]
async fn a_calendar_file_carries_what_is_due_and_keeps_its_names() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let file = site(owner.request("GET", "/season/2026/due.ics?on=2026-05-22&language=es")).await;
    assert_eq!((file.status, file.header("content-type")), (200, "text/calendar; charset=utf-8"));
    assert_eq!(file.header("content-disposition"), "attachment; filename=\"work-due-2026.ics\"");
    // The crew thinned on 14 May: the second look opens a week later and closes two weeks later.
    for line in ["DTSTART;VALUE=DATE:20260521", "DTEND;VALUE=DATE:20260529", "SUMMARY:RB-1: Segunda vuelta"] {
        assert!(file.body.contains(&format!("{line}\r\n")), "{line} in {}", file.body);
    }
    assert!(file.body.contains("DTSTAMP:20260701T120000Z\r\n"));
    let again = site(owner.request("GET", "/season/2026/due.ics?on=2026-05-23")).await;
    let uid = |body: &str| body.lines().find(|line| line.starts_with("UID:")).map(str::to_owned);
    assert_eq!(uid(&again.body), uid(&file.body));
    assert!(uid(&file.body).is_some());
}

#[actix_web::test]
async fn a_crew_sheet_is_printed_for_a_farm_in_a_language() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let get = |query: String| site(owner.request("GET", &format!("/season/2026/due/crew-sheet{query}")));
    let sheet = get(format!("?language=es&farm={}&on=2026-05-22", house.farm)).await;
    assert_eq!((sheet.status, sheet.header("content-type")), (200, "application/pdf"));
    assert_eq!(sheet.header("content-disposition"), "inline; filename=\"crew-sheet-2026-05-22.pdf\"");
    assert_eq!(get("?paper=a4".to_owned()).await.status, 200);
    for query in ["?language=fr", "?farm=RB", "?on=soon", "?paper=napkin", &format!("?farm={}", house.block)] {
        assert_eq!(get(query.to_owned()).await.status, 404, "{query}");
    }
}

#[actix_web::test]
async fn a_day_that_does_not_read_comes_back_as_typed() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let page = site(owner.request("GET", "/season/2026/due?on=next%20week")).await;
    assert_eq!((page.status, page.value("on").as_str()), (422, "next week"));
    assert!(page.body.contains("expected a day as year-month-day"));
    assert_eq!(site(owner.request("GET", "/season/2026/thinning?by=colour")).await.status, 404);
}

/// What was kept a moment ago is in the comparison, and a part of the farms sees its own part.
#[actix_web::test]
async fn methods_are_compared_within_the_scope() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let page = site(owner.request("GET", "/season/2026/thinning?seasons=all")).await;
    assert!(page.body.contains("RB-1, 2026") && page.body.contains("1 block-season"), "{}", page.body);
    let other = house.known("other farm", store::Role::Manager, Some(house.other_farm)).await;
    let other = house.browser(other).await;
    let theirs = site(other.request("GET", "/season/2026/thinning?seasons=all")).await;
    assert!(theirs.body.contains("No thinning is recorded") && !theirs.body.contains("RB-1"));
}
