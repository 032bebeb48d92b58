//! Pure reckoning: the records of a block season in, every figure with its evidence and its gaps out.
//!
//! No input or output, no clock, no chance, no environment, no hash maps on the way to a figure:
//! the same records give the same bytes on any machine. Reckoning cannot fail, it can be
//! incomplete. Start at [`season::BlockSeason`].

#![warn(missing_docs)]

pub mod allocate;
pub mod block;
pub mod break_even;
pub mod capital;
pub mod cautions;
pub mod compare;
pub mod costs;
pub mod crew;
pub mod due;
pub mod estimate;
pub mod exact;
pub mod field_rules;
pub mod figure;
pub mod how;
pub mod interest;
pub mod labor;
pub mod language;
pub mod money;
pub mod mulch;
pub mod operation;
pub mod operation_season;
pub mod overview;
pub mod packout;
pub mod pollination;
#[cfg(test)]
mod properties;
pub mod ranging;
pub mod rates;
mod reckon_season;
pub mod records;
pub mod returns;
pub mod room;
mod say;
pub mod schedule;
pub mod season;
pub mod sharing;
pub mod size_classes;
pub mod stats;
pub mod summary;
#[cfg(test)]
mod testing;
pub mod thinning;
mod ties;
pub mod units;
pub mod wages;
pub mod water;
pub mod weather;

pub use reckon_season::reckon;
