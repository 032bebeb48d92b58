//! People of the operation: adding, changing, removing them, and their passwords. An operation never
//! loses its last owner.

use chrono::{DateTime, Utc};
use sea_orm::entity::prelude::Uuid;
use sea_orm::sea_query::Expr;
use sea_orm::{ColumnTrait, Condition, EntityTrait, QueryFilter, Set};

use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::door::{Member, NewUser, ONE_TIME_LASTS, add_member, add_user, limit_to, scope_of, user_of};
use crate::error::StoreError;
use crate::ids::{FarmId, UserId};
use crate::role::{Right, Role};
use crate::tables::people::{idempotency_key, membership, membership_farm, program_key, session, user_account};

impl Book<'_> {
    /// Adds a person, on all farms (`None`) or on some. Only an owner of the whole operation may.
    /// Somebody who was removed earlier comes back under the old account, with the new name and
    /// password.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for any other role, [`StoreError::Taken`] when the e-mail belongs
    /// to somebody, [`StoreError::NotFound`] for a farm that is not the operation's.
    pub async fn add_person(
        &mut self,
        new: NewUser<'_>,
        role: Role,
        farms: Option<&[FarmId]>,
    ) -> Result<UserId, StoreError> {
        self.may_change_people(farms).await?;
        let source = &self.store.inner.source;
        let user = match user_of(&self.tx, new.email).await? {
            Some(account) if !self.belongs_anywhere(account.id).await? => self.come_back(account, new).await?,
            _ => add_user(&self.tx, source.id(), new, source.now()).await?,
        };
        add_member(&self.tx, Member { operation: self.operation(), user, role, farms }, source.now()).await?;
        let after = self.person_text(user, role, farms).await?;
        self.note_person(Verb::Added, user, None, Some(after)).await?;
        Ok(user)
    }

    /// Gives a person another role or other farms. It holds at once.
    ///
    /// # Errors
    /// As for [`Book::add_person`]; [`StoreError::LastOwner`] when nobody would own the operation.
    pub async fn change_person(
        &mut self,
        user: UserId,
        role: Role,
        farms: Option<&[FarmId]>,
    ) -> Result<(), StoreError> {
        self.may_change_people(farms).await?;
        let before = self.member_text(user).await?;
        self.leave_operation(user).await?;
        // Since when somebody belongs to the operation does not change.
        let row = membership::ActiveModel {
            operation_id: Set(self.operation()),
            user_id: Set(user.0),
            role: Set(role.word().to_owned()),
            all_farms: Set(farms.is_none()),
            ..Default::default()
        };
        membership::Entity::update(row).exec_without_returning(&self.tx).await?;
        limit_to(&self.tx, self.operation(), user, farms).await?;
        self.must_have_owner().await?;
        let after = self.person_text(user, role, farms).await?;
        self.note_person(Verb::Corrected, user, Some(before), Some(after)).await
    }

    /// Takes a person out of the operation and ends their sessions and their programs' keys. What they kept stays under their
    /// name.
    ///
    /// # Errors
    /// As for [`Book::change_person`].
    pub async fn remove_person(&mut self, user: UserId) -> Result<(), StoreError> {
        self.may_change_people(None).await?;
        let before = self.member_text(user).await?;
        self.note_person(Verb::Removed, user, Some(before), None).await?;
        self.leave_operation(user).await?;
        self.end_sessions(user, None).await?;
        let mine = self.of_member(idempotency_key::Column::OperationId, idempotency_key::Column::UserId, user);
        idempotency_key::Entity::delete_many().filter(mine).exec(&self.tx).await?;
        let mine = self.of_member(program_key::Column::OperationId, program_key::Column::UserId, user);
        program_key::Entity::delete_many().filter(mine).exec(&self.tx).await?;
        membership::Entity::delete_by_id((self.operation(), user.0)).exec(&self.tx).await?;
        self.must_have_owner().await?;
        if !self.belongs_anywhere(user.0).await? {
            // No password is this one's hash: the account cannot sign in any more.
            self.set_password(user, "", None).await?;
        }
        Ok(())
    }

    /// Gives a member a password that opens once, within [`ONE_TIME_LASTS`]; then they choose their own.
    /// Their sessions end.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for anybody but an owner, [`StoreError::NotFound`] for somebody
    /// who is no member.
    pub async fn give_one_time_password(&mut self, user: UserId, hash: &str) -> Result<(), StoreError> {
        self.may_change_people(None).await?;
        self.member(user).await?;
        let ends = self.store.inner.source.now() + ONE_TIME_LASTS;
        self.set_password(user, hash, Some(ends)).await?;
        self.end_sessions(user, None).await?;
        let said = serde_json::json!({ "password": "a new one for one sign-in" });
        self.note_person(Verb::Corrected, user, None, Some(said.to_string())).await
    }

    /// The person's own new password. Their other sessions end; that of `keep` goes on.
    ///
    /// # Errors
    /// What the database says.
    pub async fn change_own_password(&mut self, hash: &str, keep: Option<&[u8; 32]>) -> Result<(), StoreError> {
        let user = self.scope.user;
        self.set_password(user, hash, None).await?;
        self.end_sessions(user, keep).await?;
        let said = serde_json::json!({ "password": "changed by the person" });
        self.note_person(Verb::Corrected, user, None, Some(said.to_string())).await
    }

    /// One book at a time changes people, or two owners could remove each other.
    pub(super) async fn may_change_people(&mut self, farms: Option<&[FarmId]>) -> Result<(), StoreError> {
        self.may(Right::People)?;
        self.sees_all()?;
        self.lock_operation().await?;
        let map = self.map().await?;
        let known = |id: &FarmId| map.farms.iter().any(|farm| farm.id == id.0);
        if farms.unwrap_or_default().iter().all(known) { Ok(()) } else { Err(StoreError::NotFound) }
    }

    async fn must_have_owner(&self) -> Result<(), StoreError> {
        let owner = membership::Entity::find()
            .filter(membership::Column::OperationId.eq(self.operation()))
            .filter(membership::Column::Role.eq(Role::Owner.word()))
            .filter(membership::Column::AllFarms.eq(true));
        if owner.one(&self.tx).await?.is_some() { Ok(()) } else { Err(StoreError::LastOwner) }
    }

    async fn member(&self, user: UserId) -> Result<membership::Model, StoreError> {
        let row = membership::Entity::find_by_id((self.operation(), user.0)).one(&self.tx).await?;
        row.ok_or(StoreError::NotFound)
    }

    async fn belongs_anywhere(&self, user: Uuid) -> Result<bool, StoreError> {
        let any = membership::Entity::find().filter(membership::Column::UserId.eq(user)).one(&self.tx).await?;
        Ok(any.is_some())
    }

    async fn come_back(&self, account: user_account::Model, new: NewUser<'_>) -> Result<UserId, StoreError> {
        let user = UserId(account.id);
        let row = user_account::Model {
            name: new.name.to_owned(),
            password_hash: new.password_hash.to_owned(),
            one_time: false,
            one_time_ends: None,
            ..account
        };
        user_account::Entity::update(written::<_, user_account::ActiveModel>(row))
            .exec_without_returning(&self.tx)
            .await?;
        Ok(user)
    }

    /// `one_time`: until when a password given by somebody else opens.
    async fn set_password(&self, user: UserId, hash: &str, one_time: Option<DateTime<Utc>>) -> Result<(), StoreError> {
        user_account::Entity::update_many()
            .col_expr(user_account::Column::PasswordHash, Expr::value(hash))
            .col_expr(user_account::Column::OneTime, Expr::value(one_time.is_some()))
            .col_expr(user_account::Column::OneTimeEnds, Expr::value(one_time))
            .filter(user_account::Column::Id.eq(user.0))
            .exec(&self.tx)
            .await?;
        Ok(())
    }

    /// Takes away the farms a person is limited to.
    async fn leave_operation(&self, user: UserId) -> Result<(), StoreError> {
        let mine = self.of_member(membership_farm::Column::OperationId, membership_farm::Column::UserId, user);
        membership_farm::Entity::delete_many().filter(mine).exec(&self.tx).await?;
        Ok(())
    }

    async fn end_sessions(&self, user: UserId, keep: Option<&[u8; 32]>) -> Result<(), StoreError> {
        let mut mine = self.of_member(session::Column::OperationId, session::Column::UserId, user);
        if let Some(keep) = keep {
            mine = mine.add(session::Column::TokenHash.ne(keep.to_vec()));
        }
        session::Entity::delete_many().filter(mine).exec(&self.tx).await?;
        Ok(())
    }

    fn of_member(&self, operation: impl ColumnTrait, person: impl ColumnTrait, user: UserId) -> Condition {
        Condition::all().add(operation.eq(self.operation())).add(person.eq(user.0))
    }

    /// A member as they are now, for the audit trail.
    async fn member_text(&self, user: UserId) -> Result<String, StoreError> {
        let member = scope_of(&self.tx, self.operation(), user.0).await?.ok_or(StoreError::NotFound)?;
        self.person_text(user, member.role, member.farms.as_deref()).await
    }

    async fn person_text(&self, user: UserId, role: Role, farms: Option<&[FarmId]>) -> Result<String, StoreError> {
        let account = self.account(user).await?;
        let names = self.map.iter().flat_map(|map| &map.farms);
        let farms = farms.map_or_else(
            || "all".to_owned(),
            |farms| {
                let mut names: Vec<&str> =
                    names.filter(|farm| farms.contains(&FarmId(farm.id))).map(|farm| farm.name.as_str()).collect();
                names.sort_unstable();
                names.join(", ")
            },
        );
        let text =
            serde_json::json!({ "name": account.name, "email": account.email, "role": role.word(), "farms": farms });
        Ok(text.to_string())
    }

    pub(super) async fn account(&self, user: UserId) -> Result<user_account::Model, StoreError> {
        user_account::Entity::find_by_id(user.0).one(&self.tx).await?.ok_or(StoreError::NotFound)
    }

    async fn note_person(
        &self,
        verb: Verb,
        user: UserId,
        before: Option<String>,
        after: Option<String>,
    ) -> Result<(), StoreError> {
        let name = self.account(user).await?.name;
        self.note(Entry { verb, kind: "person", record_id: user.0, farm: None, place: &name, before, after }).await
    }
}
