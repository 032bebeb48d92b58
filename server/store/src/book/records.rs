//! Adding, correcting and removing one record.

use reckon::figure::RecordKind;
use reckon::records::{Attach, Record};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, DbErr, EntityTrait, QueryFilter, QuerySelect};

use super::kept_out::Why;
use super::map::Located;
use super::{Book, Entry, written};
use crate::audit::{Verb, row_text};
use crate::desk::target_of;
use crate::error::StoreError;
use crate::role::Right;
use crate::rows::{Head, Place, RecordRow, for_kind};
use crate::target::Target;

impl Book<'_> {
    /// Keeps a record.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] when the role may not keep this kind, [`StoreError::NotFound`] when
    /// the target is not in scope, [`StoreError::Misplaced`] when records of this kind do not belong
    /// to such a target, [`StoreError::OutsideSeason`] and [`StoreError::Closed`] for its day.
    pub async fn add(&mut self, target: &Target, record: &Record) -> Result<Uuid, StoreError> {
        self.begin_keeping(record.kind()).await?;
        for_kind!(record.kind(), R => self.add_row::<R>(target, record).await)
    }

    /// Puts a record right. `version` is the one that was read.
    ///
    /// # Errors
    /// [`StoreError::Changed`] when somebody was faster; otherwise as for [`Book::add`], for the
    /// record as it was and as it will be.
    pub async fn correct(
        &mut self,
        kind: RecordKind,
        id: Uuid,
        version: i64,
        target: &Target,
        record: &Record,
    ) -> Result<(), StoreError> {
        self.begin_keeping(kind).await?;
        for_kind!(kind, R => self.correct_row::<R>(id, version, target, record).await)
    }

    /// Takes a record away. The audit trail keeps what it said, and where it came from a file its row
    /// is kept out: the file does not bring it back by itself.
    ///
    /// # Errors
    /// As for [`Book::correct`].
    pub async fn remove(&mut self, kind: RecordKind, id: Uuid, version: i64) -> Result<(), StoreError> {
        self.begin_keeping(kind).await?;
        for_kind!(kind, R => self.remove_row::<R>(id, version).await)
    }

    async fn begin_keeping(&mut self, kind: RecordKind) -> Result<(), StoreError> {
        self.may(Right::to_keep(kind))?;
        self.lock_for(kind).await
    }

    /// Records that may concern several blocks wait for each other; records that costs may be shared
    /// by wait for those, and not for each other.
    pub(super) async fn lock_for(&mut self, kind: RecordKind) -> Result<(), StoreError> {
        match kind.attach() {
            Attach::Block if weighs(kind) => self.lock_operation_shared().await,
            Attach::Block => Ok(()),
            Attach::Station | Attach::Any | Attach::Operation => self.lock_operation().await,
        }
    }

    /// A row's common part, for a record kept now by this person.
    pub(super) fn head(&self, id: Uuid, version: i64) -> Head {
        Head {
            operation_id: self.operation(),
            id,
            author_id: self.scope.user.0,
            version,
            kept_at: self.store.inner.source.now(),
            file_name: None,
            file_line: None,
            row_print: None,
        }
    }

    async fn add_row<R: RecordRow>(&mut self, target: &Target, record: &Record) -> Result<Uuid, StoreError> {
        let place = target.place(R::KIND)?;
        let located = self.locate(target).await?;
        self.touch(&place, record).await?;
        let head = self.head(self.store.inner.source.id(), 1);
        let row = new_row::<R>(head, &place, record)?;
        let (id, after) = (row.id(), row_text(&row));
        R::Entity::insert(written(row)).exec_without_returning(&self.tx).await?;
        self.note_record::<R>(Verb::Added, id, &located, None, Some(after)).await?;
        Ok(id)
    }

    async fn correct_row<R: RecordRow>(
        &mut self,
        id: Uuid,
        version: i64,
        target: &Target,
        record: &Record,
    ) -> Result<(), StoreError> {
        let place = target.place(R::KIND)?;
        let old = self.take_up::<R>(id, version).await?;
        let located = self.locate(target).await?;
        self.touch(&place, record).await?;
        let was = old.head();
        let head = Head {
            file_name: was.file_name,
            file_line: was.file_line,
            row_print: was.row_print,
            ..self.head(id, version + 1)
        };
        let row = new_row::<R>(head, &place, record)?;
        let (before, after) = (row_text(&old), row_text(&row));
        let update = R::Entity::update(written(row)).validate()?.filter(R::VERSION.eq(version));
        update.exec_without_returning(&self.tx).await.map_err(changed)?;
        self.note_record::<R>(Verb::Corrected, id, &located, Some(before), Some(after)).await
    }

    async fn remove_row<R: RecordRow>(&mut self, id: Uuid, version: i64) -> Result<(), StoreError> {
        let old = self.take_up::<R>(id, version).await?;
        let located = self.locate(&target_of(&old)).await?;
        let before = row_text(&old);
        let done = R::Entity::delete_many()
            .filter(R::OPERATION.eq(self.operation()))
            .filter(R::ID.eq(id))
            .filter(R::VERSION.eq(version))
            .exec(&self.tx)
            .await?;
        if done.rows_affected == 0 {
            return Err(StoreError::Changed);
        }
        if let Some(print) = old.head().row_print {
            self.keep_out(R::KIND, [print], Why::Removed).await?;
        }
        self.note_record::<R>(Verb::Removed, id, &located, Some(before), None).await
    }

    /// The row to be changed, locked, with the summaries that depend on it marked.
    async fn take_up<R: RecordRow>(&mut self, id: Uuid, version: i64) -> Result<R, StoreError> {
        let mine = R::Entity::find().filter(R::OPERATION.eq(self.operation())).filter(R::ID.eq(id));
        let old = mine.lock_exclusive().one(&self.tx).await?.ok_or(StoreError::NotFound)?;
        // What the person does not see does not exist, the operation's own records included.
        self.locate(&target_of(&old)).await.map_err(|_| StoreError::NotFound)?;
        if old.head().version != version {
            return Err(StoreError::Changed);
        }
        let record = R::wrap(old.clone().record()?);
        self.touch(&old.place(), &record).await?;
        Ok(old)
    }

    async fn note_record<R: RecordRow>(
        &self,
        verb: Verb,
        record_id: Uuid,
        located: &Located,
        before: Option<String>,
        after: Option<String>,
    ) -> Result<(), StoreError> {
        let kind = R::KIND.word();
        self.note(Entry { verb, kind, record_id, farm: located.farm, place: &located.words, before, after }).await
    }
}

/// Boxes, weight and hours: what a shared cost may go out by.
pub(super) const fn weighs(kind: RecordKind) -> bool {
    matches!(kind, RecordKind::Packout | RecordKind::Labor)
}

pub(super) fn new_row<R: RecordRow>(head: Head, place: &Place, record: &Record) -> Result<R, StoreError> {
    R::new(head, place, record).ok_or(StoreError::Misplaced { kind: record.kind() })
}

/// An update that met no row: the version has moved on.
pub(super) fn changed(error: DbErr) -> StoreError {
    match error {
        DbErr::RecordNotUpdated => StoreError::Changed,
        other => other.into(),
    }
}
