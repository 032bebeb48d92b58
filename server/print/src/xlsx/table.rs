//! Sheets of plain cells, and the file made of them.

use chrono::NaiveDate;
use reckon::exact::Exact;
use reckon::figure::Figure;
use reckon::money::{Money, UnitPrice, round_half_away};
use reckon::units::Measure;
use rust_decimal::Decimal;
use rust_xlsxwriter::{DocProperties, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError};

use crate::{figures, words};

/// Why no spreadsheet was written.
#[derive(Debug, thiserror::Error)]
pub enum SpreadsheetError {
    /// A sheet would be larger than a spreadsheet may be, or a day is before 1900.
    #[error("the spreadsheet could not be written: {0}; a sheet holds 1,048,576 rows, texts of 32,767 letters")]
    Write(#[from] XlsxError),
}

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// Nothing.
    Blank,
    /// Words; never read as a formula.
    Text(String),
    /// Dollars and cents.
    Money(Money),
    /// A decimal number to so many places.
    Number(Decimal, u32),
    /// A measured or modelled quantity to so many places.
    Float(f64, u32),
    /// A day.
    Day(NaiveDate),
}

impl Value {
    pub(super) fn text(text: &str) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(text.to_owned()) }
    }

    pub(super) fn count(n: usize) -> Self {
        Self::Number(Decimal::from(n), 0)
    }

    pub(super) fn money(figure: Option<&Figure<Money>>) -> Self {
        figure.map_or(Self::Blank, |figure| Self::Money(figure.value))
    }

    /// To the six places that a price is kept with: a spreadsheet may multiply it.
    pub(super) fn price<U>(price: Option<UnitPrice<U>>) -> Self {
        price.map_or(Self::Blank, |price| {
            if price.is_beyond() { Self::text(figures::TOO_LARGE) } else { Self::Number(price.decimal(), 6) }
        })
    }

    pub(super) fn price_of<U>(figure: Option<&Figure<UnitPrice<U>>>) -> Self {
        Self::price(figure.map(|figure| figure.value))
    }

    pub(super) fn exact<U>(quantity: Option<Exact<U>>) -> Self {
        quantity
            .map_or(Self::Blank, |quantity| Self::Number(quantity.decimal(), quantity.decimal().normalize().scale()))
    }

    pub(super) fn exact_of<U>(figure: Option<&Figure<Exact<U>>>) -> Self {
        Self::exact(figure.map(|figure| figure.value))
    }

    pub(super) fn measure<M: Measure + Copy>(value: M) -> Self {
        Self::Float(value.float(), u32::try_from(M::PLACES).unwrap_or_default())
    }

    pub(super) fn measure_of<M: Measure + Copy>(figure: Option<&Figure<M>>) -> Self {
        figure.map_or(Self::Blank, |figure| Self::measure(figure.value))
    }

    /// How a figure is known, and the number of records behind it: two cells.
    pub(super) fn known<T>(figure: Option<&Figure<T>>) -> [Self; 2] {
        let Some(figure) = figure else { return [Self::Blank, Self::Blank] };
        let lacking = words::lacking(figure).map(|lacking| format!(", incomplete: {lacking}")).unwrap_or_default();
        [Self::Text(format!("{}{lacking}", figure.evidence.word())), Self::count(figure.n())]
    }
}

/// A column: its head and its width in letters.
pub(super) type Column = (String, f64);

/// One sheet: its name, heads, and rows; a sum is set bold.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    pub(super) name: &'static str,
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<(bool, Vec<Value>)>,
}

impl Sheet {
    pub(super) fn new(name: &'static str, columns: &[(&str, f64)]) -> Self {
        let columns = columns.iter().map(|(head, width)| ((*head).to_owned(), *width)).collect();
        Self { name, columns, rows: Vec::new() }
    }

    pub(super) fn row(&mut self, cells: Vec<Value>) {
        self.rows.push((false, cells));
    }

    pub(super) fn sum(&mut self, cells: Vec<Value>) {
        self.rows.push((true, cells));
    }
}

/// The file. Its dates are the day given, so the same sheets give the same bytes.
pub(super) fn write(title: &str, made_on: NaiveDate, sheets: &[Sheet]) -> Result<Vec<u8>, SpreadsheetError> {
    let mut book = Workbook::new();
    let properties = DocProperties::new().set_title(title).set_author("Seasonbook").set_creation_datetime(&made_on);
    book.set_properties(&properties);
    for sheet in sheets {
        written(book.add_worksheet(), sheet)?;
    }
    Ok(book.save_to_buffer()?)
}

fn written(to: &mut Worksheet, sheet: &Sheet) -> Result<(), SpreadsheetError> {
    to.set_name(sheet.name)?;
    to.set_landscape().set_print_fit_to_pages(1, 0);
    to.set_repeat_rows(0, 0)?;
    to.set_freeze_panes(1, 0)?;
    let head =
        Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top).set_border_bottom(FormatBorder::Thin);
    for (at, (name, width)) in (0u16..).zip(&sheet.columns) {
        to.set_column_width(at, *width)?;
        to.write_string_with_format(0, at, name.as_str(), &head)?;
    }
    for (row, (bold, cells)) in (1u32..).zip(&sheet.rows) {
        for (at, value) in (0u16..).zip(cells) {
            cell(to, (row, at), value, *bold)?;
        }
    }
    Ok(())
}

fn cell(to: &mut Worksheet, (row, at): (u32, u16), value: &Value, bold: bool) -> Result<(), SpreadsheetError> {
    let plain = if bold { Format::new().set_bold() } else { Format::new() };
    let number = |places| plain.clone().set_num_format(number_format(places));
    match value {
        Value::Text(text) => {
            to.write_string_with_format(row, at, printable(text), &plain)?;
        }
        Value::Money(amount) if amount.is_beyond() => {
            to.write_string_with_format(row, at, figures::TOO_LARGE, &plain)?;
        }
        Value::Money(amount) => decimal(to, (row, at), amount.decimal(), &number(2))?,
        Value::Number(value, places) => decimal(to, (row, at), round_half_away(*value, *places), &number(*places))?,
        // A cell holds no infinity; what is no number is left out, as on the pages.
        Value::Float(value, places) if value.is_finite() => {
            to.write_number_with_format(row, at, *value + 0.0, &number(*places))?;
        }
        Value::Float(..) | Value::Blank => {}
        Value::Day(date) => {
            to.write_datetime_with_format(row, at, date, &plain.set_num_format("yyyy-mm-dd"))?;
        }
    }
    Ok(())
}

/// The nearest binary number, whose shortest text is the decimal itself up to 15 digits: all that a
/// spreadsheet keeps. What has more stands as text, so that no cent is lost without a word.
fn decimal(to: &mut Worksheet, (row, at): (u32, u16), value: Decimal, format: &Format) -> Result<(), SpreadsheetError> {
    const DIGITS: u64 = 1_000_000_000_000_000;
    let text = value.normalize().to_string();
    let short = value.normalize().mantissa().unsigned_abs() < u128::from(DIGITS);
    match text.parse::<f64>() {
        Ok(number) if short => to.write_number_with_format(row, at, number, format)?,
        _ => to.write_string_with_format(row, at, text, format)?,
    };
    Ok(())
}

/// "#,##0.00".
fn number_format(places: u32) -> String {
    let zeros = "0".repeat(usize::try_from(places).unwrap_or_default());
    if zeros.is_empty() { "#,##0".to_owned() } else { format!("#,##0.{zeros}") }
}

/// Without the control characters that the file format has no way to hold.
fn printable(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).collect()
}
