//! The real binary, a real database, a real browser.

mod browser_journeys;
mod command_line;
mod front_door;
mod hard_luck;
mod reports;
mod season_run;
