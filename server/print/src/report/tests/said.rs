//! What a figure is worth stands beside it.

use super::*;

/// What the counts are worth stands in their heading: pooled samples, a single one, and how many would do.
#[test]
fn counts_say_what_they_are_worth() {
    let heading = |samples, whole_trees, one: bool| {
        let mut season = samples::full();
        let thinning = &mut season.thinning;
        (thinning.samples, thinning.whole_trees) = (samples, whole_trees);
        if one {
            (thinning.removed_standard_error, thinning.left_standard_error) = (None, None);
        }
        let sheet = sheet(&season, &issue(Paper::Letter));
        sheet.texts().find(|text| text.text.starts_with("Fruit counts")).map(|text| text.text.clone())
    };
    let said = |text: &str| Some(text.to_owned());
    let all = "Fruit counts, 12 samples counted twice (± one standard error; 14 trees for ± 10%)";
    assert_eq!(heading(12, 12, false), said(all));
    let pooled = "Fruit counts, 7 trees and 5 branches counted twice (± one standard error; 14 trees for ± 10%)";
    assert_eq!(heading(12, 7, false), said(pooled));
    assert_eq!(heading(1, 1, true), said("Fruit counts, 1 sample counted twice (one sample: no standard error)"));
}

/// Why there is no fruit left on a tree stands where the number would.
#[test]
fn branches_alone_say_why_fruit_left_is_not_known() {
    let mut season = samples::full();
    let why = "only branches were counted, no whole tree";
    assert!(!read(&sheet(&season, &issue(Paper::Letter))).contains(why));
    season.thinning.left_per_tree = None;
    assert!(read(&sheet(&season, &issue(Paper::Letter))).contains(why));
}

#[test]
fn an_error_is_never_printed_as_none() {
    let mut season = samples::full();
    let small =
        season.thinning.left_standard_error.as_ref().map(|error| error.map(reckon::units::FruitPerTree::of(0.3)));
    season.thinning.left_standard_error = small;
    assert!(read(&sheet(&season, &issue(Paper::Letter))).contains("fruit/tree ± 0.3"));
}

/// A contract has its cost and no hours: the row says that its hours are not all.
#[test]
fn hours_that_are_not_all_say_so() {
    use reckon::figure::{Lack, Lacks, RecordId, RecordKind, RecordRef};
    let mut season = samples::full();
    let record = RecordRef { kind: RecordKind::Labor, id: RecordId::Line(21) };
    let all = &mut season.labor.all;
    all.hours = all.hours.clone().map(|hours| hours.without([Lack { what: Lacks::Hours, record }]));
    assert!(words::labor_known(all).starts_with("hours metered, incomplete: 1 entry lacks hours; cost metered;"));
    assert_eq!(words::lacking(&all.known()).as_deref(), Some("1 entry lacks hours"), "the spreadsheet's row");
    let text = read(&sheet(&season, &issue(Paper::Letter)));
    assert!(text.contains("records; hours incomplete"), "{text}");
    assert!(crate::csv::figures(&season).contains("labor,all.hours,2808.5,h,metered,122,1 entry lacks hours"));
}

/// A return of costs alone is no return yet.
#[test]
fn nothing_sold_is_said_beside_the_return() {
    let mut season = samples::full();
    season.statement.lines.retain(|line| line.key > reckon::season::StatementKey::NetToGrower);
    let line = &crate::headline::headlines(&season)[3];
    assert_eq!((line.evidence, line.known().as_str()), (None, "nothing sold yet: costs only"));
    assert!(line.number.starts_with(['$', '−', '-']), "{line:?}");
    assert!(read(&sheet(&season, &issue(Paper::Letter))).contains("nothing sold yet: costs only"));
}
