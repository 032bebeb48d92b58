//! Doubles, rows that were removed, and values that can hardly be meant: by file and by form.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod house;

use house::{House, bring_in, keep, site};
use reckon::figure::RecordKind;
use store::{RecordFilter, Right};

const LABOR: &str = "\
date,block,task,people,hours_each,trees_done
2026-05-15,RB-1,thin,8,7.5,310
2026-05-16,RB-1,thin,8,7.5,320
";

/// The entry of the house once more, as an office would spell it.
const AGAIN: &str = "\
date,block,task,pass,crew,people,hours,trees_done,note
2026-05-14, rb-1 ,thin,1,CREW ARROYO,8,60,620,from the time sheet
";

async fn remove_line(house: &House, line: u32) {
    let listed = house.state.store.desk(&house.owner).records(RecordFilter::of(RecordKind::Labor)).await.unwrap();
    let row = listed.iter().find(|row| row.from_file.as_ref().is_some_and(|(_, known)| *known == line)).unwrap();
    let mut book = house.state.store.book(&house.owner, Right::KeepField).await.unwrap();
    book.remove(RecordKind::Labor, row.id, row.version).await.unwrap();
    book.save().await.unwrap();
}

#[actix_web::test]
async fn a_removed_row_is_told_and_comes_back_when_it_is_wished() {
    let house = House::new().await;
    let site = site(&house.state).await;
    bring_in(&house, &site, "labor", &[], LABOR).await;
    remove_line(&house, 3).await;
    let told = "1 row of this file was removed by Ana Owner on 1 Jul 2026 and was not added again.";
    let same = bring_in(&house, &site, "labor", &[], LABOR).await;
    assert!(same.body.contains(told), "{}", same.body);
    let grown = format!("{LABOR}2026-05-17,RB-1,thin,8,7.5,330\n");
    let more = bring_in(&house, &site, "labor", &[], &grown).await;
    assert!(more.body.contains("Brought in 1 row; 1 row was already in the book.") && more.body.contains(told));
    assert!(more.body.contains("Bring back rows that were removed from the book"));
    assert_eq!(house.labor_entries().await, 3);
    let back = bring_in(&house, &site, "labor", &[("bring_back", "yes")], LABOR).await;
    assert!(back.body.contains("This very file was brought in on 1 Jul 2026; 1 row was brought back now."));
    assert_eq!(house.labor_entries().await, 4);
}

#[actix_web::test]
async fn a_row_that_looks_like_an_entry_of_the_book_is_asked_about() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let asked = bring_in(&house, &site, "labor", &[], AGAIN).await;
    assert_eq!(asked.status, 422);
    let told = "Line 2 looks like the labor entry of 14 May 2026 for RB-1, entered by hand";
    assert!(asked.body.contains(told), "{}", asked.body);
    assert!(asked.body.contains("Nothing of labor.csv was kept"));
    assert_eq!(house.labor_entries().await, 1);
    let without = bring_in(&house, &site, "labor", &[("doubles", "leave-out")], AGAIN).await;
    assert!(
        without.body.contains("1 row looks like records of the book or like another row and was left out."),
        "{}",
        without.body
    );
    assert_eq!(house.labor_entries().await, 1);
    let also = bring_in(&house, &site, "labor", &[("doubles", "add")], AGAIN).await;
    assert_eq!(also.status, 200);
    assert_eq!(house.labor_entries().await, 2);
}

