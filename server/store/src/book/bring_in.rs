//! Bringing in a file: all of it or nothing, each row once, the same file once.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Utc};
use reckon::figure::RecordKind;
use reckon::records::Record;
use sea_orm::sea_query::OnConflict;
use sea_orm::{ColumnTrait, EntityTrait, Iterable, QueryFilter, QuerySelect};
use serde_json::{Map, Value};

use super::alike::{Twin, twins_in_file};
use super::kept_out::{KeptOut, Why};
use super::map::years;
use super::records::new_row;
use super::{Book, Entry, written};
use crate::audit::Verb;
use crate::closed::ClosedSeason;
use crate::error::StoreError;
use crate::gather::in_days;
use crate::role::Right;
use crate::rows::{Column, Head, RecordRow, for_kind};
use crate::tables::ledger::brought_in_file;
use crate::target::Target;

/// Values one statement may bind; SQLite takes 32,766.
pub(super) const MOST_VALUES: usize = 30_000;

/// What is known of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFacts {
    /// Its name.
    pub name: String,
    /// What its rows are: a record kind's word.
    pub kind_word: String,
    /// Hash of its bytes.
    pub sha256: [u8; 32],
    /// Rows in it.
    pub rows: usize,
}

/// A row of a file, read and checked.
#[derive(Debug, Clone, PartialEq)]
pub struct RowIn {
    /// Line of the file.
    pub line: u32,
    /// Hash of the row's meaning and its ordinal among equal rows of the file.
    pub print: [u8; 32],
    /// What it belongs to.
    pub target: Target,
    /// The record.
    pub record: Record,
}

/// What to do with rows that look like records of the book, or like another row of their file.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Doubles {
    /// Refuse the file and tell them.
    #[default]
    Ask,
    /// Add them: the work was done twice.
    Add,
    /// Leave them out, and bring in the rest.
    LeaveOut,
}

/// What a person wishes beyond the plain rule.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Wishes {
    /// Bring back rows that were removed.
    pub bring_back: bool,
    /// What to do with doubles.
    pub doubles: Doubles,
}

impl Wishes {
    const fn keep_out(self, why: Why) -> bool {
        match why {
            Why::Removed => !self.bring_back,
            Why::Double => !matches!(self.doubles, Doubles::Add),
        }
    }
}

/// What came of a file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BroughtIn {
    /// Rows that were new.
    pub added: usize,
    /// Rows that were in the book already.
    pub already: usize,
    /// When this very file was brought in before.
    pub same_file: Option<DateTime<Utc>>,
    /// Rows that a person kept out before, and that were not added.
    pub kept_out: Vec<KeptOut>,
    /// Rows that look like records of the book or like another row, and were left out now as was wished.
    pub left_out: usize,
}

