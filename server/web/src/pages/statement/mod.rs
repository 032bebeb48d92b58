//! Statements of the operation, of a farm and of one block, in the order of the published
//! cost-and-return studies.

mod block;
mod rows;
mod season;

#[cfg(test)]
mod tests;

pub use block::block_statement_page;
pub use season::statement_page;