/// The entry of the house with its hours put right, in a file brought in again.
#[actix_web::test]
async fn a_row_with_one_mended_cell_is_asked_about_with_what_differs() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let mended = AGAIN.replace(",60,620", ",60.25,620");
    let asked = bring_in(&house, &site, "labor", &[], &mended).await;
    assert_eq!(asked.status, 422);
    let line = "Line 2 looks like the labor entry of 14 May 2026 for RB-1, entered by hand, all but the hours";
    assert!(asked.body.contains(line), "{}", asked.body);
    assert_eq!(house.labor_entries().await, 1);
    let two = mended.replace(",8,60.25", ",7,60.25");
    assert_eq!(bring_in(&house, &site, "labor", &[], &two).await.status, 200, "another crew day");

    let cost = "date,payee,category,group,amount_usd\n2026-04-02,Ditch Supply,wire,cultural,120.50\n";
    assert_eq!(bring_in(&house, &site, "costs", &[], cost).await.status, 200);
    let blank = bring_in(&house, &site, "costs", &[], &cost.replace("Ditch Supply", "")).await;
    assert!(blank.body.contains("all but the payee"), "{}", blank.body);
    let dearer = bring_in(&house, &site, "costs", &[], &cost.replace("120.50", "125.50")).await;
    assert!(dearer.body.contains("all but the amount"), "{}", dearer.body);
}

/// Rates and weather of one day: of several one counts, whenever it was kept, and nobody keeps a second one unasked.
#[actix_web::test]
async fn a_second_rate_or_weather_of_one_day_is_asked_about() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let rate = "from,rate,task,usd_per_hour\n2026-01-01,wage,prune,17.25\n";
    assert_eq!(bring_in(&house, &site, "rates", &[], rate).await.status, 200);
    let other = bring_in(&house, &site, "rates", &[], &rate.replace("17.25", "18")).await;
    assert_eq!(other.status, 422);
    let line = "of 1 Jan 2026 (17.25), from rates.csv, line 2, with another rate; of the two the higher counts";
    assert!(other.body.contains(line), "{}", other.body);
    let add = "/season/2026/records/rates/add";
    let key = site(owner.request("GET", add)).await.value("key");
    let typed =
        [("key", key.as_str()), ("from", "2026-01-01"), ("rate", "wage"), ("task", "prune"), ("usd_per_hour", "18")];
    let asked = site(owner.form(add, &typed)).await;
    assert_eq!(asked.status, 422);
    assert!(asked.body.contains("There is already a "), "{}", asked.body);
    assert!(asked.body.contains(" from 1 Jan 2026 (17.25), which Ana Owner kept on 1 Jul 2026 (rates.csv, line 2)."));
    assert!(asked.body.contains("Of the two the higher counts. Keep both?"));
    let task = typed.map(|(name, value)| (name, if name == "task" { "thin" } else { value }));
    assert_eq!(site(owner.form(add, &task)).await.status, 303, "another task's wage");

    let weather = "date,station,tmax_f,tmin_f,rain_in\n2026-05-03,River Bench,80,50,0.1\n";
    let first = bring_in(&house, &site, "weather", &[], weather).await;
    assert_eq!(first.status, 200, "{}", first.body);
    let second = bring_in(&house, &site, "weather", &[], &weather.replace("0.1", "0.4")).await;
    assert_eq!(second.status, 422);
    assert!(
        second.body.contains("with another weather; of the two the fuller, then the drier counts"),
        "{}",
        second.body
    );
}

/// A share of a block that is not there would go to nobody.
#[actix_web::test]
async fn fixed_shares_name_blocks_of_the_book_and_of_the_costs_farm() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let costs = "date,farm,category,group,amount_usd,shared_by,shares\n\
                 2026-04-02,River Bench,wire,cultural,120.50,fixed shares,rb-1=40;RB-99=60\n\
                 2026-04-02,Sand Draw,wire,cultural,10,fixed shares,RB-1=100\n";
    let refused = bring_in(&house, &site, "costs", &[], costs).await;
    assert_eq!(refused.status, 422);
    for told in ["RB-99", "the codes of blocks of the cost"] {
        assert!(refused.body.contains(told), "{told}: {}", refused.body);
    }
    assert!(refused.body.matches("<code>shares</code>").count() >= 2, "{}", refused.body);
    let good = costs.replace("RB-99=60", "").replace("rb-1=40;", "rb-1=100").replace("Sand Draw", "");
    assert_eq!(bring_in(&house, &site, "costs", &[], &good).await.status, 200);
    let add = "/season/2026/records/costs/add";
    let key = site(owner.request("GET", add)).await.value("key");
    let typed = [
        ("key", key.as_str()),
        ("date", "2026-04-03"),
        ("category", "wire"),
        ("group", "cultural"),
        ("amount_usd", "5"),
        ("shared_by", "fixed shares"),
        ("shares", "RB-1=50;RB-99=50"),
    ];
    let again = site(owner.form(add, &typed)).await;
    assert_eq!(again.status, 422);
    assert!(again.body.contains("the codes of blocks"), "{}", again.body);
}

