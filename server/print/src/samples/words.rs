use reckon::figure::{Gap, GapAbout, GapWeight, RecordKind};
use reckon::records::Observation;

use super::{day, labor, lines};
use crate::words;

pub(super) fn observations() -> Vec<Observation> {
    let seen = |date, what: &str, share_pct, note: &str| Observation {
        date,
        what: what.to_owned(),
        share_pct,
        note: note.to_owned(),
    };
    vec![
        seen(day(4, 2), "full bloom", None, "four days ahead of the east rows"),
        seen(day(4, 17), "frost", Some(6.0), "low end, 29 °F before the fans ran"),
        seen(day(7, 6), "hail", Some(2.5), ""),
    ]
}

pub(super) fn gaps() -> Vec<Gap> {
    let missing = GapWeight::Missing;
    let look = GapWeight::WorthALook;
    let thinned = words::days(labor::thinning_days());
    vec![
        gap(
            missing,
            GapAbout::Labor,
            "A crew day of 14 May has no wage.",
            "Add a wage to the entry, or a wage rate that holds on that day.",
            RecordKind::Labor,
            1,
        ),
        gap(
            look,
            GapAbout::Labor,
            "RB-1 has 2,387 trees, and 2,455 were thinned by hand on 14 May.",
            "Was part of this day another block or a second pass?",
            RecordKind::Labor,
            2,
        ),
        gap(
            look,
            GapAbout::Thinning,
            &format!("The counts were made on two days only, and thinning ran from {thinned}."),
            "Count a few trees at the end of the block too.",
            RecordKind::FruitCount,
            24,
        ),
        gap(
            missing,
            GapAbout::Water,
            "Six days of August have no reference ET from the station; it was reckoned from temperatures.",
            "Bring in the station's days when they are mended.",
            RecordKind::Weather,
            6,
        ),
        gap(
            look,
            GapAbout::Water,
            "0.31 in drained below the roots in the week of 18 May, after rain.",
            "Was the set of 19 May needed?",
            RecordKind::Irrigation,
            1,
        ),
        gap(
            missing,
            GapAbout::Price,
            "120 boxes have neither a settlement nor a price.",
            "Add a price line for size class AAA.",
            RecordKind::Packout,
            1,
        ),
    ]
}

fn gap(weight: GapWeight, about: GapAbout, what: &str, mend: &str, kind: RecordKind, n: u32) -> Gap {
    Gap { about, what: what.to_owned(), mend: mend.to_owned(), records: lines(kind, 2, n), weight }
}
