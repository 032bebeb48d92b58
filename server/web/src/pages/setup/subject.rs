//! What a form of this family is about: its columns, what stands in the book, and how it is kept.

use chrono::NaiveDate;
use intake::{Column, Context, FileKind, Parsed, Problem, columns, read_form, read_setting_fields, setting_fields};
use reckon::water::setup::by_name;
use store::{BlockRow, Book, Constraint, Desk, FarmRow, StoreError};

use crate::body::Form;
use crate::error::PageError;
use crate::pages::records::ask::{Ask, of_parsed};
use crate::pages::records::version_of;
use crate::routes::to;

/// What is added or corrected.
#[derive(Debug, Clone)]
pub(super) enum Subject {
    /// A farm to be added.
    NewFarm,
    /// A farm to be corrected.
    Farm(FarmRow),
    /// A block to be added to the farm.
    NewBlock(FarmRow),
    /// A block to be corrected, its soil and canopy left as they are.
    Block(BlockRow),
    /// Soil and canopy of a block, the rest of it left as it is.
    Soil(BlockRow),
}

impl Subject {
    const fn kind(&self) -> FileKind {
        match self {
            Self::NewFarm | Self::Farm(_) => FileKind::Farms,
            Self::NewBlock(_) | Self::Block(_) | Self::Soil(_) => FileKind::Blocks,
        }
    }

    /// The columns of the form. A block stays on its farm; its settings are typed in US measures.
    pub(super) fn columns(&self) -> Vec<Column> {
        let mut columns = columns(self.kind());
        columns.retain(|column| self.shows(column.name));
        if matches!(self, Self::Soil(_)) {
            columns.extend(setting_fields().map(|field| field.column));
        }
        columns
    }

    /// Whether the form shows a column of the file as it is.
    fn shows(&self, name: &str) -> bool {
        match self {
            Self::NewFarm | Self::Farm(_) => true,
            Self::NewBlock(_) | Self::Block(_) => by_name(name).is_none() && name != "farm",
            Self::Soil(_) => name == "soil",
        }
    }

    /// What stands in the book, by column; of a new block the farm it is added to.
    pub(super) fn written(&self) -> Vec<(String, String)> {
        let parsed = match self {
            Self::NewFarm => return Vec::new(),
            Self::NewBlock(farm) => return vec![("farm".to_owned(), farm.farm.name.clone())],
            Self::Farm(row) => Parsed::Farm(row.farm.clone()),
            Self::Block(row) | Self::Soil(row) => {
                Parsed::Block { farm: row.farm_name.clone(), block: row.block.clone() }
            }
        };
        let cells = intake::print(&parsed).into_iter().map(|cell| self.in_us_units(cell));
        let cells = cells.map(|(name, text)| (name.to_owned(), text));
        match self {
            Self::Soil(row) => cells.filter(|(name, _)| by_name(name).is_none()).chain(settings_of(row)).collect(),
            _ => cells.collect(),
        }
    }

