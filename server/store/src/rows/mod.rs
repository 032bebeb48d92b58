//! Records: one table and one file a kind.
//!
//! A kind's file names its columns and says how they become the reckon type and back; everything
//! else about a record (place, author, version, where it came from) is the same for all kinds and
//! stands here. A new kind is a file, and a line in [`for_kind`].

use chrono::{DateTime, NaiveDate, Utc};
use reckon::figure::{Kept, RecordId, RecordKind};
use reckon::records::Record;
use sea_orm::entity::prelude::Uuid;
use sea_orm::{EntityTrait, FromQueryResult, IntoActiveModel, Iterable, ModelTrait};

use crate::error::StoreError;
use crate::read::Bad;

/// What every record has, whatever its kind.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Head {
    pub(crate) operation_id: Uuid,
    pub(crate) id: Uuid,
    pub(crate) author_id: Uuid,
    pub(crate) version: i64,
    pub(crate) kept_at: DateTime<Utc>,
    pub(crate) file_name: Option<String>,
    pub(crate) file_line: Option<i64>,
    pub(crate) row_print: Option<Vec<u8>>,
}

/// Where a record belongs, as its table has columns for it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Place {
    pub(crate) block_id: Option<Uuid>,
    pub(crate) farm_id: Option<Uuid>,
    pub(crate) station: Option<String>,
}

/// A place column, required or not, filled from and read into a [`Place`].
pub(crate) trait Slot<T>: Sized {
    fn fill(value: Option<T>) -> Option<Self>;
    fn value(&self) -> Option<T>;
}

impl<T: Clone> Slot<T> for T {
    fn fill(value: Option<T>) -> Option<Self> {
        value
    }
    fn value(&self) -> Option<T> {
        Some(self.clone())
    }
}

impl<T: Clone> Slot<T> for Option<T> {
    fn fill(value: Option<T>) -> Option<Self> {
        Some(value)
    }
    fn value(&self) -> Option<T> {
        self.clone()
    }
}

pub(crate) type Column<R> = <<R as ModelTrait>::Entity as EntityTrait>::Column;
pub(crate) type Active<R> = <<R as ModelTrait>::Entity as EntityTrait>::ActiveModel;

/// A row of any record kind.
pub(crate) trait RecordRow:
    ModelTrait<Entity: EntityTrait<Model = Self, ActiveModel: Send>>
    + FromQueryResult
    + IntoActiveModel<Active<Self>>
    + Sync
{
    /// The reckon type.
    type Record: Send;
    const KIND: RecordKind;
    const TABLE: &'static str;
    const OPERATION: Column<Self>;
    const ID: Column<Self>;
    const DAY: Column<Self>;
    const VERSION: Column<Self>;
    const ROW_PRINT: Column<Self>;

    /// `None` when the record is of another kind or the place is not one of this kind's.
    fn new(head: Head, place: &Place, record: &Record) -> Option<Self>;
    fn id(&self) -> Uuid;
    fn day(&self) -> NaiveDate;
    fn head(&self) -> Head;
    fn place(&self) -> Place;
    fn read(self) -> Result<Self::Record, Bad>;
    fn wrap(record: Self::Record) -> Record;

    /// The record, or which row and column make no sense.
    fn record(self) -> Result<Self::Record, StoreError> {
        let id = self.id();
        self.read().map_err(|bad| bad.at(Self::TABLE, id))
    }

    /// The record as reckoning takes it.
    fn kept(self) -> Result<Kept<Self::Record>, StoreError> {
        let id = RecordId::Stored(self.id().as_u128());
        Ok(Kept { id, record: self.record()? })
    }

    /// A place column, where the kind has it.
    fn column(name: &str) -> Option<Column<Self>> {
        Column::<Self>::iter().find(|column| sea_orm::IdenStatic::as_str(column) == name)
    }
}

