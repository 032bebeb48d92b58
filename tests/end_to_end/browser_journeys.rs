//! The three people in real headless Chromium, wide and on a phone, with and without script.

use fantoccini::{Client, Locator};
use tempfile::TempDir;
use tests::browser::{Driver, shot, text, type_into, wait_for};
use tests::program::{Served, quick};

pub(crate) const OWNER: &str = "adah.merriwick@example.invalid";
const MANAGER: &str = "tomas.ruelgado@example.invalid";
pub(crate) const BOOKKEEPER: &str = "ines.hallowick@example.invalid";

pub(crate) async fn sign_in(client: &Client, served: &Served, email: &str) {
    client.goto(&format!("{}/sign-in", served.address)).await.unwrap();
    type_into(client, "email", email).await;
    type_into(client, "password", &served.password).await;
    press(client, "main form button[type=submit]").await;
    wait_for(client, "table, .season").await;
}

/// A headless window wakes at its first click, and then scrolls to the field that had the cursor:
/// the heading takes that click, as it takes no harm.
pub(crate) async fn press(client: &Client, css: &str) {
    client.find(Locator::Css("h1")).await.unwrap().click().await.unwrap();
    client.find(Locator::Css(css)).await.unwrap_or_else(|_| panic!("no {css}")).click().await.unwrap();
}

pub(crate) async fn follow(client: &Client, words: &str) {
    let link = client.find(Locator::LinkText(words)).await.unwrap_or_else(|_| panic!("no link \"{words}\""));
    let to = link.attr("href").await.unwrap().unwrap();
    // Going there rather than clicking: on a phone the margin is folded away.
    let address = client.current_url().await.unwrap().join(&to).unwrap();
    client.goto(address.as_str()).await.unwrap();
}

/// A page may scroll down, never sideways, and a table never runs under the lists beside it.
pub(crate) async fn fits(client: &Client, place: &str) {
    let wide = client
        .execute(
            "const over = e => e.scrollWidth - e.clientWidth;
             const besides = [...document.querySelectorAll('.beside > :first-child')];
             return Math.max(over(document.documentElement), ...besides.map(over))",
            vec![],
        )
        .await;
    if let Ok(wide) = wide {
        assert!(wide.as_i64().unwrap_or(0) <= 0, "{place} scrolls sideways by {wide}");
    }
}

async fn journey(driver: &Driver, served: &Served, (width, height): (u32, u32), script: bool) {
    let client = driver.open(width, height, script).await;
    let mark = format!("{width}{}", if script { "" } else { "-plain" });
    // The owner: what did each block earn?
    sign_in(&client, served, OWNER).await;
    shot(&client, &format!("season-{mark}")).await;
    fits(&client, "season").await;
    assert!(text(&client).await.contains("The season of 2026"));
    follow(&client, "KW-2").await;
    wait_for(&client, "svg").await;
    let block = text(&client).await;
    for words in ["Tallow Gate", "Return over all costs", "metered", "Season report"] {
        assert!(block.contains(words), "the block page lacks \"{words}\"");
    }
    fits(&client, "block").await;
    shot(&client, &format!("block-{mark}")).await;
    // The manager: keep a crew day, wrongly first.
    let block_address = client.current_url().await.unwrap();
    client.goto(&format!("{}/labor/add", block_address.as_str().split('#').next().unwrap())).await.unwrap();
    wait_for(&client, "form button[type=submit]").await;
    fits(&client, "add").await;
    if script {
        // Date fields take what the locale types; setting the value is what a picker does.
        client.execute("document.querySelector('[name=date]').value = '2019-05-01'", vec![]).await.unwrap();
        choose(&client, "task", "prune").await;
        type_into(&client, "people", "5").await;
        type_into(&client, "hours_each", "2.75").await;
        client.execute("document.querySelector('main form').noValidate = true", vec![]).await.unwrap();
        press(&client, "main form button[type=submit]").await;
        wait_for(&client, ".summary-of-problems").await;
        shot(&client, &format!("add-wrong-{mark}")).await;
        let hours = client.find(Locator::Css("[name=hours_each]")).await.unwrap();
        assert_eq!(hours.prop("value").await.unwrap().unwrap(), "2.75", "what was typed is lost");
        client.execute("document.querySelector('[name=date]').value = '2026-05-01'", vec![]).await.unwrap();
        press(&client, "main form button[type=submit]").await;
        wait_for(&client, "table.rows").await;
        assert!(text(&client).await.contains("13.75"), "5 people, 2.75 hours each");
        fits(&client, "list").await;
    }
    shot(&client, &format!("labor-{mark}")).await;
    for place in ["/sources", "/how", "/bring-in", "/bring-in/formats", "/changes", "/seasons"] {
        client.goto(&format!("{}{place}", served.address)).await.unwrap();
        wait_for(&client, "h1").await;
        fits(&client, place).await;
        shot(&client, &format!("{}-{mark}", place.trim_start_matches('/').replace('/', "-"))).await;
    }
    client.close().await.unwrap();
}

