//! Cells of a record in the measures of a US grower: what is kept in metres, millimetres and degrees
//! Celsius is said in feet, inches and degrees Fahrenheit, in the columns that take those.

use rust_decimal::Decimal;

use crate::row::Conversion;

/// The column a value is kept in, the column that takes the US measure, and the way from that to
/// the kept one.
const PAIRS: &[(&str, &str, Conversion)] = &[
    ("tmax_c", "tmax_f", Conversion::FAHRENHEIT_TO_CELSIUS),
    ("tmin_c", "tmin_f", Conversion::FAHRENHEIT_TO_CELSIUS),
    ("dew_point_c", "dew_point_f", Conversion::FAHRENHEIT_TO_CELSIUS),
    ("rain_mm", "rain_in", Conversion::INCHES_TO_MM),
    ("runoff_mm", "runoff_in", Conversion::INCHES_TO_MM),
    ("eto_mm", "eto_in", Conversion::INCHES_TO_MM),
    ("wind_m_s", "wind_mph", Conversion::MPH_TO_METRES_PER_SECOND),
    ("height_m", "height_ft", Conversion::FEET_TO_METRES),
    ("root_depth_m", "root_depth_ft", Conversion::FEET_TO_METRES),
    ("elevation_m", "elevation_ft", Conversion::FEET_TO_METRES),
];

/// Cells as [`crate::print`] gives them, in US measures where a column takes them. Six decimals: read
/// again they give the kept value to a millionth.
pub fn in_us_units(cells: Vec<(&'static str, String)>) -> Vec<(&'static str, String)> {
    cells.into_iter().map(turned).collect()
}

fn turned((name, text): (&'static str, String)) -> (&'static str, String) {
    let pair = PAIRS.iter().find(|(kept, ..)| *kept == name);
    let turned = pair.and_then(|(_, us, way)| Some((*us, way.back(text.parse::<Decimal>().ok()?)?.to_string())));
    turned.unwrap_or((name, text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds::{FileKind, columns};

    #[test]
    fn what_was_typed_in_fahrenheit_is_said_in_fahrenheit() {
        let cells = vec![
            ("tmax_c", "31.111111111".to_owned()),
            ("rain_mm", "6.35".to_owned()),
            ("wind_m_s", "2.01168".to_owned()),
            ("rh_max_pct", "81".to_owned()),
        ];
        let said = [("tmax_f", "88"), ("rain_in", "0.25"), ("wind_mph", "4.5"), ("rh_max_pct", "81")];
        assert_eq!(in_us_units(cells), said.map(|(name, text)| (name, text.to_owned())));
        assert_eq!(in_us_units(vec![("tmin_c", "-40".to_owned())]), [("tmin_f", "-40".to_owned())]);
        assert_eq!(in_us_units(vec![("height_m", "tall".to_owned())]), [("height_m", "tall".to_owned())]);
    }

    #[test]
    fn every_name_is_a_column() {
        let all: Vec<&str> = FileKind::all().flat_map(columns).map(|column| column.name).collect();
        for (kept, us, _) in PAIRS {
            assert!(all.contains(kept) && all.contains(us), "{kept} {us}");
        }
    }
}
