//! The page of people, one-time passwords, and everybody's own password.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Answer, Browser, House, PASSWORD, Site, site};
use scraper::{Html, Selector};
use store::Role;

const NED: [(&str, &str); 4] =
    [("name", "Ned Reyes"), ("email", "ned@farm.example"), ("role", "crew lead"), ("reach", "only these")];

/// The password on the page that shows it.
fn given(answer: &Answer) -> String {
    let page = Html::parse_document(&answer.body);
    let code = Selector::parse("#one-time-password").unwrap();
    page.select(&code).next().map(|element| element.text().collect()).unwrap_or_default()
}

async fn sign_in(site: &Site, email: &str, password: &str) -> Answer {
    let fields = [("email", email), ("password", password)];
    site(Browser::default().request("POST", "/sign-in").set_form(fields)).await
}

/// The browser that a sign-in leaves behind, with the token of the page it was led to.
async fn browser(site: &Site, answer: &Answer) -> Browser {
    let cookie = answer.header("set-cookie").split(';').next().unwrap().to_owned();
    let mut browser = Browser { cookie: Some(cookie), csrf: String::new() };
    browser.csrf = site(browser.request("GET", "/password")).await.value("csrf");
    browser
}

async fn add_ned(house: &House, site: &Site) -> String {
    let owner = house.owner_browser().await;
    let farm = house.farm.to_string();
    let fields: Vec<(&str, &str)> = NED.into_iter().chain([("farm", farm.as_str())]).collect();
    let added = site(owner.form("/people/add", &fields)).await;
    assert_eq!(added.status, 200, "{}", added.body);
    given(&added)
}

#[actix_web::test]
async fn a_person_signs_in_once_and_chooses_a_password() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let password = add_ned(&house, &site).await;
    assert_eq!(password.len(), 19, "{password}");
    let owner = house.owner_browser().await;
    let people = site(owner.request("GET", "/people")).await;
    assert!(people.body.contains("Ned Reyes") && people.body.contains("River Bench"), "{}", people.body);
    assert!(!people.body.contains(&password), "it is shown once");
    let changes = site(owner.request("GET", "/changes")).await;
    assert!(changes.body.contains("person added") && !changes.body.contains(&password));

    let first = sign_in(&site, "ned@farm.example", &password).await;
    assert_eq!(first.status, 303);
    let ned = browser(&site, &first).await;
    for path in ["/", "/season/2026", "/seasons"] {
        assert_eq!(site(ned.request("GET", path)).await.header("location"), "/password", "{path}");
    }
    let kept = site(ned.form(&format!("{}/add", house.labor_list()), &[])).await;
    assert_eq!((kept.status, kept.header("location")), (303, "/password"), "nothing is kept before");
    let own = "five plain words of mine";
    for (old, new) in [("wrong password here", own), (&*password, "short"), (&*password, &*password)] {
        let refused = site(ned.form("/password", &[("old_password", old), ("new_password", new)])).await;
        assert_eq!(refused.status, 422, "{old} {new}");
    }
    let changed = site(ned.form("/password", &[("old_password", &password), ("new_password", own)])).await;
    assert_eq!(changed.header("location"), "/seasons?said=password");
    assert_eq!(site(ned.request("GET", "/season/2026")).await.status, 200, "the sign-in goes on");
    assert_eq!(sign_in(&site, "ned@farm.example", &password).await.status, 422, "it held once");
    assert_eq!(sign_in(&site, "ned@farm.example", own).await.status, 303);
}

