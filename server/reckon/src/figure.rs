//! A figure is never a bare number: value, how it is known, from which records, and what is missing.

use core::fmt;

use crate::say;

/// Which kind of record something came from. The order is the order of the record lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecordKind {
    /// Hours, pieces or contract work in a block.
    Labor,
    /// Fruit counted before and after thinning.
    FruitCount,
    /// A set of irrigation.
    Irrigation,
    /// A soil-water tension reading.
    Tension,
    /// A day of weather at a station.
    Weather,
    /// Canopy values of a day: basal coefficient, ground shaded.
    Canopy,
    /// Mulch laid.
    Mulch,
    /// Fruit picked.
    Pick,
    /// Boxes packed and fruit culled.
    Packout,
    /// What a buyer paid and charged.
    Settlement,
    /// An invoice or other cost.
    Cost,
    /// A price expected before settlement.
    Price,
    /// A wage, payroll or water rate with its first day.
    Rate,
    /// A size of the operation's own list.
    Size,
    /// How many fruit to leave, and how far apart.
    ThinningTarget,
    /// Bloom, hail, frost and the like.
    Observation,
}

impl RecordKind {
    /// Every kind, in list order.
    pub const ALL: [Self; 16] = [
        Self::Labor,
        Self::FruitCount,
        Self::Irrigation,
        Self::Tension,
        Self::Weather,
        Self::Canopy,
        Self::Mulch,
        Self::Pick,
        Self::Packout,
        Self::Settlement,
        Self::Cost,
        Self::Price,
        Self::Rate,
        Self::Size,
        Self::ThinningTarget,
        Self::Observation,
    ];

    /// The word used on the command line, in addresses and as the CSV file's name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Labor => "labor",
            Self::FruitCount => "fruit-counts",
            Self::Irrigation => "irrigation",
            Self::Tension => "tension",
            Self::Weather => "weather",
            Self::Canopy => "canopy",
            Self::Mulch => "mulch",
            Self::Pick => "picks",
            Self::Packout => "packout",
            Self::Settlement => "settlements",
            Self::Cost => "costs",
            Self::Price => "prices",
            Self::Rate => "rates",
            Self::Size => "sizes",
            Self::ThinningTarget => "thinning-targets",
            Self::Observation => "observations",
        }
    }

    /// The kind of this [`RecordKind::word`].
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// Where one record stands: a line of a file, or a row of the store.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecordId {
    /// Line of the CSV file of its kind (the header is line 1).
    Line(u32),
    /// The store's identifier (a UUID's 128 bits).
    Stored(u128),
}

impl fmt::Display for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line}"),
            Self::Stored(id) => {
                let hex = format!("{id:032x}");
                let parts = [(0, 8), (8, 12), (12, 16), (16, 20), (20, 32)];
                for (n, (from, to)) in parts.into_iter().enumerate() {
                    if n > 0 {
                        f.write_str("-")?;
                    }
                    f.write_str(hex.get(from..to).unwrap_or_default())?;
                }
                Ok(())
            }
        }
    }
}

/// One record behind a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordRef {
    /// Its kind.
    pub kind: RecordKind,
    /// Where it stands.
    pub id: RecordId,
}

/// A record together with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept<R> {
    /// Where the record stands.
    pub id: RecordId,
    /// What was recorded.
    pub record: R,
}

/// How a figure is known. The order runs from strongest to weakest: a figure made from several
/// records carries the weakest of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Evidence {
    /// Read from a meter, a clock or a scale.
    Metered,
    /// Counted by a person.
    Counted,
    /// Printed on an invoice or a settlement.
    Invoiced,
    /// Reckoned by a model from other records.
    Modelled,
    /// Taken for granted, from a default or a list.
    Assumed,
}

impl Evidence {
    /// The word printed beside a figure.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Metered => "metered",
            Self::Counted => "counted",
            Self::Invoiced => "invoiced",
            Self::Modelled => "modelled",
            Self::Assumed => "assumed",
        }
    }

    /// The weaker of the two.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.max(other)
    }
}

/// What a record lacks, so that its part is left out of a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lacks {
    /// Hourly work without a wage.
    Wage,
    /// Work that is paid by hours, without hours.
    Hours,
    /// An amount within the range of money.
    Amount,
}

impl Lacks {
    /// As the end of a sentence: "1 entry lacks a wage".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Wage => "a wage",
            Self::Hours => "hours",
            Self::Amount => "a cost small enough to keep",
        }
    }
}

/// A record left out of a figure, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Lack {
    /// What it lacks.
    pub what: Lacks,
    /// The record.
    pub record: RecordRef,
}

