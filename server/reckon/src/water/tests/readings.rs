//! Several sets through one meter on one day, whatever the order of their rows.

use super::*;

fn rolls_at(full: f64, mut set: IrrigationSet) -> IrrigationSet {
    if let Applied::Meter { rolls_at, .. } = &mut set.applied {
        *rolls_at = Some(full);
    }
    set
}

/// What is said of the meter, of the sets in this order of rows and turned round.
fn said(mut sets: Vec<IrrigationSet>) -> [Vec<String>; 2] {
    [(); 2].map(|()| {
        sets.reverse();
        let mut records = dry(60);
        records.irrigation = kept(sets.clone());
        season(&records).1.into_iter().map(|gap| gap.what).filter(|what| what.contains("The meter of")).collect()
    })
}

#[test]
fn two_sets_of_a_day_chain_by_their_readings() {
    let day = date(5, 10);
    let chained = vec![meter(day, 0.0, 2_333.0), meter(day, 2_333.0, 5_000.0), meter(date(5, 11), 5_000.0, 6_000.0)];
    assert_eq!(said(chained), [[""; 0]; 2]);
    let apart = vec![meter(day, 0.0, 2_333.0), meter(day, 4_000.0, 5_000.0)];
    let jump = "The meter of T-1 ended the set of 10 May at 2,333 and began that of 10 May at 4,000 (in gal).";
    assert_eq!(said(apart), [[jump]; 2]);
}

#[test]
fn a_meter_that_rolls_over_within_a_day_goes_on() {
    let day = date(5, 10);
    let sets = [meter(day, 90_000.0, 99_000.0), meter(day, 99_000.0, 1_500.0), meter(day, 1_500.0, 9_000.0)];
    let sets: Vec<IrrigationSet> = sets.map(|set| rolls_at(100_000.0, set)).to_vec();
    assert_eq!(said(sets.clone()), [[""; 0]; 2]);
    let before = rolls_at(100_000.0, meter(date(5, 3), 80_000.0, 90_000.0));
    assert_eq!(said([vec![before], sets].concat()), [[""; 0]; 2]);
}

#[test]
fn a_meter_replaced_within_a_day_is_the_one_jump() {
    let day = date(5, 10);
    let sets = vec![meter(date(5, 3), 80.0, 9_000.0), meter(day, 9_000.0, 9_900.0), meter(day, 5.0, 1_500.0)];
    let jump = "The meter of T-1 ended the set of 10 May at 9,900 and began that of 10 May at 5 (in gal).";
    assert_eq!(said(sets), [[jump]; 2]);
}
