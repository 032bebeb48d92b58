//! `block.toml`: the block of a folder, read by the same row parser as a line of a CSV file.

use reckon::block::{Block, Farm, Season, SeasonState};
use reckon::water::setup;
use toml::de::{DeTable, DeValue};

use crate::Context;
use crate::column::{Column, Input, number, text};
use crate::kinds::{FileKind, blocks, columns, farms};
use crate::nearest::nearest;
use crate::number::Mark;
use crate::problem::{Problem, Problems, shown};
use crate::row::{Cell, DateRule, Row, from, key_name, key_of};

/// What `block.toml` says.
#[derive(Debug, PartialEq)]
pub(crate) struct BlockFile {
    pub(crate) operation: String,
    pub(crate) farm: Farm,
    pub(crate) block: Block,
    pub(crate) season: Season,
}

const SECTIONS: [&str; 4] = ["farm", "block", "season", "water"];
const OPERATION: Column =
    text("operation", "Operation", "Name of the operation. Blank = not said.", "Dry Creek Orchards");
const SEASON: &[Column] = &[
    number("year", "Year", "", "Year of the harvest.", "2026").required(),
    Column { input: Input::Date, ..text("first_day", "First day", "Blank = 1 January.", "2026-01-01") },
    Column { input: Input::Date, ..text("last_day", "Last day", "Blank = 31 December.", "2026-12-31") },
];

/// Reads the file, or every problem in it.
pub(crate) fn read(bytes: &[u8]) -> Result<BlockFile, Problems> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let Ok(source) = core::str::from_utf8(bytes) else {
        let expected = "a text file saved as UTF-8";
        return Err(Problems::one(Problem::of_file(None, "bytes that are no UTF-8 text", expected, "acres = 15.4")));
    };
    let root = DeTable::parse(source).map_err(|error| Problems::one(not_toml(source, &error)))?;
    let mut reading = Reading { source, problems: Problems::default() };
    let file = reading.file(root.get_ref());
    match file {
        Some(file) if reading.problems.count() == 0 => Ok(file),
        _ => Err(reading.problems),
    }
}

fn not_toml(source: &str, error: &toml::de::Error) -> Problem {
    let line = error.span().map(|span| line_of(source, span.start));
    let read = format!("a line that is no TOML ({})", shown_message(error.message()));
    Problem::of_file(line, &read, "a [table], or a key, an equals sign and a value", "acres = 15.4")
}

/// The library's first line; the place is said by us.
fn shown_message(message: &str) -> &str {
    message.lines().next().unwrap_or_default()
}

fn line_of(source: &str, at: usize) -> u32 {
    let breaks = source.bytes().take(at).filter(|byte| *byte == b'\n').count();
    u32::try_from(breaks).unwrap_or(u32::MAX).saturating_add(1)
}

struct Reading<'s> {
    source: &'s str,
    problems: Problems,
}

