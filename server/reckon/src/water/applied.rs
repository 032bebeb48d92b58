//! How much water a set of irrigation brought, and how that is known.
//!
//! Money needs the volume exactly. Every unit of a register is a number of litres that ends (gallon
//! 3.785 411 784, acre-foot 1,233,481.837 547 52), while a gallon is no such number of acre-feet; so
//! volumes are kept and added in litres, and divided into acre-feet once, in [`in_dollars`].

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive, ToPrimitive};

use crate::block::Block;
use crate::exact::Acres;
use crate::figure::Evidence;
use crate::rates::Rates;
use crate::records::{Applied, IrrigationSet, MeterUnit};
use crate::units::{
    CUBIC_METRES_PER_ACRE_INCH, GALLONS_PER_ACRE_INCH, GallonsPerHour, GallonsUs, Inches, SQUARE_FEET_PER_ACRE,
};

/// Gallons in an acre-foot: twelve acre-inches.
const GALLONS_PER_ACRE_FOOT: f64 = 12.0 * GALLONS_PER_ACRE_INCH;
/// Cubic feet in an acre-inch: 43,560 ft2 over an inch, exact.
const CUBIC_FEET_PER_ACRE_INCH: f64 = SQUARE_FEET_PER_ACRE / 12.0;

/// The gross water of a set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetVolume {
    /// How much.
    pub gallons: GallonsUs,
    /// The same in litres, exactly as entered: what is priced.
    pub litres: Decimal,
    /// Metered by a register; counted for runtime x flow and for a depth someone gave.
    pub evidence: Evidence,
}

/// Why the water of a set is not known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Unknown {
    /// The register went down, and neither a roll-over nor a new meter explains it.
    MeterBackwards {
        /// Reading before.
        from: f64,
        /// Reading after.
        to: f64,
    },
    /// Neither the set nor the block says what one emitter gives.
    NoFlow,
    /// Neither the set nor the block (emitters at each tree x trees) says how many emitters ran.
    NoEmitters,
    /// A depth over a block without acres.
    NoArea,
    /// A number so large that it is no volume of water.
    TooLarge,
}

/// Gallons in one unit of a register.
pub fn gallons_per(unit: MeterUnit) -> f64 {
    match unit {
        MeterUnit::Gallons => 1.0,
        MeterUnit::AcreInches => GALLONS_PER_ACRE_INCH,
        MeterUnit::AcreFeet => GALLONS_PER_ACRE_FOOT,
        MeterUnit::CubicMetres => GALLONS_PER_ACRE_INCH / CUBIC_METRES_PER_ACRE_INCH,
        MeterUnit::HundredCubicFeet => 100.0 * GALLONS_PER_ACRE_INCH / CUBIC_FEET_PER_ACRE_INCH,
    }
}

/// Litres in one unit of a register, exactly: 43,560 ft2, 231 in3 and 25.4 mm by definition.
///
/// Source: NIST SP 811 (2008), appendix B.8: gallon (US) 3.785 411 784 L, cubic foot 28.316 846 592 L.
pub fn litres_per(unit: MeterUnit) -> Decimal {
    match unit {
        MeterUnit::Gallons => Decimal::new(3_785_411_784, 9),
        MeterUnit::AcreInches => Decimal::new(10_279_015_312_896, 8),
        MeterUnit::AcreFeet => Decimal::new(123_348_183_754_752, 8),
        MeterUnit::CubicMetres => Decimal::ONE_THOUSAND,
        MeterUnit::HundredCubicFeet => Decimal::new(28_316_846_592, 7),
    }
}

/// The gross water of a set over its block.
///
/// # Errors
/// [`Unknown`] when readings or the block's description do not say how much it was.
pub fn volume(set: &IrrigationSet, block: &Block) -> Result<SetVolume, Unknown> {
    let (amount, unit, evidence) = match set.applied {
        Applied::Meter { start, end, unit, rolls_at, replaced } => {
            let units = match replaced {
                Some((old_end, new_start)) => register(start, old_end, rolls_at)?
                    .checked_add(register(new_start, end, rolls_at)?)
                    .ok_or(Unknown::TooLarge)?,
                None => register(start, end, rolls_at)?,
            };
            (units, unit, Evidence::Metered)
        }
        Applied::Runtime { hours, flow, emitters } => {
            let flow = flow.or(block.emitter_flow).map(GallonsPerHour::get).ok_or(Unknown::NoFlow)?;
            let emitters = match emitters {
                Some(n) => Some(Decimal::from(n)),
                None => emitters_of(block)?,
            };
            let emitters = emitters.filter(|n| *n > Decimal::ZERO).ok_or(Unknown::NoEmitters)?;
            (product([hours.decimal(), typed(flow)?, emitters])?, MeterUnit::Gallons, Evidence::Counted)
        }
        Applied::Depth(depth) => (over(depth, block.acres)?, MeterUnit::AcreInches, Evidence::Counted),
    };
    let litres = product([amount, litres_per(unit)])?;
    Ok(SetVolume { gallons: gallons(litres), litres, evidence })
}

