//! Power cuts, and the other database.

use std::process::Command;
use std::time::Duration;

use tests::program::{Served, quick, run_well, top};
use tests::visitor::Visitor;

const OWNER: &str = "adah.merriwick@example.invalid";

/// What was acknowledged is there after `kill -9`; a file half sent left nothing.
#[tokio::test]
async fn an_acknowledged_record_survives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::demo(folder.path());
    let owner = Visitor::demo(&served, OWNER).await;
    let block = owner.get("/season/2026").await.links("/season/2026/block/")[0].split('#').next().unwrap().to_owned();
    let page = owner.get(&format!("{block}/observations/add")).await;
    let (csrf, key) = (page.hidden("csrf"), page.hidden("key"));
    let fields = [("csrf", csrf.as_str()), ("key", &key), ("date", "2026-07-01"), ("what", "written before the cut")];
    assert_eq!(owner.post(&format!("{block}/observations/add"), &fields).await.status, 200);
    let password = served.password.clone();
    served.kill();
    let mut again = Served::plain(folder.path(), "sqlite://seasonbook-data/demo.sqlite?mode=rwc");
    again.password = password;
    let owner = Visitor::demo(&again, OWNER).await;
    assert!(owner.get(&format!("{block}/observations")).await.text.contains("written before the cut"));
}

#[tokio::test]
async fn asked_to_stop_it_stops() {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::plain(folder.path(), "sqlite://book.sqlite?mode=rwc");
    assert_eq!(Visitor::nobody(&served).get("/health").await.status, 200);
    let asked = Command::new("kill").arg(served.id().to_string()).status().unwrap();
    assert!(asked.success());
    assert!(served.ends_within(Duration::from_secs(25)));
}

/// The first visit founds the operation; nobody can found a second over it.
#[tokio::test]
async fn the_first_visit_founds_the_operation() {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::plain(folder.path(), "sqlite://book.sqlite?mode=rwc");
    let first = Visitor::nobody(&served);
    assert_eq!(first.get("/").await.path, "/first-run");
    let page = first.get("/first-run").await;
    let short = [("operation", "Dry Gulch"), ("name", "A. Person"), ("email", "a@farm.example"), ("password", "short")];
    assert_eq!(first.post("/first-run", &short).await.status, 422, "{}", page.words());
    let good = [&short[..3], &[("password", "four plain words here"), ("year", "2026")]].concat();
    let answer = first.post("/first-run", &good).await;
    assert_eq!(answer.status, 200, "{}", answer.words());
    let second = Visitor::nobody(&served);
    assert_eq!(second.post("/first-run", &good).await.status, 404);
    assert_eq!(second.get("/first-run").await.status, 404);
    assert_eq!(second.get("/").await.path, "/sign-in");
}

/// The same commands on PostgreSQL; the reckoned reports are the same to the byte.
#[test]
fn postgresql_prints_the_same_reports() {
    let Some(server) = std::env::var("SEASONBOOK_TEST_POSTGRES").ok().filter(|_| !quick()) else {
        println!("left out: SEASONBOOK_TEST_POSTGRES is not set");
        return;
    };
    let name = format!("seasonbook_e2e_{}", std::process::id());
    let psql = |sql: &str| {
        let done = Command::new("psql").args([&server, "-q", "-c", sql]).output().unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    };
    psql(&format!("CREATE DATABASE {name} TEMPLATE template0 LC_COLLATE 'C' LC_CTYPE 'C'"));
    let url = format!("{}/{name}", server.rsplit_once('/').unwrap().0);
    let folders = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    run_well(folders[0].path(), &["demo", "--no-serve"]);
    run_well(folders[1].path(), &["demo", "--no-serve", "--database", &url]);
    for year in ["2025", "2026"] {
        for code in ["KW-2", "UD-2", "JS-4"] {
            let file = format!("season-reports/{year}-{code}.pdf");
            let [lite, post] = [0, 1].map(|n| std::fs::read(folders[n].path().join(&file)).unwrap());
            assert_eq!(lite.len(), post.len(), "{file}");
            assert!(lite == post, "{file} differs between the databases");
        }
    }
    psql(&format!("DROP DATABASE {name}"));
    assert!(top().join("fixtures/demo").exists());
}
