//! Hours and cost of labor as the season holds them.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use crate::exact::{Hours, unit};
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};
use crate::records::{Pay, Task, ThinningMethod};
use crate::units::{Count, HoursPerAcre, HoursPerThousandFruit, HoursPerTree};

/// Which trees a figure for each tree is spread over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TreesFrom {
    /// Those of the entries, added up.
    Entries,
    /// Those of the entries, of which this many count rows and not trees: the rows are taken to be alike.
    Rows(usize),
    /// Those of the largest of several passes.
    LargestPass,
    /// The block's, each once; the entries count this many in all, as some were worked more than once.
    OnceEach(u64),
    /// The block's bearing trees: this many entries leave theirs out.
    LeftOut(usize),
    /// The block's and no more: the entries count this many, which is asked about.
    Doubtful(u64),
    /// The block's bearing trees, as for all labor together.
    Bearing,
}

/// Labor of one task, or of one method and pass of thinning, or of all thinning.
#[derive(Debug, Clone, PartialEq)]
pub struct LaborMeasure {
    /// Number of entries, with a cost or without.
    pub entries: usize,
    /// Hours; `None` where no entry carries hours. Entries without them are lacking.
    pub hours: Option<Figure<Hours>>,
    /// Those of the hours that are overtime; `None` where there are none.
    pub overtime: Option<Figure<Hours>>,
    /// Loaded cost: pay and what comes on top.
    pub cost: Figure<Money>,
    /// Trees treated, each counted once.
    pub trees: Option<Figure<Count>>,
    /// Which trees these are.
    pub trees_from: Option<TreesFrom>,
    /// Cost for each tree treated.
    pub cost_per_tree: Option<Figure<UnitPrice<unit::Tree>>>,
    /// Hours for each tree treated, from entries that carry hours and only those; they lack the others where
    /// their trees are not known apart.
    pub hours_per_tree: Option<Figure<HoursPerTree>>,
    /// Cost for each acre of the block.
    pub cost_per_acre: Option<Figure<UnitPrice<unit::Acre>>>,
    /// Hours for each acre of the block.
    pub hours_per_acre: Option<Figure<HoursPerAcre>>,
    /// Thinning: cost for each thousand fruit that came off the trees treated; for work that counts before and
    /// after span.
    pub cost_per_thousand: Option<Figure<UnitPrice<unit::ThousandFruit>>>,
    /// Thinning: hours for the same thousand; lacking what `hours_per_tree` lacks.
    pub hours_per_thousand: Option<Figure<HoursPerThousandFruit>>,
}

impl LaborMeasure {
    /// Whether any of its entries has a cost: a sum of none is not nothing.
    pub fn is_costed(&self) -> bool {
        self.cost.lacks.is_empty() || !self.cost.records.is_empty()
    }

    /// The cost as known for a whole row: hours on a clock over assumed trees are assumed, and what the hours
    /// lack the row lacks.
    pub fn known(&self) -> Figure<Money> {
        let trees = self.cost_per_tree.as_ref().map_or(self.cost.evidence, |each| each.evidence);
        let lacks = self.hours.iter().flat_map(|hours| hours.lacks.iter().copied());
        self.cost.clone().weakened(trees).without(lacks)
    }
}

/// Labor of one task.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskLabor {
    /// The task.
    pub task: Task,
    /// Its figures.
    pub measure: LaborMeasure,
}

/// What work is paid by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PayBasis {
    /// By the hour.
    Hour,
    /// By the piece.
    Piece,
    /// A flat sum.
    Contract,
}

impl PayBasis {
    /// Every basis.
    pub const ALL: [Self; 3] = [Self::Hour, Self::Piece, Self::Contract];

    /// Of an entry's pay.
    pub const fn of(pay: &Pay) -> Self {
        match pay {
            Pay::Hourly(_) => Self::Hour,
            Pay::Piece { .. } => Self::Piece,
            Pay::Contract(_) => Self::Contract,
        }
    }

    /// In a sentence.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hour => "the hour",
            Self::Piece => "the piece",
            Self::Contract => "contract",
        }
    }
}

/// Thinning labor of one method in one pass.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodPass {
    /// The method; `None` where entries do not say.
    pub method: Option<ThinningMethod>,
    /// 1 = first pass; `None` where entries do not say.
    pub pass: Option<u8>,
    /// First and last day.
    pub days: (NaiveDate, NaiveDate),
    /// What its entries are paid by.
    pub pay: BTreeSet<PayBasis>,
    /// Its figures.
    pub measure: LaborMeasure,
}

/// Hours and cost of labor in the season.
#[derive(Debug, Clone, PartialEq)]
pub struct LaborSeason {
    /// Number of entries.
    pub entries: usize,
    /// All labor.
    pub all: LaborMeasure,
    /// By task, in the order of the orchard's year. Costs sum to `all`.
    pub tasks: Vec<TaskLabor>,
    /// All thinning; `None` when there is none.
    pub thinning: Option<LaborMeasure>,
    /// Thinning by method and pass, in order of pass. Costs sum to `thinning`.
    pub passes: Vec<MethodPass>,
    /// Thinning cost for each thousand fruit taken off; needs counts.
    pub cost_per_thousand_removed: Option<Figure<UnitPrice<unit::ThousandFruit>>>,
    /// Thinning labor for each packed box.
    pub thinning_cost_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
}