impl Reading<'_> {
    fn file(&mut self, root: &DeTable<'_>) -> Option<BlockFile> {
        self.check_top(root);
        let operation = self.operation(root);
        let farm = self.farm(root);
        let block = self.block(root);
        let season = self.season(root);
        Some(BlockFile { operation, farm: farm?, block: block?, season: season? })
    }

    fn check_top(&mut self, root: &DeTable<'_>) {
        for (key, value) in root {
            let name = key.get_ref().as_ref();
            let is_table = matches!(value.get_ref(), DeValue::Table(_));
            let known = SECTIONS.contains(&name);
            if name == OPERATION.name || known && is_table {
                continue;
            }
            let expected = match nearest(name, SECTIONS.into_iter().chain([OPERATION.name])) {
                Some(_) if known => format!("a table: [{name}] on a line of its own"),
                Some(near) => format!("operation, [farm], [block], [season] or [water], perhaps {near}"),
                None => "operation, [farm], [block], [season] or [water]".to_owned(),
            };
            let line = Some(line_of(self.source, key.span().start));
            self.problems.add(Problem::of_file(line, &format!("\"{}\"", shown(name)), &expected, "[block]"));
        }
    }

    fn operation(&mut self, root: &DeTable<'_>) -> String {
        let Some((key, value)) = root.iter().find(|(key, _)| key.get_ref() == OPERATION.name) else {
            return String::new();
        };
        let text = self.text_of(value.get_ref(), &OPERATION, value.span(), OPERATION.name.to_owned());
        let line = Some(line_of(self.source, key.span().start));
        let cell = text.map(|text| Cell { line, ..Cell::plain(OPERATION.name, text) });
        let columns = [OPERATION];
        let mut row = self.row(&columns, cell.into_iter().collect(), line);
        row.check_texts();
        row.text(OPERATION.name)
    }

    /// No farm at all is a farm without a name: a block can be reckoned without one.
    fn farm(&mut self, root: &DeTable<'_>) -> Option<Farm> {
        let columns = columns(FileKind::Farms);
        let Some((cells, line)) = self.cells(root, "farm", &columns) else { return Some(Farm::default()) };
        let mut row = self.row(&columns, cells, Some(line)).in_section("farm");
        row.check_texts();
        row.check_required(&[]);
        farms::read(&mut row)
    }

    /// `[block]` and `[water]` together are the columns of a file of blocks, but for the farm.
    fn block(&mut self, root: &DeTable<'_>) -> Option<Block> {
        let all = columns(FileKind::Blocks);
        let own: Vec<Column> = all.iter().copied().filter(|column| column.name != "farm").collect();
        let is_water = |column: &&Column| column.name == "soil" || setup::by_name(column.name).is_some();
        let water: Vec<Column> = all.iter().filter(is_water).copied().collect();
        let Some((mut cells, line)) = self.cells(root, "block", &own) else {
            self.problems.add(Problem::of_file(
                None,
                "no [block]",
                "a table [block] with block, crop, variety, acres",
                "[block]",
            ));
            return None;
        };
        cells.extend(self.cells(root, "water", &water).into_iter().flat_map(|(cells, _)| cells));
        let mut row = self.row(&all, cells, Some(line)).in_section("block");
        row.check_texts();
        row.check_required(&["farm"]);
        blocks::read(&mut row).map(|(_, block)| block)
    }

    fn season(&mut self, root: &DeTable<'_>) -> Option<Season> {
        let Some((cells, line)) = self.cells(root, "season", SEASON) else {
            self.problems.add(Problem::of_file(None, "no [season]", "a table [season] with the year", "year = 2026"));
            return None;
        };
        let mut row = self.row(SEASON, cells, Some(line)).in_section("season");
        row.check_texts();
        row.check_required(&[]);
        let year = row.whole("year", from(1_900.0).up_to(2_200.0));
        let (first, last) = (row.date("first_day", DateRule::Any), row.date("last_day", DateRule::Any));
        let calendar = Season::calendar_year(i32::try_from(year?).ok()?)?;
        let season = Season {
            first_day: first.unwrap_or(calendar.first_day),
            last_day: last.unwrap_or(calendar.last_day),
            state: SeasonState::Open,
            ..calendar
        };
        check_days(&mut row, &season, &calendar);
        Some(season)
    }

    fn row<'r>(&'r mut self, columns: &'r [Column], cells: Vec<Cell>, line: Option<u32>) -> Row<'r> {
        Row::new(columns, cells, line, Mark::Point, Context::default(), &mut self.problems)
    }

    /// The cells of a table and the line of its head; unknown keys and wrong types are problems.
    fn cells(&mut self, root: &DeTable<'_>, section: &'static str, columns: &[Column]) -> Option<(Vec<Cell>, u32)> {
        let (head, value) = root.iter().find(|(key, _)| key.get_ref() == section)?;
        let DeValue::Table(table) = value.get_ref() else { return None };
        let mut cells = Vec::new();
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            let line = line_of(self.source, key.span().start);
            let column = columns.iter().find(|column| key_of(section, column.name) == name);
            let Some(column) = column else {
                self.unknown_key(section, name, line, columns);
                continue;
            };
            let shown = key_name(section, column.name);
            let text = self.text_of(value.get_ref(), column, value.span(), shown.clone());
            let refused = text.is_none();
            let text = text.unwrap_or_else(|| column.example.to_owned());
            cells.push(Cell { name: column.name, shown: Some(shown), line: Some(line), text, refused });
        }
        // Keys come in the order of their names; problems should come in the order of the file.
        cells.sort_by_key(|cell| cell.line);
        Some((cells, line_of(self.source, head.span().start)))
    }

    fn unknown_key(&mut self, section: &str, name: &str, line: u32, columns: &[Column]) {
        let names: Vec<&str> = columns.iter().map(|column| key_of(section, column.name)).collect();
        let near = nearest(name, names.iter().copied()).map(|near| format!("a key of [{section}], perhaps {near}"));
        let expected = near.unwrap_or_else(|| {
            let plain = names.into_iter().filter(|name| section == "water" || setup::by_name(name).is_none());
            format!("a key of [{section}]: {}", plain.collect::<Vec<_>>().join(", "))
        });
        let column = Some(format!("[{section}] {}", shown(name)));
        self.problems.add(Problem { line: Some(line), column, read: shown(name), expected, example: String::new() });
    }

    /// The text of a value whose type fits the column.
    fn text_of(
        &mut self,
        value: &DeValue<'_>,
        column: &Column,
        span: core::ops::Range<usize>,
        shown_name: String,
    ) -> Option<String> {
        let is_number = matches!(column.input, Input::Number { .. });
        match value {
            DeValue::Integer(number) if is_number => return Some(number.to_string()),
            DeValue::Float(number) if is_number => return Some(number.to_string()),
            DeValue::Datetime(day) if column.input == Input::Date => return Some(day.to_string()),
            DeValue::String(text) if !is_number => return Some(text.to_string()),
            _ => {}
        }
        let (expected, example) = match column.input {
            Input::Number { .. } => ("a number without quotes", column.example.to_owned()),
            Input::Date => ("a day", column.example.to_owned()),
            _ => ("a text in quotes", format!("\"{}\"", column.example)),
        };
        self.problems.add(Problem {
            line: Some(line_of(self.source, span.start)),
            column: Some(shown_name),
            read: shown(self.source.get(span).unwrap_or_default()),
            expected: expected.to_owned(),
            example,
        });
        None
    }
}

fn check_days(row: &mut Row<'_>, season: &Season, calendar: &Season) {
    if season.last_day < season.first_day {
        let name = if row.has("last_day") { "last_day" } else { "first_day" };
        row.problem(name, format!("a season from {} on that ends after it begins", season.first_day));
    } else if season.last_day < calendar.first_day || season.first_day > calendar.last_day {
        row.problem("year", format!("a year within the season, {} to {}", season.first_day, season.last_day));
    } else if (season.last_day - season.first_day).num_days() >= 732 {
        row.problem("last_day", "a season of at most two years");
    }
}
