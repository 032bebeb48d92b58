use crate::pages::html::{all, held, shell, text};
use crate::pages::sources::SourcesPage;
use crate::pages::sources::how::HowPage;

#[test]
fn every_source_has_its_table() {
    let html = held(&SourcesPage::of(shell("/sources")).unwrap());
    assert!(all(&html, "main h2").len() > 3);
    assert_eq!(all(&html, "main h2").len(), all(&html, "main table").len());
    assert!(text(all(&html, "main")[0]).contains("Sample Costs"));
    // What nobody published is shown, and not counted among what others have.
    let published = all(&html, "td[data-label=Published]").len();
    assert!(text(all(&html, "p.under")[0]).starts_with(&format!("{published} values that others have published")));
    assert!(
        !all(&html, "#practice-removed").is_empty()
            && all(&html, "#practice-removed td[data-label=Published]").is_empty()
    );
}

#[test]
fn every_formula_names_its_source() {
    let html = held(&HowPage::of(shell("/how")));
    let formulas = all(&html, ".formulas article");
    assert_eq!(formulas.len(), reckon::how::of_the_book().len() + reckon::water::how::sometimes().len());
    for source in all(&html, ".formulas .source") {
        assert!(!text(source).is_empty());
    }
    assert_eq!(all(&html, "main table tbody tr").len(), reckon::water::setup::SETTINGS.len());
}
