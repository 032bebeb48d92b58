//! The owner asks what a block earned, the bookkeeper whether it ties out: season page, block page,
//! figures for other programs and printed report, all of one block and all to the cent.

use std::collections::BTreeMap;
use std::process::Command;

use fantoccini::{Client, Locator};
use serde_json::Value;
use tests::browser::{shot, wait_for};
use tests::program::Served;
use tests::visitor::Visitor;

use crate::browser_journeys::{Demo, OWNER, fits, follow, sign_in};

/// Lines of the statement as the page shows them: name, cents, and how it is known.
async fn statement(client: &Client) -> Vec<(String, String, String)> {
    let mut lines = Vec::new();
    for row in client.find_all(Locator::Css("table.statement tbody tr")).await.unwrap() {
        let known = row.find(Locator::Css(".known-by")).await.unwrap().text().await.unwrap();
        let name = row.find(Locator::Css(".line")).await.unwrap().text().await.unwrap();
        let name = name.strip_suffix(&known).unwrap_or(&name).trim().to_owned();
        lines.push((name, row.find(Locator::Css("td")).await.unwrap().text().await.unwrap(), known));
    }
    lines
}

/// `−1,305.17` as a program writes it.
fn plain(amount: &str) -> String {
    amount.replace(',', "").replace('\u{2212}', "-")
}

/// Amounts of the JSON's statement by their name on the page.
fn amounts(season: &Value) -> BTreeMap<String, String> {
    let lines = season.pointer("/statement/lines").unwrap().as_object().unwrap();
    let amount = |line: &Value| line.pointer("/amount/value").unwrap().as_str().unwrap().to_owned();
    lines.iter().map(|(key, line)| (label(key), amount(line))).collect()
}

fn label(key: &str) -> String {
    use reckon::season::StatementKey as Key;
    const KEYS: [Key; 18] = [
        Key::Gross,
        Key::Charges,
        Key::NetToGrower,
        Key::ThinningLabor,
        Key::OtherGrowingLabor,
        Key::Water,
        Key::OtherGrowing,
        Key::HarvestLabor,
        Key::OtherHarvest,
        Key::Assessments,
        Key::Interest,
        Key::OperatingCosts,
        Key::OverOperating,
        Key::CashOverhead,
        Key::OverCash,
        Key::MulchOverLife,
        Key::NonCashOverhead,
        Key::OverAll,
    ];
    KEYS.into_iter().find(|known| known.word() == key).unwrap().label().to_owned()
}

fn pdf_words(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("report.pdf");
    std::fs::write(&path, bytes).unwrap();
    let out = Command::new("pdftotext").args(["-layout", path.to_str().unwrap(), "-"]).output().unwrap();
    assert!(out.status.success(), "pdftotext: {}", String::from_utf8_lossy(&out.stderr));
    String::from_utf8(out.stdout).unwrap()
}

/// Reads one block on every surface; gives back what the season page says it returned an acre.
async fn one_block(client: &Client, served: &Served, code: &str, by_file: &Visitor) {
    client.goto(&format!("{}/", served.address)).await.unwrap();
    wait_for(client, "table.season").await;
    let css = "table.season tbody tr:has(th.code)";
    let mut acre = None;
    for row in client.find_all(Locator::Css(css)).await.unwrap() {
        if row.text().await.unwrap().split_whitespace().next() == Some(code) {
            let cells = row.find_all(Locator::Css("td.earned .strong")).await.unwrap();
            acre = Some(cells[0].text().await.unwrap());
        }
    }
    let acre = acre.unwrap_or_else(|| panic!("{code} is not on the season page"));
    follow(client, code).await;
    wait_for(client, "table.statement").await;
    fits(client, "block").await;
    let figures = client.find(Locator::Css("dl.figures")).await.unwrap().text().await.unwrap();
    let dollars = acre.strip_prefix('\u{2212}').map_or_else(|| format!("${acre}"), |rest| format!("\u{2212}${rest}"));
    assert!(figures.contains(&format!("{dollars} an acre")), "{code}: {dollars} in {figures}");

    let shown = statement(client).await;
    assert!(shown.len() > 10, "{code}: {shown:?}");
    let path = client.current_url().await.unwrap().path().to_owned();
    let season: Value = serde_json::from_slice(&by_file.file(&format!("{path}/season.json")).await).unwrap();
    let told = amounts(&season);
    assert_eq!(shown.len(), told.len(), "{code}");
    let report = pdf_words(&by_file.file(&format!("{path}/report.pdf")).await);
    for (name, amount, known) in &shown {
        assert_eq!(Some(&plain(amount)), told.get(name), "{code}, {name}: page and JSON");
        let word = known.split(',').next().unwrap();
        assert!(["metered", "counted", "invoiced", "modelled", "assumed"].contains(&word), "{code}, {name}: {known}");
        let line = report.lines().find(|line| line.trim_start().starts_with(name.as_str()) && line.contains(amount));
        assert!(line.is_some_and(|line| line.contains(word)), "{code}, {name} {amount}, {word}: not in\n{report}");
    }
}

async fn at_width(size: (u32, u32), mark: &str) {
    let Some(Demo { folder: _folder, served, driver }) = Demo::in_chromium() else { return };
    let by_file = Visitor::demo(&served, OWNER).await;
    let client = driver.open(size.0, size.1, true).await;
    sign_in(&client, &served, OWNER).await;
    // One that earned, one that lost, and one whose labor lacks a wage.
    for code in ["KW-2", "UD-5", "UD-4"] {
        one_block(&client, &served, code, &by_file).await;
        shot(&client, &format!("earned-{code}-{mark}")).await;
    }
    let incomplete = client.find_all(Locator::Css("a.lacks")).await.unwrap();
    assert!(incomplete.len() >= 5, "the line, its sums, the labor tables");
    incomplete[0].click().await.unwrap();
    wait_for(&client, "form [name=wage_usd_per_hour]").await;
    let entry = client.current_url().await.unwrap();
    assert!(entry.path().contains("/labor/") && entry.path().ends_with("/correct"), "{entry}");
    client.close().await.unwrap();
}

#[tokio::test]
async fn wide() {
    at_width((1440, 960), "1440").await;
}

#[tokio::test]
async fn on_a_phone() {
    at_width((390, 844), "390").await;
}

/// A season opened ahead of time is offered, and the work under way stays in front.
#[tokio::test]
async fn a_season_opened_ahead_hides_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::demo(folder.path());
    let owner = Visitor::demo(&served, OWNER).await;
    let csrf = owner.get("/seasons").await.hidden("csrf");
    let opened =
        owner.post("/seasons", &[("csrf", &csrf), ("year", "2027"), ("first_day", ""), ("last_day", "")]).await;
    assert_eq!((opened.status, opened.path.as_str()), (200, "/season/2027"));
    let home = owner.get("/").await;
    assert_eq!(home.path, "/season/2026");
    assert!(home.words().contains("2027 is open , no records yet."), "{}", home.words());
    assert!(home.links("/season/2027").contains(&"/season/2027".to_owned()));
    assert!(owner.get("/how").await.words().contains("Season 2026"), "the margin keeps the season in use");
}
