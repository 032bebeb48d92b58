//! The operation's own windows and limits of field work.

use reckon::field_rules::{FieldRules, by_name};
use sea_orm::entity::prelude::Uuid;
use sea_orm::{ColumnTrait, ConnectionTrait, EntityTrait, QueryFilter};

use super::Desk;
use crate::error::StoreError;
use crate::read::Bad;
use crate::tables::field_rules::field_rule;

impl Desk<'_> {
    /// What the operation set; everything else is the default.
    pub async fn field_rules(&self) -> Result<FieldRules, StoreError> {
        field_rules(self.db(), self.operation()).await
    }
}

pub(crate) async fn field_rules<C: ConnectionTrait>(db: &C, operation: Uuid) -> Result<FieldRules, StoreError> {
    let rows = field_rule::Entity::find().filter(field_rule::Column::OperationId.eq(operation)).all(db).await?;
    let mut rules = FieldRules::default();
    for row in rows {
        let info = by_name(&row.name).ok_or_else(|| Bad("name").at("field_rule", operation))?;
        let value = u32::try_from(row.value).map_err(|_| Bad("value").at("field_rule", operation))?;
        rules.set(info.rule, Some(value));
    }
    Ok(rules)
}