#[actix_web::test]
async fn values_that_can_hardly_be_meant_are_asked_about() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let odd = "date,block,task,hours,wage_usd_per_hour,trees_done\n2026-05-15,RB-1,thin,8,1750,9000\n\
               2026-11-15,RB-1,prune,8,17.50,\n";
    let asked = bring_in(&house, &site, "labor", &[], odd).await;
    assert_eq!(asked.status, 422);
    for sentence in [
        "The wage is 1,750 dollars an hour. Is it so much?",
        "9,000 trees done are more than the 2,387 bearing trees of the block. Is the number right?",
        "2026-11-15 lies after today, 2026-07-01. Has this happened already?",
    ] {
        assert!(asked.body.contains(sentence), "{sentence} in {}", asked.body);
    }
    assert_eq!(house.labor_entries().await, 1);
    assert_eq!(bring_in(&house, &site, "labor", &[("sure", "yes")], odd).await.status, 200);
    assert_eq!(house.labor_entries().await, 3);
    let block = "block,farm,crop,variety,acres,trees\nKW-1,River Bench,peach,Amber Noon,1,900000\n";
    let asked = bring_in(&house, &site, "blocks", &[], block).await;
    assert!(asked.body.contains("900,000 trees on 1 acre. Is it so many?"), "{}", asked.body);
}

/// Whatever is wrong with cells, places and days is said in one round, in the order of lines.
#[actix_web::test]
async fn every_mistake_is_told_in_one_round() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let wrong = "date,block,task,hours,trees_done\n2026-05-15,RB9,thin,8,many\n2019-05-16,RB-1,thin,eight,\n\
                 2019-05-17,RB8,thin,8,\n";
    let answer = bring_in(&house, &site, "labor", &[], wrong).await;
    assert_eq!(answer.status, 422);
    let page = scraper::Html::parse_document(&answer.body);
    let cells = scraper::Selector::parse("tbody tr").unwrap();
    let told: Vec<String> = page
        .select(&cells)
        .map(|row| row.text().map(str::trim).filter(|text| !text.is_empty()).take(3).collect::<Vec<_>>().join(" "))
        .collect();
    assert_eq!(
        told,
        ["2 trees_done many", "2 block RB9", "3 hours eight", "3 date 2019-05-16", "4 date 2019-05-17", "4 block RB8"]
    );
}

#[actix_web::test]
async fn a_block_that_differs_is_told_column_by_column_with_its_page() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let same = "block,farm,crop,variety,acres,trees\nrb-1,RIVER BENCH,nectarine,Ninebark,15,2387\n";
    let known = bring_in(&house, &site, "blocks", &[], same).await;
    assert!(known.body.contains("already in the book; nothing was added."), "{}", known.body);
    let differs = bring_in(&house, &site, "blocks", &[], &same.replace("15,2387", "14.5,2387")).await;
    assert_eq!(differs.status, 422);
    assert!(differs.body.contains("acres is 15 in the book and 14.5 in the file"), "{}", differs.body);
    let page = format!("<a href=\"/season/2026/block/{}/correct\">page of RB-1</a>", house.block);
    assert!(differs.body.contains(&page), "{}", differs.body);
    let twin =
        "block,farm,crop,variety,acres\nkw-1,River Bench,plum,Amber Noon,2\nKW-1,River Bench,plum,Amber Noon,2\n";
    assert_eq!(bring_in(&house, &site, "blocks", &[], twin).await.status, 422);
}

