//! Days, counts and lists inside the sentences of gaps.

use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;

use crate::block::MonthDay;
use crate::figure::{Gap, GapAbout, GapWeight, RecordRef};
use crate::money::Money;
use crate::records::{Task, ThinningMethod};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// "14 May": the season says the year.
pub(crate) fn day(date: NaiveDate) -> String {
    let month = MONTHS.get(usize::try_from(date.month0()).unwrap_or_default()).copied().unwrap_or_default();
    format!("{} {month}", date.day())
}

/// "14 May", of any year.
pub(crate) fn day_of_year(day: MonthDay) -> String {
    let month = usize::try_from(day.month()).unwrap_or_default().checked_sub(1);
    let month = month.and_then(|at| MONTHS.get(at)).copied().unwrap_or_default();
    format!("{} {month}", day.day())
}

/// "14 May 2026".
pub(crate) fn full_day(date: NaiveDate) -> String {
    format!("{} {}", day(date), date.year())
}

/// "from 1 to 20 June", "from 25 May to 5 June", "on 1 June".
pub(crate) fn span(first: MonthDay, last: MonthDay) -> String {
    let end = day_of_year(last);
    match () {
        () if first == last => format!("on {end}"),
        () if first.month() == last.month() && first < last => format!("from {} to {end}", first.day()),
        () => format!("from {} to {end}", day_of_year(first)),
    }
}

/// Several of a crop, as one says it: "peaches", "plum hybrids", "cherries".
pub(crate) fn many(crop: &str) -> String {
    let crop = crop.trim().to_lowercase();
    match crop.strip_suffix('y') {
        _ if crop.ends_with('s') => crop,
        Some(stem) if !stem.ends_with(['a', 'e', 'o', 'u']) => format!("{stem}ies"),
        _ if ["ch", "sh", "x"].iter().any(|end| crop.ends_with(end)) => format!("{crop}es"),
        _ => format!("{crop}s"),
    }
}

/// "2,387": a float without its decimals.
pub(crate) fn whole(value: f64) -> String {
    let text = format!("{value:.0}");
    text.parse().map_or(text, number)
}

/// "2,387"; a fraction keeps its decimals.
pub(crate) fn number(n: Decimal) -> String {
    let text = n.normalize().to_string();
    let (whole, fraction) = text.split_once('.').map_or((text.as_str(), None), |(w, f)| (w, Some(f)));
    let digits = whole.len();
    let mut grouped = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (digits - place).is_multiple_of(3) && !grouped.ends_with('-') {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    fraction.map_or(grouped.clone(), |f| format!("{grouped}.{f}"))
}

/// "3,519.10": dollars with their cents.
pub(crate) fn dollars(money: Money) -> String {
    let sign = if money.cents() < 0 { "-" } else { "" };
    let cents = money.cents().unsigned_abs();
    format!("{sign}{}.{:02}", number(Decimal::from(cents / 100)), cents % 100)
}

/// "1 box has", "412 boxes have": the count and the form that goes with it.
pub(crate) fn counted(n: Decimal, one: &str, many: &str) -> String {
    format!("{} {}", number(n), if n == Decimal::ONE { one } else { many })
}

/// "KW-2, KW-3 and KW-4".
pub(crate) fn list<S: AsRef<str>>(words: &[S]) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// "by hand and cuts".
pub(crate) fn methods<'m>(methods: impl IntoIterator<Item = &'m ThinningMethod>) -> String {
    list(&methods.into_iter().map(|method| method.word()).collect::<Vec<_>>())
}

/// "first pass", "second look", "sixth look": a pass as growers say it; from the seventh on "pass 7".
pub(crate) fn pass(pass: u8) -> String {
    let ordinal = match pass {
        1 => return "first pass".into(),
        2 => "second",
        3 => "third",
        4 => "fourth",
        5 => "fifth",
        6 => "sixth",
        n => return format!("pass {n}"),
    };
    format!("{ordinal} look")
}

/// A task within a sentence: "thinning", "hauling".
pub(crate) const fn work(task: Task) -> &'static str {
    match task {
        Task::Thin => "thinning",
        Task::Prune => "pruning",
        Task::Irrigate => "irrigating",
        Task::Mulch => "mulching",
        Task::Spray => "spraying",
        Task::Weeds => "weeding",
        Task::Fertilize => "fertilizing",
        Task::Prop => "propping",
        Task::Pick => "picking",
        Task::Haul => "hauling",
        Task::Other => "other",
    }
}

