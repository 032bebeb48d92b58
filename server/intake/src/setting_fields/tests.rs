use std::collections::BTreeSet;

use reckon::water::setup::{Setting, WaterSetup, by_name};

use super::*;

fn field(setting: Setting) -> SettingField {
    setting_fields().find(|field| field.info.setting == setting).unwrap()
}

fn typed(setting: Setting, text: &str, before: Option<f64>) -> Result<Option<f64>, Problem> {
    let mut setup = WaterSetup::default();
    setup.set(setting, before);
    let name = field(setting).column.name.to_owned();
    let (kept, problems) = read_setting_fields(&[(name, text.to_owned())], &setup);
    match problems.into_iter().next() {
        Some(problem) => Err(problem),
        None => Ok(kept.first().map(|(_, text)| text.parse().unwrap())),
    }
}

/// Whatever is kept, the form sent back untouched keeps it to the last decimal.
#[test]
fn a_form_sent_back_untouched_changes_nothing() {
    for field in setting_fields() {
        let info = field.info;
        let middle = f64::midpoint(info.low, info.high);
        // A whole number where only those are taken; neither end nor middle is one of every setting.
        for value in [info.low, middle, info.high, info.low.mul_add(0.7, info.high * 0.3)] {
            let value: f64 = plain(value).parse().unwrap();
            let text = field.shown(value);
            if matches!(field.way, Way::Words(_)) && value.fract() > 0.0
                || matches!(field.way, Way::MonthDay) && month_day(value).is_none()
            {
                continue;
            }
            assert_eq!(typed(info.setting, &text, Some(value)), Ok(Some(value)), "{} {text}", info.name);
        }
    }
}

/// What a grower types comes back as it was typed.
#[test]
fn what_was_typed_comes_back_as_typed() {
    let number = |field: &SettingField, value: f64| {
        let Way::Measure(way, _) = field.way else { return None };
        Some(rounded(way.back(plain(value).parse().unwrap())?, RoundingStrategy::ToZero)?.to_string())
    };
    let mut measures = 0;
    for field in setting_fields() {
        let info = field.info;
        for value in [f64::midpoint(info.low, info.high), info.high, info.low.mul_add(0.9, info.high * 0.1)] {
            let Some(text) = number(&field, value) else { continue };
            let kept = typed(info.setting, &text, None).unwrap().unwrap();
            assert_eq!(field.shown(kept), text, "{} {kept}", info.name);
            measures += 1;
        }
    }
    assert_eq!(measures, 15 * 3);
    for (setting, text, kept) in [
        (Setting::RootDepthM, "4", 1.2192),
        (Setting::RewMm, "0.35", 8.89),
        (Setting::RootDepthM, "3.937001", 1.199_997_905),
        (Setting::DewBelowLowC, "3", 1.666_666_667),
        (Setting::CapillaryRiseMm, "0.02", 0.508),
        (Setting::KillingFrost, "no", 0.0),
        (Setting::CurveFirstDay, "day 0", 0.0),
        (Setting::RuleFirstMonthDay, "04-20", 420.0),
        (Setting::KcbMid, "0.85", 0.85),
    ] {
        assert_eq!(typed(setting, text, None), Ok(Some(kept)), "{text}");
        assert_eq!(field(setting).shown(kept), text);
    }
}

#[test]
fn a_metric_value_has_four_figures_and_the_metric_beside_it() {
    let roots = field(Setting::RootDepthM);
    assert_eq!((roots.shown(1.2).as_str(), roots.as_kept(1.2).as_deref()), ("3.937", Some("1.2 m")));
    assert_eq!(field(Setting::RainWetsAllMm).shown(3.0), "0.1181");
    assert_eq!(field(Setting::InitialDepletionMm).shown(1000.0), "39.37");
    assert_eq!(typed(Setting::RootDepthM, "3.937", Some(1.2)), Ok(Some(1.2)), "left as it was");
    assert_eq!(typed(Setting::RootDepthM, "3.94", Some(1.2)), Ok(Some(1.200_912)));
    assert_eq!(typed(Setting::RootDepthM, "", Some(1.2)), Ok(None), "a field emptied is taken back");
    assert_eq!(field(Setting::KcbMid).as_kept(0.85), None);
}

/// The ends of a range are said in the unit of the field, and are taken there.
#[test]
fn a_problem_speaks_the_unit_of_the_field() {
    let deep = typed(Setting::RootDepthM, "20", None).unwrap_err();
    assert_eq!(deep.to_string(), "column root_depth_ft: read \"20\", expected a number up to 16.4, for example 4");
    let thin = typed(Setting::TewMm, "0.01", None).unwrap_err();
    assert_eq!((thin.expected.as_str(), thin.example.as_str()), ("a number from 0.01969", "0.75"));
    for setting in [Setting::RootDepthM, Setting::TewMm, Setting::RuleNetMm, Setting::DewBelowLowC] {
        let Way::Measure(way, _) = field(setting).way else { panic!("a measure") };
        let limits = limits(way, by_name(field(setting).info.name).unwrap()).unwrap();
        let (low, high) = (field(setting).info.low, field(setting).info.high);
        for text in ["0.01969", "0.1641", "0.003938", "16.4", "3.937", "19.68", "18"] {
            let value = text.parse().unwrap();
            let kept = way.convert(value).unwrap();
            assert!(!limits.hold(value) || (low..=high).contains(&kept), "{text} {kept}");
        }
    }
    for (setting, wrong, expected) in [
        (Setting::KillingFrost, "1", "one of yes, no"),
        (Setting::CurveFirstDay, "yes", "one of day 1, day 0"),
        (Setting::RuleFirstMonthDay, "420", "a day of the year as month-day"),
        (Setting::RootDepthM, "3.9370079", "a number with at most 6 decimals"),
        (Setting::KcbMid, "9", "a number up to 1.5"),
    ] {
        assert_eq!(typed(setting, wrong, None).unwrap_err().expected, expected, "{wrong}");
    }
}

/// A grower's form has no metric unit, no 0 or 1, and names no column that it has not.
#[test]
fn no_field_speaks_metric() {
    let names: BTreeSet<&str> = setting_fields().map(|field| field.column.name).collect();
    assert_eq!(names.len(), SETTINGS.len());
    for field in setting_fields() {
        let Column { name, about, .. } = field.column;
        let words: Vec<&str> = about.split(|sign: char| !sign.is_alphanumeric() && sign != '_').collect();
        for metric in ["mm", "m", "m³", "Celsius", "month x 100"] {
            assert!(!words.contains(&metric), "{name}: {about}");
        }
        assert!(!about.contains("1: ") && !about.contains("0: "), "{name}: {about}");
        assert!(["_mm", "_m", "_c"].iter().all(|end| !name.ends_with(end)), "{name}");
        if let Input::Number { unit } = field.column.input {
            assert!(!["mm", "m", "m³/m³", "0 or 1", "MMDD", "°C", "mm/day"].contains(&unit), "{name}: {unit}");
        }
        for word in words.iter().filter(|word| word.contains('_')) {
            assert!(names.contains(word), "{name}: {word}");
        }
    }
}
