//! What a record belongs to, as named in the row.

use reckon::block::folded;
use reckon::records::Attach;

use crate::kinds::FileKind;
use crate::row::Row;

/// What a record belongs to, in the words of the file. All `None`: the whole operation.
#[derive(Debug, Clone, PartialEq, Eq, Default, Hash)]
pub struct Place {
    /// Code of the block.
    pub block: Option<String>,
    /// Name of the farm.
    pub farm: Option<String>,
    /// Name of the weather station.
    pub station: Option<String>,
}

impl Place {
    fn block(code: Option<String>) -> Self {
        Self { block: code, ..Self::default() }
    }
}

/// Required columns that a known block makes good.
pub(crate) const fn excused(block_is_known: bool) -> &'static [&'static str] {
    if block_is_known { &["block", "station"] } else { &[] }
}

/// Reads the place of a row of this kind.
pub(crate) fn read(kind: FileKind, row: &mut Row<'_>) -> Place {
    match kind {
        FileKind::Farms => Place::default(),
        FileKind::Blocks => Place { farm: row.maybe_text("farm"), ..Place::default() },
        FileKind::Records(kind) => match kind.attach() {
            Attach::Block => Place::block(block(row)),
            Attach::Station => Place { station: row.maybe_text("station"), ..Place::default() },
            Attach::Any => any(row),
            Attach::Operation => Place::default(),
        },
    }
}

/// The code in the row, which must be the known block's where one is known.
fn block(row: &mut Row<'_>) -> Option<String> {
    let written = row.maybe_text("block");
    let Some(known) = row.context().block else { return written };
    if written.is_some_and(|code| folded(&code) != folded(&known.code)) {
        row.problem_like(
            "block",
            format!("{} or nothing, as these are the records of that block", known.code),
            &known.code,
        );
    }
    Some(known.code.clone())
}

/// A block, a farm, or neither for the whole operation. Beside a known block everything is its own.
fn any(row: &mut Row<'_>) -> Place {
    row.only_one(&["block", "farm"]);
    if row.context().block.is_some() {
        return Place::block(block(row));
    }
    Place { block: row.maybe_text("block"), farm: row.maybe_text("farm"), station: None }
}