pub(crate) async fn choose(client: &Client, name: &str, value: &str) {
    let css = format!(
        "select[name={name}] option[value=\"{value}\"], input[name={name}][value=\"{value}\"] + label, label:has(input[name={name}][value=\"{value}\"])"
    );
    client
        .find(Locator::Css(&css))
        .await
        .unwrap_or_else(|_| panic!("no choice {name} = {value}"))
        .click()
        .await
        .unwrap();
}

#[tokio::test]
async fn wide_with_script() {
    in_chromium((1440, 960), true).await;
}

#[tokio::test]
async fn phone_with_script() {
    in_chromium((390, 844), true).await;
}

#[tokio::test]
async fn wide_without_script() {
    in_chromium((1440, 960), false).await;
}

/// The demo, served, and a Chromium to read it in.
pub(crate) struct Demo {
    pub(crate) served: Served,
    pub(crate) driver: Driver,
    pub(crate) folder: TempDir,
}

impl Demo {
    /// `None` where the browser is left out.
    pub(crate) fn in_chromium() -> Option<Self> {
        if quick() {
            println!("left out: the browser");
            return None;
        }
        let folder = tempfile::tempdir().unwrap();
        Some(Self { served: Served::demo(folder.path()), driver: Driver::start(), folder })
    }
}

async fn in_chromium(size: (u32, u32), script: bool) {
    let Some(demo) = Demo::in_chromium() else { return };
    journey(&demo.driver, &demo.served, size, script).await;
}

/// The other two people see their season too, and a bookkeeper's file comes in by the page.
#[tokio::test]
async fn the_bookkeeper_brings_in_a_file() {
    let Some(Demo { folder, served, driver }) = Demo::in_chromium() else { return };
    let client = driver.open(1280, 800, true).await;
    sign_in(&client, &served, MANAGER).await;
    assert!(text(&client).await.contains("Worth a look"));
    fits(&client, "season").await;
    client.delete_all_cookies().await.unwrap();
    sign_in(&client, &served, BOOKKEEPER).await;
    let file = folder.path().join("costs.csv");
    std::fs::write(&file, "date,block,category,group,amount_usd\n2026-08-01,KW-1,props,cultural,212.40\n").unwrap();
    for words in ["Brought in 1 row", "nothing was added"] {
        client.goto(&format!("{}/bring-in", served.address)).await.unwrap();
        choose(&client, "kind", "costs").await;
        let field = client.find(Locator::Css("input[type=file]")).await.unwrap();
        field.send_keys(&file.display().to_string()).await.unwrap();
        press(&client, "main form button[type=submit]").await;
        wait_for(&client, ".told").await;
        assert!(text(&client).await.contains(words));
    }
    shot(&client, "brought-in").await;
    client.close().await.unwrap();
}