/// The number a person typed: a float keeps fifteen digits of it, and these come back exactly.
fn typed(value: f64) -> Result<Decimal, Unknown> {
    Decimal::from_f64(value).ok_or(Unknown::TooLarge)
}

fn product<const N: usize>(factors: [Decimal; N]) -> Result<Decimal, Unknown> {
    let product = factors.into_iter().try_fold(Decimal::ONE, Decimal::checked_mul);
    product.ok_or(Unknown::TooLarge)
}

/// Acre-inches of a depth over acres.
fn over(depth: Inches, acres: Acres) -> Result<Decimal, Unknown> {
    if acres <= Acres::ZERO {
        return Err(Unknown::NoArea);
    }
    product([typed(depth.get())?, acres.decimal()])
}

fn gallons(litres: Decimal) -> GallonsUs {
    let gallons = litres.checked_div(litres_per(MeterUnit::Gallons));
    GallonsUs::of(gallons.and_then(|gallons| gallons.to_f64()).unwrap_or(0.0))
}

/// How far a register went, over at most one return to zero.
fn register(from: f64, to: f64, rolls_at: Option<f64>) -> Result<Decimal, Unknown> {
    if to >= from {
        return difference(to, from);
    }
    let rolls_at = rolls_at.filter(|full| *full >= from).ok_or(Unknown::MeterBackwards { from, to })?;
    difference(rolls_at, from)?.checked_add(typed(to)?).ok_or(Unknown::TooLarge)
}

fn difference(to: f64, from: f64) -> Result<Decimal, Unknown> {
    typed(to)?.checked_sub(typed(from)?).ok_or(Unknown::TooLarge)
}

fn emitters_of(block: &Block) -> Result<Option<Decimal>, Unknown> {
    let Some((each, trees)) = block.emitters_per_tree.zip(block.trees) else { return Ok(None) };
    product([typed(each)?, Decimal::from(trees)]).map(Some)
}

/// Dollars an acre-foot times litres, on a day: exact, so the sets of a season add up exactly;
/// `None` where no water rate holds. [`in_dollars`] makes dollars of the sum.
///
/// The one place where water is priced: the season's cost, interest on operating capital and the
/// bookkeeper's lines all ask here.
pub fn charge(litres: Decimal, day: NaiveDate, rates: Rates<'_>) -> Option<Decimal> {
    rates.water(day)?.decimal().checked_mul(litres)
}

/// The [`charge`] of a set over its block; `None` where its volume is not known, or no water rate holds.
pub fn charge_of(set: &IrrigationSet, block: &Block, rates: Rates<'_>) -> Option<Decimal> {
    charge(volume(set, block).ok()?.litres, set.date, rates)
}

/// Dollars of one charge, or of several added up. The one division: whoever shows the result as
/// money rounds it once, for the whole line and not for each set.
pub fn in_dollars(charge: Decimal) -> Option<Decimal> {
    charge.checked_div(litres_per(MeterUnit::AcreFeet))
}

