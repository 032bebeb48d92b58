//! Records: the right season, hours as they were written, what somebody else did meanwhile, US
//! measures, rates and costs of entries, long lists.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use chrono::{Days, NaiveDate};
use house::{House, site};
use reckon::records::{Record, WeatherDay};
use reckon::units::{Celsius, Millimetres};
use store::{Right, Role, Target};

const KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071";
const OTHER_KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6072";
const THIRD_KEY: &str = "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6073";

#[actix_web::test]
async fn a_record_is_found_in_its_own_season_only() {
    let house = House::new().await;
    house.open_season(2025).await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    for what in ["correct", "remove"] {
        let own = format!("{}/{}/{what}", house.labor_list(), house.labor);
        assert_eq!(site(owner.request("GET", &own)).await.status, 200, "{own}");
        let other = own.replace("/season/2026/", "/season/2025/");
        assert_eq!(site(owner.request("GET", &other)).await.status, 404, "{other}");
        let form = [("key", KEY), ("version", "1"), ("date", "2025-05-14"), ("task", "thin"), ("hours", "60")];
        assert_eq!(site(owner.form(&other, &form)).await.status, 404, "{other}");
        let kind = own.replace("/labor/", "/picks/");
        assert_eq!(site(owner.request("GET", &kind)).await.status, 404, "{kind}");
    }
    assert_eq!(house.labor_entries().await, 1);
}

#[actix_web::test]
async fn a_correction_shows_the_hours_as_they_were_written() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let day = [("date", "2026-07-01"), ("task", "thin")];
    let written = [&[("key", KEY), ("people", "8"), ("hours_each", "7.5")], &day[..]].concat();
    let kept = site(owner.form(&add, &written)).await;
    let id = kept.header("location").rsplit_once("#r-").unwrap().1.to_owned();
    let correct = format!("{}/{id}/correct", house.labor_list());
    let form = site(owner.request("GET", &correct)).await;
    let values = |form: &house::Answer| ["people", "hours_each", "hours"].map(|name| form.value(name));
    assert_eq!(values(&form), ["8", "7.5", ""]);

    let ten = [&[("key", OTHER_KEY), ("version", "1"), ("people", "10"), ("hours_each", "7.5")], &day[..]].concat();
    assert_eq!(site(owner.form(&correct, &ten)).await.status, 303);
    let form = site(owner.request("GET", &correct)).await;
    assert_eq!(values(&form), ["10", "7.5", ""]);
    let list = site(owner.request("GET", &house.labor_list())).await.body;
    assert!(list.contains(">75<"), "ten people of 7.5 hours are 75 hours: {list}");

    let both =
        [&[("key", THIRD_KEY), ("version", "2"), ("people", "10"), ("hours_each", "7.5"), ("hours", "60")], &day[..]];
    let against = site(owner.form(&correct, &both.concat())).await;
    assert_eq!(against.status, 422, "hours that contradict each other are asked about");
    // What was written down as hours of all people comes back as that.
    let other = site(owner.request("GET", &format!("{}/{}/correct", house.labor_list(), house.labor))).await;
    assert_eq!(values(&other), ["8", "", "60"]);
}

/// The browser's Back brings the form with its hidden key: typed anew it is another entry.
#[actix_web::test]
async fn a_form_gone_back_to_and_typed_anew_is_another_entry() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let form = |hours| [("key", KEY), ("date", "2026-06-01"), ("task", "thin"), ("hours", hours)];
    let first = site(owner.form(&add, &form("8"))).await.header("location").to_owned();
    assert_eq!(house.labor_entries().await, 2);
    let prune = [("key", KEY), ("date", "2026-06-02"), ("task", "prune"), ("hours", "5")];
    let second = site(owner.form(&add, &prune)).await.header("location").to_owned();
    assert_ne!(first, second);
    assert_eq!(house.labor_entries().await, 3);
    assert_eq!(site(owner.form(&add, &form("8"))).await.header("location"), first, "the first one sent again");
    assert_eq!(site(owner.form(&add, &prune)).await.header("location"), second, "the second one sent again");
    assert_eq!(house.labor_entries().await, 3);

    let correct = format!("{}/{}/correct", house.labor_list(), house.labor);
    let fields =
        |hours| [("key", OTHER_KEY), ("version", "1"), ("date", "2026-05-14"), ("task", "thin"), ("hours", hours)];
    assert_eq!(site(owner.form(&correct, &fields("60"))).await.status, 303);
    let other = site(owner.form(&correct, &fields("61"))).await;
    assert_eq!((other.status, other.value("hours").as_str()), (409, "61"), "typed before the first was kept");
}

