//! The settings of the water balance as a grower types them in a form: inches, feet, degrees
//! Fahrenheit, yes or no, a month and day. Files keep the metric names of the published tables.

use reckon::block::MonthDay;
use reckon::water::setup::{SETTINGS, SettingInfo, WaterSetup};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::Context;
use crate::column::{Column, Input};
use crate::form::Fields;
use crate::kinds::settings;
use crate::number::Mark;
use crate::problem::{Problem, Problems};
use crate::row::{Bounds, Cell, Conversion, Row, from, plain, to_f64};

mod table;

/// Significant figures of a value that was not typed in the unit of the form.
const FIGURES: u32 = 4;

/// How a setting is typed in a form.
#[derive(Debug, Clone, Copy)]
enum Way {
    /// As a file has it.
    AsKept,
    /// In another unit; beside it the unit it is kept in.
    Measure(Conversion, &'static str),
    /// The word of 1 and the word of 0.
    Words(&'static [&'static str; 2]),
    /// A day of any year, kept as month x 100 + day.
    MonthDay,
}

/// A setting of the water balance as a field of a form.
#[derive(Debug, Clone, Copy)]
pub struct SettingField {
    /// The setting.
    pub info: &'static SettingInfo,
    /// The field: its name has the unit it is typed in.
    pub column: Column,
    way: Way,
}

/// Every setting as a field, in the order of [`SETTINGS`].
pub fn setting_fields() -> impl Iterator<Item = SettingField> {
    SETTINGS.iter().map(SettingField::of)
}

/// The settings typed in a form, by the columns of a file, and what is wrong with others. A field that
/// still says what stood `before` leaves the value as it was, to its last decimal. Other fields are left
/// alone.
pub fn read_setting_fields(typed: &[(String, String)], before: &WaterSetup) -> (Fields, Vec<Problem>) {
    let fields: Vec<SettingField> = setting_fields().collect();
    let columns: Vec<Column> = fields.iter().map(|field| field.column).collect();
    let cells = typed.iter().filter_map(|(name, text)| {
        let column = columns.iter().find(|column| column.name == name)?;
        Some(Cell::plain(column.name, text.clone()))
    });
    let mut problems = Problems::default();
    let mut row = Row::new(&columns, cells.collect(), None, Mark::Point, Context::default(), &mut problems);
    row.check_texts();
    let kept = fields.iter().filter_map(|field| {
        let value = field.read(&mut row, before.get(field.info.setting))?;
        Some((field.info.name.to_owned(), plain(value)))
    });
    let kept = kept.collect();
    (kept, problems.into_list())
}

impl SettingField {
    fn of(info: &'static SettingInfo) -> Self {
        let column = settings::column(info);
        let Some(differs) = table::DIFFERS.iter().find(|differs| differs.setting == info.setting) else {
            return Self { info, column, way: Way::AsKept };
        };
        let input = match differs.way {
            Way::AsKept | Way::Measure(..) => Input::Number { unit: differs.unit },
            Way::Words(words) => Input::Choice(words),
            Way::MonthDay => Input::MonthDay,
        };
        let column = Column { name: differs.name, input, about: differs.about, example: differs.example, ..column };
        Self { info, column, way: differs.way }
    }

    /// A kept value as the form says it: what was typed comes back as typed; what came from a file in
    /// another unit has four significant figures.
    pub fn shown(&self, value: f64) -> String {
        match self.way {
            Way::AsKept => plain(value),
            Way::Measure(way, _) => in_typed_unit(way, value).unwrap_or_else(|| plain(value)),
            Way::Words([one, nought]) => (*if value > 0.0 { one } else { nought }).to_owned(),
            Way::MonthDay => month_day(value).map_or_else(|| plain(value), |day| day.to_string()),
        }
    }

    /// A value with the unit it is kept in, where that is not the one of the form: `1.2 m`. Nought is
    /// the same in both.
    pub fn as_kept(&self, value: f64) -> Option<String> {
        match self.way {
            Way::Measure(_, unit) if value > 0.0 => Some(format!("{} {unit}", plain(value))),
            _ => None,
        }
    }

    fn read(&self, row: &mut Row<'_>, before: Option<f64>) -> Option<f64> {
        let name = self.column.name;
        let unchanged = before.filter(|value| row.maybe_text(name).as_deref() == Some(self.shown(*value).as_str()));
        if unchanged.is_some() {
            return unchanged;
        }
        match self.way {
            Way::AsKept => settings::read(row, self.info),
            Way::Measure(way, _) => row.converted(name, limits(way, self.info)?, way),
            Way::Words(words) => {
                let said = row.choice(name, words, |word| word)?;
                Some(if words.first() == Some(&said) { 1.0 } else { 0.0 })
            }
            Way::MonthDay => row.month_day(name).map(|day| f64::from(day.month() * 100 + day.day())),
        }
    }
}

/// A kept value in the unit it is typed in: with all its decimals where those lead back to the value.
fn in_typed_unit(way: Conversion, value: f64) -> Option<String> {
    let turned = way.back(plain(value).parse().ok()?)?;
    if way.convert(turned) == Some(value) {
        return Some(turned.to_string());
    }
    Some(rounded(turned, RoundingStrategy::MidpointAwayFromZero)?.to_string())
}

fn rounded(value: Decimal, strategy: RoundingStrategy) -> Option<Decimal> {
    value.round_sf_with_strategy(FIGURES, strategy).map(|rounded| rounded.normalize())
}

/// The range in the unit it is typed in. Its ends are rounded inwards: whoever types them is not refused.
fn limits(way: Conversion, info: &SettingInfo) -> Option<Bounds> {
    let end = |value: f64, strategy| {
        let turned = way.back(plain(value).parse().ok()?)?;
        to_f64(if way.convert(turned) == Some(value) { turned } else { rounded(turned, strategy)? })
    };
    let low = end(info.low, RoundingStrategy::ToPositiveInfinity)?;
    Some(from(low).up_to(end(info.high, RoundingStrategy::ToNegativeInfinity)?))
}

/// 420 is 20 April.
fn month_day(value: f64) -> Option<MonthDay> {
    let number = value.to_u32()?;
    MonthDay::new(number / 100, number % 100)
}

#[cfg(test)]
mod tests;
