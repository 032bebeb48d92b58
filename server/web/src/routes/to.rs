//! Links: every address a page points to is made here, and a test holds each against the table.

use chrono::NaiveDate;
use intake::FileKind;
use reckon::figure::RecordKind;
use reckon::language::Language;
use store::{BlockId, FarmId, ProgramKeyId, UserId};
use uuid::Uuid;

/// The newest season.
pub fn home() -> String {
    "/".to_owned()
}

/// Sign in.
pub fn sign_in() -> String {
    "/sign-in".to_owned()
}

/// Sign out (POST).
pub fn sign_out() -> String {
    "/sign-out".to_owned()
}

/// First run.
pub fn first_run() -> String {
    "/first-run".to_owned()
}

/// The season table.
pub fn season(year: i32) -> String {
    format!("/season/{year}")
}

/// The list of seasons, and opening one.
pub fn seasons() -> String {
    "/seasons".to_owned()
}

/// The question before a season is closed.
pub fn close_season(year: i32) -> String {
    format!("/season/{year}/close")
}

/// The form that opens a closed season again.
pub fn reopen_season(year: i32) -> String {
    format!("/season/{year}/reopen")
}

/// The question before a season goes that was opened by mistake.
pub fn remove_season(year: i32) -> String {
    format!("/season/{year}/remove")
}

/// Who may do what.
pub fn people() -> String {
    "/people".to_owned()
}

/// A new person.
pub fn add_person() -> String {
    "/people/add".to_owned()
}

/// Role and farms of a person.
pub fn change_person(person: UserId) -> String {
    format!("/people/{person}/change")
}

/// The question before a person goes.
pub fn remove_person(person: UserId) -> String {
    format!("/people/{person}/remove")
}

/// A new one-time password of a person (POST).
pub fn give_password(person: UserId) -> String {
    format!("/people/{person}/password")
}

/// Keys of a person's programs.
pub fn keys_of(person: UserId) -> String {
    format!("/people/{person}/keys")
}

/// The question before a key of somebody else is taken away.
pub fn remove_key_of(person: UserId, key: ProgramKeyId) -> String {
    format!("/people/{person}/keys/{key}/remove")
}

/// One's own password.
pub fn password() -> String {
    "/password".to_owned()
}

/// One's own keys for other programs.
pub fn keys() -> String {
    "/keys".to_owned()
}

/// What a program sends.
pub fn keys_how() -> String {
    "/keys/how".to_owned()
}

/// What programs send and are given, as `OpenAPI`.
pub fn openapi() -> String {
    "/api/openapi.json".to_owned()
}

/// The question before a key is taken away.
pub fn remove_key(key: ProgramKeyId) -> String {
    format!("/keys/{key}/remove")
}

/// Work due.
pub fn due(year: i32) -> String {
    format!("/season/{year}/due")
}

/// Work due in a season, seen on a day.
pub fn due_on(year: i32, on: NaiveDate) -> String {
    format!("/season/{year}/due?on={on}")
}

/// Where the form for a crew's own sheet is sent.
pub fn crew_sheets(year: i32) -> String {
    format!("/season/{year}/due/crew-sheet")
}

/// The crew's sheet of one farm or of all, in a language, as it stands today or on another day.
pub fn crew_sheet(year: i32, farm: Option<FarmId>, language: Language, on: Option<NaiveDate>) -> String {
    let farm = farm.map_or_else(String::new, |farm| format!("&farm={farm}"));
    let on = on.map_or_else(String::new, |day| format!("&on={day}"));
    format!("{}?language={}{farm}{on}", crew_sheets(year), language.word())
}

/// Work due as a calendar file in a language, as it stands today or on another day.
pub fn due_calendar(year: i32, language: Language, on: Option<NaiveDate>) -> String {
    let on = on.map_or_else(String::new, |day| format!("&on={day}"));
    format!("/season/{year}/due.ics?language={}{on}", language.word())
}

/// The operation's windows and limits of field work.
pub fn field_rules(year: i32) -> String {
    format!("/season/{year}/due/windows")
}

/// Crews' weeks and days over every block.
pub fn crews(year: i32) -> String {
    format!("/season/{year}/crews")
}

/// Methods of thinning compared.
pub fn thinning(year: i32) -> String {
    format!("/season/{year}/thinning")
}

/// A farm's season.
pub fn farm(year: i32, farm: FarmId) -> String {
    format!("/season/{year}/farm/{farm}")
}

/// A new farm.
pub fn add_farm(year: i32) -> String {
    format!("/season/{year}/farms/add")
}

/// The form of a farm.
pub fn correct_farm(year: i32, farm: FarmId) -> String {
    format!("/season/{year}/farm/{farm}/correct")
}

