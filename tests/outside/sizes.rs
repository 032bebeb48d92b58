//! Size, pack and grade lists against the published ones, and the lines of the farm tax form.

use reckon::exact::Pounds;
use reckon::records::CostGroup;
use reckon::schedule::{self, Placing};
use reckon::size_classes::{self, lists, mapping};

use crate::fixture;
use crate::records::price;

/// Source: Commission Regulation (EC) No 1580/2007, Annex I, Part 5, III: circumferences.
#[test]
fn circumferences_as_published() {
    let millimetres = |text: &str| text.parse::<f64>().ok().map(|cm| (cm * 10.0).round().to_string());
    for (row, class) in fixture::table("economics/size_classes.csv").iter().zip(size_classes::PEACH_AND_NECTARINE) {
        let around = (Some(class.around_from_mm.to_string()), class.around_below_mm.map(|mm| mm.to_string()));
        let published = (row.text("circumference_from_cm_inclusive"), row.text("circumference_to_cm_exclusive"));
        assert_eq!(around, (millimetres(published.0), millimetres(published.1)), "{}", class.code);
    }
}

/// Source: produce distributor's chart, 2017. Size 45 is out of order there: named, kept, and not used.
#[test]
fn plum_counts_and_their_misprint() {
    let rows = fixture::table("economics/plum_count_size_chart.csv");
    assert_eq!(rows.len(), lists::PLUM_COUNTS.len());
    for (row, ours) in rows.iter().zip(lists::PLUM_COUNTS) {
        assert_eq!(row.text("size"), ours.size.to_string());
        let (low, high) = ours.pieces_per_lb;
        let pieces = if low == high { low.to_string() } else { format!("{low}-{high}") };
        assert_eq!(row.text("pieces_per_lb"), pieces);
        let mm = f64::from(ours.diameter_sixteenths) / 16.0 * 25.4;
        // The list's millimetres are cut or rounded to a tenth.
        fixture::close(row.text("size"), mm, row.number("approx_minimum_diameter_mm_computed"), 0.1);
        assert_eq!(ours.misprint, row.text("note").contains("misprint"), "size {}", ours.size);
    }
    let used: Vec<u32> =
        lists::PLUM_COUNTS.iter().filter(|count| !count.misprint).map(|count| count.diameter_sixteenths).collect();
    assert!(used.is_sorted_by(|a, b| a > b), "without the misprint they fall with the count");
}

/// Sources in the file. Rows from memory are in no list.
#[test]
fn packs_grades_and_tolerances() {
    let read = |row: &&fixture::Row| !row.text("mark").contains("memory") && !row.text("net_weight_lb").is_empty();
    let packs = fixture::table("economics/pack_sizes.csv");
    let packs: Vec<_> = packs.iter().filter(read).collect();
    assert_eq!(packs.len(), lists::PACKS.len());
    for (row, pack) in packs.iter().zip(lists::PACKS) {
        assert_eq!((row.text("crop"), row.text("pack")), (pack.crop, pack.name));
        assert_eq!(row.text("net_weight_lb"), pack.net_lb.to_string());
    }
    for grade in lists::GRADES {
        let rows = fixture::table("economics/grade_names.csv");
        assert!(
            rows.iter()
                .any(|row| row.text("crop").split(' ').next() == Some(grade.crop) && row.text("grade") == grade.name),
            "{grade:?}"
        );
    }
    for (crop, percent) in lists::GRADE_TOLERANCE_PCT {
        let rows = fixture::table("economics/grade_tolerances.csv");
        let first = rows.iter().find(|row| row.text("crop").starts_with(crop) && row.text("where") == "shipping point");
        assert_eq!(first.unwrap().text("total_percent_by_count"), percent.to_string(), "{crop}");
    }
    let rules = fixture::table("economics/size_rules.csv");
    let rule =
        |words: &str| rules.iter().find(|row| row.text("rule").contains(words)).unwrap().text("value").to_owned();
    let (below, above) = lists::OFF_SIZE_PCT;
    assert_eq!(
        (rule("below the marked minimum"), rule("above a marked maximum")),
        (below.to_string(), above.to_string())
    );
    let (across, around) = lists::EXTRA_CLASS_SMALLEST_MM;
    assert_eq!(rule("minimum diameter, Extra class"), across.to_string());
    assert_eq!(rule("minimum circumference, Extra class"), (f64::from(around) / 10.0).to_string());
    assert_eq!(rule("may differ from the marked count"), lists::COUNT_MAY_MISS.to_string());
}

/// Source: shipping point prices of 2014, 28 lb cartons of plums. By the pound, larger fruit brings more at each step.
#[test]
fn reported_prices_by_size_are_compared_by_the_pound() {
    let rows = fixture::table("economics/prices_by_size.csv");
    let mut seen = Vec::new();
    for row in rows.iter().filter(|row| row.text("crop") == "plum") {
        let size = mapping::built_in("plum", row.text("size"));
        let low = [row.text("mostly_low_usd"), row.text("low_usd_per_pack")]
            .into_iter()
            .find(|text| !text.is_empty())
            .unwrap();
        let net = Pounds::whole(row.text("net_weight_lb").parse().unwrap()).unwrap();
        seen.push((size.map(|size| size.words()), mapping::by_the_pound(price(low), net).unwrap()));
    }
    let words: Vec<Option<&str>> = seen.iter().map(|(words, _)| words.as_deref()).collect();
    // 70-75 has no row in the count chart.
    assert_eq!(words, [Some("20-25"), Some("30-35"), Some("40-45"), Some("50-55"), Some("60-65"), None]);
    assert!(seen.is_sorted_by(|a, b| a.1 > b.1), "{seen:?}");
    assert_eq!(seen[0].1.to_string(), "0.994643", "27.85 a carton of 28 lb");
}

/// Source: Internal Revenue Service, Schedule F (Form 1040), Part II, form of 2021.
#[test]
fn lines_of_the_farm_tax_form() {
    let sales = fixture::table("economics/schedule_f_part1_lines.csv").into_iter().next().unwrap();
    assert_eq!((sales.text("line"), sales.text("name")), (schedule::SALES.number, schedule::SALES.name));
    let rows = fixture::table("economics/schedule_f_part2_lines.csv");
    let read: Vec<_> = rows.iter().filter(|row| row.text("mark") == "read").collect();
    assert_eq!(read.len(), schedule::PART_II.len());
    for (row, line) in read.iter().zip(schedule::PART_II) {
        assert_eq!((row.text("line"), row.text("name")), (line.number, line.name));
    }
}

/// The suggested map, ours: each word of its categories finds its line, or one of the lines it leaves open.
#[test]
fn categories_find_the_suggested_lines() {
    for row in fixture::table("economics/cost_category_map.csv") {
        let category = row.text("cost_study_category");
        let lines = row.text("schedule_f_line");
        let open: Vec<&str> =
            lines.split([' ', '(', ')', '/']).filter(|word| word.starts_with(|c: char| c.is_ascii_digit())).collect();
        match schedule::suggest(CostGroup::Cultural, category) {
            Placing::Line(line, _) => {
                let number = if line.number == "32a-32f" { "32" } else { line.number };
                assert!(open.contains(&number), "{category}: {number} of {lines}");
            }
            Placing::LeftOut(_) => assert_eq!(lines, "none", "{category}"),
            Placing::Choose => panic!("{category}: no line"),
        }
    }
}
