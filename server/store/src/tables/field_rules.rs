//! The operation's own windows and limits of field work.

table! {
    /// One number an operation set. What has no row is the default.
    field_rule = "field_rule" {
        #[sea_orm(primary_key, auto_increment = false)]
        operation_id: Uuid,
        #[sea_orm(primary_key, auto_increment = false)]
        name: String,
        value: i64,
    }
}
