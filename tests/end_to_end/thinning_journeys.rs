//! The manager asks which method paid, and what is due: in real Chromium, on paper, in the calendar,
//! and by the command line on the same numbers.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::process::Command;

use fantoccini::{Client, Locator};
use serde_json::Value;
use tests::browser::{shot, text, wait_for};
use tests::program::run_well;
use tests::visitor::Visitor;

use crate::browser_journeys::{Demo, choose, fits, press, sign_in};

const MANAGER: &str = "tomas.ruelgado@example.invalid";

/// `−1,242` as a number.
fn number(text: &str) -> f64 {
    let plain = text.trim().replace(',', "").replace('\u{2212}', "-");
    plain.parse().unwrap_or_else(|_| panic!("{text} is no number"))
}

/// Block-season, method and cost of a tree of every block thinned one way, as its own page has them.
async fn costs_of_a_tree(visitor: &Visitor) -> Vec<(String, String, f64)> {
    let mut found = Vec::new();
    let page = visitor.get("/season/2026").await;
    let mut blocks: Vec<String> = page.links("/season/2026/block/");
    blocks.retain(|link| !link.contains(['#', '?']) && link.matches('/').count() == 4);
    blocks.sort();
    blocks.dedup();
    for block in &blocks {
        let json: Value = serde_json::from_slice(&visitor.file(&format!("{block}/season.json")).await).unwrap();
        if json["block"]["crop"] != "peach" {
            continue;
        }
        let passes = json["labor"]["passes"].as_array().unwrap();
        let mut methods: Vec<&str> = passes.iter().map(|pass| pass["method"].as_str().unwrap()).collect();
        methods.dedup();
        let cost = json["labor"]["thinning"]["cost_per_tree"]["value"].as_f64();
        let cost = cost.or_else(|| json["labor"]["thinning"]["cost_per_tree"]["value"].as_str()?.parse().ok());
        found.push((json["block"]["code"].as_str().unwrap().to_owned(), methods.join(" then "), cost.unwrap()));
    }
    found
}

/// What the page's table says of a method: mean and interval of cost a tree, and the number behind it.
async fn on_the_page(client: &Client, group: &str) -> BTreeMap<String, (f64, Option<(f64, f64)>, usize)> {
    let mut methods = BTreeMap::new();
    for section in client.find_all(Locator::Css("section[id^=group]")).await.unwrap() {
        if section.find(Locator::Css("h2")).await.unwrap().text().await.unwrap() != group {
            continue;
        }
        for row in section.find_all(Locator::Css("table.methods tbody tr")).await.unwrap() {
            let method = row.find(Locator::Css("th")).await.unwrap().text().await.unwrap().to_lowercase();
            let cell = row.find(Locator::Css("td.n")).await.unwrap();
            let mean = number(&cell.find(Locator::Css(".strong")).await.unwrap().text().await.unwrap());
            let small = cell.find_all(Locator::Css("small")).await.unwrap();
            let interval = small[0].text().await.unwrap();
            let interval = interval.split_once(" to ").map(|(low, high)| (number(low), number(high)));
            // "one block, no interval", or the interval and "n 3".
            let n = match small.get(1) {
                Some(n) => n.text().await.unwrap().trim_start_matches("n ").parse().unwrap(),
                None => 1,
            };
            methods.insert(method, (mean, interval, n));
        }
    }
    methods
}

/// The same numbers by `seasonbook compare`.
fn by_the_command_line(folder: &std::path::Path, rows: &[(String, String, f64)]) -> Value {
    let mut table = "unit,method,value\n".to_owned();
    for (unit, method, cost) in rows {
        writeln!(table, "{unit},{method},{cost}").unwrap();
    }
    std::fs::write(folder.join("costs.csv"), table).unwrap();
    serde_json::from_str(&run_well(folder, &["compare", "costs.csv"])).unwrap()
}

