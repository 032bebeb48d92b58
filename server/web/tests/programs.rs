//! Other programs: keys, records in, blocks out, and everything they are told.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{Answer, House, Program, Site, site};
use reckon::figure::RecordKind;
use serde_json::{Value, json};
use store::{RecordFilter, Right, Role};

async fn open() -> (House, Site, Program) {
    let house = House::new().await;
    let site = site(&house.state).await;
    let program = house.program(house.owner.user()).await;
    (house, site, program)
}

/// The body as JSON, which every answer must be.
fn said(answer: &Answer) -> Value {
    assert_eq!(answer.header("content-type"), "application/json", "{}", answer.body);
    for (name, _) in &answer.headers {
        assert!(!name.as_str().starts_with("access-control"), "{name}");
    }
    serde_json::from_str(&answer.body).unwrap()
}

fn day(date: &str, trees: &str) -> Value {
    json!({ "date": date, "block": "RB-1", "task": "thin", "people": "8", "hours_each": "7.5", "trees_done": trees })
}

fn request(records: &[Value]) -> String {
    json!({ "records": records }).to_string()
}

#[actix_web::test]
async fn a_key_is_made_shown_once_used_and_taken_away() {
    let (house, site, _) = open().await;
    let owner = house.owner_browser().await;
    let empty = site(owner.form("/keys", &[("name", " ")])).await;
    assert!(empty.status == 422 && empty.body.contains("for example packing line"), "{}", empty.body);
    let made = site(owner.form("/keys", &[("name", "weather station")])).await;
    assert_eq!(made.status, 200);
    let key = made.body.split("sbk_").nth(1).unwrap()[..64].to_owned();
    let again = site(owner.form("/keys", &[("name", "weather station")])).await;
    assert!(again.status == 422 && !again.body.contains("sbk_"));
    let program = Program(format!("sbk_{key}"));
    assert_eq!(site(program.request("GET", "/api/season/2026")).await.status, 200);
    let list = site(owner.request("GET", "/keys")).await;
    assert!(list.body.contains("weather station") && !list.body.contains(&key), "{}", list.body);
    let id = list.body.split("weather station</th>").nth(1).unwrap().split("/keys/").nth(1).unwrap()[..36].to_owned();
    assert!(site(owner.request("GET", &format!("/keys/{id}/remove"))).await.body.contains("Take away the key of"));
    let gone = site(owner.form(&format!("/keys/{id}/remove"), &[])).await;
    assert_eq!(gone.header("location"), "/keys?said=key-removed");
    let refused = site(program.request("GET", "/api/season/2026")).await;
    assert_eq!((refused.status, refused.header("www-authenticate")), (401, "Bearer"));
    let changes = site(owner.request("GET", "/changes")).await.body;
    assert!(changes.contains("program key added") && changes.contains("program key removed"));
    assert!(!changes.contains(&key));
}

#[actix_web::test]
async fn a_removed_persons_program_is_refused_and_a_changed_role_holds_at_once() {
    let (house, site, _) = open().await;
    let keeper = house.known("keeper", Role::Bookkeeper, None).await;
    let program = house.program(keeper).await;
    let body = request(&[day("2026-05-15", "310")]);
    assert_eq!(site(program.send("labor", &body)).await.status, 200);
    let change = async |role| {
        let mut book = house.state.store.book(&house.owner, Right::People).await.unwrap();
        match role {
            Some(role) => book.change_person(keeper, role, None).await.unwrap(),
            None => book.remove_person(keeper).await.unwrap(),
        }
        book.save().await.unwrap();
    };
    change(Some(Role::CrewLead)).await;
    let refused = site(program.send("labor", &body)).await;
    assert_eq!(refused.status, 403);
    assert!(said(&refused)["error"].as_str().unwrap().contains("Your role does not include this"));
    change(None).await;
    assert_eq!(site(program.send("labor", &body)).await.status, 401);
}

