//! Who may do what: changing, removing and coming back, one-time passwords, the last owner.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::world;
use store::kit::on_both;
use store::{Constraint, NewUser, ONE_TIME_LASTS, Right, Role, StoreError, Verb};

const NED: NewUser<'static> = NewUser { name: "Ned", email: "ned@example.test", password_hash: "$argon2id$y" };

#[tokio::test]
async fn a_person_gets_another_role_and_other_farms() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let ned = book.add_person(NED, Role::CrewLead, Some(&[world.rim])).await.unwrap();
        book.save().await.unwrap();
        fresh.clock.pass(TimeDelta::minutes(1));
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.change_person(ned, Role::Manager, Some(&[world.flat])).await.unwrap();
        book.save().await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let people = desk.people().await.unwrap();
        let told: Vec<_> = people.iter().map(|p| (p.name.as_str(), p.role, p.one_time)).collect();
        assert_eq!(told, [("Olive Owner", Role::Owner, false), ("Ned", Role::Manager, false)]);
        assert_eq!(people[0].farms, None);
        assert_eq!(people[1].farms, Some(vec![(world.flat, "Flat".to_owned())]));
        let change = desk.changes(1).await.unwrap().remove(0);
        assert_eq!((change.verb, change.kind.as_str(), change.place.as_str()), (Verb::Corrected, "person", "Ned"));
        assert!(change.before.unwrap().contains("\"farms\":\"Rim\",\"name\":\"Ned\",\"role\":\"crew lead\""));
        assert!(change.after.unwrap().contains("\"farms\":\"Flat\",\"name\":\"Ned\",\"role\":\"manager\""));
        let scope = fresh.store.door().operator(Some("ned@example.test")).await.unwrap();
        assert!(matches!(fresh.store.desk(&scope).people().await, Err(StoreError::Forbidden)));
    })
    .await;
}

#[tokio::test]
async fn a_removed_person_is_out_at_once_and_may_come_back() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let ned = book.add_person(NED, Role::Manager, Some(&[world.rim])).await.unwrap();
        book.save().await.unwrap();
        door.begin_session(ned, [3; 32], [4; 32], TimeDelta::hours(2)).await.unwrap();
        let scope = door.operator(Some(NED.email)).await.unwrap();
        let mut book = fresh.store.book(&scope, Right::Read).await.unwrap();
        assert!(book.once("a key").await.unwrap().is_none());
        book.save().await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.remove_person(ned).await.unwrap();
        book.save().await.unwrap();
        assert!(door.session(&[3; 32]).await.unwrap().is_none());
        assert_eq!(door.password_of(NED.email).await.unwrap(), Some((ned, String::new())), "no password fits");
        assert!(matches!(door.operator(Some(NED.email)).await, Err(StoreError::NotFound)));
        assert_eq!(fresh.store.desk(&world.owner).people().await.unwrap().len(), 1);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        assert!(matches!(book.remove_person(ned).await, Err(StoreError::NotFound)));
        let back = NewUser { name: "Ned Again", password_hash: "$argon2id$z", ..NED };
        assert_eq!(book.add_person(back, Role::CrewLead, None).await.unwrap(), ned);
        let twice = book.add_person(back, Role::CrewLead, None).await;
        assert!(matches!(twice, Err(StoreError::Taken(Constraint::Email))));
        drop(book);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.add_person(back, Role::CrewLead, None).await.unwrap();
        book.save().await.unwrap();
        assert_eq!(door.password_of(NED.email).await.unwrap(), Some((ned, "$argon2id$z".to_owned())));
    })
    .await;
}

/// Somebody of another operation is not drawn over by their e-mail, nor reached by their identifier.
#[tokio::test]
async fn people_of_another_operation_are_out_of_reach() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, common::named_world(&fresh, "Cinder Bench").await);
        let theirs = NewUser { email: "owner of Cinder Bench@example.test", ..NED };
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        for tried in [
            book.change_person(other.owner.user(), Role::CrewLead, None).await,
            book.remove_person(other.owner.user()).await,
            book.give_one_time_password(other.owner.user(), "$x").await,
        ] {
            assert!(matches!(tried, Err(StoreError::NotFound)), "{tried:?}");
        }
        let tried = book.add_person(theirs, Role::CrewLead, None).await;
        assert!(matches!(tried, Err(StoreError::Taken(Constraint::Email))), "{tried:?}");
        drop(book);
        assert_eq!(fresh.store.desk(&other.owner).people().await.unwrap()[0].name, "Olive Owner");
    })
    .await;
}

