//! Water in real headless Chromium: a set kept and a soil changed move the figures, and the tables
//! fit a phone.

use fantoccini::{Client, Locator};
use tests::browser::{shot, text, type_into, wait_for};
use tests::program::Served;

use super::browser_journeys::{Demo, OWNER, fits, follow, press, sign_in};

/// The number beside a name in the first table that has it.
async fn figure(client: &Client, name: &str) -> f64 {
    let cell = format!("//tr[th[normalize-space()='{name}']]/td[1]");
    let cell = client.find(Locator::XPath(&cell)).await.unwrap_or_else(|_| panic!("no row \"{name}\""));
    let written = cell.text().await.unwrap().replace(',', "").replace('\u{2212}', "-");
    written.trim().parse().unwrap_or_else(|_| panic!("{name} is \"{written}\""))
}

async fn go(client: &Client, served: &Served, place: &str) {
    client.goto(&format!("{}{place}", served.address)).await.unwrap();
    wait_for(client, "h1").await;
}

/// To the water of a block by the table of all blocks; gives back the page's place.
async fn to_water(client: &Client, served: &Served, code: &str) -> String {
    go(client, served, "/season/2026/water").await;
    follow(client, code).await;
    wait_for(client, "svg").await;
    client.current_url().await.unwrap().path().to_owned()
}

async fn first_advice(client: &Client) -> String {
    client.find(Locator::Css("main section p")).await.unwrap().text().await.unwrap()
}

/// The weeks open as a table whose rows add up to the season's rain.
async fn weeks_add_up(client: &Client) {
    press(client, "details.on-screen summary").await;
    let rows = client.find_all(Locator::Css("details[open] tbody tr")).await.unwrap();
    assert!(rows.len() > 30, "{} weeks", rows.len());
    let column = "count(//details[@open]//thead//th[normalize-space()='Rain']/preceding-sibling::th)";
    let cells = client.find_all(Locator::XPath(&format!("//details[@open]//tbody/tr/*[position()={column}+1]"))).await;
    let mut rain = 0.0;
    for cell in cells.unwrap() {
        rain += cell.text().await.unwrap().parse::<f64>().unwrap();
    }
    let season = figure(client, "Rain").await;
    assert!((rain - season).abs() < 0.005 * f64::from(u32::try_from(rows.len()).unwrap()), "{rain} is not {season}");
}

#[tokio::test]
async fn a_set_and_a_soil_change_the_water_of_a_block() {
    let Some(Demo { folder: _folder, served, driver }) = Demo::in_chromium() else { return };
    let client = driver.open(1440, 960, true).await;
    sign_in(&client, &served, OWNER).await;
    let water = to_water(&client, &served, "UD-5").await;
    fits(&client, "water of a block").await;
    weeks_add_up(&client).await;
    shot(&client, "water-block-1440").await;
    let (applied, drained) =
        (figure(&client, "Irrigation applied").await, figure(&client, "Drained below the roots").await);

    let block = water.strip_suffix("/water").unwrap();
    go(&client, &served, &format!("{block}/irrigation/add")).await;
    client.execute("document.querySelector('[name=date]').value = '2026-07-01'", vec![]).await.unwrap();
    type_into(&client, "depth_in", "4").await;
    press(&client, "main form button[type=submit]").await;
    wait_for(&client, "table.rows").await;
    go(&client, &served, &water).await;
    let more = figure(&client, "Irrigation applied").await;
    assert!((more - applied - 4.0).abs() < 0.011, "{applied} and 4 inches are not {more}");
    assert!(figure(&client, "Drained below the roots").await > drained, "four inches at once drain");

    let before = (first_advice(&client).await, figure(&client, "Drained below the roots").await);
    follow(&client, "Soil and canopy").await;
    wait_for(&client, "[name=field_capacity]").await;
    fits(&client, "soil and canopy").await;
    shot(&client, "soil-1440").await;
    type_into(&client, "field_capacity", "0.4").await;
    press(&client, "main form button[type=submit]").await;
    wait_for(&client, ".said, .told, h1").await;
    go(&client, &served, &water).await;
    assert_ne!(first_advice(&client).await, before.0, "the roots hold more");
    assert!(figure(&client, "Drained below the roots").await < before.1, "a deeper store drains less");
    let whole = client.source().await.unwrap();
    assert!(whole.contains("field_capacity 0.4"), "how the balance was reckoned names what was set");
    client.close().await.unwrap();
}

#[tokio::test]
async fn the_tables_of_water_and_mulch_fit_a_phone() {
    let Some(Demo { folder: _folder, served, driver }) = Demo::in_chromium() else { return };
    for (width, height, script) in [(390, 844, true), (390, 844, false), (1024, 768, true), (1440, 960, true)] {
        let client = driver.open(width, height, script).await;
        sign_in(&client, &served, OWNER).await;
        go(&client, &served, "/season/2026/water").await;
        fits(&client, "water of the season").await;
        let said = text(&client).await;
        for words in ["metered", "modelled", "mulched acres"] {
            assert!(said.to_lowercase().contains(&words.to_lowercase()), "{width}: no \"{words}\"");
        }
        follow(&client, "Juniper Step").await;
        wait_for(&client, "table.water").await;
        fits(&client, "water of a farm").await;
        shot(&client, &format!("water-farm-{width}{}", if script { "" } else { "-plain" })).await;
        go(&client, &served, "/season/2026/mulch").await;
        fits(&client, "mulch").await;
        let ledger = text(&client).await.to_lowercase();
        for words in ["all blocks under mulch", "seasons to repay", "invoiced", "keep mulch clear of every trunk"] {
            assert!(ledger.contains(words), "{width}: the ledger lacks \"{words}\"");
        }
        shot(&client, &format!("mulch-{width}{}", if script { "" } else { "-plain" })).await;
        let water = to_water(&client, &served, "KW-1").await;
        fits(&client, &water).await;
        let metered = text(&client).await;
        assert!(metered.contains("KW-1 in 2025"), "the block's own bare season stands beside the neighbors");
        client.close().await.unwrap();
    }
}
