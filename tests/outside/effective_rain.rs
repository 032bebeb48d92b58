//! Effective rain of a month.
//!
//! Source: USDA Soil Conservation Service, Technical Release 21, as in USDA-NRCS National Engineering
//! Handbook, part 623, chapter 2, section 623.0207. Coefficients read at second hand; the table of
//! `fixtures/published/water/effective_precipitation_monthly_inch.csv` is computed from them.

use reckon::units::{Inches, MM_PER_INCH};
use reckon::weather::effective_rain::{effective_rain_month, formula, storage_factor};

use crate::fixture::{close, number, table, toml};

const FILE: &str = "water/effective_precipitation.toml";

fn month(rain: f64, need: f64, storage: f64) -> f64 {
    effective_rain_month(Inches::of(rain), Inches::of(need), Inches::of(storage)).get()
}

/// Two inches of rain, six of crop need, three of storage.
pub(crate) fn two_inches() -> f64 {
    month(2.0, 6.0, 3.0)
}

#[test]
fn every_cell_of_the_table() {
    let rows = table("water/effective_precipitation_monthly_inch.csv");
    assert!(rows.len() >= 100, "{}", rows.len());
    for row in rows {
        let [rain, need, storage] =
            ["P_month_inch", "ETc_month_inch", "D_soil_storage_inch"].map(|column| row.number(column));
        let free = formula(Inches::of(rain), Inches::of(need), Inches::of(storage)).max(0.0);
        let what = format!("P {rain}, ETc {need}, D {storage}");
        close(&what, free, row.number("Pe_formula_inch"), 5.1e-5);
        close(&what, free.min(rain), row.number("Pe_capped_at_P_inch"), 5.1e-5);
        close(&what, month(rain, need, storage), row.number("Pe_capped_at_P_and_ETc_inch"), 5.1e-5);
    }
}

#[test]
fn storage_factors() {
    let published = toml(FILE);
    for storage in ["0.75", "1.0", "1.5", "2.0", "2.5", "3.0", "4.0", "5.0", "6.0", "7.0"] {
        let key = format!("soil_storage_factor_check.D_{}", storage.replace('.', "_"));
        close(&key, storage_factor(Inches::of(storage.parse().unwrap())), number(&published, &key), 5.1e-5);
    }
}

/// The same formula in millimetres, as it is converted there.
#[test]
#[expect(clippy::disallowed_methods, reason = "a second spelling of the formula takes the standard library's power")]
fn in_millimetres() {
    for (rain, need) in [(10.0_f64, 60.0), (50.0, 150.0), (90.0, 240.0)] {
        let by_mm = storage_factor(Inches::of(3.0))
            * (1.252_496 * rain.powf(0.824_16) - 2.935_224)
            * 10_f64.powf(0.000_955_118 * need);
        let ours = formula(Inches::of(rain / MM_PER_INCH), Inches::of(need / MM_PER_INCH), Inches::of(3.0));
        close("mm", ours * MM_PER_INCH, by_mm, 1e-4);
    }
}

/// Variants seen in public code: the power over the whole product, and millimetre coefficients fed
/// with inches. Ours is neither; nor is it the two-piece monthly curve of the same name, which knows
/// no crop need.
#[test]
fn none_of_the_wrong_variants() {
    let published = toml(FILE);
    let variants = published["wrong_variants_seen_in_public_code"].as_array().unwrap();
    assert_eq!(variants.len(), 2);
    for variant in variants {
        let value = |key: &str| variant[key].as_float().unwrap();
        close("the right value", two_inches(), value("correct_value_inch"), 5.1e-5);
        let wrong = value("P_2_ETc_6_D_3_inch_gives");
        assert!((two_inches() - wrong).abs() > 0.1, "{}", variant["variant"]);
    }
    let two_piece = number(&published, "different_method_same_name.P_50_mm_gives_mm");
    let ours = |need| month(50.0 / MM_PER_INCH, need, 3.0) * MM_PER_INCH;
    assert!((ours(6.0) - two_piece).abs() > 1.0);
    assert!(ours(8.0) > ours(4.0) + 1.0, "more of the rain counts where the crop takes more");
}
