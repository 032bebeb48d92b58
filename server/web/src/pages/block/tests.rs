use chrono::NaiveDate;
use intake::{FileKind, Parsed};
use print::{figures, headline, samples};
use reckon::figure::{Evidence, Figure, Kept, RecordId, RecordKind, RecordRef};
use reckon::records::Record;
use reckon::season::{BlockSeason, StatementKey};
use reckon::thinning::target::{Wanted, WantedFrom};
use reckon::units::{Inches, Share};
use scraper::{Html, Selector};

use crate::pages::block::BlockPage;
use crate::pages::html::{all, farms, held, records, row, shell, text};

fn page(season: &BlockSeason) -> Html {
    let farm = &farms()[1];
    held(&BlockPage::of(shell("/season/2026/block/x"), &row(1, farm, season), season))
}

#[test]
fn every_sample_is_a_sound_page() {
    for (name, season) in samples::all() {
        let html = page(&season);
        assert!(text(all(&html, "h1")[0]).contains(&season.heading.block.code), "{name}");
    }
}

/// The page and the printed report show the same four figures.
#[test]
fn headline_figures_are_those_of_the_report() {
    let season = samples::full();
    let html = page(&season);
    let shown: Vec<String> = all(&html, ".figures .value").into_iter().map(text).collect();
    let report: Vec<String> =
        headline::headlines(&season).iter().map(|line| format!("{} {}", line.number, line.unit)).collect();
    assert_eq!(shown, report);
    for figure in all(&html, ".figures dd") {
        let said = text(figure);
        assert!(said.contains("How reckoned"), "{said}");
        assert!(["metered", "counted", "invoiced", "modelled"].iter().any(|word| said.contains(word)), "{said}");
    }
}

#[test]
fn the_statement_has_every_line_with_a_real_minus() {
    let season = samples::full();
    let html = page(&season);
    let rows: Vec<String> = all(&html, "table.statement tbody tr").into_iter().map(text).collect();
    assert_eq!(rows.len(), season.statement.lines.len());
    assert!(rows.iter().any(|row| row.contains('−')));
    assert!(rows.iter().all(|row| !row.contains(" -")), "{rows:?}");
    assert_eq!(all(&html, "table.statement tr.sum").len(), 1, "one double rule, under the last line");
}

/// The bookkeeper ties this page out: cents on every line, and how each is known, sums and all.
#[test]
fn the_statement_is_in_cents_and_every_line_says_how_it_is_known() {
    let season = samples::full();
    let html = page(&season);
    let rows = all(&html, "table.statement tbody tr");
    for (row, line) in rows.iter().zip(&season.statement.lines) {
        let amount = row.select(&Selector::parse("td").unwrap()).next().unwrap();
        assert_eq!(text(amount), figures::money(line.amount.value), "{}", line.key.word());
        let known = row.select(&Selector::parse(".known-by").unwrap()).next().unwrap();
        assert!(text(known).starts_with(line.amount.evidence.word()), "{}", line.key.word());
    }
    assert!(all(&html, "table.statement .wide-only").is_empty(), "nothing of it is left out on a phone");
    let over_all = season.statement.line(StatementKey::OverAll).unwrap();
    let headline = text(all(&html, ".figures dd")[3]);
    assert!(headline.contains(&figures::dollars(&figures::money(over_all.amount.value))), "{headline}");
}

/// A block with a crew day of pruning and two of thinning, each of so many hours at a wage.
fn worked(days: [(&str, &str); 3]) -> BlockSeason {
    let (_, mut records) = records(1, "UD-4");
    records.block.trees = Some(2_560);
    let entry = |task: &str, id, (hours, pay): (&str, &str)| {
        let basis = if hours.is_empty() { "contract_usd" } else { "wage_usd_per_hour" };
        let fields = [("date", "2026-07-14"), ("block", "UD-4"), ("task", task), ("hours", hours), (basis, pay)];
        let fields: Vec<(String, String)> = fields.map(|(name, text)| (name.to_owned(), text.to_owned())).to_vec();
        let kind = FileKind::Records(RecordKind::Labor);
        match intake::read_form(kind, &fields, &intake::Context::default()).unwrap() {
            (_, Parsed::Record(Record::Labor(record))) => Kept { id: RecordId::Stored(id), record },
            other => panic!("{other:?}"),
        }
    };
    let [prune, thin, again] = days;
    records.labor = vec![entry("prune", 6, prune), entry("thin", 7, thin), entry("thin", 8, again)];
    reckon::reckon(&records)
}

/// A block of which one crew day has no wage.
fn without_a_wage() -> BlockSeason {
    worked([("8", "20"), ("8", ""), ("8", "20")])
}

/// A contractor's sum tells no hours: the hours a tree are those of the other entries, and say so.
#[test]
fn hours_a_tree_say_which_entries_they_lack() {
    let headline = |season: &BlockSeason| text(all(&page(season), ".figures dd")[0]);
    let some = headline(&worked([("8", "20"), ("", "561.20"), ("8", "20")]));
    assert!(some.contains("h a tree, incomplete: 1 entry lacks hours"), "{some}");
    let every = headline(&worked([("8", "20"), ("8", "20"), ("8", "20")]));
    assert!(every.contains("h a tree") && !every.contains("incomplete"), "{every}");
}