#[tokio::test]
async fn the_manager_asks_which_method_paid() {
    let Some(Demo { folder, served, driver }) = Demo::in_chromium() else { return };
    let client = driver.open(1440, 960, true).await;
    sign_in(&client, &served, MANAGER).await;
    client.goto(&format!("{}/season/2026/thinning", served.address)).await.unwrap();
    wait_for(&client, "table.methods").await;
    let words = text(&client).await;
    for said in ["Lowest cost per tree: cuts", "Best return per acre: by hand", "not the one that returned most"] {
        assert!(words.contains(said), "{said}");
    }
    plums_go_by_the_list(&client).await;
    assert!(!client.find_all(Locator::Css(".charts svg")).await.unwrap().is_empty(), "no chart");
    let chart = client.find(Locator::Css(".charts svg")).await.unwrap();
    let (_, _, width, height) = chart.rectangle().await.unwrap();
    assert!(width > 100.0 && height > 20.0, "a chart of {width} by {height}");
    // The table is the command line's on the same numbers.
    let page = on_the_page(&client, "Peach").await;
    let visitor = Visitor::demo(&served, MANAGER).await;
    let command = by_the_command_line(folder.path(), &costs_of_a_tree(&visitor).await);
    let methods = command["methods"].as_array().unwrap();
    assert_eq!(methods.len(), page.len(), "{command}");
    for method in methods {
        let (mean, interval, n) = &page[method["method"].as_str().unwrap()];
        let near = |ours: f64, theirs: &Value| (ours - theirs.as_f64().unwrap()).abs() <= 0.0051;
        assert!(near(*mean, &method["mean"]), "{mean} is not {method}");
        assert_eq!(*n, usize::try_from(method["n"].as_u64().unwrap()).unwrap());
        match interval {
            Some((low, high)) => {
                assert!(near(*low, &method["interval"]["low"]) && near(*high, &method["interval"]["high"]), "{method}");
            }
            None => assert!(method["interval"].is_null()),
        }
    }
    // Another grouping splits the same blocks.
    let label = client.find(Locator::Css("label[for=by-variety]")).await.unwrap();
    label.click().await.unwrap();
    choose(&client, "seasons", "all").await;
    press(&client, "form.filters button[type=submit]").await;
    // The attribute is the next page's; that the box is ticked holds on this one already.
    wait_for(&client, "#seasons option[value=all][selected]").await;
    wait_for(&client, "section[id^=group] h2").await;
    let heads: Vec<String> = headings(&client).await;
    assert!(heads.contains(&"Peach, Tallow Gate".to_owned()) && heads.len() > 8, "{heads:?}");
    fits(&client, "thinning").await;
    shot(&client, "thinning-by-variety").await;
    client.close().await.unwrap();
}

/// KW-5 says no number itself: 90,000 plums an acre are 628 on each of 143 trees.
async fn plums_go_by_the_list(client: &Client) {
    let mut rows = Vec::new();
    for row in client.find_all(Locator::Css("table.wanted tbody tr")).await.unwrap() {
        rows.push(row.text().await.unwrap().split_whitespace().collect::<Vec<_>>().join(" "));
    }
    assert!(rows[0].starts_with("KW-1"), "the first to ripen: {rows:?}");
    let plums = rows.iter().find(|row| row.starts_with("KW-5")).unwrap();
    assert!(plums.contains("1,035 ± 56 628 165"), "{plums}");
    assert!(plums.ends_with("Fruit: of plums that ripen from 15 June to 10 July"), "{plums}");
}

async fn headings(client: &Client) -> Vec<String> {
    let mut heads = Vec::new();
    for head in client.find_all(Locator::Css("section[id^=group] h2")).await.unwrap() {
        heads.push(head.text().await.unwrap());
    }
    heads
}

