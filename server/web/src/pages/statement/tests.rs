use print::samples;
use reckon::money::Money;
use reckon::season::{BlockSeason, StatementKey};
use scraper::Html;
use store::BlockId;

use super::block::BlockStatement;
use super::season::{Seasons, StatementPage};
use crate::pages::html::{all, farms, held, row, shell, text};
use crate::routes::to;

/// Every sample: the first two on one farm, the others on two more.
fn blocks() -> Vec<(BlockId, BlockSeason)> {
    let farms = farms();
    let of_farm = |(n, (_, mut season)): (usize, (&str, BlockSeason))| {
        let farm = &farms[n.saturating_sub(1).min(2)];
        season.heading.farm = farm.farm.clone();
        (row(u32::try_from(n).unwrap(), farm, &season).id, season)
    };
    samples::all().into_iter().enumerate().map(of_farm).collect()
}

/// Cents of a cell: a dash is nothing.
fn cents(cell: &str) -> i64 {
    if cell == "–" {
        return 0;
    }
    cell.replace(',', "").replace('−', "-").replace('.', "").parse().unwrap()
}

fn cells(html: &Html, line: usize) -> Vec<String> {
    let row = all(html, "table.statement tbody tr")[line];
    row.select(&scraper::Selector::parse("td").unwrap()).map(text).collect()
}

#[test]
fn every_line_of_the_operation_is_the_sum_of_its_farms_to_the_cent() {
    // The extreme sample stands at the end of the range of money, where sums saturate.
    let most = Money::from_cents(1_000_000_000_000);
    let small = |season: &BlockSeason| season.statement.lines.iter().all(|line| line.amount.value < most);
    let blocks: Vec<_> = blocks().into_iter().filter(|(_, season)| small(season)).collect();
    let seasons = Seasons { blocks, last: Vec::new() };
    let html = held(&StatementPage::of(shell("/season/2026/statement"), 2026, None, &seasons, None));
    let heads: Vec<String> = all(&html, "table.statement thead th.n a").into_iter().map(text).collect();
    assert!(heads.len() > 1, "{heads:?}");
    let lines = all(&html, "table.statement tbody tr").len();
    assert!(lines > 10);
    for line in 0..lines {
        let cells = cells(&html, line);
        let parts: i64 = cells[..heads.len()].iter().map(|cell| cents(cell)).sum();
        assert_eq!(parts, cents(&cells[heads.len()]), "{cells:?}");
    }
    assert_eq!(text(all(&html, "[aria-current=page]")[0]), "Statement");
}

#[test]
fn a_farm_has_a_column_a_block_and_says_who_is_silent() {
    let farm = &farms()[0];
    let seasons = Seasons { blocks: blocks(), last: Vec::new() };
    let html = held(&StatementPage::of(shell("/season/2026/statement"), 2026, Some(farm), &seasons, None));
    let blocks = &seasons.blocks[..2];
    assert_eq!(text(all(&html, "h1")[0]), "Statement of Home Place");
    let heads: Vec<_> = all(&html, "table.statement thead th.n a");
    assert_eq!(heads[0].value().attr("href"), Some(to::block_statement(2026, blocks[0].0).as_str()));
    let silent = blocks.iter().filter(|(_, season)| season.statement.lines.is_empty()).count();
    assert_eq!(all(&html, "main p.notes a[href*='/block/']").len(), silent);
}

#[test]
fn what_no_block_bears_is_said() {
    let left = Some(Money::from_cents(123_456));
    let html = held(&StatementPage::of(shell("/"), 2026, None, &Seasons { blocks: blocks(), last: Vec::new() }, left));
    assert!(text(all(&html, "main")[0]).contains("Shared costs of $1,234.56 could go to no block"));
    let none = held(&StatementPage::of(
        shell("/"),
        2026,
        None,
        &Seasons { blocks: Vec::new(), last: Vec::new() },
        Some(Money::ZERO),
    ));
    assert!(text(all(&none, "main")[0]).contains("there is nothing to state"));
}

fn statement(season: &BlockSeason, last: Option<&BlockSeason>) -> Html {
    let others = blocks();
    let all: Vec<&BlockSeason> = others.iter().map(|(_, season)| season).collect();
    let row = row(1, &farms()[1], season);
    held(&BlockStatement::of(shell("/season/2026/block/x/statement"), &row, season, last, &all))
}