#[test]
fn what_lacks_a_wage_is_incomplete_wherever_it_stands() {
    let html = page(&without_a_wage());
    let said = "incomplete: 1 entry lacks a wage";
    let incomplete = |selector: &str| -> Vec<String> {
        all(&html, selector).into_iter().map(text).filter(|row| row.contains(said)).collect()
    };
    let lines = incomplete("table.statement tbody tr");
    let names = ["Thinning labor", "Operating costs", "Return over operating", "Return over cash", "Return over all"];
    assert_eq!(lines.len(), names.len(), "{lines:?}");
    for (line, name) in lines.iter().zip(names) {
        assert!(line.starts_with(name), "{line}");
    }
    assert_eq!(incomplete("table.labor tr").len(), 4, "the pass, all thinning, the task, all labor");
    assert_eq!(incomplete(".figures dd").len(), 2, "thinning a tree, and the return");
    for link in all(&html, "a.lacks") {
        let to = link.value().attr("href").unwrap();
        assert!(to.ends_with("/labor/00000000-0000-0000-0000-000000000007/correct"), "{to}");
    }
}

#[test]
fn what_is_wanted_stands_with_its_source_and_guides_are_no_target() {
    let mut season = samples::full();
    let said = |season: &BlockSeason| {
        let notes = all(&page(season), "figcaption.notes").into_iter().map(text).collect::<Vec<_>>();
        notes.into_iter().find(|note| note.contains("of the set came off")).unwrap()
    };
    let guides =
        |season: &BlockSeason| all(&page(season), "details.guides li").into_iter().map(text).collect::<Vec<_>>();
    assert!(said(&season).contains("That is 102% of the 420 wanted (the block's own)."), "{}", said(&season));
    assert!(said(&season).contains("One fruit every 4.60 in of shoot (±0.30)."));
    assert_eq!(guides(&season).len(), 7);
    assert_eq!(
        guides(&season)[2],
        "peach: 6 to 8 in (Peach Thinning, Missouri State Fruit Experiment Station, station blog, 2017)"
    );
    let list = |inches| Wanted {
        figure: Figure::new(inches, Evidence::Assumed, []),
        from: WantedFrom::List {
            from: NaiveDate::from_ymd_opt(2026, 1, 1).unwrap(),
            crop: Some("peach".into()),
            ripening: None,
            per_acre: None,
        },
    };
    season.thinning.target_spacing = Some(list(Inches::of(5.5)));
    season.thinning.spacing_of_target = Some(Figure::new(Share::of(83.6), Evidence::Counted, []));
    season.thinning.guides.clear();
    let words = "One fruit every 4.60 in of shoot (±0.30), 84% of the 5.5 in wanted (the list, from 1 January 2026, of peaches).";
    assert!(said(&season).contains(words), "{}", said(&season));
    assert!(guides(&season).is_empty());
    season.thinning.left_of_target = None;
    assert!(said(&season).contains("Wanted: 420 fruit on a tree (the block's own)."), "{}", said(&season));
}

#[test]
fn labor_has_hours_and_cost_a_tree_an_acre_and_a_thousand_fruit() {
    let season = samples::full();
    let html = page(&season);
    let table = all(&html, "table.labor")[0];
    let heads: Vec<String> = table.select(&Selector::parse("th[scope=col]").unwrap()).map(text).collect();
    let expected =
        ["Pass and method", "Entries", "Hours", "Cost$", "An acreh", "An acre$", "Trees", "A treeh", "A tree$"];
    assert_eq!(heads[..9], expected);
    assert_eq!(heads[9..], ["1,000 fruith", "1,000 fruit$", "Known by"]);
    for (row, pass) in table.select(&Selector::parse("tbody tr").unwrap()).zip(&season.labor.passes) {
        let said = text(row);
        let thousand = pass.measure.cost_per_thousand.as_ref().unwrap();
        for cell in [
            figures::money(pass.measure.cost.value),
            figures::price(thousand.value, 2),
            figures::count(pass.measure.entries),
            print::words::labor_known(&pass.measure),
        ] {
            assert!(said.contains(&cell), "{cell} in {said}");
        }
    }
}

