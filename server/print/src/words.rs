//! Words of the records as sentences and tables use them.

use chrono::{Datelike, NaiveDate};
use reckon::figure::{Evidence, GapAbout};
use reckon::records::{Task, ThinningMethod};
use reckon::season::EtoSource;

use crate::figures;

/// A task as a row's name: "Thinning".
pub const fn task(task: Task) -> &'static str {
    match task {
        Task::Thin => "Thinning",
        Task::Prune => "Pruning",
        Task::Irrigate => "Irrigating",
        Task::Mulch => "Mulching",
        Task::Spray => "Spraying",
        Task::Weeds => "Weeds",
        Task::Fertilize => "Fertilizing",
        Task::Prop => "Propping",
        Task::Pick => "Picking",
        Task::Haul => "Hauling",
        Task::Other => "Other work",
    }
}

/// A pass and method as a row's name: "First pass, by hand".
pub fn pass_and_method(pass: Option<u8>, method: Option<ThinningMethod>) -> String {
    let pass = match pass {
        Some(1) => "First pass".to_owned(),
        Some(2) => "Second look".to_owned(),
        Some(3) => "Third look".to_owned(),
        Some(n) => format!("Pass {n}"),
        None => "Pass not given".to_owned(),
    };
    format!("{pass}, {}", method.map_or("method not given", ThinningMethod::word))
}

/// How a figure is known: "metered, 41 records".
pub fn known(evidence: Evidence, n: usize) -> String {
    if n == 0 {
        return evidence.word().to_owned();
    }
    format!("{}, {}", evidence.word(), figures::counted(n, "record", "records"))
}

/// The part of the season that a gap weakens.
pub const fn about(about: GapAbout) -> &'static str {
    match about {
        GapAbout::Block => "Block",
        GapAbout::Labor => "Labor",
        GapAbout::Thinning => "Thinning",
        GapAbout::Water => "Water",
        GapAbout::Mulch => "Mulch",
        GapAbout::Packout => "Packout",
        GapAbout::Price => "Price",
        GapAbout::Costs => "Costs",
    }
}

/// Where reference evapotranspiration came from.
pub const fn eto_source(source: EtoSource) -> &'static str {
    match source {
        EtoSource::Station => "as the station gives it",
        EtoSource::PenmanMonteith => "Penman-Monteith",
        EtoSource::PenmanMonteithFilled => "Penman-Monteith, partly estimated",
        EtoSource::Hargreaves => "Hargreaves",
    }
}

/// A short month: "May".
pub const fn month(month: u32) -> &'static str {
    match month {
        1 => "Jan",
        2 => "Feb",
        3 => "Mar",
        4 => "Apr",
        5 => "May",
        6 => "Jun",
        7 => "Jul",
        8 => "Aug",
        9 => "Sep",
        10 => "Oct",
        11 => "Nov",
        _ => "Dec",
    }
}

/// A day without its year: "14 May".
pub fn day(date: NaiveDate) -> String {
    format!("{} {}", date.day(), month(date.month()))
}

/// A day with its year: "14 May 2026".
pub fn full_day(date: NaiveDate) -> String {
    format!("{} {}", day(date), date.year())
}

/// From one day to another: "14 May to 2 Jun", or the one day.
pub fn days((first, last): (NaiveDate, NaiveDate)) -> String {
    if first == last { day(first) } else { format!("{} to {}", day(first), day(last)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_read_as_growers_say_them() {
        assert_eq!(pass_and_method(Some(1), Some(ThinningMethod::ByHand)), "First pass, by hand");
        assert_eq!(pass_and_method(Some(2), Some(ThinningMethod::Pole)), "Second look, pole");
        assert_eq!(pass_and_method(None, None), "Pass not given, method not given");
    }

    #[test]
    fn days_are_short() {
        let day = |m, d| NaiveDate::from_ymd_opt(2026, m, d).unwrap();
        assert_eq!(days((day(5, 14), day(6, 2))), "14 May to 2 Jun");
        assert_eq!(days((day(5, 14), day(5, 14))), "14 May");
        assert_eq!(full_day(day(12, 1)), "1 Dec 2026");
    }
}
