//! Questions about tension readings and mulch.

use reckon::block::Block;
use reckon::records::{MulchApplication, MulchShape, TensionReading};

use super::{Question, question};
use crate::row::plain;

/// Kilopascals: where instruments of an orchard end.
const TENSION_KPA: f64 = 200.0;

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
