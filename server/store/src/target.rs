//! What a record belongs to.

use reckon::figure::RecordKind;
use reckon::records::Attach;

use crate::error::StoreError;
use crate::ids::{BlockId, FarmId};
use crate::rows::Place;

/// What a record belongs to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// A block.
    Block(BlockId),
    /// A farm: shared among its blocks.
    Farm(FarmId),
    /// The whole operation.
    Operation,
    /// A weather station, by the name its farms give it.
    Station(String),
}

impl Target {
    /// As the table's columns say it.
    ///
    /// # Errors
    /// [`StoreError::Misplaced`] when a record of this kind does not belong to such a thing.
    pub(crate) fn place(&self, kind: RecordKind) -> Result<Place, StoreError> {
        let none = Place::default();
        match (kind.attach(), self) {
            (Attach::Block | Attach::Any, Self::Block(block)) => Ok(Place { block_id: Some(block.0), ..none }),
            (Attach::Any, Self::Farm(farm)) => Ok(Place { farm_id: Some(farm.0), ..none }),
            (Attach::Any | Attach::Operation, Self::Operation) => Ok(none),
            (Attach::Station, Self::Station(station)) => Ok(Place { station: Some(station.clone()), ..none }),
            _ => Err(StoreError::Misplaced { kind }),
        }
    }
}
