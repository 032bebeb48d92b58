//! Bringing in a file: read it whole, find what its rows belong to, keep all of it or nothing.
//!
//! Pages and the command line both come through here.

mod outcome;
mod placing;
mod refusal;
mod set_up;

pub use outcome::BroughtIn;
pub use refusal::{Asked, BringInError, Doubled, Refusal};

use std::collections::BTreeSet;

use chrono::NaiveDate;
use intake::{Beside, Context, FileDraft, FileKind, Parsed, Problem};
use reckon::block::Season;
use reckon::figure::RecordKind;
use reckon::records::Record;
use store::{ClosedSeason, Desk, Doubles, FileFacts, Right, RowIn, Scope, Store, StoreError, Target};

use crate::crew_day::{self, Coming};
use crate::place::Places;
use placing::{Placed, placed};

/// What is wished beyond the plain rule that a row comes in once, and today.
#[derive(Debug, Clone, Copy)]
pub struct Wishes {
    /// Today, where the operation is: days after it are asked about.
    pub today: NaiveDate,
    /// Values that are asked about are right.
    pub sure: bool,
    /// Bring back rows that were removed from the book.
    pub bring_back: bool,
    /// What to do with rows that look like records of the book.
    pub doubles: Doubles,
}

impl Wishes {
    /// The plain rule: everything is asked about.
    pub const fn on(today: NaiveDate) -> Self {
        Self { today, sure: false, bring_back: false, doubles: Doubles::Ask }
    }
}

/// Brings in a CSV file of a kind under its name. With a year every row must fall in that season;
/// without one each row goes to the season that holds its day.
///
/// # Errors
/// [`BringInError::Refused`] with everything that is wrong with the file or to be confirmed; or what
/// the store refused.
pub async fn bring_in_file(
    store: &Store,
    scope: &Scope,
    kind: FileKind,
    name: &str,
    bytes: Vec<u8>,
    season_year: Option<i32>,
    wishes: &Wishes,
) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let season = match season_year {
        Some(year) => Some(desk.season(year).await?),
        None => None,
    };
    let draft = read(kind, bytes, season).await?;
    match kind {
        FileKind::Farms => set_up::farms(store, scope, draft).await,
        FileKind::Blocks => set_up::blocks(store, scope, draft, wishes).await,
        FileKind::Records(kind) => records(store, scope, (kind, name), draft, wishes, None).await,
    }
}

/// A request that counts once, although it may be sent twice.
pub struct Once<'a> {
    /// Its name among those of the person.
    pub key: &'a str,
    /// What is told of it, now and whenever it is sent again.
    pub told: &'a dyn Fn(&BroughtIn) -> String,
}

/// [`bring_in_file`] for records of any season, sent by another program that may send them twice.
///
/// # Errors
/// As for [`bring_in_file`]; [`BringInError::Before`] with what was told of the same request.
pub async fn bring_in_once(
    store: &Store,
    scope: &Scope,
    kind: RecordKind,
    name: &str,
    bytes: Vec<u8>,
    wishes: &Wishes,
    once: Option<&Once<'_>>,
) -> Result<BroughtIn, BringInError> {
    let draft = read(FileKind::Records(kind), bytes, None).await?;
    records(store, scope, (kind, name), draft, wishes, once).await
}

/// Reads the file away from the threads that answer requests: 20 MB take a while.
async fn read(kind: FileKind, bytes: Vec<u8>, season: Option<Season>) -> Result<FileDraft, BringInError> {
    let read = move || intake::read_draft(kind, &bytes, &Context { season: season.as_ref(), block: None });
    Ok(tokio::task::spawn_blocking(read).await?)
}

