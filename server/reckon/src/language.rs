//! The two languages that sentences for crews are written in.

use chrono::{Datelike, NaiveDate};

use crate::say;

/// A language.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Language {
    /// American English.
    #[default]
    English,
    /// Spanish as crews in the western United States say it.
    Spanish,
}

impl Language {
    /// Both.
    pub const ALL: [Self; 2] = [Self::English, Self::Spanish];

    /// The code in addresses and in `lang` attributes.
    pub const fn word(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::Spanish => "es",
        }
    }

    /// The language of this [`Language::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.word() == word)
    }

    /// "14 May", "14 de mayo": the season says the year.
    pub fn day(self, date: NaiveDate) -> String {
        match self {
            Self::English => say::day(date),
            Self::Spanish => format!("{} de {}", date.day(), mes(date.month())),
        }
    }
}

const fn mes(month: u32) -> &'static str {
    match month {
        1 => "enero",
        2 => "febrero",
        3 => "marzo",
        4 => "abril",
        5 => "mayo",
        6 => "junio",
        7 => "julio",
        8 => "agosto",
        9 => "septiembre",
        10 => "octubre",
        11 => "noviembre",
        _ => "diciembre",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_in_both_languages() {
        let day = NaiveDate::from_ymd_opt(2026, 5, 14).unwrap();
        assert_eq!(Language::English.day(day), "14 May");
        assert_eq!(Language::Spanish.day(day), "14 de mayo");
        for language in Language::ALL {
            assert_eq!(Language::from_word(language.word()), Some(language));
        }
    }
}
