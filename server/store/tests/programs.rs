//! Keys of other programs: each comes in as its maker, and only as long as its maker is in.
#![cfg(test)]

mod common;

use chrono::TimeDelta;
use common::{named_world, world};
use store::kit::on_both;
use store::{NewUser, Right, Role, Source, StoreError, Verb};

const HASH: [u8; 32] = [9; 32];

#[tokio::test]
async fn a_program_sees_what_its_maker_sees_now() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let door = fresh.store.door();
        let ned = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.flat])).await.unwrap();
        let mut book = fresh.store.book(&ned, Right::Read).await.unwrap();
        let key = book.add_program_key("packing line", HASH).await.unwrap();
        book.save().await.unwrap();
        let program = door.program(&HASH).await.unwrap().unwrap();
        assert_eq!((program.key, program.name.as_str(), &program.scope), (key, "packing line", &ned));
        assert!(door.program(&[8; 32]).await.unwrap().is_none());
        let mut book = fresh.store.book(&world.owner, Right::People).await.unwrap();
        book.change_person(ned.user(), Role::CrewLead, Some(&[world.rim])).await.unwrap();
        book.save().await.unwrap();
        let scope = door.program(&HASH).await.unwrap().unwrap().scope;
        assert_eq!((scope.role(), scope.farms()), (Role::CrewLead, Some(&[world.rim][..])));
    })
    .await;
}

#[tokio::test]
async fn the_last_use_is_noted_now_and_then() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let (door, desk) = (fresh.store.door(), fresh.store.desk(&world.owner));
        let made = fresh.clock.now();
        let mut book = fresh.store.book(&world.owner, Right::Read).await.unwrap();
        book.add_program_key("station", HASH).await.unwrap();
        book.save().await.unwrap();
        let used = async || desk.program_keys().await.unwrap()[0].used_at;
        assert_eq!(used().await, None);
        for (minutes, expected) in [(0, 0), (14, 0), (1, 15), (60, 75)] {
            fresh.clock.pass(TimeDelta::minutes(minutes));
            door.program(&HASH).await.unwrap().unwrap();
            assert_eq!(used().await, Some(made + TimeDelta::minutes(expected)), "after {minutes} more minutes");
        }
        let keys = desk.program_keys().await.unwrap();
        assert_eq!((keys.len(), keys[0].name.as_str(), keys[0].made_at), (1, "station", made));
    })
    .await;
}

#[tokio::test]
async fn a_key_taken_away_opens_nothing_and_both_are_in_the_changes() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, named_world(&fresh, "Cinder Bench").await);
        let colleague = fresh.person(&world.owner, Role::Owner, None).await.unwrap();
        let mut book = fresh.store.book(&world.owner, Right::Read).await.unwrap();
        let key = book.add_program_key("accountant", HASH).await.unwrap();
        book.save().await.unwrap();
        for stranger in [&colleague, &other.owner] {
            assert_eq!(fresh.store.desk(stranger).program_keys().await.unwrap(), []);
            let mut book = fresh.store.book(stranger, Right::Read).await.unwrap();
            assert!(matches!(book.remove_program_key(key).await, Err(StoreError::NotFound)));
        }
        fresh.clock.pass(TimeDelta::minutes(1));
        let mut book = fresh.store.book(&world.owner, Right::Read).await.unwrap();
        book.remove_program_key(key).await.unwrap();
        book.save().await.unwrap();
        assert!(fresh.store.door().program(&HASH).await.unwrap().is_none());
        let desk = fresh.store.desk(&world.owner);
        assert_eq!(desk.program_keys().await.unwrap(), []);
        let changes = desk.changes(2).await.unwrap();
        let told: Vec<_> = changes.iter().map(|c| (c.verb, c.kind.as_str(), c.place.as_str())).collect();
        let line = |verb| (verb, "program key", "accountant");
        assert_eq!(told, [line(Verb::Removed), line(Verb::Added)]);
        assert_eq!(changes[1].after.as_deref(), Some("{\"name\":\"accountant\"}"), "and nothing of the key");
    })
    .await;
}

