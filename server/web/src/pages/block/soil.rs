//! Soil and canopy of the balance: what somebody set, and what a preset fills in.

use intake::{Column, FileKind, Input, columns};
use print::{figures, words};
use reckon::block::{Block, MonthDay};
use reckon::units::{Metres, Millimetres};
use reckon::water::setup::{Setting, SettingInfo};

/// What the balance rests on.
pub(super) struct Soil {
    /// `sandy loam`, or that nobody said.
    pub(super) texture: String,
    /// Whether the texture is taken for granted.
    pub(super) assumed: bool,
    /// Values set for this block.
    pub(super) set: Vec<Set>,
}

/// One value somebody set.
pub(crate) struct Set {
    /// `Root depth`.
    pub(crate) label: &'static str,
    /// `3.3`, `20 Apr`, `yes`.
    pub(crate) value: String,
    /// `ft`; empty where the value says it.
    pub(crate) unit: &'static str,
}

impl Soil {
    pub(super) fn of(block: &Block) -> Self {
        let columns = columns(FileKind::Blocks);
        Self {
            texture: block.water.soil.map_or("loam", reckon::water::setup::Soil::word).to_owned(),
            assumed: block.water.soil.is_none(),
            set: block.water.values().map(|(info, value)| set(&columns, info, value)).collect(),
        }
    }
}

/// A value under the label of its column, in the measures of a US grower.
pub(crate) fn set(columns: &[Column], info: &SettingInfo, value: f64) -> Set {
    let column = columns.iter().find(|column| column.name == info.name);
    let unit = column.map_or("", |column| if let Input::Number { unit } = column.input { unit } else { "" });
    let (value, unit) = said(info.setting, value, unit);
    Set { label: column.map_or(info.name, |column| column.label), value, unit }
}

fn said(setting: Setting, value: f64, unit: &'static str) -> (String, &'static str) {
    let plain = figures::shortest(value);
    match unit {
        "mm" => (figures::float(Millimetres::of(value).to_inches().get(), 2), "in"),
        "mm/day" => (figures::float(Millimetres::of(value).to_inches().get(), 2), "in a day"),
        "m" => (figures::float(Metres::of(value).to_feet().get(), 1), "ft"),
        "0 or 1" if setting == Setting::CurveFirstDay => (format!("counts as day {plain}"), ""),
        "0 or 1" => (if value > 0.0 { "yes" } else { "no" }.to_owned(), ""),
        "MMDD" => (day_of_year(value).unwrap_or(plain), ""),
        _ if setting == Setting::GrowthStartMonth => (whole(value).map_or(plain, |n| words::month(n).to_owned()), ""),
        _ => (plain, unit),
    }
}

/// 420 is 20 April.
pub(crate) fn day_of_year(value: f64) -> Option<String> {
    let number = whole(value)?;
    let day = MonthDay::new(number / 100, number % 100)?;
    Some(format!("{} {}", day.day(), words::month(day.month())))
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a month or a day of the year, checked")]
fn whole(value: f64) -> Option<u32> {
    (value.fract() == 0.0 && (1.0..=1231.0).contains(&value)).then_some(value as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(setting: Setting, value: f64) -> (&'static str, String, &'static str) {
        let columns = columns(FileKind::Blocks);
        let info = reckon::water::setup::SETTINGS.iter().find(|info| info.setting == setting).unwrap();
        let set = set(&columns, info, value);
        (set.label, set.value, set.unit)
    }

    #[test]
    fn values_have_labels_and_the_units_of_a_grower() {
        assert_eq!(shown(Setting::RootDepthM, 1.2), ("Root depth", "3.9".to_owned(), "ft"));
        assert_eq!(shown(Setting::TewMm, 19.0), ("Total evaporable water", "0.75".to_owned(), "in"));
        assert_eq!(shown(Setting::KillingFrost, 1.0), ("Killing frost", "yes".to_owned(), ""));
        assert_eq!(shown(Setting::RuleFirstMonthDay, 420.0), ("Rule: first day", "20 Apr".to_owned(), ""));
        assert_eq!(shown(Setting::GrowthStartMonth, 4.0), ("Curve starts, month", "Apr".to_owned(), ""));
        assert_eq!(shown(Setting::CurveFirstDay, 0.0).1, "counts as day 0");
        assert_eq!(shown(Setting::ApplicationEfficiencyPct, 90.0), ("Application efficiency", "90".to_owned(), "%"));
    }

    /// No setting is shown by the name of its column, nor by a number that stands for a word.
    #[test]
    fn every_setting_has_a_label() {
        for info in reckon::water::setup::SETTINGS {
            let (label, _, unit) = shown(info.setting, info.low);
            assert!(label != info.name && !label.contains('_'), "{label}");
            assert!(!["mm", "m", "MMDD", "0 or 1"].contains(&unit), "{label}: {unit}");
        }
    }
}
