//! Rows of packing-line reports.

use reckon::exact::{Boxes, Pounds};
use reckon::records::{LineOutcome, PackoutLine};

use crate::read::{Bad, given};

record_row! {
    Packout, PackoutLine, "packout",
    place { block_id: Uuid, }
    fields {
        outcome: String,
        size_class: Option<String>,
        grade: Option<String>,
        boxes_micros: Option<i64>,
        cull_cause: Option<String>,
        weight_lb_micros: Option<i64>,
    }
}

impl From<&PackoutLine> for Fields {
    fn from(line: &PackoutLine) -> Self {
        let (outcome, size_class, grade, boxes, cause) = match &line.outcome {
            LineOutcome::Packed { size_class, grade, boxes } => {
                ("packed", Some(size_class.clone()), Some(grade.clone()), Some(boxes.micros()), None)
            }
            LineOutcome::Culled { cause } => ("culled", None, None, None, Some(cause.clone())),
        };
        Self {
            day: line.date,
            note: line.note.clone(),
            outcome: outcome.to_owned(),
            size_class,
            grade,
            boxes_micros: boxes,
            cull_cause: cause,
            weight_lb_micros: line.weight.map(Pounds::micros),
        }
    }
}

impl TryFrom<Fields> for PackoutLine {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let outcome = match row.outcome.as_str() {
            "packed" => LineOutcome::Packed {
                size_class: given(row.size_class, "size_class")?,
                grade: given(row.grade, "grade")?,
                boxes: Boxes::from_micros(given(row.boxes_micros, "boxes_micros")?),
            },
            "culled" => LineOutcome::Culled { cause: given(row.cull_cause, "cull_cause")? },
            _ => return Err(Bad("outcome")),
        };
        Ok(Self { date: row.day, outcome, weight: row.weight_lb_micros.map(Pounds::from_micros), note: row.note })
    }
}