#[actix_web::test]
async fn what_was_typed_outlives_an_entry_that_somebody_removed() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let manager = house.browser(house.known("Mel Manager", Role::Manager, None).await).await;
    let entry = format!("{}/{}", house.labor_list(), house.labor);
    let (correct, remove) = (format!("{entry}/correct"), format!("{entry}/remove"));
    let gone = site(manager.form(&remove, &[("key", OTHER_KEY), ("version", "1")])).await;
    assert_eq!(gone.status, 303);

    let typed =
        [("key", KEY), ("version", "1"), ("date", "2026-05-14"), ("task", "thin"), ("hours", "61"), ("note", "late")];
    let answer = site(owner.form(&correct, &typed)).await;
    assert_eq!(answer.status, 410);
    assert!(answer.body.contains("removed by Mel Manager on 1 Jul 2026, 12:00 UTC"), "{}", answer.body);
    assert_eq!(answer.value("hours"), "61");
    let add = format!("{}/add", house.labor_list());
    assert!(answer.body.contains(&format!("action=\"{add}\"")));
    assert_eq!(site(owner.form(&add, &typed)).await.status, 303, "added anew");
    assert_eq!(house.labor_entries().await, 1);

    assert_eq!(site(owner.request("GET", &correct)).await.status, 410);
    assert_eq!(site(owner.request("GET", &remove)).await.status, 410);
    let elsewhere = house.browser(house.known("elsewhere", Role::Manager, Some(house.other_farm)).await).await;
    assert_eq!(site(elsewhere.request("GET", &correct)).await.status, 404, "not of a farm one does not see");
    assert_eq!(site(owner.request("GET", &correct.replace("/labor/", "/picks/"))).await.status, 404);
}

#[actix_web::test]
async fn what_was_typed_outlives_a_season_that_somebody_closed() {
    let house = House::new().await;
    let mut book = house.state.store.book(&house.owner, Right::SetUp).await.unwrap();
    book.close_season(2026, &[]).await.unwrap();
    book.save().await.unwrap();
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let typed = [("key", KEY), ("version", "1"), ("date", "2026-05-14"), ("task", "thin"), ("hours", "61")];
    for address in [format!("{}/add", house.labor_list()), format!("{}/{}/correct", house.labor_list(), house.labor)] {
        let answer = site(owner.form(&address, &typed)).await;
        assert_eq!((answer.status, answer.value("hours").as_str()), (409, "61"), "{address}");
        assert!(answer.body.contains("Nothing was changed."), "{address}");
    }
}

#[actix_web::test]
async fn labor_says_what_each_entry_is_paid_and_costs() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = site(owner.request("GET", &house.labor_list())).await.body;
    assert!(list.contains("19.40 $/h") && list.contains("from the rates"), "{list}");
    assert!(list.contains("$1,164.00"), "60 hours at 19.40: {list}");
    let mut book = house.state.store.book(&house.owner, Right::KeepBooks).await.unwrap();
    book.remove(reckon::figure::RecordKind::Rate, house.rate, 1).await.unwrap();
    book.save().await.unwrap();
    let list = site(owner.request("GET", &house.labor_list())).await.body;
    assert!(list.contains("no wage on this entry"), "{list}");
    let lead = house.browser(house.known("lead", Role::CrewLead, None).await).await;
    let list = site(lead.request("GET", &house.labor_list())).await.body;
    assert!(!list.contains('$') && !list.contains("wage"), "{list}");
}

