//! Work due and methods compared, as a browser and a calendar get them.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Browser, House, Site, site};

/// The rest of the trees of a first pass that has only begun.
async fn finish_first_pass(site: &Site, owner: &Browser) {
    let rest = b"date,block,task,pass,crew,people,hours,trees_done\n2026-05-13,RB-1,thin,1,North,6,48,1767\n";
    let fields = [("kind", "labor"), ("season", ""), ("sure", "yes")];
    let kept = site(owner.file("/bring-in", &fields, "rest.csv", rest)).await;
    assert_eq!(kept.status, 200, "{}", kept.body);
}

#[actix_web::test]
async fn a_calendar_file_carries_what_is_due_and_keeps_its_names() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let begun = site(owner.request("GET", "/season/2026/due?on=2026-05-22")).await;
    assert!(begun.body.contains("620 of 2,387 trees done"), "a pass that has only begun: {}", begun.body);
    finish_first_pass(&site, &owner).await;
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

/// What the counts together say of the block stands once above their list.
#[actix_web::test]
async fn what_all_counts_say_is_said_once() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let target = [("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071"), ("from", "2026-01-01"), ("fruit_per_tree", "400")];
    assert_eq!(site(owner.form("/season/2026/records/thinning-targets/add", &target)).await.status, 303);
    let list = house.address("/season/2026/block/BLOCK/fruit-counts");
    for (key, sample) in ["0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6072", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6073"]
        .into_iter()
        .zip(["row 4 tree 11", "row 6 tree 2"])
    {
        let count = [
            ("key", key),
            ("date", "2026-05-16"),
            ("sample", sample),
            ("fruit_before", "1100"),
            ("fruit_after", "278"),
            ("sure", "yes"),
        ];
        let kept = site(owner.form(&format!("{list}/add"), &count)).await;
        assert_eq!(kept.status, 303, "{}", kept.body);
    }
    let page = site(owner.request("GET", &list)).await.body;
    assert_eq!(page.matches("A tree keeps 278 fruit").count(), 1, "{page}");
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

/// Windows of the operation: kept, seen in the list of work, told in the changes, and not overwritten
/// by a form that was made before.
#[actix_web::test]
async fn windows_and_limits_are_kept_and_hold() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    finish_first_pass(&site, &owner).await;
    let address = "/season/2026/due/windows";
    let form = site(owner.request("GET", address)).await;
    assert_eq!(form.status, 200);
    let send = |form: &house::Answer, look: &str| {
        let fields =
            [("key", form.value("key")), ("seen", form.value("seen")), ("second_look_closes", look.to_owned())];
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        site(owner.form(address, &fields))
    };
    let refused = send(&form, "soon").await;
    assert_eq!((refused.status, refused.value("second_look_closes").as_str()), (422, "soon"));
    let kept = send(&form, "30").await;
    assert_eq!((kept.status, kept.header("location")), (303, "/season/2026/due?said=corrected"));
    assert_eq!(send(&form, "30").await.header("location"), "/season/2026/due?said=corrected", "sent twice, kept once");
    assert_eq!(send(&form, "40").await.status, 409, "the page gone back to says what the book no longer does");
    // The crew thinned on 14 May: the second look stays open for thirty days.
    let due = site(owner.request("GET", "/season/2026/due?on=2026-06-10")).await;
    assert!(due.body.contains("Due until 13 June"), "{}", due.body);
    let stale = site(owner.request("GET", address)).await;
    let other = site(owner.request("GET", address)).await;
    assert_eq!(send(&other, "25").await.status, 303);
    let late = send(&stale, "20").await;
    assert_eq!((late.status, late.value("second_look_closes").as_str()), (409, "20"));
    assert!(late.body.contains("Somebody set others while the page was open"));
    assert_eq!(send(&late, "20").await.status, 303, "kept once more, it replaces what the book says");
    let changes = site(owner.request("GET", "/changes")).await;
    assert!(changes.body.contains("windows and limits corrected") && changes.body.contains("second look closes"));
}

/// One crew on one day in two blocks has more hours than a day: the page of crews and the list of work
/// say so, each with the way to the entries.
#[actix_web::test]
async fn crews_are_seen_across_blocks() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let page = site(owner.request("GET", "/season/2026/crews")).await;
    assert_eq!(page.status, 200);
    assert!(page.body.contains("Crew Arroyo") && page.body.contains("7.5"), "60 hours of 8 people: {}", page.body);
}

/// What cannot be is refused at its field, nothing of it kept, and what was typed comes back.
#[actix_web::test]
async fn hours_and_counts_that_cannot_be_are_refused_at_their_field() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let block = house.address("/season/2026/block/BLOCK");
    for (kind, fields, wrong, said) in [
        (
            "labor",
            [("task", "thin"), ("people", "1"), ("hours", "25")],
            "hours",
            "at most 24 hours for each of the people, 24 in all",
        ),
        (
            "fruit-counts",
            [("sample", "row 4 tree 11"), ("fruit_before", "380"), ("fruit_after", "1450")],
            "fruit_after",
            "no more than “Fruit before” (380)",
        ),
    ] {
        let address = format!("{block}/{kind}/add");
        let form = site(owner.request("GET", &address)).await;
        let key = form.value("key");
        let mut all = vec![("key", key.as_str()), ("date", "2026-05-16")];
        all.extend(fields);
        let refused = site(owner.form(&address, &all)).await;
        let typed = fields.iter().find(|(name, _)| *name == wrong).unwrap().1;
        assert_eq!((refused.status, refused.value(wrong).as_str()), (422, typed), "{kind}");
        assert!(refused.body.contains(said), "{kind}: {}", refused.body);
    }
}

