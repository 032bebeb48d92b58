//! Boxes by size class and grade, and what each class nets.

use print::figures;
use reckon::exact::unit;
use reckon::money::UnitPrice;
use reckon::season::{PackoutCell, PackoutSeason};

use crate::display::{Bar, evidence, shown};

/// Pixels of a size class's bar.
const BAR: u32 = 56;

/// The table of size classes and grades.
pub(super) struct Packout {
    /// Heads of the grades' columns.
    pub(super) grades: Vec<String>,
    pub(super) rows: Vec<SizeRow>,
    pub(super) total: SizeRow,
    /// Sentences below the table.
    pub(super) notes: Vec<String>,
    /// What was thrown out: cause and pounds.
    pub(super) culls: Vec<(String, String)>,
    /// `invoiced, 9 settlement lines`.
    pub(super) evidence: Option<String>,
}

/// One size class, or all of them.
pub(super) struct SizeRow {
    pub(super) name: String,
    /// Share of the packed weight, over all grades.
    pub(super) share: String,
    pub(super) bar: Option<Bar>,
    /// Share of the packed weight in each grade's column.
    pub(super) shares: Vec<String>,
    pub(super) boxes: String,
    pub(super) per_pound: String,
    /// Over the class below; empty for the smallest.
    pub(super) premium: String,
}

impl Packout {
    pub(super) fn of(packout: &PackoutSeason) -> Option<Self> {
        let boxes = packout.boxes.as_ref()?;
        let most = packout.sizes.iter().map(|size| size.share.value.get()).fold(0.0, f64::max);
        let rows = packout.sizes.iter().map(|size| SizeRow::of(packout, size, most));
        Some(Self {
            grades: packout.grades.iter().map(|grade| name(grade.grade.as_deref())).collect(),
            rows: rows.collect(),
            total: SizeRow {
                name: "Packed".to_owned(),
                share: "100".to_owned(),
                bar: None,
                shares: packout.grades.iter().map(percent).collect(),
                boxes: figures::exact(boxes.value, 0),
                per_pound: shown(packout.net_per_pound.as_ref().map(|each| figures::price(each.value, 2))),
                premium: String::new(),
            },
            notes: notes(packout),
            culls: culls(packout),
            evidence: packout.net_per_pound.as_ref().map(evidence),
        })
    }
}

impl SizeRow {
    fn of(packout: &PackoutSeason, size: &PackoutCell, most: f64) -> Self {
        let in_grade = |grade: &PackoutCell| {
            let same = |cell: &&PackoutCell| cell.size_class == size.size_class && cell.grade == grade.grade;
            packout.cells.iter().find(same).map(percent).unwrap_or_default()
        };
        let premium = size.premium_per_pound.as_ref();
        Self {
            name: name(size.size_class.as_deref()),
            share: percent(size),
            bar: Bar::of(size.share.value.get(), most, BAR),
            shares: packout.grades.iter().map(in_grade).collect(),
            boxes: figures::exact(size.boxes.value, 0),
            per_pound: shown(per_pound(size).map(|each| figures::price(each, 2))),
            premium: premium.map(|premium| figures::signed_price(premium.value, 2)).unwrap_or_default(),
        }
    }
}

fn name(given: Option<&str>) -> String {
    given.filter(|name| !name.trim().is_empty()).unwrap_or("not said").to_owned()
}

fn percent(cell: &PackoutCell) -> String {
    figures::quantity(cell.share.value)
}

fn per_pound(cell: &PackoutCell) -> Option<UnitPrice<unit::Pound>> {
    cell.net_per_pound.as_ref().map(|each| each.value)
}

fn notes(packout: &PackoutSeason) -> Vec<String> {
    let per_acre = packout.boxes_per_acre.as_ref().map(|each| {
        let tree = packout.weight_per_tree.as_ref();
        let tree = tree.map(|each| format!(", {} lb a tree", figures::quantity(each.value))).unwrap_or_default();
        format!("{} boxes an acre{tree}.", figures::quantity(each.value))
    });
    let packed = packout
        .packed_share
        .as_ref()
        .map(|share| format!("{}% of the fruit run was packed.", figures::quantity(share.value)));
    let from_trees = packout.picked.as_ref().map(|picked| format!("{} lb picked.", figures::exact(picked.value, 0)));
    let unpriced = packout.boxes_without_price.as_ref().filter(|boxes| !boxes.value.is_zero()).map(|boxes| {
        format!(
            "{} boxes have neither a settlement nor a price and stand outside the prices.",
            figures::exact(boxes.value, 0)
        )
    });
    [per_acre, from_trees, packed, unpriced].into_iter().flatten().collect()
}

fn culls(packout: &PackoutSeason) -> Vec<(String, String)> {
    let weight = |line: &reckon::season::CullLine| shown(line.weight.as_ref().map(|lb| figures::exact(lb.value, 0)));
    packout.culls.iter().map(|line| (line.cause.clone(), weight(line))).collect()
}
