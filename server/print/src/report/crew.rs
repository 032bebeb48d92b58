//! The crew's sheet: the cautions, then what is due or late, then what opens next, each block by block in
//! order of ripening, a page or more in each language.

use chrono::{Datelike, NaiveDate};
use reckon::cautions::{self, Caution, Topic};
use reckon::crew;
use reckon::due::{Basis, Due, Timing, WorkDue};
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
    /// Name of the crew whose blocks these are; empty leaves a line to write it on.
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
    /// "24 April to 1 May": what stands before, between.
    days: [&'static str; 2],
    nothing: &'static str,
    due: &'static str,
    next: &'static str,
    leave: &'static str,
    last_crew: &'static str,
    fresh: &'static str,
    untold: &'static str,
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
    window: "Window",
    done: "Trees\ndone",
    days: ["", " to "],
    nothing: "Nothing is due.",
    due: "Due now",
    next: "Opens next",
    leave: "Fruit\nto leave",
    last_crew: "crew of the last pass",
    fresh: "Not thinned yet this season, for any crew",
    untold: "Cannot be told",
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
    window: "Plazo",
    done: "Árboles\nhechos",
    days: ["del ", " al "],
    nothing: "No hay nada pendiente.",
    due: "Pendiente ahora",
    next: "Lo que sigue",
    leave: "Fruta\na dejar",
    last_crew: "cuadrilla de la última pasada",
    fresh: "Sin ralear todavía esta temporada, para cualquier cuadrilla",
    untold: "No se puede decir",
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
    let last = last_crew(crew).filter(|_| crew.crew.is_empty());
    let last = last.map(|last| format!(" ({}: {last})", say.last_crew)).unwrap_or_default();
    flow.note(SUBTITLE, &format!("{} · {}: {name}{last}", full_day(crew.today, language), say.crew));
    warnings(flow, crew, language);
    blocks(flow, crew, language);
}

/// The one crew that the blocks due now were last thinned by; `None` where they name several or none.
fn last_crew<'a>(crew: &CrewSheet<'a>) -> Option<&'a str> {
    let due = crew.work.due.iter().filter(|due| due.presses());
    match crew::each_once(due.flat_map(|due| &due.block.crews).map(String::as_str))[..] {
        [one] => Some(one),
        _ => None,
    }
}

/// Windows that open in more days than these are another sheet's.
const NEXT_DAYS: u64 = 14;

/// What is due, block by block, then what opens soon.
fn blocks(flow: &mut Flow, crew: &CrewSheet<'_>, language: Language) {
    let say = words(language);
    let (now, ahead): (Vec<&Due>, Vec<&Due>) = crew.work.due.iter().partition(|due| due.presses());
    let several = crew.work.due.windows(2).any(|two| matches!(two, [a, b] if a.block.farm != b.block.farm));
    let next: Vec<&Due> = ahead.into_iter().filter(|due| due.days <= NEXT_DAYS).collect();
    if now.is_empty() {
        flow.y += 6.0;
        flow.note(NOTE, say.nothing);
    } else {
        part(flow, say.due, &table(&now, (several, true), language));
    }
    for due in now.iter().filter(|due| says_more(due)) {
        flow.note(NOTE, &due.sentence(crew.today, language));
    }
    if !next.is_empty() {
        part(flow, say.next, &table(&next, (several, false), language));
    }
    fresh(flow, crew, language);
    if !crew.work.without.is_empty() {
        flow.y += 4.0;
        flow.note(STRONG_NOTE, say.untold);
    }
    for without in &crew.work.without {
        flow.note(NOTE, &without.sentence(language));
    }
    flow.y += 4.0;
    flow.note(SOFT_NOTE, say.how);
    sources(flow, &[now, next].concat(), language);
}

/// On a crew's own sheet, the blocks that nobody has thinned yet: they stand on every crew's sheet.
fn fresh(flow: &mut Flow, crew: &CrewSheet<'_>, language: Language) {
    let shown = crew.work.due.iter().filter(|due| due.presses() || due.days <= NEXT_DAYS);
    let codes: Vec<&str> = shown.filter(|due| due.block.passes.is_empty()).map(|due| due.block.code.as_str()).collect();
    if !crew.crew.is_empty() && !codes.is_empty() {
        flow.note(NOTE, &format!("{}: {}.", words(language).fresh, codes.join(", ")));
    }
}

fn part(flow: &mut Flow, heading: &str, table: &Table) {
    let beginning = table.beginning(flow);
    flow.heading(heading, beginning);
    table.draw(flow);
    flow.y += 6.0;
}

/// Whether its sentence says more than the window in the table: that it is late, that today is the last
/// day, how long ago the block was thinned, or how far work that has begun has come.
fn says_more(due: &Due) -> bool {
    match due.timing {
        Timing::Late => true,
        Timing::Open => due.days == 0 || due.begun().is_some() || matches!(due.basis, Basis::LastPass(_)),
        Timing::Ahead => false,
    }
}

/// Blocks of several farms stand with their farm: two farms may have a block of one name. What is due
/// now has room to write the trees done.
fn table(list: &[&Due], (several, now): (bool, bool), language: Language) -> Table {
    let leave = list.iter().any(|due| due.leave(language).is_some());
    let mut table = Table::new(columns(several, leave, now, words(language))).sized(TABLE);
    for due in list {
        let mut cells = vec![Cell::words(&due.block.code)];
        if several {
            cells.push(Cell::words(&due.block.farm));
        }
        let trees = due.block.trees.map_or_else(|| figures::NOT_KNOWN.to_owned(), |n| figures::float(f64::from(n), 0));
        cells.extend([Cell::words(&due.block.variety), Cell::figure(trees), Cell::words(due.work.label(language))]);
        if leave {
            cells.push(Cell::words(&due.leave(language).unwrap_or_else(|| figures::NOT_KNOWN.to_owned())));
        }
        cells.push(Cell::words(&window(due, language)));
        if now {
            cells.push(Cell::words("________"));
        }
        table.row(Weight::Plain, cells);
    }
    table
}

fn columns(several: bool, leave: bool, now: bool, say: &Words) -> Vec<Column> {
    let mut columns = vec![wide(say.block, 34.0)];
    if several {
        columns.push(wide(say.farm, 56.0));
    }
    columns.extend([wide(say.variety, 58.0), Column::number(say.trees), wide(say.work, 60.0)]);
    if leave {
        columns.push(wide(say.leave, 60.0));
    }
    columns.push(wide(say.window, 70.0));
    if now {
        columns.push(wide(say.done, 50.0));
    }
    columns
}

/// Words that may wrap, but never narrower than their head.
fn wide(head: &str, least: f64) -> Column {
    let head_width = head.split('\n').map(|line| STRONG_NOTE.sized(TABLE).width(line)).fold(0.0, f64::max);
    Column::words(head, least.max(head_width))
}

/// "1 May to 8 May", "del 1 de mayo al 8 de mayo".
fn window(due: &Due, language: Language) -> String {
    let [from, to] = words(language).days;
    if due.window.0 == due.window.1 {
        return language.day(due.window.0);
    }
    format!("{from}{}{to}{}", language.day(due.window.0), language.day(due.window.1))
}

/// Where the windows come from, each once.
fn sources(flow: &mut Flow, due: &[&Due], language: Language) {
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
mod tests;
