//! Reading who may do what.

use sea_orm::{ColumnTrait, EntityTrait, QueryFilter};

use super::{Desk, farms_in_scope};
use crate::error::StoreError;
use crate::ids::{FarmId, UserId};
use crate::read::Bad;
use crate::role::{Right, Role};
use crate::tables::people::{membership, membership_farm, user_account};

/// A member of the operation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonRow {
    /// Their identifier.
    pub id: UserId,
    /// Name.
    pub name: String,
    /// E-mail they sign in with.
    pub email: String,
    /// What they are in the operation.
    pub role: Role,
    /// Farms they are limited to, by name; `None` means all.
    pub farms: Option<Vec<(FarmId, String)>>,
    /// Whether they have yet to choose a password of their own.
    pub one_time: bool,
}

impl Desk<'_> {
    /// Everybody in the operation: owners first, then by name.
    ///
    /// # Errors
    /// [`StoreError::Forbidden`] for anybody but an owner of the whole operation.
    pub async fn people(&self) -> Result<Vec<PersonRow>, StoreError> {
        if !self.scope.may(Right::People) || !self.scope.sees_all() {
            return Err(StoreError::Forbidden);
        }
        let mine = membership::Entity::find().filter(membership::Column::OperationId.eq(self.operation()));
        let members = mine.all(self.db()).await?;
        let ids: Vec<_> = members.iter().map(|member| member.user_id).collect();
        let accounts = user_account::Entity::find().filter(user_account::Column::Id.is_in(ids)).all(self.db()).await?;
        let limits = membership_farm::Entity::find()
            .filter(membership_farm::Column::OperationId.eq(self.operation()))
            .all(self.db())
            .await?;
        let mut farms: Vec<(FarmId, String)> = farms_in_scope(self.scope)
            .all(self.db())
            .await?
            .into_iter()
            .map(|row| (FarmId(row.id), row.name))
            .collect();
        farms.sort_by(|a, b| a.1.cmp(&b.1));
        let mut people = members
            .iter()
            .filter_map(|member| Some((member, accounts.iter().find(|account| account.id == member.user_id)?)))
            .map(|(member, account)| person(member, account, &limits, &farms))
            .collect::<Result<Vec<_>, _>>()?;
        people.sort_by(|a, b| (a.role, &a.name, a.id).cmp(&(b.role, &b.name, b.id)));
        Ok(people)
    }

    /// E-mail the person signs in with.
    pub async fn own_email(&self) -> Result<String, StoreError> {
        let account = user_account::Entity::find_by_id(self.scope.user.0).one(self.db()).await?;
        account.map(|account| account.email).ok_or(StoreError::NotFound)
    }

    /// Hash of the person's own password.
    pub async fn own_password(&self) -> Result<String, StoreError> {
        let account = user_account::Entity::find_by_id(self.scope.user.0).one(self.db()).await?;
        account.map(|account| account.password_hash).ok_or(StoreError::NotFound)
    }
}

fn person(
    member: &membership::Model,
    account: &user_account::Model,
    limits: &[membership_farm::Model],
    farms: &[(FarmId, String)],
) -> Result<PersonRow, StoreError> {
    let role = Role::from_word(&member.role).ok_or_else(|| Bad("role").at("membership", account.id))?;
    let limited =
        |(id, _): &&(FarmId, String)| limits.iter().any(|limit| limit.user_id == account.id && limit.farm_id == id.0);
    Ok(PersonRow {
        id: UserId(account.id),
        name: account.name.clone(),
        email: account.email.clone(),
        role,
        farms: (!member.all_farms).then(|| farms.iter().filter(limited).cloned().collect()),
        one_time: account.one_time,
    })
}
