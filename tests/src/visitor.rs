//! A person's browser without the browser: HTTP with a cookie jar, forms as the page gave them.

use reqwest::header::{HeaderMap, ORIGIN};
use reqwest::multipart::{Form, Part};
use reqwest::{Client, Response};
use scraper::{Html, Selector};

use crate::program::Served;

/// Somebody signed in.
pub struct Visitor {
    http: Client,
    base: String,
}

/// What came back.
pub struct Answer {
    /// Status.
    pub status: u16,
    /// Address after redirects.
    pub path: String,
    /// Headers.
    pub headers: HeaderMap,
    /// Body as text.
    pub text: String,
}

impl Visitor {
    /// Nobody yet.
    pub fn nobody(served: &Served) -> Self {
        Self { http: Client::builder().cookie_store(true).build().unwrap(), base: served.address.clone() }
    }

    /// Signed in with the demo's password.
    pub async fn demo(served: &Served, email: &str) -> Self {
        let visitor = Self::nobody(served);
        let fields = [("email", email), ("password", &served.password), ("back", "")];
        let answer = visitor.post("/sign-in", &fields).await;
        assert_eq!(answer.status, 200, "sign-in led to {}", answer.path);
        assert!(answer.path.starts_with("/season/"), "sign-in led to {}", answer.path);
        visitor
    }

    /// GET, following redirects.
    pub async fn get(&self, path: &str) -> Answer {
        Answer::of(self.http.get(format!("{}{path}", self.base)).send().await.unwrap()).await
    }

    /// The bytes of a file.
    pub async fn file(&self, path: &str) -> Vec<u8> {
        let answer = self.http.get(format!("{}{path}", self.base)).send().await.unwrap();
        assert_eq!(answer.status(), 200, "{path}");
        answer.bytes().await.unwrap().to_vec()
    }

    /// POST of a form, as our own page would send it.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let url = format!("{}{path}", self.base);
        Answer::of(self.http.post(url).header(ORIGIN, &self.base).form(fields).send().await.unwrap()).await
    }

    /// POST from another site.
    pub async fn post_from_elsewhere(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let url = format!("{}{path}", self.base);
        Answer::of(self.http.post(url).header(ORIGIN, "https://elsewhere.example").form(fields).send().await.unwrap())
            .await
    }

    /// Brings in a file by the page.
    pub async fn bring_in(&self, kind: &str, name: &str, bytes: Vec<u8>) -> Answer {
        let csrf = self.get("/bring-in").await.hidden("csrf");
        let part = Part::bytes(bytes).file_name(name.to_owned());
        let form = Form::new().text("csrf", csrf).text("kind", kind.to_owned()).text("season", "").part("file", part);
        let request = self.http.post(format!("{}/bring-in", self.base)).header(ORIGIN, &self.base).multipart(form);
        Answer::of(request.send().await.unwrap()).await
    }
}

impl Answer {
    async fn of(response: Response) -> Self {
        let (status, headers) = (response.status().as_u16(), response.headers().clone());
        let path = response.url().path().to_owned();
        Self { status, path, headers, text: response.text().await.unwrap() }
    }

    /// Value of a hidden field.
    pub fn hidden(&self, name: &str) -> String {
        self.attribute(&format!("input[name=\"{name}\"]"), "value")
    }

    /// An attribute of the first element that fits.
    pub fn attribute(&self, css: &str, attribute: &str) -> String {
        let page = Html::parse_document(&self.text);
        let found = page.select(&Selector::parse(css).unwrap()).next();
        found
            .and_then(|element| element.attr(attribute))
            .unwrap_or_else(|| panic!("no {css} with {attribute} on {}", self.path))
            .to_owned()
    }

    /// The page's words, one blank between them.
    pub fn words(&self) -> String {
        let page = Html::parse_document(&self.text);
        let text: Vec<&str> = page.root_element().text().collect();
        text.join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// Links on the page that begin with this.
    pub fn links(&self, start: &str) -> Vec<String> {
        let page = Html::parse_document(&self.text);
        let anchors = Selector::parse("a[href]").unwrap();
        let links = page.select(&anchors).filter_map(|a| a.attr("href")).map(str::to_owned);
        links.filter(|link| link.starts_with(start)).collect()
    }
}
