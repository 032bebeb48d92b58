//! Crop coefficients, chapters 6 and 9.

use reckon::water::canopy::{self, Stages};
use reckon::water::{single, sparse};
use reckon::weather::equations::Sun;

use super::{Example, day_number};

#[test]
fn example_27_climate_adjustment() {
    let mut example = Example::load("27");
    let (table, height) = (example.input("Kc_mid_table_maize"), example.input("height"));
    for place in ["Taipei", "Mocha"] {
        let climate =
            canopy::climate(example.input(&format!("{place}_u2")), example.input(&format!("{place}_RHmin")), height);
        example.check(&format!("Kc_mid_{place}"), canopy::adjusted(table, climate));
    }
    example.done();
}

/// Eq. 68, p. 134: the tall reference over grass in a dry, windy place; the same climatic term.
#[test]
fn equation_68_tall_reference() {
    let mut example = Example::load("eq68");
    example.check("alfalfa_to_grass_Kratio_Kimberly", canopy::kc_max_climate(1.2, 2.2, 30.0, 0.5));
    example.done();
}

#[test]
fn example_28_curve() {
    let mut example = Example::load("28");
    let stages = Stages {
        initial: example.input("Lini"),
        development: example.input("Ldev"),
        mid: example.input("Lmid"),
        late: example.input("Llate"),
    };
    let values = [example.input("Kc_ini"), example.input("Kc_mid"), example.input("Kc_end")];
    for day in [20_u32, 40, 70, 95] {
        example.check(&format!("Kc_day_{day}"), stages.along(f64::from(day), values).unwrap());
    }
    example.done();
}

#[test]
fn example_41_a_sparse_stand() {
    let mut example = Example::load("41");
    let (height, fc) = (example.input("height"), example.input("fc"));
    let sun = Sun::over(example.input("latitude"), day_number(example.input("day_of_year")));
    let sine = sun.noon_height_sine();
    let cover = sparse::effective_cover(fc, example.input("height_to_width_ratio"), sine);
    let climate = canopy::climate(example.input("u2"), example.input("RHmin"), height);
    let full = sparse::kcb_full(height, climate);
    let mid = sparse::kcb_mid(example.input("Kc_min"), full, fc, cover, height);
    example.check("solar_declination", sun.declination);
    example.check("sin_eta_noon", sine);
    example.check("eta", sine.asin());
    example.check("fc_eff", cover);
    example.check("Kcb_h_eq101", sparse::kcb_full(height, 0.0));
    example.check("Kcb_full_eq100", full);
    example.check("Kcb_mid_eq98", mid);
    let [low, high] = single::of_sparse_stand(mid);
    example.check("Kc_mid_low", low);
    example.check("Kc_mid_high", high);
    example.done();
}