async fn records(
    store: &Store,
    scope: &Scope,
    (kind, name): (RecordKind, &str),
    mut draft: FileDraft,
    wishes: &Wishes,
    once: Option<&Once<'_>>,
) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let (places, seasons) = (Places::of(&desk).await?, desk.seasons().await?);
    draft.spell(FileKind::Records(kind), |place| places.spell(place));
    let (sha256, remarks) = (draft.sha256, std::mem::take(&mut draft.remarks));
    let Placed { rows, problems, more } = placed(kind, &places, &seasons, draft);
    let mut questions = Vec::new();
    if !wishes.sure {
        questions.extend(asked(&rows, &places, wishes.today));
        questions.extend(crew_days(&desk, &rows, &places, &seasons).await?);
    }
    if !problems.is_empty() {
        return Err(Refusal { questions, ..Refusal::problems(problems, more) }.into());
    }
    let facts = FileFacts { name: name.to_owned(), kind_word: kind.word().to_owned(), sha256, rows: rows.len() };
    let mut book = store.book(scope, Right::BringIn).await?;
    if let Some(once) = once
        && let Some(led) = book.once(once.key).await?
    {
        return Err(BringInError::Before(led));
    }
    let beyond = store::Wishes { bring_back: wishes.bring_back, doubles: wishes.doubles };
    match book.bring_in(&facts, &rows, beyond).await {
        Ok(_) if !questions.is_empty() => Err(Refusal { questions, ..Refusal::default() }.into()),
        Ok(kept) => {
            let done = BroughtIn::records(kept, remarks);
            if let Some(once) = once {
                book.settle_once(once.key, &(once.told)(&done)).await?;
            }
            book.save().await?;
            Ok(done)
        }
        Err(StoreError::Doubles(twins)) => {
            let doubles = twins.iter().map(|twin| Doubled::of(twin, &places)).collect();
            Err(Refusal { questions, doubles, ..Refusal::default() }.into())
        }
        Err(StoreError::Closed(closed)) => {
            let problems = Refusal::problems(in_closed(&closed, &seasons, &rows), 0);
            Err(Refusal { closed: true, ..problems }.into())
        }
        Err(other) => Err(other.into()),
    }
}

/// What is to be asked about the rows.
fn asked(rows: &[RowIn], places: &Places, today: NaiveDate) -> Vec<Asked> {
    let of_row = |row: &RowIn| {
        let beside = Beside { today, block: places.block_of(&row.target) };
        Asked::all(row.line, intake::questions(&Parsed::Record(row.record.clone()), &beside))
    };
    rows.iter().flat_map(of_row).collect()
}

/// What is to be asked about the days of crews, with what the book holds of them.
async fn crew_days(
    desk: &Desk<'_>,
    rows: &[RowIn],
    places: &Places,
    seasons: &[Season],
) -> Result<Vec<Asked>, StoreError> {
    let coming = |row: &RowIn| {
        let (Target::Block(block), Record::Labor(entry)) = (&row.target, &row.record) else { return None };
        let code = places.block_of(&row.target)?.code.clone();
        Some(Coming { line: row.line, block: *block, code, entry: entry.clone() })
    };
    let coming: Vec<Coming> = rows.iter().filter_map(coming).collect();
    let held = |season: &&Season| coming.iter().any(|day| season.holds(day.entry.date));
    let years: BTreeSet<i32> = seasons.iter().filter(held).map(|season| season.year).collect();
    let found = crew_day::doubts(desk, &years, coming, None).await?;
    Ok(found.into_iter().map(|(line, sentence)| Asked { line, column: "hours", sentence }).collect())
}

/// The rows that reach into a closed season.
fn in_closed(closed: &ClosedSeason, seasons: &[Season], rows: &[RowIn]) -> Vec<Problem> {
    let by = closed.closed.as_ref().map(|_| format!(" ({})", closed.by_whom())).unwrap_or_default();
    let expected = format!("nothing new in season {}, which is closed{by}", closed.year);
    let meets = |row: &&RowIn| closed.lines.is_empty() || closed.lines.contains(&row.line);
    let problem =
        |row: &RowIn| placing::outside(seasons, row.line, (row.record.kind(), row.record.date()), expected.clone());
    rows.iter().filter(meets).map(problem).collect()
}
