//! Sign-ins that did not succeed: how many under an e-mail and from an address, and when the last; and the
//! addresses a person has signed in from, where guesses of others do not hold them up.

use chrono::{DateTime, Duration, Utc};
use sea_orm::sea_query::OnConflict;
use sea_orm::{ColumnTrait, Condition, EntityTrait, IntoActiveModel, QueryFilter, QueryOrder, QuerySelect};

use crate::door::{Door, forget_failures, plain, user_of};
use crate::error::StoreError;
use crate::ids::UserId;
use crate::tables::people::{failed_sign_in, known_address};

/// Failed sign-ins older than this no longer count for anybody.
const FAILURES_KEPT: Duration = Duration::days(1);

/// How long an address is known after the last sign-in from it.
const ADDRESS_KNOWN: Duration = Duration::days(90);

/// Failed sign-ins looked at; who has failed as often waits the longest in any case.
const MOST: u64 = 200;

/// Failed sign-ins since a moment.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Failures {
    /// How many.
    pub count: usize,
    /// When the last was.
    pub last: Option<DateTime<Utc>>,
}

impl Door<'_> {
    /// Notes a sign-in that did not succeed, under the e-mail as typed, with the network address it
    /// came from where that is known.
    pub async fn note_failed_sign_in(&self, email: &str, address: Option<&str>) -> Result<(), StoreError> {
        let source = &self.store.inner.source;
        let (id, at) = (source.id(), source.now());
        let row = failed_sign_in::Model { id, email: plain(email), at, address: address.map(str::to_owned) };
        let tx = self.store.begin_writing().await?;
        let old = failed_sign_in::Column::At.lt(at - FAILURES_KEPT);
        failed_sign_in::Entity::delete_many().filter(old).exec(&tx).await?;
        failed_sign_in::Entity::insert(row.into_active_model()).exec_without_returning(&tx).await?;
        tx.commit().await?;
        Ok(())
    }

    /// Forgets the tries under a person's e-mail, once their password was right.
    pub async fn forget_failed_sign_ins(&self, user: UserId) -> Result<(), StoreError> {
        forget_failures(&self.store.inner.writer, user.0).await
    }

    /// Sign-ins under this e-mail that have failed since a moment.
    pub async fn failed_sign_ins(&self, email: &str, since: DateTime<Utc>) -> Result<Failures, StoreError> {
        self.failures(Condition::all().add(failed_sign_in::Column::Email.eq(plain(email))), since).await
    }

    /// Sign-ins from this network address that have failed since a moment, under any e-mail.
    pub async fn failed_from(&self, address: &str, since: DateTime<Utc>) -> Result<Failures, StoreError> {
        self.failures(Condition::all().add(failed_sign_in::Column::Address.eq(address)), since).await
    }

    /// Sign-ins under this e-mail from this network address that have failed since a moment.
    pub async fn failed_sign_ins_from(
        &self,
        email: &str,
        address: &str,
        since: DateTime<Utc>,
    ) -> Result<Failures, StoreError> {
        let email = failed_sign_in::Column::Email.eq(plain(email));
        let address = failed_sign_in::Column::Address.eq(address);
        self.failures(Condition::all().add(email).add(address), since).await
    }

    /// Notes that a person signed in from a network address; those long unused are swept away.
    pub async fn know_address(&self, user: UserId, address: &str) -> Result<(), StoreError> {
        let at = self.store.inner.source.now();
        let row = known_address::Model { user_id: user.0, address: address.to_owned(), at };
        let tx = self.store.begin_writing().await?;
        let old = known_address::Column::At.lt(at - ADDRESS_KNOWN);
        known_address::Entity::delete_many().filter(old).exec(&tx).await?;
        let key = [known_address::Column::UserId, known_address::Column::Address];
        known_address::Entity::insert(row.into_active_model())
            .on_conflict(OnConflict::columns(key).update_column(known_address::Column::At).to_owned())
            .exec_without_returning(&tx)
            .await?;
        tx.commit().await?;
        Ok(())
    }

    /// Whether the person with this e-mail has signed in from this network address lately.
    pub async fn knows_address(&self, email: &str, address: &str) -> Result<bool, StoreError> {
        let db = &self.store.inner.reader;
        let user = user_of(db, email).await?.map(|user| user.id).unwrap_or_default();
        // Asked of nobody as well: how long it takes does not tell who has an account.
        let row = known_address::Entity::find_by_id((user, address.to_owned())).one(db).await?;
        let since = self.store.inner.source.now() - ADDRESS_KNOWN;
        Ok(row.is_some_and(|row| row.at >= since))
    }

    async fn failures(&self, whose: Condition, since: DateTime<Utc>) -> Result<Failures, StoreError> {
        let newest = failed_sign_in::Entity::find()
            .filter(whose)
            .filter(failed_sign_in::Column::At.gte(since))
            .order_by_desc(failed_sign_in::Column::At)
            .limit(MOST);
        let rows = newest.all(&self.store.inner.reader).await?;
        Ok(Failures { count: rows.len(), last: rows.first().map(|row| row.at) })
    }
}
