use super::*;
use crate::records::{FruitCount, LaborEntry};
use crate::testing::{date, kept, labor_entry, numbered, records};

fn span(from: (u32, u32), to: (u32, u32)) -> Option<(MonthDay, MonthDay)> {
    MonthDay::new(from.0, from.1).zip(MonthDay::new(to.0, to.1))
}

fn target(crop: Option<&str>, ripening: Option<(MonthDay, MonthDay)>, fruit: f64) -> ThinningTarget {
    ThinningTarget {
        from: date(1, 1),
        crop: crop.map(Into::into),
        ripening,
        fruit: Some(FruitWanted::Tree(FruitPerTree::of(fruit))),
        spacing: None,
        note: String::new(),
    }
}

/// A peach that ripens from 5 June; one tree of it counted on 14 May keeps 500 fruit.
fn june() -> SeasonRecords {
    let mut season = records();
    season.block.ripening = span((6, 5), (6, 18));
    season.fruit_counts = kept([FruitCount {
        date: date(5, 14),
        sample: "1".into(),
        branch: false,
        before: Some(2_000),
        after: Some(500),
        shoot: Some(Inches::of(2_000.0)),
        fruit_diameter: None,
        method: None,
        note: String::new(),
    }]);
    season
}

fn reckoned(targets: Vec<ThinningTarget>) -> (ThinningSeason, Vec<Gap>) {
    super::super::season(&SeasonRecords { targets: kept(targets), ..june() })
}

fn fruit(season: &ThinningSeason) -> Option<f64> {
    season.target.as_ref().map(|wanted| wanted.figure.value.get())
}

fn holds(targets: Vec<ThinningTarget>) -> Option<f64> {
    fruit(&reckoned(targets).0)
}

#[test]
fn what_is_meant_more_closely_holds() {
    let early = span((6, 1), (6, 20));
    let all = [
        target(None, None, 1.0),
        target(None, early, 2.0),
        target(Some("Peach "), None, 3.0),
        target(Some("peach"), early, 4.0),
        target(Some("peach"), span((6, 6), (6, 20)), 5.0),
        target(Some("plum"), early, 6.0),
    ];
    for n in 1..=4 {
        let mut some = all[..n].to_vec();
        some.extend_from_slice(&all[4..]);
        let expected = f64::from(u8::try_from(n).unwrap());
        assert_eq!(holds(some.clone()), Some(expected));
        some.reverse();
        assert_eq!(holds(some), Some(expected), "the order of the list does not matter");
    }
    assert_eq!(holds(all[4..].to_vec()), None, "another window, another crop");
}

#[test]
fn the_ends_of_a_span_are_in_it_and_it_may_run_over_the_new_year() {
    let within = |from, to| holds(vec![target(None, span(from, to), 9.0)]).is_some();
    assert!(within((6, 5), (6, 5)) && within((6, 1), (6, 5)) && within((6, 5), (7, 1)));
    assert!(!within((6, 6), (7, 1)) && !within((5, 1), (6, 4)));
    assert!(within((11, 1), (6, 5)) && within((6, 5), (2, 1)) && !within((11, 1), (6, 4)) && !within((6, 6), (2, 1)));
}

#[test]
fn the_latest_by_the_last_day_of_the_work_holds() {
    let from = |month, day, fruit| ThinningTarget { from: date(month, day), ..target(None, None, fruit) };
    let list = || vec![from(1, 1, 1.0), from(5, 14, 2.0), from(5, 20, 3.0), from(7, 1, 4.0)];
    assert_eq!(holds(list()), Some(2.0), "the day of the count is in it");
    let mut season = SeasonRecords { targets: kept(list()), ..june() };
    season.labor = kept([LaborEntry { date: date(5, 21), ..labor_entry(Task::Thin, "8", "15") }]);
    assert_eq!(fruit(&super::super::season(&season).0), Some(3.0));
    season.labor = kept([LaborEntry { date: date(8, 1), ..labor_entry(Task::Pick, "8", "15") }]);
    assert_eq!(fruit(&super::super::season(&season).0), Some(2.0), "picking is no thinning");
    season.fruit_counts.clear();
    assert_eq!(fruit(&super::super::season(&season).0), Some(4.0), "nothing done yet: the season's last day");
}

#[test]
fn the_blocks_own_number_goes_before_the_list() {
    let mut season = SeasonRecords { targets: kept([target(Some("peach"), None, 400.0)]), ..june() };
    let (listed, gaps) = super::super::season(&season);
    let wanted = listed.target.unwrap();
    assert_eq!(wanted.figure.records, [RecordRef { kind: RecordKind::ThinningTarget, id: season.targets[0].id }]);
    assert_eq!(wanted.from.source(), "the list, from 1 January 2026, of peaches");
    let share = listed.left_of_target.unwrap();
    assert!((share.value.get() - 125.0).abs() < 1e-9);
    assert_eq!(share.n(), 2, "the count and the target");
    assert_eq!(share.evidence, Evidence::Assumed, "as the target is");
    assert_eq!(gaps[0].what, "A tree keeps 500 fruit, 25% more than the 400 wanted of peaches.");
    season.block.target_fruit = Some(FruitPerTree::of(480.0));
    let (own, gaps) = super::super::season(&season);
    assert_eq!((fruit(&own), own.target.unwrap().from), (Some(480.0), WantedFrom::Block));
    assert!(gaps.is_empty(), "{gaps:?}");
}

