use super::*;
use crate::exact::{Acres, Years};
use crate::units::Feet;
use rust_decimal::Decimal;

fn mulch(shape: MulchShape) -> MulchApplication {
    MulchApplication {
        date: day(2026, 3, 20),
        material: "wood chips".into(),
        kind: MulchKind::Organic,
        depth: Inches::of(4.0),
        shape,
        clear_radius: Inches::of(12.0),
        life: Years::whole(2).unwrap(),
        material_cost: Some(Money::from_cents(100_001)),
        delivery_cost: Some(Money::from_cents(20_000)),
        spreading_cost: Some(Money::from_cents(30_000)),
        note: String::new(),
    }
}

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

fn block() -> Block {
    Block {
        acres: Acres::whole(10).unwrap(),
        trees: Some(1_500),
        row_spacing: Feet::new(18.0),
        tree_spacing: Feet::new(16.0),
        ..Block::default()
    }
}

#[test]
fn a_strip_less_its_clear_rings() {
    let cover = cover(&mulch(MulchShape::Strip(Feet::of(6.0))), &block()).unwrap();
    let expected = 435_600.0 * 6.0 / 18.0 - 1_500.0 * core::f64::consts::PI;
    assert!((cover.area.get() - expected).abs() < 1e-6);
    assert!((cover.share - expected / 435_600.0).abs() < 1e-12);
}

#[test]
fn a_clear_ring_wider_than_the_strip_takes_only_what_lies_in_it() {
    // Radius 1.25 ft in a strip 2 ft wide: 2 x (1 x 0.75 + 1.5625 x asin 0.8).
    assert!((disc_in_strip(1.25, 1.0) - 4.397_797_443).abs() < 1e-6);
    let just_inside = disc_in_strip(1.0, 1.0);
    assert!((disc_in_strip(1.0 + 1e-9, 1.0) - just_inside).abs() < 1e-6);
}

#[test]
fn a_ring_less_its_clear_middle() {
    let cover = cover(&mulch(MulchShape::Ring(Feet::of(4.0))), &block()).unwrap();
    assert!((cover.area.get() - 1_500.0 * core::f64::consts::PI * 15.0).abs() < 1e-6);
}

#[test]
fn a_given_share_is_taken_as_given() {
    let cover = cover(&mulch(MulchShape::SharePct(40.0)), &Block { trees: None, ..block() }).unwrap();
    assert!((cover.share - 0.4).abs() < 1e-12);
}

#[test]
fn what_the_block_does_not_say_is_named() {
    let strip = mulch(MulchShape::Strip(Feet::of(6.0)));
    assert_eq!(cover(&strip, &Block { row_spacing: None, ..block() }), Err(Unsaid::RowSpacing));
    assert_eq!(cover(&strip, &Block { trees: None, ..block() }), Err(Unsaid::Trees));
    assert_eq!(cover(&strip, &Block::default()), Err(Unsaid::Acres));
}

#[test]
fn cost_is_borne_by_the_seasons_of_its_life_and_no_more() {
    let mut laid = mulch(MulchShape::SharePct(40.0));
    let cost = Money::from_cents(150_001);
    let in_year = |laid: &MulchApplication, year| {
        season_cost(laid, cost, &Season::calendar_year(year).unwrap(), Percent::ZERO).cents()
    };
    assert_eq!([2026, 2027, 2028].map(|year| in_year(&laid, year)), [75_001, 75_001, 0]);
    laid.life = Years::new(Decimal::new(25, 1)).unwrap();
    assert_eq!([2026, 2027, 2028, 2029].map(|year| in_year(&laid, year)), [60_000, 60_000, 30_000, 0]);
    laid.life = Years::new(Decimal::new(5, 1)).unwrap();
    assert_eq!([2026, 2027].map(|year| in_year(&laid, year)), [150_001, 0]);
}

#[test]
fn life_ends_the_day_before_its_anniversary() {
    assert_eq!(last_day(&mulch(MulchShape::SharePct(40.0))), day(2028, 3, 18));
}

/// A = P i (1+i)^n / ((1+i)^n - 1): 1,500.01 at 5 % over 3 seasons is 550.8164 a season.
#[test]
fn interest_makes_every_season_bear_the_same() {
    let mut laid = mulch(MulchShape::SharePct(40.0));
    laid.life = Years::new(Decimal::new(25, 1)).unwrap();
    let five = Percent::whole(5).unwrap();
    let in_year =
        |year| season_cost(&laid, Money::from_cents(150_001), &Season::calendar_year(year).unwrap(), five).cents();
    assert_eq!([2026, 2027, 2028, 2029].map(in_year), [55_082, 55_082, 55_082, 0]);
}