async fn weather(house: &House, days: u64) {
    let mut book = house.state.store.book(&house.owner, Right::BringIn).await.unwrap();
    let first = NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
    for n in 0..days {
        let day = WeatherDay {
            date: first + Days::new(n),
            t_max: Some(Celsius::of(31.111_111_111)),
            t_min: Some(Celsius::of(12.5)),
            rain: Some(Millimetres::of(6.35)),
            runoff: None,
            eto: None,
            solar: None,
            sunshine_hours: None,
            wind: None,
            wind_height_m: None,
            rh_max_pct: None,
            rh_min_pct: None,
            vapour_pressure_kpa: None,
            dew_point: None,
            note: String::new(),
        };
        book.add(&Target::Station("River Bench".to_owned()), &Record::Weather(day)).await.unwrap();
    }
    book.save().await.unwrap();
}

#[actix_web::test]
async fn weather_is_listed_and_corrected_in_us_measures() {
    let house = House::new().await;
    weather(&house, 1).await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = site(owner.request("GET", "/season/2026/records/weather")).await.body;
    assert!(list.contains(">88<") && list.contains(">54.5<") && list.contains(">0.25<"), "{list}");
    assert!(list.contains("Fahrenheit") && !list.contains("Celsius") && !list.contains("millimetres"), "{list}");
    let correct =
        list.split("href=\"").find_map(|rest| rest.split('"').next().filter(|link| link.ends_with("/correct")));
    let form = site(owner.request("GET", correct.unwrap())).await;
    assert_eq!(["tmax_f", "tmax_c", "rain_in", "rain_mm"].map(|name| form.value(name)), ["88", "", "0.25", ""]);
}

#[actix_web::test]
async fn a_long_list_has_pages_and_months() {
    let house = House::new().await;
    weather(&house, 130).await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let first = site(owner.request("GET", "/season/2026/records/weather")).await.body;
    let second = site(owner.request("GET", "/season/2026/records/weather?page=2")).await.body;
    let rows = |page: &str| page.matches("<tr id=\"r-").count();
    assert_eq!((rows(&first), rows(&second)), (100, 30));
    assert!(first.contains("Page 1 of 2") && first.contains("?page=2") && second.contains("Page 2 of 2"));
    assert!(first.contains(">Jul 2026<") && first.contains(">Jun 2026<") && !first.contains(">Feb 2026<"), "{first}");
    // The month's head once in the list, however many days it has, and once among the jumps above it.
    assert_eq!(first.matches("colspan=").count(), first.matches("href=\"#month-").count());
    assert_eq!(first.matches(">Jun 2026<").count(), 2);
}

/// A meter's reading and unit stand ready for the next set; who enters hours or a depth instead leaves
/// them standing.
#[actix_web::test]
async fn what_was_offered_for_a_meter_does_not_stand_against_hours() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("/season/2026/block/{}/irrigation/add", house.block);
    let meter = [("meter_start", "500"), ("meter_end", "900"), ("meter_unit", "gal")];
    let first = [&[("key", KEY), ("date", "2026-06-01")], &meter[..]].concat();
    assert_eq!(site(owner.form(&add, &first)).await.status, 303);
    let form = site(owner.request("GET", &add)).await;
    assert_eq!(form.value("meter_start"), "900", "the meter goes on where it stopped");
    for (key, way, amount) in [(OTHER_KEY, "run_hours", "12"), (THIRD_KEY, "depth_in", "1.2")] {
        let typed =
            [("key", key), ("date", "2026-06-08"), ("meter_start", "900"), ("meter_unit", "gal"), (way, amount)];
        let answer = site(owner.form(&add, &typed)).await;
        assert_eq!(answer.status, 303, "{way}: {}", answer.body);
    }
    let both = [("key", KEY), ("date", "2026-06-09"), ("meter_end", "950"), ("run_hours", "12")];
    let refused = site(owner.form(&add, &both)).await;
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("“Meter after” is filled") && refused.body.contains("leave it empty"));
    assert!(!refused.body.contains("meter_end is") && !refused.body.contains("a blank cell"));
}

