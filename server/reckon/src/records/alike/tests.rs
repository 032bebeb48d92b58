use super::*;
use crate::exact::Hours;
use crate::money::{Money, UnitPrice};
use crate::records::{CostGroup, FruitWanted, IrrigationSet, RateKind, Task, ThinningMethod};
use crate::testing::{cost, date, labor_entry};
use crate::units::{FruitPerTree, Inches};

fn day(change: impl FnOnce(&mut LaborEntry)) -> Record {
    let mut entry = LaborEntry { crew: "North crew".into(), people: Some(6), ..labor_entry(Task::Thin, "48", "15") };
    change(&mut entry);
    Record::Labor(entry)
}

#[test]
fn the_same_work_in_another_spelling() {
    let kept = day(|_| {});
    assert!(kept.looks_like(&day(|entry| entry.crew = " NORTH-crew".into())));
    assert!(kept.looks_like(&day(|entry| entry.note = "hot".into())));
    assert!(kept.looks_like(&day(|entry| entry.crew.clear())));
    assert!(kept.looks_like(&day(|entry| entry.people = None)));
    let told = |entry: &mut LaborEntry| (entry.pass, entry.method) = (Some(1), Some(ThinningMethod::ByHand));
    assert!(kept.looks_like(&day(told)) && day(told).looks_like(&kept), "a phone leaves out what the office knows");
    assert!(kept.looks_like(&day(|entry| entry.pay = Pay::Hourly(Some(UnitPrice::from_micros(1))))));
}

#[test]
fn the_word_crew_is_no_part_of_its_name() {
    let kept = day(|_| {});
    for same in ["North", "Crew North", "north-crew", "cuadrilla North", "CUADRILLA NORTH "] {
        assert_eq!(kept.likeness(&day(|entry| entry.crew = same.into())), Some(Likeness::Same), "{same}");
        let mended = day(|entry| (entry.crew, entry.hours) = (same.into(), Some(Hours::whole(47).unwrap())));
        assert_eq!(kept.likeness(&mended), Some(Likeness::AllBut("hours")), "{same}");
    }
    for other in ["Northern crew", "South crew", "Crewe"] {
        assert_eq!(kept.likeness(&day(|entry| entry.crew = other.into())), None, "{other}");
    }
}

#[test]
fn one_tree_counted_twice_on_a_day() {
    let count = |sample: &str, branch, before: Option<u32>, after: Option<u32>| {
        Record::FruitCount(FruitCount {
            date: date(5, 14),
            sample: sample.into(),
            branch,
            before,
            after,
            shoot: None,
            fruit_diameter: None,
            method: None,
            note: String::new(),
        })
    };
    let kept = count("t1", false, Some(1_000), Some(300));
    assert_eq!(kept.likeness(&count(" T1", false, Some(1_000), Some(300))), Some(Likeness::Same));
    let but = Some(Likeness::AllBut("number of fruit"));
    assert_eq!(kept.likeness(&count("T1", false, Some(1_000), Some(320))), but);
    assert_eq!(kept.likeness(&count("t1", false, None, Some(320))), but);
    assert_eq!(kept.likeness(&count("t2", false, Some(1_000), Some(320))), None);
    assert_eq!(kept.likeness(&count("t1", true, Some(1_000), Some(320))), None, "a branch of that name");
    let (before, after) = (count("t1", false, Some(1_000), None), count("t1", false, None, Some(300)));
    assert_eq!(before.likeness(&after), None, "the two counts of one tree");
}

#[test]
fn other_work_is_other_work() {
    let kept = day(|_| {});
    assert!(!kept.looks_like(&day(|entry| entry.crew = "Ditch crew".into())));
    assert_eq!(kept.likeness(&day(|entry| entry.date = date(5, 15))), None);
    assert!(!kept.looks_like(&day(|entry| entry.task = Task::Prune)));
    let (first, second) = (day(|entry| entry.pass = Some(1)), day(|entry| entry.pass = Some(2)));
    assert!(!first.looks_like(&second));
    assert!(!kept.looks_like(&day(|entry| entry.hours = Some(Hours::whole(47).unwrap()))));
    assert!(!kept.looks_like(&day(|entry| entry.people = Some(5))));
    assert!(!kept.looks_like(&day(|entry| entry.pay = Pay::Contract(Money::from_cents(1)))));
}

#[test]
fn an_invoice_is_its_day_payee_and_amount() {
    let invoice = |payee: &str, category: &str, cents| {
        Record::Cost(Cost { payee: payee.into(), category: category.into(), ..cost(CostGroup::Cultural, cents) })
    };
    let kept = invoice("Valley Supply", "fuel", 5_000);
    assert!(kept.looks_like(&invoice("VALLEY SUPPLY ", "diesel", 5_000)));
    assert!(!kept.looks_like(&invoice("Valley Supply", "fuel", 5_001)));
    assert!(!kept.looks_like(&invoice("Other Supply", "fuel", 5_000)));
    assert!(!invoice("", "fuel", 5_000).looks_like(&invoice("", "wire", 5_000)));
}

