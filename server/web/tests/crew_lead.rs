//! A crew lead keeps what happens in the orchard and sees no money, wherever a link leads.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use std::collections::BTreeSet;

use actix_web::http::Method;
use house::{Browser, House, Site, site};
use intake::{Context, FileKind, Parsed, read_form};
use reckon::exact::Percent;
use reckon::figure::RecordKind;
use reckon::money::UnitPrice;
use reckon::records::{LaborEntry, Loading, Pay, Record};
use store::{Right, Role, Target};

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";

/// What the mulch cost, as pages write it.
const MULCH_COST: &str = "4,663.58";
/// Heads and words that stand over money without its sign.
const OVER_MONEY: [&str; 6] = ["Worth<", "On this season", "Cost of the water", "Water cost", "Pay by", "Pay before"];

/// These say how figures are made and checked, from published sources: the same for every book.
const OF_NO_BOOK: [&str; 3] = ["/how", "/sources", "/api/openapi.json"];

async fn lead(house: &House) -> Browser {
    house.browser(house.known("lead", Role::CrewLead, None).await).await
}

#[actix_web::test]
async fn no_page_shows_a_crew_lead_money() {
    let house = House::new().await;
    water_and_mulch(&house).await;
    let site = site(&house.state).await;
    let lead = lead(&house).await;
    let owner = house.owner_browser().await;
    let mut owners_dollars = 0;
    let mut owners_mulch = 0;
    let mut owners_words = BTreeSet::new();
    for (method, path, _, sample) in web::routes::table() {
        if *method != Method::GET || path.starts_with("/static") || OF_NO_BOOK.contains(&path) {
            continue;
        }
        let address = house.address(sample);
        let answer = site(lead.request("GET", &address)).await;
        if answer.header("content-type") == "application/pdf" {
            // Packed bytes may be anything; the crew's sheet is tested where it is made.
            assert!(path.ends_with("/crew-sheet"), "{address}");
            continue;
        }
        assert!(!answer.body.contains('$'), "{address} ({}): {}", answer.status, around_dollar(&answer.body));
        for told in OVER_MONEY.into_iter().chain([MULCH_COST, "4663.58"]) {
            assert!(!answer.body.contains(told), "{address}: {told}");
        }
        let owners = site(owner.request("GET", &address)).await.body;
        owners_dollars += usize::from(owners.contains('$'));
        owners_mulch += usize::from(owners.contains(MULCH_COST));
        owners_words.extend(OVER_MONEY.into_iter().filter(|told| owners.contains(told)));
    }
    assert_eq!(owners_words, BTreeSet::from(OVER_MONEY), "the book has all that is left out");
    assert!(owners_mulch >= 2, "{owners_mulch}: on the block's page and on that of its water");
    assert!(owners_dollars >= 5, "{owners_dollars}: does the book have money at all?");
}

/// A block with mulch, sets, weather and a price of water: its pages are full of money for who sees it.
async fn water_and_mulch(house: &House) {
    let (block, station) = (Target::Block(house.block), Target::Station("River Bench".to_owned()));
    let mut records = vec![
        (
            block.clone(),
            kept(
                RecordKind::Mulch,
                &[
                    ("date", "2026-03-12"),
                    ("material", "wood chips"),
                    ("depth_in", "8"),
                    ("strip_width_ft", "7"),
                    ("life_years", "3"),
                    ("delivery_usd", "4663.58"),
                ],
            ),
        ),
        (block, kept(RecordKind::Irrigation, &[("date", "2026-05-20"), ("depth_in", "2")])),
        (
            Target::Operation,
            kept(RecordKind::Rate, &[("from", "2026-01-01"), ("rate", "water"), ("usd_per_acre_foot", "126")]),
        ),
    ];
    for day in 1..=31 {
        let date = format!("2026-05-{day:02}");
        let day = [("date", date.as_str()), ("tmax_f", "84"), ("tmin_f", "52"), ("rain_in", "0"), ("eto_in", "0.24")];
        records.push((station.clone(), kept(RecordKind::Weather, &day)));
    }
    let mut book = house.state.store.book(&house.owner, Right::KeepField).await.unwrap();
    for (target, record) in &records {
        book.add(target, record).await.unwrap();
    }
    book.save().await.unwrap();
}

fn kept(kind: RecordKind, fields: &[(&str, &str)]) -> Record {
    let place = [("block", "RB-1"), ("station", "River Bench")];
    let fields = place.iter().chain(fields).map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
    let fields: Vec<_> = fields.collect();
    let (_, parsed) = read_form(FileKind::Records(kind), &fields, &Context::default()).unwrap();
    let record = if let Parsed::Record(record) = parsed { Some(record) } else { None };
    record.unwrap()
}

fn around_dollar(body: &str) -> String {
    let at = body.find('$').unwrap_or_default();
    body.get(at.saturating_sub(120)..).unwrap_or_default().chars().take(200).collect()
}