/// A rate holds from its day on, whichever season is the first of the book.
#[actix_web::test]
async fn a_rate_from_before_the_first_season_comes_in() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let rates = "from,rate,pct\n2019-01-01,payroll,11.5\n";
    let any = bring_in(&house, &site, "rates", &[], rates).await;
    assert!(any.body.contains("Brought in 1 row."), "{}", any.body);
    let ahead = "from,rate,pct\n2026-12-01,payroll,12\n2020-01-01,payroll,11.75\n";
    let chosen = bring_in(&house, &site, "rates", &[("season", "2026")], ahead).await;
    assert!(chosen.body.contains("Brought in 2 rows."), "{}", chosen.body);
}

#[actix_web::test]
async fn an_entry_sent_again_by_form_is_asked_about_and_kept_once_it_is_ticked() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let entry = [("date", "2026-05-14"), ("task", "thin"), ("pass", "1"), ("people", "8"), ("hours", "60")];
    let asked = keep(&house, &site, &entry).await;
    assert_eq!(asked.status, 422);
    let question =
        "This looks like the labor entry of 14 May 2026 that Ana Owner kept on 1 Jul 2026. Is it another one?";
    assert!(asked.body.contains(question), "{}", asked.body);
    assert_eq!(house.labor_entries().await, 1);
    let mut ticked = entry.to_vec();
    ticked.push(("sure", question));
    assert_eq!(keep(&house, &site, &ticked).await.status, 303);
    assert_eq!(house.labor_entries().await, 2);
    // A tick is for the question it stood at.
    ticked.retain(|(name, _)| *name != "hours");
    ticked.extend([("hours", "150"), ("wage_usd_per_hour", "1940")]);
    let other = keep(&house, &site, &ticked).await;
    assert_eq!(other.status, 422);
    assert!(other.body.contains("The wage is 1,940 dollars an hour. Is it so much?"));
    assert!(other.body.contains("150 hours for 8 people are more than 16 hours for each in one day. Are both right?"));
}

/// The rows of a file are held against each other: the same work, and one tree counted three times on a day.
#[actix_web::test]
async fn rows_of_one_file_that_look_alike_are_asked_about() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let row = "2026-05-20,RB-1,thin,North crew,48\n";
    let file = format!("date,block,task,crew,hours\n{row}2026-05-21,RB-1,thin,,48\n{row}");
    let file = format!("{file}{}", row.replace("North crew,48", "cuadrilla North,47"));
    let asked = bring_in(&house, &site, "labor", &[], &file).await;
    assert_eq!(asked.status, 422);
    let like = "looks like the labor entry of 20 May 2026 for RB-1, on line 2 of this file";
    assert!(asked.body.contains(&format!("Line 4 {like}<")), "{}", asked.body);
    assert!(asked.body.contains(&format!("Line 5 {like}, all but the hours<")), "{}", asked.body);
    assert_eq!(house.labor_entries().await, 1);
    let also = bring_in(&house, &site, "labor", &[("doubles", "add")], &file).await;
    assert_eq!((also.status, house.labor_entries().await), (200, 5));

    let counts = "date,block,sample,fruit_before,fruit_after\n2026-05-14,RB-1,t1,1000,300\n\
                  2026-05-14,RB-1,t1,1000,300\n2026-05-14,RB-1,T1,1000,320\n";
    let asked = bring_in(&house, &site, "fruit-counts", &[], counts).await;
    let like = "looks like the fruit count of 14 May 2026 for RB-1, on line 2 of this file";
    assert!(asked.body.contains(&format!("Line 3 {like}<")), "{}", asked.body);
    assert!(asked.body.contains(&format!("Line 4 {like}, all but the number of fruit<")), "{}", asked.body);
}