/// One record kind: its table, its columns, and the row's two ways.
macro_rules! record_row {
    (
        $kind:ident, $record:ty, $table:literal,
        place { $($place:ident : $place_type:ty,)* }
        fields { $($field:ident : $type:ty,)* }
    ) => {
        use sea_orm::entity::prelude::*;

        #[derive(Debug, Clone, PartialEq, DeriveEntityModel)]
        #[sea_orm(table_name = $table)]
        pub(crate) struct Model {
            #[sea_orm(primary_key, auto_increment = false)]
            operation_id: Uuid,
            #[sea_orm(primary_key, auto_increment = false)]
            id: Uuid,
            $($place: $place_type,)*
            day: Date,
            author_id: Uuid,
            note: String,
            version: i64,
            kept_at: DateTimeUtc,
            file_name: Option<String>,
            file_line: Option<i64>,
            row_print: Option<Vec<u8>>,
            $($field: $type,)*
        }

        #[derive(Debug, Clone, Copy, EnumIter, DeriveRelation)]
        pub(crate) enum Relation {}

        impl ActiveModelBehavior for ActiveModel {}

        /// What the kind itself says.
        struct Fields {
            day: Date,
            note: String,
            $($field: $type,)*
        }

        impl crate::rows::RecordRow for Model {
            type Record = $record;
            const KIND: reckon::figure::RecordKind = reckon::figure::RecordKind::$kind;
            const TABLE: &'static str = $table;
            const OPERATION: Column = Column::OperationId;
            const ID: Column = Column::Id;
            const DAY: Column = Column::Day;
            const VERSION: Column = Column::Version;
            const ROW_PRINT: Column = Column::RowPrint;

            fn new(
                head: crate::rows::Head,
                place: &crate::rows::Place,
                record: &reckon::records::Record,
            ) -> Option<Self> {
                let reckon::records::Record::$kind(record) = record else { return None };
                let elsewhere = crate::rows::Place { $($place: None,)* ..place.clone() };
                if elsewhere != crate::rows::Place::default() {
                    return None;
                }
                let Fields { day, note, $($field,)* } = Fields::from(record);
                Some(Self {
                    operation_id: head.operation_id,
                    id: head.id,
                    $($place: crate::rows::Slot::fill(place.$place.clone())?,)*
                    day,
                    author_id: head.author_id,
                    note,
                    version: head.version,
                    kept_at: head.kept_at,
                    file_name: head.file_name,
                    file_line: head.file_line,
                    row_print: head.row_print,
                    $($field,)*
                })
            }

            fn id(&self) -> Uuid {
                self.id
            }

            fn day(&self) -> Date {
                self.day
            }

            fn head(&self) -> crate::rows::Head {
                crate::rows::Head {
                    operation_id: self.operation_id,
                    id: self.id,
                    author_id: self.author_id,
                    version: self.version,
                    kept_at: self.kept_at,
                    file_name: self.file_name.clone(),
                    file_line: self.file_line,
                    row_print: self.row_print.clone(),
                }
            }

            fn place(&self) -> crate::rows::Place {
                crate::rows::Place {
                    $($place: crate::rows::Slot::value(&self.$place),)*
                    ..crate::rows::Place::default()
                }
            }

            fn read(self) -> Result<$record, crate::read::Bad> {
                <$record>::try_from(Fields { day: self.day, note: self.note, $($field: self.$field,)* })
            }

            fn wrap(record: $record) -> reckon::records::Record {
                reckon::records::Record::$kind(record)
            }
        }
    };
}

pub(crate) mod canopy;
pub(crate) mod cost;
pub(crate) mod fruit_count;
pub(crate) mod irrigation;
pub(crate) mod labor;
pub(crate) mod mulch;
pub(crate) mod observation;
pub(crate) mod packout;
pub(crate) mod pick;
pub(crate) mod price;
pub(crate) mod rate;
pub(crate) mod settlement;
pub(crate) mod size;
pub(crate) mod tension;
pub(crate) mod thinning_target;
pub(crate) mod weather;

/// Runs the body with `$row` standing for the row type of the kind. The one place that lists them.
macro_rules! for_kind {
    ($kind:expr, $row:ident => $body:expr) => {{
        use crate::rows;
        use reckon::figure::RecordKind;
        match $kind {
            RecordKind::Labor => {
                type $row = rows::labor::Model;
                $body
            }
            RecordKind::FruitCount => {
                type $row = rows::fruit_count::Model;
                $body
            }
            RecordKind::Irrigation => {
                type $row = rows::irrigation::Model;
                $body
            }
            RecordKind::Tension => {
                type $row = rows::tension::Model;
                $body
            }
            RecordKind::Weather => {
                type $row = rows::weather::Model;
                $body
            }
            RecordKind::Canopy => {
                type $row = rows::canopy::Model;
                $body
            }
            RecordKind::Mulch => {
                type $row = rows::mulch::Model;
                $body
            }
            RecordKind::Pick => {
                type $row = rows::pick::Model;
                $body
            }
            RecordKind::Packout => {
                type $row = rows::packout::Model;
                $body
            }
            RecordKind::Settlement => {
                type $row = rows::settlement::Model;
                $body
            }
            RecordKind::Cost => {
                type $row = rows::cost::Model;
                $body
            }
            RecordKind::Price => {
                type $row = rows::price::Model;
                $body
            }
            RecordKind::Rate => {
                type $row = rows::rate::Model;
                $body
            }
            RecordKind::Size => {
                type $row = rows::size::Model;
                $body
            }
            RecordKind::ThinningTarget => {
                type $row = rows::thinning_target::Model;
                $body
            }
            RecordKind::Observation => {
                type $row = rows::observation::Model;
                $body
            }
        }
    }};
}
pub(crate) use for_kind;
