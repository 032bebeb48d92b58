//! Questions about rates: one slip of the pen in a rate is in every figure after its day.

use reckon::records::{Rate, RateKind};
use rust_decimal::Decimal;

use super::work::{hourly, percent_on_top};
use super::{Question, number, question};

/// Percent of interest in a year: common practice, no source.
const INTEREST_PCT: u32 = 30;
/// Dollars of an acre-foot of water: common practice, no source.
const WATER_USD: u32 = 5_000;

pub(super) fn questions(rate: &Rate) -> Option<Question> {
    let value = Decimal::new(rate.micros, 6);
    match rate.kind {
        RateKind::Wage(_) => hourly("usd_per_hour", value),
        RateKind::Payroll | RateKind::Commission => percent_on_top("pct", value),
        RateKind::Interest => interest(value),
        RateKind::Water => (value > WATER_USD.into()).then(|| {
            question("usd_per_acre_foot", format!("An acre-foot costs {} dollars. Is it so much?", number(value)))
        }),
    }
}

fn interest(percent: Decimal) -> Option<Question> {
    let how = match percent {
        _ if percent > INTEREST_PCT.into() => "much",
        _ if percent > Decimal::ZERO && percent < Decimal::ONE => "little, or a share and not percent",
        _ => return None,
    };
    Some(question("pct", format!("Interest is {} percent a year. Is it so {how}?", number(percent))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(kind: RateKind, value: &str) -> Option<String> {
        let millionths = value.parse::<Decimal>().unwrap() * Decimal::from(1_000_000);
        let micros = rust_decimal::prelude::ToPrimitive::to_i64(&millionths).unwrap();
        let from = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
        questions(&Rate { from, kind, micros, note: String::new() }).map(|asked| asked.sentence)
    }

    #[test]
    fn a_rate_far_from_any_orchards_is_asked_about() {
        for (kind, value, end) in [
            (RateKind::Wage(None), "3", "Is it so little?"),
            (RateKind::Wage(None), "1837", "Is it so much?"),
            (RateKind::Payroll, "0.1285", "Is it so little, or a share and not percent?"),
            (RateKind::Commission, "100", "Is it so much?"),
            (RateKind::Interest, "0.06", "a share and not percent?"),
            (RateKind::Water, "16500", "Is it so much?"),
        ] {
            assert!(asked(kind, value).is_some_and(|said| said.ends_with(end)), "{kind:?} {value}");
        }
        for (kind, value) in [
            (RateKind::Wage(None), "18.37"),
            (RateKind::Payroll, "12.85"),
            (RateKind::Payroll, "0"),
            (RateKind::Commission, "30"),
            (RateKind::Interest, "6"),
            (RateKind::Water, "165"),
        ] {
            assert_eq!(asked(kind, value), None, "{kind:?} {value}");
        }
    }
}
