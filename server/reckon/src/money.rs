//! Money in cents, prices in millionths of a dollar, and the one door between exact arithmetic and cents.

use core::cmp::Ordering;
use core::fmt;
use core::marker::PhantomData;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::exact::{Exact, MICRO_PLACES, OutOfRange, Unit};

/// Money in cents. Exact; adding cannot lose a cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Money(i64);

impl Money {
    /// No money.
    pub const ZERO: Self = Self(0);

    /// From cents, as the database keeps it.
    pub const fn from_cents(cents: i64) -> Self {
        Self(cents)
    }

    /// Cents, as the database keeps it.
    pub const fn cents(self) -> i64 {
        self.0
    }

    /// The only door from exact arithmetic back to cents: half away from zero.
    ///
    /// # Errors
    /// [`OutOfRange`] beyond about 92 million million dollars.
    pub fn round(exact: Decimal) -> Result<Self, OutOfRange> {
        let cents = round_half_away(exact, 2).checked_mul(Decimal::ONE_HUNDRED).ok_or(OutOfRange)?;
        cents.to_i64().map(Self).ok_or(OutOfRange)
    }

    /// Dollars as an exact decimal with two places.
    pub fn decimal(self) -> Decimal {
        Decimal::new(self.0, 2)
    }

    /// At an end of the range: a sum that could not be added up, and no amount.
    pub const fn is_beyond(self) -> bool {
        self.0 == i64::MAX || self.0 <= -i64::MAX
    }

    /// Exactly zero.
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Sum; saturates at the range's end, which intake keeps out of reach.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// Difference; saturates like [`Money::plus`].
    #[must_use]
    pub const fn minus(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// The same amount the other way.
    #[must_use]
    pub const fn negated(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl core::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Self::plus)
    }
}

/// Plain dollars and cents, no grouping, ASCII minus: what a CSV cell holds.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let whole = self.0.unsigned_abs() / 100;
        let cents = self.0.unsigned_abs() % 100;
        write!(f, "{sign}{whole}.{cents:02}")
    }
}