#[test]
fn one_mended_cell_is_named() {
    let kept = day(|_| {});
    let mended = day(|entry| entry.hours = Some(Hours::from_micros(48_250_000)));
    assert_eq!(kept.likeness(&mended), Some(Likeness::AllBut("hours")));
    assert_eq!(kept.likeness(&day(|_| {})), Some(Likeness::Same));
    let two = day(|entry| (entry.hours, entry.people) = (Some(Hours::from_micros(48_250_000)), Some(5)));
    assert_eq!(kept.likeness(&two), None);
    let other_crew = day(|entry| (entry.hours, entry.crew) = (None, "Ditch crew".into()));
    assert_eq!(kept.likeness(&other_crew), None);
    let contract = |cents| day(|entry| entry.pay = Pay::Contract(Money::from_cents(cents)));
    assert_eq!(contract(5).likeness(&contract(6)), Some(Likeness::AllBut("contract amount")));

    let invoice = |payee: &str, cents| {
        Record::Cost(Cost { payee: payee.into(), category: "fuel".into(), ..cost(CostGroup::Cultural, cents) })
    };
    let kept = invoice("Valley Supply", 5_000);
    assert_eq!(kept.likeness(&invoice("", 5_000)), Some(Likeness::AllBut("payee")));
    assert_eq!(kept.likeness(&invoice("valley supply", 5_100)), Some(Likeness::AllBut("amount")));
    assert_eq!(kept.likeness(&invoice("", 5_100)), None);
    assert_eq!(kept.likeness(&invoice("Other Supply", 5_000)), None);
}

#[test]
fn of_what_holds_from_one_day_the_difference_is_named() {
    let rate = |kind, micros| Record::Rate(Rate { from: date(1, 1), kind, micros, note: String::new() });
    let (wage, water) = (RateKind::Wage(None), RateKind::Water);
    assert_eq!(rate(wage, 17_500_000).likeness(&rate(wage, 18_000_000)), Some(instead("rate", "the higher")));
    assert_eq!(rate(wage, 17_500_000).likeness(&rate(wage, 17_500_000)), Some(Likeness::Same));
    assert_eq!(rate(wage, 17_500_000).likeness(&rate(water, 17_500_000)), None);
    assert_eq!(
        rate(wage, 17_500_000).likeness(&rate(RateKind::Wage(Some(Task::Thin)), 18_000_000)),
        None,
        "a task's own wage"
    );
}

#[test]
fn targets_of_the_same_blocks_differ_in_what_both_say() {
    let target = |crop: &str, fruit: Option<f64>, spacing: Option<f64>| {
        Record::ThinningTarget(ThinningTarget {
            from: date(1, 1),
            crop: Some(crop.into()),
            ripening: None,
            fruit: fruit.map(|fruit| FruitWanted::Tree(FruitPerTree::of(fruit))),
            spacing: spacing.map(Inches::of),
            note: String::new(),
        })
    };
    let kept = target("peach", Some(300.0), None);
    assert_eq!(kept.likeness(&target("Peach ", Some(300.0), None)), Some(Likeness::Same));
    assert_eq!(kept.likeness(&target("peach", Some(320.0), None)), Some(instead("number of fruit", "the fewer")));
    assert_eq!(kept.likeness(&target("peach", None, Some(5.0))), None, "the spacing stands in its own row");
    assert_eq!(kept.likeness(&target("plum", Some(320.0), None)), None);
    let spaced = target("peach", None, Some(5.0));
    assert_eq!(spaced.likeness(&target("peach", Some(300.0), Some(6.0))), Some(instead("spacing", "the wider")));
}

#[test]
fn a_size_named_twice_is_told_by_what_it_stands_for() {
    let size = |words: &str, place, means: &str| {
        Record::Size(OwnSize {
            from: date(1, 1),
            crop: None,
            size_class: words.into(),
            place,
            means: Some(means.into()),
            note: String::new(),
        })
    };
    let kept = size("Grand", 3, "AA");
    assert_eq!(kept.likeness(&size("grand ", 3, "AA")), Some(Likeness::Same));
    assert_eq!(kept.likeness(&size("Grand", 3, "AAA")), Some(instead("meaning", "the smaller size")));
    assert_eq!(kept.likeness(&size("Great", 3, "AA")), None);
}

#[test]
fn a_set_is_its_amount() {
    let set = |hours, emitters| {
        let applied = Applied::Runtime { hours: Hours::whole(hours).unwrap(), flow: None, emitters };
        Record::Irrigation(IrrigationSet { date: date(6, 1), applied, note: String::new() })
    };
    assert!(set(6, None).looks_like(&set(6, Some(900))));
    assert!(!set(6, Some(800)).looks_like(&set(6, Some(900))));
    assert!(!set(6, None).looks_like(&set(7, None)));
    assert!(!set(6, None).looks_like(&day(|_| {})));
}

#[test]
fn boxes_of_one_size_and_grade_are_told_by_their_number() {
    let line = |size: &str, boxes| {
        let outcome = LineOutcome::Packed {
            size_class: size.into(),
            grade: "US 1".into(),
            boxes: crate::exact::Boxes::whole(boxes).unwrap(),
        };
        Record::Packout(PackoutLine { date: date(7, 1), outcome, weight: None, note: String::new() })
    };
    assert!(line("56", 40).looks_like(&line(" 56", 40)));
    assert!(!line("56", 40).looks_like(&line("64", 40)));
    assert!(!line("56", 40).looks_like(&line("56", 41)));
}
