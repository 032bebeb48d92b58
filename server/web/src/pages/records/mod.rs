//! Records of any kind: list, add, correct, remove. The columns come from intake, so a new column
//! appears here by itself.

mod add;
pub(crate) mod ask;
mod behind;
mod correct;
pub(crate) mod fields;
mod gone;
mod list;
mod offered;
pub(crate) mod own_season;
mod pieces;
mod remove;
pub(crate) mod shares;
mod shown;

pub use add::{add_page, add_sent};
pub(crate) use correct::version_of;
pub use correct::{correct_page, correct_sent};
pub use list::list_page;
pub use remove::{remove_page, remove_sent};

use actix_web::HttpResponse;
use chrono::NaiveDate;
use intake::{Column, Context, FileKind, Parsed, Problem, columns, read_form};
use reckon::block::{Season, SeasonState};
use reckon::figure::RecordKind;
use reckon::records::{Attach, Record, Shares};
use sha2::{Digest, Sha256};
use store::{BlockRow, Book, ClosedSeason, Desk, Right, StoredRecord, Target};
use uuid::Uuid;

use crate::body::Form;
use crate::display;
use crate::error::PageError;
use crate::extract::{KindAt, RecordAt, Writing};
use crate::pages::{capital, see_other};
use crate::place::Places;
use crate::routes::to;
use crate::session::hex;
use crate::shell::Shell;

/// A list of records: its season, its kind, and the block it belongs to, if one.
pub(crate) struct List {
    at: KindAt,
    season: Season,
    block: Option<BlockRow>,
    places: Places,
    /// Whether the person sees what money is in it.
    money: bool,
    /// Whether the person sees every farm.
    sees_all: bool,
    /// Who closed the season and when, where it is closed.
    closed: Option<ClosedSeason>,
    /// Every season of the operation.
    seasons: Vec<Season>,
}

impl List {
    /// Not found where the season or block is not in scope, or the kind does not belong there:
    /// weather to a block, labor to the whole operation.
    async fn of(desk: &Desk<'_>, at: KindAt, shell: &Shell) -> Result<Self, PageError> {
        let belongs = match at.kind.attach() {
            Attach::Block => at.block.is_some(),
            Attach::Station | Attach::Operation => at.block.is_none(),
            Attach::Any => true,
        };
        if !belongs {
            return Err(PageError::NotFound);
        }
        let block = match at.block {
            Some(id) => Some(desk.block(id).await?),
            None => None,
        };
        let (season, places) = (desk.season(at.year).await?, Places::of(desk).await?);
        let closed = match season.state {
            SeasonState::Open => None,
            SeasonState::Closed => Some(desk.closed(at.year).await?),
        };
        let (money, sees_all) = (shell.may(Right::SeeMoney), shell.sees_all);
        let seasons = shell.seasons.clone();
        Ok(Self { at, season, block, places, money, sees_all, closed, seasons })
    }

    /// Columns of the list: beside a block its code and farm are said already, and money is shown to
    /// who may see it.
    fn all_columns(&self) -> Vec<Column> {
        let mut columns = columns(FileKind::Records(self.at.kind));
        columns.retain(|column| self.block.is_none() || !["block", "farm"].contains(&column.name));
        columns.retain(|column| self.money || !(is_money(column.name) || column.name == "pay"));
        columns
    }

    /// Columns of the form: what belongs to one block is kept in the block's own list.
    fn columns(&self) -> Vec<Column> {
        let mut columns = self.all_columns();
        columns.retain(|column| column.name != "block" && !self.stays_hidden(column.name));
        for column in columns.iter_mut().filter(|column| !self.money && column.name == pieces::PIECES) {
            column.about = pieces::ABOUT;
        }
        columns
    }

    /// Columns that a form leaves as they are: money, and the way of pay with it, for who may not see it.
    fn stays_hidden(&self, name: &str) -> bool {
        !self.money && (is_money(name) || name == "pay")
    }

