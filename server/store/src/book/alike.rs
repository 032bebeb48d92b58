//! Rows of a file that say what a record of the book says already, entered by hand or by another file.

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

/// A row of a file, and the record of the book that it looks like.
#[derive(Debug, Clone, PartialEq)]
pub struct Twin {
    /// The row's line in its file.
    pub line: u32,
    /// The record of the book.
    pub id: Uuid,
    /// What the record belongs to.
    pub target: Target,
    /// What the record says.
    pub record: Record,
    /// How much of it the row says too.
    pub likeness: Likeness,
    /// File and line the record came from; `None` for one entered by hand.
    pub from_file: Option<(String, u32)>,
}

impl Book<'_> {
    /// For each of the new rows of a file the record it looks like, if there is one. Records that are
    /// rows of this same file are passed over: two equal rows of one file both count.
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
        Twin { line: row.line, id, target: row.target.clone(), record, likeness, from_file }
    }
}
