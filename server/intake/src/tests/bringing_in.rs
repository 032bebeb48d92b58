//! Whole files: separators, headers, limits, prints.

use reckon::block::{Block, Season};
use reckon::figure::RecordKind;

use super::kind;
use crate::{Context, FileKind, FileRead, MOST_PROBLEMS, Parsed, Problem, read_draft, read_file};

fn bring_in(word: &str, text: &str) -> Result<FileRead, Vec<Problem>> {
    read_file(kind(word), text.as_bytes(), &Context::default())
}

fn first_problem(word: &str, text: &str) -> String {
    bring_in(word, text).unwrap_err()[0].to_string()
}

const PICKS: &str = "date,block,bins\n2026-07-20,RB-1,12\n2026-07-20,RB-1,12\n2026-07-21,RB-1,9\n";

#[test]
fn equal_rows_in_one_file_both_count() {
    let read = bring_in("picks", PICKS).unwrap();
    let prints: Vec<[u8; 32]> = read.rows.iter().map(|row| row.print).collect();
    assert_eq!(prints.len(), 3);
    assert!(prints[0] != prints[1] && prints[1] != prints[2] && prints[0] != prints[2]);
}

#[test]
fn a_row_written_differently_keeps_its_print() {
    let again = "bins;note;block;date\n\n12,0;;RB-1;2026-07-20\n9;; RB-1 ;2026-07-21\n12,00;;RB-1;2026-07-20\n";
    let (first, second) = (bring_in("picks", PICKS).unwrap(), bring_in("picks", again).unwrap());
    let sorted = |read: &FileRead| {
        let mut prints: Vec<[u8; 32]> = read.rows.iter().map(|row| row.print).collect();
        prints.sort_unstable();
        prints
    };
    assert_eq!(sorted(&first), sorted(&second));
    assert_ne!(first.sha256, second.sha256);
    assert_eq!(second.remarks, ["semicolons between cells", "commas before decimals"]);
    let elsewhere = bring_in("picks", &PICKS.replace("RB-1", "RB-2")).unwrap();
    assert!(elsewhere.rows.iter().all(|row| !sorted(&first).contains(&row.print)));
}

/// Prints are kept with the rows they belong to: another print for the same row would bring every
/// file in twice. A change here needs a plan for the prints already kept.
#[test]
fn prints_stay_the_same_from_version_to_version() {
    let read = bring_in("picks", PICKS).unwrap();
    let hex = |print: &[u8; 32]| print.iter().fold(String::new(), |hex, byte| format!("{hex}{byte:02x}"));
    assert_eq!(hex(&read.rows[0].print), "b7e518bf059949d6a431cc0def1a24b95e7167af96d48b00fb407eec4734a983");
}

#[test]
fn units_do_not_change_a_print() {
    let fahrenheit = bring_in("weather", "date,station,tmax_f,rain_in\n2026-07-20,River Bend,86,0.25\n").unwrap();
    let celsius = bring_in("weather", "date,station,tmax_c,rain_mm\n2026-07-20,River Bend,30,6.35\n").unwrap();
    assert_eq!(fahrenheit.rows[0].print, celsius.rows[0].print);
    let start = "date,block,sample,fruit_before,fruit_after";
    let inches =
        bring_in("fruit-counts", &format!("{start},shoot_in,fruit_diameter_in\n2026-05-20,RB-1,7,90,20,50,0.5\n"));
    let metric =
        bring_in("fruit-counts", &format!("{start},shoot_cm,fruit_diameter_mm\n2026-05-20,RB-1,7,90,20,127,12.7\n"));
    assert_eq!(inches.unwrap().rows[0].print, metric.unwrap().rows[0].print);
}

#[test]
fn hours_of_each_are_the_hours_of_all() {
    let each = bring_in("labor", "date,block,task,people,hours_each\n2026-05-14,RB-1,thin,12,8\n").unwrap();
    let all = bring_in("labor", "date,block,task,people,hours\n2026-05-14,RB-1,thin,12,96\n").unwrap();
    assert_eq!(each.rows[0].print, all.rows[0].print);
}

#[test]
fn a_place_in_the_spelling_of_the_book_has_the_books_print() {
    let typed = "date,block,bins\n2026-07-20,rb-1,12\n2026-07-20,RB-1,12\n2026-07-21,Rb-1,minus\n";
    let mut draft = read_draft(kind("picks"), typed.as_bytes(), &Context::default());
    draft.spell(kind("picks"), |place| place.block = place.block.take().map(|code| code.to_uppercase()));
    let prints: Vec<[u8; 32]> = draft.rows.iter().map(|row| row.print).collect();
    let known: Vec<[u8; 32]> = bring_in("picks", PICKS).unwrap().rows.iter().map(|row| row.print).take(2).collect();
    assert_eq!(prints, known, "two equal rows, counted");
    assert_eq!((draft.problems.len(), draft.more), (1, 0));
    assert_eq!(draft.unread[0].place.block.as_deref(), Some("RB-1"));
    assert_eq!(draft.unread[0].day.map(|day| day.to_string()).as_deref(), Some("2026-07-21"));
}