#[test]
fn a_block_is_held_against_its_last_season_and_the_median() {
    let season = samples::full();
    let mut last = samples::full();
    last.heading.season = reckon::block::Season::calendar_year(2025).unwrap();
    let html = statement(&season, Some(&last));
    let heads: Vec<String> = all(&html, "section h2").into_iter().map(text).collect();
    assert_eq!(
        heads,
        [
            "Against the operation's median block",
            "Against its season of 2025",
            "Break-even",
            "At other yields and prices",
            "How reckoned"
        ]
    );
    assert!(text(all(&html, "table.statement thead")[0]).contains("in 2025"));
    let gross = season.statement.line(StatementKey::Gross).unwrap();
    assert_eq!(cells(&html, 0)[0], print::figures::money(gross.amount.value));
    let row = cells(&html, 0);
    assert_eq!(row[1], row[2], "the same season again");
    assert_ne!(row[3], "–", "the median block");
    assert_eq!(row.last().unwrap(), gross.amount.evidence.word());
    let pound = gross.per_pound.map(|each| print::figures::price(each, 3));
    assert_eq!(Some(&row[6]), pound.as_ref());
    let evidence: Vec<String> = all(&html, "table.statement tbody td.evi").into_iter().map(text).collect();
    assert!(evidence.iter().all(|word| !word.is_empty()), "sums too: {evidence:?}");
    assert!(all(&statement(&season, None), "section h2").len() == 4);
}

/// One tap from any line, and from break-even and ranging, to the formula and its source.
#[test]
fn every_line_leads_to_its_formula() {
    let ids: Vec<String> =
        reckon::how::of_the_book().into_iter().map(|how| format!("{}#how-{}", to::how(), how.id)).collect();
    let season = samples::full();
    let block = statement(&season, None);
    let seasons = Seasons { blocks: blocks(), last: Vec::new() };
    let whole = held(&StatementPage::of(shell("/season/2026/statement"), 2026, None, &seasons, None));
    for html in [&block, &whole] {
        let links = all(html, "table.statement tbody th a");
        assert_eq!(links.len(), all(html, "table.statement tbody tr").len());
        for link in links {
            let href = link.value().attr("href").unwrap();
            assert!(ids.iter().any(|id| id == href), "{href}");
        }
    }
    let interest = all(&block, "table.statement a[href$=operating-interest]");
    assert_eq!(text(interest[0]), "Interest on operating capital");
    assert_eq!(all(&block, "section p a[href$='#how-break-even']").len(), 2);
}

#[test]
fn the_ranging_table_holds_the_blocks_own_return_in_its_middle() {
    let season = samples::full();
    let html = statement(&season, None);
    assert_eq!(all(&html, "table.ranging").len(), 3);
    assert_eq!(all(&html, "table.ranging .own").len(), 3, "one cell of each table is the block's own");
    let own = season.statement.ranging.as_ref().unwrap().rows[3].cells[3].per_acre.unwrap();
    assert_eq!(text(all(&html, "table.ranging .own")[0]), print::figures::price(own.all, 0));
    assert_eq!(all(&html, "table.ranging")[0].select(&scraper::Selector::parse("tbody tr").unwrap()).count(), 7);
}

#[test]
fn every_sample_is_a_sound_statement() {
    for (name, season) in samples::all() {
        let html = statement(&season, None);
        let lines = all(&html, "table.statement tbody tr").len();
        assert_eq!(lines, season.statement.lines.len(), "{name}");
    }
}

#[test]
fn a_farm_and_the_operation_stand_beside_last_season_and_the_median_block() {
    let farm = &farms()[0];
    let mut last = blocks();
    for (_, season) in &mut last {
        season.heading.season = reckon::block::Season::calendar_year(2025).unwrap();
    }
    let seasons = Seasons { blocks: blocks(), last };
    for farm in [None, Some(farm)] {
        let html = held(&StatementPage::of(shell("/season/2026/statement"), 2026, farm, &seasons, None));
        let head = text(all(&html, "table.statement thead")[0]);
        assert!(head.contains("An acrein 2025, $") && head.contains("Median of"), "{head}");
        let own = all(&html, "table.statement thead th.n a").len();
        let row = cells(&html, 0);
        assert_eq!(row[own + 1], row[own + 2], "the same season again");
    }
}

#[test]
fn a_line_that_gives_back_is_said_to_be_a_credit() {
    let mut season = samples::full();
    let line = season.statement.lines.iter_mut().find(|line| line.key == StatementKey::OtherGrowing).unwrap();
    line.amount.value = Money::from_cents(12_300);
    let html = statement(&season, None);
    let credits: Vec<String> = all(&html, "table.statement tbody th small").into_iter().map(text).collect();
    assert_eq!(credits, ["a credit"]);
}
