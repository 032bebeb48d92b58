//! Boxes, sizes, grades and prices as the season holds them.

use chrono::NaiveDate;

use crate::exact::{Boxes, Pounds, unit};
use crate::figure::Figure;
use crate::money::{Money, UnitPrice};
use crate::units::{BoxesPerAcre, PoundsPerTree, Share};

/// Fruit of one size class and grade, or of one row or column of that table.
#[derive(Debug, Clone, PartialEq)]
pub struct PackoutCell {
    /// Size class; `None` in a grade's total.
    pub size_class: Option<String>,
    /// Grade; `None` in a size class's total.
    pub grade: Option<String>,
    /// Boxes packed.
    pub boxes: Figure<Boxes>,
    /// Net weight; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
    /// Share of packed weight (of boxes where weight is missing); the shares of a list sum to 100 exactly.
    pub share: Figure<Share>,
    /// Net to grower: settled, or at the price list, or neither.
    pub net: Option<Figure<Money>>,
    /// Net to grower for each box, weighted.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Net to grower for each pound, weighted.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// What a pound brings over one of the next smaller class that has a price, in the same grade;
    /// `None` in a grade's total.
    pub premium_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// The same for a box.
    pub premium_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
}

/// Fruit packed in one week, and what it brought. A week's boxes are those packed in it; the
/// earliest settlement pays the earliest packed boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct PackoutWeek {
    /// Its Monday.
    pub starts: NaiveDate,
    /// Boxes packed.
    pub boxes: Figure<Boxes>,
    /// Net weight; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
    /// Net to grower: settled, or at the price list, or neither.
    pub net: Option<Figure<Money>>,
    /// Net to grower for each box that has a value.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Net to grower for each pound that has a value.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
}

/// Fruit thrown out for one cause.
#[derive(Debug, Clone, PartialEq)]
pub struct CullLine {
    /// Why.
    pub cause: String,
    /// How much; `None` when some lines carry no weight.
    pub weight: Option<Figure<Pounds>>,
}

/// Boxes, sizes, grades, prices.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PackoutSeason {
    /// Boxes packed.
    pub boxes: Option<Figure<Boxes>>,
    /// Packed weight.
    pub weight: Option<Figure<Pounds>>,
    /// Boxes from each acre.
    pub boxes_per_acre: Option<Figure<BoxesPerAcre>>,
    /// Packed pounds from each tree.
    pub weight_per_tree: Option<Figure<PoundsPerTree>>,
    /// Picked weight.
    pub picked: Option<Figure<Pounds>>,
    /// Packed share of packed and culled weight.
    pub packed_share: Option<Figure<Share>>,
    /// Net to grower for each pound, all sizes and grades.
    pub net_per_pound: Option<Figure<UnitPrice<unit::Pound>>>,
    /// Net to grower for each box, all sizes and grades.
    pub net_per_box: Option<Figure<UnitPrice<unit::Carton>>>,
    /// Each size class and grade that occurs; sizes in list order, then grades.
    pub cells: Vec<PackoutCell>,
    /// Each size class.
    pub sizes: Vec<PackoutCell>,
    /// Each grade.
    pub grades: Vec<PackoutCell>,
    /// Each published size class, where the operation's own list says what its words stand for; words
    /// that stand for none keep their own row. Empty without such a list.
    pub classes: Vec<PackoutCell>,
    /// Each week of packing.
    pub weeks: Vec<PackoutWeek>,
    /// Culls by cause.
    pub culls: Vec<CullLine>,
    /// Packed weight of the fruit that has a value: what `net_per_pound` divides by.
    pub priced_weight: Option<Figure<Pounds>>,
    /// Boxes that neither a settlement nor the price list values.
    pub boxes_without_price: Option<Figure<Boxes>>,
    /// Boxes that no settlement has paid yet, whether or not the price list values them.
    pub boxes_unsettled: Option<Figure<Boxes>>,
}
