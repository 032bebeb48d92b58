use chrono::NaiveDate;
use reckon::exact::Hours;
use reckon::field_rules::{FieldRule, FieldRules};
use reckon::figure::{Kept, RecordId};
use reckon::money::UnitPrice;
use reckon::records::{LaborEntry, Loading, Pay, Task};
use store::{CrewEntry, CrewLabor, Role};

use super::CrewsPage;
use crate::pages::html::{all, held, shell, text};
use crate::shell::Shell;

fn entry(n: u128, code: &str, day: u32, hours: i64) -> CrewEntry {
    CrewEntry {
        block: format!("0190a5b6-c7d8-7e9f-8a1b-{:012}", 100 + n).parse().unwrap(),
        code: code.to_owned(),
        entry: Kept {
            id: RecordId::Stored(n),
            record: LaborEntry {
                date: NaiveDate::from_ymd_opt(2026, 5, day).unwrap(),
                task: Task::Thin,
                method: None,
                pass: Some(1),
                crew: "Step".to_owned(),
                people: Some(2),
                hours: Some(Hours::whole(hours).unwrap()),
                hours_each: None,
                overtime_hours: Hours::ZERO,
                overtime_multiplier: None,
                pay: Pay::Hourly(Some(UnitPrice::from_micros(15_000_000))),
                loading: Loading::FromRates,
                trees_done: None,
                rows_done: None,
                note: String::new(),
            },
        },
    }
}

/// 46 hours each in two blocks, then a day of 25 hours each in two blocks.
fn labor() -> CrewLabor {
    let entries = vec![entry(1, "RB-1", 11, 40), entry(2, "UD-2", 13, 40), entry(3, "UD-2", 15, 12)];
    let long = [entry(4, "RB-1", 20, 30), entry(5, "UD-2", 20, 20)];
    CrewLabor { entries: entries.into_iter().chain(long).collect(), rates: Vec::new() }
}

fn page(shell: Shell, rules: &FieldRules) -> scraper::Html {
    held(&CrewsPage::of(shell, 2026, &labor(), rules))
}

#[test]
fn a_week_is_seen_across_blocks_and_so_is_a_day() {
    let html = page(shell("/season/2026/crews"), &FieldRules::default());
    let rows: Vec<String> = all(&html, "#weeks tbody tr").into_iter().map(text).collect();
    assert_eq!(rows[1], "18 May 2026 Step RB-1, UD-2 2 25.0 $750.00 $750.00");
    assert_eq!(text(all(&html, "#weeks summary")[0]), "1 other week");
    assert_eq!(rows[0], "11 May 2026 Step RB-1, UD-2 2 46.0 12 $1,380.00 $1,470.00");
    let doubts: Vec<String> = all(&html, "#look li").into_iter().map(text).collect();
    assert_eq!(doubts.len(), 1);
    assert!(
        doubts[0].starts_with("The crew Step, 2 people, has 50 h on 20 May in RB-1 and UD-2: more than 24 h each.")
    );
    assert!(text(all(&html, "#weeks")[0]).contains("1 of 2 weeks"));
    assert_eq!(all(&html, "#weeks td strong").len(), 1);
    assert_eq!(all(&html, "#weeks tbody a[href$='/labor']").len(), 4);
    let links = all(&html, "#look a[href$='/correct']");
    assert_eq!(links.len(), 2, "each entry can be mended");
    assert!(links[0].value().attr("href").unwrap().contains("/labor/"));
}

#[test]
fn the_operations_own_limit_holds_and_money_is_for_who_may_see_it() {
    let mut rules = FieldRules::default();
    rules.set(FieldRule::WeekHours, Some(48));
    let html = page(shell("/season/2026/crews"), &rules);
    assert!(!text(all(&html, "#weeks")[0]).contains("1 of 2 weeks"));
    assert!(text(all(&html, "thead")[0]).contains("Above 48"));
    let lead = Shell { role: Some(Role::CrewLead), ..shell("/season/2026/crews") };
    let words = text(all(&page(lead, &rules), "main")[0]);
    assert!(!words.contains('$') && !words.contains("Pay by"), "{words}");
    assert!(!words.contains("Pay before"), "{words}");
}

#[test]
fn a_season_without_labor_says_so() {
    let none = CrewLabor { entries: Vec::new(), rates: Vec::new() };
    let html = held(&CrewsPage::of(shell("/season/2026/crews"), 2026, &none, &FieldRules::default()));
    assert!(text(all(&html, ".lead")[0]).starts_with("No labor"));
}
