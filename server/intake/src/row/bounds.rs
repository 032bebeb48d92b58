//! Limits of numbers, how they are said, and conversions between units.

use reckon::money::round_half_away;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use crate::problem::thousands;

/// Limits of a number.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    low: f64,
    /// The low end itself is refused.
    above: bool,
    high: f64,
    whole: bool,
}

/// What stands when a column names no upper limit: under a thousand million, far inside what is kept.
const HIGHEST: f64 = 999_999_999.0;

/// From this number on.
pub(crate) const fn from(low: f64) -> Bounds {
    Bounds { low, above: false, high: HIGHEST, whole: false }
}

/// More than this number.
pub(crate) const fn above(low: f64) -> Bounds {
    Bounds { low, above: true, high: HIGHEST, whole: false }
}

/// A share of a whole, in percent.
pub(crate) const PERCENT: Bounds = from(0.0).up_to(100.0);
/// Boxes.
pub(crate) const BOXES: Bounds = from(0.0).up_to(99_999_999.0);
/// Pounds of fruit.
pub(crate) const POUNDS: Bounds = from(0.0);
/// Dollars that may be a credit.
pub(crate) const EITHER_SIGN: Bounds = from(-HIGHEST);

impl Bounds {
    /// With an upper limit, which may be reached.
    pub(crate) const fn up_to(self, high: f64) -> Self {
        Self { high, ..self }
    }

    /// Whole numbers only.
    pub(crate) const fn in_whole(self) -> Self {
        Self { whole: true, ..self }
    }

    pub(crate) const fn whole(self) -> bool {
        self.whole
    }

    /// Whether the number lies within. The limits have few digits, so the nearest float decides rightly.
    pub(crate) fn hold(self, value: Decimal) -> bool {
        let Some(value) = to_f64(value) else { return false };
        let low = if self.above { value > self.low } else { value >= self.low };
        low && value <= self.high
    }

    /// What was expected of a number that lies outside, or is not whole: the end it missed is named.
    pub(crate) fn sentence(self, value: Decimal) -> String {
        let noun = if self.whole { "a whole number" } else { "a number" };
        if to_f64(value).is_some_and(|value| value > self.high) {
            return format!("{noun} up to {}", said(self.high));
        }
        let low = if self.above { "above" } else { "from" };
        format!("{noun} {low} {}", said(self.low))
    }
}

/// The nearest float of an exact decimal.
pub(crate) fn to_f64(value: Decimal) -> Option<f64> {
    // Through the text, which the standard library rounds correctly; the cast would round twice.
    value.normalize().to_string().parse().ok().or_else(|| value.to_f64())
}

/// A plain number, at most nine decimals, no trailing zeros.
pub(crate) fn plain(value: f64) -> String {
    let shortest = value.to_string();
    let decimals = shortest.split_once('.').map_or(0, |(_, fraction)| fraction.len());
    let text = if decimals > 9 { format!("{value:.9}") } else { shortest };
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A limit in a sentence, large ones with commas between thousands.
fn said(limit: f64) -> String {
    let digits = plain(limit);
    let whole = digits.parse::<usize>().ok().filter(|whole| *whole >= 10_000);
    whole.map_or(digits, thousands)
}

/// (value - minus) x times / over, rounded to nine decimals.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Conversion {
    minus: i64,
    times: i64,
    over: i64,
}

impl Conversion {
    /// 1 ft = 0.3048 m, exact (international foot; NIST SP 811, appendix B).
    pub(crate) const FEET_TO_METRES: Self = Self { minus: 0, times: 3_048, over: 10_000 };
    /// 1 in = 25.4 mm, exact (NIST SP 811, appendix B).
    pub(crate) const INCHES_TO_MM: Self = Self { minus: 0, times: 254, over: 10 };
    /// The same the other way.
    pub(crate) const MM_TO_INCHES: Self = Self { minus: 0, times: 10, over: 254 };
    /// 1 ft = 0.3048 m the other way.
    pub(crate) const METRES_TO_FEET: Self = Self { minus: 0, times: 10_000, over: 3_048 };
    /// 1 in = 2.54 cm the other way.
    pub(crate) const CM_TO_INCHES: Self = Self { minus: 0, times: 100, over: 254 };
    /// °C = (°F - 32) x 5 / 9, exact (NIST SP 811, appendix B).
    pub(crate) const FAHRENHEIT_TO_CELSIUS: Self = Self { minus: 32, times: 5, over: 9 };
    /// A difference of 9 °F is one of 5 °C, exact (the same).
    pub(crate) const FAHRENHEIT_APART: Self = Self { minus: 0, times: 5, over: 9 };
    /// 1 mi/h = 0.447 04 m/s, exact (NIST SP 811, appendix B).
    pub(crate) const MPH_TO_METRES_PER_SECOND: Self = Self { minus: 0, times: 44_704, over: 100_000 };

    /// The other way, to six decimals.
    pub(crate) fn back(self, value: Decimal) -> Option<Decimal> {
        let over = value.checked_mul(self.over.into())?.checked_div(self.times.into())?;
        Some(round_half_away(over.checked_add(self.minus.into())?, 6).normalize())
    }

    pub(crate) fn convert(self, value: Decimal) -> Option<f64> {
        let shifted = value.checked_sub(Decimal::from(self.minus))?;
        let scaled = shifted.checked_mul(Decimal::from(self.times))?.checked_div(Decimal::from(self.over))?;
        to_f64(round_half_away(scaled, 9))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dec(text: &str) -> Decimal {
        text.parse().unwrap()
    }

    #[test]
    fn names_the_end_that_was_missed() {
        let share = from(0.0).up_to(100.0);
        assert_eq!(share.sentence(dec("120")), "a number up to 100");
        assert_eq!(share.sentence(dec("-1")), "a number from 0");
        assert_eq!(above(0.0).sentence(dec("0")), "a number above 0");
        assert_eq!(from(1.0).in_whole().sentence(dec("0")), "a whole number from 1");
        assert!(share.hold(dec("100")) && !share.hold(dec("100.000001")) && !above(0.0).hold(dec("0")));
    }

    /// Source: NIST SP 811 (2008), appendix B.8, and the definitions beside each constant.
    #[test]
    fn converts() {
        let cases = [
            (Conversion::FEET_TO_METRES, "1240", 377.952),
            (Conversion::INCHES_TO_MM, "0.25", 6.35),
            (Conversion::MM_TO_INCHES, "25.4", 1.0),
            (Conversion::METRES_TO_FEET, "5.4864", 18.0),
            (Conversion::CM_TO_INCHES, "4826", 1_900.0),
            (Conversion::FAHRENHEIT_TO_CELSIUS, "212", 100.0),
            (Conversion::FAHRENHEIT_TO_CELSIUS, "69", 20.555_555_556),
            (Conversion::FAHRENHEIT_APART, "3.6", 2.0),
            (Conversion::MPH_TO_METRES_PER_SECOND, "10", 4.4704),
        ];
        for (conversion, from, to) in cases {
            assert_eq!(plain(conversion.convert(dec(from)).unwrap()), plain(to), "{from}");
        }
    }

    #[test]
    fn plain_numbers() {
        for (value, text) in [(0.1, "0.1"), (-0.0, "0"), (1.0 / 3.0, "0.333333333"), (1e8, "100000000"), (2.5e-12, "0")]
        {
            assert_eq!(plain(value), text);
        }
    }
}