/// 1,500 of cost over two layers of 6,000 and 2,000 ft2, and water worth 200 a season: 7.5 seasons in
/// all; of the layers 900 over 150 of the worth, and 600 over 50.
#[test]
fn a_mulch_pays_back_over_the_floor_it_covers() {
    let mut records = crate::testing::records();
    let laid = |share, cents| MulchApplication {
        material_cost: Some(Money::from_cents(cents)),
        delivery_cost: None,
        spreading_cost: None,
        ..mulch(MulchShape::SharePct(share))
    };
    records.mulch = crate::testing::kept([laid(30.0, 90_000), laid(10.0, 60_000)]);
    let worth = Figure::new(Money::from_cents(20_000), Evidence::Modelled, []);
    let paid = |figure: Option<&Figure<Count>>| figure.map(|seasons| (seasons.value.get() * 1e6).round() / 1e6);
    let (season, _) = super::season(&records, Some(&worth));
    assert_eq!(paid(season.payback.as_ref()), Some(7.5));
    let each: Vec<_> = season.laid.iter().map(|one| paid(one.payback.as_ref())).collect();
    assert_eq!(each, [Some(6.0), Some(12.0)]);
    assert_eq!(season.payback.unwrap().evidence, Evidence::Modelled);
    let lost = Figure::new(Money::from_cents(-5), Evidence::Modelled, []);
    for worth in [None, Some(&lost)] {
        let (season, _) = super::season(&records, worth);
        assert!(season.payback.is_none() && season.laid.iter().all(|one| one.payback.is_none()));
    }
}

fn without_a_cost() -> MulchApplication {
    let blank = mulch(MulchShape::SharePct(30.0));
    MulchApplication { material_cost: None, delivery_cost: None, spreading_cost: None, ..blank }
}

/// Straw off the own field: the cost is known, and it is nothing.
#[test]
fn mulch_that_was_free_is_no_gap() {
    let mut records = crate::testing::records();
    let free = MulchApplication { material_cost: Some(Money::ZERO), ..without_a_cost() };
    records.mulch = crate::testing::kept([free.clone()]);
    let worth = Figure::new(Money::from_cents(20_000), Evidence::Modelled, []);
    let (season, gaps) = super::season(&records, Some(&worth));
    assert_eq!(gaps, []);
    assert_eq!(season.laid[0].cost.as_ref().map(|cost| cost.value), Some(Money::ZERO));
    assert_eq!(season.season_cost.as_ref().map(|cost| cost.value), Some(Money::ZERO));
    assert_eq!(season.payback.as_ref().map(|seasons| seasons.value), Some(Count::of(0.0)));
    // Beside a layer that was paid for, the whole is known.
    records.mulch = crate::testing::kept([free, mulch(MulchShape::SharePct(10.0))]);
    let (both, _) = super::season(&records, Some(&worth));
    assert_eq!(both.whole_cost(), Some(Money::from_cents(150_001)));
}

#[test]
fn mulch_without_a_cost_is_a_gap_and_repays_nothing() {
    let mut records = crate::testing::records();
    let unsaid = without_a_cost();
    records.mulch = crate::testing::kept([unsaid.clone()]);
    let worth = Figure::new(Money::from_cents(20_000), Evidence::Modelled, []);
    let (alone, gaps) = super::season(&records, Some(&worth));
    assert!(gaps[0].what.starts_with("No cost is given for the mulch of 20 March in T-1"), "{}", gaps[0].what);
    assert_eq!((&alone.laid[0].cost, &alone.laid[0].season_cost, &alone.laid[0].payback), (&None, &None, &None));
    assert_eq!((alone.season_cost, alone.cost_over_value, alone.payback), (None, None, None));
    // Beside a layer that was paid for, the whole is not known; the season bears what is.
    records.mulch = crate::testing::kept([unsaid, mulch(MulchShape::SharePct(10.0))]);
    let (both, _) = super::season(&records, Some(&worth));
    assert!(both.payback.is_none() && both.cost_over_value.is_none() && both.laid[1].payback.is_some());
    assert_eq!(both.season_cost.unwrap().value, Money::from_cents(75_001));
}

#[test]
fn settling_never_goes_below_the_floor() {
    let laid = day(2026, 1, 1);
    assert!((settled(4.0, laid, day(2027, 1, 1), 1.0) - (4.0 - 365.0 / 365.25)).abs() < 1e-12);
    assert!(settled(4.0, laid, day(2035, 1, 1), 1.0).abs() < 1e-12);
    assert!((settled(4.0, laid, day(2025, 1, 1), 1.0) - 4.0).abs() < 1e-12);
}
