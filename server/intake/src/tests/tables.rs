//! The tables of columns against the readers and printers that use them.

use proptest::prelude::*;
use proptest::sample::select;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use reckon::figure::RecordKind;

use super::generators;
use crate::{Context, Fields, FileKind, Input, Parsed, blank, columns, print, read_file, read_form};

/// Fields that say a row again: the printed ones and the place of its kind.
fn fields(kind: FileKind, parsed: &Parsed) -> Fields {
    let place = match kind {
        FileKind::Records(RecordKind::Weather) => Some(("station", "River Bend")),
        FileKind::Farms
        | FileKind::Blocks
        | FileKind::Records(RecordKind::Price | RecordKind::Rate | RecordKind::Size | RecordKind::ThinningTarget) => {
            None
        }
        FileKind::Records(_) => Some(("block", "RB-1")),
    };
    let place = place.map(|(name, value)| (name.to_owned(), value.to_owned()));
    print(parsed).into_iter().map(|(name, value)| (name.to_owned(), value)).chain(place).collect()
}

fn any_parsed() -> impl Strategy<Value = (FileKind, Parsed)> {
    let records = select(RecordKind::ALL.to_vec()).prop_flat_map(|kind| {
        generators::record(kind).prop_map(move |record| (FileKind::Records(kind), Parsed::Record(record)))
    });
    prop_oneof![
        12 => records,
        1 => generators::farm().prop_map(|farm| (FileKind::Farms, Parsed::Farm(farm))),
        2 => (generators::text(), generators::block())
            .prop_map(|(farm, block)| (FileKind::Blocks, Parsed::Block { farm, block })),
    ]
}

fn csv_of(fields: &[(String, String)], separator: u8) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().delimiter(separator).from_writer(vec![]);
    writer.write_record(fields.iter().map(|(name, _)| name)).unwrap();
    writer.write_record(fields.iter().map(|(_, value)| value)).unwrap();
    writer.into_inner().unwrap()
}

/// Shown in full when it differs: the problems, not only that there were some.
fn check_round_trip(kind: FileKind, parsed: &Parsed) {
    let read = read_form(kind, &fields(kind, parsed), &Context::default());
    match read {
        Ok((_, again)) => assert_eq!(&again, parsed),
        Err(problems) => {
            panic!("{parsed:?}\n{}", problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
        }
    }
}

/// Every kind by name, so that a failure names it and none is left to chance.
#[test]
fn every_kind_reads_back_what_it_prints() {
    let mut runner = TestRunner::deterministic();
    for kind in RecordKind::ALL {
        let strategy = generators::record(kind);
        for _ in 0..200 {
            let record = strategy.new_tree(&mut runner).unwrap().current();
            check_round_trip(FileKind::Records(kind), &Parsed::Record(record));
        }
    }
}

proptest! {
    #[test]
    fn a_form_reads_back_what_was_printed((kind, parsed) in any_parsed()) {
        check_round_trip(kind, &parsed);
    }

    /// A file with commas and one with semicolons say the same, in any order of columns; the row
    /// keeps its print.
    #[test]
    fn a_file_reads_back_what_was_printed((kind, parsed) in any_parsed()) {
        let mut fields = fields(kind, &parsed);
        let first = read_file(kind, &csv_of(&fields, b','), &Context::default()).unwrap();
        prop_assert_eq!(&first.rows[0].parsed, &parsed);
        fields.reverse();
        let second = read_file(kind, &csv_of(&fields, b';'), &Context::default()).unwrap();
        prop_assert_eq!(&second.rows[0].parsed, &parsed);
        prop_assert_eq!(first.rows[0].print, second.rows[0].print);
    }

    #[test]
    fn printed_columns_stand_in_the_table_in_its_order((kind, parsed) in any_parsed()) {
        let names: Vec<&str> = columns(kind).iter().map(|column| column.name).collect();
        let places: Vec<usize> = print(&parsed)
            .iter()
            .map(|(name, _)| names.iter().position(|known| known == name).unwrap())
            .collect();
        prop_assert!(places.is_sorted(), "{:?}", print(&parsed));
    }

    /// Nothing that can be typed or sent makes reading panic.
    #[test]
    fn no_bytes_break_it(bytes in prop::collection::vec(any::<u8>(), 0..200), kind in select(FileKind::all().collect::<Vec<_>>())) {
        let _ = read_file(kind, &bytes, &Context::default());
        let mut csv = blank(kind).into_bytes();
        csv.extend(bytes);
        let _ = read_file(kind, &csv, &Context::default());
    }

    #[test]
    fn no_cell_breaks_it(texts in prop::collection::vec("[-0-9.,$()e%/ A-Za-zñ\u{a0}]{0,12}", 80), kind in select(FileKind::all().collect::<Vec<_>>())) {
        let fields: Fields = columns(kind).iter().zip(texts).map(|(column, text)| (column.name.to_owned(), text)).collect();
        if let Ok((_, parsed)) = read_form(kind, &fields, &Context::default()) {
            check_round_trip(kind, &parsed);
        }
    }
}

/// An example that the column itself refuses would mislead whoever follows it.
#[test]
fn every_example_is_accepted_by_its_column() {
    for kind in FileKind::all() {
        for column in columns(kind) {
            let typed = vec![(column.name.to_owned(), column.example.to_owned())];
            let problems = read_form(kind, &typed, &Context::default()).err().unwrap_or_default();
            let refused = problems.iter().find(|problem| {
                problem.column.as_deref() == Some(column.name) && !problem.expected.starts_with("nothing here")
            });
            assert!(refused.is_none(), "{}: {}", kind.word(), refused.unwrap());
        }
    }
}

#[test]
fn every_column_is_documented_and_named_once() {
    for kind in FileKind::all() {
        let columns = columns(kind);
        let mut names: Vec<&str> = columns.iter().map(|column| column.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), columns.len(), "{}", kind.word());
        for column in columns {
            let about = column.about;
            assert!(about.ends_with('.') && !column.example.is_empty(), "{} {}", kind.word(), column.name);
            assert!(column.label.chars().count() <= 40, "{} {}", kind.word(), column.label);
            if let Input::Choice(words) = column.input {
                assert!(words.contains(&column.example), "{} {}", kind.word(), column.name);
            }
        }
        assert_eq!(FileKind::from_word(kind.word()), Some(kind));
    }
}

/// Column names and their order are a promise to whoever keeps files: a change shows here.
#[test]
fn blank_files() {
    let labor = "date,block,task,method,pass,crew,people,hours_each,hours,overtime_hours,overtime_multiplier_pct,pay,\
                 wage_usd_per_hour,pieces,piece_usd,contract_usd,payroll_pct,commission_pct,trees_done,rows_done,note\n";
    assert_eq!(blank(FileKind::Records(RecordKind::Labor)), labor);
    let blocks = "block,farm,crop,variety,planted_year,first_season,last_season,acres,trees,row_spacing_ft,row_spacing_m,tree_spacing_ft,tree_spacing_m,rows,emitter,\
                  emitters_per_tree,emitter_flow_gph,ripening_from,ripening_to,needs_pollinizer,pollinizer,\
                  pollinizer_trees,target_fruit_per_tree,soil\n";
    assert_eq!(blank(FileKind::Blocks), blocks);
    assert_eq!(blank(FileKind::Records(RecordKind::Rate)), "from,rate,task,usd_per_hour,pct,usd_per_acre_foot,note\n");
}
