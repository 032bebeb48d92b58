//! Bringing in files: whole or not at all, once, within limits.

#![expect(clippy::unwrap_used, clippy::indexing_slicing, reason = "a test fails by panicking")]

mod house;

use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};

use house::{Answer, House, Site, site};
use store::Role;

const LABOR: &str = "\
date,block,task,people,hours_each,trees_done
2026-05-15,RB-1,thin,8,7.5,310
2026-05-16,RB-1,thin,8,7.5,320
";

async fn bring_in(house: &House, site: &Site, kind: &str, bytes: &str) -> Answer {
    let owner = house.owner_browser().await;
    site(owner.file("/bring-in", &[("kind", kind)], &format!("{kind}.csv"), bytes.as_bytes())).await
}

#[actix_web::test]
async fn a_file_is_brought_in_once() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let first = bring_in(&house, &site, "labor", LABOR).await;
    assert_eq!(first.status, 200);
    assert!(first.body.contains("Brought in 2 rows."), "{}", first.body);
    let same = bring_in(&house, &site, "labor", LABOR).await;
    assert!(same.body.contains("This very file was brought in on 1 Jul 2026; nothing was added."));
    let reordered = "task;block;date;people;hours_each;trees_done\nthin;RB-1;2026-05-15;8;7.5;310\n";
    let other = bring_in(&house, &site, "labor", reordered).await;
    assert!(other.body.contains("Every row of this file is already in the book; nothing was added."));
    assert!(other.body.contains("How labor.csv was read: semicolons between cells."));
    let grown = format!("{LABOR}2026-05-17,RB-1,thin,8,7.5,330\n");
    let more = bring_in(&house, &site, "labor", &grown).await;
    assert!(more.body.contains("Brought in 1 row; 2 rows were already in the book."));
    assert_eq!(house.labor_entries().await, 4);

    let list = site(house.owner_browser().await.request("GET", &house.labor_list())).await;
    assert!(list.body.contains("<small>labor.csv, line 4</small>"));
}

#[actix_web::test]
async fn a_file_with_a_mistake_leaves_nothing() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let cell = |text: &str| format!("<td>{text}</td>");
    let wrong = LABOR.replace("320", "many").replace("RB-1,thin,8,7.5,310", "RB1,thin,8,7.5,310");
    let answer = bring_in(&house, &site, "labor", &wrong).await;
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("Nothing of labor.csv was kept"));
    assert!(answer.body.contains("<code>trees_done</code>") && answer.body.contains(&cell("many")));

    let unknown = bring_in(&house, &site, "labor", &LABOR.replace("2026-05-16,RB-1", "2026-05-16,RB1")).await;
    assert_eq!(unknown.status, 422);
    assert!(unknown.body.contains("<td class=\"n\">3</td>"), "the line");
    assert!(unknown.body.contains("the code of a block in the book") && unknown.body.contains(&cell("RB-1")));

    let outside = bring_in(&house, &site, "labor", &LABOR.replace("2026-05-16", "2019-05-16")).await;
    assert_eq!(outside.status, 422);
    assert!(outside.body.contains("a day of a season in the book: 2026"));
    assert_eq!(house.labor_entries().await, 1);
}

#[actix_web::test]
async fn a_closed_season_is_named_with_its_lines() {
    let house = House::new().await;
    let mut book = house.state.store.book(&house.owner, store::Right::SetUp).await.unwrap();
    book.close_season(2026, &[]).await.unwrap();
    book.save().await.unwrap();
    let site = site(&house.state).await;
    let answer = bring_in(&house, &site, "labor", LABOR).await;
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("nothing new in season 2026, which is closed"));
}

#[actix_web::test]
async fn farms_and_blocks_come_in_as_well() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let farms = "farm,station\nHome Place,Home Place\n";
    assert!(bring_in(&house, &site, "farms", farms).await.body.contains("Brought in 1 row."));
    assert!(bring_in(&house, &site, "farms", farms).await.body.contains("already in the book; nothing was added."));
    let differs = bring_in(&house, &site, "farms", "farm,station\nHome Place,Elsewhere\n").await;
    assert_eq!(differs.status, 422);
    assert!(differs.body.contains("this one differs"));

    let blocks = "block,farm,crop,variety,acres,trees\nHP-1,Home Place,peach,Amber Noon,8.2,1272\n";
    assert!(bring_in(&house, &site, "blocks", blocks).await.body.contains("Brought in 1 row."));
    let homeless = bring_in(&house, &site, "blocks", &blocks.replace("HP-1,Home Place", "HP-2,Home Plaice")).await;
    assert_eq!(homeless.status, 422);
    assert!(homeless.body.contains("<td>Home Place</td>"), "the nearest farm is the example");

    let season = site(house.owner_browser().await.request("GET", "/season/2026")).await;
    assert!(season.body.contains("Amber Noon"));
    let keeper = house.browser(house.known("keeper", Role::Bookkeeper, None).await).await;
    let refused = site(keeper.file("/bring-in", &[("kind", "farms")], "farms.csv", farms.as_bytes())).await;
    assert_eq!(refused.status, 403);
}

