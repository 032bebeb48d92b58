//! Guesses that have to wait, and forms that outlive their session.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Answer, Browser, House, PASSWORD, Site, site};

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";

async fn guess(site: &Site, email: &str, password: &str, from: &str) -> Answer {
    let form = Browser::default().form("/sign-in", &[("email", email), ("password", password)]);
    site(form.peer_addr(format!("{from}:40000").parse().unwrap())).await
}

#[actix_web::test]
async fn guesses_at_an_e_mail_have_to_wait_longer_and_longer() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let wrong = async |email| guess(&site, email, "not the password", "203.0.113.7").await;
    for n in 1..=5 {
        let answer = wrong("ana@example.com").await;
        assert_eq!(answer.status, 422, "try {n}");
        assert_eq!(answer.body.contains("has to wait 30 seconds"), n == 5, "try {n}");
    }
    let sixth = wrong("ana@example.com").await;
    assert_eq!((sixth.status, sixth.header("retry-after")), (429, "30"));
    assert!(sixth.body.contains("Wait 30 seconds, then try again."), "{}", sixth.body);
    assert_eq!(sixth.value("email"), "ana@example.com");

    // Whoever knows the password waits as well, and not for others' addresses.
    let right = guess(&site, "ana@example.com", PASSWORD, "203.0.113.7").await;
    assert_eq!(right.status, 429, "no password is looked at");
    assert_eq!(wrong("other@example.com").await.status, 422, "another e-mail does not wait");

    house.clock.pass(30);
    assert_eq!(wrong("ana@example.com").await.status, 422);
    assert_eq!(wrong("ana@example.com").await.header("retry-after"), "60");
    house.clock.pass(59);
    assert_eq!(wrong("ana@example.com").await.header("retry-after"), "1");
    house.clock.pass(1);
    let right = guess(&site, "ana@example.com", PASSWORD, "203.0.113.7").await;
    assert_eq!(right.status, 303);
    assert_eq!(wrong("ana@example.com").await.status, 422, "signing in forgets the tries");
}

/// Guesses by others at one address: who has signed in there before is not held up, a stranger a minute at most.
#[actix_web::test]
async fn guesses_at_many_e_mails_from_one_address_have_to_wait() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let office = "203.0.113.7";
    assert_eq!(guess(&site, "ana@example.com", PASSWORD, office).await.status, 303, "so the address is known");
    for n in 0..100 {
        house.state.store.door().note_failed_sign_in(&format!("p{n}@example.com"), Some(office)).await.unwrap();
    }
    let stranger = guess(&site, "late@example.com", "not the password", office).await;
    assert_eq!((stranger.status, stranger.header("retry-after")), (429, "30"));
    assert_eq!(guess(&site, "ana@example.com", PASSWORD, office).await.status, 303);
    for _ in 0..50 {
        house.state.store.door().note_failed_sign_in("late@example.com", Some(office)).await.unwrap();
    }
    let elsewhere = guess(&site, "late@example.com", "not the password", "198.51.100.4").await;
    assert_eq!((elsewhere.status, elsewhere.header("retry-after")), (429, "30"), "the e-mail, from anywhere");
    assert_eq!(guess(&site, "other@example.com", "not the password", "198.51.100.4").await.status, 422);
    for n in 0..9 {
        house.state.store.door().note_failed_sign_in(&format!("q{n}@example.com"), Some(office)).await.unwrap();
    }
    let stranger = guess(&site, "new@example.com", "not the password", office).await;
    assert_eq!(stranger.header("retry-after"), "60", "for what others did never longer");
}

/// Twenty wrong passwords of one person leave the others of the office alone.
#[actix_web::test]
async fn one_persons_wrong_passwords_hold_up_no_colleague() {
    let house = House::new().await;
    let site = site(&house.state).await;
    for _ in 0..30 {
        house.state.store.door().note_failed_sign_in("ned@example.com", Some("203.0.113.7")).await.unwrap();
    }
    assert_eq!(guess(&site, "ned@example.com", "x", "203.0.113.7").await.header("retry-after"), "900");
    assert_eq!(guess(&site, "ana@example.com", PASSWORD, "203.0.113.7").await.status, 303);
    // Nor does who guesses elsewhere keep the person out here.
    for _ in 0..10 {
        house.state.store.door().note_failed_sign_in("ana@example.com", Some("198.51.100.4")).await.unwrap();
    }
    assert_eq!(guess(&site, "ana@example.com", "x", "198.51.100.4").await.status, 429);
    assert_eq!(guess(&site, "ana@example.com", PASSWORD, "203.0.113.7").await.status, 303);
}