/// Trees over those of the block by more than a pass are asked about on the block's own page, with the
/// way to the entry.
#[actix_web::test]
async fn more_trees_than_the_block_has_are_asked_about() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let file = b"date,block,task,pass,crew,people,hours,trees_done\n2026-05-16,RB-1,thin,1,North,6,48,9000\n";
    let fields = [("kind", "labor"), ("season", ""), ("sure", "yes")];
    let kept = site(owner.file("/bring-in", &fields, "labor.csv", file)).await;
    assert_eq!(kept.status, 200, "{}", kept.body);
    let page = site(owner.request("GET", &house.address("/season/2026/block/BLOCK"))).await;
    assert!(page.body.contains("has 2,387 trees, but the entries of its first pass count"), "{}", page.body);
    assert!(page.body.contains("Do some of these trees belong to another block, or to another pass?"));
    assert!(page.body.contains("Correct the trees, the block or the pass of the entries."));
}

/// After the season the list tells of the next: what is open then is not hidden, the calendar file holds
/// the windows of the page, and a season of the book that holds the day speaks for itself.
#[actix_web::test]
async fn a_day_after_the_season_is_told_as_it_is() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let block = format!("/season/2026/block/{}/correct", house.block);
    let form = site(owner.request("GET", &block)).await;
    let names = ["code", "block", "crop", "variety", "acres", "trees", "key", "version"];
    let stands: Vec<(&str, String)> = names
        .iter()
        .filter(|name| form.body.contains(&format!("name=\"{name}\"")))
        .map(|name| (*name, form.value(name)))
        .collect();
    let mut fields: Vec<(&str, &str)> = stands.iter().map(|(name, value)| (*name, value.as_str())).collect();
    fields.extend([("ripening_from", "06-20"), ("ripening_to", "07-05")]);
    let kept = site(owner.form(&block, &fields)).await;
    assert_eq!(kept.status, 303, "{}", kept.body);
    let on = |day: &str| site(owner.request("GET", &format!("/season/2026/due?on={day}")));
    let spring = on("2027-04-20").await.body;
    assert!(!spring.contains("Nothing is due") && spring.contains("The season of 2027 is not in the book"), "{spring}");
    assert!(spring.contains("Due until"), "{spring}");
    let file = |day: &str| site(owner.request("GET", &format!("/season/2026/due.ics?on={day}")));
    for day in ["2026-11-25", "2027-04-20"] {
        let events = file(day).await.body;
        assert_eq!(events.matches("SUMMARY:RB-1: First pass").count(), 1, "{day}: {events}");
        assert!(events.contains("DTSTART;VALUE=DATE:202704"), "{day}: {events}");
    }
    assert!(on("2026-11-25").await.body.contains("Next is the first pass of RB-1"));
    let mut book = house.state.store.book(&house.owner, store::Right::SetUp).await.unwrap();
    book.open_season(&reckon::block::Season::calendar_year(2027).unwrap()).await.unwrap();
    book.save().await.unwrap();
    let spring = on("2027-04-20").await.body;
    assert!(spring.contains("/season/2027/due?on=2027-04-20") && !spring.contains("Due until"), "{spring}");
    let empty = file("2027-04-20").await.body;
    assert_eq!(empty.matches("BEGIN:VEVENT").count(), 1, "a calendar has a component: {empty}");
    assert!(empty.contains("SUMMARY:No thinning is due\r\n") && empty.contains("TRANSP:TRANSPARENT"), "{empty}");
}

/// A crew's sheet goes by the crews that the season's entries name, within the scope of who asks.
#[actix_web::test]
async fn a_crew_sheet_is_printed_for_a_crew() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let address = |query: &str| format!("/season/2026/due/crew-sheet?on=2026-05-22{query}");
    let page = site(owner.request("GET", "/season/2026/due")).await.body;
    assert!(page.contains("<option value=\"Crew Arroyo\">"), "{page}");
    let own = site(owner.request("GET", &address("&crew=crew%20ARROYO&farm=&language="))).await;
    assert_eq!((own.status, own.header("content-type")), (200, "application/pdf"));
    assert_eq!(site(owner.request("GET", &address("&crew="))).await.status, 200, "any crew");
    assert_eq!(site(owner.request("GET", &address("&crew=Nobody"))).await.status, 404);
    let other = house.known("other farm", store::Role::Manager, Some(house.other_farm)).await;
    let other = house.browser(other).await;
    let theirs = site(other.request("GET", "/season/2026/due")).await.body;
    assert!(!theirs.contains("Crew Arroyo"));
    assert_eq!(site(other.request("GET", &address("&crew=Crew%20Arroyo"))).await.status, 404);
}
