//! Work due as an iCalendar file, to be read by any calendar.
//!
//! Source: RFC 5545, Internet Calendaring and Scheduling Core Object Specification: lines end with
//! CRLF and are folded at 75 octets (3.1), texts are escaped (3.3.11), days carry no time and their
//! end is the day after the last (3.6.1, 3.8.2.2), each event has a UID and a DTSTAMP (3.6.1). There is
//! no METHOD: without one a file carries a snapshot of a calendar and asks nobody anything (3.7.2). It is
//! read on later days, so its texts count no days: they give dates.

use chrono::{Datelike, Days, NaiveDate, NaiveDateTime};
use reckon::due::{Due, DueBlock, Timing};
use reckon::language::Language;

/// An event of one or more whole days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// The same work has the same name in every issue of the file, so that a calendar moves it.
    pub uid: String,
    /// First day.
    pub first: NaiveDate,
    /// Last day, included.
    pub last: NaiveDate,
    /// One line.
    pub summary: String,
    /// More lines.
    pub description: String,
}

/// Most octets of a line, its CRLF not counted.
const MOST_OCTETS: usize = 75;

/// The file: a calendar of this name, made at this moment (UTC), with these events in the order given.
pub fn calendar(name: &str, stamp: NaiveDateTime, events: &[Event]) -> String {
    let mut out = String::new();
    let mut line = |text: &str| fold(&mut out, text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//Seasonbook//Work due//EN");
    line("CALSCALE:GREGORIAN");
    line(&format!("NAME:{}", escaped(name)));
    for event in events {
        line("BEGIN:VEVENT");
        line(&format!("UID:{}", escaped(&event.uid)));
        line(&format!("DTSTAMP:{}", stamp.format("%Y%m%dT%H%M%SZ")));
        line(&format!("SEQUENCE:{}", sequence(stamp)));
        line(&format!("DTSTART;VALUE=DATE:{}", day(event.first)));
        line(&format!("DTEND;VALUE=DATE:{}", day(day_after(event.last.max(event.first)))));
        line(&format!("SUMMARY:{}", escaped(&event.summary)));
        if !event.description.is_empty() {
            line(&format!("DESCRIPTION:{}", escaped(&event.description)));
        }
        line("TRANSP:TRANSPARENT");
        line("END:VEVENT");
    }
    line("END:VCALENDAR");
    out
}

/// An event for each thing due; late work stands on today, where it is seen. Where nothing is due one event
/// says so: a calendar holds one component at least (3.6). `named` gives a block's lasting name, which its
/// code is not; `realm` tells one book's events from another's: a host name or the operation's id.
pub fn events(
    due: &[Due],
    year: i32,
    today: NaiveDate,
    language: Language,
    (named, realm): (&dyn Fn(&DueBlock) -> String, &str),
) -> Vec<Event> {
    if due.is_empty() {
        return vec![nothing(year, today, language, realm)];
    }
    let name = |one: &Due| format!("{}-{}@{realm}", named(&one.block), one.window.0.year());
    due.iter().map(|one| event(one, today, language, &name(one))).collect()
}

fn nothing(year: i32, today: NaiveDate, language: Language, realm: &str) -> Event {
    let day = language.day(today);
    let (summary, description) = match language {
        Language::English => {
            ("No thinning is due", format!("Season of {year}, as it stands on {day} {}.", today.year()))
        }
        Language::Spanish => {
            ("No hay raleo pendiente", format!("Temporada de {year}, según está al {day} de {}.", today.year()))
        }
    };
    Event {
        uid: format!("nothing-due-{year}@{realm}"),
        first: today,
        last: today,
        summary: summary.to_owned(),
        description,
    }
}

fn event(due: &Due, today: NaiveDate, language: Language, name: &str) -> Event {
    let work = match due.work {
        reckon::due::Work::FirstPass => "first-pass",
        reckon::due::Work::SecondLook => "second-look",
    };
    let (first, last) = if due.timing == Timing::Late { (today, today) } else { due.window };
    Event {
        uid: format!("{work}-{name}"),
        first,
        last,
        summary: format!("{}: {}{}", due.block.code, due.work.label(language), late(due, language)),
        description: format!("{}\n{}: {}.", due.dated(today, language), window(language), due.source(language)),
    }
}

/// Late work stands on today, and not within its window: its line says so.
const fn late(due: &Due, language: Language) -> &'static str {
    match (due.timing, language) {
        (Timing::Late, Language::English) => ", late",
        (Timing::Late, Language::Spanish) => ", atrasada",
        (Timing::Open | Timing::Ahead, _) => "",
    }
}

