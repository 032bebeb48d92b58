//! Water of a block: need, sets, rain, what the roots lack, and what to look at next.

use askama::Template;
use print::chart::{self, Drawing, svg::svg};
use print::figures;
use reckon::figure::{GapAbout, GapWeight, RecordKind};
use reckon::season::{BlockSeason, WaterSeason};
use store::{BlockId, BlockRow, Right};

use super::weeks::{self, Month, Week};
use crate::display::evidence;
use crate::extract::{BlockAt, Reading};
use crate::pages::block::behind::{self, GapLine, How};
use crate::pages::block::water::{self, MulchRow, Saving, Water};
use crate::pages::block::{self, At, Metered};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;

/// Width and height of the charts in points, on a wide page and on a phone.
const WEEKS: [(f64, f64); 2] = [(760.0, 200.0), (230.0, 176.0)];
const DAYS: [(f64, f64); 2] = [(760.0, 340.0), (230.0, 370.0)];

/// Explanations that this page carries.
const EXPLAINED: [&str; 12] = [
    "water-applied",
    "crop-need",
    "water-settings",
    "water-conventions",
    "mulch-avoided",
    "mulch-kept",
    "mulch-not-needed",
    "mulch-cost",
    "metered-saving",
    "rain-check",
    "water-advice",
    "tension-bands",
];

/// The one of them that is about money.
const OF_MONEY: &str = "how-mulch-cost";

/// Water of one block in a season.
#[derive(Template)]
#[template(path = "water/block.html")]
pub(super) struct BlockWater {
    shell: Shell,
    year: i32,
    block: BlockId,
    code: String,
    /// The block's own page: address and name.
    above: (String, String),
    water: Option<Water>,
    weeks: Vec<Week>,
    /// The charts by week and by day, each for a wide page and for a phone.
    week_charts: Option<[String; 2]>,
    day_charts: Option<[String; 2]>,
    advice: Vec<String>,
    months: Vec<Month>,
    rain_check: Option<RainSum>,
    readings: Vec<weeks::Reading>,
    savings: Option<Saving>,
    metered: Option<Metered>,
    mulch: Vec<MulchRow>,
    missing: Vec<GapLine>,
    worth_a_look: Vec<GapLine>,
    how: Vec<How>,
    /// Whether there is a balance to hand out by day.
    daily: bool,
    records: Vec<(String, &'static str)>,
    how_advice: String,
    how_rain: String,
    how_tension: String,
}

/// Whole months: what the balance kept beside what the formula gives.
struct RainSum {
    months: String,
    kept: String,
    by_formula: String,
    evidence: String,
}

impl BlockWater {
    /// From a reckoned season. `row` gives the addresses, `season` every word and figure.
    pub(super) fn of(shell: Shell, row: &BlockRow, season: &BlockSeason) -> Self {
        let year = season.heading.season.year;
        let water = &season.water;
        let how_anchor = |id| behind::how_anchor(season, id);
        let at = At { year, block: row.id };
        let gaps = |weight| behind::gap_lines_about(at, season, weight, &[GapAbout::Water, GapAbout::Mulch]);
        let money = shell.may(Right::SeeMoney);
        Self {
            shell: shell.below(to::farm(year, row.farm_id)),
            year,
            block: row.id,
            code: row.block.code.clone(),
            above: (to::block(year, row.id), print::report::title(season)),
            water: Water::of(season, money),
            weeks: weeks::weeks(water),
            week_charts: charts(WEEKS, "weeks", |(width, height)| chart::water(water, width, height)),
            day_charts: charts(DAYS, "days", |(width, height)| chart::water_daily(water, width, height)),
            advice: water.advice.as_ref().map(|advice| advice.sentences.clone()).unwrap_or_default(),
            months: weeks::months(&water.months),
            rain_check: RainSum::of(water),
            readings: weeks::readings(&water.tension),
            savings: Saving::of(season),
            metered: Metered::of(season),
            mulch: water::mulch_rows(season),
            missing: gaps(GapWeight::Missing),
            worth_a_look: gaps(GapWeight::WorthALook),
            how: explained(season, money),
            daily: water.runs.is_some(),
            records: records(year, row.id),
            how_advice: how_anchor("water-advice"),
            how_rain: how_anchor("rain-check"),
            how_tension: how_anchor("tension-bands"),
        }
    }
}

/// GET /season/{year}/block/{block}/water
pub async fn water_page(reading: Reading, at: BlockAt, shell: Shell) -> Page {
    let desk = reading.desk();
    let row = desk.block(at.block).await?;
    let season = block::season(&desk, at).await?;
    show(&BlockWater::of(shell, &row, &season))
}

/// A drawing twice, for a wide page and for a phone.
fn charts(sizes: [(f64, f64); 2], id: &str, draw: impl Fn((f64, f64)) -> Option<Drawing>) -> Option<[String; 2]> {
    let [wide, narrow] = sizes.map(draw);
    Some([svg(&wide?, &format!("water-{id}")), svg(&narrow?, &format!("water-{id}-narrow"))])
}

fn explained(season: &BlockSeason, money: bool) -> Vec<How> {
    let ids = EXPLAINED.map(|id| format!("how-{id}"));
    let shown = |how: &How| ids.contains(&how.id) && (money || how.id != OF_MONEY);
    behind::how(season).into_iter().filter(shown).collect()
}

/// The lists of records that the balance rests on.
fn records(year: i32, block: BlockId) -> Vec<(String, &'static str)> {
    [
        (to::records(year, Some(block), RecordKind::Irrigation), "Sets of irrigation"),
        (to::records(year, Some(block), RecordKind::Tension), "Tension readings"),
        (to::records(year, Some(block), RecordKind::Canopy), "Canopy values"),
        (to::records(year, Some(block), RecordKind::Mulch), "Mulch"),
        (to::records(year, None, RecordKind::Weather), "Weather"),
    ]
    .into()
}

impl RainSum {
    fn of(water: &WaterSeason) -> Option<Self> {
        let check = water.rain_check.as_ref()?;
        Some(Self {
            months: figures::counted(check.months, "whole month", "whole months"),
            kept: figures::quantity(check.kept.value),
            by_formula: figures::quantity(check.by_formula.value),
            evidence: evidence(&check.kept),
        })
    }
}

#[cfg(test)]
mod tests {
    use print::samples;
    use scraper::Html;

