//! Season figures and the daily water balance as CSV.

use reckon::schedule::{SALES, ScheduleF, Tie};
use reckon::season::BlockSeason;
use reckon::water::run::{WaterDay, WaterRuns};
use serde_json::Value;

use crate::json;

/// A column and its value on a day.
type DailyColumn = (&'static str, fn(&WaterDay) -> f64);

/// Columns of the daily water balance after `run` and `date`, each with its value.
const DAILY: [DailyColumn; 28] = [
    ("eto_mm", |day| day.eto_mm),
    ("kcb", |day| day.kcb),
    ("kc_max", |day| day.kc_max),
    ("fc", |day| day.fc),
    ("fw", |day| day.fw),
    ("few", |day| day.few),
    ("de_end_mm", |day| day.de_end_mm),
    ("kr", |day| day.kr),
    ("ke", |day| day.ke),
    ("e_mm", |day| day.e_mm),
    ("dpe_mm", |day| day.dpe_mm),
    ("etc_mm", |day| day.etc_mm),
    ("taw_mm", |day| day.taw_mm),
    ("p", |day| day.p),
    ("raw_mm", |day| day.raw_mm),
    ("ks", |day| day.ks),
    ("eta_mm", |day| day.eta_mm),
    ("t_mm", |day| day.t_mm),
    ("dp_mm", |day| day.dp_mm),
    ("dr_end_mm", |day| day.dr_end_mm),
    ("irrigation_gross_mm", |day| day.irrigation_gross_mm),
    ("irrigation_loss_mm", |day| day.irrigation_loss_mm),
    ("rain_mm", |day| day.rain_mm),
    ("runoff_mm", |day| day.runoff_mm),
    ("rain_left_out_mm", |day| day.rain_left_out_mm),
    ("capillary_rise_mm", |day| day.capillary_rise_mm),
    ("unmet_mm", |day| day.unmet_mm),
    ("mulch_factor", |day| day.mulch_factor),
];

/// Every day of the four runs. Numbers are the shortest that read back the same.
pub fn daily(runs: &WaterRuns) -> String {
    let mut table = Table::new();
    table.row(["run", "date"].into_iter().chain(DAILY.iter().map(|(name, _)| *name)));
    for (run, days) in [
        ("as_irrigated", &runs.as_irrigated),
        ("as_irrigated_bare", &runs.as_irrigated_bare),
        ("by_rule", &runs.by_rule),
        ("by_rule_bare", &runs.by_rule_bare),
    ] {
        for day in days {
            let values = DAILY.iter().map(|(_, value)| (value(day) + 0.0).to_string());
            table.row([run.to_owned(), day.date.to_string()].into_iter().chain(values));
        }
    }
    table.text()
}

/// Every figure of the season, one a line: `section,key,value,unit,evidence,n,incomplete`.
/// The last cell says what a figure leaves out: `1 entry lacks a wage`.
///
/// It reads the season's JSON, so the two cannot disagree.
pub fn figures(season: &BlockSeason) -> String {
    let mut table = Table::new();
    table.row(["section", "key", "value", "unit", "evidence", "n", "incomplete"]);
    let body = json::body(season, false);
    for section in ["headline", "labor", "thinning", "water", "mulch", "packout"] {
        if let Some(value) = body.get(section) {
            walk(&mut table, section, "", value);
        }
    }
    // The statement keeps the order in which it is read.
    for line in &season.statement.lines {
        let key = line.key.word();
        if let Some(value) = body.pointer(&format!("/statement/lines/{key}")) {
            walk(&mut table, "statement", key, value);
        }
    }
    for part in ["unsettled", "break_even"] {
        if let Some(value) = body.pointer(&format!("/statement/{part}")) {
            walk(&mut table, "statement", part, value);
        }
    }
    table.text()
}

/// Whether a file is one of [`figures`] or [`daily`]: what a folder of records may hold beside them.
pub fn is_ours(file: &[u8]) -> bool {
    file.starts_with(b"section,key,value,unit,evidence,n") || file.starts_with(b"run,date,eto_mm,kcb,")
}

/// Schedule F (Form 1040) as suggested: `line,name,what,amount_usd,comment`. Each line's sum comes
/// first, with a blank `what`; then what a person must place, and what never goes on the form.
pub fn schedule_f(form: &ScheduleF, tie: &Tie) -> String {
    let mut table = Table::new();
    table.row(["line", "name", "what", "amount_usd", "comment"]);
    let sales = form.sales.to_string();
    table.row([SALES.number, SALES.name, "", &sales, "Gross of settlements, before what packers kept back."]);
    for line in &form.lines {
        table.row([line.line.number, line.line.name, "", &line.amount.to_string(), ""]);
        for (what, amount, comment) in &line.parts {
            table.row([line.line.number, line.line.name, &as_text(what), &amount.to_string(), comment]);
        }
    }
    for (what, amount) in &form.to_choose {
        table.row(["", "choose a line", &as_text(what), &amount.to_string(), "Its words do not say which line."]);
    }
    for (what, amount, why) in &form.left_out {
        table.row(["none", "not on the form", &as_text(what), &amount.to_string(), why]);
    }
    for (what, amount) in tie.steps() {
        table.row(["", "from the form to the statement", what, &amount.to_string(), ""]);
    }
    table.row(["", "", "", "", "Suggested only, after the form of 2021. The bookkeeper decides."]);
    table.text()
}

fn walk(table: &mut Table, section: &str, key: &str, value: &Value) {
    match value {
        Value::Object(map) if map.contains_key("value") => {
            let cell = |name| map.get(name).map(plain).unwrap_or_default();
            let (value, unit, evidence, n) = (cell("value"), cell("unit"), cell("evidence"), cell("n"));
            table.row([section, &as_text(key), &value, &unit, &evidence, &n, &cell("incomplete")]);
        }
        Value::Object(map) => {
            for (name, inner) in map {
                walk(table, section, &joined(key, name), inner);
            }
        }
        Value::Array(list) => {
            for (n, inner) in list.iter().enumerate() {
                let name = inner.get("name").and_then(Value::as_str).map_or_else(|| (n + 1).to_string(), str::to_owned);
                walk(table, section, &joined(key, &name), inner);
            }
        }
        _ => {}
    }
}

/// A person's own words as a spreadsheet must read them: as text. A cell that begins like a formula
/// gets an apostrophe in front, which spreadsheets take for "this is text". Never for numbers.
fn as_text(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']);
    if formula { format!("'{text}") } else { text.to_owned() }
}

fn joined(key: &str, name: &str) -> String {
    if key.is_empty() { name.to_owned() } else { format!("{key}.{name}") }
}

fn plain(value: &Value) -> String {
    if value.is_null() {
        return String::new();
    }
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

/// CSV being written into memory, which cannot fail.
struct Table(::csv::Writer<Vec<u8>>);

impl Table {
    fn new() -> Self {
        Self(::csv::Writer::from_writer(Vec::new()))
    }

    fn row<I: IntoIterator<Item: AsRef<[u8]>>>(&mut self, cells: I) {
        let _ = self.0.write_record(cells);
    }

    fn text(self) -> String {
        self.0.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use reckon::season::Statement;

    use super::*;
    use crate::samples;

    fn rows(text: &str) -> Vec<Vec<String>> {
        let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn the_daily_balance_has_its_columns() {
        let head = "run,date,eto_mm,kcb,kc_max,fc,fw,few,de_end_mm,kr,ke,e_mm,dpe_mm,etc_mm,taw_mm,p,raw_mm,ks,\
                    eta_mm,t_mm,dp_mm,dr_end_mm,irrigation_gross_mm,irrigation_loss_mm,rain_mm,runoff_mm,\
                    rain_left_out_mm,capillary_rise_mm,unmet_mm,mulch_factor";
        let empty = daily(&WaterRuns::default());
        assert_eq!(empty, format!("{head}\n"));
        let text = daily(&samples::full().water.runs.unwrap());
        assert!(text.starts_with(&format!("{head}\nas_irrigated,2026-04-06,")));
        assert_eq!(rows(&text).len(), 1 + 4 * 182);
    }

    #[test]
    fn our_own_files_are_told_from_records() {
        let season = samples::full();
        assert!(is_ours(figures(&season).as_bytes()));
        assert!(is_ours(daily(&season.water.runs.unwrap()).as_bytes()));
        for other in ["", "date,block,task,people\n", "section,key\n", "run,date\n"] {
            assert!(!is_ours(other.as_bytes()), "{other}");
        }
    }

    #[test]
    fn daily_numbers_read_back_the_same() {
        let runs = samples::full().water.runs.unwrap();
        let table = rows(&daily(&runs));
        let days =
            runs.as_irrigated.iter().chain(&runs.as_irrigated_bare).chain(&runs.by_rule).chain(&runs.by_rule_bare);
        for (row, day) in table.iter().skip(1).zip(days) {
            assert_eq!(row[1], day.date.to_string());
            for (cell, (name, value)) in row[2..].iter().zip(DAILY) {
                assert_eq!(cell.parse::<f64>().unwrap().to_bits(), value(day).to_bits(), "{name}");
            }
        }
        let runs_named: Vec<&str> = table.iter().skip(1).step_by(182).map(|row| row[0].as_str()).collect();
        assert_eq!(runs_named, ["as_irrigated", "as_irrigated_bare", "by_rule", "by_rule_bare"]);
    }

    #[test]
    fn every_figure_is_one_row_of_its_own() {
        for (name, season) in samples::all() {
            let table = rows(&figures(&season));
            assert_eq!(table[0], ["section", "key", "value", "unit", "evidence", "n", "incomplete"]);
            let mut keys: Vec<(&str, &str)> = table.iter().map(|row| (row[0].as_str(), row[1].as_str())).collect();
            let all = keys.len();
            keys.sort_unstable();
            keys.dedup();
            assert_eq!(keys.len(), all, "{name}: a key stands twice");
        }
    }

    #[test]
    fn the_form_lists_lines_questions_and_what_stays_out() {
        let fuel = *reckon::schedule::line("19").unwrap();
        let dollars = |n: i64| reckon::money::Money::from_cents(n * 100);
        let form = ScheduleF {
            sales: dollars(9_000),
            lines: vec![reckon::schedule::ScheduleLine {
                line: fuel,
                amount: dollars(300),
                parts: vec![("diesel, dyed".to_owned(), dollars(300), "")],
            }],
            to_choose: vec![("materials".to_owned(), dollars(-20))],
            left_out: vec![("land".to_owned(), dollars(700), "An economic cost.")],
            mulch: dollars(0),
        };
        let table = rows(&schedule_f(&form, &form.tie(&Statement::default())));
        let cells: Vec<(&str, &str, &str)> =
            table.iter().map(|row| (row[0].as_str(), row[2].as_str(), row[3].as_str())).collect();
        assert_eq!(
            cells[1..6],
            [
                ("2", "", "9000.00"),
                ("19", "", "300.00"),
                ("19", "diesel, dyed", "300.00"),
                ("", "materials", "-20.00"),
                ("none", "land", "700.00"),
            ]
        );
        let tied: Vec<(&str, &str)> = cells[6..].iter().map(|(_, what, amount)| (*what, *amount)).collect();
        assert_eq!(
            tied[..3],
            [("On the form's lines", "300.00"), ("Waiting for a line", "-20.00"), ("Not on the form", "700.00")]
        );
        assert_eq!(tied[4], ("Costs of the statement: gross less return over all costs", "0.00"));
    }

    /// What a person typed: separators, quotes, line breaks, and beginnings of spreadsheet formulas.
    const TYPED: [&str; 8] =
        ["a,b", "6\" class", "two\nlines", "=1+1", "+1", "-1", "@SUM(A1)", "\t=HYPERLINK(\"http://x.test\")"];

    #[test]
    fn what_a_person_typed_stays_one_cell_and_no_formula() {
        for typed in TYPED {
            let mut season = samples::full();
            for cell in season.packout.sizes.iter_mut().chain(&mut season.packout.cells).take(1) {
                cell.size_class = Some(typed.to_owned());
            }
            let table = rows(&figures(&season));
            assert!(table.iter().all(|row| row.len() == table[0].len()), "{typed:?}");
            assert!(table.iter().any(|row| row[1].contains(typed)), "{typed:?} is nowhere");
            for row in &table {
                assert!(!row[1].starts_with(['=', '+', '-', '@', '\t', '\r']), "{typed:?}: {row:?}");
            }
            let form = ScheduleF {
                sales: reckon::money::Money::ZERO,
                lines: Vec::new(),
                to_choose: vec![(typed.to_owned(), reckon::money::Money::from_cents(-200_000))],
                left_out: vec![(typed.to_owned(), reckon::money::Money::from_cents(1), "An economic cost.")],
                mulch: reckon::money::Money::ZERO,
            };
            let table = rows(&schedule_f(&form, &form.tie(&Statement::default())));
            assert!(table.iter().all(|row| row.len() == table[0].len()), "{typed:?}");
            for row in &table[2..4] {
                assert_eq!(row[2], as_text(typed));
                assert!(!row[2].starts_with(['=', '+', '-', '@', '\t']), "{typed:?}");
            }
            assert_eq!(table[2][3], "-2000.00", "an amount stays a number");
        }
    }

    #[test]
    fn the_statement_keeps_its_order() {
        let season = samples::full();
        let table = rows(&figures(&season));
        let amounts: Vec<&str> =
            table.iter().filter(|row| row[0] == "statement").filter_map(|row| row[1].strip_suffix(".amount")).collect();
        let keys: Vec<&str> = season.statement.lines.iter().map(|line| line.key.word()).collect();
        assert_eq!(amounts, keys);
    }
}
