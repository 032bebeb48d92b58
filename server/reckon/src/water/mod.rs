//! The daily water balance of a block: dual crop coefficient, surface layer, root zone, mulch.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56, chapters 7, 8, 10.

pub mod run;
pub mod setup;
