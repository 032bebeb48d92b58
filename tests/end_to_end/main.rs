//! The real binary, a real database, a real browser.

#[cfg(test)]
mod browser_journeys;
#[cfg(test)]
mod command_line;
#[cfg(test)]
mod compare;
#[cfg(test)]
mod front_door;
#[cfg(test)]
mod hard_luck;
#[cfg(test)]
mod manners;
#[cfg(test)]
mod money_journey;
#[cfg(test)]
mod programs;
#[cfg(test)]
mod reports;
#[cfg(test)]
mod season_run;
#[cfg(test)]
mod thinning_journeys;
#[cfg(test)]
mod water_journeys;
#[cfg(test)]
mod what_a_block_earned;