#[test]
fn each_grade_and_each_size_of_it_has_its_price() {
    let season = samples::full();
    let html = page(&season);
    let said: Vec<String> = all(&html, "#packout tbody tr").into_iter().map(text).collect();
    for grade in &season.packout.grades {
        let (name, net) = (grade.grade.as_deref().unwrap(), grade.net.as_ref().unwrap());
        let row = said.iter().find(|row| row.starts_with(name) && row.contains(&figures::money(net.value)));
        let each = grade.net_per_pound.as_ref().unwrap();
        assert!(row.is_some_and(|row| row.contains(&figures::price(each.value, 2))), "{name} in {said:?}");
    }
    for cell in &season.packout.cells {
        let size = cell.size_class.as_deref().unwrap();
        let each = figures::price(cell.net_per_pound.as_ref().unwrap().value, 2);
        let last = &said[said.len() - season.packout.sizes.len()..];
        assert!(last.iter().any(|row| row.starts_with(size) && row.contains(&each)), "{size} {each} in {last:?}");
    }
    assert!(all(&html, "#packout a").iter().any(|link| link.value().attr("href").unwrap().ends_with("/packout")));
}

#[test]
fn each_size_class_tells_what_it_brings_over_the_one_below() {
    let html = page(&samples::full());
    let premiums: Vec<String> = all(&html, "table tbody tr:has(svg) td:last-child").into_iter().map(text).collect();
    assert_eq!(premiums.first().map(String::as_str), Some(""), "nothing lies below the smallest");
    assert!(premiums[1..].iter().all(|text| text.starts_with('+')), "{premiums:?}");
}

#[test]
fn the_chart_is_there_twice_and_as_a_table() {
    let season = samples::full();
    let html = page(&season);
    assert_eq!(all(&html, "#water-chart-title, #water-chart-narrow-title").len(), 2);
    let weeks = all(&html, "details.on-screen tbody tr");
    assert_eq!(weeks.len(), season.water.weeks.len());
}

#[test]
fn a_gap_leads_to_the_entry_that_would_mend_it() {
    let mut season = samples::full();
    let id = 0x0190_a5b6_c7d8_7e9f_8a1b_0000_0000_0007;
    season.gaps.truncate(1);
    season.gaps[0].records = vec![RecordRef { kind: RecordKind::Labor, id: RecordId::Stored(id) }];
    let html = page(&season);
    let link = all(&html, ".sentences a")[0];
    assert_eq!(text(link), "The entry");
    assert!(link.value().attr("href").unwrap().ends_with("/labor/0190a5b6-c7d8-7e9f-8a1b-000000000007/correct"));
    assert_eq!(text(all(&html, ".sentences li")[0]).matches(&season.gaps[0].mend).count(), 1);
}

#[test]
fn an_explanation_stands_behind_each_how_reckoned() {
    let mut season = samples::full();
    season.how = reckon::how::how();
    season.how.push(reckon::water::how::metered_saving());
    let html = page(&season);
    for link in all(&html, "a[href^='#how']") {
        assert_ne!(link.value().attr("href"), Some("#how"), "{} has an explanation of its own", text(link));
    }
}

#[test]
fn a_bare_block_with_hardly_a_record_says_what_is_not_known() {
    let html = page(&samples::sparse());
    let values: Vec<String> = all(&html, ".figures .value").into_iter().map(text).collect();
    assert_eq!(values, ["–", "bare", "–", "–"]);
    assert!(all(&html, "figure svg").is_empty());
    assert!(text(all(&html, "main")[0]).contains("Nothing is packed yet."));
}

#[test]
fn cautions_stand_on_every_block() {
    for (name, season) in samples::all() {
        let cautions = text(all(&page(&season), ".caution")[0]);
        for words in ["clear of every trunk", "not a payroll", "look at the soil", "label is the law"] {
            assert!(cautions.contains(words), "{name}: {words}");
        }
    }
}

#[test]
fn a_bookkeeper_is_offered_what_the_office_keeps() {
    let season = samples::full();
    let farm = &farms()[1];
    let mut shell = shell("/season/2026/block/x");
    shell.role = Some(store::Role::Bookkeeper);
    let html = held(&BlockPage::of(shell, &row(1, farm, &season), &season));
    let kinds: Vec<String> = all(&html, ".menu li").into_iter().map(text).collect();
    assert_eq!(kinds, ["Crew day", "Packout line", "Settlement line", "Cost"]);
}

/// A return of costs alone is no return yet, and no clock measured it.
#[test]
fn nothing_sold_is_said_beside_the_return() {
    let mut season = samples::full();
    season.statement.lines.retain(|line| line.key > StatementKey::NetToGrower);
    let html = page(&season);
    let shown = text(all(&html, ".figures dd")[3]);
    assert!(shown.contains("for the block; nothing sold yet: costs only"), "{shown}");
    assert!(!shown.contains("modelled") && !shown.contains("metered"), "{shown}");
}

/// How many trees would do stands with the counts, and where that is from one link away.
#[test]
fn counts_say_how_many_trees_would_do() {
    let season = samples::full();
    let html = page(&season);
    let notes: Vec<String> = all(&html, "figcaption.notes").into_iter().map(text).collect();
    let said = "14 trees would put the mean of fruit left on a tree within 10% (95%).";
    let note = notes.iter().find(|note| note.contains(said)).unwrap();
    assert!(note.contains("A tree set 1,658 (±61) fruit"), "{note}");
    assert!(note.contains("Trees to count: how reckoned"), "{note}");
}
