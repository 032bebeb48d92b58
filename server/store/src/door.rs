//! What happens before there is a scope: founding, signing in, sessions.

use chrono::{DateTime, Duration, Utc};
use sea_orm::entity::prelude::Uuid;
use sea_orm::sea_query::Expr;
use sea_orm::{ColumnTrait, Condition, ConnectionTrait, EntityTrait, IntoActiveModel, QueryFilter, QueryOrder};

use crate::error::{Constraint, StoreError};
use crate::ids::{FarmId, OperationId, UserId};
use crate::read::Bad;
use crate::role::Role;
use crate::scope::Scope;
use crate::store::Store;
use crate::tables::people::{failed_sign_in, membership, membership_farm, operation, session, user_account};

/// How long a one-time password waits for its sign-in.
pub const ONE_TIME_LASTS: Duration = Duration::days(7);

/// A person to be added. The password comes as a hash in PHC form; the store never sees it.
#[derive(Debug, Clone, Copy)]
pub struct NewUser<'a> {
    /// Name as shown beside what they keep.
    pub name: &'a str,
    /// E-mail they sign in with.
    pub email: &'a str,
    /// Password hash in PHC form.
    pub password_hash: &'a str,
}

/// A session that holds.
#[derive(Debug, Clone)]
pub struct SignedIn {
    /// What the person sees.
    pub scope: Scope,
    /// The person's name.
    pub user_name: String,
    /// The operation's name.
    pub operation_name: String,
    /// Whether the person must choose a password before anything else.
    pub one_time: bool,
    /// The session's form token.
    pub csrf: [u8; 32],
}

/// The way in.
#[derive(Debug, Clone, Copy)]
pub struct Door<'s> {
    pub(crate) store: &'s Store,
}

