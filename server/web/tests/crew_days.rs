//! Days of crews over several blocks, asked about before they are kept.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, bring_in, keep, site};

/// 25 hours of one person, 16 of them under another block.
#[actix_web::test]
async fn a_day_of_two_blocks_that_is_too_long_is_asked_about_at_entry() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let block = "block,farm,crop,variety,acres,trees\nRB-2,River Bench,peach,Amber Noon,5,900\n";
    assert_eq!(bring_in(&house, &site, "blocks", &[], block).await.status, 200);
    let other = "date,block,task,crew,people,hours\n2026-05-20,RB-2,thin,Step,1,16\n";
    assert_eq!(bring_in(&house, &site, "labor", &[], other).await.status, 200);
    let entry =
        |day, hours| [("date", day), ("task", "thin"), ("crew", "step crew"), ("people", "1"), ("hours", hours)];
    let asked = keep(&house, &site, &entry("2026-05-20", "9")).await;
    assert_eq!(asked.status, 422);
    let question = "has 25 h on 20 May in RB-1 and RB-2: more than 24 h each.";
    assert!(asked.body.contains(question), "{}", asked.body);
    assert_eq!(keep(&house, &site, &entry("2026-05-20", "8")).await.status, 303, "24 hours");
    // A file, with what the book holds; and the same file again adds nothing and asks nothing.
    let more = "date,block,task,crew,people,hours\n2026-05-20,RB-1,prune,Step,1,1\n2026-05-22,RB-1,thin,Step,1,13\n\
                2026-05-22,RB-2,thin,Step,1,12\n";
    let asked = bring_in(&house, &site, "labor", &[], more).await;
    assert_eq!(asked.status, 422);
    assert!(asked.body.contains("has 25 h on 20 May") && asked.body.contains("has 25 h on 22 May"), "{}", asked.body);
    assert_eq!(bring_in(&house, &site, "labor", &[("sure", "yes")], more).await.status, 200);
    let again = bring_in(&house, &site, "labor", &[], &format!("{more}2026-05-23,RB-2,thin,Step,1,12\n")).await;
    assert!(again.body.contains("Brought in 1 row"), "{}", again.body);
    assert_eq!(keep(&house, &site, &entry("2026-05-21", "9")).await.status, 303, "another day");
}