    use super::*;
    use crate::pages::html::{all, farms, held, row, shell, text};

    fn page(season: &BlockSeason) -> Html {
        let row = row(1, &farms()[1], season);
        held(&BlockWater::of(shell("/season/2026/block/x/water"), &row, season))
    }

    #[test]
    fn every_sample_is_a_sound_page() {
        for (name, season) in samples::all() {
            let title = text(all(&page(&season), "h1")[0]);
            assert!(title.contains(season.heading.block.code.trim()), "{name}: {title}");
        }
    }

    /// A phone 390 pixels wide has 354 for a chart; its letters are 7.5 points of the drawing.
    #[test]
    fn letters_of_a_phones_charts_are_eleven_pixels_without_sliding() {
        let html = page(&samples::full());
        let narrow = all(&html, ".narrow-only > svg");
        assert_eq!(narrow.len(), 2);
        for svg in narrow {
            let width: f64 = svg.value().attr("viewBox").unwrap().split(' ').nth(2).unwrap().parse().unwrap();
            assert!(7.5 / width * 354.0 >= 11.0, "{width}");
        }
    }

    #[test]
    fn weeks_days_months_and_readings_are_charts_and_tables() {
        let season = samples::full();
        let html = page(&season);
        for id in ["water-weeks", "water-weeks-narrow", "water-days", "water-days-narrow"] {
            assert_eq!(all(&html, &format!("#{id}-title")).len(), 1, "{id}");
        }
        let rows = |css: &str| -> Vec<usize> {
            all(&html, css).iter().map(|table| table.html().matches("<tr>").count() - 1).collect()
        };
        assert_eq!(rows("details.on-screen table"), [season.water.weeks.len()]);
        assert_eq!(rows("section > details:not(.on-screen) > table"), [season.water.tension.len()], "goes on paper");
        let whole = text(all(&html, "tfoot tr.sum")[0]);
        assert!(whole.starts_with("6 whole months"), "{whole}");
    }

    /// Three modelled figures and the meters beside them, each with its own words and source.
    #[test]
    fn modelled_and_metered_savings_stand_side_by_side() {
        let html = page(&samples::full());
        let said = text(all(&html, "main")[0]);
        for words in ["Evaporation avoided", "Irrigation not needed", "by the meters", "never merged", "mulch rule"] {
            assert!(said.to_lowercase().contains(&words.to_lowercase()), "{words}");
        }
        let rows: Vec<String> = all(&html, "tbody tr").into_iter().map(text).collect();
        for share in ["RB-1, mulched94", "RB-2109", "RB-1 in 2024103", "The bare ones together, mean106"] {
            assert!(rows.iter().any(|row| row == share), "{share}");
        }
    }

    #[test]
    fn more_by_the_meters_is_no_negative_saving() {
        let mut season = samples::full();
        let saving = season.water.metered_saving.as_mut().unwrap();
        saving.less_applied.value = reckon::units::Share::of(-5.0);
        saving.depth.value = reckon::units::Inches::of(-1.74);
        saving.gallons.value = reckon::units::GallonsUs::of(-47_250.0);
        let said = text(all(&page(&season), "main")[0]);
        assert!(said.contains("5% more was applied here") && said.contains(" in more over the block"), "{said}");
        assert!(said.contains("47,250 gal more") && said.contains("all together modelled"), "{said}");
    }

    #[test]
    fn water_is_said_in_plain_words() {
        let said = text(all(&page(&samples::full()), "main")[0]);
        assert!(said.contains("more or less than what was avoided"), "{said}");
        for jargon in ["RAW", "TAW", "never one", "roots to ask"] {
            assert!(!said.contains(jargon), "{jargon}");
        }
    }

    #[test]
    fn the_advice_ends_with_the_soil() {
        let html = page(&samples::full());
        assert_eq!(text(all(&html, "section .sentence")[0]), reckon::water::advice::CHECK_THE_SOIL);
        assert!(text(all(&html, ".caution")[0]).contains("look at the soil"));
    }

    #[test]
    fn only_what_touches_the_water_is_said_to_be_missing() {
        let season = samples::full();
        let html = page(&season);
        let of_water = |gap: &&reckon::figure::Gap| matches!(gap.about, GapAbout::Water | GapAbout::Mulch);
        let lines = all(&html, "#missing li, #worth-a-look li");
        assert_eq!(lines.len(), season.gaps.iter().filter(of_water).count());
        assert!(lines.len() < season.gaps.len(), "the sample has gaps of other parts, too");
    }

    #[test]
    fn without_records_nothing_is_drawn_or_offered() {
        let html = page(&samples::sparse());
        assert!(all(&html, "svg, a[href$='water.csv']").is_empty());
        assert!(text(all(&html, "main")[0]).contains("No irrigation and no days of weather are recorded"));
    }
}