impl Door<'_> {
    /// Founds an operation with its owner.
    ///
    /// # Errors
    /// [`StoreError::Taken`] when the e-mail belongs to somebody already.
    pub async fn found_operation(&self, name: &str, owner: NewUser<'_>) -> Result<Scope, StoreError> {
        let source = &self.store.inner.source;
        let now = source.now();
        let tx = self.store.begin_writing().await?;
        let operation = operation::Model { id: source.id(), name: name.to_owned(), founded_at: now };
        operation::Entity::insert(operation.clone().into_active_model()).exec_without_returning(&tx).await?;
        let user = add_user(&tx, source.id(), owner, now).await?;
        let member = Member { operation: operation.id, user, role: Role::Owner, farms: None };
        let scope = add_member(&tx, member, now).await?;
        tx.commit().await?;
        Ok(scope)
    }

    /// Whether nothing has been founded yet.
    pub async fn is_empty(&self) -> Result<bool, StoreError> {
        Ok(operation::Entity::find().one(&self.store.inner.reader).await?.is_none())
    }

    /// The person with this e-mail, and the hash of their password.
    pub async fn password_of(&self, email: &str) -> Result<Option<(UserId, String)>, StoreError> {
        let user = user_of(&self.store.inner.reader, email).await?;
        Ok(user.map(|user| (UserId(user.id), user.password_hash)))
    }

    /// Whether the password that was just found right still opens. A person's own always does; a
    /// one-time password opens once, within [`ONE_TIME_LASTS`], and is spent by this.
    pub async fn opens(&self, user: UserId) -> Result<bool, StoreError> {
        let db = &self.store.inner.writer;
        let now = self.store.inner.source.now();
        let ends = user_account::Column::OneTimeEnds;
        // One statement: of two sign-ins at once only one spends it.
        let spent = user_account::Entity::update_many()
            .col_expr(ends, Expr::value(now))
            .filter(user_account::Column::Id.eq(user.0))
            .filter(user_account::Column::OneTime.eq(true))
            .filter(Condition::any().add(ends.is_null()).add(ends.gt(now)))
            .exec(db)
            .await?;
        let account = user_account::Entity::find_by_id(user.0).one(db).await?.ok_or(StoreError::NotFound)?;
        Ok(spent.rows_affected > 0 || !account.one_time)
    }

    /// Begins a session in the person's first operation. Only the token's hash is kept. Sessions
    /// that are over and the person's failed sign-ins are swept away.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] when the person belongs to no operation.
    pub async fn begin_session(
        &self,
        user: UserId,
        token_hash: [u8; 32],
        csrf: [u8; 32],
        lasts: Duration,
    ) -> Result<(), StoreError> {
        let now = self.store.inner.source.now();
        let tx = self.store.begin_writing().await?;
        let member = first_membership(&tx, user.0).await?.ok_or(StoreError::NotFound)?;
        session::Entity::delete_many().filter(session::Column::ExpiresAt.lte(now)).exec(&tx).await?;
        forget_failures(&tx, user.0).await?;
        let row = session::Model {
            token_hash: token_hash.to_vec(),
            operation_id: member.operation_id,
            user_id: user.0,
            csrf: csrf.to_vec(),
            begun_at: now,
            expires_at: now + lasts,
        };
        session::Entity::insert(row.into_active_model()).exec_without_returning(&tx).await?;
        tx.commit().await?;
        Ok(())
    }

    /// The session of this token hash, while it lasts and the person still belongs to the operation.
    pub async fn session(&self, token_hash: &[u8; 32]) -> Result<Option<SignedIn>, StoreError> {
        let db = &self.store.inner.reader;
        let row = session::Entity::find_by_id(token_hash.to_vec()).one(db).await?;
        let Some(row) = row.filter(|row| row.expires_at > self.store.inner.source.now()) else { return Ok(None) };
        let Some(scope) = scope_of(db, row.operation_id, row.user_id).await? else { return Ok(None) };
        let user = user_account::Entity::find_by_id(row.user_id).one(db).await?.ok_or(StoreError::NotFound)?;
        let operation = operation::Entity::find_by_id(row.operation_id).one(db).await?.ok_or(StoreError::NotFound)?;
        let csrf = row.csrf.try_into().map_err(|_| Bad("csrf").at("session", row.user_id))?;
        let one_time = user.one_time;
        Ok(Some(SignedIn { scope, one_time, user_name: user.name, operation_name: operation.name, csrf }))
    }

    /// Ends the session of this token hash; nothing happens where there is none.
    pub async fn end_session(&self, token_hash: &[u8; 32]) -> Result<(), StoreError> {
        session::Entity::delete_by_id(token_hash.to_vec()).exec(&self.store.inner.writer).await?;
        Ok(())
    }

    /// The scope of a person on this machine's command line: who can open the database file is
    /// trusted with it. Without an e-mail, the owner of the first operation.
    ///
    /// # Errors
    /// [`StoreError::NotFound`] when there is no such person or nothing is founded yet.
    pub async fn operator(&self, email: Option<&str>) -> Result<Scope, StoreError> {
        let db = &self.store.inner.reader;
        let member = match email {
            Some(email) => {
                let user = user_of(db, email).await?.ok_or(StoreError::NotFound)?;
                first_membership(db, user.id).await?
            }
            None => {
                membership::Entity::find()
                    .filter(membership::Column::Role.eq(Role::Owner.word()))
                    .order_by_asc(membership::Column::JoinedAt)
                    .order_by_asc(membership::Column::UserId)
                    .one(db)
                    .await?
            }
        };
        let member = member.ok_or(StoreError::NotFound)?;
        scope_of(db, member.operation_id, member.user_id).await?.ok_or(StoreError::NotFound)
    }
}

/// E-mails are compared without case and surrounding blanks.
pub(crate) fn plain(email: &str) -> String {
    email.trim().to_lowercase()
}

pub(crate) async fn user_of<C: ConnectionTrait>(
    db: &C,
    email: &str,
) -> Result<Option<user_account::Model>, StoreError> {
    Ok(user_account::Entity::find().filter(user_account::Column::Email.eq(plain(email))).one(db).await?)
}

