//! How much water a set of irrigation brought, and how that is known.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::block::Block;
use crate::exact::{Exact, unit};
use crate::figure::Evidence;
use crate::rates::Rates;
use crate::records::{Applied, IrrigationSet, MeterUnit};
use crate::units::{
    AcreInches, CUBIC_METRES_PER_ACRE_INCH, GALLONS_PER_ACRE_INCH, GallonsPerHour, GallonsUs, SQUARE_FEET_PER_ACRE,
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

/// The gross water of a set over its block.
///
/// # Errors
/// [`Unknown`] when readings or the block's description do not say how much it was.
pub fn volume(set: &IrrigationSet, block: &Block) -> Result<SetVolume, Unknown> {
    let (gallons, evidence) = match set.applied {
        Applied::Meter { start, end, unit, rolls_at, replaced } => {
            let units = match replaced {
                Some((old_end, new_start)) => register(start, old_end, rolls_at)? + register(new_start, end, rolls_at)?,
                None => register(start, end, rolls_at)?,
            };
            (units * gallons_per(unit), Evidence::Metered)
        }
        Applied::Runtime { hours, flow, emitters } => {
            let flow = flow.or(block.emitter_flow).map(GallonsPerHour::get).ok_or(Unknown::NoFlow)?;
            let emitters = emitters
                .map(f64::from)
                .or_else(|| emitters_of(block))
                .filter(|n| *n > 0.0)
                .ok_or(Unknown::NoEmitters)?;
            (hours.as_f64() * flow * emitters, Evidence::Counted)
        }
        Applied::Depth(depth) => {
            let acres = Some(block.acres.as_f64()).filter(|acres| *acres > 0.0).ok_or(Unknown::NoArea)?;
            (AcreInches::of(depth.get() * acres).to_gallons().get(), Evidence::Counted)
        }
    };
    Ok(SetVolume { gallons: GallonsUs::of(gallons), evidence })
}

/// How far a register went, over at most one return to zero.
fn register(from: f64, to: f64, rolls_at: Option<f64>) -> Result<f64, Unknown> {
    if to >= from {
        return Ok(to - from);
    }
    let rolls_at = rolls_at.filter(|full| *full >= from).ok_or(Unknown::MeterBackwards { from, to })?;
    Ok(rolls_at - from + to)
}

fn emitters_of(block: &Block) -> Option<f64> {
    Some(block.emitters_per_tree? * f64::from(block.trees?))
}

/// Acre-feet to the nearest millionth (a third of a gallon): the one door from a volume to money.
///
/// The float is rounded once, half away from zero; all that follows is exact.
#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates, and intake keeps volumes far below")]
fn acre_feet(gallons: GallonsUs) -> Exact<unit::AcreFoot> {
    Exact::from_micros(libm::round(gallons.get() / GALLONS_PER_ACRE_FOOT * 1e6) as i64)
}

/// What so much water cost on a day, in dollars, exactly; `None` where no water rate holds.
///
/// The one place where a set is priced: the season's cost, interest on operating capital and the
/// bookkeeper's lines all ask here.
pub fn dollars(gallons: GallonsUs, day: NaiveDate, rates: Rates<'_>) -> Option<Decimal> {
    Some(rates.water(day)?.times(acre_feet(gallons)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Acres, Hours};
    use crate::units::Inches;
    use chrono::NaiveDate;

    fn set(applied: Applied) -> IrrigationSet {
        IrrigationSet { date: NaiveDate::from_ymd_opt(2026, 6, 1).unwrap(), applied, note: String::new() }
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

    #[test]
    fn a_volume_becomes_money_through_millionths_of_an_acre_foot() {
        assert_eq!(acre_feet(GallonsUs::of(325_851.428_571_428_6)).micros(), 1_000_000);
        assert_eq!(acre_feet(GallonsUs::of(0.5 * 325_851.428_571_428_6)).to_string(), "0.5");
    }
}
