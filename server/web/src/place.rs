//! From the words of a row (block code, farm, station) to the things of the book they name.

use std::collections::{BTreeMap, BTreeSet};

use intake::{Place, Problem};
use reckon::figure::RecordKind;
use reckon::records::Attach;
use store::{BlockId, Desk, FarmId, StoreError, Target};

/// What rows may name, in one person's scope.
#[derive(Debug, Default)]
pub(crate) struct Places {
    blocks: BTreeMap<String, BlockId>,
    farms: BTreeMap<String, FarmId>,
    stations: BTreeSet<String>,
}

impl Places {
    pub(crate) async fn of(desk: &Desk<'_>) -> Result<Self, StoreError> {
        let blocks = desk.blocks().await?.into_iter().map(|row| (row.block.code, row.id)).collect();
        let (mut farms, mut stations) = (BTreeMap::new(), BTreeSet::new());
        for row in desk.farms().await? {
            farms.insert(row.farm.name, row.id);
            stations.insert(row.farm.station);
        }
        stations.remove("");
        Ok(Self { blocks, farms, stations })
    }

    /// Names of the farms.
    pub(crate) fn farms(&self) -> impl Iterator<Item = &str> + Clone {
        self.farms.keys().map(String::as_str)
    }

    /// Names of the weather stations.
    pub(crate) fn stations(&self) -> impl Iterator<Item = &str> + Clone {
        self.stations.iter().map(String::as_str)
    }

    /// What a record belongs to, as column and text; nothing for the whole operation.
    pub(crate) fn written(&self, target: &Target) -> Option<(&'static str, String)> {
        match target {
            Target::Station(name) => Some(("station", name.clone())),
            Target::Farm(id) => name_of(&self.farms, id).map(|name| ("farm", name)),
            Target::Block(id) => name_of(&self.blocks, id).map(|code| ("block", code)),
            Target::Operation => None,
        }
    }

    /// The farm of this name.
    pub(crate) fn farm(&self, line: Option<u32>, name: &str) -> Result<FarmId, Problem> {
        self.farms.get(name).copied().ok_or_else(|| unknown(line, "farm", name, "a farm", self.farms()))
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

    fn block(&self, line: Option<u32>, code: &str) -> Result<Target, Problem> {
        let codes = || self.blocks.keys().map(String::as_str);
        let found = self.blocks.get(code).copied().map(Target::Block);
        found.ok_or_else(|| unknown(line, "block", code, "the code of a block", codes()))
    }

    fn station(&self, line: Option<u32>, name: &str) -> Result<Target, Problem> {
        let found = self.stations.contains(name).then(|| Target::Station(name.to_owned()));
        found.ok_or_else(|| unknown(line, "station", name, "the weather station of a farm", self.stations()))
    }
}

fn name_of<Id: PartialEq>(names: &BTreeMap<String, Id>, id: &Id) -> Option<String> {
    names.iter().find(|(_, known)| *known == id).map(|(name, _)| name.clone())
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