/// The charges of the last settlement stand ready; fruit sold by the ton has no boxes to charge, and
/// what was left standing does not bind it. A charge somebody typed is never dropped in silence.
#[actix_web::test]
async fn charges_by_the_box_do_not_bind_a_sale_by_the_ton() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = format!("/season/2026/block/{}/settlements", house.block);
    let add = format!("{list}/add");
    let charges = [("packing_usd_per_box", "4.25"), ("cooling_usd_per_box", "0.80"), ("freight_usd_per_box", "1.10")];
    let day = [("date", "2026-06-20"), ("buyer", "Valley shed")];
    let boxes = [("key", KEY), ("boxes", "100"), ("price_usd_per_box", "18.50")];
    assert_eq!(site(owner.form(&add, &[&day[..], &charges, &boxes].concat())).await.status, 303);
    let form = site(owner.request("GET", &add)).await;
    let offered = charges.map(|(name, _)| (name, form.value(name)));
    assert_eq!(offered, charges.map(|(name, text)| (name, text.to_owned())));

    let left: Vec<(&str, &str)> = offered.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let tons = |key| [("key", key), ("weight_tons", "5"), ("price_usd_per_ton", "420")];
    let typed = [&left[..2], &[("freight_usd_per_box", "1.25")]].concat();
    let refused = site(owner.form(&add, &[&day[..], &typed, &tons(OTHER_KEY)].concat())).await;
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("the line has no boxes") && refused.body.contains("1.25"), "{}", refused.body);
    let kept = site(owner.form(&add, &[&day[..], &left, &tons(OTHER_KEY)].concat())).await;
    assert_eq!(kept.status, 303, "{}", kept.body);
    let statement = site(owner.request("GET", &web::routes::to::block_statement(2026, house.block))).await.body;
    assert!(statement.contains("3,950.00") && statement.contains("−615.00"), "100 boxes and 5 tons: {statement}");

    // A line of boxes corrected into one of tons loses its charges with its boxes.
    let id = kept.header("location").rsplit_once("#r-").unwrap().1.to_owned();
    let correct = format!("{list}/{id}/correct");
    let by_box =
        [&day[..], &left, &[("key", THIRD_KEY), ("version", "1"), ("boxes", "10"), ("price_usd_per_box", "9")]];
    assert_eq!(site(owner.form(&correct, &by_box.concat())).await.status, 303);
    let back = [&day[..], &left, &[("version", "2")], &tons("0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6074")].concat();
    assert_eq!(site(owner.form(&correct, &back)).await.status, 303);
}

/// The next crew day is like the last one: who works and at what is offered, for which pay is not.
#[actix_web::test]
async fn a_crew_day_is_offered_its_crew_and_task_and_no_rate() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("{}/add", house.labor_list());
    let paid = [("crew", "Crew Arroyo"), ("people", "8"), ("hours", "60"), ("pieces", "800"), ("piece_usd", "1.85")];
    let day = [("key", KEY), ("date", "2026-07-01"), ("task", "pick")];
    assert_eq!(site(owner.form(&add, &[&day[..], &paid].concat())).await.status, 303);
    let form = site(owner.request("GET", &add)).await;
    assert_eq!(
        ["crew", "people", "piece_usd", "wage_usd_per_hour"].map(|name| form.value(name)),
        ["Crew Arroyo", "8", "", ""]
    );
    assert!(form.body.contains("selected>pick<"), "{}", form.body);
}

