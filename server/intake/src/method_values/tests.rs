//! Tables of methods.

use super::*;

fn table(text: &str) -> Result<MethodValues, Vec<String>> {
    read_method_values(text.as_bytes()).map_err(|problems| problems.iter().map(ToString::to_string).collect())
}

fn read(text: &str) -> Result<Vec<Value>, Vec<String>> {
    table(text).map(|table| table.values)
}

#[test]
fn values_close_together_are_what_was_typed_less_the_middle_one() {
    let big = table("unit,method,value\nA,x,1000000000000.1\nB,x,1000000000000.4\nC,x,1000000000000.2\n").unwrap();
    assert_eq!(big.origin.to_string(), "1000000000000.2");
    assert_eq!(big.values.iter().map(|row| row.value).collect::<Vec<_>>(), [-0.1, 0.2, 0.0]);
    let found = big.put_back(reckon::compare::methods(&big.values[..2], reckon::compare::Pairing::SharedUnits));
    assert_eq!(found.methods[0].sample.mean.to_string(), "1000000000000.25");
    // Values of unlike size, and none that are close, keep zero.
    for rows in ["A,x,999999999999999\nB,x,0.1\nC,x,0.2", "A,x,-1\nB,x,0\nC,x,1", "A,x,0"] {
        assert_eq!(table(&format!("unit,method,value\n{rows}\n")).unwrap().origin, Decimal::ZERO, "{rows}");
    }
}

#[test]
fn one_name_however_it_was_typed_stands_as_it_was_first() {
    let rows = read("block,unit,method,value\nNorth,Café,By hand,1\n north,CAFE\u{301}2,by  HAND,2\n").unwrap();
    assert_eq!((rows[0].method.as_str(), rows[1].method.as_str()), ("By hand", "By hand"));
    assert_eq!(rows[1].block.as_deref(), Some("North"));
    let problems = read("unit,method,value\nCafé,x,1\nCAFE\u{301},X ,2\n").unwrap_err();
    assert!(problems[0].starts_with("line 3, column unit: "), "{problems:?}");
    assert!(problems[0].contains("line 2"), "{problems:?}");
}

#[test]
fn columns_stand_in_any_order_and_numbers_in_any_custom() {
    let rows = read("value;Unit;METHOD\n1.234,5;KW-2;by hand\n\n-3;KW-2;cuts\n").unwrap();
    assert_eq!(rows[0], Value { unit: "KW-2".into(), block: None, method: "by hand".into(), value: 1234.5 });
    assert!((rows[1].value + 3.0).abs() < f64::EPSILON);
}

#[test]
fn every_problem_has_its_line_and_column() {
    let problems = read("unit,method,value\nA,x,1\nA,x,2\n,x,3\nB,,4\nB,x,1f3\nC,x\nD,x,\n").unwrap_err();
    let starts = [
        "line 3, column unit: ",
        "line 4, column unit: read nothing",
        "line 5, column method: read nothing",
        "line 6, column value: read \"1f3\"",
        "line 7: read 2 cells",
        "line 8, column value: read nothing",
    ];
    assert_eq!(problems.len(), starts.len(), "{problems:?}");
    for (problem, start) in problems.iter().zip(starts) {
        assert!(problem.starts_with(start), "{problem}");
    }
    assert!(problems[0].contains("line 2 has A under x"), "{}", problems[0]);
}

#[test]
fn a_header_says_what_is_missing_and_what_was_meant() {
    let problems = read("units,method,note\nA,x,1\n").unwrap_err();
    assert!(problems[0].contains("perhaps unit"), "{problems:?}");
    assert!(problems.iter().any(|problem| problem.contains("column value")), "{problems:?}");
    assert!(read("unit,method,value\n").unwrap_err()[0].contains("at least one row"));
    for empty in ["", "\n\n", "\u{feff}\n"] {
        let problems = read(empty).unwrap_err();
        assert!(problems.len() == 1 && problems[0].contains("unit,method,value"), "{problems:?}");
    }
    assert!(read("unit,method,unit,value\nA,x,A,1\n").unwrap_err()[0].contains("once only"));
}

#[test]
fn a_block_may_be_named_and_then_is_named_everywhere() {
    let rows = read("block,unit,method,value\nnorth,1,x,1\nsouth,1,x,2\n").unwrap();
    assert_eq!(rows[1].block.as_deref(), Some("south"));
    let problems = read("block,unit,method,value\nnorth,1,x,1\nnorth,1,x,2\n,1,y,2\n").unwrap_err();
    assert!(problems[0].starts_with("line 3, column unit: "), "{problems:?}");
    assert!(problems[1].starts_with("line 4, column block: read nothing"), "{problems:?}");
}

#[test]
fn what_is_no_plain_number_is_refused_and_a_byte_order_mark_is_not() {
    for odd in ["NaN", "inf", "-Infinity", "1e308", "1e-99", "0x10", "--1", "1/2", "$5", "12%", &"9".repeat(400)] {
        let problems = read(&format!("unit,method,value\nA,x,{odd}\n")).unwrap_err();
        assert!(problems[0].starts_with("line 2, column value: read ") && problems.len() == 1, "{problems:?}");
        assert!(problems[0].len() < 400, "{problems:?}");
    }
    let rows = read("\u{feff}unit;method;value\nA;x;12,5\nB;x;-0,25\n").unwrap();
    assert!((rows[0].value - 12.5).abs() < f64::EPSILON && (rows[1].value + 0.25).abs() < f64::EPSILON);
}

/// As R's `write.csv` writes it.
#[test]
fn a_table_that_a_program_wrote_is_read() {
    let rows = read(
        "\"\",\"unit\",\"method\",\"value\"\n\"1\",\"A\",\"by hand\",1e+05\n\"2\",\"B\",\"cuts\",0.333333333333333\n",
    )
    .unwrap();
    assert_eq!(
        rows.iter().map(|row| (row.unit.as_str(), row.value)).collect::<Vec<_>>(),
        [("A", 100_000.0), ("B", 0.333_333_333_333_333)]
    );
    let problems = read("\"\",\"unit\",\"method\",\"value\"\n\"1\",\"A\",\"by hand\",NA\n").unwrap_err();
    assert!(problems[0].contains("leave the whole row out"), "{problems:?}");
    let problems = read("unit,method,value,,note\nA,x,1,,\n").unwrap_err();
    assert!(problems[0].starts_with("line 1, column 4: read nothing, expected a name"), "{problems:?}");
    assert!(problems[1].contains("take the column \"note\" out"), "{problems:?}");
}

#[test]
fn a_column_of_a_thousand_names_is_no_column_of_methods() {
    let rows = (0..1_000).fold(String::new(), |rows, n| rows + &format!("by hand,KW-{n},9.85\n"));
    let problems = read(&format!("unit,method,value\n{rows}")).unwrap_err();
    assert!(problems[0].contains("1000 methods") && problems[0].contains("column of units"), "{problems:?}");
}