/// What the source of an event's days is called.
const fn window(language: Language) -> &'static str {
    match language {
        Language::English => "Window",
        Language::Spanish => "Plazo",
    }
}

/// A later file must win over an earlier one, and the book keeps no count of the files it gave out: the
/// days since 2000 never go back (3.8.7.4). Of two files of one day the DTSTAMP tells the later.
fn sequence(stamp: NaiveDateTime) -> i64 {
    let first = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap_or_default();
    (stamp.date() - first).num_days().max(0)
}

fn day(day: NaiveDate) -> String {
    day.format("%Y%m%d").to_string()
}

fn day_after(day: NaiveDate) -> NaiveDate {
    day.checked_add_days(Days::new(1)).unwrap_or(day)
}

/// A text value: backslash, semicolon and comma escaped, line breaks written as `\n`, other control
/// characters left out.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    for sign in text.chars() {
        match sign {
            '\\' | ';' | ',' => out.extend(['\\', sign]),
            '\n' => out.push_str("\\n"),
            sign if sign.is_control() => {}
            sign => out.push(sign),
        }
    }
    out
}

/// A content line: cut between letters so that no part is longer than 75 octets, each further part
/// behind CRLF and a space.
fn fold(out: &mut String, line: &str) {
    let mut octets = 0;
    for sign in line.chars() {
        if octets + sign.len_utf8() > MOST_OCTETS {
            out.push_str("\r\n ");
            octets = 1;
        }
        out.push(sign);
        octets += sign.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use reckon::block::Season;

    use super::*;

    fn named(_: &DueBlock) -> String {
        "block-7".into()
    }

    fn season() -> Season {
        Season::calendar_year(2026).unwrap()
    }

    fn day(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, month, day).unwrap()
    }

    fn one(summary: &str, description: &str) -> String {
        let event = Event {
            uid: "second-look-UD-1-2026@example.test".into(),
            first: day(5, 1),
            last: day(5, 8),
            summary: summary.into(),
            description: description.into(),
        };
        calendar("Work due", day(4, 30).and_hms_opt(6, 5, 4).unwrap(), &[event])
    }

    /// RFC 5545, 3.1: unfolding takes out every CRLF that a space or tab follows, with that space.
    fn unfolded(file: &str) -> Vec<String> {
        file.replace("\r\n ", "").split_terminator("\r\n").map(str::to_owned).collect()
    }

    #[test]
    fn a_whole_file_reads_as_the_standard_says() {
        let expected = [
            "BEGIN:VCALENDAR",
            "VERSION:2.0",
            "PRODID:-//Seasonbook//Work due//EN",
            "CALSCALE:GREGORIAN",
            "NAME:Work due",
            "BEGIN:VEVENT",
            "UID:second-look-UD-1-2026@example.test",
            "DTSTAMP:20260430T060504Z",
            "SEQUENCE:9616",
            "DTSTART;VALUE=DATE:20260501",
            "DTEND;VALUE=DATE:20260509",
            "SUMMARY:UD-1: Second look",
            "DESCRIPTION:look",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
            "END:VCALENDAR",
        ];
        let file = one("UD-1: Second look", "look");
        assert_eq!(unfolded(&file), expected);
        assert!(file.ends_with("\r\n"));
        assert_eq!(file.matches('\n').count(), file.matches("\r\n").count(), "no bare line feed");
    }

    /// RFC 5545, 3.1: "Lines of text SHOULD NOT be longer than 75 octets, excluding the line break".
    #[test]
    fn no_line_is_longer_than_75_octets_and_no_letter_is_cut() {
        let long = "raleo según maduración, el cuadro más temprano primero; ".repeat(9);
        let file = one(&long, "");
        assert!(file.split("\r\n").all(|line| line.len() <= 75), "{file}");
        assert!(file.split("\r\n").any(|line| line.len() > 70));
        let whole = format!("SUMMARY:{}", long.replace(',', "\\,").replace(';', "\\;"));
        assert!(unfolded(&file).contains(&whole));
    }

    /// RFC 5545, 3.3.11: backslash, semicolon and comma are escaped, a colon is not, a line break is `\n`.
    #[test]
    fn texts_are_escaped() {
        let file = one("a,b;c\\d:e", "one\r\ntwo\nthree\u{7}");
        assert!(file.contains("SUMMARY:a\\,b\\;c\\\\d:e\r\n"), "{file}");
        assert!(file.contains("DESCRIPTION:one\\ntwo\\nthree\r\n"), "{file}");
    }

    #[test]
    fn work_due_keeps_its_name_and_late_work_stands_on_today() {
        use reckon::due::{Settings, due};
        let block = DueBlock { code: "UD-1".into(), passes: vec![(1, day(4, 24))], ..DueBlock::default() };
        let at = |today| {
            let found = due(core::slice::from_ref(&block), &season(), today, Settings::default());
            events(&found.due, 2026, today, Language::Spanish, (&named, "book.test")).remove(0)
        };
        let (open, late) = (at(day(5, 5)), at(day(5, 20)));
        assert_eq!(open.uid, "second-look-block-7-2026@book.test");
        assert_eq!((open.first, open.last), (day(5, 1), day(5, 8)));
        assert_eq!(late.uid, open.uid);
        assert_eq!((late.first, late.last), (day(5, 20), day(5, 20)));
        assert_eq!(open.summary, "UD-1: Segunda vuelta");
        assert_eq!(late.summary, "UD-1: Segunda vuelta, atrasada");
        assert!(late.description.contains("el plazo cerró el 8 de mayo"), "{}", late.description);
        assert!(
            open.description.ends_with("\nPlazo: días después de la última pasada: práctica común, sin fuente."),
            "{}",
            open.description
        );
    }

    /// RFC 5545, 3.6: "an iCalendar object MUST include at least one calendar component".
    #[test]
    fn a_day_without_work_is_an_event_that_says_so() {
        let at = |today, language| events(&[], 2025, today, language, (&named, "book.test"));
        let [english, later] = [at(day(5, 5), Language::English), at(day(6, 1), Language::Spanish)];
        assert_eq!((english.len(), later.len()), (1, 1));
        assert_eq!((english[0].first, english[0].last), (day(5, 5), day(5, 5)));
        assert_eq!((english[0].uid.as_str(), &later[0].uid), ("nothing-due-2025@book.test", &english[0].uid));
        assert_eq!(english[0].summary, "No thinning is due");
        assert_eq!(later[0].summary, "No hay raleo pendiente");
        assert_eq!(english[0].description, "Season of 2025, as it stands on 5 May 2026.");
        assert_eq!(later[0].description, "Temporada de 2025, según está al 1 de junio de 2026.");
    }

    /// A file is read on later days: what it counts in days would be wrong by then.
    #[test]
    fn texts_count_no_days() {
        use reckon::due::{Settings, due};
        let block = DueBlock { code: "UD-1".into(), passes: vec![(1, day(4, 24))], ..DueBlock::default() };
        for today in [day(4, 25), day(5, 5), day(5, 8), day(5, 20)] {
            for (language, counted) in [(Language::English, [" day", " ago"]), (Language::Spanish, [" día ", "hace"])]
            {
                let found = due(core::slice::from_ref(&block), &season(), today, Settings::default());
                let text = events(&found.due, 2026, today, language, (&named, "book.test")).remove(0).description;
                let sentence = text.lines().next().unwrap();
                assert!(!counted.iter().any(|word| sentence.contains(word)), "{sentence}");
                assert!(sentence.contains("24"), "the day of the last pass: {sentence}");
            }
        }
    }

    /// RFC 5545, 3.8.7.4: the sequence of a later file is never less; 3.8.7.2 tells two of one day apart.
    #[test]
    fn a_later_file_wins_over_an_earlier_one() {
        let of = |day: NaiveDate, hour| sequence(day.and_hms_opt(hour, 0, 0).unwrap());
        assert_eq!((of(day(4, 30), 1), of(day(4, 30), 23), of(day(5, 1), 0)), (9_616, 9_616, 9_617));
        assert_eq!(of(NaiveDate::from_ymd_opt(1970, 1, 1).unwrap(), 0), 0, "a clock that was never set");
    }

    /// RFC 5545, 3.1: a letter of several octets, or an escaped sign, on the very edge of a line.
    #[test]
    fn a_fold_on_any_octet_unfolds_to_the_same() {
        for before in 0..90 {
            for sign in ["ñ", "°", "\u{1F351}", ",", ";", "\\", "\n", " "] {
                let text = format!("{}{sign}", "x".repeat(before)).repeat(2);
                let file = one(&text, &text);
                assert!(file.split("\r\n").all(|line| line.len() <= 75), "{before} {sign:?}");
                assert!(unfolded(&file).contains(&format!("SUMMARY:{}", escaped(&text))), "{before} {sign:?}");
            }
        }
    }
}