#[actix_web::test]
async fn a_one_time_password_opens_once_within_a_week() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let password = add_ned(&house, &site).await;
    assert_eq!(sign_in(&site, "ned@farm.example", &password).await.status, 303);
    let again = sign_in(&site, "ned@farm.example", &password).await;
    assert_eq!(again.status, 422);
    assert!(again.body.contains("Ask the owner of the book for a new one"), "{}", again.body);
    assert_eq!(again.header("set-cookie"), "");
    let wrong = sign_in(&site, "ned@farm.example", "not the password").await;
    assert!(!wrong.body.contains("Ask the owner"), "only who knows it is told");

    let ned = house.state.store.door().password_of("ned@farm.example").await.unwrap().unwrap().0;
    let give = || async {
        let owner = house.owner_browser().await;
        given(&site(owner.form(&format!("/people/{ned}/password"), &[])).await)
    };
    let late = give().await;
    house.clock.pass(7 * 24 * 3600);
    let week_later = sign_in(&site, "ned@farm.example", &late).await;
    assert_eq!((week_later.status, week_later.body.contains("Ask the owner")), (422, true));
    let in_time = give().await;
    house.clock.pass(7 * 24 * 3600 - 1);
    assert_eq!(sign_in(&site, "ned@farm.example", &in_time).await.status, 303);
}

#[actix_web::test]
async fn wrong_passwords_wait_on_your_password_as_at_the_sign_in() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let ana = house.owner_browser().await;
    let own = "five plain words of mine";
    let try_with = |old| site(ana.form("/password", &[("old_password", old), ("new_password", own)]));
    for n in 1..=5 {
        assert_eq!(try_with("not the password").await.status, 422, "try {n}");
    }
    let sixth = try_with(PASSWORD).await;
    assert_eq!((sixth.status, sixth.header("retry-after")), (429, "30"));
    assert!(sixth.body.contains("Nothing was checked this time. Wait 30 seconds"), "{}", sixth.body);
    assert_eq!(sign_in(&site, "ana@example.com", PASSWORD).await.status, 429, "one count with the sign-in");
    house.clock.pass(30);
    assert_eq!(try_with(PASSWORD).await.status, 303);
    assert_eq!(sign_in(&site, "ana@example.com", own).await.status, 303, "the right one forgets the tries");
}

#[actix_web::test]
async fn a_password_that_anybody_would_guess_is_refused() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let ana = house.owner_browser().await;
    for new in ["            ", "Ana@Example.com", "zzzzzzzzzzzz", "123456789012", "passwordpassword"] {
        let refused = site(ana.form("/password", &[("old_password", PASSWORD), ("new_password", new)])).await;
        assert_eq!(refused.status, 422, "{new}");
        assert!(refused.body.contains("Take a few plain words."), "{new}: {}", refused.body);
    }
}

#[actix_web::test]
async fn a_form_about_a_person_comes_back_with_what_is_wrong() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let nothing = site(owner.form("/people/add", &NED)).await;
    assert_eq!(nothing.status, 422);
    assert!(nothing.body.contains("Tick at least one farm") && nothing.body.contains("Ned Reyes"));
    let elsewhere = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";
    let fields: Vec<(&str, &str)> = NED.into_iter().chain([("farm", elsewhere)]).collect();
    assert_eq!(site(owner.form("/people/add", &fields)).await.status, 422);
    let twice = [("name", "Ana"), ("email", "ANA@example.com"), ("role", "manager"), ("reach", "all farms")];
    let taken = site(owner.form("/people/add", &twice)).await;
    assert_eq!(taken.status, 422);
    assert!(taken.body.contains("Somebody signs in with this e-mail already."), "{}", taken.body);
}

#[actix_web::test]
async fn a_role_changes_and_a_removed_person_is_out_at_once() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let keeper = house.known("keeper", Role::Bookkeeper, None).await;
    let at_desk = house.browser(keeper).await;
    assert_eq!(site(at_desk.request("GET", "/season/2026/costs")).await.status, 200);
    let change = format!("/people/{keeper}/change");
    let form = site(owner.request("GET", &change)).await;
    assert!(form.body.contains("value=\"bookkeeper\" checked"), "{}", form.body);
    let changed = site(owner.form(&change, &[("role", "crew lead"), ("reach", "all farms")])).await;
    assert_eq!(changed.header("location"), "/people?said=person");
    assert_eq!(site(at_desk.request("GET", "/season/2026/costs")).await.status, 403);
    let remove = format!("/people/{keeper}/remove");
    assert!(site(owner.request("GET", &remove)).await.body.contains("Remove keeper?"));
    assert_eq!(site(owner.form(&remove, &[])).await.header("location"), "/people?said=person-removed");
    assert_eq!(site(at_desk.request("GET", "/season/2026")).await.status, 303, "on to sign in");
    assert_eq!(site(owner.request("GET", &remove)).await.status, 404);
    let changes = site(owner.request("GET", "/changes")).await;
    assert!(changes.body.contains("person corrected") && changes.body.contains("person removed"));
}

