//! Farms.

use reckon::block::Farm;

use crate::column::{Column, number, text};
use crate::kinds::Printed;
use crate::row::{Conversion, Row, from};

pub(super) const COLUMNS: &[Column] = &[
    text("farm", "Farm", "Name of the farm.", "Home Ranch").required(),
    text("place", "Place", "Where it is, in your own words. Blank = not said.", "east of the river"),
    text("station", "Weather station", "Weather station whose days it uses. Blank = the farm's name.", "River Bend"),
    number(
        "station_miles",
        "Distance of the station",
        "miles",
        "Miles from the farm to the station. Blank = not known.",
        "4",
    ),
    number(
        "latitude_deg",
        "Latitude",
        "°",
        "Degrees north of the equator, minus to the south. Blank = no reckoned evapotranspiration.",
        "46.2",
    ),
    number(
        "elevation_ft",
        "Elevation in feet",
        "ft",
        "Feet above the sea. Give feet or metres. Blank = not known.",
        "1240",
    ),
    number(
        "elevation_m",
        "Elevation in metres",
        "m",
        "Metres above the sea. Give feet or metres. Blank = not known.",
        "378",
    ),
    text("time_zone", "Time zone", "Name in the public time zone database. Blank = not said.", "America/Los_Angeles"),
];

pub(crate) fn read(row: &mut Row<'_>) -> Option<Farm> {
    let elevation_m = row.either(
        ("elevation_m", from(-500.0).up_to(9_000.0)),
        ("elevation_ft", from(-1_640.0).up_to(29_527.0), Conversion::FEET_TO_METRES),
    );
    let latitude_deg = row.float("latitude_deg", from(-90.0).up_to(90.0));
    let station_miles = row.float("station_miles", from(0.0).up_to(500.0));
    let name = row.maybe_text("farm")?;
    Some(Farm {
        place: row.text("place"),
        station: row.maybe_text("station").unwrap_or_else(|| name.clone()),
        station_miles,
        latitude_deg,
        elevation_m,
        time_zone: row.text("time_zone"),
        name,
    })
}

pub(super) fn print(farm: &Farm) -> Vec<(&'static str, String)> {
    Printed::default()
        .text("farm", &farm.name)
        .text("place", &farm.place)
        .text("station", &farm.station)
        .maybe_float("station_miles", farm.station_miles)
        .maybe_float("latitude_deg", farm.latitude_deg)
        .maybe_float("elevation_m", farm.elevation_m)
        .text("time_zone", &farm.time_zone)
        .done()
}
