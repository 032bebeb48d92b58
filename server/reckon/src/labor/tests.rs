//! What entries cost, and trees counted once.

mod each_fruit;
mod hours;

use super::*;
use crate::exact::{Hours, Percent, Pieces};
use crate::figure::{Evidence, Lacks};
use crate::records::Pay;
use crate::records::{Loading, Rate, RateKind, ThinningMethod};
use crate::testing::{date, dec, kept, labor_entry, records};
use crate::units::Count;

/// A day that says nothing about hours or wage.
fn entry(task: Task) -> LaborEntry {
    LaborEntry { hours: None, pay: Pay::Hourly(None), ..labor_entry(task, "1", "1") }
}

fn hours(text: &str) -> Hours {
    Hours::new(dec(text)).unwrap()
}

fn pieces(count: i64, rate: &str) -> Pay {
    Pay::Piece { pieces: Pieces::whole(count).unwrap(), rate: UnitPrice::round(dec(rate)).unwrap() }
}

fn percent(text: &str) -> Percent {
    Percent::new(dec(text)).unwrap()
}

fn cents(entry: &LaborEntry, rates: &[Kept<Rate>]) -> Result<i64, NoCost> {
    entry_cost(entry, Rates::new(rates)).map(Money::cents)
}

fn check(entry: &LaborEntry, expected: i64) {
    assert_eq!(cents(entry, &[]), Ok(expected));
}

#[test]
fn hours_overtime_and_loading() {
    let day = labor_entry(Task::Thin, "46", "12");
    check(&day, 55_200);
    // 29 CFR 778.110(a): 46 hours at 12.00, 6 of them overtime, 588.00.
    check(&LaborEntry { overtime_hours: hours("6"), ..day.clone() }, 58_800);
    check(&LaborEntry { overtime_hours: hours("6"), overtime_multiplier: Some(percent("200")), ..day.clone() }, 62_400);
    // Plum study 2016: 12.00 and 41 % payroll is 16.92 an hour.
    check(&LaborEntry { loading: Loading::Payroll(percent("41")), ..labor_entry(Task::Thin, "30", "12") }, 50_760);
    check(&LaborEntry { loading: Loading::Commission(percent("38.5")), ..labor_entry(Task::Thin, "1", "10") }, 1_385);
}

#[test]
fn one_rounding_half_away_from_zero() {
    check(&labor_entry(Task::Thin, "0.5", "0.05"), 3);
    // 1.5 h x 16.67 = 25.005, x 1.1 = 27.5055; rounding the pay first would give 27.51 as well, the wage no.
    check(&LaborEntry { loading: Loading::Payroll(percent("10")), ..labor_entry(Task::Thin, "1.5", "16.67") }, 2_751);
}

/// 29 CFR 778.111: half of the regular rate for each overtime hour, neither rate rounded. Here the
/// piece earnings are for all hours: 523.00 / 50 h = 10.46, half of it 5.23, 10 h make 52.30.
#[test]
fn piece_work_overtime_is_half_of_the_regular_rate() {
    let week = LaborEntry {
        hours: Some(hours("50")),
        overtime_hours: hours("10"),
        pay: pieces(523, "1"),
        ..entry(Task::Pick)
    };
    check(&week, 57_530);
    check(&LaborEntry { overtime_hours: Hours::ZERO, ..week.clone() }, 52_300);
    check(&LaborEntry { hours: None, overtime_hours: Hours::ZERO, ..week.clone() }, 52_300);
    assert_eq!(cents(&LaborEntry { hours: None, ..week }, &[]), Err(NoCost::NoHours));
}

/// 352.70 + 6 x 0.5 x 352.70/46 = 375.70; with a rate rounded to 7.67 it would be 375.86.
#[test]
fn the_regular_rate_is_not_rounded() {
    let week = LaborEntry {
        hours: Some(hours("46")),
        overtime_hours: hours("6"),
        pay: pieces(1, "352.70"),
        ..entry(Task::Pick)
    };
    check(&week, 37_570);
}

