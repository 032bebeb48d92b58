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