/// Rounds half away from zero: 42.50 to 43, 32.50 to 33, as the published studies print.
///
/// The library's own `round` and `round_dp` are half-to-even and banned in `.clippy.toml`.
pub fn round_half_away(value: Decimal, places: u32) -> Decimal {
    value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

/// Dollars per one of `U`, in millionths: a wage, a box price, a cost per tree.
pub struct UnitPrice<U>(i64, PhantomData<fn() -> U>);

impl<U> UnitPrice<U> {
    /// Free.
    pub const ZERO: Self = Self(0, PhantomData);

    /// From millionths of a dollar, as the database keeps it.
    pub const fn from_micros(micros: i64) -> Self {
        Self(micros, PhantomData)
    }

    /// Millionths of a dollar, as the database keeps it.
    pub const fn micros(self) -> i64 {
        self.0
    }

    /// From a decimal, rounded half away from zero to six places.
    ///
    /// # Errors
    /// [`OutOfRange`] beyond about 9.2 million million dollars.
    pub fn round(exact: Decimal) -> Result<Self, OutOfRange> {
        let scaled = round_half_away(exact, MICRO_PLACES).checked_mul(Decimal::from(1_000_000)).ok_or(OutOfRange)?;
        scaled.to_i64().map(Self::from_micros).ok_or(OutOfRange)
    }

    /// At an end of the range: too large to tell, and no price.
    pub const fn is_beyond(self) -> bool {
        self.0 == i64::MAX || self.0 <= -i64::MAX
    }

    /// Dollars per unit as an exact decimal, scale normalised.
    pub fn decimal(self) -> Decimal {
        Decimal::new(self.0, MICRO_PLACES).normalize()
    }

    /// Price times quantity, exactly. Not [`Money`]: the caller rounds, once.
    pub fn times(self, quantity: Exact<U>) -> Decimal {
        // Two i64 at scale 6 need 38 digits at most and a Decimal holds 28: intake keeps prices and
        // quantities under ten thousand million, and saturation keeps this total for any caller.
        self.decimal().checked_mul(quantity.decimal()).unwrap_or(Decimal::MAX)
    }
}

impl<U: Unit> UnitPrice<U> {
    /// Money spread over a quantity: `None` when there is nothing to spread it over.
    pub fn spread(money: Decimal, over: Decimal) -> Option<Self> {
        if over.is_zero() {
            return None;
        }
        money.checked_div(over).and_then(|each| Self::round(each).ok())
    }

    /// The same for a table, which says of a price beyond the range that it is (see
    /// [`UnitPrice::is_beyond`]) and not that something is missing.
    pub fn each(money: Decimal, over: Decimal) -> Option<Self> {
        let end = if money.is_sign_negative() == over.is_sign_negative() { i64::MAX } else { -i64::MAX };
        (!over.is_zero()).then(|| Self::spread(money, over).unwrap_or(Self::from_micros(end)))
    }
}

impl<U> Clone for UnitPrice<U> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<U> Copy for UnitPrice<U> {}
impl<U> PartialEq for UnitPrice<U> {
    fn eq(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}
impl<U> Eq for UnitPrice<U> {}
impl<U> PartialOrd for UnitPrice<U> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl<U> Ord for UnitPrice<U> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}
impl<U> Default for UnitPrice<U> {
    fn default() -> Self {
        Self::ZERO
    }
}
impl<U> fmt::Debug for UnitPrice<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.decimal())
    }
}
/// The plain number with at least two places: what a CSV cell holds.
impl<U> fmt::Display for UnitPrice<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut value = self.decimal();
        if value.scale() < 2 {
            value.rescale(2);
        }
        write!(f, "{value}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::{Hours, unit};

    #[test]
    fn rounds_half_away_from_zero() {
        for (exact, cents) in [("1.555", 156), ("1234.565", 123_457), ("-0.005", -1), ("0.125", 13), ("2.5", 250)] {
            let exact: Decimal = exact.parse().unwrap();
            assert_eq!(Money::round(exact).unwrap().cents(), cents, "{exact}");
        }
    }

    /// Published studies print 42.50 as 43 and 32.50 as 33 (economics README, arithmetic trap 2).
    #[test]
    fn whole_dollars_round_half_away() {
        for (cents, dollars) in [(4250, 43), (3250, 33), (-3250, -33)] {
            assert_eq!(round_half_away(Money::from_cents(cents).decimal(), 0), Decimal::from(dollars));
        }
    }

    #[test]
    fn a_wage_times_hours_is_exact() {
        let wage: UnitPrice<unit::Hour> = UnitPrice::round(Decimal::new(804, 2)).unwrap();
        let hours = Hours::new(Decimal::new(103, 0)).unwrap();
        assert_eq!(wage.times(hours), Decimal::new(82_812, 2));
    }

    #[test]
    fn what_is_beyond_a_price_is_not_missing() {
        let each =
            |cents, micro| UnitPrice::<unit::Hour>::each(Money::from_cents(cents).decimal(), Decimal::new(micro, 6));
        assert_eq!(each(100, 0), None, "nothing to spread it over");
        assert_eq!(each(100, 4_000_000), Some(UnitPrice::from_micros(250_000)));
        for (cents, end) in [(i64::MAX, i64::MAX), (-i64::MAX, -i64::MAX)] {
            let beyond = each(cents, 1).unwrap();
            assert!(beyond.is_beyond() && beyond.micros() == end, "{beyond}");
            assert_eq!(UnitPrice::<unit::Hour>::spread(Money::from_cents(cents).decimal(), Decimal::new(1, 6)), None);
        }
        let most = Money::from_cents(i64::MAX - 1);
        assert!(!most.is_beyond() && most.plus(most).is_beyond() && most.negated().minus(most).is_beyond());
    }

    #[test]
    fn prints_plainly() {
        assert_eq!(Money::from_cents(-5).to_string(), "-0.05");
        assert_eq!(UnitPrice::<unit::Hour>::from_micros(16_500_000).to_string(), "16.50");
        assert_eq!(UnitPrice::<unit::Hour>::from_micros(10_875_000).to_string(), "10.875");
    }
}
