//! Counts against published values: share taken off, standard error of a ratio.

use reckon::season::ThinningSeason;
use reckon::stats::{self, Ratio};
use reckon::thinning;
use reckon::thinning::guides::{GUIDES, Guide, GuideUnit};

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

/// Source: each row of `guidelines.csv` the program shows, with its title and year in `guideline_sources.csv`.
#[test]
fn guides_are_as_printed_and_name_their_source() {
    let rows = fixture::table("thinning/guidelines.csv");
    let sources = fixture::table("thinning/guideline_sources.csv");
    for guide in &GUIDES {
        let row = rows.iter().find(|row| row.text("id") == guide.id).unwrap_or_else(|| panic!("no row {}", guide.id));
        let unit = match guide.unit {
            GuideUnit::Inches => "in",
            GuideUnit::Centimetres => "cm",
            GuideUnit::Lateral => "fruit",
        };
        assert_eq!((row.text("mark"), row.text("unit"), row.text("crop")), ("read", unit, guide.crop), "{}", guide.id);
        assert_eq!(row.text("ripening"), guide.ripening.unwrap_or("all"), "{}", guide.id);
        fixture::close(guide.id, guide.low, row.number("low"), 0.0);
        fixture::close(guide.id, guide.high, row.number("high"), 0.0);
        let source = sources.iter().find(|source| source.text("source_id") == row.text("source_id"));
        let source = source.unwrap_or_else(|| panic!("{}: no source", guide.id));
        let printed = (source.text("title"), source.text("published"), source.text("mark"));
        assert_eq!(printed, (guide.source.title, guide.source.published, "read"), "{}", guide.id);
        assert_eq!(source.maybe("year"), guide.source.year.map(f64::from), "{}", guide.id);
    }
}

/// The guides for one crop differ by a factor of two: a reason to show them all, and to make a target of none.
#[test]
fn guides_for_peaches_differ_by_a_factor_of_two() {
    let lows = reckon::thinning::guides::of_crop("peach").into_iter().filter_map(Guide::inches);
    let lows: Vec<f64> = lows.map(|(low, _)| low.get()).collect();
    let least = lows.iter().copied().fold(f64::INFINITY, f64::min);
    let most = lows.iter().copied().fold(0.0, f64::max);
    assert!((most / least - 2.0).abs() < 1e-12, "{lows:?}");
}