/// Every link that a crew lead is shown opens.
#[actix_web::test]
async fn no_link_leads_a_crew_lead_to_a_closed_door() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let lead = lead(&house).await;
    let mut seen = BTreeSet::from(["/season/2026".to_owned()]);
    let mut next = vec!["/season/2026".to_owned()];
    while let Some(address) = next.pop() {
        let answer = site(lead.request("GET", &address)).await;
        assert!([200, 303].contains(&answer.status), "{address}: {}", answer.status);
        for link in links(&answer.body) {
            if seen.insert(link.clone()) {
                next.push(link);
            }
        }
    }
    assert!(seen.len() > 25, "{seen:?}");
    assert!(seen.contains(&house.labor_list()));
}

fn links(body: &str) -> Vec<String> {
    let html = scraper::Html::parse_document(body);
    let anchors = scraper::Selector::parse("main a[href], nav a[href]").unwrap();
    let own = html.select(&anchors).filter_map(|link| link.value().attr("href"));
    own.map(|link| link.split('#').next().unwrap().to_owned()).filter(|link| link.starts_with('/')).collect()
}

#[actix_web::test]
async fn a_refusal_says_why() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let lead = lead(&house).await;
    let block = format!("/season/2026/block/{}", house.block);
    for address in [
        format!("{block}/report.pdf"),
        format!("{block}/season.json"),
        format!("{block}/figures.csv"),
        format!("{block}/settlements"),
        "/season/2026/statement".to_owned(),
        "/season/2026/records/rates".to_owned(),
        "/changes".to_owned(),
    ] {
        let answer = site(lead.request("GET", &address)).await;
        assert_eq!(answer.status, 403, "{address}");
        assert!(answer.body.contains("your role leaves money out"), "{address}: {}", answer.body);
    }
    let season = site(lead.request("GET", "/season/2026")).await.body;
    assert!(season.contains("RB-1") && season.contains("2,387 trees"), "{season}");
}

/// What the form does not show stays; what a form sends beside its fields is not taken.
#[actix_web::test]
async fn a_correction_leaves_the_money_of_an_entry_as_it_is() {
    let house = House::new().await;
    let pay = Pay::Hourly(Some(UnitPrice::from_micros(21_250_000)));
    let loading = Loading::Payroll(Percent::from_micros(11_500_000));
    let record = record(&house).await;
    let paid = LaborEntry { pay, loading, ..record };
    let mut book = house.state.store.book(&house.owner, Right::KeepField).await.unwrap();
    let target = Target::Block(house.block);
    book.correct(RecordKind::Labor, house.labor, 1, &target, &Record::Labor(paid)).await.unwrap();
    book.save().await.unwrap();

    let site = site(&house.state).await;
    let lead = lead(&house).await;
    let correct = format!("{}/{}/correct", house.labor_list(), house.labor);
    let form = site(lead.request("GET", &correct)).await;
    assert!(!form.body.contains("wage_usd_per_hour") && !form.body.contains("21.25"), "{}", form.body);
    let fields = [
        ("key", KEY),
        ("version", "2"),
        ("date", "2026-05-14"),
        ("task", "thin"),
        ("hours", "61"),
        ("wage_usd_per_hour", "1"),
    ];
    assert_eq!(correct_status(&site, &lead, &correct, &fields).await, 303);
    let now = self::record(&house).await;
    assert_eq!((now.hours.map(|hours| hours.to_string()).as_deref(), now.pay, now.loading), (Some("61"), pay, loading));

    let add = format!("{}/add", house.labor_list());
    let fields = [
        ("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6079"),
        ("date", "2026-05-15"),
        ("task", "thin"),
        ("hours", "8"),
        ("wage_usd_per_hour", "99"),
    ];
    assert_eq!(correct_status(&site, &lead, &add, &fields).await, 303);
    let desk = house.state.store.desk(&house.owner);
    let all = desk.records(store::RecordFilter::of(RecordKind::Labor)).await.unwrap();
    let added = all.into_iter().find_map(|stored| match stored.record {
        Record::Labor(entry) if entry.date.to_string() == "2026-05-15" => Some(entry.pay),
        _ => None,
    });
    assert_eq!(added, Some(Pay::Hourly(None)));
}

