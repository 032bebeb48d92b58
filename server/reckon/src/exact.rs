//! Quantities that multiply money: kept exactly, in millionths, as one `i64`.
//!
//! The database keeps the same integer (column names end in `_micros`), so what was typed is what
//! is stored and what is multiplied. Physical quantities that never touch money exactly are floats
//! and live in [`crate::units`].

use core::cmp::Ordering;
use core::fmt;
use core::hash::{Hash, Hasher};
use core::marker::PhantomData;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// Decimal places of every exact quantity and unit price.
pub const MICRO_PLACES: u32 = 6;

/// A value does not fit the range in which it is kept, or needs more than six decimal places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutOfRange;

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the number is too large or has more than six decimal places")
    }
}

impl core::error::Error for OutOfRange {}

/// Units an exact quantity or a unit price can be in. Types without values.
pub mod unit {
    macro_rules! units {
        ($($(#[$doc:meta])* $name:ident = $text:literal;)*) => {$(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq)]
            pub enum $name {}
            impl super::Unit for $name { const TEXT: &'static str = $text; }
        )*};
    }
    units! {
        /// An hour worked.
        Hour = "h";
        /// An acre of a block.
        Acre = "acre";
        /// A tree.
        Tree = "tree";
        /// A pound (avoirdupois) of fruit.
        Pound = "lb";
        /// A packed box.
        Carton = "box";
        /// A piece of piece work.
        Piece = "piece";
        /// A thousand fruit taken off.
        ThousandFruit = "1,000 fruit";
        /// An acre-foot of water.
        AcreFoot = "acre-ft";
        /// A harvest bin.
        Bin = "bin";
        /// One in a hundred.
        Percent = "%";
        /// A year of life of something bought.
        Year = "year";
        /// What a crop is sold by: a box, or a pound where nothing was packed.
        Sold = "unit sold";
    }
}

/// A unit's name as printed.
pub trait Unit {
    /// Short form for tables: "h", "acre", "lb".
    const TEXT: &'static str;
}

/// An exact quantity in unit `U`: an integer number of millionths.
pub struct Exact<U>(i64, PhantomData<fn() -> U>);

/// Hours worked.
pub type Hours = Exact<unit::Hour>;
/// Acres of a block.
pub type Acres = Exact<unit::Acre>;
/// Pounds of fruit.
pub type Pounds = Exact<unit::Pound>;
/// Boxes (a half box is possible).
pub type Boxes = Exact<unit::Carton>;
/// Pieces of piece work.
pub type Pieces = Exact<unit::Piece>;
/// Harvest bins.
pub type Bins = Exact<unit::Bin>;
/// Percent, 100 = the whole.
pub type Percent = Exact<unit::Percent>;
/// Years.
pub type Years = Exact<unit::Year>;

impl<U> Exact<U> {
    /// Nothing of it.
    pub const ZERO: Self = Self(0, PhantomData);

    /// From millionths, as the database keeps it.
    pub const fn from_micros(micros: i64) -> Self {
        Self(micros, PhantomData)
    }

    /// From a whole number, for constants and tests.
    ///
    /// # Errors
    /// [`OutOfRange`] beyond about 9.2 million million.
    pub fn whole(n: i64) -> Result<Self, OutOfRange> {
        n.checked_mul(1_000_000).map(Self::from_micros).ok_or(OutOfRange)
    }

    /// From a decimal that needs no more than six places.
    ///
    /// # Errors
    /// [`OutOfRange`] if it does not fit or would have to be rounded.
    pub fn new(value: Decimal) -> Result<Self, OutOfRange> {
        let scaled = value.checked_mul(Decimal::from(1_000_000)).ok_or(OutOfRange)?;
        if !scaled.fract().is_zero() {
            return Err(OutOfRange);
        }
        scaled.to_i64().map(Self::from_micros).ok_or(OutOfRange)
    }

    /// From the result of a division, rounded half away from zero to six places.
    ///
    /// # Errors
    /// [`OutOfRange`] if it does not fit.
    pub fn round(value: Decimal) -> Result<Self, OutOfRange> {
        Self::new(crate::money::round_half_away(value, MICRO_PLACES))
    }

    /// Millionths, as the database keeps it.
    pub const fn micros(self) -> i64 {
        self.0
    }

    /// The exact decimal value, scale normalised.
    pub fn decimal(self) -> Decimal {
        Decimal::new(self.0, MICRO_PLACES).normalize()
    }

    /// Nearest float, for physical formulas.
    #[expect(clippy::cast_precision_loss, reason = "physical formulas take floats; money uses decimal()")]
    pub fn as_f64(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// Exactly zero (not "prints as zero").
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Sum, saturating at the range's end; entered quantities are checked at intake to be far below it.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self::from_micros(self.0.saturating_add(other.0))
    }
}

impl<U> core::iter::Sum for Exact<U> {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Self::plus)
    }
}

// Written by hand: a derive would ask the unit types, which have no values, for the same traits.
impl<U> Clone for Exact<U> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<U> Copy for Exact<U> {}
impl<U> PartialEq for Exact<U> {
    fn eq(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}
impl<U> Eq for Exact<U> {}
impl<U> PartialOrd for Exact<U> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl<U> Ord for Exact<U> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}
impl<U> Hash for Exact<U> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.0.hash(state);
    }
}
impl<U> Default for Exact<U> {
    fn default() -> Self {
        Self::ZERO
    }
}
impl<U> fmt::Debug for Exact<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.decimal())
    }
}
/// The plain number, no unit, no grouping: what a CSV cell holds.
impl<U> fmt::Display for Exact<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.decimal())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_six_places_and_refuses_a_seventh() {
        let hours = Hours::new(Decimal::new(11_260_001, 6)).unwrap();
        assert_eq!(hours.micros(), 11_260_001);
        assert_eq!(hours.to_string(), "11.260001");
        assert_eq!(Hours::new(Decimal::new(1, 7)), Err(OutOfRange));
        assert_eq!(Hours::new(Decimal::MAX), Err(OutOfRange));
    }

    #[test]
    fn prints_without_trailing_zeros() {
        assert_eq!(Acres::new(Decimal::new(1540, 2)).unwrap().to_string(), "15.4");
        assert_eq!(Acres::ZERO.to_string(), "0");
    }
}
