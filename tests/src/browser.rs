//! Real headless Chromium through `chromedriver`.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;

/// A `chromedriver` of our own on a free port; killed when dropped.
pub struct Driver {
    child: Child,
    address: String,
}

impl Driver {
    /// Starts it.
    pub fn start() -> Self {
        let mut child = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver (Debian package chromium-driver) is needed");
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let port = loop {
            let line = lines.next().expect("chromedriver ended early").unwrap();
            if let Some((_, rest)) = line.split_once("started successfully on port ") {
                break rest.trim().trim_end_matches('.').to_owned();
            }
        };
        std::thread::spawn(move || for _ in lines {});
        Self { child, address: format!("http://127.0.0.1:{port}") }
    }

    /// A fresh browser of this size; `script: false` turns JavaScript off.
    pub async fn open(&self, width: u32, height: u32, script: bool) -> Client {
        let profile = tempfile::tempdir().unwrap().keep();
        let arguments = [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--force-prefers-reduced-motion",
        ];
        let mut arguments: Vec<String> = arguments.map(str::to_owned).to_vec();
        arguments.push(format!("--window-size={width},{height}"));
        arguments.push(format!("--user-data-dir={}", profile.display()));
        let mut options = serde_json::json!({ "args": arguments, "binary": "/usr/bin/chromium" });
        if !script {
            options["prefs"] = serde_json::json!({ "profile.managed_default_content_settings.javascript": 2 });
        }
        let mut capabilities = serde_json::Map::new();
        capabilities.insert("goog:chromeOptions".to_owned(), options);
        capabilities.insert("browserName".to_owned(), "chrome".into());
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(capabilities)
            .connect(&self.address)
            .await
            .expect("a Chromium session");
        client.set_window_size(width, height).await.unwrap();
        client
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits for an element that only the next page has, and for that page's script to have run: it
/// moves the cursor to the first mistake, and a click meanwhile would land elsewhere.
pub async fn wait_for(client: &Client, css: &str) -> fantoccini::elements::Element {
    let found = client
        .wait()
        .at_most(Duration::from_secs(20))
        .for_element(Locator::Css(css))
        .await
        .unwrap_or_else(|error| panic!("`{css}` did not appear: {error}"));
    while client.execute("return document.readyState", vec![]).await.is_ok_and(|state| state != "complete") {
        tokio::task::yield_now().await;
    }
    found
}

/// The whole page's visible text.
pub async fn text(client: &Client) -> String {
    client.find(Locator::Css("body")).await.unwrap().text().await.unwrap()
}

/// Types into the field of this name, replacing what stood there.
pub async fn type_into(client: &Client, name: &str, value: &str) {
    let field = client.find(Locator::Css(&format!("[name=\"{name}\"]"))).await.unwrap();
    field.clear().await.unwrap();
    field.send_keys(value).await.unwrap();
}

/// Saves a screenshot where `SEASONBOOK_SHOTS` says, for a person to look at.
pub async fn shot(client: &Client, name: &str) {
    if let Some(folder) = std::env::var_os("SEASONBOOK_SHOTS") {
        let png = client.screenshot().await.unwrap();
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.png")), png).unwrap();
    }
}