/// Pieces are the crew's to count and the office's to pay: they stand in the note until there is a rate, and are
/// corrected beside it from then on.
#[actix_web::test]
async fn a_crew_lead_counts_pieces_and_gives_no_rate() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let lead = lead(&house).await;
    let add = format!("{}/add", house.labor_list());
    let form = site(lead.request("GET", &add)).await.body;
    assert!(form.contains("name=\"pieces\"") && !form.contains("piece_usd"), "{form}");
    assert!(form.contains("Heat: water, shade and rest.") && form.contains("Chemical thinner: The label"), "{form}");
    let picked = [("date", "2026-06-20"), ("task", "pick"), ("hours", "40"), ("note", "hot")];
    let many = [&picked[..], &[("key", KEY), ("pieces", "many")]].concat();
    let refused = site(lead.form(&add, &many)).await;
    assert_eq!((refused.status, refused.value("pieces").as_str()), (422, "many"));
    let pieces = [&picked[..], &[("key", KEY), ("pieces", "310")]].concat();
    let kept = site(lead.form(&add, &pieces)).await;
    assert_eq!(kept.status, 303, "{}", kept.body);
    let id = kept.header("location").rsplit_once("#r-").unwrap().1.to_owned();
    let list = site(lead.request("GET", &house.labor_list())).await.body;
    assert!(list.contains("Pieces: 310. hot"), "{list}");

    let correct = format!("{}/{id}/correct", house.labor_list());
    let paid = [("key", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6073"), ("version", "1"), ("pieces", "310")];
    let owner = house.owner_browser().await;
    let paid = [&picked[..], &paid, &[("piece_usd", "2.345")]].concat();
    assert_eq!(correct_status(&site, &owner, &correct, &paid).await, 303);
    let list = site(owner.request("GET", &house.labor_list())).await.body;
    assert!(list.contains("2.345 $ a piece"), "{list}");
    assert_eq!(site(lead.request("GET", &correct)).await.value("pieces"), "310");
    for (version, key, sent) in [
        ("2", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6074", Some("320")),
        ("3", "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6075", None),
    ] {
        let pieces = sent.map(|pieces| ("pieces", pieces));
        let more: Vec<_> = [("key", key), ("version", version)].into_iter().chain(pieces).collect();
        assert_eq!(correct_status(&site, &lead, &correct, &[&picked[..], &more].concat()).await, 303);
        assert_eq!(site(owner.request("GET", &correct)).await.value("pieces"), "320");
        assert_eq!(site(owner.request("GET", &correct)).await.value("piece_usd"), "2.345");
    }
}

/// What the block is, what happened in it and what was counted there is no money.
#[actix_web::test]
async fn a_crew_lead_sees_the_fruit_and_the_weather_of_a_block() {
    let house = House::new().await;
    let block = Target::Block(house.block);
    let mut book = house.state.store.book(&house.owner, Right::KeepField).await.unwrap();
    let hail = kept(RecordKind::Observation, &[("date", "2026-05-02"), ("what", "hail"), ("note", "north rows")]);
    book.add(&block, &hail).await.unwrap();
    for (sample, after) in [("t1", "300"), ("t2", "320")] {
        let count = [("sample", sample), ("fruit_before", "1000"), ("fruit_after", after), ("shoot_in", "1400")];
        let count = kept(RecordKind::FruitCount, &[&[("date", "2026-05-14")], &count[..]].concat());
        book.add(&block, &count).await.unwrap();
    }
    book.save().await.unwrap();
    let site = site(&house.state).await;
    let page = site(lead(&house).await.request("GET", &web::routes::to::block(2026, house.block))).await.body;
    for told in ["69% of the set came off", "keeps 310", "One fruit every 4.52 in of shoot", "hail", "north rows"] {
        assert!(page.contains(told), "{told}: {page}");
    }
    assert!(page.contains("Heat: water, shade and rest.") && page.contains("Chemical thinner: The label"), "{page}");
    assert!(!page.contains('$'), "{page}");
}

async fn correct_status(site: &Site, lead: &Browser, address: &str, fields: &[(&str, &str)]) -> u16 {
    site(lead.form(address, fields)).await.status
}

async fn record(house: &House) -> LaborEntry {
    let stored = house.state.store.desk(&house.owner).record(RecordKind::Labor, house.labor).await.unwrap();
    let entry = if let Record::Labor(entry) = stored.record { Some(entry) } else { None };
    entry.unwrap()
}

/// The office has the hours on paper: who keeps the books keeps labor, and nothing else of the field.
#[actix_web::test]
async fn a_bookkeeper_keeps_labor() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let books = house.browser(house.known("books", Role::Bookkeeper, None).await).await;
    let list = site(books.request("GET", &house.labor_list())).await;
    let correct = format!("{}/{}/correct", house.labor_list(), house.labor);
    assert!(list.body.contains(&correct), "the list offers it: {}", list.body);
    let fields = [("key", KEY), ("version", "1"), ("date", "2026-05-14"), ("task", "thin"), ("hours", "61")];
    assert_eq!(correct_status(&site, &books, &correct, &fields).await, 303);
    assert_eq!(record(&house).await.hours.map(|hours| hours.to_string()).as_deref(), Some("61"));
    let sets = format!("/season/2026/block/{}/irrigation/add", house.block);
    assert_eq!(site(books.request("GET", &sets)).await.status, 403);
}