    /// The form as a record with its place, or what is wrong with it. What the form does not show
    /// stays as it stands in the book; `newest` is what a new entry was offered from.
    fn read(
        &self,
        form: &Form,
        stands: Option<&StoredRecord>,
        newest: Option<&StoredRecord>,
    ) -> Result<(Target, Record), Vec<Problem>> {
        let context = Context { season: Some(&self.season), block: self.block.as_ref().map(|row| &row.block) };
        let before = stands.or(newest).map(|stored| self.written(stored)).unwrap_or_default();
        let left_over = offered::left_over(self.at.kind, form);
        let without_boxes = offered::without_boxes(self.at.kind, form, &before);
        let of_thinning = offered::of_thinning(self.at.kind, form, &before);
        let left_over = [left_over, without_boxes, of_thinning].concat();
        let left_over = |name: &str| left_over.contains(&name);
        let shown = |name: &str| !self.stays_hidden(name) && !left_over(name);
        let typed = form.fields().iter().filter(|(name, _)| shown(name)).cloned();
        let typed = typed.map(|(name, text)| self.with_hidden_shares(stands, name, text));
        let hidden = stands.map(|stored| self.written(stored)).unwrap_or_default();
        let by_piece = !self.money && stands.is_some_and(|stored| pieces::is_by_piece(&stored.record));
        let sent_pieces = form.fields().iter().any(|(name, _)| name == pieces::PIECES);
        let stays = |name: &str| self.stays_hidden(name) || (by_piece && !sent_pieces && name == pieces::PIECES);
        let fields = typed.chain(hidden.into_iter().filter(|(name, _)| stays(name)));
        let fields: Vec<(String, String)> = fields.collect();
        let fields = if self.money || by_piece {
            fields
        } else {
            pieces::in_note(fields, &context).map_err(|problem| vec![problem])?
        };
        let read = read_form(FileKind::Records(self.at.kind), &fields, &context);
        let (place, parsed) = read.map_err(|mut problems| {
            // As it was typed: what stands for a block out of sight has its code by now.
            for problem in problems.iter_mut().filter(|problem| problem.column.as_deref() == Some("shares")) {
                form.get("shares").clone_into(&mut problem.read);
            }
            problems
        })?;
        let target = match &self.block {
            Some(row) => Target::Block(row.id),
            None => self.places.target(self.at.kind, None, &place).map_err(|problem| vec![problem])?,
        };
        match parsed {
            Parsed::Record(record) => match self.wrong_shares(stands, &target, &record) {
                Some(problem) => Err(vec![problem]),
                None => Ok((target, record)),
            },
            Parsed::Farm(_) | Parsed::Block { .. } => Err(Vec::new()),
        }
    }

    /// A kept record as column and text, in US measures, its place among them; blocks out of sight are not
    /// named.
    fn written(&self, stored: &StoredRecord) -> Vec<(String, String)> {
        let place = self.places.written(&stored.target);
        let cells = intake::in_us_units(intake::print_record(&stored.record));
        let mut written: Vec<(String, String)> =
            place.into_iter().chain(cells).map(|(name, text)| (name.to_owned(), text)).collect();
        if let Some(all) = self.hiding_shares(Some(stored))
            && let Some((_, text)) = written.iter_mut().find(|(name, _)| name == "shares")
        {
            *text = shares::seen(all, |code| self.places.knows_block(code));
        }
        written
    }