/// "2 entries lack a wage, 1 entry lacks hours"; `None` where nothing is lacking. Sorted lacks are counted
/// together.
pub fn lacking(lacks: &[Lack]) -> Option<String> {
    let alike = lacks.chunk_by(|a, b| a.what == b.what && a.record.kind == b.record.kind);
    let said = alike.filter_map(|lacks| lacks.first().map(|first| (first, lacks.len()))).map(|(first, n)| {
        let (one, many) = match first.record.kind {
            RecordKind::Labor => ("entry lacks", "entries lack"),
            _ => ("record lacks", "records lack"),
        };
        format!("{} {}", say::counted(n.into(), one, many), first.what.words())
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| said.join(", "))
}

/// A value, how it is known, and the records it came from (sorted, no duplicates).
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<T> {
    /// The value; its type carries the unit.
    pub value: T,
    /// The weakest evidence among its parts.
    pub evidence: Evidence,
    /// The records behind it.
    pub records: Vec<RecordRef>,
    /// Records that belong in it and are left out: with any, the figure is incomplete. Sorted.
    pub lacks: Vec<Lack>,
}

impl<T> Figure<T> {
    /// A figure from a value and the records behind it.
    pub fn new(value: T, evidence: Evidence, records: impl IntoIterator<Item = RecordRef>) -> Self {
        let mut records: Vec<RecordRef> = records.into_iter().collect();
        records.sort_unstable();
        records.dedup();
        Self { value, evidence, records, lacks: Vec::new() }
    }

    /// The same figure without these records' part.
    #[must_use]
    pub fn without(mut self, lacks: impl IntoIterator<Item = Lack>) -> Self {
        self.lacks.extend(lacks);
        self.lacks.sort_unstable();
        self.lacks.dedup();
        self
    }

    /// Number of records behind it.
    pub fn n(&self) -> usize {
        self.records.len()
    }

    /// The same provenance with another value: a cost turned into a cost per tree.
    pub fn map<V>(&self, value: V) -> Figure<V> {
        Figure { value, evidence: self.evidence, records: self.records.clone(), lacks: self.lacks.clone() }
    }

    /// The same figure with its evidence weakened: a division by an assumed number of trees.
    #[must_use]
    pub fn weakened(mut self, by: Evidence) -> Self {
        self.evidence = self.evidence.and(by);
        self
    }
}

/// What is missing or does not fit, in one sentence, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gap {
    /// What part of the season it weakens.
    pub about: GapAbout,
    /// What was read, as a sentence: "A crew day of 14 May has no wage."
    pub what: String,
    /// What would mend it: "Add a wage to the entry, or a wage rate that holds on that day."
    pub mend: String,
    /// The records it speaks of.
    pub records: Vec<RecordRef>,
    /// A gap leaves a figure out or doubtful; a remark only asks for a look.
    pub weight: GapWeight,
}

/// The part of the season a gap weakens, in report order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GapAbout {
    /// The block's own description.
    Block,
    /// Hours and wages.
    Labor,
    /// Counts and spacing.
    Thinning,
    /// Irrigation, weather, soil.
    Water,
    /// Mulch.
    Mulch,
    /// Boxes and weights.
    Packout,
    /// Prices and charges.
    Price,
    /// Other costs.
    Costs,
}

/// Whether a gap leaves something out, or is only worth a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GapWeight {
    /// A figure is incomplete or rests on an assumption.
    Missing,
    /// The figures stand; a person should look.
    WorthALook,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_own_word() {
        for kind in RecordKind::ALL {
            assert_eq!(RecordKind::from_word(kind.word()), Some(kind));
        }
    }

    #[test]
    fn a_stored_id_prints_as_a_uuid() {
        let id = RecordId::Stored(0x0190_a5b6_c7d8_7e9f_8a1b_2c3d_4e5f_6071);
        assert_eq!(id.to_string(), "0190a5b6-c7d8-7e9f-8a1b-2c3d4e5f6071");
        assert_eq!(RecordId::Line(12).to_string(), "line 12");
    }

    #[test]
    fn what_is_left_out_stays_with_a_figure() {
        let lack =
            |line| Lack { what: Lacks::Wage, record: RecordRef { kind: RecordKind::Labor, id: RecordId::Line(line) } };
        let figure = Figure::new(3, Evidence::Metered, []).without([lack(9), lack(2), lack(9)]);
        assert_eq!(figure.map("each").weakened(Evidence::Assumed).lacks, [lack(2), lack(9)]);
    }

    #[test]
    fn the_weaker_evidence_wins() {
        assert_eq!(Evidence::Metered.and(Evidence::Assumed), Evidence::Assumed);
        assert_eq!(Evidence::Invoiced.and(Evidence::Counted), Evidence::Invoiced);
    }
}