/// A new block of a farm.
pub fn add_block(year: i32, farm: FarmId) -> String {
    format!("/season/{year}/farm/{farm}/blocks/add")
}

/// The form of a block.
pub fn correct_block(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/correct")
}

/// Soil and canopy of a block.
pub fn soil(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/soil")
}

/// A block's season.
pub fn block(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}")
}

/// Water of every block.
pub fn season_water(year: i32) -> String {
    format!("/season/{year}/water")
}

/// Water of a farm's blocks.
pub fn farm_water(year: i32, farm: FarmId) -> String {
    format!("/season/{year}/farm/{farm}/water")
}

/// Water of a block by week, day and month.
pub fn water(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/water")
}

/// The statement of the operation, or of one farm.
pub fn statement(year: i32, farm: Option<FarmId>) -> String {
    let farm = farm.map_or_else(String::new, |farm| format!("?farm={farm}"));
    format!("/season/{year}/statement{farm}")
}

/// The statement of a block, with break-even and ranging table.
pub fn block_statement(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/statement")
}

/// Next season of a block, planned from its own seasons.
pub fn next_season(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/next")
}

/// Costs and sharing.
pub fn costs(year: i32) -> String {
    format!("/season/{year}/costs")
}

/// Lines of Schedule F as CSV.
pub fn schedule_f(year: i32) -> String {
    format!("/season/{year}/schedule-f.csv")
}

/// Blocks ranked by return per acre.
pub fn overview(year: i32) -> String {
    format!("/season/{year}/overview")
}

/// Packout and prices.
pub fn packout(year: i32) -> String {
    format!("/season/{year}/packout")
}

/// The mulch ledger.
pub fn mulch(year: i32) -> String {
    format!("/season/{year}/mulch")
}

/// A block's report; `paper` is `letter` or `a4`.
pub fn report_pdf(year: i32, block: BlockId, paper: &str) -> String {
    format!("/season/{year}/block/{block}/report.pdf?paper={paper}")
}

/// The operation's season report; `paper` is `letter` or `a4`.
pub fn operation_pdf(year: i32, paper: &str) -> String {
    format!("/season/{year}/operation.pdf?paper={paper}")
}

/// The operation's season as a spreadsheet.
pub fn operation_xlsx(year: i32) -> String {
    format!("/season/{year}/operation.xlsx")
}

/// The operation's season as JSON.
pub fn operation_json(year: i32) -> String {
    format!("/season/{year}/operation.json")
}

/// A block's season as a spreadsheet.
pub fn season_xlsx(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/season.xlsx")
}

/// A block's reckoned season as JSON.
pub fn season_json(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/season.json")
}

/// A block's water balance by day.
pub fn water_csv(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/water.csv")
}

/// A block's figures, one a row.
pub fn figures_csv(year: i32, block: BlockId) -> String {
    format!("/season/{year}/block/{block}/figures.csv")
}

/// A list of records: a block's, or the whole operation's where `block` is `None`.
pub fn records(year: i32, block: Option<BlockId>, kind: RecordKind) -> String {
    let kind = kind.word();
    match block {
        Some(block) => format!("/season/{year}/block/{block}/{kind}"),
        None => format!("/season/{year}/records/{kind}"),
    }
}

/// A blank form of a kind.
pub fn add(year: i32, block: Option<BlockId>, kind: RecordKind) -> String {
    format!("{}/add", records(year, block, kind))
}

/// The form of one record.
pub fn correct(year: i32, block: Option<BlockId>, kind: RecordKind, id: Uuid) -> String {
    format!("{}/{id}/correct", records(year, block, kind))
}

/// The question before a record goes.
pub fn remove(year: i32, block: Option<BlockId>, kind: RecordKind, id: Uuid) -> String {
    format!("{}/{id}/remove", records(year, block, kind))
}

/// Bring in a file.
pub fn bring_in() -> String {
    "/bring-in".to_owned()
}

/// The columns of every file.
pub fn formats() -> String {
    "/bring-in/formats".to_owned()
}

/// A blank file of a kind: its header.
pub fn format_csv(kind: FileKind) -> String {
    format!("/bring-in/formats/{}.csv", kind.word())
}

/// Where the figures come from: every outside check with its source.
pub fn sources() -> String {
    "/sources".to_owned()
}

/// How figures are reckoned.
pub fn how() -> String {
    "/how".to_owned()
}

/// A formula on that page, by its name.
pub fn explained(id: &str) -> String {
    format!("/how#how-{id}")
}

/// Who changed what.
pub fn changes() -> String {
    "/changes".to_owned()
}

/// A file served by us, with its content's hash: it may be cached for ever.
pub fn asset(name: &str) -> String {
    crate::assets::link(name)
}
