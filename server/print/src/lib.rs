//! `BlockSeason` in, documents out: laid-out sheets, PDF, charts, JSON, CSV.
//!
//! Pure: no database, clock, chance or environment. Nothing is reckoned here; a figure is only
//! written down, by [`figures`], with its unit and how it is known. The same season gives the
//! same bytes on any machine.

#![warn(missing_docs)]

pub mod calendar;
pub mod chart;
pub mod csv;
pub mod differences;
pub mod figures;
pub mod fingerprint;
pub mod font;
pub mod headline;
pub mod json;
pub mod pdf;
pub mod report;
#[cfg(any(test, feature = "samples"))]
pub mod samples;
pub mod sheet;
pub mod words;
pub mod xlsx;