#[test]
fn an_accent_is_one_letter_however_it_was_typed() {
    let file = |name: &str| {
        let text = format!("date,block,task,crew,hours\n2026-05-14,RB-1,thin,{name},8\n");
        bring_in("labor", &text).unwrap().rows[0].print
    };
    assert_eq!(file("Nu\u{f1}ez"), file("Nun\u{303}ez"));
}

#[test]
fn headers_may_be_capitals_and_have_blank_ends() {
    let read = bring_in("picks", "Date,Block,Weight LB,,\n2026-07-20,RB-1,\"1,234.5\",,\n,,,,\n").unwrap();
    assert_eq!((read.rows.len(), read.rows[0].line), (1, 2));
    assert_eq!(
        first_problem("picks", "date,block,bins,\n2026-07-20,RB-1,1,x\n"),
        "line 2: read \"x\" in a column without a name, expected a name in the header, for example note"
    );
}

#[test]
fn a_number_that_can_be_read_two_ways_is_refused() {
    let problem = first_problem("picks", "date;block;weight_lb\n2026-07-20;RB-1;1,234\n");
    assert!(problem.contains("read \"1,234\", expected a number that can be read one way only"), "{problem}");
    let shown = "date;block;weight_lb\n2026-07-20;RB-1;1,234\n2026-07-20;RB-1;12,5\n";
    let Parsed::Record(reckon::records::Record::Pick(pick)) = bring_in("picks", shown).unwrap().rows[0].parsed.clone()
    else {
        panic!()
    };
    assert_eq!(pick.weight.unwrap().to_string(), "1.234");
}

#[test]
fn a_known_block_stands_for_the_column() {
    let season = Season::calendar_year(2026).unwrap();
    let block = Block { code: "RB-1".to_owned(), ..Block::default() };
    let context = Context { season: Some(&season), block: Some(&block) };
    let picks = kind("picks");
    let read = read_file(picks, b"date,bins\n2026-07-20,12\n", &context).unwrap();
    assert_eq!(read.rows[0].place.block.as_deref(), Some("RB-1"));
    let other = read_file(picks, b"date,block,bins\n2026-07-20,RB-2,12\n", &context).unwrap_err();
    assert!(other[0].to_string().contains("read \"RB-2\", expected RB-1 or nothing"), "{}", other[0]);
    let outside = read_file(picks, b"date,bins\n2025-07-20,12\n", &context).unwrap_err();
    assert!(outside[0].to_string().contains("2026-01-01 to 2026-12-31"), "{}", outside[0]);
    let mulch = b"date,material,depth_in,share_pct\n2024-03-01,chips,4,30\n";
    assert!(read_file(kind("mulch"), mulch, &context).is_ok());
    assert!(read_file(kind("rates"), b"from,rate,pct\n2025-11-01,payroll,11\n", &context).is_ok());
}

#[test]
fn the_whole_file_or_nothing_and_no_flood_of_problems() {
    let one_bad = format!("{PICKS}2026-07-22,RB-1,minus\n");
    assert_eq!(bring_in("picks", &one_bad).unwrap_err().len(), 1);
    let flood = "date,block,bins\n".to_owned() + &"2026-07-20,RB-1,none\n".repeat(5_000);
    let problems = bring_in("picks", &flood).unwrap_err();
    assert_eq!(problems.len(), MOST_PROBLEMS + 1);
    assert!(problems[MOST_PROBLEMS].to_string().contains("4,800 more problems"));
}

#[test]
fn files_too_large_are_refused() {
    let rows = "date,block,bins\n".to_owned() + &"2026-07-20,RB-1,1\n".repeat(200_001);
    assert!(first_problem("picks", &rows).contains("more than 200,000 rows"));
    let whole = "date,block,bins\n".to_owned() + &"2026-07-20,RB-1,1\n".repeat(200_000);
    assert_eq!(bring_in("picks", &whole).unwrap().rows.len(), 200_000);
    let megabytes = vec![b'x'; 20 * 1024 * 1024 + 1];
    let problems = read_file(FileKind::Records(RecordKind::Pick), &megabytes, &Context::default()).unwrap_err();
    assert!(problems[0].to_string().contains("a file of 21 MB"));
}

#[test]
fn a_header_without_end_is_refused() {
    let header = "date,block,".to_owned() + &"bins,".repeat(1_000_000) + "\n2026-07-20\n";
    assert_eq!(
        first_problem("picks", &header),
        "line 1: read a header of 1,000,003 cells, expected at most 500 columns"
    );
}

#[test]
fn a_cell_of_a_megabyte_is_refused_without_repeating_it() {
    let text = format!("date,block,bins,note\n2026-07-20,RB-1,1,{}\n", "x".repeat(1_048_576));
    let sentence = first_problem("picks", &text);
    let expected =
        "… (1,048,576 characters)\", expected at most 4,000 characters, for example second look due in ten days";
    assert!(sentence.ends_with(expected) && sentence.len() < 250, "{sentence}");
}

#[test]
fn a_farm_or_block_stands_once_in_its_file() {
    let twice = first_problem("farms", "farm\nHome\nHill\nHome\n");
    assert_eq!(twice, "line 4, column farm: read \"Home\", expected each name once: line 2 of farms has it");
    let capitals = first_problem("blocks", "block,farm,crop,variety,acres\nKW-1,H,p,v,1\nkw-1,H,p,v,1\n");
    assert!(capitals.contains("each name once: line 2 of blocks has it"), "{capitals}");
}
