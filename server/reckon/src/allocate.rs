//! Sharing a sum out to the cent: largest remainder (Hamilton's method).

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::money::Money;

/// Shares `total` by `weights`, to the cent: the parts always sum to the total.
///
/// Each part first gets the whole cents of its exact share; the cents left over go one each to the
/// largest remainders. Equal remainders are served in the order of the list, so callers sort by
/// block id and the order in which records were entered cannot matter. A negative total is shared
/// as its absolute amount and negated. Weights below zero count as zero; when no weight is above
/// zero nothing can be shared and `None` is returned.
///
/// Checked against the apportionment of 1790 in `fixtures/published/economics/largest_remainder.csv`.
pub fn allocate(total: Money, weights: &[Decimal]) -> Option<Vec<Money>> {
    let parts = largest_remainder(total.cents(), weights)?;
    Some(parts.into_iter().map(Money::from_cents).collect())
}

/// One party's part of a sum shared out, and why it is what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Its weight.
    pub weight: Decimal,
    /// Its exact share in dollars, before whole cents were made.
    pub exact: Decimal,
    /// What it bears.
    pub amount: Money,
    /// One of the cents left over went to it.
    pub odd_cent: bool,
}

/// [`allocate`] with the exact share beside each part.
pub fn explained(total: Money, weights: &[Decimal]) -> Option<Vec<Part>> {
    let parts = allocate(total, weights)?;
    let weights: Vec<Decimal> = weights.iter().map(|weight| (*weight).max(Decimal::ZERO)).collect();
    let whole = weights.iter().try_fold(Decimal::ZERO, |sum, weight| sum.checked_add(*weight))?;
    let part = |(amount, weight): (Money, Decimal)| {
        let exact = total.decimal().checked_mul(weight)?.checked_div(whole)?;
        Some(Part { weight, exact, amount, odd_cent: amount.decimal().abs() > exact.abs() })
    };
    parts.into_iter().zip(weights).map(part).collect()
}

/// Shares a whole number of anything by `weights`, as [`allocate`] shares cents: seats, tenths of a
/// percent, millionths of a box.
pub fn largest_remainder(total: i64, weights: &[Decimal]) -> Option<Vec<i64>> {
    let weights: Vec<Decimal> = weights.iter().map(|w| (*w).max(Decimal::ZERO)).collect();
    let whole = weights.iter().try_fold(Decimal::ZERO, |sum, w| sum.checked_add(*w))?;
    if whole.is_zero() {
        return None;
    }
    let units = Decimal::from(total.unsigned_abs());
    let mut parts = Vec::with_capacity(weights.len());
    for (place, weight) in weights.iter().enumerate() {
        // Multiply before dividing; the remainder is kept in weight units, exact.
        let share = units.checked_mul(*weight)?;
        let floor = share.checked_div(whole)?.floor();
        let remainder = share.checked_sub(floor.checked_mul(whole)?)?;
        parts.push((place, floor, remainder));
    }
    let given = parts.iter().try_fold(Decimal::ZERO, |sum, (_, floor, _)| sum.checked_add(*floor))?;
    hand_out(&mut parts, units.checked_sub(given)?);
    let sign = if total < 0 { -1 } else { 1 };
    parts.into_iter().map(|(_, share, _)| share.to_i64().and_then(|part| part.checked_mul(sign))).collect()
}

