//! Physical quantities: floats behind newtypes that carry the unit in the name.
//!
//! Factors follow the international definitions (inch = 25.4 mm, US gallon = 231 in3, acre =
//! 43,560 ft2). Source beside each number; checked in `tests/units` against `fixtures/published`.

use core::fmt;

/// US gallons in an acre-inch: 43,560 ft2 x 144 in2/ft2 x 1 in / 231 in3, exactly 6,272,640/231.
/// Source: definitions of the international acre and the US gallon (NIST Handbook 44, appendix C).
pub const GALLONS_PER_ACRE_INCH: f64 = 6_272_640.0 / 231.0;
/// Millimetres in an inch, exact.
pub const MM_PER_INCH: f64 = 25.4;
/// Litres in a US gallon, exact: 231 in3 x 25.4^3 mm3. Source: NIST SP 811.
pub const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Square feet in an acre, exact.
pub const SQUARE_FEET_PER_ACRE: f64 = 43_560.0;
/// Metres in an international foot, exact.
pub const METRES_PER_FOOT: f64 = 0.3048;
/// Cubic metres in an acre-inch, exact: 102.790 153 128 96.
pub const CUBIC_METRES_PER_ACRE_INCH: f64 = 102.790_153_128_96;

/// What every displayed number knows about itself.
pub trait Measure {
    /// Unit as printed after the number, empty for a bare count.
    const UNIT: &'static str;
    /// Decimal places on pages and in reports.
    const PLACES: usize;
    /// The value as a float, for charts and spreadsheets.
    fn float(&self) -> f64;
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $unit:literal, $places:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);
        impl $name {
            /// From a finite number; `None` for NaN and infinities.
            pub fn new(value: f64) -> Option<Self> {
                value.is_finite().then_some(Self(value))
            }
            /// From the result of arithmetic on finite numbers; a NaN or an infinity becomes zero.
            ///
            /// Reckoning cannot fail: callers guard divisions, and this keeps a slip from spreading.
            pub fn of(value: f64) -> Self {
                Self(if value.is_finite() { value } else { 0.0 })
            }
            /// The bare number.
            pub const fn get(self) -> f64 {
                self.0
            }
        }
        impl Measure for $name {
            const UNIT: &'static str = $unit;
            const PLACES: usize = $places;
            fn float(&self) -> f64 { self.0 }
        }
        impl core::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }
        impl core::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }
        impl core::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self { iter.fold(Self(0.0), |a, b| a + b) }
        }
        /// The shortest plain number that reads back the same: what a CSV cell holds.
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result { write!(f, "{}", self.0) }
        }
    )*};
}

quantities! {
    /// Depth or length in inches.
    Inches, "in", 2;
    /// Depth of water in millimetres.
    Millimetres, "mm", 1;
    /// Length in feet.
    Feet, "ft", 1;
    /// Length in metres.
    Metres, "m", 2;
    /// Volume in US liquid gallons.
    GallonsUs, "gal", 0;
    /// Gallons to each tree.
    GallonsPerTree, "gal/tree", 0;
    /// Gallons an hour, of one emitter or one tree.
    GallonsPerHour, "gal/h", 2;
    /// Volume: one inch over one acre.
    AcreInches, "acre-in", 1;
    /// Depth as growers say it: acre-inches on each acre, numerically inches.
    AcreInchesPerAcre, "acre-in/acre", 1;
    /// Volume of mulch.
    CubicYards, "yd³", 0;
    /// Area in square feet.
    SquareFeet, "ft²", 0;
    /// Soil-water tension; 1 kPa = 1 centibar.
    Kilopascals, "kPa", 0;
    /// Air or soil temperature.
    Celsius, "°C", 1;
    /// Solar radiation over a day.
    MegajoulesPerSquareMetre, "MJ/m²", 1;
    /// Wind speed.
    MetresPerSecond, "m/s", 1;
    /// A share of a whole, 100 = all of it.
    Share, "%", 0;
    /// Labor in each tree.
    HoursPerTree, "h/tree", 2;
    /// Labor on each acre.
    HoursPerAcre, "h/acre", 1;
    /// Labor for each thousand fruit taken off.
    HoursPerThousandFruit, "h/1,000 fruit", 2;
    /// Fruit on each tree.
    FruitPerTree, "fruit/tree", 0;
    /// Fruit on each acre.
    FruitPerAcre, "fruit/acre", 0;
    /// Boxes from each acre.
    BoxesPerAcre, "boxes/acre", 0;
    /// Pounds of fruit from each tree.
    PoundsPerTree, "lb/tree", 0;
    /// A count of things.
    Count, "", 0;
}

impl Inches {
    /// To millimetres.
    pub fn to_mm(self) -> Millimetres {
        Millimetres(self.0 * MM_PER_INCH)
    }
}

impl Millimetres {
    /// To inches.
    pub fn to_inches(self) -> Inches {
        Inches(self.0 / MM_PER_INCH)
    }

    /// As a volume on an area: depth times acres.
    pub fn over_acres(self, acres: f64) -> AcreInches {
        AcreInches(self.to_inches().0 * acres)
    }
}

impl AcreInches {
    /// To US gallons.
    pub fn to_gallons(self) -> GallonsUs {
        GallonsUs(self.0 * GALLONS_PER_ACRE_INCH)
    }

    /// As a depth over an area; `None` over no area.
    pub fn depth_over(self, acres: f64) -> Option<Inches> {
        if acres > 0.0 { Inches::new(self.0 / acres) } else { None }
    }
}

impl GallonsUs {
    /// To acre-inches.
    pub fn to_acre_inches(self) -> AcreInches {
        AcreInches(self.0 / GALLONS_PER_ACRE_INCH)
    }
}

impl Metres {
    /// To feet.
    pub fn to_feet(self) -> Feet {
        Feet(self.0 / METRES_PER_FOOT)
    }
}

impl Feet {
    /// To metres.
    pub fn to_metres(self) -> Metres {
        Metres(self.0 * METRES_PER_FOOT)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_number() {
        assert!(Inches::new(f64::NAN).is_none());
        assert!(Inches::new(f64::INFINITY).is_none());
    }

    /// Source: WIKI-ACREFOOT in fixtures/published: 325,851 3/7 US gallons to the acre-foot, exact.
    #[test]
    fn an_acre_foot_in_gallons() {
        let gallons = AcreInches::of(12.0).to_gallons().get();
        assert!((gallons - (325_851.0 + 3.0 / 7.0)).abs() < 1e-6, "{gallons}");
    }

    #[test]
    fn depth_and_volume_agree() {
        let volume = Millimetres::of(25.4).over_acres(15.4);
        assert!((volume.get() - 15.4).abs() < 1e-12);
        assert!((volume.depth_over(15.4).unwrap().get() - 1.0).abs() < 1e-12);
        assert!(volume.depth_over(0.0).is_none());
    }
}