#[tokio::test]
async fn the_last_owner_stays() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let olive = world.owner.user();
        for n in 0..3 {
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            let tried = match n {
                0 => book.remove_person(olive).await,
                1 => book.change_person(olive, Role::Manager, None).await,
                // An owner of some farms is none of the operation.
                _ => book.change_person(olive, Role::Owner, Some(&[world.rim])).await,
            };
            assert!(matches!(tried, Err(StoreError::LastOwner)), "{n}: {tried:?}");
        }
        let second = fresh.person(&world.owner, Role::Owner, None).await.unwrap();
        let mut book = fresh.store.book(&second, Right::SetUp).await.unwrap();
        book.change_person(olive, Role::Manager, None).await.unwrap();
        book.save().await.unwrap();
        let mut book = fresh.store.book(&second, Right::SetUp).await.unwrap();
        assert!(matches!(book.remove_person(second.user()).await, Err(StoreError::LastOwner)));
    })
    .await;
}

#[tokio::test]
async fn a_one_time_password_ends_with_the_persons_own() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        let ned = book.add_person(NED, Role::CrewLead, None).await.unwrap();
        book.save().await.unwrap();
        door.begin_session(ned, [1; 32], [4; 32], TimeDelta::hours(2)).await.unwrap();
        assert!(!door.session(&[1; 32]).await.unwrap().unwrap().one_time);
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.give_one_time_password(ned, "$once").await.unwrap();
        book.save().await.unwrap();
        assert!(door.session(&[1; 32]).await.unwrap().is_none(), "the old sign-in is over");
        assert!(door.opens(ned).await.unwrap(), "once");
        assert!(!door.opens(ned).await.unwrap(), "and no more");
        for token in [[2; 32], [3; 32]] {
            door.begin_session(ned, token, [4; 32], TimeDelta::hours(2)).await.unwrap();
        }
        let signed_in = door.session(&[2; 32]).await.unwrap().unwrap();
        assert!(signed_in.one_time);
        assert_eq!(fresh.store.desk(&signed_in.scope).own_password().await.unwrap(), "$once");
        let mut book = fresh.store.book(&signed_in.scope, Right::Read).await.unwrap();
        book.change_own_password("$own", Some(&[2; 32])).await.unwrap();
        book.save().await.unwrap();
        assert!(!door.session(&[2; 32]).await.unwrap().unwrap().one_time);
        assert!(door.session(&[3; 32]).await.unwrap().is_none(), "other sign-ins are over");
        assert_eq!(door.password_of(NED.email).await.unwrap(), Some((ned, "$own".to_owned())));
        assert!(door.opens(ned).await.unwrap() && door.opens(ned).await.unwrap(), "their own always opens");
        let mut book = fresh.store.book(&signed_in.scope, Right::Read).await.unwrap();
        assert!(matches!(book.give_one_time_password(ned, "$x").await, Err(StoreError::Forbidden)));
    })
    .await;
}

#[tokio::test]
async fn a_one_time_password_waits_a_week() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let give = || async {
            let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
            let ned = door.password_of(NED.email).await.unwrap().unwrap().0;
            book.give_one_time_password(ned, "$once").await.unwrap();
            book.save().await.unwrap();
            ned
        };
        let mut book = fresh.store.book(&world.owner, Right::SetUp).await.unwrap();
        book.add_person(NED, Role::CrewLead, None).await.unwrap();
        book.save().await.unwrap();
        let ned = give().await;
        fresh.clock.pass(ONE_TIME_LASTS);
        assert!(!door.opens(ned).await.unwrap());
        give().await;
        fresh.clock.pass(ONE_TIME_LASTS - TimeDelta::seconds(1));
        assert!(door.opens(ned).await.unwrap());
    })
    .await;
}
