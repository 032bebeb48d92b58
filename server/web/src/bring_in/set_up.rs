//! Farms and blocks from a file: new ones are added, equal ones are in the book already, and one
//! that differs from the book's is a problem, since a file must not overwrite what was corrected.

use intake::{Beside, FileDraft, FileKind, Parsed, Problem, UnreadRow};
use reckon::block::{Block, Farm, folded};
use store::{BlockRow, FarmRow, Right, Scope, Store};

use super::{Asked, BringInError, BroughtIn, Refusal, Wishes};
use crate::place::Places;
use crate::routes::to;

pub(super) async fn farms(store: &Store, scope: &Scope, draft: FileDraft) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let (known, year) = (desk.farms().await?, newest(&desk.seasons().await?));
    let mut found = Found::of(draft.problems, draft.more);
    let mut new: Vec<Farm> = Vec::new();
    for row in draft.rows {
        let Parsed::Farm(farm) = row.parsed else { continue };
        match known.iter().find(|known| folded(&known.farm.name) == folded(&farm.name)) {
            Some(known) => found.compare_farm(row.line, known, farm, year),
            None => new.push(farm),
        }
    }
    found.none_refused()?;
    let mut book = store.book(scope, Right::SetUp).await?;
    for farm in &new {
        book.add_farm(farm).await?;
    }
    book.save().await?;
    Ok(BroughtIn { added: new.len(), already: found.already, remarks: draft.remarks, ..BroughtIn::default() })
}

pub(super) async fn blocks(
    store: &Store,
    scope: &Scope,
    draft: FileDraft,
    wishes: &Wishes,
) -> Result<BroughtIn, BringInError> {
    let desk = store.desk(scope);
    let (places, known, year) = (Places::of(&desk).await?, desk.blocks().await?, newest(&desk.seasons().await?));
    let mut found = Found::of(draft.problems, draft.more);
    found.refused.problems.extend(draft.unread.iter().filter_map(|row| farm_of_unread(&places, row)));
    let mut new = Vec::new();
    for row in draft.rows {
        let parsed = row.parsed;
        let Parsed::Block { farm, block } = &parsed else { continue };
        if let Some(known) = known.iter().find(|known| folded(&known.block.code) == folded(&block.code)) {
            found.compare_block(row.line, known, farm, block, year);
            continue;
        }
        if !wishes.sure {
            let beside = Beside { today: wishes.today, block: None };
            found.refused.questions.extend(Asked::all(row.line, intake::questions(&parsed, &beside)));
        }
        match places.farm(Some(row.line), farm) {
            Ok(farm) => new.push((farm, block.clone())),
            Err(problem) => found.refused.problems.push(problem),
        }
    }
    found.none_refused()?;
    let mut book = store.book(scope, Right::SetUp).await?;
    for (farm, block) in &new {
        book.add_block(*farm, block).await?;
    }
    book.save().await?;
    Ok(BroughtIn { added: new.len(), already: found.already, remarks: draft.remarks, ..BroughtIn::default() })
}

fn newest(seasons: &[reckon::block::Season]) -> Option<i32> {
    seasons.iter().map(|season| season.year).max()
}

fn farm_of_unread(places: &Places, row: &UnreadRow) -> Option<Problem> {
    places.farm(Some(row.line), row.place.farm.as_deref()?).err()
}

/// What was found of a file so far.
struct Found {
    already: usize,
    refused: Refusal,
    more: usize,
}

impl Found {
    fn of(problems: Vec<Problem>, more: usize) -> Self {
        Self { already: 0, refused: Refusal { problems, ..Refusal::default() }, more }
    }

    /// A weather station is compared as names are.
    fn compare_farm(&mut self, line: u32, known: &FarmRow, mut farm: Farm, year: Option<i32>) {
        farm.name.clone_from(&known.farm.name);
        if folded(&farm.station) == folded(&known.farm.station) {
            farm.station.clone_from(&known.farm.station);
        }
        let (book, file) = (Parsed::Farm(known.farm.clone()), Parsed::Farm(farm));
        let address = year.map(|year| to::correct_farm(year, known.id));
        self.compare(line, ("farm", &known.farm.name), &book, &file, address);
    }

    fn compare_block(&mut self, line: u32, known: &BlockRow, farm: &str, block: &Block, year: Option<i32>) {
        let same_farm = folded(farm) == folded(&known.farm_name);
        let farm = if same_farm { known.farm_name.clone() } else { farm.to_owned() };
        let book = Parsed::Block { farm: known.farm_name.clone(), block: known.block.clone() };
        let file = Parsed::Block { farm, block: Block { code: known.block.code.clone(), ..block.clone() } };
        let address = year.map(|year| to::correct_block(year, known.id));
        self.compare(line, ("block", &known.block.code), &book, &file, address);
    }

    /// The same, or a problem that says what differs and where it is put right.
    fn compare(
        &mut self,
        line: u32,
        (what, name): (&str, &str),
        book: &Parsed,
        file: &Parsed,
        address: Option<String>,
    ) {
        if book == file {
            self.already += 1;
            return;
        }
        let differs = differences(if what == "farm" { FileKind::Farms } else { FileKind::Blocks }, book, file);
        let expected = format!(
            "a {what} that is new, or one that says the same as the book; this one differs: {differs}. A file does not \
             change what is in the book: correct it on the {what}'s page"
        );
        self.refused.problems.push(Problem::at(Some(line), what, name, expected, ""));
        self.refused.pages.extend(address.map(|address| (line, address, format!("page of {name}"))));
    }

    fn none_refused(&mut self) -> Result<(), BringInError> {
        let refused = std::mem::take(&mut self.refused);
        if refused.problems.is_empty() && refused.questions.is_empty() {
            return Ok(());
        }
        let Refusal { questions, pages, problems, .. } = refused;
        Err(Refusal { questions, pages, ..Refusal::problems(problems, self.more) }.into())
    }
}

/// "acres is 15 in the book and 14 in the file, soil is not said in the book and loam in the file".
fn differences(kind: FileKind, book: &Parsed, file: &Parsed) -> String {
    let (book, file) = (intake::print(book), intake::print(file));
    let text = |cells: &[(&'static str, String)], name: &str| {
        let found = cells.iter().find(|(known, _)| *known == name).map(|(_, text)| text.clone());
        found.unwrap_or_else(|| "not said".to_owned())
    };
    let differs = intake::columns(kind).into_iter().filter_map(|column| {
        let (is, reads) = (text(&book, column.name), text(&file, column.name));
        (is != reads).then(|| format!("{} is {is} in the book and {reads} in the file", column.name))
    });
    differs.collect::<Vec<_>>().join(", ")
}
