//! The way in: founding, people, sessions, failed sign-ins, and the machine's operator.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::world;
use store::kit::on_both;
use store::{NewUser, Right, Role, Source, StoreError};

#[tokio::test]
async fn the_first_run_founds_an_operation() {
    on_both(|fresh| async move {
        let door = fresh.store.door();
        assert!(door.is_empty().await.unwrap());
        assert!(matches!(door.operator(None).await, Err(StoreError::NotFound)));
        let owner = NewUser { name: "Olive", email: " Olive@Example.test ", password_hash: "$argon2id$x" };
        let scope = door.found_operation("Dry Fork", owner).await.unwrap();
        assert!(!door.is_empty().await.unwrap());
        assert_eq!((scope.role(), scope.farms()), (Role::Owner, None));
        assert_eq!(door.operator(None).await.unwrap(), scope);
        assert_eq!(fresh.store.desk(&scope).operation_name().await.unwrap(), "Dry Fork");
        let found = door.password_of("olive@example.TEST").await.unwrap();
        assert_eq!(found, Some((scope.user(), "$argon2id$x".to_owned())));
        assert_eq!(door.password_of("nobody@example.test").await.unwrap(), None);
        let again = door.found_operation("Other", NewUser { email: "OLIVE@example.test", ..owner }).await;
        assert!(matches!(again, Err(StoreError::Taken(store::Constraint::Email))));
        assert_eq!(fresh.column::<i64>("SELECT COUNT(*) FROM operation").await.unwrap(), [1]);
    })
    .await;
}

#[tokio::test]
async fn a_session_lasts_as_long_as_it_was_given() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let lead = fresh.person(&world.owner, Role::CrewLead, Some(&[world.flat])).await.unwrap();
        let (hash, csrf) = ([3; 32], [4; 32]);
        door.begin_session(lead.user(), hash, csrf, TimeDelta::hours(2)).await.unwrap();
        let signed_in = door.session(&hash).await.unwrap().unwrap();
        assert_eq!((&signed_in.scope, signed_in.csrf), (&lead, csrf));
        assert_eq!(signed_in.scope.farms(), Some(&[world.flat][..]));
        assert_eq!(
            (signed_in.user_name.as_str(), signed_in.operation_name.as_str()),
            ("crew lead", "Dry Fork Orchards")
        );
        assert!(door.session(&[5; 32]).await.unwrap().is_none());
        fresh.clock.pass(TimeDelta::hours(2) - TimeDelta::seconds(1));
        assert!(door.session(&hash).await.unwrap().is_some());
        fresh.clock.pass(TimeDelta::seconds(1));
        assert!(door.session(&hash).await.unwrap().is_none());
        // The next sign-in sweeps out what is over.
        door.begin_session(lead.user(), [6; 32], csrf, TimeDelta::hours(2)).await.unwrap();
        assert_eq!(fresh.column::<i64>("SELECT COUNT(*) FROM session").await.unwrap(), [1]);
        door.end_session(&[6; 32]).await.unwrap();
        door.end_session(&[6; 32]).await.unwrap();
        assert!(door.session(&[6; 32]).await.unwrap().is_none());
    })
    .await;
}

#[tokio::test]
async fn a_changed_role_holds_at_once() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let person = fresh.person(&world.owner, Role::Manager, None).await.unwrap();
        door.begin_session(person.user(), [3; 32], [4; 32], TimeDelta::hours(2)).await.unwrap();
        fresh.execute("UPDATE membership SET role = 'crew lead' WHERE role = 'manager'").await.unwrap();
        let role = door.session(&[3; 32]).await.unwrap().unwrap().scope.role();
        assert_eq!(role, Role::CrewLead);
    })
    .await;
}

#[tokio::test]
async fn failed_sign_ins_are_counted_and_forgotten() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let begin = fresh.clock.now();
        let email = "Owner of Dry Fork Orchards@example.test";
        for _ in 0..3 {
            door.note_failed_sign_in(email, Some("203.0.113.7")).await.unwrap();
            fresh.clock.pass(TimeDelta::minutes(1));
        }
        door.note_failed_sign_in("other@example.test", Some("203.0.113.7")).await.unwrap();
        assert_eq!(door.failed_sign_ins(&email.to_uppercase(), begin).await.unwrap().count, 3);
        let last = begin + TimeDelta::minutes(2);
        assert_eq!(door.failed_sign_ins(email, begin).await.unwrap().last, Some(last));
        assert_eq!(door.failed_from("203.0.113.7", begin).await.unwrap().count, 4);
        assert_eq!(door.failed_from("203.0.113.8", begin).await.unwrap(), store::Failures::default());
        assert_eq!(door.failed_sign_ins(email, begin + TimeDelta::seconds(90)).await.unwrap().count, 1);
        door.begin_session(world.owner.user(), [3; 32], [4; 32], TimeDelta::hours(2)).await.unwrap();
        assert_eq!(door.failed_sign_ins(email, begin).await.unwrap().count, 0);
        fresh.clock.pass(TimeDelta::days(2));
        door.note_failed_sign_in(email, Some("203.0.113.7")).await.unwrap();
        assert_eq!(fresh.column::<i64>("SELECT COUNT(*) FROM failed_sign_in").await.unwrap(), [1]);
    })
    .await;
}

#[tokio::test]
async fn only_an_owner_adds_people() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, common::named_world(&fresh, "Cinder Bench").await);
        let manager = fresh.person(&world.owner, Role::Manager, None).await.unwrap();
        let new = NewUser { name: "Ned", email: "ned@example.test", password_hash: "$argon2id$y" };
        let mut book = fresh.store.book(&manager, Right::SetUp).await.unwrap();
        let tried = book.add_person(new, Role::CrewLead, None).await;
        assert!(matches!(tried, Err(StoreError::Forbidden)));
        drop(book);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let tried = book.add_person(new, Role::CrewLead, Some(&[other.rim])).await;
        assert!(matches!(tried, Err(StoreError::NotFound)));
        let id = book.add_person(new, Role::CrewLead, Some(&[world.rim])).await.unwrap();
        book.save().await.unwrap();
        let scope = fresh.store.door().operator(Some("NED@example.test")).await.unwrap();
        assert_eq!((scope.user(), scope.farms()), (id, Some(&[world.rim][..])));
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let tried = book.add_person(new, Role::Manager, None).await;
        assert!(matches!(tried, Err(StoreError::Taken(store::Constraint::Email))));
    })
    .await;
}
