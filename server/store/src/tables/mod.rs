//! Rows of everything but the records: dull, private, and turned into reckon's types at the door.
//! `BIGINT` and `DOUBLE` columns are plain numbers here; their names carry the unit.

/// A table's row, with the derives and the empty relation list that every entity needs.
macro_rules! table {
    ($(#[$doc:meta])* $module:ident = $name:literal { $($(#[$attr:meta])* $field:ident : $ty:ty,)* }) => {
        $(#[$doc])*
        pub(crate) mod $module {
            use sea_orm::entity::prelude::*;

            #[derive(Debug, Clone, PartialEq, DeriveEntityModel)]
            #[sea_orm(table_name = $name)]
            pub(crate) struct Model { $($(#[$attr])* pub(crate) $field: $ty,)* }

            #[derive(Debug, Clone, Copy, EnumIter, DeriveRelation)]
            pub(crate) enum Relation {}

            impl ActiveModelBehavior for ActiveModel {}
        }
    };
}

pub(crate) mod closings;
pub(crate) mod field_rules;
pub(crate) mod ledger;
pub(crate) mod people;
pub(crate) mod places;
