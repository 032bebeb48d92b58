//! Pages of the season book: one route table, thin handlers, askama page structs, sessions.
//!
//! There is no arithmetic here, no SQL and no clock: pages read a reckoned season, ask the store
//! through a desk or a book made from a person's scope, and take the time from the injected
//! source. Start at [`routes`]: the app is built from that table. Every form goes through the same
//! parser as files do (`intake`); every problem becomes one page (`headers`).

pub mod api;
pub mod app;
pub mod assets;
pub mod body;
pub mod bring_in;
pub mod closing;
mod crew_day;
mod csrf;
pub mod display;
pub mod email;
pub mod error;
pub mod extract;
mod headers;
mod likeness;
#[cfg(test)]
mod looks;
pub mod moment;
pub mod pages;
pub mod password;
mod place;
pub mod routes;
mod session;
pub mod shell;

pub use app::{AppState, app, serve};
