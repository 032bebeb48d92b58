//! Bringing in a file: all of it or nothing, each row once, the same file once.

use std::collections::BTreeSet;

use chrono::{DateTime, Utc};
use reckon::figure::RecordKind;
use reckon::records::Record;
use sea_orm::entity::prelude::Uuid;
use sea_orm::sea_query::OnConflict;
use sea_orm::{ColumnTrait, EntityTrait, Iterable, QueryFilter, QuerySelect};

use super::records::new_row;
use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::error::StoreError;
use crate::gather::in_days;
use crate::role::Right;
use crate::rows::{Column, Head, RecordRow, for_kind};
use crate::tables::ledger::brought_in_file;
use crate::target::Target;

/// Values one statement may bind; SQLite takes 32,766.
const MOST_VALUES: usize = 30_000;

/// What is known of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFacts {
    /// Its name.
    pub name: String,
    /// What its rows are: a record kind's word.
    pub kind_word: String,
    /// Hash of its bytes.
    pub sha256: [u8; 32],
    /// Rows in it.
    pub rows: usize,
}

/// A row of a file, read and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct RowIn {
    /// Line of the file.
    pub line: u32,
    /// Hash of the row's meaning and its ordinal among equal rows of the file.
    pub print: [u8; 32],
    /// What it belongs to.
    pub target: Target,
    /// The record.
    pub record: Record,
}

/// What came of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BroughtIn {
    /// Rows that were new.
    pub added: usize,
    /// Rows that were in the book already.
    pub already: usize,
    /// When this very file was brought in before; then nothing was added.
    pub same_file: Option<DateTime<Utc>>,
}