async fn first_membership<C: ConnectionTrait>(db: &C, user: Uuid) -> Result<Option<membership::Model>, StoreError> {
    let found = membership::Entity::find()
        .filter(membership::Column::UserId.eq(user))
        .order_by_asc(membership::Column::JoinedAt)
        .order_by_asc(membership::Column::OperationId);
    Ok(found.one(db).await?)
}

pub(crate) async fn forget_failures<C: ConnectionTrait>(db: &C, user: Uuid) -> Result<(), StoreError> {
    let user = user_account::Entity::find_by_id(user).one(db).await?.ok_or(StoreError::NotFound)?;
    let failed = failed_sign_in::Column::Email.eq(user.email);
    failed_sign_in::Entity::delete_many().filter(failed).exec(db).await?;
    Ok(())
}

/// The scope of a person in an operation, as it stands now: a changed role holds at once.
pub(crate) async fn scope_of<C: ConnectionTrait>(
    db: &C,
    operation: Uuid,
    user: Uuid,
) -> Result<Option<Scope>, StoreError> {
    let Some(member) = membership::Entity::find_by_id((operation, user)).one(db).await? else { return Ok(None) };
    let role = Role::from_word(&member.role).ok_or_else(|| Bad("role").at("membership", user))?;
    let farms = if member.all_farms {
        None
    } else {
        let rows = membership_farm::Entity::find()
            .filter(membership_farm::Column::OperationId.eq(operation))
            .filter(membership_farm::Column::UserId.eq(user))
            .order_by_asc(membership_farm::Column::FarmId);
        Some(rows.all(db).await?.into_iter().map(|row| FarmId(row.farm_id)).collect())
    };
    Ok(Some(Scope { operation: OperationId(operation), farms, role, user: UserId(user) }))
}

/// A person as a member of an operation.
pub(crate) struct Member<'a> {
    pub(crate) operation: Uuid,
    pub(crate) user: UserId,
    pub(crate) role: Role,
    pub(crate) farms: Option<&'a [FarmId]>,
}

pub(crate) async fn add_user<C: ConnectionTrait>(
    db: &C,
    id: Uuid,
    new: NewUser<'_>,
    now: DateTime<Utc>,
) -> Result<UserId, StoreError> {
    let row = user_account::Model {
        id,
        name: new.name.to_owned(),
        email: plain(new.email),
        password_hash: new.password_hash.to_owned(),
        one_time: false,
        one_time_ends: None,
        added_at: now,
    };
    let insert = user_account::Entity::insert(row.into_active_model()).exec_without_returning(db).await;
    insert.map_err(|error| StoreError::taken(error, Constraint::Email))?;
    Ok(UserId(id))
}

pub(crate) async fn add_member<C: ConnectionTrait>(
    db: &C,
    member: Member<'_>,
    now: DateTime<Utc>,
) -> Result<Scope, StoreError> {
    let row = membership::Model {
        operation_id: member.operation,
        user_id: member.user.0,
        role: member.role.word().to_owned(),
        all_farms: member.farms.is_none(),
        joined_at: now,
    };
    membership::Entity::insert(row.into_active_model()).exec_without_returning(db).await?;
    limit_to(db, member.operation, member.user, member.farms).await?;
    Ok(Scope {
        operation: OperationId(member.operation),
        farms: member.farms.map(<[FarmId]>::to_vec),
        role: member.role,
        user: member.user,
    })
}

/// Enters the farms a person is limited to; none for all farms.
pub(crate) async fn limit_to<C: ConnectionTrait>(
    db: &C,
    operation_id: Uuid,
    user: UserId,
    farms: Option<&[FarmId]>,
) -> Result<(), StoreError> {
    let limit = |farm: &FarmId| membership_farm::Model { operation_id, user_id: user.0, farm_id: farm.0 };
    let limits = farms.unwrap_or_default().iter().map(|farm| limit(farm).into_active_model());
    membership_farm::Entity::insert_many(limits).exec_without_returning(db).await?;
    Ok(())
}
