//! A season that is closed, in words for whoever runs into it.

use core::fmt;

use chrono::{DateTime, Utc};

/// A closed season that a change would have reached into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClosedSeason {
    /// Its year.
    pub year: i32,
    /// Who closed it and when; `None` where the book does not know.
    pub closed: Option<(String, DateTime<Utc>)>,
    /// Lines of the file whose rows reach into it; empty for a single record.
    pub lines: Vec<u32>,
}

impl ClosedSeason {
    pub(crate) const fn of(year: i32) -> Self {
        Self { year, closed: None, lines: Vec::new() }
    }

    /// `closed by Ana on 1 Jul 2026`, or `closed`.
    pub fn by_whom(&self) -> String {
        match &self.closed {
            Some((by, at)) => format!("closed by {by} on {}", at.format("%-d %b %Y")),
            None => "closed".to_owned(),
        }
    }
}

/// A sentence without its full stop, as the store's other errors.
impl fmt::Display for ClosedSeason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "season {} was {}: its records can be neither added nor corrected until the owner or a manager reopens \
             it on the page Seasons",
            self.year,
            self.by_whom()
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_says_who_when_and_what_to_do() {
        let at = DateTime::from_timestamp(1_782_907_200, 0).unwrap();
        let mut closed = ClosedSeason { closed: Some(("Ana".to_owned(), at)), ..ClosedSeason::of(2026) };
        assert!(closed.to_string().starts_with("season 2026 was closed by Ana on 1 Jul 2026: its records"));
        closed.closed = None;
        assert!(closed.to_string().starts_with("season 2026 was closed: its records"));
    }
}
