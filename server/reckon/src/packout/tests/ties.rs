//! Several records of one day: which holds, and which goes first, is not by their rows.

use super::*;

/// Two prices from one day: nobody may have meant both, and which holds is not which was kept last.
#[test]
fn of_two_prices_from_one_day_the_lower_holds_and_both_are_named() {
    let mut prices =
        vec![price(1, Some("AA"), Some("1"), "11"), price(1, Some("AA"), Some("1"), "10"), price(1, None, None, "4")];
    for _ in 0..2 {
        prices.swap(0, 1);
        let packed = || vec![line(2, "AA", "1", 50, Some(20)), line(3, "AA", "1", 50, Some(20))];
        let (packout, _, gaps) = season_of(packed(), vec![], prices.clone());
        assert_eq!(net(&packout.cells[0]), Some((100_000, Evidence::Assumed)));
        let twice = "Two prices from 1 July for peach, AA, 1 stand in the list, 10.00 and 11.00 dollars a box net; the lower is \
                     used.";
        let told: Vec<&Gap> = gaps.iter().filter(|gap| gap.what == twice).collect();
        assert_eq!((told.len(), told.first().map(|gap| gap.records.len())), (1, Some(2)), "{:?}", said(&gaps));
    }
    let later = vec![price(1, Some("AA"), None, "11"), price(2, Some("AA"), None, "10")];
    let (_, _, gaps) = season_of(vec![line(3, "AA", "1", 50, Some(20))], vec![], later);
    assert!(gaps.iter().all(|gap| !gap.what.contains("Two prices")), "one is newer");
}

/// Two lines of a day for the same fruit, packed in two weeks: which week brought what is not by rows.
#[test]
fn weeks_do_not_go_by_the_order_of_lines_of_one_day() {
    let mut paid = vec![
        settlement(Some("AA"), Some("1"), by_box("40", "20")),
        settlement(Some("AA"), Some("1"), by_box("60", "10")),
    ];
    for _ in 0..2 {
        paid.reverse();
        let packed = vec![line(1, "AA", "1", 50, Some(20)), line(20, "AA", "1", 50, Some(20))];
        let (packout, _, _) = season_of(packed, paid.clone(), vec![]);
        let weeks: Vec<i64> =
            packout.weeks.iter().map(|week| week.net.as_ref().map_or(0, |net| net.value.cents())).collect();
        // 60 at 10 dollars bring less than 40 at 20 and go first: 50 of them into the earlier week.
        assert_eq!(weeks, [50_000, 90_000]);
    }
}