impl Book<'_> {
    /// Brings in the rows of a file. Rows that are in the book already are passed over, so a file
    /// that grew brings in its new rows; rows that a person removed stay out unless it is wished
    /// otherwise. It takes the right to bring in files, whatever the kind.
    ///
    /// # Errors
    /// As for [`Book::add`], for the first new row that cannot be kept, and [`StoreError::Doubles`] for
    /// all rows that look like records of the book or like another row; then nothing of the whole book can be saved.
    pub async fn bring_in(
        &mut self,
        file: &FileFacts,
        rows: &[RowIn],
        wishes: Wishes,
    ) -> Result<BroughtIn, StoreError> {
        let done = self.bring_in_all(file, rows, wishes).await;
        self.half_done |= done.is_err();
        done
    }

    async fn bring_in_all(
        &mut self,
        file: &FileFacts,
        rows: &[RowIn],
        wishes: Wishes,
    ) -> Result<BroughtIn, StoreError> {
        self.may(Right::BringIn)?;
        let before = self.enter_file(file, rows.len()).await?;
        let done = match RecordKind::from_word(&file.kind_word) {
            Some(kind) => {
                self.lock_for(kind).await?;
                for_kind!(kind, R => self.bring_in_rows::<R>(file, rows, wishes, before.came_before).await)?
            }
            None => refuse_rows(rows)?,
        };
        let already = rows.len() - done.added - done.kept_out.len() - done.left_out;
        let done = BroughtIn { already, same_file: before.came_before.then_some(before.row.at), ..done };
        self.finish_file(&before, file, &done).await?;
        Ok(done)
    }

    /// Enters the file in the list, or finds it there.
    async fn enter_file(&self, file: &FileFacts, rows: usize) -> Result<Entered, StoreError> {
        let row = brought_in_file::Model {
            operation_id: self.operation(),
            id: self.store.inner.source.id(),
            kind: file.kind_word.clone(),
            name: file.name.clone(),
            sha256: file.sha256.to_vec(),
            rows_read: count(file.rows.max(rows)),
            rows_added: 0,
            at: self.store.inner.source.now(),
            user_id: self.scope.user.0,
        };
        let same =
            [brought_in_file::Column::OperationId, brought_in_file::Column::Kind, brought_in_file::Column::Sha256];
        let entered = brought_in_file::Entity::insert_many([written::<_, brought_in_file::ActiveModel>(row.clone())])
            .on_conflict(OnConflict::columns(same).do_nothing().to_owned())
            .exec_without_returning(&self.tx)
            .await?;
        if entered > 0 {
            return Ok(Entered { row, came_before: false });
        }
        let same = brought_in_file::Entity::find()
            .filter(brought_in_file::Column::OperationId.eq(self.operation()))
            .filter(brought_in_file::Column::Kind.eq(file.kind_word.as_str()))
            .filter(brought_in_file::Column::Sha256.eq(file.sha256.to_vec()));
        let row = same.one(&self.tx).await?.ok_or(StoreError::NotFound)?;
        Ok(Entered { row, came_before: true })
    }

    async fn bring_in_rows<R: RecordRow>(
        &mut self,
        file: &FileFacts,
        rows: &[RowIn],
        wishes: Wishes,
        came_before: bool,
    ) -> Result<BroughtIn, StoreError> {
        // In this order: a row removed meanwhile is then seen in one of the two.
        let known = self.known_prints::<R>(rows).await?;
        let mut new: Vec<&RowIn> = rows.iter().filter(|row| !known.contains(row.print.as_slice())).collect();
        let kept_out = self.kept_out(R::KIND, &new).await?;
        let stays_out = |row: &&RowIn| kept_out.get(&row.print).filter(|kept| wishes.keep_out(kept.why));
        let out: Vec<KeptOut> = new.iter().filter_map(stays_out).cloned().collect();
        new.retain(|row| stays_out(row).is_none());
        if came_before {
            // The same bytes add nothing of their own: only what was kept out and is wished for now.
            new.retain(|row| kept_out.contains_key(&row.print));
        }
        let left_out = match wishes.doubles {
            Doubles::Add => 0,
            wish => {
                let twins = self.all_twins::<R>(rows, &new, &known, &kept_out).await?;
                self.without_doubles::<R>(twins, &mut new, wish).await?
            }
        };
        self.none_in_closed(&new).await?;
        let mut added = 0;
        for chunk in new.chunks((MOST_VALUES / Column::<R>::iter().count()).max(1)) {
            added += self.insert_rows::<R>(file, chunk).await?;
        }
        let back = new.iter().filter(|row| kept_out.contains_key(&row.print)).map(|row| row.print.to_vec());
        self.let_in(R::KIND, &back.collect::<Vec<_>>()).await?;
        Ok(BroughtIn { added, kept_out: out, left_out, ..BroughtIn::default() })
    }

    /// What each of the new rows looks like: a record of the book, else another row of the file. A row that is
    /// wished back was in the book beside the others, and is not held against them.
    async fn all_twins<R: RecordRow>(
        &self,
        rows: &[RowIn],
        new: &[&RowIn],
        known: &BTreeSet<Vec<u8>>,
        kept_out: &BTreeMap<[u8; 32], KeptOut>,
    ) -> Result<Vec<Twin>, StoreError> {
        let prints: BTreeSet<[u8; 32]> = rows.iter().map(|row| row.print).collect();
        let mut twins = self.twins::<R>(new, &prints).await?;
        let told: BTreeSet<u32> = twins.iter().map(|twin| twin.line).collect();
        let comes_in: BTreeSet<[u8; 32]> = new.iter().map(|row| row.print).collect();
        let counts = |row: &&RowIn| comes_in.contains(&row.print) || known.contains(row.print.as_slice());
        let counted: Vec<&RowIn> = rows.iter().filter(counts).collect();
        let mut asked = new.to_vec();
        asked.retain(|row| !told.contains(&row.line) && !kept_out.contains_key(&row.print));
        twins.extend(twins_in_file(&asked, &counted));
        twins.sort_by_key(|twin| twin.line);
        Ok(twins)
    }

    /// Takes the rows that look like others from the new ones, as wished; gives their number.
    async fn without_doubles<R: RecordRow>(
        &self,
        twins: Vec<Twin>,
        new: &mut Vec<&RowIn>,
        wish: Doubles,
    ) -> Result<usize, StoreError> {
        if twins.is_empty() {
            return Ok(0);
        }
        if wish == Doubles::Ask {
            return Err(StoreError::Doubles(twins));
        }
        let lines: BTreeSet<u32> = twins.iter().map(|twin| twin.line).collect();
        let doubles = new.iter().filter(|row| lines.contains(&row.line)).map(|row| row.print.to_vec());
        self.keep_out(R::KIND, doubles.collect::<Vec<_>>(), Why::Double).await?;
        new.retain(|row| !lines.contains(&row.line));
        Ok(lines.len())
    }

    async fn insert_rows<R: RecordRow>(&mut self, file: &FileFacts, rows: &[&RowIn]) -> Result<usize, StoreError> {
        let mut models = Vec::with_capacity(rows.len());
        for row in rows {
            models.push(written(self.row_in::<R>(file, row).await?));
        }
        // A row whose day was corrected since is not among the known ones, and another book may
        // be bringing in the same rows: neither comes in twice.
        let once = OnConflict::columns([R::OPERATION, R::ROW_PRINT]).do_nothing().to_owned();
        let insert = R::Entity::insert_many(models).on_conflict(once);
        Ok(usize::try_from(insert.exec_without_returning(&self.tx).await?).unwrap_or(usize::MAX))
    }

    /// All rows that reach into a closed season are told at once, with their lines.
    async fn none_in_closed(&mut self, rows: &[&RowIn]) -> Result<(), StoreError> {
        let mut found: Option<ClosedSeason> = None;
        let seasons = self.seasons().await?;
        for row in rows {
            let Err(StoreError::Closed(closed)) = years(seasons, &row.record) else { continue };
            let first = found.get_or_insert_with(|| ClosedSeason::of(closed.year));
            if first.year == closed.year {
                first.lines.push(row.line);
            }
        }
        match found {
            Some(closed) => Err(StoreError::Closed(self.told(closed).await?)),
            None => Ok(()),
        }
    }

    /// Prints of the rows that are in the book on the file's days. One query along the days: looking
    /// up each print is slower by far on PostgreSQL while its table is fresh.
    async fn known_prints<R: RecordRow>(&self, rows: &[RowIn]) -> Result<BTreeSet<Vec<u8>>, StoreError> {
        let days = || rows.iter().map(|row| row.record.date());
        let Some((first, last)) = days().min().zip(days().max()) else { return Ok(BTreeSet::new()) };
        let known = in_days::<R>(self.operation(), first, last)
            .select_only()
            .column(R::ROW_PRINT)
            .filter(R::ROW_PRINT.is_not_null())
            .into_tuple::<Vec<u8>>();
        Ok(known.all(&self.tx).await?.into_iter().collect())
    }

    async fn row_in<R: RecordRow>(&mut self, file: &FileFacts, row: &RowIn) -> Result<R, StoreError> {
        let place = row.target.place(R::KIND)?;
        self.locate(&row.target).await?;
        self.touch(&place, &row.record).await?;
        let head = Head {
            file_name: Some(file.name.clone()),
            file_line: Some(i64::from(row.line)),
            row_print: Some(row.print.to_vec()),
            ..self.head(self.store.inner.source.id(), 1)
        };
        new_row(head, &place, &row.record)
    }

    /// One audit line for the whole file; its rows carry its name and their line. The same file that
    /// adds nothing leaves no line.
    async fn finish_file(&self, entered: &Entered, file: &FileFacts, done: &BroughtIn) -> Result<(), StoreError> {
        if entered.came_before && done.added == 0 {
            return Ok(());
        }
        let row = brought_in_file::ActiveModel {
            operation_id: sea_orm::Set(self.operation()),
            id: sea_orm::Set(entered.row.id),
            rows_added: sea_orm::Set(entered.row.rows_added.saturating_add(count(done.added))),
            ..Default::default()
        };
        brought_in_file::Entity::update(row).exec_without_returning(&self.tx).await?;
        let out = done.kept_out.len() + done.left_out;
        let rows = done.added + done.already + out;
        let counts = [("rows", rows), ("added", done.added), ("already", done.already)];
        let counts = counts.into_iter().chain((out > 0).then_some(("kept_out", out)));
        let counts: Map<String, Value> = counts.map(|(name, count)| (name.to_owned(), count.into())).collect();
        self.note(Entry {
            verb: Verb::BroughtIn,
            kind: &file.kind_word,
            record_id: entered.row.id,
            farm: None,
            place: &file.name,
            before: None,
            after: Some(Value::Object(counts).to_string()),
        })
        .await
    }
}

/// The file's line in the list of files.
struct Entered {
    row: brought_in_file::Model,
    came_before: bool,
}

/// Farms and blocks are added one by one; their file is only entered in the list.
fn refuse_rows(rows: &[RowIn]) -> Result<BroughtIn, StoreError> {
    match rows.first() {
        Some(row) => Err(StoreError::Misplaced { kind: row.record.kind() }),
        None => Ok(BroughtIn::default()),
    }
}

fn count(rows: usize) -> i64 {
    i64::try_from(rows).unwrap_or(i64::MAX)
}
