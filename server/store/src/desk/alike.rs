//! Records that say what another one says, before it is kept.

use reckon::records::Record;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, QueryFilter};

use super::records::{names, stored, target_of};
use super::{Desk, RecordFilter, StoredRecord};
use crate::error::StoreError;
use crate::rows::{RecordRow, for_kind};
use crate::target::Target;

impl Desk<'_> {
    /// The records of a place that look like this one, in scope, as [`Record::likeness`] says: the same
    /// work may have been entered already. `except` is the record that is being corrected.
    pub async fn alike(
        &self,
        target: &Target,
        record: &Record,
        except: Option<Uuid>,
    ) -> Result<Vec<StoredRecord>, StoreError> {
        for_kind!(record.kind(), R => self.alike_rows::<R>(target, record, except).await)
    }

    async fn alike_rows<R: RecordRow>(
        &self,
        target: &Target,
        record: &Record,
        except: Option<Uuid>,
    ) -> Result<Vec<StoredRecord>, StoreError> {
        let of_day = self.select::<R>(&RecordFilter::of(R::KIND)).await?.filter(R::DAY.eq(record.date()));
        let mut rows: Vec<R> = of_day.all(self.db()).await?;
        rows.retain(|row| Some(row.id()) != except && target_of(row) == *target);
        rows.sort_unstable_by_key(R::id);
        let names = names(self.db(), rows.iter().map(|row| row.head().author_id)).await?;
        let mut alike = Vec::new();
        for row in rows {
            let known = stored(row, &names)?;
            if known.record.likeness(record).is_some() {
                alike.push(known);
            }
        }
        Ok(alike)
    }
}
