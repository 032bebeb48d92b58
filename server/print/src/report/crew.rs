//! The crew's sheet: what is due, block by block in order of ripening, and the cautions, a page or
//! more in each language.

use chrono::{Datelike, NaiveDate};
use reckon::cautions::{self, Caution, Topic};
use reckon::due::{Due, WorkDue};
use reckon::language::Language;
use reckon::records::ThinningMethod;

use super::flow::{self, Flow, SUBTITLE, Style, TITLE};
use super::table::{Cell, Column, Table, Weight};
use crate::pdf::{self, Meta, PrintError};
use crate::sheet::{Align, Paper, Sheet};
use crate::{figures, fingerprint};

/// Read outdoors, at arm's length: larger than in a report.
const NOTE: Style = flow::NOTE.sized(10.0);
const STRONG_NOTE: Style = flow::STRONG_NOTE.sized(10.5);
/// Size of the table.
const TABLE: f64 = 10.5;
const SOFT_NOTE: Style = flow::SOFT_NOTE.sized(8.5);

/// What a crew's sheet is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrewSheet<'a> {
    /// Name of the operation.
    pub operation: &'a str,
    /// Name of the crew; empty leaves a line to write it on.
    pub crew: &'a str,
    /// The day the sheet is for.
    pub today: NaiveDate,
    /// What is due.
    pub work: &'a WorkDue,
    /// Methods the crew will use; empty shows every caution.
    pub methods: &'a [ThinningMethod],
    /// Languages, each on pages of its own, in this order.
    pub languages: &'a [Language],
}

/// Words of the sheet.
struct Words {
    title: &'static str,
    crew: &'static str,
    block: &'static str,
    farm: &'static str,
    variety: &'static str,
    trees: &'static str,
    work: &'static str,
    window: &'static str,
    done: &'static str,
    to: &'static str,
    nothing: &'static str,
    cautions: &'static str,
    source: &'static str,
    how: &'static str,
}

const ENGLISH: Words = Words {
    title: "Thinning due",
    crew: "Crew",
    block: "Block",
    farm: "Farm",
    variety: "Variety",
    trees: "Trees",
    work: "Work",
    window: "Between",
    done: "Done, trees",
    to: "to",
    nothing: "Nothing is due.",
    cautions: "Cautions",
    source: "Source",
    how: "Leave the larger fruit, break up clusters, thin harder toward the ends of branches. Earliest-ripening blocks \
          first (common practice, no source).",
};

const SPANISH: Words = Words {
    title: "Raleo pendiente",
    crew: "Cuadrilla",
    block: "Cuadro",
    farm: "Rancho",
    variety: "Variedad",
    trees: "Árboles",
    work: "Trabajo",
    window: "Entre",
    done: "Hecho, árboles",
    to: "al",
    nothing: "No hay nada pendiente.",
    cautions: "Precauciones",
    source: "Fuente",
    how: "Deje la fruta más grande, separe los racimos, ralee más hacia las puntas de las ramas. Primero los cuadros que \
          maduran más temprano (práctica común, sin fuente).",
};

const fn words(language: Language) -> &'static Words {
    match language {
        Language::English => &ENGLISH,
        Language::Spanish => &SPANISH,
    }
}

/// The sheet, laid out.
pub fn sheet(crew: &CrewSheet<'_>, paper: Paper) -> Sheet {
    let mut flow = Flow::new(paper, crew.operation, &full_day(crew.today, Language::English));
    for language in crew.languages {
        flow.turn_to(*language, &full_day(crew.today, *language));
        pages(&mut flow, crew, *language);
    }
    flow.finish(&format!("{} · {}", crew.operation, crew.today))
}

/// The sheet as a PDF file; the same work gives the same bytes.
///
/// # Errors
/// [`PrintError`] only for a broken build: every text has been made printable.
pub fn pdf(crew: &CrewSheet<'_>, paper: Paper) -> Result<Vec<u8>, PrintError> {
    let sheet = sheet(crew, paper);
    let fingerprint = fingerprint::of_text(&sheet.dump());
    let title = format!("{}, {}", ENGLISH.title, crew.today);
    pdf::write(&sheet, &Meta { title, made_on: crew.today, fingerprint })
}

