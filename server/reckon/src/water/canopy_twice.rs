//! Two canopy entries of one day that give the same value differently: the larger holds, and a gap
//! names both.

use core::cmp::Ordering;

use crate::figure::{Gap, Kept, RecordKind, RecordRef};
use crate::records::CanopyDay;
use crate::{say, ties};

use super::sentence::worth_a_look;

/// A remark for each pair of entries of one day that differ, by day and the smaller value first.
pub(super) fn gaps(canopy: &[Kept<CanopyDay>]) -> Vec<Gap> {
    let mut entries: Vec<&Kept<CanopyDay>> = canopy.iter().collect();
    entries.sort_by(|a, b| in_order(&a.record, &b.record).then(a.id.cmp(&b.id)));
    let pairs =
        entries.iter().enumerate().flat_map(|(n, later)| entries.iter().take(n).map(move |earlier| (earlier, later)));
    pairs.filter_map(|(earlier, later)| gap(earlier, later)).collect()
}

/// By day, then by what they say.
fn in_order(a: &CanopyDay, b: &CanopyDay) -> Ordering {
    let said = |entry: &CanopyDay| [entry.kcb, entry.ground_cover, entry.height_m, entry.root_depth_m];
    a.date.cmp(&b.date).then_with(|| ties::values(said(a), said(b)))
}

fn gap(earlier: &Kept<CanopyDay>, later: &Kept<CanopyDay>) -> Option<Gap> {
    if earlier.record.date != later.record.date {
        return None;
    }
    let (what, [first, last]) = earlier.record.differs_in(&later.record)?;
    let day = say::day(earlier.record.date);
    let sentence = format!("Canopy entries of {day} give the {what} as {first} and as {last}; the larger holds.");
    let record = |kept: &Kept<CanopyDay>| RecordRef { kind: RecordKind::Canopy, id: kept.id };
    Some(worth_a_look(sentence, "Remove the entry that is wrong.", vec![record(earlier), record(later)]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::{date, kept};

    fn entry(kcb: Option<f64>, ground_cover: Option<f64>) -> CanopyDay {
        let day = date(5, 5);
        CanopyDay { date: day, kcb, ground_cover, height_m: None, root_depth_m: None, note: String::new() }
    }

    #[test]
    fn both_entries_of_a_day_are_named() {
        let canopy = kept([entry(Some(0.6), None), entry(Some(0.8), Some(0.3))]);
        let found = gaps(&canopy);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert_eq!(
            found[0].what,
            "Canopy entries of 5 May give the crop coefficient as 0.6 and as 0.8; the larger holds."
        );
        assert_eq!(found[0].records.iter().map(|record| record.id).collect::<Vec<_>>(), [canopy[0].id, canopy[1].id]);
    }

    #[test]
    fn an_entry_between_hides_no_difference() {
        let between = entry(None, Some(0.3));
        assert_eq!(gaps(&kept([entry(Some(0.6), None), between, entry(Some(0.8), None)])).len(), 1);
    }

    #[test]
    fn entries_that_complete_or_repeat_one_another_are_no_question() {
        assert!(gaps(&kept([entry(Some(0.6), None), entry(None, Some(0.3))])).is_empty());
        assert!(gaps(&kept([entry(Some(0.6), None), entry(Some(0.6), None)])).is_empty());
        let next = CanopyDay { date: date(5, 6), ..entry(Some(0.8), None) };
        assert!(gaps(&kept([entry(Some(0.6), None), next])).is_empty());
    }

    #[test]
    fn a_second_value_is_asked_about_as_it_is_entered() {
        use crate::records::{Likeness, Record};
        let (first, second) = (Record::Canopy(entry(Some(0.6), None)), Record::Canopy(entry(Some(0.8), None)));
        assert_eq!(first.likeness(&second), Some(Likeness::Instead { what: "crop coefficient", counts: "the larger" }));
        assert_eq!(first.likeness(&Record::Canopy(entry(None, Some(0.3)))), None);
        assert_eq!(first.likeness(&first.clone()), Some(Likeness::Same));
    }
}