impl Book<'_> {
    /// Brings in the rows of a file. Rows that are in the book already are passed over, so a file
    /// that grew brings in its new rows. It takes the right to bring in files, whatever the kind.
    ///
    /// # Errors
    /// As for [`Book::add`], for the first new row that cannot be kept; then nothing of the whole
    /// book can be saved.
    pub async fn bring_in(&mut self, file: &FileFacts, rows: &[RowIn]) -> Result<BroughtIn, StoreError> {
        let done = self.bring_in_all(file, rows).await;
        self.half_done |= done.is_err();
        done
    }

    async fn bring_in_all(&mut self, file: &FileFacts, rows: &[RowIn]) -> Result<BroughtIn, StoreError> {
        self.may(Right::BringIn)?;
        let id = self.store.inner.source.id();
        if !self.enter_file(id, file, rows.len()).await? {
            let same_file = Some(self.entered_at(file).await?);
            return Ok(BroughtIn { added: 0, already: rows.len(), same_file });
        }
        let added = match RecordKind::from_word(&file.kind_word) {
            Some(kind) => {
                self.lock_for(kind).await?;
                for_kind!(kind, R => self.bring_in_rows::<R>(file, rows).await)?
            }
            None => refuse_rows(rows)?,
        };
        let already = rows.len() - added;
        self.finish_file(id, file, added, already).await?;
        Ok(BroughtIn { added, already, same_file: None })
    }

    /// Enters the file in the list; `false` when it stands there already.
    async fn enter_file(&self, id: Uuid, file: &FileFacts, rows: usize) -> Result<bool, StoreError> {
        let row = brought_in_file::Model {
            operation_id: self.operation(),
            id,
            kind: file.kind_word.clone(),
            name: file.name.clone(),
            sha256: file.sha256.to_vec(),
            rows_read: count(file.rows.max(rows)),
            rows_added: 0,
            at: self.store.inner.source.now(),
            user_id: self.scope.user.0,
        };
        let same =
            [brought_in_file::Column::OperationId, brought_in_file::Column::Kind, brought_in_file::Column::Sha256];
        let entered = brought_in_file::Entity::insert_many([written::<_, brought_in_file::ActiveModel>(row)])
            .on_conflict(OnConflict::columns(same).do_nothing().to_owned())
            .exec_without_returning(&self.tx)
            .await?;
        Ok(entered > 0)
    }

    async fn entered_at(&self, file: &FileFacts) -> Result<DateTime<Utc>, StoreError> {
        let same = brought_in_file::Entity::find()
            .filter(brought_in_file::Column::OperationId.eq(self.operation()))
            .filter(brought_in_file::Column::Kind.eq(file.kind_word.as_str()))
            .filter(brought_in_file::Column::Sha256.eq(file.sha256.to_vec()));
        same.one(&self.tx).await?.map(|row| row.at).ok_or(StoreError::NotFound)
    }

    async fn bring_in_rows<R: RecordRow>(&mut self, file: &FileFacts, rows: &[RowIn]) -> Result<usize, StoreError> {
        let known = self.known_prints::<R>(rows).await?;
        let new: Vec<&RowIn> = rows.iter().filter(|row| !known.contains(row.print.as_slice())).collect();
        let mut added = 0;
        for chunk in new.chunks((MOST_VALUES / Column::<R>::iter().count()).max(1)) {
            let mut models = Vec::with_capacity(chunk.len());
            for row in chunk {
                models.push(written(self.row_in::<R>(file, row).await?));
            }
            // A row whose day was corrected since is not among the known ones, and another book may
            // be bringing in the same rows: neither comes in twice.
            let once = OnConflict::columns([R::OPERATION, R::ROW_PRINT]).do_nothing().to_owned();
            let insert = R::Entity::insert_many(models).on_conflict(once);
            added += usize::try_from(insert.exec_without_returning(&self.tx).await?).unwrap_or(usize::MAX);
        }
        Ok(added)
    }

    /// Prints of the rows that are in the book on the file's days. One query along the days: looking
    /// up each print is slower by far on PostgreSQL while its table is fresh.
    async fn known_prints<R: RecordRow>(&self, rows: &[RowIn]) -> Result<BTreeSet<Vec<u8>>, StoreError> {
        let days = || rows.iter().map(|row| row.record.date());
        let Some((first, last)) = days().min().zip(days().max()) else { return Ok(BTreeSet::new()) };
        let known = in_days::<R>(self.operation(), first, last)
            .select_only()
            .column(R::ROW_PRINT)
            .filter(R::ROW_PRINT.is_not_null())
            .into_tuple::<Vec<u8>>();
        Ok(known.all(&self.tx).await?.into_iter().collect())
    }

    async fn row_in<R: RecordRow>(&mut self, file: &FileFacts, row: &RowIn) -> Result<R, StoreError> {
        let place = row.target.place(R::KIND)?;
        self.locate(&row.target).await?;
        self.touch(&place, &row.record).await?;
        let head = Head {
            file_name: Some(file.name.clone()),
            file_line: Some(i64::from(row.line)),
            row_print: Some(row.print.to_vec()),
            ..self.head(self.store.inner.source.id(), 1)
        };
        new_row(head, &place, &row.record)
    }

    /// One audit line for the whole file; its rows carry its name and their line.
    async fn finish_file(&self, id: Uuid, file: &FileFacts, added: usize, already: usize) -> Result<(), StoreError> {
        let row = brought_in_file::ActiveModel {
            operation_id: sea_orm::Set(self.operation()),
            id: sea_orm::Set(id),
            rows_added: sea_orm::Set(count(added)),
            ..Default::default()
        };
        brought_in_file::Entity::update(row).exec_without_returning(&self.tx).await?;
        let counts = serde_json::json!({ "rows": added + already, "added": added, "already": already });
        self.note(Entry {
            verb: Verb::BroughtIn,
            kind: &file.kind_word,
            record_id: id,
            farm: None,
            place: &file.name,
            before: None,
            after: Some(counts.to_string()),
        })
        .await
    }
}

/// Farms and blocks are added one by one; their file is only entered in the list.
fn refuse_rows(rows: &[RowIn]) -> Result<usize, StoreError> {
    match rows.first() {
        Some(row) => Err(StoreError::Misplaced { kind: row.record.kind() }),
        None => Ok(0),
    }
}

fn count(rows: usize) -> i64 {
    i64::try_from(rows).unwrap_or(i64::MAX)
}
