//! A moment as a person reads it: day and time of the operation's zone, with the zone beside them.

use chrono::{DateTime, FixedOffset};

use crate::display;

/// Day and time, in the zone in which the operation keeps its days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    /// "1 Jul 2026"
    pub day: String,
    /// "05:00 UTC−07"
    pub time: String,
}

impl Moment {
    /// A moment of a zone. The zone has no name here, so its distance from UTC is said.
    pub fn of(at: DateTime<FixedOffset>) -> Self {
        Self { day: display::full_day(at.date_naive()), time: format!("{} {}", at.format("%H:%M"), zone(*at.offset())) }
    }
}

fn zone(offset: FixedOffset) -> String {
    let text = offset.to_string();
    match text.trim_end_matches(":00") {
        "+00" => "UTC".to_owned(),
        hours => format!("UTC{}", hours.replace('-', "\u{2212}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_zone_stands_beside_the_time() {
        let said = |text: &str| Moment::of(text.parse().unwrap());
        let evening = said("2026-07-01T22:05:00-07:00");
        assert!(evening.day.contains('1') && evening.day.contains("Jul"), "{}", evening.day);
        assert_eq!(evening.time, "22:05 UTC\u{2212}07");
        assert_eq!(said("2026-07-01T22:05:00Z").time, "22:05 UTC");
        assert_eq!(said("2026-07-01T22:05:00+05:30").time, "22:05 UTC+05:30");
    }
}
