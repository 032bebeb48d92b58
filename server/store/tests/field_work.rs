//! Field work of a season: what work is due by, without the rest.
#![cfg(test)]

mod common;

use common::{every_record, target, world};
use store::Right;
use store::kit::on_both;

#[tokio::test]
async fn field_work_is_the_season_without_the_rest() {
    on_both(|fresh| async move {
        let world = world(&fresh).await;
        let mut book = fresh.store.book(&world.owner, Right::KeepField).await.unwrap();
        for date in ["2026-05-14", "2025-05-14"] {
            for record in every_record(date) {
                book.add(&target(&world, &record), &record).await.unwrap();
            }
        }
        book.save().await.unwrap();
        let desk = fresh.store.desk(&world.owner);
        let (whole, work) = (desk.whole_season(2026).await.unwrap(), desk.field_work(2026).await.unwrap());
        assert_eq!(work.len(), whole.len());
        for ((id, own), (whole_id, whole)) in work.iter().zip(&whole) {
            assert_eq!((id, &own.block, &own.farm, &own.season), (whole_id, &whole.block, &whole.farm, &whole.season));
            assert_eq!((&own.labor, &own.picks, &own.observations), (&whole.labor, &whole.picks, &whole.observations));
            assert_eq!(own.targets, whole.targets, "a crew's sheet says how many fruit to leave");
            assert!(own.weather.is_empty() && own.irrigation.is_empty());
        }
        let of = |id| work.iter().find(|(own, _)| *own == id).map(|(_, records)| records);
        assert!(work.iter().all(|(_, records)| !records.targets.is_empty()));
        assert!(of(world.rim_1).is_some_and(|records| !records.labor.is_empty() && !records.picks.is_empty()));
    })
    .await;
}