/// One sentence for records that lack the same thing: "A crew day of 14 May has no wage." or
/// "3 crew days, 14 May to 2 June, have no wage."
pub(crate) fn lacking(one: &str, many: &str, dates: &[NaiveDate], what: &str) -> String {
    let first = dates.iter().min();
    let last = dates.iter().max();
    match (dates.len(), first, last) {
        (0 | 1, Some(only), _) => format!("{one} of {} has {what}.", day(*only)),
        (n, Some(first), Some(last)) if first == last => format!("{n} {many} of {} have {what}.", day(*first)),
        (n, Some(first), Some(last)) => format!("{n} {many}, {} to {}, have {what}.", day(*first), day(*last)),
        _ => format!("{one} has {what}."),
    }
}

/// A gap that leaves something out or doubtful.
pub(crate) fn missing(
    about: GapAbout,
    what: impl Into<String>,
    mend: impl Into<String>,
    records: impl IntoIterator<Item = RecordRef>,
) -> Gap {
    gap(about, GapWeight::Missing, what.into(), mend.into(), records)
}

/// A gap that only asks for a look.
pub(crate) fn worth_a_look(
    about: GapAbout,
    what: impl Into<String>,
    mend: impl Into<String>,
    records: impl IntoIterator<Item = RecordRef>,
) -> Gap {
    gap(about, GapWeight::WorthALook, what.into(), mend.into(), records)
}

fn gap(
    about: GapAbout,
    weight: GapWeight,
    what: String,
    mend: String,
    records: impl IntoIterator<Item = RecordRef>,
) -> Gap {
    let mut records: Vec<RecordRef> = records.into_iter().collect();
    records.sort_unstable();
    records.dedup();
    Gap { about, what, mend, records, weight }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, month, day).unwrap()
    }

    #[test]
    fn numbers_are_grouped_by_thousands() {
        for (n, text) in [("412", "412"), ("2387", "2,387"), ("-1234567.50", "-1,234,567.5"), ("-412", "-412")] {
            assert_eq!(number(n.parse().unwrap()), text);
        }
    }

    #[test]
    fn days_of_any_year_and_crops_are_said_as_in_talk() {
        let day = |month, day| MonthDay::new(month, day).unwrap();
        assert_eq!(span(day(6, 1), day(6, 20)), "from 1 to 20 June");
        assert_eq!(span(day(5, 25), day(6, 5)), "from 25 May to 5 June");
        assert_eq!(span(day(6, 20), day(6, 1)), "from 20 June to 1 June", "over the new year");
        assert_eq!(span(day(6, 1), day(6, 1)), "on 1 June");
        assert_eq!(
            ["Peach ", "plum hybrid", "cherry", "plums"].map(many),
            ["peaches", "plum hybrids", "cherries", "plums"]
        );
        assert_eq!((whole(1_034.6), full_day(date(1, 1))), ("1,035".into(), "1 January 2026".into()));
    }

    #[test]
    fn a_list_is_said_as_in_talk() {
        let said = |words: &[&str]| list(&words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert_eq!(said(&["KW-2", "KW-3", "KW-4"]), "KW-2, KW-3 and KW-4");
        assert_eq!(
            (said(&["KW-2", "KW-3"]), said(&["KW-2"]), said(&[])),
            ("KW-2 and KW-3".into(), "KW-2".into(), String::new())
        );
    }

    #[test]
    fn passes_are_said_as_in_the_orchard() {
        assert_eq!([1, 2, 6, 7].map(pass), ["first pass", "second look", "sixth look", "pass 7"]);
    }

    #[test]
    fn one_day_and_several_read_differently() {
        let one = [date(5, 14)];
        assert_eq!(lacking("A crew day", "crew days", &one, "no wage"), "A crew day of 14 May has no wage.");
        let several = [date(6, 2), date(5, 14), date(5, 20)];
        assert_eq!(
            lacking("A crew day", "crew days", &several, "no wage"),
            "3 crew days, 14 May to 2 June, have no wage."
        );
    }
}
