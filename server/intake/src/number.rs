//! Numbers as people write them, read exactly or refused; never through a float.

use rust_decimal::Decimal;

/// Most digits before the decimal mark. Far above every limit of a column.
pub(crate) const MOST_WHOLE_DIGITS: usize = 15;
/// Most digits after it that are looked at.
const MOST_FRACTION_DIGITS: usize = 12;

/// Which sign stands between whole and fraction in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Mark {
    /// A point: forms, `block.toml`, and files with commas between cells.
    #[default]
    Point,
    /// Not known: other separators, and no number in the file shows it.
    Unknown,
    /// A comma: other separators, and at least one number shows it.
    Comma,
}

/// Why a text is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    NotANumber,
    NotFinite,
    Exponent,
    Currency,
    Percent,
    DecimalComma,
    Grouping,
    TwoWays,
    TooLong,
    Decimals,
}

impl Fault {
    /// What was expected, following "expected a number ".
    pub(crate) const fn expected(self) -> &'static str {
        match self {
            Self::NotANumber => "in digits",
            Self::NotFinite => "in digits, or nothing where it is not known",
            Self::Exponent => "written out, without an exponent",
            Self::Currency => "without a currency sign",
            Self::Percent => "without the percent sign",
            Self::DecimalComma => "with a decimal point",
            Self::Grouping => "with thousands in groups of three, or without separators",
            Self::TwoWays => "that can be read one way only: without a separator between thousands",
            Self::TooLong => "of at most 15 digits",
            Self::Decimals => "with fewer decimals",
        }
    }
}

/// Reads a number. `dollars` allows a currency sign and the bookkeeper's brackets for a negative.
pub(crate) fn read(text: &str, mark: Mark, dollars: bool) -> Result<Decimal, Fault> {
    let Digits { negative, whole, fraction } = digits(text, mark, dollars)?;
    exact(negative, &whole, &fraction)
}

/// A number in its digits, however many.
#[derive(Debug)]
pub(crate) struct Digits {
    pub(crate) negative: bool,
    /// Before the decimal mark.
    pub(crate) whole: String,
    /// After it, without trailing zeros.
    pub(crate) fraction: String,
}

pub(crate) fn digits(text: &str, mark: Mark, dollars: bool) -> Result<Digits, Fault> {
    let text = text.trim().replace('\u{2212}', "-");
    let (negative, body) = sign_and_body(&text, dollars)?;
    refuse_words(body)?;
    let (group, decimal) = separators(body, mark)?;
    let (whole, fraction) = match decimal.and_then(|sign| body.rsplit_once(sign)) {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (body, None),
    };
    let whole = ungrouped(whole, group, fraction.is_some())?;
    Ok(Digits { negative, whole, fraction: digits_of(fraction)?.to_owned() })
}

/// Whether a number shows that a comma stands before its fraction.
pub(crate) fn shows_decimal_comma(text: &str) -> bool {
    let body = text.trim().trim_start_matches(['-', '$', '\u{2212}']);
    let Some((whole, fraction)) = body.split_once(',') else { return false };
    let all_digits = |part: &str| part.chars().all(|c| c.is_ascii_digit());
    if fraction.is_empty() || !all_digits(fraction) {
        return false;
    }
    let grouped = whole.contains(['.', ' ', '\u{a0}', '\u{202f}']);
    let digits: String = whole.chars().filter(char::is_ascii_digit).collect();
    let only_number = whole.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ' ' | '\u{a0}' | '\u{202f}'));
    only_number && (grouped || !looks_grouped(&digits, fraction))
}

/// `1` and `234` could be one number cut by a thousands separator; `0` and `234` could not.
fn looks_grouped(whole: &str, rest: &str) -> bool {
    rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}

fn sign_and_body(text: &str, dollars: bool) -> Result<(bool, &str), Fault> {
    let (bracketed, body) = match text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')) {
        Some(inner) if dollars => (true, inner),
        _ => (false, text),
    };
    let (minus, body) = strip_minus(body);
    let (body, late_minus) = match body.strip_prefix('$') {
        Some(rest) if dollars => {
            let (late, rest) = strip_minus(rest);
            (rest.trim_start(), late)
        }
        Some(_) => return Err(Fault::Currency),
        None => (body, false),
    };
    match [bracketed, minus, late_minus].into_iter().filter(|sign| *sign).count() {
        0 => Ok((false, body)),
        1 => Ok((true, body)),
        _ => Err(Fault::NotANumber),
    }
}

fn strip_minus(text: &str) -> (bool, &str) {
    text.strip_prefix('-').map_or((false, text), |rest| (true, rest.trim_start()))
}