#[test]
fn rates_that_hold_fill_what_the_entry_leaves_out() {
    let rate = |from, kind, micros| Rate { from, kind, micros, note: String::new() };
    let rates = kept([
        rate(date(1, 1), RateKind::Wage(None), 16_000_000),
        rate(date(1, 1), RateKind::Payroll, 41_000_000),
        rate(date(5, 14), RateKind::Commission, 30_000_000),
    ]);
    let day = LaborEntry { hours: Some(hours("10")), ..entry(Task::Thin) };
    assert_eq!(cents(&day, &rates), Ok(22_560));
    let contract = LaborEntry { pay: Pay::Contract(Money::from_cents(100_000)), ..entry(Task::Prune) };
    assert_eq!(cents(&contract, &rates), Ok(130_000), "a contract sum takes a commission and no payroll");
    assert_eq!(cents(&LaborEntry { date: date(5, 13), ..contract }, &rates), Ok(100_000));
    assert_eq!(cents(&day, &[]), Err(NoCost::NoWage));
    assert_eq!(cents(&LaborEntry { hours: None, ..day }, &rates), Err(NoCost::NoHours));
}

#[test]
fn a_product_beyond_all_money_is_said_and_not_wrapped() {
    let day = LaborEntry {
        hours: Some(Hours::from_micros(i64::MAX)),
        pay: Pay::Hourly(Some(UnitPrice::from_micros(i64::MAX))),
        ..entry(Task::Thin)
    };
    assert_eq!(cents(&day, &[]), Err(NoCost::TooLarge));
}

fn thin(pass: u8, method: ThinningMethod, trees_done: Option<u32>, worked: Option<&str>) -> LaborEntry {
    let pay = worked
        .map_or(Pay::Contract(Money::from_cents(50_000)), |_| Pay::Hourly(Some(UnitPrice::from_micros(10_000_000))));
    LaborEntry {
        pass: Some(pass),
        method: Some(method),
        trees_done,
        hours: worked.map(hours),
        pay,
        ..entry(Task::Thin)
    }
}

fn labor_of(entries: Vec<LaborEntry>) -> (LaborSeason, Vec<Gap>) {
    let mut season = records();
    season.labor = kept(entries);
    super::season(&season, &ThinningSeason::default(), &PackoutSeason::default())
}

fn trees(measure: &LaborMeasure) -> (f64, Evidence) {
    measure.trees.as_ref().map(|trees| (trees.value.get(), trees.evidence)).unwrap()
}

#[test]
fn a_tree_counts_once_over_several_passes() {
    let (labor, gaps) = labor_of(vec![
        thin(1, ThinningMethod::ByHand, Some(400), Some("100")),
        thin(1, ThinningMethod::ByHand, Some(300), Some("80")),
        thin(1, ThinningMethod::Cuts, Some(200), None),
        thin(2, ThinningMethod::ByHand, Some(600), Some("60")),
    ]);
    let all = labor.thinning.unwrap();
    assert_eq!(trees(&all), (900.0, Evidence::Counted), "700 by hand and 200 by cuts, the second look again");
    assert_eq!(all.cost.value, Money::from_cents(290_000));
    assert_eq!(all.cost.evidence, Evidence::Invoiced, "one part is a contract sum");
    assert_eq!(all.cost_per_tree.unwrap().value, UnitPrice::spread(dec("2900"), dec("900")).unwrap());
    // 240 hours on the 700 trees done by the hour; the contract's trees carry none, and the second look met them.
    let each = all.hours_per_tree.unwrap();
    assert!((each.value.get() - 240.0 / 700.0).abs() < 1e-12);
    assert_eq!(crate::figure::lacking(&each.lacks).as_deref(), Some("1 entry lacks hours"));
    let names: Vec<_> = labor.passes.iter().map(|pass| (pass.pass, pass.method)).collect();
    let (hand, cuts) = (Some(ThinningMethod::ByHand), Some(ThinningMethod::Cuts));
    assert_eq!(names, [(Some(1), hand), (Some(1), cuts), (Some(2), hand)]);
    assert_eq!(labor.passes[1].measure.hours, None);
    assert!(gaps.is_empty());
}

