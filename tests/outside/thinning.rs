//! Counts against published values: share taken off, standard error of a ratio.

use reckon::season::ThinningSeason;
use reckon::stats::{self, Ratio};
use reckon::thinning;

use crate::fixture;
use crate::records::{block, count, kept};

/// Two trees counted alike: the share of one row of `removed_share.csv`.
pub(crate) fn season(before: u32, left: u32) -> ThinningSeason {
    let mut records = block("1", Some(100));
    records.fruit_counts = kept([count("1", before, left), count("2", before, left)]);
    reckon::reckon(&records).thinning
}

/// Source: trial of thinning intensity in an early peach, Pesquisa Agropecuária Brasileira, abstract:
/// 230 fruit a tree thinned to 100.
#[test]
fn removed_share_as_printed() {
    for row in fixture::table("thinning/removed_share.csv") {
        let whole = |column| row.text(column).parse().unwrap();
        let found = season(whole("before_fruit_per_tree"), whole("left_fruit_per_tree"));
        let share = found.removed.unwrap().value.get();
        assert!((share - row.number("removed_percent")).abs() < 0.005, "{row:?}: {share}");
        assert!(found.removed_standard_error.unwrap().value.get().abs() < 1e-12, "two equal trees");
    }
}

/// The exercise's ratio and our standard error.
pub(crate) fn exercise() -> Ratio {
    let table = fixture::toml("thinning/ratio_estimate.toml");
    let list = |key: &str| -> Vec<f64> {
        table["data"][key].as_array().unwrap().iter().map(|value| value.as_float().unwrap()).collect()
    };
    let pairs: Vec<(f64, f64)> = list("x_ft2").into_iter().zip(list("y_ft3")).collect();
    stats::ratio(&pairs).unwrap()
}

/// What the book's error holds and ours leaves out: the square root of 1 - 12/250.
pub(crate) fn sample_correction() -> f64 {
    (1.0f64 - 12.0 / 250.0).sqrt()
}

/// Source: Scheaffer, Mendenhall, Ott: Elementary Survey Sampling, exercise 6.1; results computed.
#[test]
fn ratio_and_its_standard_error() {
    let table = fixture::toml("thinning/ratio_estimate.toml");
    let computed = |key: &str| table["computed"][key].as_float().unwrap();
    let ours = exercise();
    assert!((ours.ratio - computed("ratio")).abs() < 1e-8);
    let corrected = ours.standard_error.unwrap() * sample_correction();
    assert!((corrected - computed("se_ratio_sample_mean_x")).abs() < 1e-9, "{corrected}");
}

/// Common practice, no source.
#[test]
fn common_practice_raises_no_question() {
    let mut records = block("1", Some(100));
    records.fruit_counts = kept([reckon::records::FruitCount {
        shoot: Some(reckon::units::Inches::of(100.0 * 4.5)),
        ..count("1", 400, 100)
    }]);
    let season = reckon::reckon(&records);
    assert!((season.thinning.removed.unwrap().value.get() - thinning::USUAL_REMOVED_PCT).abs() < 1e-12);
    let questions: Vec<_> = season.gaps.iter().filter(|gap| gap.about == reckon::figure::GapAbout::Thinning).collect();
    assert!(questions.is_empty(), "{questions:?}");
}
