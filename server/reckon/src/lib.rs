//! Pure reckoning: the records of a block season in, every figure with its evidence and its gaps out.
//!
//! No input or output, no clock, no chance, no environment, no hash maps on the way to a figure:
//! the same records give the same bytes on any machine. Reckoning cannot fail, it can be
//! incomplete. Start at [`season::BlockSeason`].

#![warn(missing_docs)]

pub mod allocate;
pub mod block;
pub mod exact;
pub mod figure;
pub mod money;
pub mod records;
pub mod season;
pub mod summary;
pub mod units;
pub mod water;
