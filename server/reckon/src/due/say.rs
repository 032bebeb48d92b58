//! What is due, in sentences.

use chrono::{Datelike, NaiveDate};
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

/// A window that opens in more days than this is said by its dates alone: nobody counts them.
const FAR_OFF: u64 = 60;

impl Due {
    /// Trees done and trees of a first pass that has only begun.
    pub fn begun(&self) -> Option<(u64, u32)> {
        if self.work == Work::FirstPass { self.block.begun() } else { None }
    }

    /// "420 fruit a tree, 5.5 in apart": what to leave; `None` where nothing is set.
    pub fn leave(&self, language: Language) -> Option<String> {
        let fruit = self.block.fruit.map(|fruit| say::whole(fruit.get()));
        let apart = self.block.spacing.map(|spacing| format!("{:.1}", spacing.get()));
        let (fruit, apart) = match language {
            Language::English => {
                (fruit.map(|n| format!("{n} fruit a tree")), apart.map(|inches| format!("{inches} in apart")))
            }
            Language::Spanish => (
                fruit.map(|n| format!("{n} frutas por árbol")),
                apart.map(|inches| format!("separación {inches} pulgadas")),
            ),
        };
        let said: Vec<String> = fruit.into_iter().chain(apart).collect();
        (!said.is_empty()).then(|| said.join(", "))
    }

    /// Whether its window is open or late.
    pub const fn presses(&self) -> bool {
        !matches!(self.timing, Timing::Ahead)
    }

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
            Timing::Ahead if self.days > FAR_OFF => {
                format!("opens on {} and closes on {}", say::full_day(self.window.0), say::full_day(self.window.1))
            }
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
            Timing::Ahead if self.days > FAR_OFF => {
                format!("empieza el {from} de {} y cierra el {to} de {}", self.window.0.year(), self.window.1.year())
            }
            Timing::Ahead => format!("empieza en {days}, del {from} al {to}"),
        }
    }

    /// Days since the last pass, for a second look; trees done, for a first pass that has begun.
    fn since(&self, today: NaiveDate, language: Language) -> String {
        if let Some((done, trees)) = self.begun() {
            let (done, trees) = (say::number(Decimal::from(done)), say::number(Decimal::from(trees)));
            return match language {
                Language::English => format!("; {done} of {trees} trees done"),
                Language::Spanish => format!("; {done} de {trees} árboles hechos"),
            };
        }
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
