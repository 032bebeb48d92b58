//! Farms, blocks, and the soil and canopy of a block's water balance, by page. The fields come from
//! the same columns as the files of farms and blocks, so a rule exists once.

mod block;
mod farm;
mod form;
mod groups;
mod soil;
mod subject;

#[cfg(test)]
mod tests;

pub use block::{add_block_page, add_block_sent, correct_block_page, correct_block_sent};
pub use farm::{add_farm_page, add_farm_sent, correct_farm_page, correct_farm_sent};
pub use soil::{soil_page, soil_sent};
