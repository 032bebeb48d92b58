//! Folders of one block's season.

use std::collections::BTreeMap;

use reckon::exact::Acres;
use reckon::figure::RecordId;
use reckon::season::SeasonRecords;
use reckon::water::setup::{Setting, Soil};
use rust_decimal::Decimal;

use crate::{FolderProblem, MOST_PROBLEMS, read_folder};

const BLOCK: &str = r#"operation = "Dry Creek Orchards"

[farm]
name = "Home Ranch"
station = "River Bend"
latitude_deg = 46.2
elevation_ft = 1240

[block]
block = "RB-1"
crop = "peach"
variety = "Early Amber"
acres = 15.4
trees = 2_387
ripening_from = "07-18"
ripening_to = "08-02"

[season]
year = 2026
first_day = 2025-11-01
last_day = "2026-10-31"

[water]
soil = "sandy loam"
kcb_mid = 0.85
wetting_first = 1
"#;

fn folder(files: &[(&str, &str)]) -> Result<SeasonRecords, Vec<FolderProblem>> {
    let files: BTreeMap<String, Vec<u8>> =
        files.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect();
    read_folder(&files)
}

fn sentences(files: &[(&str, &str)]) -> Vec<String> {
    folder(files).unwrap_err().iter().map(ToString::to_string).collect()
}

#[test]
fn a_block_and_its_records() {
    let records = folder(&[
        ("block.toml", BLOCK),
        ("picks.csv", "date,bins\n2026-07-21,9\n2026-07-20,12\n2026-07-20,13\n"),
        ("costs.csv", "date,farm,category,group,amount_usd\n2026-03-01,Home Ranch,fuel,cultural,120.50\n"),
        ("weather.csv", "date,station,tmax_c\n2026-03-01,,20\n2026-03-02,River Bend,21\n"),
        ("readme.md", "anything"),
    ])
    .unwrap();
    assert_eq!((records.operation.as_str(), records.farm.name.as_str()), ("Dry Creek Orchards", "Home Ranch"));
    assert_eq!(records.block.acres, Acres::new(Decimal::new(154, 1)).unwrap());
    assert_eq!((records.block.trees, records.block.water.soil), (Some(2_387), Some(Soil::SandyLoam)));
    assert_eq!(records.block.water.get(Setting::KcbMid), Some(0.85));
    assert_eq!(records.season.first_day.to_string(), "2025-11-01");
    let lines: Vec<RecordId> = records.picks.iter().map(|kept| kept.id).collect();
    assert_eq!(lines, [RecordId::Line(3), RecordId::Line(4), RecordId::Line(2)]);
    assert_eq!((records.costs.len(), records.weather.len(), records.shared_costs.len()), (1, 2, 0));
}

#[test]
fn thinning_targets_are_read_from_a_folder() {
    let targets = "from,crop,ripening_from,ripening_to,fruit_per_acre\n2026-01-01,peach,07-01,07-31,62000\n\
                   2026-01-01,peach,08-01,08-31,80000\n";
    let records = folder(&[("block.toml", BLOCK), ("thinning-targets.csv", targets)]).unwrap();
    assert_eq!(records.targets.len(), 2);
    let wanted = reckon::reckon(&records).thinning.target.unwrap();
    assert!((wanted.figure.value.get() - 62_000.0 * 15.4 / 2_387.0).abs() < 1e-9);
    assert_eq!(wanted.figure.records[0].id, RecordId::Line(2), "the line of the file");
}

#[test]
fn the_least_that_is_needed() {
    let block = "[block]\nblock = \"A\"\ncrop = \"plum\"\nvariety = \"Dusk\"\nacres = 3\n[season]\nyear = 2026\n";
    let records = folder(&[("block.toml", block)]).unwrap();
    assert_eq!((records.operation.as_str(), records.season.last_day.to_string().as_str()), ("", "2026-12-31"));
}

#[test]
fn files_that_do_not_belong() {
    let unknown = sentences(&[("block.toml", BLOCK), ("labour.csv", "date\n"), ("stock.csv", "x\n")]);
    assert_eq!(
        unknown[0],
        "labour.csv: read a file named \"labour.csv\", expected only known names, perhaps labor.csv"
    );
    assert!(unknown[1].contains("fruit-counts.csv"), "{}", unknown[1]);
    let missing = sentences(&[("picks.csv", "date,bins\n")]);
    assert_eq!(missing.len(), 1);
    assert!(missing[0].starts_with("block.toml: read no such file, expected the file block.toml"), "{}", missing[0]);
}

