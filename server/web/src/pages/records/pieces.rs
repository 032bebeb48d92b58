//! Pieces of a crew day, from people who do not see money. A rate is not theirs to give, so the number stands in
//! the note until the office has made it a day paid by the piece; from then on they correct it as any other.

use intake::{Context, FileKind, Problem, read_form};
use reckon::figure::RecordKind;
use reckon::records::{Pay, Record};

/// The column.
pub(super) const PIECES: &str = "pieces";

/// What the form says of it to who does not see money.
pub(super) const ABOUT: &str =
    "Pieces done, where the crew is paid by the piece. The number stands in the note until the office adds the rate.";

/// How such a note begins.
const BEGINS: &str = "Pieces: ";

/// Whether an entry has room for pieces beside its rate.
pub(super) const fn is_by_piece(record: &Record) -> bool {
    matches!(record, Record::Labor(entry) if matches!(entry.pay, Pay::Piece { .. }))
}

/// The fields with the pieces in the note, in place of an earlier number there; or what is wrong with the number.
pub(super) fn in_note(
    mut fields: Vec<(String, String)>,
    context: &Context<'_>,
) -> Result<Vec<(String, String)>, Problem> {
    let Some(at) = fields.iter().position(|(name, _)| name == PIECES) else { return Ok(fields) };
    let (_, pieces) = fields.remove(at);
    let pieces = pieces.trim();
    if pieces.is_empty() {
        return Ok(fields);
    }
    is_a_number(pieces, context)?;
    let note = fields.iter().find(|(name, _)| name == "note").map_or("", |(_, note)| note.as_str());
    let rest = without_pieces(note.trim());
    let note = if rest.is_empty() { format!("{BEGINS}{pieces}") } else { format!("{BEGINS}{pieces}. {rest}") };
    fields.retain(|(name, _)| name != "note");
    fields.push(("note".to_owned(), note));
    Ok(fields)
}

fn without_pieces(note: &str) -> &str {
    let Some(rest) = note.strip_prefix(BEGINS) else { return note };
    let rest = rest.trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == ',');
    rest.strip_prefix(". ").unwrap_or(if rest.is_empty() { rest } else { note })
}

/// As a day paid by the piece is read.
fn is_a_number(pieces: &str, context: &Context<'_>) -> Result<(), Problem> {
    let fields = [("task", "pick"), ("pay", "piece"), ("piece_usd", "0"), (PIECES, pieces)];
    let fields: Vec<(String, String)> = fields.map(|(name, text)| (name.to_owned(), text.to_owned())).into();
    let problems = read_form(FileKind::Records(RecordKind::Labor), &fields, context).err().unwrap_or_default();
    problems.into_iter().find(|problem| problem.column.as_deref() == Some(PIECES)).map_or(Ok(()), Err)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noted(pieces: &str, note: &str) -> Result<String, Problem> {
        let fields = vec![(PIECES.to_owned(), pieces.to_owned()), ("note".to_owned(), note.to_owned())];
        let fields = in_note(fields, &Context::default())?;
        assert!(fields.iter().all(|(name, _)| name != PIECES));
        Ok(fields.into_iter().find(|(name, _)| name == "note").map(|(_, note)| note).unwrap_or_default())
    }

    #[test]
    fn pieces_stand_at_the_beginning_of_the_note_and_once() {
        let said = |pieces, note| noted(pieces, note).unwrap();
        assert_eq!(said("310", ""), "Pieces: 310");
        assert_eq!(said("310", "hot"), "Pieces: 310. hot");
        assert_eq!(said("320", "Pieces: 310. hot"), "Pieces: 320. hot");
        assert_eq!(said("320", "Pieces: 310"), "Pieces: 320");
        assert_eq!(said("", "Pieces: 310. hot"), "Pieces: 310. hot", "left as it is");
        assert_eq!(said("320", "Pieces: many"), "Pieces: 320. Pieces: many");
    }

    #[test]
    fn what_is_no_number_is_told() {
        let problem = noted("many", "").unwrap_err();
        assert_eq!((problem.column.as_deref(), problem.read.as_str()), (Some(PIECES), "many"));
    }
}
