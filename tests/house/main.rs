//! The house's rules, held by reading the house.

// Under `cfg(test)`, so that the lints that spare tests spare the helpers here too.
#[cfg(test)]
mod percent;
#[cfg(test)]
mod rules;
