//! Rows of files that must not come in by themselves: a person removed them, or left them out.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use reckon::figure::RecordKind;
use sea_orm::sea_query::OnConflict;
use sea_orm::{ColumnTrait, EntityTrait, Iterable, QueryFilter};

use super::bring_in::MOST_VALUES;
use super::{Book, RowIn, written};
use crate::desk::names;
use crate::error::StoreError;
use crate::read::word;
use crate::tables::ledger::kept_out;

/// Why a row of a file is kept out of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Why {
    /// It was in the book, and a person removed it.
    Removed,
    /// It looked like a record of the book, and a person left it out.
    Double,
}

impl Why {
    const ALL: [Self; 2] = [Self::Removed, Self::Double];

    /// The word in the database.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Removed => "removed",
            Self::Double => "double",
        }
    }
}

/// A row of a file that was not added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptOut {
    /// Its line in the file.
    pub line: u32,
    /// Why.
    pub why: Why,
    /// Who said so, by name.
    pub by: String,
    /// When.
    pub at: DateTime<Utc>,
}

impl Book<'_> {
    /// Keeps rows of files out, by their prints.
    pub(super) async fn keep_out(
        &self,
        kind: RecordKind,
        prints: impl IntoIterator<Item = Vec<u8>>,
        why: Why,
    ) -> Result<(), StoreError> {
        let at = self.store.inner.source.now();
        let rows = prints.into_iter().map(|row_print| {
            written::<_, kept_out::ActiveModel>(kept_out::Model {
                operation_id: self.operation(),
                kind: kind.word().to_owned(),
                row_print,
                why: why.word().to_owned(),
                user_id: self.scope.user.0,
                at,
            })
        });
        let key = [kept_out::Column::OperationId, kept_out::Column::Kind, kept_out::Column::RowPrint];
        let rest = [kept_out::Column::Why, kept_out::Column::UserId, kept_out::Column::At];
        let rows: Vec<_> = rows.collect();
        for some in rows.chunks(MOST_VALUES / kept_out::Column::iter().count()) {
            kept_out::Entity::insert_many(some.iter().cloned())
                .on_conflict(OnConflict::columns(key).update_columns(rest).to_owned())
                .exec_without_returning(&self.tx)
                .await?;
        }
        Ok(())
    }

    /// Lets rows in again.
    pub(super) async fn let_in(&self, kind: RecordKind, prints: &[Vec<u8>]) -> Result<(), StoreError> {
        for some in prints.chunks(MOST_VALUES) {
            kept_out::Entity::delete_many()
                .filter(kept_out::Column::OperationId.eq(self.operation()))
                .filter(kept_out::Column::Kind.eq(kind.word()))
                .filter(kept_out::Column::RowPrint.is_in(some.iter().cloned()))
                .exec(&self.tx)
                .await?;
        }
        Ok(())
    }

    /// Those of a file's rows that are kept out, by their prints.
    pub(super) async fn kept_out(
        &self,
        kind: RecordKind,
        rows: &[&RowIn],
    ) -> Result<BTreeMap<[u8; 32], KeptOut>, StoreError> {
        let all = kept_out::Entity::find()
            .filter(kept_out::Column::OperationId.eq(self.operation()))
            .filter(kept_out::Column::Kind.eq(kind.word()))
            .all(&self.tx)
            .await?;
        if all.is_empty() {
            return Ok(BTreeMap::new());
        }
        let names = names(&self.tx, all.iter().map(|row| row.user_id)).await?;
        let by_print: BTreeMap<&[u8], &kept_out::Model> =
            all.iter().map(|row| (row.row_print.as_slice(), row)).collect();
        let mut found = BTreeMap::new();
        for row in rows {
            let Some(kept) = by_print.get(row.print.as_slice()) else { continue };
            let why = word(&Why::ALL, Why::word, &kept.why, "why").map_err(|bad| bad.at("kept_out", kept.user_id))?;
            let by = names.get(&kept.user_id).cloned().unwrap_or_default();
            found.insert(row.print, KeptOut { line: row.line, why, by, at: kept.at });
        }
        Ok(found)
    }
}
