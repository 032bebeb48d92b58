//! Questions about sets of irrigation, tension readings and mulch.

use reckon::block::Block;
use reckon::records::{Applied, IrrigationSet, MulchApplication, MulchShape, TensionReading};
use reckon::units::Inches;
use reckon::water::applied::volume;

use super::{Question, number, question};
use crate::row::plain;

/// Inches of water in one set.
const SET_IN: f64 = 12.0;
/// Hours of one set.
const SET_HOURS: u32 = 168;
/// Kilopascals: where instruments of an orchard end.
const TENSION_KPA: f64 = 200.0;

pub(super) fn irrigation(set: &IrrigationSet, block: Option<&Block>) -> Option<Question> {
    let deep = block.and_then(|block| depth(set, block)).filter(|depth| depth.get() > SET_IN);
    match (&set.applied, deep) {
        (Applied::Depth(depth), _) => (depth.get() > SET_IN)
            .then(|| question("depth_in", format!("One set of {} inches. Is it so much?", plain(depth.get())))),
        (Applied::Runtime { hours, .. }, _) if hours.decimal() > SET_HOURS.into() => {
            let said = format!("One set of {} hours is longer than a week. Is it?", number(hours.decimal()));
            Some(question("run_hours", said))
        }
        (Applied::Runtime { .. }, Some(depth)) => {
            let said = format!(
                "So many hours, emitters and gallons an hour are {} over the block. Is it so much?",
                inches(depth)
            );
            Some(question("run_hours", said))
        }
        (Applied::Meter { start, end, .. }, Some(depth)) => {
            let said = format!(
                "The meter went from {} to {}, which is {} over the block. Are both readings right?",
                plain(*start),
                plain(*end),
                inches(depth)
            );
            Some(question("meter_end", said))
        }
        (_, None) => None,
    }
}

/// Over the acres of the block; `None` where the set or the block does not tell.
fn depth(set: &IrrigationSet, block: &Block) -> Option<Inches> {
    volume(set, block).ok()?.gallons.to_acre_inches().depth_over(block.acres.as_f64())
}

fn inches(depth: Inches) -> String {
    format!("{:.1} inches", depth.get())
}

pub(super) fn tension(reading: &TensionReading) -> Option<Question> {
    let tension = reading.tension.get();
    (tension > TENSION_KPA)
        .then(|| question("tension_kpa", format!("The tension is {} kilopascals. Is it so much?", plain(tension))))
}

/// A strip along each row covers at most the whole floor.
pub(super) fn strip(mulch: &MulchApplication, block: Option<&Block>) -> Option<Question> {
    let MulchShape::Strip(width) = mulch.shape else { return None };
    let rows = block?.row_spacing?;
    (width.get() > rows.get()).then(|| {
        let said = format!(
            "The strip is {} feet wide, and the rows stand {} feet apart. Is it so wide?",
            plain(width.get()),
            plain(rows.get())
        );
        question("strip_width_ft", said)
    })
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use reckon::figure::RecordKind;
    use reckon::units::Feet;

    use crate::{Beside, Context, FileKind, columns, questions, read_form};

    fn asked(kind: RecordKind, fields: &[(&str, &str)], block: Option<&super::Block>) -> Vec<String> {
        let fields: Vec<(String, String)> =
            fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        assert!(fields.iter().all(|(name, _)| columns(FileKind::Records(kind)).iter().any(|c| c.name == name)));
        let (_, parsed) = read_form(FileKind::Records(kind), &fields, &Context::default()).unwrap();
        let today = NaiveDate::from_ymd_opt(2026, 7, 1).unwrap();
        questions(&parsed, &Beside { today, block }).into_iter().map(|question| question.sentence).collect()
    }

    fn set(fields: &[(&str, &str)]) -> Vec<String> {
        let block = super::Block {
            acres: reckon::exact::Acres::whole(10).unwrap(),
            emitter_flow: Some(reckon::units::GallonsPerHour::of(1.0)),
            ..super::Block::default()
        };
        let day = [("date", "2026-06-01"), ("block", "RB-1")];
        asked(RecordKind::Irrigation, &[&day, fields].concat(), Some(&block))
    }

    /// Over 10 acres an inch is 271,543 gallons.
    #[test]
    fn a_set_that_would_flood_the_block_is_asked_about() {
        let meter = |end| set(&[("meter_start", "5000"), ("meter_end", end), ("meter_unit", "gal")]);
        assert_eq!(meter("3200000"), Vec::<String>::new(), "11.8 inches");
        let jump =
            "The meter went from 5000 to 95000000, which is 349.8 inches over the block. Are both readings right?";
        assert_eq!(meter("95000000"), [jump]);
        let hours = |emitters| set(&[("run_hours", "24"), ("emitters", emitters)]);
        assert_eq!(hours("5000"), Vec::<String>::new());
        let flood = "So many hours, emitters and gallons an hour are 44.2 inches over the block. Is it so much?";
        assert_eq!(hours("500000"), [flood]);
        assert_eq!(set(&[("depth_in", "12.5")]), ["One set of 12.5 inches. Is it so much?"]);
        let week = "One set of 200 hours is longer than a week. Is it?";
        assert_eq!(set(&[("run_hours", "200"), ("emitters", "5000")]), [week]);
    }

    fn tension(kpa: &str) -> Vec<String> {
        let fields = [("date", "2026-06-01"), ("block", "RB-1"), ("depth_in", "18"), ("tension_kpa", kpa)];
        asked(RecordKind::Tension, &fields, None)
    }

    #[test]
    fn a_tension_beyond_every_instrument_is_asked_about() {
        assert_eq!(tension("200"), Vec::<String>::new());
        assert_eq!(tension("420"), ["The tension is 420 kilopascals. Is it so much?"]);
    }

    #[test]
    fn a_strip_wider_than_the_rows_is_asked_about() {
        let block =
            super::Block { code: "RB-1".to_owned(), row_spacing: Some(Feet::of(18.0)), ..super::Block::default() };
        let laid = |width: &str, block| {
            let fields = [("date", "2026-03-01"), ("block", "RB-1"), ("material", "chips"), ("depth_in", "3")];
            asked(RecordKind::Mulch, &[&fields[..], &[("strip_width_ft", width)]].concat(), block)
        };
        assert_eq!(laid("18", Some(&block)), Vec::<String>::new());
        let wide = "The strip is 60 feet wide, and the rows stand 18 feet apart. Is it so wide?";
        assert_eq!(laid("60", Some(&block)), [wide]);
        assert_eq!(laid("60", None), Vec::<String>::new(), "nothing to hold it against");
    }
}
