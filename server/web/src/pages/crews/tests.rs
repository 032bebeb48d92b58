use chrono::NaiveDate;
use reckon::exact::Hours;
use reckon::field_rules::{FieldRule, FieldRules};
use reckon::figure::{Kept, RecordId};
use reckon::money::{Money, UnitPrice};
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
    assert_eq!(rows[1], "18 May 2026 Step RB-1, UD-2 2 25.0 $750.00 $750.00 $0.00 $750.00");
    assert_eq!(text(all(&html, "#weeks summary")[0]), "1 other week");
    assert_eq!(rows[0], "11 May 2026 Step RB-1, UD-2 2 46.0 12 $1,380.00 $1,380.00 $90.00 $1,470.00");
    assert!(
        text(all(&html, ".under")[0]).contains("not a payroll")
            && text(all(&html, ".under")[0]).contains("daily overtime")
    );
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
    assert_eq!(text(links[0]), "RB-1 30 h", "two entries of one block are told apart");
    assert!(links[0].value().attr("href").unwrap().contains("/labor/"));
}

#[test]
fn the_operations_own_limit_holds_and_money_is_for_who_may_see_it() {
    let mut rules = FieldRules::default();
    rules.set(FieldRule::WeekHours, Some(48));
    let html = page(shell("/season/2026/crews"), &rules);
    assert!(!text(all(&html, "#weeks")[0]).contains("1 of 2 weeks"));
    assert!(text(all(&html, "thead")[0]).contains("Above 48"));
    assert!(text(all(&html, ".under")[0]).starts_with("Monday to Sunday"));
    rules.set(FieldRule::WeekBegins, Some(7));
    let html = page(shell("/season/2026/crews"), &rules);
    assert!(text(all(&html, ".under")[0]).starts_with("Sunday to Saturday"));
    assert_eq!(text(all(&html, "#weeks tbody th")[0]), "17 May 2026");
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

/// A bonus and two rates in one crew's week, and a contract of nobody.
#[test]
fn pay_without_hours_is_in_the_week_or_listed_and_overtime_by_entry_is_asked_about() {
    let contract = |n, crew: &str, cents| {
        let mut sum = entry(n, "RB-1", 12, 1);
        let pay = Pay::Contract(Money::from_cents(cents));
        sum.entry.record = LaborEntry { crew: crew.to_owned(), people: None, hours: None, pay, ..sum.entry.record };
        sum
    };
    let mut late = entry(3, "UD-2", 15, 12);
    late.entry.record.overtime_hours = Hours::whole(12).unwrap();
    late.entry.record.pay = Pay::Hourly(Some(UnitPrice::from_micros(20_000_000)));
    let entries = vec![
        entry(1, "RB-1", 11, 40),
        entry(2, "UD-2", 13, 40),
        late,
        contract(4, "step", 9_200),
        contract(5, "", 480_000),
    ];
    let labor = CrewLabor { entries, rates: Vec::new() };
    let page = |shell| held(&CrewsPage::of(shell, 2026, &labor, &FieldRules::default()));
    let html = page(shell("/season/2026/crews"));
    // 80 h at 15, 12 at 20 and 92.00: 1,532.00 over 92 h; half of 16.652... for each of 12.
    let row = text(all(&html, "#weeks tbody tr")[0]);
    assert!(row.ends_with("46.0 12 12 $1,652.00 $1,532.00 $99.91 $1,631.91"), "{row}");
    let out: Vec<String> = all(&html, "#left-out tbody tr").into_iter().map(text).collect();
    assert_eq!(out, ["12 May 2026 no name RB-1 $4,800.00 a contract sum that names no crew"]);
    assert_eq!(all(&html, "#left-out a[href$='/correct']").len(), 1);
    let asked = text(all(&html, "#look li")[0]);
    assert!(asked.contains("comes to 1,652.00 dollars, by the week's regular rate to 1,631.91."), "{asked}");
    let lead = Shell { role: Some(Role::CrewLead), ..shell("/season/2026/crews") };
    let words = text(all(&page(lead), "main")[0]);
    assert!(!words.contains("dollars") && !words.contains("4,800"), "{words}");
}

/// Who did not say how many came is told so, and not that there is no overtime.
#[test]
fn a_week_without_its_people_was_not_looked_at() {
    let unsaid = |n, hours| {
        let mut one = entry(n, "RB-1", 11, hours);
        one.entry.record.people = None;
        one
    };
    let rows = |labor: Vec<CrewEntry>| -> Vec<String> {
        let labor = CrewLabor { entries: labor, rates: Vec::new() };
        let html = held(&CrewsPage::of(shell("/season/2026/crews"), 2026, &labor, &FieldRules::default()));
        all(&html, "#weeks tbody tr").into_iter().map(text).collect()
    };
    assert_eq!(
        rows(vec![unsaid(1, 100)]),
        ["11 May 2026 Step RB-1 – – people not said, not looked for $1,500.00 $1,500.00 – –"]
    );
    let mut entered = unsaid(1, 100);
    entered.entry.record.overtime_hours = Hours::whole(4).unwrap();
    let row = rows(vec![entered]).remove(0);
    assert!(row.ends_with("people not said, not looked for 4 $1,530.00 $1,500.00 $30.00 $1,530.00"), "{row}");
    let mut nameless = entry(1, "RB-1", 11, 100);
    nameless.entry.record.crew = String::new();
    assert!(rows(vec![nameless])[0].contains("no crew named, not looked for"));
}