/// Who may change people takes one key of a colleague away; whose it was is told.
#[tokio::test]
async fn an_owner_takes_a_colleagues_key_away() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, named_world(&fresh, "Cinder Bench").await);
        let ned = fresh.person(&world.owner, Role::Manager, None).await.unwrap();
        let mut book = fresh.store.book(&ned, Right::Read).await.unwrap();
        let key = book.add_program_key("packing line", HASH).await.unwrap();
        let kept = book.add_program_key("scale", [8; 32]).await.unwrap();
        book.save().await.unwrap();
        assert!(matches!(fresh.store.desk(&ned).program_keys_of(ned.user()).await, Err(StoreError::Forbidden)));
        let mut book = fresh.store.book(&ned, Right::Read).await.unwrap();
        assert!(matches!(book.remove_program_key_of(ned.user(), key).await, Err(StoreError::Forbidden)));
        drop(book);
        assert_eq!(fresh.store.desk(&other.owner).program_keys_of(ned.user()).await.unwrap(), []);
        let mut book = fresh.store.book(&other.owner, Right::People).await.unwrap();
        assert!(matches!(book.remove_program_key_of(ned.user(), key).await, Err(StoreError::NotFound)));
        drop(book);
        fresh.clock.pass(TimeDelta::minutes(1));
        let mut book = fresh.store.book(&world.owner, Right::People).await.unwrap();
        book.remove_program_key_of(ned.user(), key).await.unwrap();
        book.save().await.unwrap();
        assert!(fresh.store.door().program(&HASH).await.unwrap().is_none());
        assert!(fresh.store.door().program(&[8; 32]).await.unwrap().is_some());
        let desk = fresh.store.desk(&world.owner);
        assert_eq!(desk.program_keys_of(ned.user()).await.unwrap()[0].id, kept);
        let change = desk.changes(1).await.unwrap().remove(0);
        assert_eq!((change.verb, change.place.as_str()), (Verb::Removed, "packing line"));
        assert!(change.before.unwrap().contains("\"of\""));
    })
    .await;
}

#[tokio::test]
async fn a_removed_persons_keys_are_gone_even_when_they_come_back() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let ned = NewUser { name: "Ned", email: "ned@example.test", password_hash: "$argon2id$y" };
        let mut book = fresh.store.book(&world.owner, Right::People).await.unwrap();
        let user = book.add_person(ned, Role::Manager, None).await.unwrap();
        book.save().await.unwrap();
        let scope = fresh.store.door().operator(Some(ned.email)).await.unwrap();
        let mut book = fresh.store.book(&scope, Right::Read).await.unwrap();
        book.add_program_key("packing line", HASH).await.unwrap();
        book.save().await.unwrap();
        assert!(fresh.store.door().program(&HASH).await.unwrap().is_some());
        let mut book = fresh.store.book(&world.owner, Right::People).await.unwrap();
        book.remove_person(user).await.unwrap();
        book.save().await.unwrap();
        assert!(fresh.store.door().program(&HASH).await.unwrap().is_none());
        let mut book = fresh.store.book(&world.owner, Right::People).await.unwrap();
        book.add_person(ned, Role::Manager, None).await.unwrap();
        book.save().await.unwrap();
        assert!(fresh.store.door().program(&HASH).await.unwrap().is_none());
    })
    .await;
}

#[tokio::test]
async fn no_two_keys_are_alike() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, named_world(&fresh, "Cinder Bench").await);
        let mut book = fresh.store.book(&world.owner, Right::Read).await.unwrap();
        book.add_program_key("one", HASH).await.unwrap();
        book.save().await.unwrap();
        let mut book = fresh.store.book(&other.owner, Right::Read).await.unwrap();
        assert!(book.add_program_key("another", HASH).await.is_err());
    })
    .await;
}

#[tokio::test]
async fn where_a_request_led_is_read_without_a_book() {
    on_both(|fresh| async move {
        let (world, other) = (world(&fresh).await, named_world(&fresh, "Cinder Bench").await);
        let desk = fresh.store.desk(&world.owner);
        let mut book = fresh.store.book(&world.owner, Right::Read).await.unwrap();
        assert_eq!(book.once("a").await.unwrap(), None);
        book.settle_once("a", "there").await.unwrap();
        book.save().await.unwrap();
        assert_eq!(desk.led_to("a").await.unwrap().as_deref(), Some("there"));
        assert_eq!(desk.led_to("b").await.unwrap(), None);
        assert_eq!(fresh.store.desk(&other.owner).led_to("a").await.unwrap(), None);
    })
    .await;
}
