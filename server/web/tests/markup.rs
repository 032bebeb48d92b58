//! The markup of every form: labels, ids, tokens, and nothing inline.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use std::collections::BTreeSet;

use actix_web::http::Method;
use house::{House, site};
use reckon::figure::RecordKind;
use reckon::records::Attach;
use scraper::{ElementRef, Html, Selector};

async fn pages(house: &House) -> Vec<(String, Html)> {
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let samples = web::routes::table().filter(|(method, ..)| **method == Method::GET);
    let mut addresses: Vec<String> = samples.map(|(.., sample)| house.address(sample)).collect();
    for kind in RecordKind::ALL {
        let block = (kind.attach() != Attach::Station && kind.attach() != Attach::Operation).then_some(house.block);
        addresses.push(web::routes::to::add(2026, block, kind));
        addresses.push(web::routes::to::records(2026, block, kind));
    }
    addresses.push(web::routes::to::add(2026, None, RecordKind::Cost));
    let mut pages = Vec::new();
    for address in addresses {
        let answer = site(owner.request("GET", &address)).await;
        if answer.header("content-type").starts_with("text/html") {
            pages.push((address, Html::parse_document(&answer.body)));
        }
    }
    assert!(pages.len() > 40, "{} pages", pages.len());
    pages
}

fn all<'p>(page: &'p Html, css: &str) -> Vec<ElementRef<'p>> {
    let selector = Selector::parse(css).unwrap();
    page.select(&selector).collect()
}

#[actix_web::test]
async fn every_page_keeps_the_rules_of_the_house() {
    let house = House::new().await;
    for (address, page) in pages(&house).await {
        let ids: Vec<&str> = all(&page, "[id]").iter().filter_map(|element| element.value().id()).collect();
        let unlike: BTreeSet<&&str> = ids.iter().collect();
        assert_eq!(unlike.len(), ids.len(), "{address}: an id stands twice");
        assert!(all(&page, "[style], style, script:not([src]), [onclick]").is_empty(), "{address}: inline");
        assert_eq!(all(&page, "h1").len(), 1, "{address}: one heading");
        assert_eq!(all(&page, "head > title").len(), 1, "{address}");
        for form in all(&page, "form[method=post]") {
            let action = form.value().attr("action").unwrap_or_default();
            let open = ["/sign-in", "/first-run"].contains(&action);
            let tokens = form.select(&Selector::parse("input[type=hidden][name=csrf]").unwrap()).count();
            assert_eq!(tokens, usize::from(!open), "{address}: form to {action}");
        }
        for field in all(&page, "input:not([type=hidden]), select, textarea") {
            let id = field.value().id().unwrap_or_else(|| panic!("{address}: a field without id"));
            let labels = all(&page, &format!("label[for='{id}']"));
            assert_eq!(labels.len(), 1, "{address}: label of {id}");
            for named in field.value().attr("aria-describedby").into_iter().flat_map(str::split_whitespace) {
                assert!(unlike.contains(&named), "{address}: {id} is described by {named}, which is not there");
            }
        }
        for link in all(&page, "a[href^='#']") {
            let to = link.value().attr("href").unwrap_or_default().trim_start_matches('#');
            assert!(unlike.contains(&to), "{address}: link to #{to}");
        }
    }
}

/// Every link on every page leads somewhere.
#[actix_web::test]
async fn no_link_is_dead() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let mut links = BTreeSet::new();
    for (_, page) in pages(&house).await {
        for element in all(&page, "a[href^='/'], link[href], script[src]") {
            let value = element.value();
            links.extend(
                value.attr("href").or(value.attr("src")).map(|link| link.split('#').next().unwrap().to_owned()),
            );
        }
    }
    assert!(links.len() > 30, "{links:?}");
    for link in links {
        let status = site(owner.request("GET", &link)).await.status;
        assert!([200, 303].contains(&status), "{link}: {status}");
    }
}
