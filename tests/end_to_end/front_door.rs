//! Through the front door with plain HTTP: who may see what, what is refused, and how.

use std::io::{Read, Write};
use std::net::TcpStream;

use tests::program::Served;
use tests::visitor::Visitor;

const OWNER: &str = "adah.merriwick@example.invalid";
const BOOKKEEPER: &str = "ines.hallowick@example.invalid";
const CREW_LEAD: &str = "beto.quillarte@example.invalid";

fn demo() -> (tempfile::TempDir, Served) {
    let folder = tempfile::tempdir().unwrap();
    let served = Served::demo(folder.path());
    (folder, served)
}

#[tokio::test]
async fn every_page_a_person_is_led_to_answers() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let season = owner.get("/").await;
    assert_eq!((season.status, season.path.as_str()), (200, "/season/2026"));
    let mut seen = std::collections::BTreeSet::new();
    let mut ahead = season.links("/");
    while let Some(link) = ahead.pop() {
        let place = link.split('#').next().unwrap().to_owned();
        if seen.len() > 160 || !seen.insert(place.clone()) || place.contains("/static/") {
            continue;
        }
        let answer = owner.get(&place).await;
        assert_eq!(answer.status, 200, "{place}");
        assert!(answer.headers.contains_key("content-security-policy"), "{place}");
        // One record of a kind stands for all of them: follow lists, not each entry's links.
        let worth = |link: &String| !link.contains("/correct") && !link.contains("/remove");
        ahead.extend(answer.links("/").into_iter().filter(worth));
    }
    assert!(seen.len() > 60, "only {} pages", seen.len());
}

/// What is counted in this season and was kept in another is shown here with its links: each answers.
#[tokio::test]
async fn entries_of_other_seasons_are_not_dead_ends() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let blocks = owner.get("/season/2026").await.links("/season/2026/block/");
    let block = blocks.first().unwrap().split(['#', '?']).next().unwrap().to_owned();
    let whole =
        ["/season/2026/mulch", "/season/2026/costs", "/season/2026/records/sizes", "/season/2026/records/rates"];
    let whole = whole.into_iter().chain(["/season/2026/records/prices", "/season/2026/due"]).map(str::to_owned);
    let pages: Vec<String> = whole.chain([block.clone(), format!("{block}/mulch"), format!("{block}/costs")]).collect();
    let mut links = std::collections::BTreeSet::new();
    for page in &pages {
        links.extend(owner.get(page).await.links("/").iter().map(|link| link.split('#').next().unwrap().to_owned()));
    }
    // Other pages and files are followed from the front page, above.
    links.retain(|link| link.contains("/correct"));
    for link in &links {
        assert_ne!(owner.get(link).await.status, 404, "{link}");
    }
    assert!(links.iter().any(|link| link.starts_with("/season/2025/") && link.contains("/correct")), "{links:?}");
}

#[tokio::test]
async fn what_is_out_of_scope_does_not_exist() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let crew = Visitor::demo(&served, CREW_LEAD).await;
    let all = owner.get("/season/2026").await.links("/season/2026/block/");
    let own = crew.get("/season/2026").await.links("/season/2026/block/");
    let page = |link: &str| link.split('#').next().unwrap().to_owned();
    let own: Vec<String> = own.iter().map(|link| page(link)).collect();
    let strange = all.iter().map(|link| page(link)).find(|link| !own.contains(link)).unwrap();
    assert!(!own.is_empty());
    assert_eq!(crew.get(&strange).await.status, 404);
    assert_eq!(crew.get(&format!("{strange}/water")).await.status, 404);
    // A report shows money, so a crew lead has none, of a block in scope or out of it.
    for block in [&strange, own.first().unwrap()] {
        assert_eq!(crew.get(&format!("{block}/report.pdf")).await.status, 403);
    }
    assert_eq!(crew.get("/bring-in").await.status, 403);
    let nobody = Visitor::nobody(&served);
    assert_eq!(nobody.get(&strange).await.path, "/sign-in");
    assert_eq!(crew.get("/season/2026/block/not-an-id").await.status, 404);
}

#[tokio::test]
async fn a_form_from_elsewhere_and_a_form_without_its_token_are_refused() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let block = owner.get("/season/2026").await.links("/season/2026/block/")[0].split('#').next().unwrap().to_owned();
    let add = format!("{block}/labor/add");
    let fields = [("date", "2026-03-02"), ("task", "other"), ("hours", "3"), ("note", "from elsewhere")];
    assert_eq!(owner.post_from_elsewhere(&add, &fields).await.status, 403);
    assert_eq!(owner.post(&add, &fields).await.status, 403);
    assert!(!owner.get(&format!("{block}/labor")).await.text.contains("from elsewhere"));
}