fn refuse_words(body: &str) -> Result<(), Fault> {
    let lower = body.to_ascii_lowercase();
    if ["nan", "inf", "infinity", "+inf", "#n/a", "#div/0!", "#value!"].contains(&lower.as_str()) {
        return Err(Fault::NotFinite);
    }
    if let Some((before, after)) = lower.split_once('e') {
        let numeric = |part: &str| part.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-'));
        if !before.is_empty() && !after.is_empty() && numeric(before) && numeric(after) {
            return Err(Fault::Exponent);
        }
    }
    if lower.ends_with('%') {
        return Err(Fault::Percent);
    }
    if lower.contains(['$', '€', '£']) {
        return Err(Fault::Currency);
    }
    let allowed = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',') || is_space(c);
    if body.is_empty() || !body.chars().all(allowed) { Err(Fault::NotANumber) } else { Ok(()) }
}

const fn is_space(character: char) -> bool {
    matches!(character, ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}')
}

/// Which sign groups thousands and which stands before the fraction.
fn separators(body: &str, mark: Mark) -> Result<(Option<char>, Option<char>), Fault> {
    let commas = body.matches(',').count();
    let points = body.matches('.').count();
    let alone = |sign: char| body.split_once(sign).is_some_and(|(whole, rest)| looks_grouped(whole, rest));
    match (commas, points) {
        (0, 0) => Ok((None, None)),
        (0, 1) if mark == Mark::Comma && alone('.') => Err(Fault::TwoWays),
        (0, 1) => Ok((None, Some('.'))),
        (1, 0) => match mark {
            Mark::Unknown if alone(',') => Err(Fault::TwoWays),
            Mark::Unknown | Mark::Comma => Ok((None, Some(','))),
            Mark::Point if alone(',') => Ok((Some(','), None)),
            Mark::Point => Err(Fault::DecimalComma),
        },
        (_, 0) => Ok((Some(','), None)),
        (0, _) if mark != Mark::Point => Ok((Some('.'), None)),
        (_, 1) if body.rfind('.') > body.rfind(',') => Ok((Some(','), Some('.'))),
        (1, _) if mark == Mark::Point => Err(Fault::DecimalComma),
        (1, _) => Ok((Some('.'), Some(','))),
        _ => Err(Fault::NotANumber),
    }
}

/// The whole part without its separators; groups must be of three digits.
fn ungrouped(whole: &str, group: Option<char>, has_fraction: bool) -> Result<String, Fault> {
    if whole.is_empty() {
        return if has_fraction { Ok("0".to_owned()) } else { Err(Fault::NotANumber) };
    }
    let parts: Vec<&str> = match group {
        Some(sign) => whole.split(sign).collect(),
        None => whole.split(is_space).collect(),
    };
    let all_digits = parts.iter().all(|part| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit()));
    let in_threes = parts.len() == 1
        || parts.first().is_some_and(|first| first.len() <= 3) && parts.iter().skip(1).all(|part| part.len() == 3);
    if all_digits && in_threes { Ok(parts.concat()) } else { Err(Fault::Grouping) }
}

/// The fraction's digits without trailing zeros.
fn digits_of(fraction: Option<&str>) -> Result<&str, Fault> {
    let Some(digits) = fraction else { return Ok("") };
    if digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit()) {
        return Err(Fault::NotANumber);
    }
    Ok(digits.trim_end_matches('0'))
}