#[actix_web::test]
async fn a_form_sent_after_the_session_comes_back_after_sign_in() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let add = format!("{}/add", house.labor_list());
    let typed = [
        ("key", KEY),
        ("date", "2026-06-30"),
        ("task", "thin"),
        ("people", "6"),
        ("hours_each", "7.5"),
        ("note", "<b>north</b> \"end\" & ñ"),
    ];
    let gone = Browser { csrf: "11".repeat(32), cookie: Some(format!("session={}", "22".repeat(32))) };
    let asked = site(gone.form(&add, &typed)).await;
    assert_eq!(asked.status, 401);
    assert!(asked.body.contains("what you typed comes back"));
    assert_eq!(asked.value("back"), add);
    assert_eq!(kept(&asked, "note"), "<b>north</b> \"end\" & ñ");
    assert_eq!(kept(&asked, "csrf"), "", "the old token stays behind");

    // A wrong password does not lose it.
    let mut fields: Vec<(String, String)> = hidden(&asked);
    fields.push(("email".to_owned(), "ana@example.com".to_owned()));
    let with = |password: &str| {
        let mut fields = fields.clone();
        fields.push(("password".to_owned(), password.to_owned()));
        Browser::default().request("POST", "/sign-in").set_form(fields)
    };
    let wrong = site(with("not the password")).await;
    assert_eq!((wrong.status, kept(&wrong, "people").as_str()), (422, "6"));
    let question = site(with(PASSWORD)).await;
    assert_eq!(question.status, 200);
    assert!(question.body.contains("Send it again?") && question.body.contains("7.5"));
    assert_eq!(house.labor_entries().await, 1, "nothing is sent by itself");

    let cookie = question.header("set-cookie").split(';').next().map(str::to_owned);
    let ana = Browser { cookie, csrf: question.value("csrf") };
    let mut again: Vec<(&str, &str)> = typed.to_vec();
    again.push(("look", "yes"));
    let form = site(ana.form(&add, &again)).await;
    assert_eq!((form.status, form.value("hours_each").as_str()), (200, "7.5"));
    assert_eq!(form.value("key"), KEY);
    assert_eq!(house.labor_entries().await, 1, "looked over, not kept");
    assert_eq!(site(ana.form(&add, &typed)).await.status, 303);
    assert_eq!(site(ana.form(&add, &typed)).await.status, 303);
    assert_eq!(house.labor_entries().await, 2, "kept once");
}

#[actix_web::test]
async fn only_our_own_page_brings_a_form_through_the_sign_in() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let add = format!("{}/add", house.labor_list());
    let foreign = Browser::default().form(&add, &[("key", KEY)]).insert_header(("origin", "https://evil.test"));
    assert_eq!(site(foreign).await.status, 403);
    let fields = [("email", "ana@example.com"), ("password", PASSWORD), ("back", "//evil.test"), ("kept.note", "x")];
    let away = site(Browser::default().form("/sign-in", &fields)).await;
    assert_eq!((away.status, away.header("location")), (303, "/"), "a form of another site is not offered");
}

fn hidden(page: &Answer) -> Vec<(String, String)> {
    let html = scraper::Html::parse_document(&page.body);
    let inputs = scraper::Selector::parse("input[type=hidden]").unwrap();
    let pair = |input: scraper::ElementRef<'_>| {
        let text = |name| input.value().attr(name).unwrap_or_default().to_owned();
        (text("name"), text("value"))
    };
    html.select(&inputs).map(pair).collect()
}

fn kept(page: &Answer, name: &str) -> String {
    let name = format!("kept.{name}");
    hidden(page).into_iter().find(|(known, _)| *known == name).map(|(_, value)| value).unwrap_or_default()
}