#[tokio::test]
async fn bad_entries_come_back_as_typed_and_good_ones_are_kept_once() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let block = owner.get("/season/2026").await.links("/season/2026/block/")[0].split('#').next().unwrap().to_owned();
    let add = format!("{block}/labor/add");
    let page = owner.get(&add).await;
    let (csrf, key) = (page.hidden("csrf"), page.hidden("key"));
    for (column, value) in [
        ("trees_done", "0"),
        ("hours", "1e308"),
        ("hours", "-4"),
        ("date", "2019-01-01"),
        ("payroll_pct", "140"),
        ("overtime_hours", "99"),
        ("note", "a\u{0}b"),
        ("hours", "<script>"),
    ] {
        let mut fields = vec![
            ("csrf", csrf.as_str()),
            ("key", key.as_str()),
            ("date", "2026-03-02"),
            ("task", "other"),
            ("hours", "3"),
            ("crew", "Crew Nine"),
        ];
        fields.retain(|(name, _)| *name != column);
        fields.push((column, value));
        let answer = owner.post(&add, &fields).await;
        assert_eq!(answer.status, 422, "{column} = {value:?}: {}", answer.words());
        assert!(answer.text.contains("Crew Nine"), "{column}: what was typed is lost");
        assert!(!answer.text.contains("<script>"), "{column}");
    }
    let good = [("csrf", csrf.as_str()), ("key", &key), ("date", "2026-03-02"), ("task", "other"), ("hours", "3.25")];
    let good = [&good[..], &[("wage_usd_per_hour", "18"), ("note", "kept just once")]].concat();
    for _ in 0..2 {
        assert_eq!(owner.post(&add, &good).await.status, 200);
    }
    let list = owner.get(&format!("{block}/labor")).await;
    assert_eq!(list.text.matches("kept just once").count(), 1);
}

#[tokio::test]
async fn bad_files_say_where_and_leave_nothing() {
    let (_folder, served) = demo();
    let books = Visitor::demo(&served, BOOKKEEPER).await;
    let before = books.get("/changes").await.words();
    let block = "KW-1";
    let head = "date,block,task,hours,wage_usd_per_hour,trees_done";
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("trees.csv", format!("{head}\n2026-03-02,{block},prune,8,18,0\n").into(), "trees_done"),
        ("stranger.csv", format!("{head}\n2026-03-02,ZZ-9,prune,8,18,\n").into(), "ZZ-9"),
        ("outside.csv", format!("{head}\n2019-03-02,{block},prune,8,18,\n").into(), "2019-03-02"),
        (
            "one-bad.csv",
            format!("{head}\n2026-03-02,{block},prune,8,18,5\n2026-03-03,{block},prune,x,18,5\n").into(),
            "hours",
        ),
        ("empty.csv", Vec::new(), "empty"),
        ("report.csv", b"%PDF-1.7\n1 0 obj".to_vec(), "PDF"),
        ("nul.csv", format!("{head}\n2026-03-02,{block},pr\u{0}une,8,18,\n").into(), "task"),
        ("huge.csv", format!("{head}\n2026-03-02,{block},{},8,18,\n", "x".repeat(1 << 20)).into(), "task"),
        ("money.csv", format!("{head}\n2026-03-02,{block},prune,1e308,18,\n").into(), "hours"),
    ];
    for (name, bytes, word) in cases {
        let answer = books.bring_in("labor", name, bytes).await;
        assert_eq!(answer.status, 422, "{name}");
        assert!(answer.words().contains(word), "{name}: {}", answer.words());
    }
    assert_eq!(books.get("/changes").await.words(), before, "something was kept");
    let latin = b"date;block;task;hours;wage_usd_per_hour;note\n2026-03-02;KW-1;prune;8,5;18,25;se\xf1al\n".to_vec();
    let answer = books.bring_in("labor", "latin.csv", latin).await;
    assert_eq!(answer.status, 200, "{}", answer.words());
    assert!(answer.words().contains("Brought in 1 row"), "{}", answer.words());
}

/// A body that claims 300 MB is refused early, in words.
#[tokio::test]
async fn a_body_of_300_megabytes_is_refused_with_a_sentence() {
    let (_folder, served) = demo();
    let address = served.address.trim_start_matches("http://").to_owned();
    let answer = tokio::task::spawn_blocking(move || {
        let mut stream = TcpStream::connect(&address).unwrap();
        let head = format!(
            "POST /bring-in HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\n\
             Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 314572800\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).unwrap();
        // Keep sending until it will not take more: what counts is the answer.
        let block = vec![b'x'; 1 << 16];
        for _ in 0..64 {
            if stream.write_all(&block).is_err() {
                break;
            }
        }
        stream.set_read_timeout(Some(std::time::Duration::from_secs(40))).unwrap();
        let mut answer = Vec::new();
        let mut piece = [0; 4096];
        while let Ok(n) = stream.read(&mut piece) {
            if n == 0 || answer.len() > 64_000 {
                break;
            }
            answer.extend_from_slice(&piece[..n]);
            if answer.windows(7).any(|w| w == b"</html>") {
                break;
            }
        }
        String::from_utf8_lossy(&answer).into_owned()
    })
    .await
    .unwrap();
    let status = answer.lines().next().unwrap_or_default().to_owned();
    // Nobody is signed in on this connection: being sent to the sign-in page is an early refusal too.
    assert!(status.contains("413") || status.contains("303"), "{status}");
    assert_eq!(Visitor::nobody(&served).get("/health").await.status, 200);
}

#[tokio::test]
async fn a_signed_in_300_megabyte_file_is_refused_and_the_book_goes_on() {
    let (_folder, served) = demo();
    let owner = Visitor::demo(&served, OWNER).await;
    let answer = owner.bring_in("labor", "big.csv", vec![b'1'; 300 << 20]).await;
    assert_eq!(answer.status, 413);
    assert!(answer.words().contains("20 MB"), "{}", answer.words());
    assert_eq!(owner.get("/season/2026").await.status, 200);
}
