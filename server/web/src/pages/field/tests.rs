use store::Role;

use super::*;
use crate::pages::html::{all, farms as sample_farms, held, row, shell, text};

fn lead(path: &str) -> Shell {
    Shell { role: Some(Role::CrewLead), ..shell(path) }
}

fn rows() -> Vec<BlockRow> {
    let season = print::samples::full();
    sample_farms().iter().zip(1..).map(|(farm, n)| row(n, farm, &season)).collect()
}

fn due() -> Vec<BlockSentence> {
    vec![BlockSentence {
        blocks: vec![(to::season(2026), "RB-1".to_owned())],
        text: " has its second look due.".to_owned(),
    }]
}

#[test]
fn a_crew_lead_sees_blocks_and_work_and_no_money() {
    let page = Blocks {
        shell: lead("/season/2026"),
        title: "The season of 2026".to_owned(),
        year: 2026,
        farms: farms(2026, &rows()),
        due: due(),
    };
    let html = held(&page);
    assert_eq!(all(&html, "tr.group").len(), 3);
    let said = text(html.root_element());
    assert!(said.contains("second look due") && said.contains("2,387 trees") && !said.contains('$'), "{said}");
    assert!(!said.contains("Statement") && !said.contains("Changes"), "nothing that would be refused: {said}");
}

#[test]
fn nothing_there_yet_is_said() {
    let page = Blocks {
        shell: lead("/season/2026"),
        title: "Sand Draw".to_owned(),
        year: 2026,
        farms: Vec::new(),
        due: Vec::new(),
    };
    assert!(text(held(&page).root_element()).contains("no blocks here yet"));
}

#[test]
fn a_block_offers_its_lists() {
    let link = |link: String, words: &str| Link { link, words: words.to_owned() };
    let at = rows()[0].id;
    let labor = RecordKind::Labor;
    let page = FieldBlock {
        shell: lead(&to::block(2026, at)),
        year: 2026,
        above: link(to::season(2026), "River Bench"),
        code: "RB-1 Ninebark".to_owned(),
        about: "nectarine, 15 acres".to_owned(),
        ripens: Some("Ripens 13 July to 24 July.".to_owned()),
        fruit: fruit_counted(&print::samples::full().thinning),
        observations: print::samples::full().observations.iter().map(Seen::of).collect(),
        due: due(),
        adds: vec![AddLink { link: to::add(2026, Some(at), labor), words: "Crew day" }],
        lists: vec![link(to::records(2026, Some(at), labor), "Labor entries")],
        pages: vec![link(to::water(2026, at), "Water by day and by month")],
    };
    let html = held(&page);
    assert_eq!(text(all(&html, "h1")[0]), "RB-1 Ninebark");
    assert_eq!(all(&html, ".menu a").len(), 1);
    let said = text(html.root_element());
    for told in ["Ripens 13 July to 24 July.", "of the set came off", "What happened", "Chemical thinner: The label"] {
        assert!(said.contains(told), "{told}: {said}");
    }
    assert!(said.contains("Heat: water, shade and rest.") && !said.contains('$'), "{said}");
}
