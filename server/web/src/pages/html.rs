//! What holds for the HTML of every page: test code.

use std::collections::BTreeSet;

use askama::Template;
use reckon::block::{Farm, Season};
use reckon::season::{BlockSeason, SeasonRecords};
use reckon::summary::Summary;
use scraper::{ElementRef, Html, Selector};
use store::{BlockId, BlockRow, FarmRow, Role};

use crate::routes;
use crate::shell::Shell;

/// A shell in which an owner reads the season of 2026 with three farms.
pub(crate) fn shell(path: &str) -> Shell {
    let season = Season::calendar_year(2026).unwrap();
    Shell {
        operation: "Cottonwood Flat Orchards".to_owned(),
        user: "Ines Falk".to_owned(),
        role: Some(Role::Owner),
        sees_all: true,
        seasons: vec![season],
        season: Some(season),
        farms: farms(),
        csrf: "c5f".to_owned(),
        said: Some("Kept."),
        ..Shell::outside(path, season.first_day)
    }
}

/// Three invented farms.
pub(crate) fn farms() -> Vec<FarmRow> {
    let farm = |(n, name): (u32, &str)| FarmRow {
        id: id(n).parse().unwrap(),
        version: 1,
        farm: Farm { name: name.to_owned(), station: "Bench Station".to_owned(), ..Farm::default() },
    };
    [(1, "Home Place"), (2, "River Bench"), (3, "Sand Draw")].into_iter().map(farm).collect()
}

/// A block's row for a reckoned season, on one of [`farms`].
pub(crate) fn row(n: u32, farm: &FarmRow, season: &BlockSeason) -> BlockRow {
    BlockRow {
        id: id(100 + n).parse().unwrap(),
        farm_id: farm.id,
        farm_name: farm.farm.name.clone(),
        version: 1,
        block: season.heading.block.clone(),
    }
}

/// Every sample as a row of the season table, two on the first farm; one block without a summary.
pub(crate) fn summaries() -> Vec<(BlockRow, Option<Summary>)> {
    let farms = farms();
    let mut rows = Vec::new();
    for (n, (_, season)) in (0..).zip(print::samples::all()) {
        let farm = &farms[usize::from(n > 1)];
        let summary = (n != 2).then(|| Summary::of(&season));
        rows.push((row(n, farm, &season), summary));
    }
    rows
}

/// A block of the second farm, of 10 acres, in a season without a record.
pub(crate) fn records(n: u32, code: &str) -> (BlockId, SeasonRecords) {
    let season = print::samples::full();
    let farm = &farms()[1];
    let block = reckon::block::Block {
        code: code.to_owned(),
        crop: "plum".to_owned(),
        acres: reckon::exact::Acres::whole(10).unwrap(),
        ..reckon::block::Block::default()
    };
    let records = SeasonRecords::without_records(
        season.heading.operation.clone(),
        farm.farm.clone(),
        block,
        season.heading.season,
    );
    (row(n, farm, &season).id, records)
}

fn id(n: u32) -> String {
    format!("0190a5b6-c7d8-7e9f-8a1b-{n:012}")
}

/// Renders the page and holds it to everything below.
pub(crate) fn held(page: &impl Template) -> Html {
    let text = page.render().unwrap();
    let html = Html::parse_document(&text);
    tags_are_closed(&text);
    nothing_inline(&html, &text);
    ids_are_unique_and_found(&html);
    fields_have_labels(&html);
    headings_are_in_order(&html);
    links_lead_somewhere(&html);
    tables_have_heads(&html);
    pictures_have_words(&html);
    html
}

/// Elements of a selector.
pub(crate) fn all<'h>(html: &'h Html, selector: &str) -> Vec<ElementRef<'h>> {
    html.select(&Selector::parse(selector).unwrap()).collect()
}

