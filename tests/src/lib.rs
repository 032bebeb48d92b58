//! What the end-to-end tests share: the real binary, a served book, a browser.
//!
//! This crate is all tests, so its helpers may stop a test with a clear word.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::missing_panics_doc,
    clippy::allow_attributes
)]

pub mod browser;
pub mod program;
pub mod visitor;
