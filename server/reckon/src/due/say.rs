//! What is due, in sentences.

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use super::{Basis, Due, DueBlock, NoWindow, Timing, Work};
use crate::language::Language;
use crate::records::ThinningMethod;
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
    /// Trees done and trees of work that has begun and is not done.
    pub fn begun(&self) -> Option<(u64, u32)> {
        match self.work {
            Work::FirstPass => self.block.begun(),
            Work::SecondLook => self.block.look_begun(),
        }
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

    /// "UD-1: second look due until 8 May; thinned 11 days ago."
    pub fn sentence(&self, today: NaiveDate, language: Language) -> String {
        let stands = match language {
            Language::English => self.english(false),
            Language::Spanish => self.spanish(false),
        };
        self.said(&format!("{stands}{}", self.since(today, language)), language)
    }

    /// The same by its dates alone, for what is read on later days: "UD-1: second look due until 8 May; last
    /// thinned on 24 April."
    pub fn dated(&self, today: NaiveDate, language: Language) -> String {
        let stands = match language {
            Language::English => self.english(true),
            Language::Spanish => self.spanish(true),
        };
        self.said(&format!("{stands}{}", self.since_dated(today, language)), language)
    }

    fn said(&self, stands: &str, language: Language) -> String {
        format!("{}: {} {stands}.", self.block.code, self.work.label(language).to_lowercase())
    }

    /// `dated` gives dates and counts no days.
    fn english(&self, dated: bool) -> String {
        let (from, to) = (Language::English.day(self.window.0), Language::English.day(self.window.1));
        let days = say::counted(Decimal::from(self.days), "day", "days");
        let begun = if self.begun().is_some() { "begun, " } else { "" };
        match self.timing {
            Timing::Late if dated => format!("late, its window closed on {to}"),
            Timing::Late => format!("late by {days}, its window closed on {to}"),
            Timing::Open if self.days == 0 && !dated => format!("{begun}due, today ({to}) is the last day"),
            Timing::Open => format!("{begun}due until {to}"),
            Timing::Ahead if dated && from == to => format!("is on {from}"),
            Timing::Ahead if dated => format!("opens on {from} and closes on {to}"),
            Timing::Ahead if self.days > FAR_OFF => {
                format!("opens on {} and closes on {}", say::full_day(self.window.0), say::full_day(self.window.1))
            }
            Timing::Ahead if from == to => format!("is in {days}, on {from}"),
            Timing::Ahead => format!("opens in {days}, {from} to {to}"),
        }
    }

    /// `dated` gives dates and counts no days.
    fn spanish(&self, dated: bool) -> String {
        let (from, to) = (Language::Spanish.day(self.window.0), Language::Spanish.day(self.window.1));
        let days = say::counted(Decimal::from(self.days), "día", "días");
        let begun = if self.begun().is_some() { "empezada, " } else { "" };
        match self.timing {
            Timing::Late if dated => format!("atrasada, el plazo cerró el {to}"),
            Timing::Late => format!("atrasada {days}, el plazo cerró el {to}"),
            Timing::Open if self.days == 0 && !dated => format!("{begun}pendiente, hoy ({to}) es el último día"),
            Timing::Open => format!("{begun}pendiente hasta el {to}"),
            Timing::Ahead if dated && from == to => format!("toca el {from}"),
            Timing::Ahead if dated => format!("empieza el {from} y cierra el {to}"),
            Timing::Ahead if self.days > FAR_OFF => {
                format!("empieza el {from} de {} y cierra el {to} de {}", self.window.0.year(), self.window.1.year())
            }
            Timing::Ahead if from == to => format!("toca en {days}, el {from}"),
            Timing::Ahead => format!("empieza en {days}, del {from} al {to}"),
        }
    }

    /// Trees done, for work that has begun; else days since the last pass, for a second look.
    fn since(&self, today: NaiveDate, language: Language) -> String {
        if let Some(begun) = self.begun() {
            return format!("; {}", trees_done(begun, language));
        }
        let Basis::LastPass(last) = self.basis else { return self.by_machine(language) };
        let n = (today - last).num_days();
        let days = Decimal::from(n);
        match language {
            Language::English if n == 0 => "; last thinned today".to_owned(),
            Language::Spanish if n == 0 => "; último raleo hoy".to_owned(),
            Language::English => format!("; thinned {} ago", say::counted(days, "day", "days")),
            Language::Spanish => format!("; raleado hace {}", say::counted(days, "día", "días")),
        }
    }

    fn since_dated(&self, today: NaiveDate, language: Language) -> String {
        let today = language.day(today);
        let last = if let Basis::LastPass(last) = self.basis { Some(language.day(last)) } else { None };
        match (self.begun().map(|begun| trees_done(begun, language)), last, language) {
            (Some(done), _, Language::English) => format!("; {done} by {today}"),
            (Some(done), _, Language::Spanish) => format!("; {done} al {today}"),
            (None, Some(last), Language::English) => format!("; last thinned on {last}"),
            (None, Some(last), Language::Spanish) => format!("; último raleo el {last}"),
            (None, None, _) => self.by_machine(language),
        }
    }

    /// What a machine or a spray thinned before the first pass by hand.
    fn by_machine(&self, language: Language) -> String {
        let Some((method, last)) = self.block.by_machine else { return String::new() };
        let day = language.day(last);
        match (language, method) {
            (Language::English, ThinningMethod::Machine) => format!("; thinned by machine on {day}"),
            (Language::English, _) => format!("; sprayed to thin on {day}"),
            (Language::Spanish, ThinningMethod::Machine) => format!("; raleado a máquina el {day}"),
            (Language::Spanish, _) => format!("; raleo químico el {day}"),
        }
    }
}

