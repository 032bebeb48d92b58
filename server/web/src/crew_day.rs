//! Crews' days that are too long, or that stand under two blocks, with what the book holds of them already.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use reckon::figure::{Kept, RecordId};
use reckon::records::LaborEntry;
use reckon::wages::{self, InBlock};
use store::{BlockId, CrewEntry, Desk, StoreError};
use uuid::Uuid;

/// A crew day that is about to be kept.
pub(crate) struct Coming {
    /// Its line in a file; 0 from a form.
    pub(crate) line: u32,
    /// Its block.
    pub(crate) block: BlockId,
    /// The block's code.
    pub(crate) code: String,
    /// What it says.
    pub(crate) entry: LaborEntry,
}

/// What is asked about days that are about to be kept, each with the first line it is of. `years` are their
/// seasons, `except` a record that is being corrected. A row that the book holds already is not asked about again.
pub(crate) async fn doubts(
    desk: &Desk<'_>,
    years: &BTreeSet<i32>,
    coming: Vec<Coming>,
    except: Option<Uuid>,
) -> Result<Vec<(u32, String)>, StoreError> {
    let days: BTreeSet<NaiveDate> = coming.iter().map(|day| day.entry.date).collect();
    let mut known: Vec<CrewEntry> = Vec::new();
    for year in years {
        let kept = desk.crew_labor(*year).await?.entries;
        let itself = |id| except.is_some_and(|own| id == RecordId::Stored(own.as_u128()));
        known.extend(kept.into_iter().filter(|kept| days.contains(&kept.entry.record.date) && !itself(kept.entry.id)));
    }
    // A week that touches two seasons stands in both.
    known.sort_by_key(|kept| kept.entry.id);
    known.dedup_by_key(|kept| kept.entry.id);
    let held = |day: &Coming| known.iter().any(|kept| kept.block == day.block && kept.entry.record == day.entry);
    let own: Vec<(String, Kept<LaborEntry>)> = coming
        .into_iter()
        .filter(|day| !held(day))
        .map(|day| (day.code, Kept { id: RecordId::Line(day.line), record: day.entry }))
        .collect();
    let mut all: Vec<InBlock<'_>> = known.iter().map(|kept| InBlock { block: &kept.code, kept: &kept.entry }).collect();
    all.extend(own.iter().map(|(code, kept)| InBlock { block: code, kept }));
    let line = |id: RecordId| if let RecordId::Line(line) = id { Some(line) } else { None };
    let gaps = wages::day_doubts(&all).into_iter();
    Ok(gaps.filter_map(|gap| Some((gap.records.iter().filter_map(|own| line(own.id)).min()?, gap.what))).collect())
}