/// "28 April 2026", "28 de abril de 2026".
fn full_day(day: NaiveDate, language: Language) -> String {
    match language {
        Language::English => format!("{} {}", language.day(day), day.year()),
        Language::Spanish => format!("{} de {}", language.day(day), day.year()),
    }
}

fn pages(flow: &mut Flow, crew: &CrewSheet<'_>, language: Language) {
    let say = words(language);
    flow.y += TITLE.size + 4.0;
    let place = (flow.left, flow.y);
    flow.text(TITLE, place, Align::Left, &format!("{} {}", say.title, crew.today.year()));
    flow.y += 3.0;
    let name = if crew.crew.is_empty() { "______________________" } else { crew.crew };
    flow.note(SUBTITLE, &format!("{} · {}: {name}", full_day(crew.today, language), say.crew));
    flow.y += 10.0;
    if crew.work.due.is_empty() {
        flow.note(NOTE, say.nothing);
    }
    table(crew, language).draw(flow);
    flow.y += 6.0;
    for due in &crew.work.due {
        flow.note(NOTE, &due.sentence(crew.today, language));
    }
    if language == Language::English {
        for without in &crew.work.without {
            flow.note(SOFT_NOTE, &without.sentence);
        }
    }
    flow.y += 4.0;
    flow.note(SOFT_NOTE, say.how);
    sources(flow, &crew.work.due, language);
    warnings(flow, crew, language);
}

/// Blocks of several farms stand with their farm: two farms may have a block of one name.
fn table(crew: &CrewSheet<'_>, language: Language) -> Table {
    let say = words(language);
    let several = crew.work.due.windows(2).any(|two| matches!(two, [a, b] if a.block.farm != b.block.farm));
    let mut columns = vec![Column::words(say.block, 34.0)];
    if several {
        columns.push(Column::words(say.farm, 60.0));
    }
    columns.extend([
        Column::words(say.variety, 70.0),
        Column::number(say.trees),
        Column::words(say.work, 70.0),
        Column::words(say.window, 80.0),
        Column::words(say.done, 70.0),
    ]);
    let mut table = Table::new(columns).sized(TABLE);
    for due in &crew.work.due {
        let trees = due.block.trees.map_or_else(|| figures::NOT_KNOWN.to_owned(), |n| figures::float(f64::from(n), 0));
        let window = format!("{} {} {}", language.day(due.window.0), say.to, language.day(due.window.1));
        let mut cells = vec![Cell::words(&due.block.code)];
        if several {
            cells.push(Cell::words(&due.block.farm));
        }
        cells.extend([
            Cell::words(&due.block.variety),
            Cell::figure(trees),
            Cell::words(due.work.label(language)),
            Cell::words(&window),
            Cell::words("____________"),
        ]);
        table.row(Weight::Plain, cells);
    }
    table
}

/// Where the windows come from, each once.
fn sources(flow: &mut Flow, due: &[Due], language: Language) {
    let mut sources: Vec<String> = due.iter().map(|one| one.source(language)).collect();
    sources.sort_unstable();
    sources.dedup();
    if !sources.is_empty() {
        flow.note(SOFT_NOTE, &format!("{}: {}.", words(language).source, sources.join("; ")));
    }
}

fn warnings(flow: &mut Flow, crew: &CrewSheet<'_>, language: Language) {
    let say = words(language);
    flow.heading(say.cautions, 40.0);
    let mut last: Option<Topic> = None;
    for caution in cautions::cautions(crew.methods) {
        if last != Some(caution.topic) {
            flow.y += 2.0;
            flow.note(STRONG_NOTE, caution.topic.label(language));
        }
        last = Some(caution.topic);
        warning(flow, &caution, language);
    }
}