fn exact(negative: bool, whole: &str, fraction: &str) -> Result<Decimal, Fault> {
    let whole = whole.trim_start_matches('0');
    if whole.len() > MOST_WHOLE_DIGITS {
        return Err(Fault::TooLong);
    }
    if fraction.len() > MOST_FRACTION_DIGITS {
        return Err(Fault::Decimals);
    }
    let digits = match (whole.is_empty(), fraction.is_empty()) {
        (true, true) => return Ok(Decimal::ZERO),
        (true, false) => format!("0.{fraction}"),
        (false, true) => whole.to_owned(),
        (false, false) => format!("{whole}.{fraction}"),
    };
    let value = Decimal::from_str_exact(&digits).map_err(|_| Fault::TooLong)?;
    Ok(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(rows: &[(&str, Mark, Result<&str, Fault>)]) {
        for (text, mark, expected) in rows {
            let read = read(text, *mark, false).map(|value| value.to_string());
            assert_eq!(read.as_deref().map_err(|fault| *fault), *expected, "{text} with {mark:?}");
        }
    }

    #[test]
    fn plain_numbers_and_thousands() {
        check(&[
            ("12.5", Mark::Point, Ok("12.5")),
            (" 12.50 ", Mark::Point, Ok("12.5")),
            ("-0.25", Mark::Point, Ok("-0.25")),
            ("\u{2212}3", Mark::Point, Ok("-3")),
            ("-0", Mark::Point, Ok("0")),
            (".5", Mark::Point, Ok("0.5")),
            ("007", Mark::Point, Ok("7")),
            ("1,234.5", Mark::Point, Ok("1234.5")),
            ("1,234,567", Mark::Point, Ok("1234567")),
            ("1,234", Mark::Point, Ok("1234")),
            ("1 234.5", Mark::Point, Ok("1234.5")),
            ("1\u{a0}234\u{202f}567", Mark::Point, Ok("1234567")),
        ]);
    }

    #[test]
    fn decimal_commas_only_where_the_file_may_have_them() {
        check(&[
            ("12,5", Mark::Point, Err(Fault::DecimalComma)),
            ("1.234,5", Mark::Point, Err(Fault::DecimalComma)),
            ("12,5", Mark::Comma, Ok("12.5")),
            ("1.234,5", Mark::Comma, Ok("1234.5")),
            ("1 234,5", Mark::Comma, Ok("1234.5")),
            ("1,234", Mark::Comma, Ok("1.234")),
            ("1.234", Mark::Comma, Err(Fault::TwoWays)),
            ("0.234", Mark::Comma, Ok("0.234")),
            ("1,234", Mark::Unknown, Err(Fault::TwoWays)),
            ("0,234", Mark::Unknown, Ok("0.234")),
            ("1.234", Mark::Unknown, Ok("1.234")),
            ("1.234.567", Mark::Unknown, Ok("1234567")),
            ("1.234.567", Mark::Point, Err(Fault::NotANumber)),
        ]);
    }

    #[test]
    fn refuses_what_is_no_plain_number() {
        check(&[
            ("", Mark::Point, Err(Fault::NotANumber)),
            ("NaN", Mark::Point, Err(Fault::NotFinite)),
            ("-inf", Mark::Point, Err(Fault::NotFinite)),
            ("#DIV/0!", Mark::Point, Err(Fault::NotFinite)),
            ("1e3", Mark::Point, Err(Fault::Exponent)),
            ("1E+308", Mark::Point, Err(Fault::Exponent)),
            ("0x10", Mark::Point, Err(Fault::NotANumber)),
            ("1_000", Mark::Point, Err(Fault::NotANumber)),
            ("5.", Mark::Point, Err(Fault::NotANumber)),
            ("--5", Mark::Point, Err(Fault::NotANumber)),
            ("12 h", Mark::Point, Err(Fault::NotANumber)),
            ("50%", Mark::Point, Err(Fault::Percent)),
            ("$5", Mark::Point, Err(Fault::Currency)),
            ("12,34.5", Mark::Point, Err(Fault::Grouping)),
            ("1234,567.5", Mark::Point, Err(Fault::Grouping)),
            ("1 23", Mark::Point, Err(Fault::Grouping)),
            ("1,234.567,8", Mark::Point, Err(Fault::NotANumber)),
            ("١٢", Mark::Point, Err(Fault::NotANumber)),
            ("1234567890123456", Mark::Point, Err(Fault::TooLong)),
            ("0.1234567890123", Mark::Point, Err(Fault::Decimals)),
        ]);
    }

    #[test]
    fn dollars_with_sign_and_brackets() {
        let dollars =
            [("$1,234.50", "1234.5"), ("-$5", "-5"), ("$-5", "-5"), ("(12.30)", "-12.3"), ("($12.30)", "-12.3")];
        for (text, expected) in dollars {
            assert_eq!(read(text, Mark::Point, true).unwrap().to_string(), expected, "{text}");
        }
        assert_eq!(read("(-5)", Mark::Point, true), Err(Fault::NotANumber));
        assert_eq!(read("(5)", Mark::Point, false), Err(Fault::NotANumber));
        assert_eq!(read("€5", Mark::Point, true), Err(Fault::Currency));
    }

    #[test]
    fn what_shows_a_decimal_comma() {
        for (text, shows) in [
            ("12,5", true),
            ("1,234", false),
            ("0,234", true),
            ("1.234,567", true),
            ("1 234,567", true),
            ("1234,567", true),
            ("12.5", false),
            ("a,b", false),
            ("1,2,3", false),
            ("", false),
        ] {
            assert_eq!(shows_decimal_comma(text), shows, "{text}");
        }
    }
}
