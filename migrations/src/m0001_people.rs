//! Operations, people, what each may do, and their sessions.

use sea_orm_migration::async_trait::async_trait;
use sea_orm_migration::prelude::{DeriveMigrationName, MigrationTrait, SchemaManager};
use sea_orm_migration::sea_orm::DbErr;

use crate::sheet::Sheet;

#[derive(DeriveMigrationName)]
pub(crate) struct Migration;

#[async_trait]
impl MigrationTrait for Migration {
    fn use_transaction(&self) -> Option<bool> {
        Some(true)
    }

    async fn up(&self, manager: &SchemaManager) -> Result<(), DbErr> {
        Sheet::new(manager, "operation")
            .ids(&["id"])
            .texts(&["name"])
            .moment("founded_at")
            .key(&["id"])
            .create(manager)
            .await?;
        people(manager).await?;
        doors(manager).await
    }
}

async fn people(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "user_account")
        .ids(&["id"])
        .texts(&["name", "email", "password_hash"])
        .moment("added_at")
        .key(&["id"])
        .unique("email", &["email"])
        .create(manager)
        .await?;
    Sheet::new(manager, "membership")
        .ids(&["operation_id", "user_id"])
        .word("role", &["owner", "manager", "bookkeeper", "crew lead"])
        .flag("all_farms")
        .moment("joined_at")
        .key(&["operation_id", "user_id"])
        .refers(&["operation_id"], "operation", &["id"])
        .refers(&["user_id"], "user_account", &["id"])
        .index("user", &["user_id", "joined_at"])
        .create(manager)
        .await
}

async fn doors(manager: &SchemaManager<'_>) -> Result<(), DbErr> {
    Sheet::new(manager, "session")
        .bytes("token_hash")
        .ids(&["operation_id", "user_id"])
        .bytes("csrf")
        .moment("begun_at")
        .moment("expires_at")
        .key(&["token_hash"])
        .refers(&["operation_id", "user_id"], "membership", &["operation_id", "user_id"])
        .index("expires", &["expires_at"])
        .create(manager)
        .await?;
    Sheet::new(manager, "failed_sign_in")
        .ids(&["id"])
        .texts(&["email"])
        .moment("at")
        .key(&["id"])
        .index("email", &["email", "at"])
        .create(manager)
        .await?;
    Sheet::new(manager, "idempotency_key")
        .ids(&["operation_id", "user_id"])
        .texts(&["name"])
        .texts_or_none(&["location"])
        .moment("at")
        .key(&["operation_id", "user_id", "name"])
        .refers(&["operation_id", "user_id"], "membership", &["operation_id", "user_id"])
        .create(manager)
        .await
}
