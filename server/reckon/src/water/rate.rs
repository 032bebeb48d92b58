//! The price of water on a day.

use chrono::NaiveDate;

use crate::exact::unit;
use crate::figure::Kept;
use crate::money::UnitPrice;
use crate::records::{Rate, RateKind};

/// Dollars an acre-foot that hold on a day: the latest water rate that began by then. Of two that
/// began on the same day the one with the larger id holds.
pub fn price_on(rates: &[Kept<Rate>], day: NaiveDate) -> Option<UnitPrice<unit::AcreFoot>> {
    rates
        .iter()
        .filter(|kept| kept.record.kind == RateKind::Water && kept.record.from <= day)
        .max_by_key(|kept| (kept.record.from, kept.id))
        .map(|kept| UnitPrice::from_micros(kept.record.micros))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept};

    #[test]
    fn the_latest_rate_that_began_holds() {
        let rate = |from, kind, micros| Rate { from, kind, micros, note: String::new() };
        let rates = kept([
            rate(date(5, 1), RateKind::Water, 60_000_000),
            rate(date(5, 10), RateKind::Water, 75_000_000),
            rate(date(5, 11), RateKind::Payroll, 12_000_000),
        ]);
        assert_eq!(price_on(&rates, date(5, 9)), Some(UnitPrice::from_micros(60_000_000)));
        assert_eq!(price_on(&rates, date(5, 12)), Some(UnitPrice::from_micros(75_000_000)));
        assert_eq!(price_on(&rates, date(4, 30)), None);
    }
}