/// What a modelled volume is worth on a day, in dollars; `None` where no water rate holds.
pub fn worth(gallons: GallonsUs, day: NaiveDate, rates: Rates<'_>) -> Option<Decimal> {
    let litres = Decimal::from_f64(gallons.get())?.checked_mul(litres_per(MeterUnit::Gallons))?;
    in_dollars(charge(litres, day, rates)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Hours;
    use crate::figure::{Kept, RecordId};
    use crate::money::Money;
    use crate::records::{Rate, RateKind};
    use crate::testing::{date, dec};

    fn set(applied: Applied) -> IrrigationSet {
        IrrigationSet { date: date(6, 1), applied, note: String::new() }
    }

    fn meter(start: f64, end: f64, rolls_at: Option<f64>, replaced: Option<(f64, f64)>) -> Applied {
        Applied::Meter { start, end, unit: MeterUnit::Gallons, rolls_at, replaced }
    }

    fn gallons(applied: Applied, block: &Block) -> f64 {
        volume(&set(applied), block).unwrap().gallons.get()
    }

    fn same(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} is not {b}");
    }

    #[test]
    fn a_register_may_roll_over_or_be_replaced() {
        let block = Block::default();
        same(gallons(meter(12_000.0, 40_500.0, None, None), &block), 28_500.0);
        same(gallons(meter(99_000.0, 1_500.0, Some(100_000.0), None), &block), 2_500.0);
        same(gallons(meter(98_000.0, 700.0, None, Some((98_400.0, 0.0))), &block), 1_100.0);
        same(gallons(meter(99_900.0, 40.0, Some(100_000.0), Some((50.0, 10.0))), &block), 180.0);
    }

    #[test]
    fn a_register_running_backwards_is_refused() {
        let error = volume(&set(meter(500.0, 400.0, None, None)), &Block::default()).unwrap_err();
        assert_eq!(error, Unknown::MeterBackwards { from: 500.0, to: 400.0 });
        assert!(volume(&set(meter(500.0, 400.0, Some(450.0), None)), &Block::default()).is_err());
    }

    /// Source: `fixtures/published/water/unit_conversions.csv` (international foot, US gallon of 231 in3).
    #[test]
    fn register_units_in_gallons() {
        same(gallons_per(MeterUnit::AcreFeet), 325_851.428_571_428_6);
        same(gallons_per(MeterUnit::CubicMetres), 1000.0 / 3.785_411_784);
        same(gallons_per(MeterUnit::HundredCubicFeet), 100.0 * 1728.0 / 231.0);
    }

    #[test]
    fn runtime_takes_the_blocks_emitters_unless_told() {
        let block = Block {
            trees: Some(500),
            emitters_per_tree: Some(2.0),
            emitter_flow: GallonsPerHour::new(0.5),
            ..Block::default()
        };
        let hours = Hours::whole(10).unwrap();
        same(gallons(Applied::Runtime { hours, flow: None, emitters: None }, &block), 5_000.0);
        same(gallons(Applied::Runtime { hours, flow: GallonsPerHour::new(1.0), emitters: Some(30) }, &block), 300.0);
        let runtime = Applied::Runtime { hours, flow: None, emitters: None };
        assert_eq!(volume(&set(runtime), &Block::default()), Err(Unknown::NoFlow));
        let bare = Block { emitter_flow: GallonsPerHour::new(0.5), ..Block::default() };
        assert_eq!(volume(&set(runtime), &bare), Err(Unknown::NoEmitters));
    }

    #[test]
    fn a_depth_goes_over_the_acres() {
        let block = Block { acres: Acres::whole(10).unwrap(), ..Block::default() };
        let known = volume(&set(Applied::Depth(Inches::of(2.0))), &block).unwrap();
        same(known.gallons.get(), 20.0 * GALLONS_PER_ACRE_INCH);
        assert_eq!(known.evidence, Evidence::Counted);
        assert_eq!(volume(&set(Applied::Depth(Inches::of(2.0))), &Block::default()), Err(Unknown::NoArea));
    }

    fn dollars_an_acre_foot(micros: i64) -> Vec<Kept<Rate>> {
        let rate = Rate { from: date(1, 1), kind: RateKind::Water, micros, note: String::new() };
        vec![Kept { id: RecordId::Line(2), record: rate }]
    }

    fn charged(applied: Applied, rates: &[Kept<Rate>]) -> Decimal {
        let volume = volume(&set(applied), &Block::default()).unwrap();
        charge(volume.litres, date(6, 1), Rates::new(rates)).unwrap()
    }

    /// By hand, in fractions: 1 gallon is 7/2,280,960 acre-feet.
    #[test]
    fn a_volume_is_priced_exactly_and_divided_once() {
        let rates = dollars_an_acre_foot(96_500_000);
        let acre_foot =
            |n| Applied::Meter { start: 0.0, end: n, unit: MeterUnit::AcreFeet, rolls_at: None, replaced: None };
        assert_eq!(in_dollars(charged(acre_foot(0.35), &rates)).unwrap(), dec("33.775"));
        // A third of the gallons of 100 acre-feet, three times: each alone never ends, the sum does.
        let third = charged(meter(0.0, 10_861_714.285, None, None), &rates);
        let rest = charged(meter(0.0, 10_861_714.286, None, None), &rates);
        let sum = third + rest + rest;
        let gallons = dec("32585142.857") * dec("7") * dec("96.5");
        assert_eq!(in_dollars(sum).unwrap(), gallons / dec("2280960"));
        // Two half cents, each by half a set of 0.00025 acre-ft at $20: rounded once they make one cent.
        let rates = dollars_an_acre_foot(20_000_000);
        let half = charged(acre_foot(0.000_25), &rates);
        assert_eq!(Money::round(in_dollars(half + half).unwrap()).unwrap().cents(), 1);
    }

    #[test]
    fn what_was_typed_comes_back_from_a_float() {
        for text in ["6521500.3", "0.1", "29.75", "99999999.99", "123456789.012345", "0.53", "1e15"] {
            let float: f64 = text.parse().unwrap();
            let exact = text.parse().unwrap_or_else(|_| dec("1000000000000000"));
            assert_eq!(typed(float).unwrap(), exact, "{text}");
        }
        assert_eq!(typed(f64::MAX), Err(Unknown::TooLarge));
    }

    /// Source: `fixtures/published/water/unit_conversions.csv`; the floats are the same definitions.
    #[test]
    fn litres_and_gallons_of_a_register_agree() {
        for unit in MeterUnit::ALL {
            same(gallons_per(unit), litres_per(unit).to_f64().unwrap() / crate::units::LITRES_PER_GALLON);
        }
    }
}
