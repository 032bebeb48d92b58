//! The season of an operation as it is reported: ties out from both databases, in each person's scope.
#![cfg(test)]

mod common;

use common::{World, cost, money, world};
use reckon::money::Money;
use reckon::operation_season::OperationSeason;
use reckon::records::{Record, SharedBasis};
use reckon::season::StatementKey;
use store::kit::{Fresh, on_both};
use store::{Right, Role, Scope, Target};

async fn keep(fresh: &Fresh, world: &World, records: &[(Target, Record)]) {
    let mut book = fresh.store.book(&world.owner, Right::KeepBooks).await.unwrap();
    for (target, record) in records {
        book.add(target, record).await.unwrap();
    }
    book.save().await.unwrap();
}

async fn season(fresh: &Fresh, scope: &Scope, year: i32) -> OperationSeason {
    fresh.store.desk(scope).operation_records(year).await.unwrap().reckon()
}

fn over_all(season: &OperationSeason) -> Money {
    season.statement.line(StatementKey::OverAll).map_or(Money::ZERO, |line| line.amount.value)
}

#[tokio::test]
async fn blocks_and_what_nobody_bears_are_the_operation() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(
            &fresh,
            &world,
            &[
                (Target::Operation, cost("2026-03-01", 100_001, SharedBasis::Acres)),
                (Target::Operation, cost("2026-03-02", 777, SharedBasis::Boxes)),
                (Target::Farm(world.flat), cost("2026-02-01", 100, SharedBasis::Acres)),
                (Target::Block(world.rim_1), cost("2025-02-01", 300, SharedBasis::Acres)),
                (Target::Block(world.flat_1), cost("2026-02-01", 33, SharedBasis::Acres)),
            ],
        )
        .await;
        let whole = season(&fresh, &world.owner, 2026).await;
        assert!(whole.whole);
        assert_eq!(
            (whole.operation.as_str(), whole.season.year, whole.last_year),
            ("Dry Fork Orchards", 2026, Some(2025))
        );
        // Nothing was packed, so what is shared by boxes goes to no block.
        assert_eq!((over_all(&whole), whole.unallocated), (money(-100_134), money(777)));
        assert_eq!(whole.after_unallocated, money(-100_911));
        let blocks: Vec<(&str, Money)> =
            whole.shared_by_block.iter().map(|(block, sum)| (block.as_str(), *sum)).collect();
        assert_eq!(blocks, [("F-1", money(33_434)), ("R-1", money(53_334)), ("R-2", money(13_333))]);
        assert_eq!(whole.shared[0].farm.as_deref(), Some("Flat"));
        assert_eq!(whole.shared[1].blocks, ["R-1", "R-2", "F-1"]);
        assert_eq!(season(&fresh, &world.owner, 2025).await.last_year, None);
        assert!(fresh.store.desk(&world.owner).operation_records(1999).await.is_err());
    })
    .await;
}

#[tokio::test]
async fn a_person_of_one_farm_has_its_part_and_no_other() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        keep(
            &fresh,
            &world,
            &[
                (Target::Operation, cost("2026-03-01", 100_001, SharedBasis::Acres)),
                (Target::Farm(world.rim), cost("2026-02-01", 900, SharedBasis::Acres)),
            ],
        )
        .await;
        let keeper = fresh.person(&world.owner, Role::Bookkeeper, Some(&[world.flat])).await.unwrap();
        let seen = season(&fresh, &keeper, 2026).await;
        assert!(!seen.whole && seen.unallocated.is_zero());
        assert_eq!(seen.blocks.len(), 1);
        assert_eq!((seen.shared.len(), seen.shared[0].share_only), (1, true));
        assert_eq!((seen.shared[0].out.amount, over_all(&seen)), (money(33_334), money(-33_334)));
    })
    .await;
}
