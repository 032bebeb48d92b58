//! Another program at the front door of the real binary, by a key that a person made on the page.

use reqwest::{Client, StatusCode};
use serde_json::{Value, json};
use tests::program::Served;
use tests::visitor::Visitor;

const BOOKKEEPER: &str = "ines.hallowick@example.invalid";
const CREW_LEAD: &str = "beto.quillarte@example.invalid";

/// A program with a key of the person: it has no cookies and follows nothing.
struct Program {
    http: Client,
    base: String,
    key: String,
}

impl Program {
    async fn of(served: &Served, person: &Visitor) -> Self {
        let csrf = person.get("/keys").await.hidden("csrf");
        let made = person.post("/keys", &[("csrf", &csrf), ("name", "packing line")]).await;
        assert_eq!(made.status, 200, "{}", made.words());
        let key = made.text.split("sbk_").nth(1).unwrap()[..64].to_owned();
        let http = Client::builder().redirect(reqwest::redirect::Policy::none()).build().unwrap();
        Self { http, base: served.address.clone(), key: format!("sbk_{key}") }
    }

    async fn get(&self, path: &str) -> (StatusCode, String) {
        let request = self.http.get(format!("{}{path}", self.base)).bearer_auth(&self.key);
        let answer = request.send().await.unwrap();
        (answer.status(), answer.text().await.unwrap())
    }

    async fn send(&self, kind: &str, name: &str, body: &Value) -> (StatusCode, Value) {
        let request = self.http.post(format!("{}/api/records/{kind}", self.base)).bearer_auth(&self.key);
        let answer = request.header("idempotency-key", name).body(body.to_string()).send().await.unwrap();
        assert_eq!(answer.headers()["content-type"], "application/json");
        (answer.status(), serde_json::from_str(&answer.text().await.unwrap()).unwrap())
    }
}

#[tokio::test]
async fn a_packing_line_sends_its_records_and_fetches_the_figures() {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::demo(folder.path());
    let books = Visitor::demo(&served, BOOKKEEPER).await;
    let program = Program::of(&served, &books).await;

    let (status, season) = program.get("/api/season/2026").await;
    assert_eq!(status, 200);
    let season: Value = serde_json::from_str(&season).unwrap();
    let block = season["blocks"].as_array().unwrap().iter().find(|block| block["code"] == "KW-1").unwrap().clone();
    let (status, before) = program.get(block["link"].as_str().unwrap()).await;
    assert_eq!(status, 200);
    assert_eq!(program.get("/season/2026").await.0, 303, "a page is for people");

    let day = |date: &str, hours: &str| json!({ "date": date, "block": "kw-1", "task": "other", "hours": hours, "crew": "Line" });
    let wrong = json!({ "records": [day("2026-03-02", "3.25"), day("2026-03-03", "some")] });
    let (status, told) = program.send("labor", "a", &wrong).await;
    assert_eq!(status, 422);
    assert_eq!((&told["problems"][0]["record"], &told["problems"][0]["field"]), (&json!(2), &json!("hours")));

    let good = json!({ "records": [day("2026-03-02", "3.25"), day("2026-03-03", "4")] });
    let (status, first) = program.send("labor", "a", &good).await;
    assert_eq!((status, &first["added"]), (StatusCode::OK, &json!(2)), "{first}");
    assert_eq!(program.send("labor", "a", &good).await, (StatusCode::OK, first));
    let (_, again) = program.send("labor", "b", &good).await;
    assert_eq!((&again["added"], &again["already_there"]), (&json!(0), &json!(2)));
    let (_, after) = program.get(block["link"].as_str().unwrap()).await;
    assert!(before != after, "the figures are reckoned with what was sent");
    let list = format!("/season/2026/block/{}/labor", block["id"].as_str().unwrap());
    assert!(books.get(&list).await.words().contains("packing line, line 2"));

    let crew = Visitor::demo(&served, CREW_LEAD).await;
    assert_eq!(Program::of(&served, &crew).await.send("labor", "a", &good).await.0, 403);
    let remove = books.get("/keys").await.links("/keys/").into_iter().find(|link| link.ends_with("/remove")).unwrap();
    let csrf = books.get(&remove).await.hidden("csrf");
    assert_eq!(books.post(&remove, &[("csrf", &csrf)]).await.status, 200);
    let (status, told) = program.get("/api/season/2026").await;
    assert!(status == 401 && told.starts_with('{'), "{status} {told}");
}
