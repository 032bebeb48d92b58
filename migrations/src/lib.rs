//! The schema, one file a change, each in its own transaction. A released file is never edited:
//! what changes later is a new file. There is no way down: a backup is, and a new file forward.
//!
//! The same files serve SQLite and PostgreSQL. Money and quantities that multiply money are whole
//! numbers (`BIGINT`, `*_cents` and `*_micros`); physical quantities are doubles with the unit in
//! the name; there is no decimal column. Every table but those of people begins its key with
//! `operation_id`, so one operation's work never scans another's.

mod sheet;

mod m0001_people;
mod m0002_places;
mod m0003_field_records;
mod m0004_book_records;
mod m0005_ledger;
mod m0006_hours_each;
mod m0007_sign_in_address;
mod m0008_field_rules;
mod m0009_closings;
mod m0010_folded_names;
mod m0011_block_seasons;
mod m0012_kept_out;
mod m0015_own_sizes;
mod m0016_station_distance;
mod m0017_program_keys;
mod m0018_closed_places;
mod m0019_one_time_ends;
mod m0020_thinning_targets;
mod m0021_mulch_costs;
mod m0021_whole_revisions;
mod m0022_known_addresses;

use sea_orm_migration::MigrationTrait;
pub use sea_orm_migration::MigratorTrait;

/// Every change, oldest first.
#[derive(Debug, Clone, Copy)]
pub struct Migrator;

impl MigratorTrait for Migrator {
    fn migrations() -> Vec<Box<dyn MigrationTrait>> {
        vec![
            Box::new(m0001_people::Migration),
            Box::new(m0002_places::Migration),
            Box::new(m0003_field_records::Migration),
            Box::new(m0004_book_records::Migration),
            Box::new(m0005_ledger::Migration),
            Box::new(m0006_hours_each::Migration),
            Box::new(m0007_sign_in_address::Migration),
            Box::new(m0008_field_rules::Migration),
            Box::new(m0009_closings::Migration),
            Box::new(m0010_folded_names::Migration),
            Box::new(m0011_block_seasons::Migration),
            Box::new(m0012_kept_out::Migration),
            Box::new(m0015_own_sizes::Migration),
            Box::new(m0016_station_distance::Migration),
            Box::new(m0017_program_keys::Migration),
            Box::new(m0018_closed_places::Migration),
            Box::new(m0019_one_time_ends::Migration),
            Box::new(m0020_thinning_targets::Migration),
            Box::new(m0021_mulch_costs::Migration),
            Box::new(m0021_whole_revisions::Migration),
            Box::new(m0022_known_addresses::Migration),
        ]
    }
}
