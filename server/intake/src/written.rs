//! Numbers as programs write them into a table: with an exponent, a leading plus, or a point at the end.
//!
//! Read exactly, by moving the decimal mark, and never through a float. Records are typed by people and
//! keep the stricter reading of [`number::read`].

use rust_decimal::Decimal;

use crate::number::{self, Digits, Fault, MOST_WHOLE_DIGITS, Mark};

/// Most digits a number may have, and most places after its mark: what an exact decimal holds.
const MOST_DIGITS: i32 = 28;

/// Reads "1e+05", "1.25E-3", "+5", "5." and every plain number.
pub(crate) fn read(text: &str, mark: Mark) -> Result<Decimal, Fault> {
    let text = text.trim();
    let (mantissa, exponent) = exponent_of(text).unwrap_or((text, 0));
    let point = if mark == Mark::Comma { ',' } else { '.' };
    let mantissa = mantissa.strip_suffix(point).filter(|rest| rest.ends_with(digit)).unwrap_or(mantissa);
    let mantissa = mantissa.strip_prefix('+').filter(|rest| rest.starts_with(digit_or_mark)).unwrap_or(mantissa);
    moved(number::digits(mantissa, mark, false)?, exponent)
}

const fn digit(sign: char) -> bool {
    sign.is_ascii_digit()
}

const fn digit_or_mark(sign: char) -> bool {
    digit(sign) || matches!(sign, '.' | ',')
}

/// What stands before an exponent, and the exponent; `None` without one. One of many digits is out of any
/// range and is held at one that is.
fn exponent_of(text: &str) -> Option<(&str, i32)> {
    let (mantissa, power) = text.split_once(['e', 'E'])?;
    let (down, digits) = match power.strip_prefix('-').or_else(|| power.strip_prefix('\u{2212}')) {
        Some(rest) => (true, rest),
        None => (false, power.strip_prefix('+').unwrap_or(power)),
    };
    if digits.is_empty() || !digits.chars().all(digit) || !mantissa.ends_with(digit_or_mark) {
        return None;
    }
    let far = digits.parse::<u16>().map_or(i32::from(u16::MAX), i32::from);
    Some((mantissa, if down { -far } else { far }))
}

/// The number with its decimal mark moved. Its size is looked at before any nought is written.
fn moved(Digits { negative, whole, fraction }: Digits, exponent: i32) -> Result<Decimal, Fault> {
    let length = |text: &str| i32::try_from(text.len()).map_err(|_| Fault::TooLong);
    let before = length(&whole)?.checked_add(exponent).ok_or(Fault::TooLong)?;
    let all = whole + &fraction;
    let leading = all.trim_start_matches('0');
    // Where the mark stands among the digits that count.
    let before = before.checked_sub(length(&all)?.checked_sub(length(leading)?).ok_or(Fault::TooLong)?);
    let (before, digits) = (before.ok_or(Fault::TooLong)?, leading.trim_end_matches('0'));
    if digits.is_empty() {
        return Ok(Decimal::ZERO);
    }
    if before > i32::try_from(MOST_WHOLE_DIGITS).map_err(|_| Fault::TooLong)? {
        return Err(Fault::TooLong);
    }
    let places = length(digits)?.checked_sub(before).unwrap_or(i32::MAX).max(0);
    if places > MOST_DIGITS || length(digits)? > MOST_DIGITS {
        return Err(Fault::Decimals);
    }
    let missing = usize::try_from(before.checked_sub(length(digits)?).unwrap_or_default()).unwrap_or_default();
    let integer: i128 = format!("{digits}{}", "0".repeat(missing)).parse().map_err(|_| Fault::TooLong)?;
    let places = u32::try_from(places).map_err(|_| Fault::Decimals)?;
    Decimal::try_from_i128_with_scale(if negative { -integer } else { integer }, places).map_err(|_| Fault::Decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_programs_write_is_read_exactly() {
        for (text, read_as) in [
            ("1e+05", "100000"),
            ("1E5", "100000"),
            ("1e0", "1"),
            ("-2.50e-03", "-0.0025"),
            ("\u{2212}1.5E\u{2212}2", "-0.015"),
            ("1.23456789012345e-05", "0.0000123456789012345"),
            ("0.333333333333333", "0.333333333333333"),
            ("0.30000000000000004", "0.30000000000000004"),
            ("9.99999999999999e14", "999999999999999"),
            ("0e999999999999", "0"),
            ("0.00012e6", "120"),
            ("+5", "5"),
            ("+.5", "0.5"),
            ("5.", "5"),
            ("+5.e1", "50"),
            ("1e-28", "0.0000000000000000000000000001"),
            ("1,234.5", "1234.5"),
        ] {
            assert_eq!(read(text, Mark::Point).map(|value| value.to_string()).as_deref(), Ok(read_as), "{text}");
        }
        assert_eq!(read("1,5e3", Mark::Comma).map(|value| value.to_string()).as_deref(), Ok("1500"));
        assert_eq!(read("5,", Mark::Comma).map(|value| value.to_string()).as_deref(), Ok("5"));
    }

    #[test]
    fn what_is_too_large_or_too_small_is_refused_before_it_is_written_out() {
        for (text, fault) in [
            ("1e308", Fault::TooLong),
            ("1e15", Fault::TooLong),
            ("1e99999999999999999999", Fault::TooLong),
            ("1e-29", Fault::Decimals),
            ("1e-99999999999999999999", Fault::Decimals),
            ("0.12345678901234567890123456789", Fault::Decimals),
            ("999999999999999.12345678901234", Fault::Decimals),
        ] {
            assert_eq!(read(text, Mark::Point), Err(fault), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_stays_none() {
        for text in [
            "", "+", ".", "++5", "+-5", "--5", "5..", "e5", "1e", "1e+", "1e5.5", "1e5e5", "1ee5", "+e5", "0x10",
            "5 e", "1_000",
        ] {
            assert!(read(text, Mark::Point).is_err(), "{text}");
        }
        assert_eq!(read("NaN", Mark::Point), Err(Fault::NotFinite));
        assert_eq!(read("12%", Mark::Point), Err(Fault::Percent));
    }
}
