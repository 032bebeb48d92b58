//! What is due, in sentences.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{Basis, Due, Timing, Work};
use crate::language::Language;
use crate::say;

impl Work {
    /// Its name.
    pub const fn label(self, language: Language) -> &'static str {
        match (self, language) {
            (Self::FirstPass, Language::English) => "First pass",
            (Self::SecondLook, Language::English) => "Second look",
            (Self::FirstPass, Language::Spanish) => "Primera pasada de raleo",
            (Self::SecondLook, Language::Spanish) => "Segunda vuelta",
        }
    }
}

impl Basis {
    /// What the days of a window are counted from.
    const fn counted_from(self, language: Language) -> &'static str {
        match (self, language) {
            (Self::FullBloom, Language::English) => "days after full bloom",
            (Self::BeforeRipening, Language::English) => "days before ripening begins",
            (Self::LastPass(_), Language::English) => "days after the last pass",
            (Self::FullBloom, Language::Spanish) => "días después de plena floración",
            (Self::BeforeRipening, Language::Spanish) => "días antes de que empiece la maduración",
            (Self::LastPass(_), Language::Spanish) => "días después de la última pasada",
            (Self::Calendar, Language::English) => {
                "calendar by ripening: early April to mid May in California, earliest first (University of California \
                 ANR); days between are common practice, no source"
            }
            (Self::Calendar, Language::Spanish) => {
                "calendario según maduración: principios de abril a mediados de mayo en California, lo temprano primero \
                 (University of California ANR); los días intermedios son práctica común, sin fuente"
            }
        }
    }
}

impl Due {
    /// Where its window comes from, for the foot of the list.
    pub fn source(&self, language: Language) -> String {
        let from = self.basis.counted_from(language);
        match (self.basis, self.own, language) {
            (Basis::Calendar, ..) => from.to_owned(),
            (_, true, Language::English) => format!("{from}: as the operation set them"),
            (_, true, Language::Spanish) => format!("{from}: fijados por la empresa"),
            (_, false, Language::English) => format!("{from}: common practice, no source"),
            (_, false, Language::Spanish) => format!("{from}: práctica común, sin fuente"),
        }
    }

    /// "UD-1: second look due, thinned 11 days ago; look by 3 May."
    pub fn sentence(&self, today: NaiveDate, language: Language) -> String {
        let code = &self.block.code;
        let what = self.work.label(language).to_lowercase();
        match language {
            Language::English => format!("{code}: {what} {}{}.", self.english(), self.since(today, language)),
            Language::Spanish => format!("{code}: {what} {}{}.", self.spanish(), self.since(today, language)),
        }
    }

    fn english(&self) -> String {
        let (from, to) = (Language::English.day(self.window.0), Language::English.day(self.window.1));
        let days = say::counted(Decimal::from(self.days), "day", "days");
        match self.timing {
            Timing::Late => format!("late by {days}, its window closed on {to}"),
            Timing::Open if self.days == 0 => format!("due, today ({to}) is the last day"),
            Timing::Open => format!("due until {to}"),
            Timing::Ahead => format!("opens in {days}, {from} to {to}"),
        }
    }

    fn spanish(&self) -> String {
        let (from, to) = (Language::Spanish.day(self.window.0), Language::Spanish.day(self.window.1));
        let days = say::counted(Decimal::from(self.days), "día", "días");
        match self.timing {
            Timing::Late => format!("atrasada {days}, el plazo cerró el {to}"),
            Timing::Open if self.days == 0 => format!("pendiente, hoy ({to}) es el último día"),
            Timing::Open => format!("pendiente hasta el {to}"),
            Timing::Ahead => format!("empieza en {days}, del {from} al {to}"),
        }
    }

    /// Days since the last pass, for a second look.
    fn since(&self, today: NaiveDate, language: Language) -> String {
        let Basis::LastPass(last) = self.basis else { return String::new() };
        let n = (today - last).num_days();
        let days = Decimal::from(n);
        match language {
            Language::English if n == 0 => "; last thinned today".to_owned(),
            Language::Spanish if n == 0 => "; último raleo hoy".to_owned(),
            Language::English => format!("; thinned {} ago", say::counted(days, "day", "days")),
            Language::Spanish => format!("; raleado hace {}", say::counted(days, "día", "días")),
        }
    }
}
