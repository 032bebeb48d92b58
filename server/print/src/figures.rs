//! How numbers are written on pages, in reports and in charts: grouping, places, the minus sign.
//!
//! One module, so the page and the sheet cannot print the same figure differently. American
//! English now: comma between thousands, decimal point. Rounding is half away from zero. The unit
//! is never part of the number: it is set small and after it by whoever places the text.

use reckon::exact::Exact;
use reckon::money::{Money, UnitPrice, round_half_away};
use reckon::units::Measure;
use rust_decimal::Decimal;

/// The minus sign, U+2212: as wide as a figure and never broken from it.
pub const MINUS: char = '\u{2212}';

/// What stands where a figure could not be made.
pub const NOT_KNOWN: &str = "–";

/// What stands where a sum is beyond what can be added up; a gap of the season says what to look for.
pub const TOO_LARGE: &str = "too large";

/// Dollars and cents without the sign of the currency: `−1,305.17`.
pub fn money(amount: Money) -> String {
    if amount.is_beyond() { TOO_LARGE.to_owned() } else { decimal(amount.decimal(), 2) }
}

/// Whole dollars: `−1,305`.
pub fn whole_money(amount: Money) -> String {
    if amount.is_beyond() { TOO_LARGE.to_owned() } else { decimal(amount.decimal(), 0) }
}

/// Dollars per something, to so many places: `8.42`.
pub fn price<U>(price: UnitPrice<U>, places: u32) -> String {
    if price.is_beyond() { TOO_LARGE.to_owned() } else { decimal(price.decimal(), places) }
}

/// Dollars per something with a plus or a minus: how a premium is written, `+0.26`.
pub fn signed_price<U>(price: UnitPrice<U>, places: u32) -> String {
    let text = self::price(price, places);
    let zero = !text.contains(|c: char| ('1'..='9').contains(&c));
    if zero || text.starts_with(MINUS) || text == TOO_LARGE { text } else { format!("+{text}") }
}

/// Puts the dollar sign where it belongs, after a minus: `−$1,305.17`.
pub fn dollars(number: &str) -> String {
    if number == TOO_LARGE {
        return number.to_owned();
    }
    number.strip_prefix(MINUS).map_or_else(|| format!("${number}"), |rest| format!("{MINUS}${rest}"))
}

/// An exact quantity to so many places: `1,284.5`.
pub fn exact<U>(quantity: Exact<U>, places: u32) -> String {
    decimal(quantity.decimal(), places)
}

/// An exact quantity with the places it has and no more: `15.4`.
pub fn plain<U>(quantity: Exact<U>) -> String {
    let value = quantity.decimal();
    decimal(value, value.scale())
}

/// A physical quantity to the places of its kind ([`Measure::PLACES`]): `34.10`.
pub fn quantity<M: Measure + Copy>(quantity: M) -> String {
    float(quantity.float(), M::PLACES)
}

/// A bare float to so many places.
///
/// The shortest decimal that reads back the same is rounded, so 0.285 becomes 0.29 although the
/// binary number lies a hair below.
pub fn float(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return NOT_KNOWN.to_owned();
    }
    let exact: Option<Decimal> = format!("{value}").parse().ok();
    match (exact, u32::try_from(places)) {
        (Some(exact), Ok(places)) => decimal(exact, places),
        // Beyond 28 digits, where no decimal place of a float is real any more.
        _ => group(&format!("{value:.places$}")),
    }
}

/// A standard error to so many places: one decimal instead of none where it is below half a unit, so that a
/// small error does not read as none.
pub fn error(value: f64, places: usize) -> String {
    float(value, if places == 0 && value < 0.5 { 1 } else { places })
}

/// A bare float with the places it has and no more: `2.5`, `14`.
pub fn shortest(value: f64) -> String {
    let exact: Option<Decimal> = format!("{value}").parse().ok();
    exact.map_or_else(|| float(value, 0), |exact| decimal(exact, exact.normalize().scale()))
}

/// A number of things: `2,387`.
pub fn count(n: usize) -> String {
    group(&n.to_string())
}

/// A decimal to so many places, half away from zero, grouped.
pub fn decimal(value: Decimal, places: u32) -> String {
    let mut rounded = round_half_away(value, places);
    rounded.rescale(places);
    if rounded.is_zero() {
        rounded.set_sign_positive(true);
    }
    group(&rounded.to_string())
}

