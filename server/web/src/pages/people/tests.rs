use store::{FarmRow, PersonRow, Role};

use super::asked::{ALL_FARMS, SOME_FARMS};
use super::*;
use crate::pages::html::{all, farms, held, shell, text};

fn asked(role: &str, reach: &str, ticked: &[&FarmRow]) -> Asked {
    let farms: Vec<String> = ticked.iter().map(|farm| farm.id.to_string()).collect();
    Asked { reach: reach.to_owned(), farms, ..Asked::limited_to("Ned", "ned@farm.example", role, &[]) }
}

fn fields(problems: &[(&'static str, String)]) -> Vec<&'static str> {
    problems.iter().map(|(field, _)| *field).collect()
}

#[test]
fn role_and_farms_are_understood() {
    let farms = farms();
    let all = asked("manager", ALL_FARMS, &[]).checked(&farms).unwrap();
    assert_eq!((all.role, all.farms), (Role::Manager, None));
    let some = asked("crew lead", SOME_FARMS, &[&farms[1]]).checked(&farms).unwrap();
    assert_eq!((some.role, some.farms), (Role::CrewLead, Some(vec![farms[1].id])));
    let by_name = Asked::limited_to("Ned", "ned@farm.example", "manager", &["Sand Draw".to_owned()]);
    assert_eq!(by_name.checked(&farms).unwrap().farms, Some(vec![farms[2].id]));
}

#[test]
fn what_is_wrong_is_said_at_its_field() {
    let farms = farms();
    let wrong = Asked::limited_to(" ", "ned at farm", "king", &["Nowhere".to_owned()]).checked(&farms).unwrap_err();
    assert_eq!(fields(&wrong), ["name", "email", "role", "reach"]);
    assert!(wrong[2].1.contains("owner, manager, bookkeeper, crew lead"), "{wrong:?}");
    assert!(wrong[3].1.contains("no farm \"Nowhere\"") && wrong[3].1.contains("River Bench"), "{wrong:?}");
    // Ticking nothing must not mean everything.
    assert_eq!(fields(&asked("manager", SOME_FARMS, &[]).checked(&farms).unwrap_err()), ["reach"]);
    assert_eq!(fields(&asked("manager", "", &[]).checked(&farms).unwrap_err()), ["reach"]);
    assert_eq!(fields(&asked("owner", SOME_FARMS, &[&farms[0]]).checked(&farms).unwrap_err()), ["reach"]);
}

fn person(farms: Option<Vec<(store::FarmId, String)>>) -> PersonRow {
    PersonRow {
        id: "0190a5b6-c7d8-7e9f-8a1b-000000000009".parse().unwrap(),
        name: "Ned <Ñandú>".to_owned(),
        email: "ned@farm.example".to_owned(),
        role: Role::CrewLead,
        farms,
        one_time: true,
    }
}

#[test]
fn every_page_of_people_is_well_made() {
    let row = &farms()[1];
    let limited = person(Some(vec![(row.id, row.farm.name.clone())]));
    let list = held(&People { shell: shell("/people"), people: vec![Shown::of(&limited), Shown::of(&person(None))] });
    assert!(text(list.root_element()).contains("River Bench") && text(list.root_element()).contains("Ned <Ñandú>"));
    let problems = vec![("role", "Choose one.".to_owned()), ("reach", "Tick one.".to_owned())];
    held(&PersonForm::of(shell("/people/add"), None, Asked::default(), problems));
    let typed = asked("crew lead", SOME_FARMS, &[row]);
    let change = held(&PersonForm::of(shell("/people/x/change"), Some(Shown::of(&limited)), typed, Vec::new()));
    assert_eq!(all(&change, "input[type=checkbox][checked]").len(), 1);
    let row = store::ProgramKey {
        id: "0190a5b6-c7d8-7e9f-8a1b-000000000008".parse().unwrap(),
        name: "packing <line>".to_owned(),
        made_at: "2026-07-01T12:00:00Z".parse().unwrap(),
        used_at: None,
    };
    let key = |shell: &Shell| crate::pages::keys::Shown::of(shell, &row, |key| to::remove_key_of(limited.id, key));
    let shell_of = shell("/people/x/keys");
    let listed = vec![key(&shell_of)];
    held(&keys::KeysOf { rows: listed, name: limited.name.clone(), shell: shell("/people/x/keys") });
    held(&keys::KeysOf { rows: Vec::new(), name: limited.name.clone(), shell: shell("/people/x/keys") });
    let (person, name) = (limited.id, limited.name.clone());
    held(&keys::RemoveKey { key: key(&shell_of), person, name, shell: shell_of });
    let password = password::one_time(&[7; 32]);
    let given = Given {
        shell: shell("/people/add"),
        name: "Ned".to_owned(),
        email: "ned@farm.example".to_owned(),
        password: password.clone(),
    };
    assert!(text(held(&given).root_element()).contains(&password));
}
