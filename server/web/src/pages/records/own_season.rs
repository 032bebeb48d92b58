//! The season an entry was kept in. Mulch, what lasts, rates, prices, own sizes and thinning targets are
//! counted in later seasons too, and shown on their pages: its own form is in the season that holds its day.

use chrono::NaiveDate;
use reckon::block::Season;
use reckon::records::{Cost, Record};
use store::BlockId;
use uuid::Uuid;

use reckon::figure::RecordKind;

use crate::routes::to;

/// Year of the season that holds a day; where none does, that of the page it is shown on, whose lists
/// take what is counted there.
pub(crate) fn year_of(seasons: &[Season], day: NaiveDate, shown: i32) -> i32 {
    seasons.iter().find(|season| season.holds(day)).map_or(shown, |season| season.year)
}

/// The form of an entry of a day, shown on the page of a season.
pub(crate) fn correct(
    seasons: &[Season],
    (shown, day): (i32, NaiveDate),
    block: Option<BlockId>,
    kind: RecordKind,
    id: Uuid,
) -> String {
    to::correct(year_of(seasons, day, shown), block, kind, id)
}

/// Whether a season holds an entry, or one kept before it may be counted there.
pub(super) fn takes(season: &Season, record: &Record) -> bool {
    let lasts = matches!(record, Record::Mulch(_) | Record::Cost(Cost { lasting: Some(_), .. }));
    takes_day(season, record.kind(), record.date()) || lasts && record.date() <= season.last_day
}

/// The same of a day, where no more is known of the entry.
pub(super) fn takes_day(season: &Season, kind: RecordKind, day: NaiveDate) -> bool {
    holds_on(kind) || season.holds(day)
}

/// Whether what is kept of a kind holds from its day on, and not on that day alone.
pub(crate) const fn holds_on(kind: RecordKind) -> bool {
    matches!(kind, RecordKind::Price | RecordKind::Rate | RecordKind::Size | RecordKind::ThinningTarget)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_leads_to_the_season_that_holds_its_day() {
        let seasons = [2026, 2025].map(|year| Season::calendar_year(year).unwrap());
        let day = |year| NaiveDate::from_ymd_opt(year, 3, 12).unwrap();
        assert_eq!([2025, 2026].map(|year| year_of(&seasons, day(year), 2026)), [2025, 2026]);
        assert_eq!(year_of(&seasons, day(2023), 2026), 2026, "before the first season");
        let link = correct(&seasons, (2026, day(2025)), None, RecordKind::Cost, Uuid::nil());
        assert!(link.starts_with("/season/2025/records/costs/"), "{link}");
    }
}