/// (what is replaced in the good file, by what, the sentence)
const MISTAKES: &[(&str, &str, &str)] = &[
    (
        "acres = 15.4",
        "acres = \"15.4\"",
        "block.toml, line 13, [block] acres: read \"\"15.4\"\", expected a number without quotes, for example 15.4",
    ),
    (
        "acres = 15.4",
        "acers = 15.4",
        "block.toml, line 13, [block] acers: read \"acers\", expected a key of [block], perhaps acres",
    ),
    (
        "acres = 15.4",
        "acres = -15.4",
        "block.toml, line 13, [block] acres: read \"-15.4\", expected a number above 0, for example 15.4",
    ),
    (
        "acres = 15.4",
        "acres = 1e2",
        "block.toml, line 13, [block] acres: read \"1e2\", expected a number written out, without an exponent, for example 15.4",
    ),
    (
        "acres = 15.4",
        "acres = inf",
        "block.toml, line 13, [block] acres: read \"inf\", expected a number in digits, or nothing where it is not known, for example 15.4",
    ),
    (
        "crop = \"peach\"",
        "crop = 7",
        "block.toml, line 11, [block] crop: read \"7\", expected a text in quotes, for example \"peach\"",
    ),
    (
        "acres = 15.4\n",
        "",
        "block.toml, line 9, [block] acres: read nothing, expected a number: area in acres, for example 15.4",
    ),
    (
        "name = \"Home Ranch\"",
        "farm = \"Home Ranch\"",
        "block.toml, line 4, [farm] farm: read \"farm\", expected a key of [farm]: name, place, station, station_miles, latitude_deg, elevation_ft, elevation_m, time_zone",
    ),
    (
        "kcb_mid = 0.85",
        "kcb_mid = 8.5",
        "block.toml, line 25, [water] kcb_mid: read \"8.5\", expected a number up to 1.5, for example 0.85",
    ),
    (
        "kcb_mid = 0.85",
        "kcb_middle = 0.85",
        "block.toml, line 25, [water] kcb_middle: read \"kcb_middle\", expected a key of [water], perhaps kcb_mid",
    ),
    (
        "kcb_mid = 0.85",
        "field_capacity = 0.1\nwilting_point = 0.1",
        "block.toml, line 26, [water] wilting_point: read \"0.1\", expected less than field_capacity (0.1), for example 0.12",
    ),
    (
        "trees = 2_387",
        "kcb_mid = 0.9",
        "block.toml, line 25, [water] kcb_mid: read \"0.85\", expected the column once only, for example 0.85",
    ),
    (
        "year = 2026",
        "year = 26",
        "block.toml, line 19, [season] year: read \"26\", expected a whole number from 1900, for example 2026",
    ),
    (
        "2026-10-31",
        "2025-10-31",
        "block.toml, line 21, [season] last_day: read \"2025-10-31\", expected a season from 2025-11-01 on that ends after it begins, for example 2026-12-31",
    ),
    (
        "2026-10-31",
        "10/31/2026",
        "block.toml, line 21, [season] last_day: read \"10/31/2026\", expected a day as year-month-day: write 2026-10-31 if the month stands first, for example 2026-12-31",
    ),
    (
        "[season]",
        "[seasons]",
        "block.toml, line 18: read \"seasons\", expected operation, [farm], [block], [season] or [water], perhaps season, for example [block]",
    ),
];

#[test]
fn mistakes_in_the_block_file_name_their_line() {
    for (good, bad, sentence) in MISTAKES {
        let text = BLOCK.replacen(good, bad, 1);
        assert_ne!(text, BLOCK, "{good}");
        let found = sentences(&[("block.toml", &text)]);
        assert_eq!(found[0], *sentence);
    }
    let no_toml = sentences(&[("block.toml", "[block]\nblock = RB-1\n")]);
    assert!(no_toml[0].starts_with("block.toml, line 2: read a line that is no TOML"), "{}", no_toml[0]);
    let latin = read_folder(&BTreeMap::from([("block.toml".to_owned(), b"operation = \"Ca\xF1on\"".to_vec())]));
    assert!(latin.unwrap_err()[0].to_string().contains("saved as UTF-8"));
}

#[test]
fn problems_name_their_file_and_are_cut_together() {
    let other = sentences(&[("block.toml", BLOCK), ("weather.csv", "date,station,tmax_c\n2026-03-01,Hilltop,20\n")]);
    assert_eq!(
        other,
        [
            "weather.csv, line 2, column station: read \"Hilltop\", expected the farm's own station, or nothing, for example River Bend"
        ]
    );
    let flood = "date,bins\n".to_owned() + &"2026-07-20,none\n".repeat(150);
    let rows = flood.replace("bins", "kcb");
    let problems = sentences(&[("block.toml", BLOCK), ("picks.csv", &flood), ("canopy.csv", &rows)]);
    assert_eq!(problems.len(), MOST_PROBLEMS + 1);
    assert!(problems[0].starts_with("canopy.csv, line 2") && problems[150].starts_with("picks.csv, line 2"));
    assert!(problems[MOST_PROBLEMS].starts_with("all files: read 100 more problems"), "{}", problems[MOST_PROBLEMS]);
}
