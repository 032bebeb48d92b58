//! What stands on a crew's sheet.

use reckon::block::Season;
use reckon::due::{DueBlock, Settings, due};

use super::*;

fn season() -> Season {
    Season::calendar_year(2026).unwrap()
}

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
    due(&[thinned, unknown], &season(), today, Settings::default())
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
    assert!(spanish.contains("UD-1: segunda vuelta pendiente hasta el 8 de mayo; raleado hace 11 días."), "{spanish}");
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
    assert!(english.contains("Cannot be told") && english.contains("JS-9 has no full bloom"), "{english}");
    assert!(spanish.contains("No se puede decir") && spanish.contains("JS-9 no tiene plena floración"), "{spanish}");
    assert!(!spanish.contains("JS-9 has"), "{spanish}");
    let at = |text: &str, word: &str| text.find(word).unwrap_or_else(|| panic!("{word}: {text}"));
    assert!(at(&english, "Local rules first") < at(&english, "UD-1"), "cautions come first");
    assert!(at(&spanish, "Primero las reglas locales") < at(&spanish, "UD-1"));
    assert!(spanish.contains("del 1 de mayo al 8 de mayo") && english.contains("1 May to 8 May"), "{spanish}");
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

/// Fourteen blocks and the cautions stand on one page in each language.
#[test]
fn a_farms_sheet_is_one_page_a_language() {
    let one = |n| DueBlock { code: format!("UD-{n}"), passes: vec![(1, day(4, 24))], ..DueBlock::default() };
    let blocks: Vec<DueBlock> = (1..=14).map(one).collect();
    let ahead = due(&blocks, &season(), day(4, 26), Settings::default());
    let sheet = sheet(&crew(&ahead, &Language::ALL), Paper::Letter);
    assert_eq!(sheet.pages.len(), 2);
    assert!(!texts(&sheet).contains("opens in"), "the table says when a window opens");
}

/// What opens weeks later is no work of this sheet, and what is due stands apart from what opens soon.
#[test]
fn what_is_due_stands_before_what_opens_next() {
    let thinned = |code: &str, last, crew: &str| DueBlock {
        code: code.into(),
        passes: vec![(1, last)],
        crews: vec![crew.into()],
        fruit: Some(reckon::units::FruitPerTree::of(420.0)),
        spacing: Some(reckon::units::Inches::of(5.5)),
        ..DueBlock::default()
    };
    let mut blocks = vec![
        thinned("NEXT-1", day(5, 4), "Ditch crew"),
        thinned("NOW-2", day(4, 24), "Mesa crew"),
        thinned("FAR-3", day(5, 20), "Ditch crew"),
    ];
    let found = due(&blocks, &season(), day(5, 5), Settings::default());
    let said = |found: &WorkDue| texts(&sheet(&CrewSheet { crew: "", ..crew(found, &Language::ALL) }, Paper::Letter));
    let text = said(&found);
    let at = |word: &str| text.find(word).unwrap_or_else(|| panic!("{word}: {text}"));
    let order = [at("Due now"), at("NOW-2"), at("Opens next"), at("NEXT-1"), at("Pendiente ahora"), at("Lo que sigue")];
    assert!(order.is_sorted(), "{order:?}: {text}");
    assert!(!text.contains("FAR-3"), "{text}");
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in ["420 fruit", "Fruit to leave", "420 frutas", "Fruta a dejar", "separación", "5.5"] {
        assert!(plain.contains(word), "{word}: {plain}");
    }
    assert!(plain.contains("(crew of the last pass: Mesa crew)"), "{plain}");
    assert!(plain.contains("(cuadrilla de la última pasada: Mesa crew)"), "{plain}");
    blocks.push(thinned("NOW-4", day(4, 25), "Ditch crew"));
    let several = said(&due(&blocks, &season(), day(5, 5), Settings::default()));
    assert!(!several.contains("crew of the last pass"), "two crews: {several}");
}

/// The name stands on its line, and what nobody has thinned is marked as every crew's.
#[test]
fn a_crews_own_sheet_marks_what_nobody_has_thinned() {
    let blocks = [
        DueBlock {
            code: "UD-1".into(),
            passes: vec![(1, day(4, 24))],
            crews: vec!["Ditch crew".into()],
            ..DueBlock::default()
        },
        DueBlock { code: "UD-2".into(), full_bloom: Some(day(3, 20)), ..DueBlock::default() },
    ];
    let work = due(&blocks, &season(), day(5, 5), Settings::default());
    let own = texts(&sheet(&crew(&work, &Language::ALL), Paper::Letter));
    for word in [
        "Crew: Ditch crew",
        "Cuadrilla: Ditch crew",
        "Not thinned yet this season, for any crew: UD-2.",
        "Sin ralear todavía esta temporada, para cualquier cuadrilla: UD-2.",
    ] {
        assert!(own.contains(word), "{word}: {own}");
    }
    assert!(!own.contains("crew of the last pass"), "it is this crew: {own}");
    let any = CrewSheet { crew: "", ..crew(&work, &Language::ALL) };
    assert!(!texts(&sheet(&any, Paper::Letter)).contains("for any crew"));
}

/// Every head ends before the rule below it does, and stands clear of the next.
#[test]
fn no_head_runs_out_of_its_table() {
    use crate::report::page_checks::{self, span};
    use crate::sheet::{Mark, Role};
    let wanted = DueBlock {
        farm: "Cottonwood Flat North".into(),
        variety: "Straw Cadence Late".into(),
        trees: Some(1_204),
        passes: vec![(1, day(4, 24))],
        fruit: Some(reckon::units::FruitPerTree::of(420.0)),
        spacing: Some(reckon::units::Inches::of(5.5)),
        ..DueBlock::default()
    };
    let blocks = [
        DueBlock { code: "UD-10".into(), ..wanted.clone() },
        DueBlock { code: "KW-12".into(), farm: "River Bench".into(), ..wanted.clone() },
    ];
    let one = [blocks[0].clone(), DueBlock { code: "KW-1".into(), ..wanted }];
    for (blocks, paper) in [(&blocks, Paper::Letter), (&blocks, Paper::A4), (&one, Paper::Letter), (&one, Paper::A4)] {
        let work = due(blocks, &season(), day(5, 5), Settings::default());
        let sheet = sheet(&crew(&work, &Language::ALL), paper);
        for page in &sheet.pages {
            let heads: Vec<_> = page.texts().filter(|text| text.role == Role::Head).collect();
            assert!(heads.len() > 6, "{paper:?}");
            for head in &heads {
                let below = page.marks.iter().find_map(|mark| match mark {
                    Mark::Line { from, to, .. } if from.1 >= head.y => Some(to.0),
                    _ => None,
                });
                let (_, right) = span(head);
                assert!(head.size > TABLE - 1.0, "{paper:?}: set small, at {}", head.size);
                assert!(right <= below.unwrap() + 0.1, "{paper:?}: {} to {right}, rule {below:?}", head.text);
            }
        }
        page_checks::inside_the_margins("crew sheet", &sheet);
        page_checks::apart("crew sheet", &sheet);
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