    /// The shares of a cost of which the person may see only a part.
    fn hiding_shares<'s>(&self, stands: Option<&'s StoredRecord>) -> Option<&'s Shares> {
        match stands.map(|stored| &stored.record) {
            Some(Record::Cost(cost)) if !self.sees_all => Some(&cost.shares),
            _ => None,
        }
    }

    /// A field as typed, with the codes of the book where others stood for them.
    fn with_hidden_shares(&self, stands: Option<&StoredRecord>, name: String, text: String) -> (String, String) {
        match self.hiding_shares(stands).filter(|_| name == "shares") {
            Some(all) => (name, shares::restored(&text, all, |code| self.places.knows_block(code))),
            None => (name, text),
        }
    }

    /// What is wrong with the fixed shares of a cost. Blocks out of sight that it named before are right.
    fn wrong_shares(&self, stands: Option<&StoredRecord>, target: &Target, record: &Record) -> Option<Problem> {
        let before = self.hiding_shares(stands).map(Shares::parts).unwrap_or_default();
        let is_old = |code: &str| before.iter().any(|(known, _)| known == code && !self.places.knows_block(code));
        self.places.shares_but(None, target, record, is_old)
    }

    /// One record of this list; one of another block, kind or season is not found here.
    async fn record(&self, desk: &Desk<'_>, at: RecordAt) -> Result<StoredRecord, PageError> {
        let stored = desk.record(at.list.kind, at.id).await?;
        let here = match (&stored.target, at.list.block) {
            (Target::Block(block), Some(here)) => *block == here,
            (Target::Block(_), None) => false,
            (_, here) => here.is_none(),
        };
        if here && own_season::takes(&self.season, &stored.record) { Ok(stored) } else { Err(PageError::NotFound) }
    }

    /// Whether a record of this day stands in the list of this season.
    fn takes_day(&self, day: NaiveDate) -> bool {
        own_season::takes_day(&self.season, self.at.kind, day)
    }

    /// Rates and prices hold from their day on, so those of other seasons are listed too.
    const fn of_every_season(&self) -> bool {
        matches!(self.at.kind, RecordKind::Price | RecordKind::Rate)
    }

    /// "Season 2026 was closed by Ana on 1 Jul 2026: …"; `None` while it is open.
    fn closed(&self) -> Option<String> {
        self.closed.as_ref().map(|closed| format!("{}.", capital(&closed.to_string())))
    }

    fn is_open(&self) -> bool {
        self.season.state == SeasonState::Open
    }

    /// A closed season takes no changes.
    fn must_be_open(&self) -> Result<(), PageError> {
        self.closed.clone().map_or(Ok(()), |closed| Err(PageError::Closed(Some(closed))))
    }

    /// Prices and rates hold for the whole operation: a person limited to farms keeps none.
    fn must_take_more(&self, writing: &Writing) -> Result<(), PageError> {
        let all = self.at.kind.attach() != Attach::Operation || writing.sees_all();
        if all { Ok(()) } else { Err(PageError::Forbidden) }
    }

    /// Where the list belongs: "Season 2026 · River Bench · RB-1".
    fn over(&self) -> String {
        let place = self.block.as_ref().map(|row| format!(" · {} · {}", row.farm_name, row.block.code));
        format!("Season {}{}", self.season.year, place.unwrap_or_default())
    }

    fn title(&self) -> &'static str {
        display::kind_to_add(self.at.kind)
    }

    /// "labor entry"
    fn one(&self) -> &'static str {
        display::kind_words(self.at.kind).0
    }

    /// "Labor entries", as a heading.
    fn many(&self) -> String {
        capital(display::kind_words(self.at.kind).1)
    }

    /// The page above: the block's season, or the season.
    fn above(&self) -> String {
        match self.at.block {
            Some(block) => to::block(self.at.year, block),
            None => to::season(self.at.year),
        }
    }

    fn link(&self) -> String {
        to::records(self.at.year, self.at.block, self.at.kind)
    }

    /// The list of the season that holds the entry after a change, with the row in sight and a sentence
    /// at it.
    fn after(&self, said: &str, record: &Record, id: Uuid) -> String {
        let year = own_season::year_of(&self.seasons, record.date(), self.at.year);
        format!("{}?said={said}&row={id}#r-{id}", to::records(year, self.at.block, self.at.kind))
    }
}

/// Whether a column holds money, or a percentage that comes on top of it.
fn is_money(column: &str) -> bool {
    column.contains("usd") || ["payroll_pct", "commission_pct"].contains(&column)
}

/// The key that lets a form be sent twice and kept once.
pub(crate) fn key_of(form: &Form) -> Result<Uuid, PageError> {
    form.get("key").parse().map_err(|_| PageError::Unreadable("the form's key is missing"))
}

/// Where the same form led when it was sent before. The same key with another content (a page gone back to
/// and typed anew) is another form.
pub(crate) async fn sent_before(book: &mut Book<'_>, form: &Form) -> Result<Option<HttpResponse>, PageError> {
    Ok(book.once(&once(form)?).await?.map(|location| see_other(&location)))
}

/// Keeps the change together with where it leads.
pub(crate) async fn keep(mut book: Book<'_>, form: &Form, location: &str) -> Result<HttpResponse, PageError> {
    book.settle_once(&once(form)?, location).await?;
    book.save().await?;
    Ok(see_other(location))
}

/// What a form counts once by: its key, and a digest of all it says.
fn once(form: &Form) -> Result<String, PageError> {
    let mut content = Sha256::new();
    for (name, value) in form.fields() {
        for text in [name, value] {
            content.update(text.len().to_le_bytes());
            content.update(text);
        }
    }
    Ok(format!("{} {}", key_of(form)?, hex(&content.finalize())))
}