/// "1,294 of 1,570 trees done".
fn trees_done((done, trees): (u64, u32), language: Language) -> String {
    let (done, trees) = (say::number(Decimal::from(done)), say::number(Decimal::from(trees)));
    match language {
        Language::English => format!("{done} of {trees} trees done"),
        Language::Spanish => format!("{done} de {trees} árboles hechos"),
    }
}

impl NoWindow {
    /// Why its window cannot be told, and what would tell it.
    pub fn sentence(&self, language: Language) -> String {
        let code = &self.code;
        let begun = self.begun.map(|begun| format!(" {}.", trees_done(begun, language))).unwrap_or_default();
        match (language, self.ripens) {
            (Language::English, Some(ripens)) => format!(
                "{code} ripens from {}, for which there is no calendar of thinning, and no full bloom that tells its \
                 first pass is noted.{begun} Note its full bloom, or set how many days before ripening the first pass is \
                 due.",
                say::full_day(ripens)
            ),
            (Language::English, None) => format!(
                "{code} has no full bloom noted this season and no days of ripening, so it cannot be said when its first \
                 pass is due.{begun} Note its full bloom, or enter its days of ripening."
            ),
            (Language::Spanish, Some(ripens)) => format!(
                "{code} madura desde el {}, para lo cual no hay calendario de raleo, y no tiene anotada una plena floración \
                 que indique su primera pasada.{begun} Anote su plena floración, o fije cuántos días antes de la maduración \
                 toca la primera pasada.",
                language.day(ripens)
            ),
            (Language::Spanish, None) => format!(
                "{code} no tiene plena floración anotada esta temporada ni días de maduración, así que no se puede decir \
                 cuándo toca su primera pasada de raleo.{begun} Anote su plena floración o sus días de maduración."
            ),
        }
    }
}

/// A full bloom that cannot be of the fruit that ripens: nothing is counted from it.
pub(super) fn late_bloom(block: &DueBlock, ripens: NaiveDate) -> Option<String> {
    let bloom = block.full_bloom.filter(|bloom| *bloom >= ripens)?;
    Some(format!(
        "{} has full bloom noted on {}, and ripens from {}. One of the two days is wrong; nothing is counted from the bloom.",
        block.code,
        say::full_day(bloom),
        say::full_day(ripens)
    ))
}

/// Blocks that were begun and whose trees nobody counted: what is done of them cannot be told.
pub(super) fn uncounted<'b>(blocks: impl Iterator<Item = &'b DueBlock>) -> Option<String> {
    let begun = blocks.filter(|block| block.trees.is_none_or(|trees| trees == 0) && !block.passes.is_empty());
    let codes: Vec<&str> = begun.map(|block| block.code.as_str()).collect();
    let (has, its) = if codes.len() > 1 { ("have", "their") } else { ("has", "its") };
    (!codes.is_empty()).then(|| {
        format!(
            "{} {has} no count of bearing trees, so {its} first pass counts as done once it has begun.",
            say::list(&codes)
        )
    })
}

/// What the days of bloom of blocks before their first pass leave open: bloom that is not said to be full,
/// once for them all, and full bloom on several days.
pub(super) fn blooms(blocks: &[&DueBlock]) -> Vec<String> {
    let unsaid = blocks.iter().filter(|block| block.full_bloom.is_none());
    let unsaid: Vec<(&DueBlock, NaiveDate)> = unsaid.filter_map(|block| Some((*block, block.some_bloom?))).collect();
    let unsaid = match unsaid.as_slice() {
        [] => None,
        [(block, day)] => Some(format!(
            "{} has bloom noted on {}; write \"full bloom\" to count its window from there.",
            block.code,
            say::day(*day)
        )),
        several => {
            let each: Vec<String> =
                several.iter().map(|(block, day)| format!("{} ({})", block.code, say::day(*day))).collect();
            Some(format!(
                "{} have bloom noted; write \"full bloom\" to count their windows from there.",
                say::list(&each)
            ))
        }
    };
    unsaid.into_iter().chain(blocks.iter().filter_map(|block| several_blooms(block))).collect()
}

fn several_blooms(block: &DueBlock) -> Option<String> {
    let used = block.full_bloom.filter(|_| !block.other_full_blooms.is_empty())?;
    let days: Vec<String> = block.other_full_blooms.iter().chain([&used]).map(|day| say::day(*day)).collect();
    Some(format!(
        "{} has full bloom noted on {}; its window counts from the latest, {}.",
        block.code,
        say::list(&days),
        say::day(used)
    ))
}