/// "Kept." stands at the row, where the page opens, and not twice.
#[actix_web::test]
async fn what_was_done_is_said_at_the_row() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let at = |row: &str| format!("{}?said=kept&row={row}", house.labor_list());
    let list = site(owner.request("GET", &at(&house.labor.to_string()))).await.body;
    let (_, behind) = list.split_once(&format!("id=\"r-{}\"", house.labor)).unwrap();
    assert!(behind.contains("role=\"status\">Kept.<"), "{list}");
    assert_eq!(list.matches(">Kept.<").count(), 1);
    let other = site(owner.request("GET", &at(KEY))).await.body;
    let (above, _) = other.split_once("<h1>").unwrap();
    assert!(above.contains(">Kept.<"), "a row of another page: above the list");
}

/// Straw off the own field: a typed nought is a cost of nothing, and a blank is none given.
#[actix_web::test]
async fn mulch_that_was_free_is_told_from_mulch_without_a_cost() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = format!("/season/2026/block/{}/mulch", house.block);
    let laid = [("material", "straw"), ("depth_in", "4"), ("share_pct", "30"), ("date", "2026-03-12")];
    let blank = [&laid[..], &[("key", KEY), ("material_usd", "")]].concat();
    let kept = site(owner.form(&format!("{list}/add"), &blank)).await;
    let id = kept.header("location").rsplit_once("#r-").unwrap().1.to_owned();
    let correct = format!("{list}/{id}/correct");
    assert_eq!(site(owner.request("GET", &correct)).await.value("material_usd"), "");
    let block = web::routes::to::block(2026, house.block);
    let told = site(owner.request("GET", &block)).await.body;
    assert!(told.contains("No cost is given for the mulch of 12 March"), "{told}");
    assert!(site(owner.request("GET", "/season/2026/mulch")).await.body.contains("not given"));

    let free = [&laid[..], &[("key", OTHER_KEY), ("version", "1"), ("material_usd", "0")]].concat();
    assert_eq!(site(owner.form(&correct, &free)).await.status, 303);
    assert_eq!(site(owner.request("GET", &correct)).await.value("material_usd"), "0.00");
    assert!(!site(owner.request("GET", &block)).await.body.contains("No cost is given"));
    let ledger = site(owner.request("GET", "/season/2026/mulch")).await.body;
    assert!(ledger.contains("0.00") && !ledger.contains("not given"), "{ledger}");
}

/// Mulch of last year and one laid before the first season are counted in this one: every page that
/// shows them leads to a form that is there.
#[actix_web::test]
async fn mulch_of_another_season_has_a_form_that_is_there() {
    let house = House::new().await;
    house.open_season(2025).await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let list = format!("/season/2026/block/{}/mulch", house.block);
    for (key, day, life) in [(KEY, "2025-11-12", "3"), (OTHER_KEY, "2024-11-12", "3")] {
        let laid = [("key", key), ("date", day), ("material", "wood chips"), ("depth_in", "4"), ("share_pct", "30")];
        let kept = site(owner.form(&format!("{list}/add"), &[&laid[..], &[("life_years", life)]].concat())).await;
        assert_eq!(kept.status, 303, "{}", kept.body);
    }
    let mut followed = Vec::new();
    for page in ["/season/2026/mulch".to_owned(), list] {
        let body = site(owner.request("GET", &page)).await.body;
        let links = body.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next());
        for link in links.filter(|link| link.contains("/mulch/") || link.contains("/mulch#")) {
            assert_eq!(
                site(owner.request("GET", link.split('#').next().unwrap())).await.status,
                200,
                "{link} on {page}"
            );
            followed.push(link.to_owned());
        }
    }
    let to =
        |start: &str, end: &str| followed.iter().filter(|link| link.starts_with(start) && link.contains(end)).count();
    assert_eq!(to("/season/2025/", "/correct"), 1, "{followed:?}");
    assert_eq!(to("/season/2025/", "#r-"), 1, "{followed:?}");
    assert!(to("/season/2026/", "/correct") >= 2, "before the first season: {followed:?}");
}