fn warning(flow: &mut Flow, caution: &Caution, language: Language) {
    flow.note(NOTE, caution.text(language));
    if !caution.source.is_empty() {
        flow.note(SOFT_NOTE.sized(7.0), &format!("{}: {}.", words(language).source, caution.told_source(language)));
    }
}

#[cfg(test)]
mod tests {
    use reckon::due::{DueBlock, Settings, due};

    use super::*;

    fn day(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, month, day).unwrap()
    }

    fn work(today: NaiveDate) -> WorkDue {
        let thinned = DueBlock {
            code: "UD-1".into(),
            variety: "Straw Cadence".into(),
            trees: Some(1_204),
            passes: vec![(1, day(4, 24))],
            ..DueBlock::default()
        };
        let unknown = DueBlock { code: "JS-9".into(), ..DueBlock::default() };
        due(&[thinned, unknown], 2026, today, Settings::default())
    }

    fn crew<'a>(work: &'a WorkDue, languages: &'a [Language]) -> CrewSheet<'a> {
        CrewSheet {
            operation: "Tin Windmill Orchards",
            crew: "Ditch crew",
            today: day(5, 5),
            work,
            methods: &[ThinningMethod::ByHand],
            languages,
        }
    }

    fn texts(sheet: &Sheet) -> String {
        sheet.texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn each_language_has_its_own_page_and_says_the_same() {
        let work = work(day(5, 5));
        let both = sheet(&crew(&work, &Language::ALL), Paper::Letter);
        assert_eq!(both.pages.len(), 2);
        assert!(!both.pages.iter().any(|page| page.texts().any(|text| text.text == "Farm")), "one farm");
        let page = |n: usize| both.pages[n].texts().map(|text| text.text.as_str()).collect::<Vec<_>>().join(" ");
        let (english, spanish) = (page(0), page(1));
        assert!(english.contains("UD-1: second look due until 8 May; thinned 11 days ago."), "{english}");
        assert!(
            spanish.contains("UD-1: segunda vuelta pendiente hasta el 8 de mayo; raleado hace 11 días."),
            "{spanish}"
        );
        for english in ["5 May", "page ", "common practice", "Other states", "Source"] {
            assert!(!spanish.contains(english), "{english}: {spanish}");
        }
        for word in [
            "Raleo pendiente 2026",
            "5 de mayo de 2026",
            "página 2 de 2",
            "Fuente",
            "potable",
            "Cuadro",
            "Árboles",
            "1,204",
            "Precauciones",
            "Escaleras",
        ] {
            assert!(spanish.contains(word), "{word}: {spanish}");
        }
        assert!(english.contains("JS-9 has no full bloom"), "{english}");
        assert!(!english.contains("label is the law"), "nothing is sprayed");
    }

    #[test]
    fn blocks_of_several_farms_stand_with_their_farm() {
        let mut work = work(day(5, 5));
        let mut second = work.due[0].clone();
        second.block.farm = "Ditch Bend".into();
        work.due.push(second);
        let text = texts(&sheet(&crew(&work, &Language::ALL), Paper::Letter));
        for word in ["Farm", "Rancho", "Ditch Bend", "Thinning due 2026"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn heat_and_ladders_stand_with_their_sources() {
        let work = work(day(5, 5));
        let text = texts(&sheet(&crew(&work, &[Language::English]), Paper::A4));
        for word in ["Local rules first", "1 quart", "80 °F", "95 °F", "16 ft", "8 CCR 3395", "WAC 296-307-05505"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }

    #[test]
    fn a_day_without_work_says_so_and_the_file_is_the_same_twice() {
        let none = WorkDue::default();
        let sheet = crew(&none, &Language::ALL);
        assert!(texts(&super::sheet(&sheet, Paper::Letter)).contains("No hay nada pendiente."));
        assert_eq!(pdf(&sheet, Paper::Letter).unwrap(), pdf(&sheet, Paper::Letter).unwrap());
    }
}