#[test]
fn fruit_of_an_acre_is_spread_over_the_blocks_trees() {
    let acre = ThinningTarget {
        fruit: Some(FruitWanted::Acre(FruitPerAcre::of(40_000.0))),
        ..target(Some("peach"), span((6, 1), (6, 20)), 0.0)
    };
    // Ten acres, a thousand trees.
    let (season, gaps) = reckoned(vec![acre.clone()]);
    assert_eq!(fruit(&season), Some(400.0));
    assert_eq!(
        gaps[0].what,
        "A tree keeps 500 fruit, 25% more than the 400 wanted of peaches that ripen from 1 to 20 June."
    );
    let says = season.wanted_says();
    let source = season.target.unwrap().from.source();
    assert_eq!(says, [format!("Fruit wanted: {source}.")]);
    assert_eq!(source, "the list, from 1 January 2026, of peaches that ripen from 1 to 20 June, 40,000 fruit an acre");
    let mut uncounted = SeasonRecords { targets: kept([acre]), ..june() };
    uncounted.block.trees = None;
    assert_eq!(super::super::season(&uncounted).0.target, None, "nobody counted the trees");
}

#[test]
fn spacing_has_its_own_row_and_drives_out_the_guides() {
    let (season, gaps) = reckoned(vec![target(None, None, 500.0)]);
    assert_eq!(season.guides.len(), 7);
    assert_eq!((season.target_spacing, season.spacing_of_target), (None, None));
    assert!(gaps.is_empty(), "{gaps:?}");
    let spaced = ThinningTarget { fruit: None, spacing: Some(Inches::of(5.5)), ..target(None, None, 0.0) };
    let (season, gaps) = reckoned(vec![target(Some("peach"), None, 500.0), spaced]);
    assert!(season.guides.is_empty());
    assert_eq!((fruit(&season), season.target_spacing.unwrap().figure.value), (Some(500.0), Inches::of(5.5)));
    // 2,000 in of shoot for 500 fruit: 4 in each.
    assert!((season.spacing_of_target.unwrap().value.get() - 100.0 * 4.0 / 5.5).abs() < 1e-9);
    assert_eq!(
        gaps[0].what,
        "One fruit was left every 4.0 in of shoot, 27% closer than the 5.5 wanted of every block."
    );
}

#[test]
fn two_that_fit_equally_well_are_named() {
    let early = span((6, 1), (6, 20));
    let other = || target(Some("peach"), span((5, 20), (6, 10)), 450.0);
    let (season, gaps) = reckoned(vec![target(Some("peach"), early, 520.0), other()]);
    assert_eq!(fruit(&season), Some(450.0), "the fewer");
    let (turned, turned_gaps) = reckoned(vec![other(), target(Some("peach"), early, 520.0)]);
    assert_eq!((fruit(&turned), &turned_gaps[0].what), (Some(450.0), &gaps[0].what), "whichever was kept last");
    assert_eq!(
        gaps[0].what,
        "Two thinning targets fit T-1 equally well from 1 January 2026: 520 fruit a tree of peaches that ripen from 1 to 20 \
         June, and 450 fruit a tree of peaches that ripen from 20 May to 10 June. The smaller number is used."
    );
    assert_eq!((gaps.len(), gaps[0].records.len()), (1, 2));
    assert!(reckoned(vec![other(), other()]).1.is_empty(), "they say the same");
    let later = ThinningTarget { from: date(2, 1), ..other() };
    assert!(reckoned(vec![target(Some("peach"), early, 520.0), later]).1.is_empty(), "one is newer");
    let mut own = SeasonRecords { targets: kept([target(Some("peach"), early, 520.0), other()]), ..june() };
    own.block.target_fruit = Some(FruitPerTree::of(500.0));
    assert!(super::super::season(&own).1.is_empty(), "the block says it itself");
}

#[test]
fn a_block_without_days_of_ripening_is_told() {
    let early = span((6, 1), (6, 20));
    let mut season = june();
    season.block.ripening = None;
    season.targets = vec![numbered(2, target(Some("peach"), early, 520.0)), numbered(3, target(None, None, 480.0))];
    let (found, gaps) = super::super::season(&season);
    assert_eq!(fruit(&found), Some(480.0), "the one without days");
    assert_eq!(gaps[0].what, "T-1 has no days of ripening, and thinning targets of peaches go by them.");
    assert!(gaps[0].mend.contains("block's page"));
    season.targets = vec![numbered(2, target(Some("plum"), early, 520.0)), numbered(3, target(None, None, 480.0))];
    assert!(super::super::season(&season).1.is_empty(), "the days are of plums");
    season.targets = vec![numbered(2, target(None, early, 520.0))];
    season.block.target_fruit = Some(FruitPerTree::of(480.0));
    assert!(super::super::season(&season).1.is_empty(), "nothing is asked of the list");
}