#[tokio::test]
async fn work_due_goes_to_the_crew_and_into_a_calendar() {
    let Some(Demo { folder, served, driver }) = Demo::in_chromium() else { return };
    let client = driver.open(390, 844, true).await;
    sign_in(&client, &served, MANAGER).await;
    // In November nothing is due, and the page says what comes next.
    client.goto(&format!("{}/season/2026/due?on=2026-11-25", served.address)).await.unwrap();
    wait_for(&client, "label[for=on]").await;
    let words = text(&client).await;
    assert!(
        words.contains("Nothing is due on 25 Nov 2026. Next is the first pass of KW-1, from 3 Apr 2027."),
        "{words}"
    );
    fits(&client, "due in November").await;
    // Another day, chosen in the field.
    client.execute("document.querySelector('#on').value = '2026-05-05'", vec![]).await.unwrap();
    press(&client, "form.filters button[type=submit]").await;
    wait_for(&client, ".beside tbody strong").await;
    assert!(client.current_url().await.unwrap().as_str().ends_with("on=2026-05-05"));
    let words = text(&client).await;
    assert!(
        words.contains("KW-5: second look late by 4 days, its window closed on 1 May; thinned 18 days ago."),
        "{words}"
    );
    assert!(words.contains("full bloom"), "what was noted in the blocks");
    fits(&client, "due on 5 May").await;
    shot(&client, "due-on-5-may").await;
    let visitor = Visitor::demo(&served, MANAGER).await;
    let sheet = link(&client, ".menu a[href*='crew-sheet'][href*='language=es']").await;
    crew_sheet_in_spanish(&visitor.file(&sheet).await, folder.path());
    let calendar = link(&client, "a[href*='due.ics']").await;
    calendar_parses(&String::from_utf8(visitor.file(&calendar).await).unwrap());
    client.close().await.unwrap();
}

/// Path and query of the first link that fits.
async fn link(client: &Client, css: &str) -> String {
    let link = client.find(Locator::Css(css)).await.unwrap_or_else(|_| panic!("no {css}"));
    link.attr("href").await.unwrap().unwrap()
}

fn crew_sheet_in_spanish(pdf: &[u8], folder: &std::path::Path) {
    std::fs::write(folder.join("hoja.pdf"), pdf).unwrap();
    let out = Command::new("pdftotext").args(["-layout", "hoja.pdf", "-"]).current_dir(folder).output().unwrap();
    assert!(out.status.success(), "pdftotext (Debian package poppler-utils) is needed");
    let words = String::from_utf8(out.stdout).unwrap();
    for word in
        ["Raleo pendiente", "5 de mayo", "Cuadro", "Árboles", "KW-5", "segunda vuelta atrasada 4 días", "Precauciones"]
    {
        assert!(words.contains(word), "{word}: {words}");
    }
    assert!(!words.contains("Thinning due"), "{words}");
}

/// RFC 5545: lines end with CRLF and hold 75 octets at most (3.1), every event has its UID and the same
/// moment as DTSTAMP (3.8.4.7, 3.8.7.2), and days end on the day after (3.6.1).
fn calendar_parses(file: &str) {
    assert_eq!(file.matches('\n').count(), file.matches("\r\n").count(), "a bare line feed");
    assert!(file.split("\r\n").all(|line| line.len() <= 75), "{file}");
    let unfolded = file.replace("\r\n ", "");
    assert!(unfolded.len() < file.len(), "no line was folded");
    let lines: Vec<&str> = unfolded.split_terminator("\r\n").collect();
    assert_eq!((lines.first(), lines.last()), (Some(&"BEGIN:VCALENDAR"), Some(&"END:VCALENDAR")));
    let count = |start: &str| lines.iter().filter(|line| line.starts_with(start)).count();
    let events = count("BEGIN:VEVENT");
    assert!(events >= 4, "{file}");
    for part in ["END:VEVENT", "UID:", "DTSTAMP:", "DTSTART;VALUE=DATE:", "DTEND;VALUE=DATE:", "SUMMARY:"] {
        assert_eq!(count(part), events, "{part}");
    }
    let mut uids: Vec<&&str> = lines.iter().filter(|line| line.starts_with("UID:")).collect();
    uids.sort();
    uids.dedup();
    assert_eq!(uids.len(), events, "two events of one name");
    let stamps = lines.iter().filter_map(|line| line.strip_prefix("DTSTAMP:"));
    assert!(stamps.into_iter().all(|stamp| stamp.len() == 16 && stamp.ends_with('Z') && stamp.as_bytes()[8] == b'T'));
    assert!(lines.contains(&"SUMMARY:KW-5: Second look\\, late"), "{file}");
}