#[actix_web::test]
async fn the_last_owner_stays_and_keeps_the_role() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let own = house.owner.user();
    let said = "An operation keeps at least one owner";
    let removed = site(owner.form(&format!("/people/{own}/remove"), &[])).await;
    assert!(removed.status == 409 && removed.body.contains(said), "{}", removed.body);
    let fields = [("role", "manager"), ("reach", "all farms")];
    let changed = site(owner.form(&format!("/people/{own}/change"), &fields)).await;
    assert!(changed.status == 422 && changed.body.contains(said), "{}", changed.body);
    assert_eq!(site(owner.request("GET", "/people")).await.status, 200);
}

#[actix_web::test]
async fn a_forgotten_password_is_given_anew() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let old = add_ned(&house, &site).await;
    let ned = house.state.store.door().password_of("ned@farm.example").await.unwrap().unwrap().0;
    let answer = site(owner.form(&format!("/people/{ned}/password"), &[])).await;
    let new = given(&answer);
    assert!(new.len() == 19 && new != old, "{}", answer.body);
    assert_eq!(sign_in(&site, "ned@farm.example", &old).await.status, 422);
    assert_eq!(sign_in(&site, "ned@farm.example", &new).await.status, 303);
    // One's own is changed with the old one.
    let own = format!("/people/{}/password", house.owner.user());
    assert_eq!(site(owner.form(&own, &[])).await.header("location"), "/password");
    assert_eq!(sign_in(&site, "ana@example.com", PASSWORD).await.status, 303);
}

/// An owner takes one key of a colleague away: that program is refused, another one goes on.
#[actix_web::test]
async fn an_owner_takes_a_colleagues_key_away() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let keeper = house.known("keeper", Role::Bookkeeper, None).await;
    let (first, second) = (house.program(keeper).await, house.program(keeper).await);
    let owner = house.owner_browser().await;
    let people = site(owner.request("GET", "/people")).await.body;
    let list = web::routes::to::keys_of(keeper);
    assert!(people.contains(&format!("href=\"{list}\"")), "{people}");
    let keys = house.state.store.desk(&house.owner).program_keys_of(keeper).await.unwrap();
    let remove = web::routes::to::remove_key_of(keeper, keys[0].id);
    assert!(site(owner.request("GET", &list)).await.body.contains(&remove));
    assert!(site(owner.request("GET", &remove)).await.body.contains("Made by"));
    let manager = house.browser(house.known("manager", Role::Manager, None).await).await;
    for path in [&list, &remove] {
        assert_eq!(site(manager.request("GET", path)).await.status, 403, "{path}");
    }
    assert_eq!(site(manager.form(&remove, &[])).await.status, 403);
    let elsewhere = web::routes::to::remove_key_of(house.owner.user(), keys[0].id);
    assert_eq!(site(owner.form(&elsewhere, &[])).await.status, 404, "another person's key");
    let gone = site(owner.form(&remove, &[])).await;
    assert_eq!(gone.header("location"), format!("{list}?said=key-removed"));
    assert_eq!(site(first.request("GET", "/api/season/2026")).await.status, 401);
    assert_eq!(site(second.request("GET", "/api/season/2026")).await.status, 200);
    assert!(site(owner.request("GET", "/changes")).await.body.contains("program key removed"));
}
