use super::*;
use crate::season::SeasonRecords;
use crate::testing::date;
use crate::water::setup::Setting;
use crate::water::testing::{dry, kept};

/// 30 days of 6 mm; Kcb 0.5 by hand, nothing evaporates, so need is 3 mm a day.
fn even() -> SeasonRecords {
    let mut records = dry(30);
    for setting in [Setting::KcbIni, Setting::KcbMid, Setting::KcbEnd] {
        records.block.water.set(setting, Some(0.5));
    }
    records.block.water.set(Setting::KcbClimateAdjustment, Some(0.0));
    records.block.water.set(Setting::InitialDepletionMm, Some(0.0));
    records.block.water.set(Setting::RuleDepletionMm, Some(97.0));
    records.block.water.set(Setting::DepletionFraction, Some(0.8));
    records.block.water.set(Setting::ApplicationEfficiencyPct, Some(90.0));
    records.block.water.set(Setting::DepletionFractionFollowsEtc, Some(0.0));
    records
}

fn advice(records: &SeasonRecords) -> WaterAdvice {
    crate::water::season(records).0.advice.unwrap()
}

#[test]
fn the_next_set_refills_to_the_rule() {
    // 30 x 3 = 90 mm used of 130; above 97 on the third evening from now: 99 mm, the day after.
    let said = advice(&even());
    assert_eq!(said.on, date(5, 30));
    assert!((said.left.value.get() - 40.0 / 25.4).abs() < 1e-9, "{said:#?}");
    assert!((said.left_share.value.get() - 40.0 / 1.3).abs() < 1e-9);
    assert!((said.before_stress.value.get() - 14.0 / 25.4).abs() < 1e-9);
    let set = said.next_set.unwrap();
    assert_eq!(set.date, date(6, 3));
    assert!((set.net.value.get() - 99.0 / 25.4).abs() < 1e-9);
    assert!((set.gross.value.get() - 110.0 / 25.4).abs() < 1e-9);
    // 4.33 in over 10 acres.
    assert!((set.gallons.value.get() - 110.0 / 25.4 * 10.0 * 6_272_640.0 / 231.0).abs() < 1e-6);
    assert_eq!(set.hours, None);
    assert_eq!(
        said.sentences,
        [
            "On 30 May the balance has 1.6 in left in the roots, 31% of what they hold; 0.6 in of it before the trees feel it.",
            "The last 7 days took 0.12 in a day. If no rain comes, the next set is due on 3 June: 3.9 in into the roots, 4.3 in at the emitters (1,176,000 gal).",
            CHECK_THE_SOIL,
        ]
    );
}

#[test]
fn a_set_of_fixed_depth_names_its_hours() {
    let mut records = even();
    records.block.water.set(Setting::RuleDepletionMm, Some(30.0));
    records.block.water.set(Setting::RuleGrossMm, Some(25.4));
    records.block.emitters_per_tree = Some(4.0);
    records.block.emitter_flow = GallonsPerHour::new(1.0);
    let set = advice(&records).next_set.unwrap();
    assert_eq!(set.date, date(5, 31), "overdue: the next day");
    assert!((set.gross.value.get() - 1.0).abs() < 1e-9);
    // 271,543 gallons through 1,000 trees x 4 gal/h.
    assert!((set.hours.unwrap() - 271_542.857 / 4_000.0).abs() < 1e-3);
}

#[test]
fn no_set_is_named_where_the_rule_calls_for_none() {
    let mut over = even();
    over.block.water.set(Setting::RuleLastMonthDay, Some(520.0));
    let said = advice(&over);
    assert_eq!(said.next_set, None);
    assert!(
        said.sentences[1].ends_with("the season of irrigation set for this block is over."),
        "{:?}",
        said.sentences
    );
    let mut never = even();
    never.block.water.set(Setting::RuleDepletionMm, Some(900.0));
    let said = advice(&never);
    assert_eq!(said.next_set, None);
    assert!(said.sentences[1].ends_with("calls for no set within the next 60 days."), "{:?}", said.sentences);
}

#[test]
fn stress_and_the_last_reading_are_said() {
    let mut records = even();
    records.block.water.set(Setting::DepletionFraction, Some(0.4));
    records.tension = kept([crate::records::TensionReading {
        date: date(5, 29),
        place: String::new(),
        depth: Inches::of(18.0),
        tension: crate::units::Kilopascals::of(72.0),
        note: String::new(),
    }]);
    let said = advice(&records);
    assert!(said.before_stress.value.get().abs() < 1e-12);
    assert!(said.sentences[0].ends_with("the trees have less than they take without stress."), "{:?}", said.sentences);
    assert_eq!(
        said.sentences[1],
        "No set of irrigation is recorded up to that day: if the block was watered, keep the sets first; its soil then holds more than this."
    );
    assert_eq!(said.sentences[3], "The last tension reading, 29 May at 18 in, was 72 kPa: dry.");
}

/// A block in stress with no set lately may be one whose sets were not kept.
#[test]
fn stress_long_after_the_last_set_asks_for_the_sets() {
    let asks = |day: u32| {
        let mut records = even();
        records.block.water.set(Setting::DepletionFraction, Some(0.05));
        let applied = crate::records::Applied::Depth(Inches::of(0.1));
        records.irrigation = kept([crate::records::IrrigationSet { date: date(5, day), applied, note: String::new() }]);
        advice(&records).sentences[1].clone()
    };
    assert_eq!(
        asks(16),
        "The last set recorded is of 16 May: if the block was watered since, keep the sets first; its soil then holds more than this."
    );
    assert!(asks(17).starts_with("The last 7 days took"), "{}", asks(17));
}

/// Before its first day the rule has not ended, and a soil that is dry by then is due on that day.
#[test]
fn a_season_of_irrigation_that_has_not_begun_is_not_over() {
    let mut before = even();
    before.block.water.set(Setting::RuleFirstMonthDay, Some(901.0));
    before.block.water.set(Setting::RuleLastMonthDay, Some(1012.0));
    let said = advice(&before);
    assert_eq!(said.next_set, None);
    assert!(said.sentences[1].ends_with("set for this block begins on 1 September."), "{:?}", said.sentences);
    before.block.water.set(Setting::RuleFirstMonthDay, Some(615.0));
    assert_eq!(advice(&before).next_set.unwrap().date, date(6, 15), "due by 3 June, and not allowed until then");
}