/// Text of an element, spaces run together.
pub(crate) fn text(element: ElementRef<'_>) -> String {
    element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The parser mends what is left open; this does not.
fn tags_are_closed(page: &str) {
    const VOID: [&str; 6] = ["meta", "link", "input", "br", "img", "hr"];
    let mut open: Vec<&str> = Vec::new();
    for tag in page.split('<').skip(1) {
        let tag = tag.split('>').next().unwrap();
        let name = tag.trim_start_matches('/').split([' ', '\n', '/']).next().unwrap();
        if tag.starts_with('/') {
            assert_eq!(open.pop(), Some(name), "after {open:?}");
        } else if !(tag.starts_with('!') || tag.ends_with('/') || VOID.contains(&name)) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

/// The content policy forbids it, so it would not work.
fn nothing_inline(html: &Html, text: &str) {
    assert!(all(html, "[style], style, script:not([src])").is_empty());
    for element in all(html, "*") {
        let name = element.value().name();
        for (attribute, _) in element.value().attrs() {
            assert!(!attribute.starts_with("on"), "{attribute} on <{name}>");
        }
    }
    assert!(!text.contains("javascript:"));
}

fn ids_are_unique_and_found(html: &Html) {
    let mut ids = BTreeSet::new();
    for element in all(html, "[id]") {
        let id = element.value().attr("id").unwrap();
        assert!(!id.is_empty() && ids.insert(id), "id {id:?} stands twice");
    }
    for attribute in ["for", "aria-describedby", "aria-labelledby"] {
        for element in all(html, &format!("[{attribute}]")) {
            for id in element.value().attr(attribute).unwrap().split_whitespace() {
                assert!(ids.contains(id), "{attribute} points to {id:?}, which is not there");
            }
        }
    }
    for link in all(html, "a[href^='#']") {
        let id = link.value().attr("href").unwrap().trim_start_matches('#');
        assert!(ids.contains(id), "a link points to #{id}, which is not there");
    }
}

fn fields_have_labels(html: &Html) {
    for field in all(html, "input:not([type=hidden]), select, textarea") {
        let id = field.value().attr("id").expect("a field without id");
        let labels = all(html, &format!("label[for='{id}']"));
        assert!(labels.iter().any(|label| !text(*label).is_empty()), "{id} has no label");
    }
    for button in all(html, "button, summary") {
        assert!(!text(button).is_empty(), "a button without words");
    }
}

fn headings_are_in_order(html: &Html) {
    let mut level = 0;
    for heading in all(html, "h1, h2, h3, h4, h5, h6") {
        let own: u32 = heading.value().name()[1..].parse().unwrap();
        assert!(own <= level + 1, "h{own} after h{level}: {}", text(heading));
        assert!(!text(heading).is_empty(), "an empty h{own}");
        level = own;
    }
    assert_eq!(all(html, "h1").len(), 1);
    assert_eq!(all(html, "main").len(), 1);
    assert!(!text(all(html, "title")[0]).is_empty());
}

/// A link has words, and its address is one of the route table.
fn links_lead_somewhere(html: &Html) {
    for link in all(html, "a") {
        let address = link.value().attr("href").expect("a link without address");
        assert!(!text(link).is_empty(), "a link without words to {address}");
        let path = address.split(['?', '#']).next().unwrap();
        assert!(path.is_empty() || is_route(path), "{address} is not in the route table");
    }
}

fn is_route(path: &str) -> bool {
    routes::table().any(|(_, pattern, _, _)| {
        let (mut own, mut given) = (pattern.split('/'), path.split('/'));
        loop {
            match (own.next(), given.next()) {
                (None, None) => return true,
                (Some(own), Some(given)) if own == given => {}
                (Some(own), Some(given)) if own.starts_with('{') && !given.is_empty() => {}
                _ => return false,
            }
        }
    })
}

fn tables_have_heads(html: &Html) {
    for head in all(html, "th") {
        assert!(head.value().attr("scope").is_some(), "a head without scope: {}", text(head));
    }
    for table in all(html, "table") {
        let columns = |row: ElementRef<'_>| {
            let cells = row.child_elements();
            cells.map(|cell| cell.value().attr("colspan").map_or(1, |n| n.parse::<usize>().unwrap())).sum::<usize>()
        };
        let rows: BTreeSet<usize> = table.select(&Selector::parse("tr").unwrap()).map(columns).collect();
        assert_eq!(rows.len(), 1, "rows of one table have {rows:?} cells: {}", text(table));
    }
}

fn pictures_have_words(html: &Html) {
    for picture in all(html, "svg") {
        let hidden = picture.value().attr("aria-hidden") == Some("true");
        let named = picture.value().attr("role") == Some("img") && picture.value().attr("aria-labelledby").is_some();
        assert!(hidden || named, "a picture without words");
    }
    assert!(all(html, "img:not([alt])").is_empty());
}