/// The page's own example is accepted as it stands, and answered as it says.
#[actix_web::test]
async fn the_example_works() {
    let (house, site, program) = open().await;
    let page = site(house.owner_browser().await.request("GET", "/keys/how")).await;
    let page = scraper::Html::parse_document(&page.body);
    let code = scraper::Selector::parse("pre code").unwrap();
    let shown: Vec<String> = page.select(&code).map(|code| code.text().collect()).collect();
    let body = shown[0].split("-d '").nth(1).unwrap().trim_end_matches('\'');
    let answer = site(program.send("labor", body)).await;
    assert_eq!((answer.status, answer.body.as_str()), (200, shown[1].as_str()));
    let list = site(house.owner_browser().await.request("GET", &house.labor_list())).await;
    assert!(list.body.contains("packing line, line 3"), "the program's name stands for the file's");
}

#[actix_web::test]
async fn a_request_is_kept_whole_or_not_at_all() {
    let (house, site, program) = open().await;
    let wrong = request(&[
        day("2026-05-15", "310"),
        day("2026-05-16", "many"),
        json!({ "date": "2026-05-17", "task": "thin" }),
    ]);
    let answer = site(program.send("labor", &wrong)).await;
    assert_eq!(answer.status, 422);
    let told = said(&answer);
    let problems = told["problems"].as_array().unwrap();
    let at = |record: u64, field: &str| {
        problems
            .iter()
            .find(|problem| problem["record"] == record && problem["field"] == field)
            .cloned()
            .unwrap_or_default()
    };
    assert_eq!(at(2, "trees_done")["read"], "many");
    assert_eq!(at(2, "trees_done")["example"], "620");
    assert_eq!(at(3, "block")["read"], "");
    let unknown = site(program.send("labor", &request(&[json!({ "date": "2026-05-15", "hour": "8" })]))).await;
    let told = said(&unknown);
    assert_eq!((unknown.status, &told["problems"][0]["field"]), (422, &json!("hour")));
    assert!(told["problems"][0]["expected"].as_str().unwrap().contains("perhaps hours"));
    let number = site(program.send("labor", r#"{"records":[{"hours":7.5}]}"#)).await;
    assert_eq!((number.status, &said(&number)["problems"][0]["example"]), (422, &json!("\"7.5\"")));
    assert_eq!(house.labor_entries().await, 1);

    let good = [day("2026-05-15", "310"), day("2026-05-16", "320")];
    let kept = said(&site(program.send("labor", &request(&good))).await);
    assert_eq!(kept, json!({ "added": 2, "already_there": 0, "left_out": 0, "kept_out": 0 }));
    let more = said(&site(program.send("labor", &request(&[&good[..], &[day("2026-05-17", "330")]].concat()))).await);
    assert_eq!((&more["added"], &more["already_there"]), (&json!(1), &json!(2)));
    let same = said(&site(program.send("labor", &request(&good))).await);
    assert_eq!((&same["added"], &same["already_there"]), (&json!(0), &json!(2)));
    assert_eq!(house.labor_entries().await, 4);
}

#[actix_web::test]
async fn each_refusal_has_its_status_and_is_json() {
    let (house, site, program) = open().await;
    let nobody = Program("sbk_00".to_owned());
    let crew = house.program(house.known("crew", Role::CrewLead, None).await).await;
    let good = request(&[day("2026-05-15", "310")]);
    let large = format!("{{\"records\":[{{\"note\":\"{}\"}}]}}", "x".repeat(20_000_001));
    let unannounced = program.send("labor", &large).insert_header(("content-length", "1000"));
    for (request, status) in [
        (nobody.send("labor", &good), 401),
        (house::Browser::default().request("POST", "/api/records/labor").set_payload(good.clone()), 401),
        (crew.send("labor", &good), 403),
        (program.send("labour", &good), 404),
        (program.send("blocks", &good), 404),
        (program.request("GET", "/api/season/1999"), 404),
        (program.request("GET", "/api/elsewhere"), 404),
        (program.request("GET", "/api"), 404),
        (program.request("GET", "/api/records/labor"), 405),
        (program.send("labor", "{"), 400),
        (program.send("labor", &good).insert_header(("idempotency-key", " ")), 400),
        (program.send("labor", &large).insert_header(("content-length", large.len().to_string())), 413),
        (unannounced, 413),
        (program.send("labor", "{\"records\":[]}"), 422),
        (program.send("labor", &good.replace("}]", "}],\"doubles\":\"perhaps\"")), 422),
        (program.send("labor", &good), 200),
    ] {
        let answer = site(request).await;
        assert_eq!(answer.status, status, "{}", answer.body);
        let told = said(&answer);
        assert!(status == 200 || !told["error"].as_str().unwrap().is_empty(), "{told}");
    }
    let mut book = house.state.store.book(&house.owner, Right::SetUp).await.unwrap();
    book.close_season(2026, &[]).await.unwrap();
    book.save().await.unwrap();
    let closed = site(program.send("labor", &request(&[day("2026-05-16", "310")]))).await;
    assert_eq!(closed.status, 409);
    let told = said(&closed);
    assert!(told["problems"][0]["expected"].as_str().unwrap().contains("season 2026, which is closed"), "{told}");
}

#[actix_web::test]
async fn many_wrong_keys_are_told_to_wait_and_a_right_one_never_is() {
    let (house, site, program) = open().await;
    let wrong = Program(format!("sbk_{}", "0".repeat(64)));
    for n in 0..20 {
        assert_eq!(site(wrong.request("GET", "/api/season/2026")).await.status, 401, "{n}");
    }
    let late = site(wrong.request("GET", "/api/season/2026")).await;
    assert_eq!((late.status, late.header("retry-after")), (429, "30"));
    assert!(said(&late)["error"].as_str().unwrap().contains("Many wrong keys"));
    assert_eq!(site(program.request("GET", "/api/season/2026")).await.status, 200);
    let fields = [("email", "ana@example.com"), ("password", house::PASSWORD)];
    let person = site(house::Browser::default().request("POST", "/sign-in").set_form(fields)).await;
    assert_eq!(person.status, 303, "people still sign in");
    house.clock.pass(31);
    assert_eq!(site(wrong.request("GET", "/api/season/2026")).await.status, 401);
}

#[actix_web::test]
async fn the_same_request_counts_once() {
    let (house, site, program) = open().await;
    let (one, two) = (request(&[day("2026-05-15", "310")]), request(&[day("2026-05-16", "320")]));
    let named = |program: &Program, body: &str| program.send("labor", body).insert_header(("idempotency-key", "a"));
    let first = site(named(&program, &one)).await;
    assert_eq!(first.status, 200);
    // A request that was refused is none: mended, it may come under the same name.
    let mended = site(named(&program, &two)).await;
    assert_eq!(mended.status, 422);
    assert!(said(&mended)["error"].as_str().unwrap().contains("Another request came with this"));
    let refused = program.send("labor", &two.replace("320", "many")).insert_header(("idempotency-key", "b"));
    assert_eq!(site(refused).await.status, 422);
    assert_eq!(site(program.send("labor", &two).insert_header(("idempotency-key", "b"))).await.status, 200);
    assert_eq!(house.labor_entries().await, 3);
    // Whatever has become of the book since.
    let mut book = house.state.store.book(&house.owner, Right::SetUp).await.unwrap();
    book.close_season(2026, &[]).await.unwrap();
    book.save().await.unwrap();
    let again = site(named(&program, &one)).await;
    assert_eq!((again.status, &again.body), (200, &first.body));
    // Another key's names are its own.
    let keeper = house.program(house.known("keeper", Role::Bookkeeper, None).await).await;
    let other = said(&site(named(&keeper, &one)).await);
    assert_eq!((&other["added"], &other["already_there"]), (&json!(0), &json!(1)));
    assert_eq!(house.labor_entries().await, 3);
}

#[actix_web::test]
async fn odd_values_and_doubles_are_asked_about_by_record() {
    let (house, site, program) = open().await;
    let mut dear = day("2026-05-15", "310");
    dear["wage_usd_per_hour"] = json!("1800");
    let fine = day("2026-05-16", "320");
    let send = |sure: Value, doubles: &str| {
        program.send("labor", &json!({ "records": [fine, dear], "sure": sure, "doubles": doubles }).to_string())
    };
    for sure in [json!([]), json!([1])] {
        let asked = site(send(sure, "ask")).await;
        assert_eq!(asked.status, 422);
        let told = said(&asked);
        assert_eq!(
            (&told["questions"][0]["record"], &told["questions"][0]["field"]),
            (&json!(2), &json!("wage_usd_per_hour"))
        );
        assert!(told["questions"][0]["question"].as_str().unwrap().contains("Is it so much?"), "{told}");
    }
    assert_eq!(said(&site(send(json!([2]), "ask")).await)["added"], 2);
    // The house's own entry, which was made by hand.
    let twin = json!({ "date": "2026-05-14", "block": "RB-1", "task": "thin", "pass": "1", "crew": "Crew Arroyo",
        "people": "8", "hours": "60", "trees_done": "620" });
    let send = |doubles: &str| {
        let next = json!({ "date": "2026-05-20", "block": "RB-1", "task": "thin", "hours": "8" });
        program.send("labor", &json!({ "records": [next, twin], "doubles": doubles }).to_string())
    };
    let asked = site(send("ask")).await;
    let told = said(&asked);
    assert_eq!((asked.status, &told["doubles"][0]["record"]), (422, &json!(2)), "{told}");
    assert!(told["doubles"][0]["like"].as_str().unwrap().contains("entered by hand"));
    let left = said(&site(send("leave-out")).await);
    assert_eq!((&left["added"], &left["left_out"]), (&json!(1), &json!(1)));
    assert_eq!(said(&site(send("add")).await)["added"], 1);
    assert_eq!(house.labor_entries().await, 5);
    let day = json!({ "date": "2026-05-21", "block": "RB-1", "task": "thin", "hours": "8" });
    let told = said(&site(program.send("labor", &json!({ "records": [day, day] }).to_string())).await);
    let like = "the labor entry of 21 May 2026 for RB-1, record 1 of this request";
    assert_eq!(told["doubles"], json!([{ "record": 2, "like": like }]), "{told}");
}

/// A stranger's block, one of a farm out of reach, and one that is nowhere are told the same.
#[actix_web::test]
async fn a_block_out_of_scope_is_like_one_that_is_not_there() {
    let (house, site, _) = open().await;
    house.known("stranger", Role::Owner, None).await;
    let limited = house.known("other farm", Role::Manager, Some(house.other_farm)).await;
    let program = house.program(limited).await;
    let told = async |code: &str| {
        let mut record = day("2026-05-15", "310");
        record["block"] = json!(code);
        let answer = site(program.send("labor", &request(&[record]))).await;
        assert_eq!(answer.status, 422);
        answer.body.replace(code, "CODE")
    };
    let nowhere = told("ZZ-9").await;
    assert_eq!(told("RB-1").await, nowhere);
    assert!(!nowhere.contains("RB-1") && !nowhere.contains("River Bench"), "{nowhere}");
    assert_eq!(site(program.request("GET", "/api/season/2026")).await.body.matches("\"code\"").count(), 0);
    let file = format!("/season/2026/block/{}/season.json", house.block);
    assert_eq!(site(program.request("GET", &file)).await.status, 404);
}

#[actix_web::test]
async fn blocks_are_listed_with_the_address_of_their_figures() {
    let (house, site, program) = open().await;
    let season = said(&site(program.request("GET", "/api/season/2026")).await);
    let link = format!("/season/2026/block/{}/season.json", house.block);
    let block = json!({ "code": "RB-1", "farm": "River Bench", "id": house.block.to_string(), "link": link });
    let expected = json!({ "year": 2026, "first_day": "2026-01-01", "last_day": "2026-12-31", "blocks": [block] });
    assert_eq!(season, expected);
    let figures = site(program.request("GET", &link)).await;
    assert_eq!(figures.status, 200);
    assert_eq!(figures.body, site(house.owner_browser().await.request("GET", &link)).await.body);
}

/// A key opens what is for programs and no page; a cookie opens pages and nothing that is for programs.
#[actix_web::test]
async fn keys_and_cookies_do_not_stand_for_each_other() {
    let (house, site, program) = open().await;
    let owner = house.owner_browser().await;
    let nobody = house::Browser::default();
    let files = ["report.pdf", "season.json", "figures.csv", "water.csv"];
    for (method, path, need, sample) in web::routes::table().filter(|(_, _, need, _)| *need != web::routes::Need::Open)
    {
        let address = house.address(sample);
        if path.starts_with("/api/") {
            for request in [owner.request(method.as_str(), &address), nobody.request(method.as_str(), &address)] {
                let answer = site(request).await;
                assert_eq!(answer.status, 401, "{path} by cookie, {need:?}");
                said(&answer);
            }
        } else if !files.iter().any(|file| path.ends_with(&format!("/{file}"))) {
            let by_key = site(program.request(method.as_str(), &address)).await;
            let without = site(nobody.request(method.as_str(), &address)).await;
            if *method == "GET" {
                assert_eq!((by_key.status, by_key.header("location")), (303, without.header("location")), "{path}");
            } else {
                assert_eq!(by_key.status, 403, "{path}: no form comes without our own page");
            }
        }
    }
    // What carries a cookie is a browser's, and must come from our own page whatever else it carries.
    let body = request(&[day("2026-05-15", "310")]);
    let cookie = owner.cookie.clone().unwrap();
    let both =
        program.send("labor", &body).insert_header(("cookie", cookie)).insert_header(("origin", "https://evil.test"));
    let answer = site(both).await;
    assert_eq!(answer.status, 403);
    said(&answer);
    assert_eq!(house.labor_entries().await, 1);
}

/// The same rows by file and by request: the same records, the same problems.
#[actix_web::test]
async fn a_file_and_a_request_lead_to_the_same_book() {
    let (by_file, by_request) = (open().await, open().await);
    let rows = [
        (
            "labor",
            "date,block,task,people,hours_each,trees_done,note\n2026-05-15,rb-1,thin,8,7.5,310,\"a \"\"b\"\";\nc\"\n",
        ),
        ("labor", "date,block,task,people,hours_each\n2026-05-16,RB1,thin,many,7.5\n2019-05-16,RB-1,thin,8,7.5\n"),
        ("rates", "from,kind,usd\n2026-03-01,wage,21.5\n"),
        ("costs", "date,category,group,amount_usd\n2026-04-02,,nothing,x\n2026-04-03,fuel,cultural,1.005\n"),
        ("costs", "date,category,group,amount_usd,payee\n2026-04-01,fuel,cultural,1200.50,Basin Supply\n"),
    ];
    for (kind, text) in rows {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let names = reader.headers().unwrap().clone();
        let object = |row: csv::StringRecord| -> Value {
            names
                .iter()
                .zip(row.iter())
                .map(|(name, cell)| (name.to_owned(), json!(cell)))
                .collect::<serde_json::Map<_, _>>()
                .into()
        };
        let objects: Vec<Value> = reader.records().map(|row| object(row.unwrap())).collect();
        let owner = by_file.0.owner_browser().await;
        let file = (by_file.1)(owner.file("/bring-in", &[("kind", kind)], "x.csv", text.as_bytes())).await;
        let sent = (by_request.1)(by_request.2.send(kind, &request(&objects))).await;
        assert_eq!(file.status, sent.status, "{kind}: {}", sent.body);
        if sent.status == 422 {
            let page = scraper::Html::parse_document(&file.body);
            let words = page.root_element().text().collect::<String>();
            for problem in said(&sent)["problems"].as_array().unwrap() {
                for word in
                    ["field", "read", "expected", "example"].map(|name| problem[name].as_str().unwrap_or_default())
                {
                    assert!(words.contains(word), "{kind}: {word} is not on the page");
                }
            }
        }
    }
    for kind in RecordKind::ALL {
        let mut books = Vec::new();
        for house in [&by_file.0, &by_request.0] {
            let rows = house.state.store.desk(&house.owner).records(RecordFilter::of(kind)).await.unwrap();
            books.push(rows.into_iter().map(|row| row.record).collect::<Vec<_>>());
        }
        assert_eq!(books[0], books[1], "{kind:?}");
    }
}
