//! Rows of a file that say what a record of the book says already, entered by hand or by another file, or
//! what another row of the same file says.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use reckon::records::{Likeness, Record};
use sea_orm::entity::prelude::Uuid;

use super::{Book, RowIn};
use crate::desk::target_of;
use crate::error::StoreError;
use crate::gather::in_days;
use crate::rows::RecordRow;
use crate::target::Target;

/// A row of a file, and what it looks like.
#[derive(Debug, Clone, PartialEq)]
pub struct Twin {
    /// The row's line in its file.
    pub line: u32,
    /// Where the other stands.
    pub other: TwinOf,
    /// What both belong to.
    pub target: Target,
    /// What the other says.
    pub record: Record,
    /// How much of it the row says too.
    pub likeness: Likeness,
}

/// Where that stands which a row looks like.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TwinOf {
    /// In the book.
    Kept {
        /// Its id.
        id: Uuid,
        /// File and line it came from; `None` for one entered by hand.
        from_file: Option<(String, u32)>,
    },
    /// On this line of the same file.
    Row(u32),
}

/// Rows of one place and day that a row of their file is held against, at most: a day has no more, and a
/// file of nothing else is read in good time.
const MOST_OF_A_DAY: usize = 500;

/// For each of the new rows of a file the row of the same file it looks like, if there is one: one before
/// it, or one that is in the book. `counted` are the rows that count, new or in the book, in their order.
pub(super) fn twins_in_file(new: &[&RowIn], counted: &[&RowIn]) -> Vec<Twin> {
    let prints: BTreeSet<[u8; 32]> = new.iter().map(|row| row.print).collect();
    let mut days: BTreeMap<(&Target, NaiveDate), Vec<&RowIn>> = BTreeMap::new();
    for row in counted {
        days.entry((&row.target, row.record.date())).or_default().push(row);
    }
    let twin = |row: &&RowIn| {
        let of_day = days.get(&(&row.target, row.record.date()))?;
        let others = of_day
            .iter()
            .filter(|other| other.print != row.print && (other.line < row.line || !prints.contains(&other.print)));
        let alike = others.take(MOST_OF_A_DAY).filter_map(|other| Some((other.record.likeness(&row.record)?, *other)));
        let (likeness, other) = alike.min_by_key(|(likeness, other)| (*likeness, other.line))?;
        let (target, record) = (row.target.clone(), other.record.clone());
        Some(Twin { line: row.line, other: TwinOf::Row(other.line), target, record, likeness })
    };
    new.iter().filter_map(twin).collect()
}

impl Book<'_> {
    /// For each of the new rows of a file the record it looks like, if there is one. Records that are
    /// rows of this same file are passed over; those are held against each other ([`twins_in_file`]).
    pub(super) async fn twins<R: RecordRow>(
        &self,
        new: &[&RowIn],
        prints: &BTreeSet<[u8; 32]>,
    ) -> Result<Vec<Twin>, StoreError> {
        let days = || new.iter().map(|row| row.record.date());
        let Some((first, last)) = days().min().zip(days().max()) else { return Ok(Vec::new()) };
        let mut known: BTreeMap<(Target, NaiveDate), Vec<Known>> = BTreeMap::new();
        for row in in_days::<R>(self.operation(), first, last).all(&self.tx).await? {
            let head = row.head();
            let of_this_file = head.row_print.as_deref().and_then(|print| <[u8; 32]>::try_from(print).ok());
            if of_this_file.is_some_and(|print| prints.contains(&print)) {
                continue;
            }
            let at = (target_of(&row), row.day());
            let line = head.file_line.and_then(|line| u32::try_from(line).ok());
            let (id, from_file) = (head.id, head.file_name.zip(line));
            known.entry(at).or_default().push(Known { id, record: R::wrap(row.record()?), from_file });
        }
        let twin = |row: &&RowIn| {
            let known = known.get(&(row.target.clone(), row.record.date()))?;
            let alike = known.iter().filter_map(|known| Some((known.record.likeness(&row.record)?, known)));
            // What says the same goes before what differs.
            let (likeness, known) = alike.min_by_key(|(likeness, known)| (*likeness, known.id))?;
            Some(known.clone().twin(row, likeness))
        };
        Ok(new.iter().filter_map(twin).collect())
    }
}

/// A record of the book that rows are held against.
#[derive(Clone)]
struct Known {
    id: Uuid,
    record: Record,
    from_file: Option<(String, u32)>,
}

impl Known {
    /// Both belong to the same.
    fn twin(self, row: &RowIn, likeness: Likeness) -> Twin {
        let Self { id, record, from_file } = self;
        let other = TwinOf::Kept { id, from_file };
        Twin { line: row.line, other, target: row.target.clone(), record, likeness }
    }
}
