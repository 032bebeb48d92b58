//! What was seen in the blocks, what their pollinizers' records leave open, and the cautions.

use chrono::NaiveDate;
use print::figures;
use reckon::block::Season;
use reckon::cautions::{self, Topic};
use reckon::due::DueBlock;
use reckon::field_rules::FieldRules;
use reckon::language::Language;
use reckon::pollination::{self, PollinationBlock};

use store::Desk;

use super::{FieldWork, block_of};
use crate::display;
use crate::error::PageError;
use crate::routes::to;

/// A dated observation.
pub(super) struct NotedRow {
    pub(super) date: NaiveDate,
    pub(super) day: String,
    pub(super) link: String,
    pub(super) code: String,
    pub(super) what: String,
    /// "12% of the crop".
    pub(super) share: Option<String>,
    pub(super) note: String,
}

/// Every observation of the season up to a day, newest first, then by block.
pub(super) fn noted(year: i32, work: &FieldWork, today: NaiveDate) -> Vec<NotedRow> {
    let of = |(id, records): &(store::BlockId, reckon::season::SeasonRecords)| {
        let (link, code) = (to::block(year, *id), records.block.code.clone());
        let seen: Vec<NotedRow> = records
            .observations
            .iter()
            .filter(|kept| kept.record.date <= today)
            .map(|kept| NotedRow {
                date: kept.record.date,
                day: display::full_day(kept.record.date),
                link: link.clone(),
                code: code.clone(),
                what: kept.record.what.clone(),
                share: kept.record.share_pct.map(|share| format!("{}% of the crop", figures::shortest(share))),
                note: kept.record.note.clone(),
            })
            .collect();
        seen
    };
    let mut rows: Vec<NotedRow> = work.iter().flat_map(of).collect();
    rows.sort_by(|a, b| b.date.cmp(&a.date).then_with(|| a.code.cmp(&b.code)));
    rows
}

/// Something about a pollinizer to look at.
pub(super) struct Doubt {
    pub(super) link: Option<String>,
    pub(super) code: String,
    pub(super) text: String,
    pub(super) source: &'static str,
}

/// Pollinizers of an operation.
pub(super) struct Pollinizers {
    /// What does not fit among their records.
    pub(super) doubts: Vec<Doubt>,
    /// Which blocks the varieties among them stand for.
    pub(super) readings: Vec<String>,
    /// That no distance is judged, where none is.
    pub(super) unchecked: Option<String>,
    /// Whether the operation has set how far is too far.
    pub(super) limited: bool,
}

/// As their records stand on a day.
pub(super) fn pollinizers(year: i32, work: &FieldWork, rules: &FieldRules, today: NaiveDate) -> Pollinizers {
    let blocks = pollination_blocks(work, today);
    let doubt = |remark: pollination::Remark| Doubt {
        link: block_of(work, &remark.code).map(|id| to::block(year, id)),
        text: remark.sentence,
        code: remark.code,
        source: remark.source,
    };
    let reach = rules.pollinizer_reach();
    Pollinizers {
        doubts: pollination::remarks(&blocks, reach).into_iter().map(doubt).collect(),
        readings: pollination::readings(&blocks),
        unchecked: pollination::unchecked(&blocks, reach),
        limited: reach.is_some(),
    }
}

/// What does not fit in the record of one block's pollinizer, held against every block of the operation.
pub(crate) async fn pollinizer_doubts(
    desk: &Desk<'_>,
    season: &Season,
    code: &str,
    today: NaiveDate,
) -> Result<Vec<String>, PageError> {
    let (work, rules) = (desk.field_work(season.year).await?, desk.field_rules().await?);
    let remarks = pollination::remarks(&pollination_blocks(&work, today), rules.pollinizer_reach());
    Ok(remarks.into_iter().filter(|remark| remark.code == code).map(|remark| remark.sentence).collect())
}

fn pollination_blocks(work: &FieldWork, today: NaiveDate) -> Vec<PollinationBlock> {
    work.iter()
        .map(|(_, records)| PollinationBlock {
            code: records.block.code.clone(),
            farm: records.farm.name.clone(),
            crop: records.block.crop.clone(),
            variety: records.block.variety.clone(),
            pollinizer: records.block.pollinizer.clone(),
            needs: records.block.needs_pollinizer,
            trees_away: records.block.pollinizer_trees,
            rows: records.block.rows,
            full_bloom: DueBlock::until(records, today).full_bloom,
        })
        .collect()
}

/// A caution, with its heading where its topic begins.
pub(super) struct CautionLine {
    pub(super) topic: Option<&'static str>,
    pub(super) text: &'static str,
    pub(super) source: &'static str,
}

/// Every caution, local rules first.
pub(super) fn cautions() -> Vec<CautionLine> {
    let mut last: Option<Topic> = None;
    cautions::cautions(&[])
        .into_iter()
        .map(|caution| {
            let begins = last.replace(caution.topic) != Some(caution.topic);
            CautionLine {
                topic: begins.then(|| caution.topic.label(Language::English)),
                text: caution.text(Language::English),
                source: caution.source,
            }
        })
        .collect()
}