#[test]
fn trees_left_out_are_the_blocks_and_assumed() {
    let (labor, _) = labor_of(vec![
        thin(1, ThinningMethod::ByHand, Some(400), Some("100")),
        thin(1, ThinningMethod::ByHand, None, Some("80")),
    ]);
    let all = labor.thinning.unwrap();
    assert_eq!(trees(&all), (1_000.0, Evidence::Assumed));
    assert_eq!(all.cost_per_tree.unwrap().evidence, Evidence::Assumed);
    assert_eq!(all.cost.evidence, Evidence::Metered);
    assert_eq!(trees(&labor.all), (1_000.0, Evidence::Counted));
}

#[test]
fn more_trees_than_the_block_has_are_asked_about() {
    let mut season = records();
    season.block.code = "RB-1".into();
    season.block.trees = Some(2_387);
    season.labor = kept([thin(1, ThinningMethod::ByHand, Some(2_860), Some("9"))]);
    let (labor, gaps) = super::season(&season, &ThinningSeason::default(), &PackoutSeason::default());
    assert_eq!(
        gaps[0].what,
        "RB-1 has 2,387 trees, but the entries of its first pass, by hand, count 2,860. Do some of these trees belong to \
         another block, or to another pass?"
    );
    assert_eq!(trees(&labor.passes[0].measure), (2_387.0, Evidence::Assumed), "the row says what the note says");
    let all = labor.thinning.unwrap();
    assert_eq!(trees(&all), (2_387.0, Evidence::Assumed), "no more than the block has");
    assert_eq!(all.trees_from, Some(TreesFrom::Doubtful(2_860)));
}

/// Methods of one pass stand on different trees; a second method on the same trees is another pass.
#[test]
fn methods_of_one_pass_are_asked_about_together() {
    let of = |pass| {
        labor_of(vec![
            thin(1, ThinningMethod::ByHand, Some(600), Some("9")),
            thin(pass, ThinningMethod::Cuts, Some(600), Some("9")),
        ])
    };
    let (labor, gaps) = of(1);
    assert!(gaps[0].what.contains("the entries of its first pass, by hand and cuts, count 1,200."), "{}", gaps[0].what);
    let all = labor.thinning.unwrap();
    assert_eq!((trees(&all), all.trees_from), ((1_000.0, Evidence::Assumed), Some(TreesFrom::Doubtful(1_200))));
    let (labor, gaps) = of(2);
    assert!(gaps.is_empty());
    assert_eq!(trees(&labor.thinning.unwrap()), (600.0, Evidence::Counted));
}

#[test]
fn trees_and_rows_of_an_entry_that_disagree_are_asked_about() {
    let asked = |rows| {
        let mut season = records();
        season.block.rows = Some(40);
        let entry = thin(1, ThinningMethod::ByHand, Some(500), Some("9"));
        season.labor = kept([LaborEntry { rows_done: Some(rows), ..entry }]);
        super::season(&season, &ThinningSeason::default(), &PackoutSeason::default()).1
    };
    let said = &asked(30)[0].what;
    assert_eq!(said, "The thinning entry of 14 May has 500 trees done and 30 rows, which are 750 trees of T-1.");
    assert!(asked(25).is_empty(), "600 by the rows are a sixth more");
}

/// Winter and summer pruning of every tree: the block's trees, counted, and each once.
#[test]
fn two_rounds_of_any_task_count_a_tree_once() {
    let round = |trees| LaborEntry { trees_done: trees, ..labor_entry(Task::Prune, "50", "20") };
    let (labor, gaps) = labor_of(vec![round(Some(600)), round(Some(400)), round(Some(1_000))]);
    let pruning = &labor.tasks[0].measure;
    assert_eq!((trees(pruning), pruning.trees_from), ((1_000.0, Evidence::Counted), Some(TreesFrom::OnceEach(2_000))));
    let each = pruning.cost_per_tree.as_ref().unwrap();
    assert_eq!((each.value, each.evidence), (UnitPrice::from_micros(3_000_000), Evidence::Metered));
    assert!(gaps.is_empty(), "{gaps:?}");

    let (part, _) = labor_of(vec![round(Some(300)), round(Some(200))]);
    let pruning = &part.tasks[0].measure;
    assert_eq!((trees(pruning), pruning.trees_from), ((500.0, Evidence::Counted), Some(TreesFrom::Entries)));
    let (silent, _) = labor_of(vec![round(Some(300)), round(None)]);
    assert_eq!(trees(&silent.tasks[0].measure), (1_000.0, Evidence::Assumed));
    assert_eq!(silent.tasks[0].measure.trees_from, Some(TreesFrom::LeftOut(1)));
    let (reached, _) = labor_of(vec![round(Some(1_000)), round(None)]);
    assert_eq!(trees(&reached.tasks[0].measure), (1_000.0, Evidence::Counted), "the block's, whatever the other did");
}