    /// A cell in US measures where a column of this kind takes them: a farm's elevation has one in feet,
    /// a block's root depth has not, and would be lost from the form.
    fn in_us_units(&self, cell: (&'static str, String)) -> (&'static str, String) {
        let there = |name: &str| columns(self.kind()).iter().any(|column| column.name == name);
        let turned = intake::in_us_units(vec![cell.clone()]).into_iter().find(|(name, _)| there(name));
        turned.unwrap_or(cell)
    }

    /// The form as a farm or block, or what is wrong with it. What the form does not show is taken
    /// from the book: the version tells whether that changed meanwhile.
    pub(super) fn read(&self, form: &Form) -> Result<Parsed, Vec<Problem>> {
        let typed = form.fields().iter().filter(|(name, _)| self.shows(name)).cloned();
        let asked_for = self.columns();
        let kept = self.written().into_iter().filter(|(name, _)| !asked_for.iter().any(|column| column.name == name));
        let (settings, problems) = match self {
            Self::Soil(row) => read_setting_fields(form.fields(), &row.block.water),
            _ => (Vec::new(), Vec::new()),
        };
        let fields: Vec<(String, String)> = typed.chain(kept).chain(settings).collect();
        let read = read_form(self.kind(), &fields, &Context::default()).map(|(_, parsed)| parsed);
        if problems.is_empty() { read } else { Err(joined(problems, read.err().unwrap_or_default())) }
    }

    /// The version of what stands in the book; `None` of something new.
    pub(super) const fn version(&self) -> Option<i64> {
        match self {
            Self::NewFarm | Self::NewBlock(_) => None,
            Self::Farm(row) => Some(row.version),
            Self::Block(row) | Self::Soil(row) => Some(row.version),
        }
    }

    /// The version the form was made from.
    pub(super) fn version_of(&self, form: &Form) -> Result<i64, PageError> {
        if self.version().is_some() { version_of(form) } else { Ok(0) }
    }

    /// What is asked before it is kept; what stands in the book with the same oddity was answered before.
    pub(super) fn asked(&self, parsed: &Parsed, today: NaiveDate) -> Vec<Ask> {
        let before = match self {
            Self::Block(row) | Self::Soil(row) => {
                Parsed::Block { farm: row.farm_name.clone(), block: row.block.clone() }
            }
            Self::NewFarm | Self::Farm(_) | Self::NewBlock(_) => return of_parsed(parsed, today),
        };
        let before = of_parsed(&before, today);
        of_parsed(parsed, today).into_iter().filter(|ask| !before.contains(ask)).collect()
    }

    /// Where the form is sent.
    pub(super) fn action(&self, year: i32) -> String {
        match self {
            Self::NewFarm => to::add_farm(year),
            Self::Farm(row) => to::correct_farm(year, row.id),
            Self::NewBlock(row) => to::add_block(year, row.id),
            Self::Block(row) => to::correct_block(year, row.id),
            Self::Soil(row) => to::soil(year, row.id),
        }
    }

    /// The page it is a part of: address and name.
    pub(super) fn above(&self, year: i32) -> (String, String) {
        match self {
            Self::NewFarm => (to::season(year), format!("Season {year}")),
            Self::Farm(row) | Self::NewBlock(row) => (to::farm(year, row.id), row.farm.name.clone()),
            Self::Block(row) | Self::Soil(row) => {
                (to::block(year, row.id), format!("{} · {}", row.farm_name, row.block.code))
            }
        }
    }

    /// Keeps it; gives the page to go to.
    pub(super) async fn keep(
        &self,
        book: &mut Book<'_>,
        year: i32,
        version: i64,
        parsed: Parsed,
    ) -> Result<String, StoreError> {
        match (self, parsed) {
            (Self::NewFarm, Parsed::Farm(farm)) => {
                let id = book.add_farm(&farm).await?;
                Ok(format!("{}?said=farm", to::farm(year, id)))
            }
            (Self::Farm(row), Parsed::Farm(farm)) => {
                book.correct_farm(row.id, version, &farm).await?;
                Ok(format!("{}?said=corrected", to::farm(year, row.id)))
            }
            (Self::NewBlock(row), Parsed::Block { block, .. }) => {
                let id = book.add_block(row.id, &block).await?;
                Ok(format!("{}?said=block", to::soil(year, id)))
            }
            (Self::Block(row), Parsed::Block { block, .. }) => {
                book.correct_block(row.id, version, &block).await?;
                Ok(format!("{}?said=corrected", to::block(year, row.id)))
            }
            (Self::Soil(row), Parsed::Block { block, .. }) => {
                book.correct_block(row.id, version, &block).await?;
                Ok(format!("{}?said=soil", to::soil(year, row.id)))
            }
            // A form of farms reads a farm, one of blocks a block.
            (_, Parsed::Farm(_) | Parsed::Block { .. } | Parsed::Record(_)) => Err(StoreError::NotFound),
        }
    }

    /// The same as it stands in the book now.
    pub(super) async fn again(&self, desk: &Desk<'_>) -> Result<Self, StoreError> {
        Ok(match self {
            Self::NewFarm => Self::NewFarm,
            Self::Farm(row) => Self::Farm(desk.farm(row.id).await?),
            Self::NewBlock(row) => Self::NewBlock(desk.farm(row.id).await?),
            Self::Block(row) => Self::Block(desk.block(row.id).await?),
            Self::Soil(row) => Self::Soil(desk.block(row.id).await?),
        })
    }
}

/// The settings of a block as the form says them.
fn settings_of(row: &BlockRow) -> impl Iterator<Item = (String, String)> + '_ {
    setting_fields().filter_map(|field| {
        let value = row.block.water.get(field.info.setting)?;
        Some((field.column.name.to_owned(), field.shown(value)))
    })
}

/// Problems of single fields, then those between fields: a field that could not be read is not also
/// called blank.
fn joined(mut problems: Vec<Problem>, between: Vec<Problem>) -> Vec<Problem> {
    let new: Vec<Problem> =
        between.into_iter().filter(|problem| !problems.iter().any(|known| known.column == problem.column)).collect();
    problems.extend(new);
    problems
}

/// A first or last season that leaves records of the block outside.
pub(super) fn outside_records(season: i32, form: &Form) -> Option<Problem> {
    let column = ["first_season", "last_season"].into_iter().find(|column| {
        let year: Option<i32> = form.get(column).trim().parse().ok();
        year.is_some_and(|year| if *column == "first_season" { season < year } else { year < season })
    })?;
    let expected = format!("a year that leaves season {season} in, as the block has records of it");
    Some(Problem::at(None, column, form.get(column), expected, &season.to_string()))
}

/// A name or code that something else has.
pub(super) fn taken(constraint: Constraint, form: &Form) -> Option<Problem> {
    let (column, expected) = match constraint {
        Constraint::FarmName => ("farm", "a name that no other farm of the operation has"),
        Constraint::BlockCode => ("block", "a code that no other block of the operation has"),
        _ => return None,
    };
    Some(Problem::at(None, column, form.get(column), expected.to_owned(), ""))
}
