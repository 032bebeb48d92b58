//! The real binary, a real database, a real browser.

mod browser_journeys;
mod command_line;
#[cfg(test)]
mod compare;
mod front_door;
mod hard_luck;
mod reports;
mod season_run;