/// Gives the units left over one each to the largest remainders; equal ones in list order.
fn hand_out(parts: &mut [(usize, Decimal, Decimal)], mut left: Decimal) {
    // Stable: equal remainders stay in list order.
    parts.sort_by_key(|(_, _, remainder)| core::cmp::Reverse(*remainder));
    for (_, floor, _) in parts.iter_mut() {
        if left < Decimal::ONE {
            break;
        }
        *floor += Decimal::ONE;
        left -= Decimal::ONE;
    }
    parts.sort_by_key(|(place, _, _)| *place);
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn check(cents: i64, weights: &[i64], expected: &[i64]) {
        let weights: Vec<Decimal> = weights.iter().map(|w| Decimal::from(*w)).collect();
        let parts: Vec<i64> =
            allocate(Money::from_cents(cents), &weights).unwrap().into_iter().map(Money::cents).collect();
        assert_eq!(parts, expected);
    }

    #[test]
    fn odd_cents_go_to_the_largest_remainders() {
        check(10_000, &[1, 1, 1], &[3334, 3333, 3333]);
        check(5, &[1, 1, 1], &[2, 2, 1]);
        check(100_000, &[1000, 750, 225], &[50_633, 37_975, 11_392]);
        check(2_200_700, &[10, 690], &[31_439, 2_169_261]);
        check(-10_000, &[1, 1, 1], &[-3334, -3333, -3333]);
    }

    #[test]
    fn each_part_shows_its_odd_cent() {
        let weights = [Decimal::ONE, Decimal::ONE, Decimal::ONE];
        let parts = explained(Money::from_cents(-10_000), &weights).unwrap();
        let seen: Vec<(i64, bool)> = parts.iter().map(|part| (part.amount.cents(), part.odd_cent)).collect();
        assert_eq!(seen, [(-3334, true), (-3333, false), (-3333, false)]);
        assert_eq!(crate::money::round_half_away(parts[0].exact, 6), Decimal::new(-33_333_333, 6));
    }

    #[test]
    fn nothing_to_share_over_is_said() {
        assert_eq!(allocate(Money::from_cents(5), &[]), None);
        assert_eq!(allocate(Money::from_cents(5), &[Decimal::ZERO, -Decimal::ONE]), None);
    }

    proptest! {
        #[test]
        fn parts_sum_to_the_whole_and_stay_within_a_cent(
            cents in -1_000_000_000_000i64..1_000_000_000_000,
            weights in prop::collection::vec(0u32..1_000_000, 1..40),
        ) {
            let sum: u64 = weights.iter().map(|w| u64::from(*w)).sum();
            prop_assume!(sum > 0);
            let exact: Vec<Decimal> = weights.iter().map(|w| Decimal::from(*w)).collect();
            let parts = allocate(Money::from_cents(cents), &exact).unwrap();
            prop_assert_eq!(parts.iter().map(|p| p.cents()).sum::<i64>(), cents);
            for (part, weight) in parts.iter().zip(&exact) {
                let share = Decimal::from(cents) * weight / Decimal::from(sum);
                prop_assert!((Decimal::from(part.cents()) - share).abs() <= Decimal::ONE);
            }
        }

        /// Whose turn it is decides about a cent only between equal remainders; all else is the weight's own.
        #[test]
        fn the_order_of_the_list_moves_no_cent_but_between_equal_remainders(
            cents in -1_000_000_000_000i64..1_000_000_000_000,
            weights in prop::collection::vec(0u32..1_000_000, 1..40),
            by in 0usize..40,
        ) {
            let sum: u128 = weights.iter().map(|w| u128::from(*w)).sum();
            prop_assume!(sum > 0);
            let remainder = |w: u32| u128::from(cents.unsigned_abs()) * u128::from(w) % sum;
            let mut remainders: Vec<u128> = weights.iter().map(|w| remainder(*w)).filter(|rest| *rest > 0).collect();
            let all = remainders.len();
            remainders.sort_unstable();
            remainders.dedup();
            let distinct = remainders.len() == all;
            let parts = |weights: &[u32]| {
                let exact: Vec<Decimal> = weights.iter().map(|w| Decimal::from(*w)).collect();
                allocate(Money::from_cents(cents), &exact).unwrap()
            };
            let mut turned = weights.clone();
            turned.reverse();
            turned.rotate_left(by % weights.len());
            let mut other = parts(&turned);
            other.rotate_right(by % weights.len());
            other.reverse();
            for (a, b) in parts(&weights).into_iter().zip(other) {
                prop_assert!(a.minus(b).cents().abs() <= i64::from(!distinct), "{a} and {b}");
            }
        }
    }
}
