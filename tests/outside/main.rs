//! What is reckoned, held against published values. Each file names its source.

// All of it is test code: `cfg(test)` tells the lints so, helpers included.
#[cfg(test)]
mod capital;
#[cfg(test)]
mod economics;
#[cfg(test)]
mod effective_rain;
#[cfg(test)]
mod estimate;
#[cfg(test)]
mod fao56;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod mulch_studies;
#[cfg(test)]
mod plum_2016;
#[cfg(test)]
mod ranging;
#[cfg(test)]
mod records;
#[cfg(test)]
mod season_run_a;
#[cfg(test)]
mod sizes;
#[cfg(test)]
mod stats;
#[cfg(test)]
mod studies;
#[cfg(test)]
mod table;
#[cfg(test)]
mod table_money;
#[cfg(test)]
mod table_thinning;
#[cfg(test)]
mod table_water;
#[cfg(test)]
mod thinning;
#[cfg(test)]
mod tieouts;
#[cfg(test)]
mod transcription;
#[cfg(test)]
mod trial;
#[cfg(test)]
mod units;
#[cfg(test)]
mod wages;