#[test]
fn one_entry_for_more_trees_than_the_block_has_is_asked_about() {
    let (labor, gaps) = labor_of(vec![LaborEntry { trees_done: Some(1_200), ..labor_entry(Task::Prune, "50", "20") }]);
    assert_eq!(
        gaps[0].what,
        "T-1 has 1,000 trees, but the pruning entry of 14 May counts 1,200. Is the number wrong, or do some of these trees \
         belong to another block?"
    );
    assert_eq!(trees(&labor.tasks[0].measure), (1_000.0, Evidence::Assumed));
}

/// A second look that is too large is not asked to be a second look.
#[test]
fn a_question_about_a_later_pass_offers_another_pass() {
    let (_, gaps) = labor_of(vec![thin(2, ThinningMethod::ByHand, Some(1_700), Some("9"))]);
    assert!(gaps[0].what.contains("its second look, by hand, count 1,700"), "{}", gaps[0].what);
    assert!(gaps[0].what.ends_with("belong to another block, or to another pass?"), "{}", gaps[0].what);
    let (_, gaps) = labor_of(vec![LaborEntry {
        pass: None,
        method: None,
        ..thin(1, ThinningMethod::ByHand, Some(1_700), Some("9"))
    }]);
    assert!(
        gaps[0].what.contains("its thinning entries without a pass count 1,700. Was there more"),
        "{}",
        gaps[0].what
    );
}

#[test]
fn an_entry_without_a_wage_keeps_its_hours() {
    let (labor, gaps) = labor_of(vec![
        LaborEntry { hours: Some(hours("10")), ..entry(Task::Thin) },
        labor_entry(Task::Thin, "5", "20"),
    ]);
    assert_eq!(labor.all.cost.value, Money::from_cents(10_000));
    assert_eq!(labor.all.cost.n(), 1);
    assert_eq!(labor.all.hours.as_ref().unwrap().value, hours("15"));
    assert_eq!((labor.all.entries, labor.all.cost.lacks.len()), (2, 1), "the cost says that an entry is left out");
    assert_eq!(labor.all.cost.lacks[0].what, Lacks::Wage);
    assert_eq!(labor.all.cost_per_tree.unwrap().lacks, labor.all.cost.lacks, "and so does what is made of it");
    assert_eq!(gaps[0].what, "A crew day of 14 May has no wage.");
    assert_eq!(gaps[0].records.len(), 1);
}

#[test]
fn without_a_count_of_trees_nothing_is_made_for_each_tree() {
    let mut season = records();
    season.block.trees = None;
    season.labor = kept([labor_entry(Task::Prune, "10", "20")]);
    let (labor, _) = super::season(&season, &ThinningSeason::default(), &PackoutSeason::default());
    assert_eq!(labor.all.trees, None);
    assert_eq!(labor.tasks[0].measure.cost_per_tree, None);
    assert_eq!(labor.tasks[0].measure.cost_per_acre.as_ref().unwrap().value, UnitPrice::from_micros(20_000_000));
    assert_eq!(labor.thinning, None);
}

#[test]
fn cost_of_a_thousand_fruit_and_of_a_box() {
    let mut season = records();
    season.labor = kept([labor_entry(Task::Thin, "100", "20")]);
    let fruit = ThinningSeason {
        removed_in_block: Some(Figure::new(Count::of(800_000.0), Evidence::Modelled, [])),
        ..ThinningSeason::default()
    };
    let boxes = PackoutSeason {
        boxes: Some(Figure::new(crate::exact::Boxes::whole(5_000).unwrap(), Evidence::Counted, [])),
        ..PackoutSeason::default()
    };
    let (labor, _) = super::season(&season, &fruit, &boxes);
    let thousand = labor.cost_per_thousand_removed.unwrap();
    assert_eq!((thousand.value, thousand.evidence), (UnitPrice::from_micros(2_500_000), Evidence::Assumed));
    let each_box = labor.thinning_cost_per_box.unwrap();
    assert_eq!((each_box.value, each_box.evidence), (UnitPrice::from_micros(400_000), Evidence::Counted));
}

