//! One file a command.

pub(crate) mod add_person;
pub(crate) mod back_up;
pub(crate) mod book;
pub(crate) mod bring_in;
pub(crate) mod compare;
pub(crate) mod demo;
pub(crate) mod demo_table;
pub(crate) mod reckon_folder;
pub(crate) mod reports;
pub(crate) mod serve;
