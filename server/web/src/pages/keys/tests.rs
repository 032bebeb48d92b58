use super::*;
use crate::pages::html::{all, held, shell, text};

fn row(used_at: Option<&str>) -> ProgramKey {
    ProgramKey {
        id: "0190a5b6-c7d8-7e9f-8a1b-000000000009".parse().unwrap(),
        name: "packing <line>".to_owned(),
        made_at: "2026-07-01T12:00:00Z".parse().unwrap(),
        used_at: used_at.map(|at| at.parse().unwrap()),
    }
}

#[test]
fn every_page_of_keys_is_well_made() {
    held(&OwnKeys::of(shell("/keys"), &[], "", None));
    let rows = [row(None), row(Some("2026-07-02T08:15:00Z"))];
    let list = held(&OwnKeys::of(shell("/keys"), &rows, "", wrong(&rows, "")));
    let said = text(list.root_element());
    assert!(said.contains("packing <line>") && said.contains("never") && said.contains("08:15"), "{said}");
    assert_eq!(all(&list, "[aria-invalid=true]").len(), 1);
    let key = key::text(&[7; 32]);
    let given = Given { shell: shell("/keys"), name: "packing line".to_owned(), key: key.clone() };
    assert_eq!(text(all(&held(&given), "#program-key")[0]), key);
    let shell_of = shell("/keys/x/remove");
    let key = Shown::of(&shell_of, &rows[1], to::remove_key);
    held(&Remove { shell: shell_of, key });
    let how = held(&How { shell: shell("/keys/how"), year: 2026, kinds: vec!["labor"] });
    assert!(all(&how, "pre code").iter().any(|code| code.text().collect::<String>().contains(REQUEST)));
}

#[test]
fn a_name_tells_a_key_apart() {
    let rows = [row(None)];
    for name in ["", "a\nb", "packing <line>", &"x".repeat(61)] {
        assert!(wrong(&rows, name).is_some(), "{name}");
    }
    assert_eq!(wrong(&rows, "weather station"), None);
}