#[actix_web::test]
async fn the_page_asks_for_what_is_missing() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    for (fields, name, sentence) in [
        (&[("kind", "")][..], "labor.csv", "Choose what the file holds."),
        (&[("kind", "labor")], "", "Choose a file."),
        (&[("kind", "labor"), ("season", "soon")], "labor.csv", "Choose a season of the book"),
    ] {
        let answer = site(owner.file("/bring-in", fields, name, LABOR.as_bytes())).await;
        assert_eq!(answer.status, 422);
        assert!(answer.body.contains(sentence), "{sentence}");
    }
    let elsewhere = site(owner.file("/bring-in", &[("kind", "labor"), ("season", "1999")], "a.csv", b"")).await;
    assert_eq!(elsewhere.status, 404);
}

#[actix_web::test]
async fn blank_files_read_back() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    for kind in intake::FileKind::all() {
        let answer = site(owner.request("GET", &web::routes::to::format_csv(kind))).await;
        assert_eq!(answer.header("content-type"), "text/csv; charset=utf-8");
        assert_eq!(answer.body, intake::blank(kind));
        assert!(answer.header("content-disposition").contains(&format!("{}.csv", kind.word())));
    }
    assert_eq!(site(owner.request("GET", "/bring-in/formats/none.csv")).await.status, 404);
}

#[actix_web::test]
async fn bodies_have_limits() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let long = "x".repeat(70_000);
    let form = site(owner.form(&format!("{}/add", house.labor_list()), &[("note", &long)])).await;
    assert_eq!(form.status, 413);
    assert!(form.body.contains("this page takes 64 KB at most"));
    let large = vec![b'x'; 21_000_000];
    let file = site(owner.file("/bring-in", &[("kind", "labor")], "labor.csv", &large)).await;
    assert_eq!(file.status, 413);
    assert!(file.body.contains("this page takes 20 MB at most"));
    // Without a length the limit holds while the file arrives.
    let unannounced = owner.file("/bring-in", &[("kind", "labor")], "labor.csv", &large);
    let mut request = unannounced;
    request = request.insert_header(("content-length", "1000"));
    assert_eq!(site(request).await.status, 413);
}

/// A real connection: 300 MB are announced, sent and refused, and the sender gets to read why.
#[actix_web::test]
async fn a_file_far_too_large_is_told_so() {
    let house = House::new().await;
    let owner = house.owner_browser().await;
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = listener.local_addr().unwrap();
    let server = web::serve(house.state.clone(), listener).unwrap();
    let handle = server.handle();
    let running = actix_web::rt::spawn(server);
    let cookie = owner.cookie.clone().unwrap();
    let announced = actix_web::rt::task::spawn_blocking(move || send_300_mb(address, &cookie));
    let answer = announced.await.unwrap();
    assert!(answer.starts_with("HTTP/1.1 413"), "{answer}");
    assert!(answer.contains("this page takes 20 MB at most"), "{answer}");
    handle.stop(false).await;
    running.await.unwrap().unwrap();
}

fn send_300_mb(address: SocketAddr, cookie: &str) -> String {
    const WHOLE: usize = 300_000_000;
    let mut stream = TcpStream::connect(address).unwrap();
    let head = format!(
        "POST /bring-in HTTP/1.1\r\nhost: {address}\r\norigin: http://{address}\r\ncookie: {cookie}\r\n\
         content-type: multipart/form-data; boundary=edge\r\ncontent-length: {WHOLE}\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).unwrap();
    let chunk = vec![b'x'; 1_000_000];
    for _ in 0..WHOLE / chunk.len() {
        stream.write_all(&chunk).unwrap();
    }
    let (mut answer, mut part) = (Vec::new(), [0; 4096]);
    // The server goes on reading for a while; the answer is whole when the page is.
    while !answer.ends_with(b"</html>") && !answer.ends_with(b"</html>\n") {
        let read = stream.read(&mut part).unwrap();
        assert!(read > 0, "cut short: {}", String::from_utf8_lossy(&answer));
        answer.extend_from_slice(&part[..read]);
    }
    String::from_utf8(answer).unwrap()
}
