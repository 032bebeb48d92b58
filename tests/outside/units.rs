//! Units against their definitions and published values.
//!
//! Sources: `fixtures/published/water/unit_conversions.csv` (international definitions, exact) and
//! `unit_conversions_published.csv` (source in each row).

use reckon::records::MeterUnit;
use reckon::units::{
    AcreInches, CUBIC_METRES_PER_ACRE_INCH, Feet, GALLONS_PER_ACRE_INCH, Inches, LITRES_PER_GALLON, METRES_PER_FOOT,
    Millimetres, SQUARE_FEET_PER_ACRE,
};
use reckon::water::applied::gallons_per;
use reckon::weather::equations::MM_PER_MEGAJOULE;

use crate::fixture::{close, table};

fn acre_m2() -> f64 {
    SQUARE_FEET_PER_ACRE * METRES_PER_FOOT * METRES_PER_FOOT
}

/// What the code makes of a row; `None` for units the book does not know.
fn ours(from: &str, to: &str) -> Option<f64> {
    let acre_foot = 12.0 * CUBIC_METRES_PER_ACRE_INCH;
    Some(match (from, to) {
        ("inch" | "acre_inch_per_acre", "mm") => Inches::of(1.0).to_mm().get(),
        ("foot_international", "m") => Feet::of(1.0).to_metres().get(),
        ("acre_international", "m2") => acre_m2(),
        ("US_gallon", "litre") => LITRES_PER_GALLON,
        ("US_gallon", "inch3") => 6_272_640.0 / GALLONS_PER_ACRE_INCH,
        ("acre_foot_international", "m3") => acre_foot,
        ("acre_inch_international", "m3") => CUBIC_METRES_PER_ACRE_INCH,
        ("acre_inch_international" | "inch_over_1_acre", "US_gallon") => AcreInches::of(1.0).to_gallons().get(),
        ("acre_foot_international", "US_gallon") => gallons_per(MeterUnit::AcreFeet),
        ("acre_foot_per_acre", "mm") => Inches::of(12.0).to_mm().get(),
        ("mm_over_1_hectare", "m3") => {
            Millimetres::of(1.0).over_acres(10_000.0 / acre_m2()).get() * CUBIC_METRES_PER_ACRE_INCH
        }
        ("m3_per_hectare", "mm") => {
            let acre_inches = AcreInches::of(1.0 / CUBIC_METRES_PER_ACRE_INCH);
            acre_inches.depth_over(10_000.0 / acre_m2())?.to_mm().get()
        }
        ("megalitre_per_hectare", "mm") => {
            let acre_inches = AcreInches::of(1000.0 / CUBIC_METRES_PER_ACRE_INCH);
            acre_inches.depth_over(10_000.0 / acre_m2())?.to_mm().get()
        }
        ("US_gallon_per_acre", "m3_per_hectare") => LITRES_PER_GALLON / 1000.0 / (acre_m2() / 10_000.0),
        ("trees_per_acre", "trees_per_hectare") => 10_000.0 / acre_m2(),
        _ => return None,
    })
}

#[test]
fn exact_factors() {
    let rows = table("water/unit_conversions.csv");
    let mut held = 0;
    for row in &rows {
        let (from, to) = (row.text("from_unit"), row.text("to_unit"));
        let factor = row.number("factor");
        match ours(from, to) {
            Some(value) => {
                close(&format!("{from} in {to}"), value, factor, 1e-12 * factor.abs());
                held += 1;
            }
            // The survey foot, and units that are their own definition (hectare, megalitre, centibar).
            None => assert!(
                from.contains("survey")
                    || from.contains("US_survey")
                    || ["hectare", "mm_over_1_m2", "megalitre", "centibar"].contains(&from),
                "{from} in {to} is not held"
            ),
        }
    }
    assert!(held >= 16, "{held} of {}", rows.len());
}

/// The international acre-foot, to the digits printed; never the survey one.
#[test]
fn published_values() {
    let rows = table("water/unit_conversions_published.csv");
    let of = |quantity: &str, unit: &str| {
        let row = rows.iter().find(|row| row.text("quantity") == quantity && row.text("unit").starts_with(unit));
        row.unwrap_or_else(|| panic!("no {quantity} in {unit}")).text("value").to_owned()
    };
    let gallons = gallons_per(MeterUnit::AcreFeet);
    close("ft3", SQUARE_FEET_PER_ACRE, of("acre-foot", "ft3").parse().unwrap(), 0.0);
    close("gallons", gallons, of("acre-foot", "US gallon (rounded)").parse().unwrap(), 0.5);
    assert_eq!(of("acre-foot (international)", "US gallon"), "325851 3/7");
    close("gallons, exact", gallons, 325_851.0 + 3.0 / 7.0, 1e-9);
    let cubic_metres = 12.0 * CUBIC_METRES_PER_ACRE_INCH;
    close("m3", cubic_metres, of("acre-foot (international)", "m3").parse().unwrap(), 1e-9);
    let survey: f64 = of("acre-foot (US survey)", "US gallon").parse().unwrap();
    assert!((gallons - survey).abs() > 1.0);
    let evaporation = of("1 MJ m-2 day-1 as evaporation", "mm");
    close("radiation", MM_PER_MEGAJOULE, evaporation.parse().unwrap(), 0.0);
    // The watt equivalent of the 2006 errata, from a watt over a day.
    close(
        "watt",
        MM_PER_MEGAJOULE * 0.0864,
        of("1 W m-2 as evaporation (erratum: 0.0353 not 0.035)", "mm").parse().unwrap(),
        5e-5,
    );
    let millilitre = |text: &str| text.parse::<f64>().unwrap();
    close("acre", acre_m2(), millilitre(&of("acre in scipy 1.17.1 (international basis)", "m2")), 1e-9);
}