#[test]
fn overtime_is_shown_where_there_is_some() {
    let (labor, _) = labor_of(vec![
        LaborEntry { overtime_hours: hours("1.5"), ..labor_entry(Task::Pick, "9.5", "20") },
        labor_entry(Task::Haul, "8", "20"),
    ]);
    assert_eq!(labor.all.overtime.as_ref().unwrap().value, hours("1.5"));
    assert_eq!(labor.all.overtime.unwrap().n(), 1);
    assert_eq!(labor.tasks[1].measure.overtime, None);
}

#[test]
fn rows_done_tell_the_trees_where_the_blocks_rows_are_known() {
    let mut season = records();
    let rows = |done| LaborEntry { rows_done: Some(done), ..thin(1, ThinningMethod::ByHand, None, Some("80")) };
    season.block.rows = Some(48);
    season.labor = kept([rows(12), LaborEntry { date: date(5, 15), ..rows(7) }]);
    let of = |season: &crate::season::SeasonRecords| {
        super::season(season, &ThinningSeason::default(), &PackoutSeason::default())
    };
    // 1,000 trees in 48 rows: 250 and 145.8.
    let (labor, gaps) = of(&season);
    assert_eq!(trees(&labor.thinning.unwrap()), (396.0, Evidence::Assumed));
    assert!(gaps.is_empty(), "{gaps:?}");
    // 312.5 and 312.5 and 375: all rows are all trees, however they were split.
    season.labor =
        kept([rows(15), LaborEntry { date: date(5, 15), ..rows(15) }, LaborEntry { date: date(5, 16), ..rows(18) }]);
    let (labor, gaps) = of(&season);
    assert_eq!((trees(&labor.thinning.unwrap()), gaps.len()), ((1_000.0, Evidence::Assumed), 0));
    season.labor = kept([LaborEntry { trees_done: Some(240), ..rows(12) }]);
    assert_eq!(trees(&of(&season).0.thinning.unwrap()), (240.0, Evidence::Counted), "trees go before rows");
    season.labor = kept([rows(60)]);
    let capped = of(&season).0.thinning.unwrap();
    assert_eq!(trees(&capped), (1_000.0, Evidence::Assumed));
    assert_eq!(capped.trees_from, Some(TreesFrom::Doubtful(1_250)), "as for trees that are typed");
    season.labor = kept([rows(30), rows(30)].map(|entry| LaborEntry { task: Task::Prune, pass: None, ..entry }));
    let twice = of(&season).0.tasks[0].measure.clone();
    assert_eq!((trees(&twice), twice.trees_from), ((1_000.0, Evidence::Assumed), Some(TreesFrom::OnceEach(1_250))));
    season.labor = kept([rows(60)]);
    assert!(of(&season).1[0].what.contains("has 1,000 trees, but the entries of its first pass, by hand, count 1,250"));
    season.block.rows = None;
    let (labor, gaps) = of(&season);
    assert_eq!(trees(&labor.thinning.unwrap()), (1_000.0, Evidence::Assumed));
    assert_eq!(
        gaps[0].what,
        "A crew day of 14 May has rows done and no trees, and the block does not say how many rows it has."
    );
}

#[test]
fn a_job_rate_has_its_overtime_on_what_it_averages() {
    let job = |overtime: &str| LaborEntry {
        hours: Some(hours("50")),
        overtime_hours: hours(overtime),
        pay: Pay::Contract(Money::from_cents(50_000)),
        ..entry(Task::Thin)
    };
    check(&job("0"), 50_000);
    // 29 CFR 778.112: 500.00 for 50 hours is 10.00 an hour; half of it for each of ten hours.
    check(&job("10"), 55_000);
    let unknown = LaborEntry { hours: None, ..job("10") };
    assert_eq!(cents(&unknown, &[]), Err(NoCost::NoHours));
}
