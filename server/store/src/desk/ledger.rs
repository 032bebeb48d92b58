//! Reading the audit trail and the files brought in.

use chrono::{DateTime, Utc};
use reckon::figure::RecordKind;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter, QueryOrder, QuerySelect, Select};

use super::Desk;
use super::records::names;
use crate::audit::{Change, Verb};
use crate::error::StoreError;
use crate::read::Bad;
use crate::tables::ledger::{brought_in_file, change};

/// A file that was brought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtInFile {
    /// What its rows are.
    pub kind: String,
    /// Its name.
    pub name: String,
    /// Hash of its bytes.
    pub sha256: [u8; 32],
    /// Rows in it.
    pub rows: usize,
    /// Rows that were new.
    pub added: usize,
    /// When.
    pub at: DateTime<Utc>,
    /// By whom.
    pub by: String,
}

impl Desk<'_> {
    /// The latest changes, newest first. A person limited to farms sees those of these farms.
    pub async fn changes(&self, limit: u64) -> Result<Vec<Change>, StoreError> {
        let latest =
            self.changes_in_scope().order_by_desc(change::Column::At).order_by_desc(change::Column::Id).limit(limit);
        let rows = latest.all(self.db()).await?;
        let names = names(self.db(), rows.iter().map(|row| row.user_id)).await?;
        let by = |row: &change::Model| names.get(&row.user_id).cloned().unwrap_or_default();
        rows.into_iter().map(|row| Change::of(row.clone(), by(&row))).collect()
    }

    /// How a record left the book: its last removal; `None` for one that is still there, never was,
    /// or belongs to farms the person does not see.
    pub async fn removal(&self, kind: RecordKind, id: Uuid) -> Result<Option<Change>, StoreError> {
        let removals = self
            .changes_in_scope()
            .filter(change::Column::RecordId.eq(id))
            .filter(change::Column::Kind.eq(kind.word()))
            .filter(change::Column::Verb.eq(Verb::Removed.word()));
        let Some(row) = removals.order_by_desc(change::Column::At).one(self.db()).await? else { return Ok(None) };
        let names = names(self.db(), [row.user_id]).await?;
        let by = names.get(&row.user_id).cloned().unwrap_or_default();
        Change::of(row, by).map(Some)
    }

    /// Where every query of changes begins.
    fn changes_in_scope(&self) -> Select<change::Entity> {
        let mine = change::Entity::find().filter(change::Column::OperationId.eq(self.operation()));
        match &self.scope.farms {
            Some(farms) => mine.filter(change::Column::FarmId.is_in(farms.iter().map(|farm| farm.0))),
            None => mine,
        }
    }

    /// The latest files, newest first. A person limited to farms sees their own.
    pub async fn brought_in(&self, limit: u64) -> Result<Vec<BroughtInFile>, StoreError> {
        let mut select =
            brought_in_file::Entity::find().filter(brought_in_file::Column::OperationId.eq(self.operation()));
        if !self.scope.sees_all() {
            select = select.filter(brought_in_file::Column::UserId.eq(self.scope.user.0));
        }
        let at = brought_in_file::Column::At;
        let latest = select.order_by_desc(at).order_by_desc(brought_in_file::Column::Id).limit(limit);
        let rows = latest.all(self.db()).await?;
        let names = names(self.db(), rows.iter().map(|row| row.user_id)).await?;
        let by = |row: &brought_in_file::Model| names.get(&row.user_id).cloned().unwrap_or_default();
        rows.into_iter().map(|row| brought_in(by(&row), row)).collect()
    }
}

fn brought_in(by: String, row: brought_in_file::Model) -> Result<BroughtInFile, StoreError> {
    let bad = |column| Bad(column).at("brought_in_file", row.id);
    Ok(BroughtInFile {
        rows: usize::try_from(row.rows_read).map_err(|_| bad("rows_read"))?,
        added: usize::try_from(row.rows_added).map_err(|_| bad("rows_added"))?,
        sha256: row.sha256.try_into().map_err(|_| Bad("sha256").at("brought_in_file", row.id))?,
        kind: row.kind,
        name: row.name,
        at: row.at,
        by,
    })
}
