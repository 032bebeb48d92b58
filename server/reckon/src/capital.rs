//! Capital recovery: what a season bears of something that lasts.
//!
//! Source: Iowa State University Extension, Estimating Farm Machinery Costs (A3-29); the investment
//! tables of the University of California cost studies. (price - salvage) x CRF + salvage x i, with
//! CRF = i / (1 - (1 + i)^-n).

use rust_decimal::Decimal;

use crate::exact::Percent;
use crate::money::Money;

/// Something bought that lasts several seasons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asset {
    /// What it cost.
    pub price: Money,
    /// What it will be worth at the end of its life; the price itself for land.
    pub salvage: Money,
    /// Years of life, or of life left.
    pub life_years: u32,
    /// Interest, percent a year.
    pub rate: Percent,
}

impl Asset {
    /// Capital recovery of one year, to the cent. `None` for a life of no years, or a rate below zero.
    pub fn recovery(&self) -> Option<Money> {
        Money::round(self.exact_recovery()?).ok()
    }

    /// The same before it is rounded. Where nothing wears off (land), the life does not matter.
    pub fn exact_recovery(&self) -> Option<Decimal> {
        let wears_off = self.price.decimal().checked_sub(self.salvage.decimal())?;
        let rate = fraction(self.rate)?;
        let interest = self.salvage.decimal().checked_mul(rate)?;
        if wears_off.is_zero() {
            return Some(interest);
        }
        times_factor(wears_off, rate, self.life_years)?.checked_add(interest)
    }

    /// Mean of price and salvage: what property taxes and insurance are reckoned from.
    pub fn average_value(&self) -> Option<Decimal> {
        self.price.decimal().checked_add(self.salvage.decimal())?.checked_div(Decimal::TWO)
    }

    /// A percentage of the average value, to the cent: 1 % for property taxes in the published studies.
    pub fn of_average(&self, percent: Percent) -> Option<Money> {
        let exact = self.average_value()?.checked_mul(percent.decimal())?.checked_div(Decimal::ONE_HUNDRED)?;
        Money::round(exact).ok()
    }
}

/// The factor by which money lent is repaid in equal yearly sums. At no interest it is one over the
/// years. `None` for no years, or a rate below zero.
pub fn recovery_factor(rate: Percent, life_years: u32) -> Option<Decimal> {
    times_factor(Decimal::ONE, fraction(rate)?, life_years)
}

fn fraction(rate: Percent) -> Option<Decimal> {
    let rate = rate.decimal().checked_div(Decimal::ONE_HUNDRED)?;
    (rate >= Decimal::ZERO).then_some(rate)
}

/// `amount` x i x (1 + i)^n / ((1 + i)^n - 1): the same factor with one division, at the end.
fn times_factor(amount: Decimal, rate: Decimal, years: u32) -> Option<Decimal> {
    if years == 0 {
        return None;
    }
    if rate.is_zero() {
        return amount.checked_div(Decimal::from(years));
    }
    // Beyond the range of a Decimal nothing is left to repay: the yearly sum is the interest.
    let Some(grown) = power(Decimal::ONE.checked_add(rate)?, years) else { return amount.checked_mul(rate) };
    let share = grown.checked_div(grown.checked_sub(Decimal::ONE)?)?;
    amount.checked_mul(rate)?.checked_mul(share)
}

/// By repeated multiplication.
fn power(base: Decimal, exponent: u32) -> Option<Decimal> {
    (0..exponent).try_fold(Decimal::ONE, |product, _| product.checked_mul(base))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::money::round_half_away;
    use crate::testing::dec;

    fn asset(price: i64, salvage: i64, life_years: u32, rate: &str) -> Asset {
        let dollars = |n: i64| Money::from_cents(n * 100);
        Asset { price: dollars(price), salvage: dollars(salvage), life_years, rate: Percent::new(dec(rate)).unwrap() }
    }

    /// Source: Iowa State University Extension, Estimating Farm Machinery Costs (A3-29).
    #[test]
    fn a_tractor_over_fifteen_years() {
        assert_eq!(asset(93_500, 25_300, 15, "5").recovery(), Some(Money::from_cents(783_554)));
        let factor = recovery_factor(Percent::whole(5).unwrap(), 15).unwrap();
        assert_eq!(round_half_away(factor, 6), dec("0.096342"));
    }

    #[test]
    fn land_bears_interest_and_no_interest_bears_the_price() {
        assert_eq!(asset(28_950, 28_950, 20, "7.08").recovery(), Some(Money::from_cents(204_966)));
        assert_eq!(asset(28_950, 28_950, 0, "7.08").recovery(), Some(Money::from_cents(204_966)));
        assert_eq!(asset(1_000, 100, 9, "0").recovery(), Some(Money::from_cents(10_000)));
    }

    #[test]
    fn no_life_and_no_sense_give_nothing() {
        assert_eq!(asset(1_000, 0, 0, "5").recovery(), None);
        assert_eq!(asset(1_000, 0, 5, "-5").recovery(), None);
        assert_eq!(asset(1_000, 0, 4_000_000, "5").recovery(), Some(Money::from_cents(5_000)), "for ever");
    }

    #[test]
    fn taxes_come_from_the_average() {
        assert_eq!(
            asset(21_507, 4_187, 15, "7.08").of_average(Percent::whole(1).unwrap()),
            Some(Money::from_cents(12_847))
        );
    }
}