/// The same by form, where the crew's name stands without the word and the tree's in capitals.
#[actix_web::test]
async fn a_crew_and_a_tree_in_other_words_are_the_same() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let entry = [("date", "2026-05-14"), ("task", "thin"), ("pass", "1"), ("people", "8"), ("hours", "60")];
    for (crew, status) in [("Arroyo", 422), ("cuadrilla Arroyo", 422), ("North", 303)] {
        let fields = [&entry[..], &[("crew", crew)]].concat();
        assert_eq!(keep(&house, &site, &fields).await.status, status, "{crew}");
    }
    let owner = house.owner_browser().await;
    let add = format!("/season/2026/block/{}/fruit-counts/add", house.block);
    let mut answers = Vec::new();
    for (sample, after) in [("t1", "300"), ("T1", "320")] {
        let key = site(owner.request("GET", &add)).await.value("key");
        let day = [("key", key.as_str()), ("date", "2026-05-15"), ("sample", sample)];
        let counted = [("fruit_before", "1000"), ("fruit_after", after)];
        answers.push(site(owner.form(&add, &[&day[..], &counted].concat())).await);
    }
    assert_eq!([answers[0].status, answers[1].status], [303, 422], "{}", answers[1].body);
    let told = "kept on 1 Jul 2026, all but the number of fruit. Is it another one?";
    assert!(answers[1].body.contains(told), "{}", answers[1].body);
}

/// A correction asks about what it changes, not about what stood there confirmed.
#[actix_web::test]
async fn a_correction_does_not_ask_twice() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let correct = format!("{}/{}/correct", house.labor_list(), house.labor);
    let page = site(owner.request("GET", &correct)).await;
    let (key, version) = (page.value("key"), page.value("version"));
    let send = |fields: Vec<(&'static str, &'static str)>| {
        let mut all = vec![("key", key.as_str()), ("version", version.as_str()), ("task", "thin"), ("hours", "60")];
        all.extend(fields);
        owner.form(&correct, &all)
    };
    let asked = site(send(vec![("date", "2026-05-14"), ("trees_done", "3000")])).await;
    assert_eq!(asked.status, 422);
    let question = "3,000 trees done are more than the 2,387 bearing trees of the block. Is the number right?";
    assert!(asked.body.contains(question), "{}", asked.body);
    let kept = site(send(vec![("date", "2026-05-14"), ("trees_done", "3000"), ("sure", question)])).await;
    assert_eq!(kept.status, 303);
    let page = site(owner.request("GET", &correct)).await;
    let (key, version) = (page.value("key"), page.value("version"));
    let fields = [
        ("key", key.as_str()),
        ("version", version.as_str()),
        ("date", "2026-05-14"),
        ("task", "thin"),
        ("hours", "60"),
        ("trees_done", "3000"),
        ("note", "counted by rows"),
    ];
    assert_eq!(site(owner.form(&correct, &fields)).await.status, 303);
}

#[actix_web::test]
async fn a_block_added_by_form_is_asked_about_too() {
    let house = House::new().await;
    let site = site(&house.state).await;
    let owner = house.owner_browser().await;
    let add = format!("/season/2026/farm/{}/blocks/add", house.farm);
    let key = site(owner.request("GET", &add)).await.value("key");
    let fields = [
        ("key", key.as_str()),
        ("block", "KW-1"),
        ("crop", "peach"),
        ("variety", "Amber Noon"),
        ("acres", "1"),
        ("trees", "900000"),
    ];
    let asked = site(owner.form(&add, &fields)).await;
    assert_eq!(asked.status, 422);
    let question = "900,000 trees on 1 acre. Is it so many?";
    assert!(asked.body.contains(question), "{}", asked.body);
    let mut ticked = fields.to_vec();
    ticked.push(("sure", question));
    assert_eq!(site(owner.form(&add, &ticked)).await.status, 303);
    let again = ["kw-1", "Rb-1"].map(|code| {
        let mut fields = fields.to_vec();
        fields.retain(|(name, _)| !["block", "trees"].contains(name));
        fields.push(("block", code));
        fields
    });
    for mut fields in again {
        let key = site(owner.request("GET", &add)).await.value("key");
        fields[0] = ("key", key.as_str());
        let taken = site(owner.form(&add, &fields)).await;
        assert_eq!(taken.status, 422);
        assert!(taken.body.contains("a code that no other block of the operation has"), "{}", taken.body);
    }
}
