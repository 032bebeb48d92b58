//! From the words of a row (block code, farm, station) to the things of the book they name.
//!
//! Names are compared as [`folded`]: capitals and blanks do not matter, in rows as in the book.

use std::collections::BTreeMap;

use intake::{Place, Problem};
use reckon::block::{Block, folded};
use reckon::figure::RecordKind;
use reckon::records::{Attach, Record};
use store::{BlockRow, Desk, FarmId, StoreError, Target};

/// What rows may name, in one person's scope.
#[derive(Debug, Default)]
pub(crate) struct Places {
    blocks: Names<BlockRow>,
    farms: Names<FarmId>,
    stations: Names<()>,
}

/// Things by their names.
#[derive(Debug)]
struct Names<T> {
    by_name: BTreeMap<String, T>,
    /// From the folded name to the name.
    folded: BTreeMap<String, String>,
}

impl<T> Default for Names<T> {
    fn default() -> Self {
        Self { by_name: BTreeMap::new(), folded: BTreeMap::new() }
    }
}

impl<T> Names<T> {
    fn add(&mut self, name: String, thing: T) {
        self.folded.entry(folded(&name)).or_insert_with(|| name.clone());
        self.by_name.insert(name, thing);
    }

    /// The name as the book writes it, and what it names.
    fn find(&self, name: &str) -> Option<(&str, &T)> {
        let exact = self.by_name.get_key_value(name);
        let same = || self.by_name.get_key_value(self.folded.get(&folded(name))?);
        exact.or_else(same).map(|(name, thing)| (name.as_str(), thing))
    }

    fn all(&self) -> impl Iterator<Item = &str> + Clone {
        self.by_name.keys().map(String::as_str)
    }

    fn spell(&self, name: &mut Option<String>) {
        let known = name.as_deref().and_then(|name| self.find(name)).map(|(known, _)| known.to_owned());
        if known.is_some() {
            *name = known;
        }
    }
}

impl Places {
    pub(crate) async fn of(desk: &Desk<'_>) -> Result<Self, StoreError> {
        let mut places = Self::default();
        for row in desk.blocks().await? {
            places.blocks.add(row.block.code.clone(), row);
        }
        for row in desk.farms().await? {
            places.farms.add(row.farm.name, row.id);
            if !row.farm.station.is_empty() {
                places.stations.add(row.farm.station, ());
            }
        }
        Ok(places)
    }

    /// Names of the farms.
    pub(crate) fn farms(&self) -> impl Iterator<Item = &str> + Clone {
        self.farms.all()
    }

    /// Names of the weather stations.
    pub(crate) fn stations(&self) -> impl Iterator<Item = &str> + Clone {
        self.stations.all()
    }

    /// What a record belongs to, as column and text; nothing for the whole operation.
    pub(crate) fn written(&self, target: &Target) -> Option<(&'static str, String)> {
        match target {
            Target::Station(name) => Some(("station", name.clone())),
            Target::Farm(id) => name_of(&self.farms, |known| known == id).map(|name| ("farm", name)),
            Target::Block(id) => name_of(&self.blocks, |row| row.id == *id).map(|code| ("block", code)),
            Target::Operation => None,
        }
    }

    /// Whether a block of this code is among those the person sees.
    pub(crate) fn knows_block(&self, code: &str) -> bool {
        self.blocks.find(code).is_some()
    }

    /// The block a record belongs to, if one.
    pub(crate) fn block_of(&self, target: &Target) -> Option<&Block> {
        let Target::Block(id) = target else { return None };
        self.blocks.by_name.values().find(|row| row.id == *id).map(|row| &row.block)
    }

    /// The names of a row in the spelling of the book, as far as it knows them.
    pub(crate) fn spell(&self, place: &mut Place) {
        self.blocks.spell(&mut place.block);
        self.farms.spell(&mut place.farm);
        self.stations.spell(&mut place.station);
    }

    /// The farm of this name.
    pub(crate) fn farm(&self, line: Option<u32>, name: &str) -> Result<FarmId, Problem> {
        let found = self.farms.find(name).map(|(_, id)| *id);
        found.ok_or_else(|| unknown(line, "farm", name, "a farm", self.farms()))
    }

