//! The real binary, a real database, a real browser.

mod command_line;
mod season_run;