/// `1 entry`, `41 entries`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{} {}", count(n), if n == 1 { one } else { many })
}

/// Commas between thousands, and the real minus sign, in a plain ASCII number.
fn group(plain: &str) -> String {
    let (sign, digits) = plain.strip_prefix('-').map_or(("", plain), |rest| ("-", rest));
    let (whole, fraction) = digits.split_once('.').map_or((digits, None), |(whole, rest)| (whole, Some(rest)));
    let mut text = String::with_capacity(plain.len() + plain.len() / 3);
    if !sign.is_empty() {
        text.push(MINUS);
    }
    for (n, digit) in whole.chars().enumerate() {
        if n > 0 && (whole.len() - n).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    if let Some(fraction) = fraction {
        text.push('.');
        text.push_str(fraction);
    }
    text
}

#[cfg(test)]
mod tests {
    use reckon::exact::{Acres, unit};
    use reckon::units::{AcreInches, GallonsUs, Inches, Share};

    use super::*;

    #[test]
    fn money_is_grouped_and_has_a_real_minus() {
        for (cents, with_cents, whole) in [
            (0, "0.00", "0"),
            (5, "0.05", "0"),
            (-5, "−0.05", "0"),
            (-130_517, "−1,305.17", "−1,305"),
            (99_950, "999.50", "1,000"),
            (-4250, "−42.50", "−43"),
            (i64::MAX - 1, "92,233,720,368,547,758.06", "92,233,720,368,547,758"),
            (i64::MAX, TOO_LARGE, TOO_LARGE),
            (i64::MIN, TOO_LARGE, TOO_LARGE),
        ] {
            assert_eq!(money(Money::from_cents(cents)), with_cents);
            assert_eq!(whole_money(Money::from_cents(cents)), whole);
        }
    }

    #[test]
    fn the_dollar_sign_stands_after_the_minus() {
        assert_eq!(dollars("−1,305.17"), "−$1,305.17");
        assert_eq!(dollars("8.42"), "$8.42");
    }

    #[test]
    fn prices_round_half_away_from_zero() {
        for (micros, places, text) in [
            (8_415_000, 2, "8.42"),
            (-8_415_000, 2, "−8.42"),
            (125_000, 2, "0.13"),
            (2_500_000, 0, "3"),
            (1_000_000, 2, "1.00"),
            (-1_000, 2, "0.00"),
            (-i64::MAX, 2, TOO_LARGE),
        ] {
            assert_eq!(price(UnitPrice::<unit::Tree>::from_micros(micros), places), text, "{micros}");
        }
    }

    #[test]
    fn a_premium_shows_its_sign_and_zero_none() {
        for (micros, text) in [(260_000, "+0.26"), (-50_000, "−0.05"), (0, "0.00"), (1_000, "0.00")] {
            assert_eq!(signed_price(UnitPrice::<unit::Pound>::from_micros(micros), 2), text);
        }
    }

    #[test]
    fn quantities_keep_the_places_of_their_kind() {
        assert_eq!(quantity(Inches::of(34.1)), "34.10");
        assert_eq!(quantity(AcreInches::of(1234.56)), "1,234.6");
        assert_eq!(quantity(GallonsUs::of(14_260_000.4)), "14,260,000");
        assert_eq!(quantity(Share::of(-0.4)), "0");
        assert_eq!(plain(Acres::from_micros(15_400_000)), "15.4");
        assert_eq!(exact(Acres::from_micros(15_400_000), 2), "15.40");
    }

    #[test]
    fn floats_round_as_they_read() {
        assert_eq!(float(0.285, 2), "0.29");
        assert_eq!(float(2.5, 0), "3");
        assert_eq!(float(-2.5, 0), "−3");
        assert_eq!(float(f64::NAN, 1), NOT_KNOWN);
        assert_eq!(float(1e30, 1), "1,000,000,000,000,000,019,884,624,838,656.0");
        assert_eq!(float(1e-9, 2), "0.00");
        assert_eq!([error(0.49, 0), error(0.5, 0), error(0.004, 2)], ["0.5", "1", "0.00"]);
        assert_eq!([shortest(2.5), shortest(14.0), shortest(-0.125)], ["2.5", "14", "−0.125"]);
    }

    #[test]
    fn counts_and_their_nouns() {
        assert_eq!(counted(1, "entry", "entries"), "1 entry");
        assert_eq!(counted(2387, "tree", "trees"), "2,387 trees");
    }
}