    /// What a record belongs to.
    pub(crate) fn target(&self, kind: RecordKind, line: Option<u32>, place: &Place) -> Result<Target, Problem> {
        let named = |name: &Option<String>| name.clone().unwrap_or_default();
        match kind.attach() {
            Attach::Block => self.block(line, &named(&place.block)),
            Attach::Station => self.station(line, &named(&place.station)),
            Attach::Operation => Ok(Target::Operation),
            Attach::Any => match (&place.block, &place.farm) {
                (Some(code), _) => self.block(line, code),
                (None, Some(name)) => self.farm(line, name).map(Target::Farm),
                (None, None) => Ok(Target::Operation),
            },
        }
    }

    /// What is wrong with the fixed shares of a cost: they name a block that is not in the book, or one
    /// that the cost's farm does not have. That share would go to nobody.
    pub(crate) fn shares(&self, line: Option<u32>, target: &Target, record: &Record) -> Option<Problem> {
        self.shares_but(line, target, record, |_| false)
    }

    /// The same, where some codes need not be looked at.
    pub(crate) fn shares_but(
        &self,
        line: Option<u32>,
        target: &Target,
        record: &Record,
        is_right: impl Fn(&str) -> bool,
    ) -> Option<Problem> {
        let Record::Cost(cost) = record else { return None };
        let of_farm = |row: &BlockRow| match target {
            Target::Farm(farm) => row.farm_id == *farm,
            _ => true,
        };
        let fits = |code: &str| self.blocks.find(code).is_some_and(|(_, row)| of_farm(row));
        let (code, _) = cost.shares.parts().iter().find(|(code, _)| !fits(code) && !is_right(code))?;
        let known = self.blocks.by_name.iter().filter(|(_, row)| of_farm(row)).map(|(code, _)| code.as_str());
        let what = match target {
            Target::Farm(_) => "the codes of blocks of the cost's farm",
            _ => "the codes of blocks",
        };
        Some(unknown(line, "shares", code, what, known))
    }

    fn block(&self, line: Option<u32>, code: &str) -> Result<Target, Problem> {
        let found = self.blocks.find(code).map(|(_, row)| Target::Block(row.id));
        found.ok_or_else(|| unknown(line, "block", code, "the code of a block", self.blocks.all()))
    }

    fn station(&self, line: Option<u32>, name: &str) -> Result<Target, Problem> {
        let found = self.stations.find(name).map(|(known, ())| Target::Station(known.to_owned()));
        found.ok_or_else(|| unknown(line, "station", name, "the weather station of a farm", self.stations()))
    }
}

fn name_of<T>(names: &Names<T>, is: impl Fn(&T) -> bool) -> Option<String> {
    names.by_name.iter().find(|(_, known)| is(known)).map(|(name, _)| name.clone())
}

fn unknown<'n>(
    line: Option<u32>,
    column: &str,
    read: &str,
    what: &str,
    names: impl Iterator<Item = &'n str> + Clone,
) -> Problem {
    let first = names.clone().next();
    let example = intake::nearest(read, names).or(first).unwrap_or_default();
    let expected = if example.is_empty() {
        format!("{what}; there is none in the book yet, bring in farms and blocks first")
    } else {
        format!("{what} in the book")
    };
    Problem::at(line, column, read, expected, example)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_in_any_spelling_and_the_exact_one_goes_first() {
        let mut names = Names::default();
        names.add("KW-1".to_owned(), 1);
        names.add("Home  Ranch".to_owned(), 2);
        // A book from before names were compared without capitals may hold both.
        names.add("kw-1".to_owned(), 3);
        assert_eq!(names.find("KW-1"), Some(("KW-1", &1)));
        assert_eq!(names.find("kw-1"), Some(("kw-1", &3)));
        assert_eq!(names.find(" Kw-1"), Some(("KW-1", &1)));
        assert_eq!(names.find("home ranch"), Some(("Home  Ranch", &2)));
        assert_eq!(names.find("KW-2"), None);
    }
}
