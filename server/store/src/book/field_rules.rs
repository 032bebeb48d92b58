//! Setting the operation's own windows and limits of field work.

use reckon::field_rules::FieldRules;
use sea_orm::{ColumnTrait, EntityTrait, QueryFilter};
use serde_json::{Map, Value};

use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::desk::field_rules;
use crate::error::StoreError;
use crate::tables::field_rules::field_rule;

impl Book<'_> {
    /// Sets the windows and limits of field work. `seen` is what was read before. They concern the
    /// whole operation, and no figure of a block season rests on them.
    ///
    /// # Errors
    /// [`StoreError::Changed`] when somebody set others in the meantime, [`StoreError::Forbidden`].
    pub async fn keep_field_rules(&mut self, seen: &FieldRules, rules: &FieldRules) -> Result<(), StoreError> {
        self.may_set_up_all().await?;
        let before = field_rules(&self.tx, self.operation()).await?;
        if before != *seen {
            return Err(StoreError::Changed);
        }
        if before == *rules {
            return Ok(());
        }
        let mine = field_rule::Column::OperationId.eq(self.operation());
        field_rule::Entity::delete_many().filter(mine).exec(&self.tx).await?;
        let operation_id = self.operation();
        let rows = rules.values().map(|(info, value)| {
            let row = field_rule::Model { operation_id, name: info.name.to_owned(), value: i64::from(value) };
            written::<_, field_rule::ActiveModel>(row)
        });
        field_rule::Entity::insert_many(rows).exec_without_returning(&self.tx).await?;
        self.note(Entry {
            verb: Verb::Corrected,
            kind: "windows and limits",
            record_id: operation_id,
            farm: None,
            place: "",
            before: Some(text(&before)),
            after: Some(text(rules)),
        })
        .await
    }
}

/// What was set, by name.
fn text(rules: &FieldRules) -> String {
    let values: Map<String, Value> = rules.values().map(|(info, value)| (info.name.to_owned(), value.into())).collect();
    Value::Object(values).to_string()
}
