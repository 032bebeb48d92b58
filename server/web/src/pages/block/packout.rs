//! Boxes and prices by size class, by grade, and by both.

use print::figures;
use reckon::figure::{Evidence, Figure};
use reckon::money::UnitPrice;
use reckon::season::{PackoutCell, PackoutSeason};

use crate::display::{Bar, evidence, shown};

/// Pixels of a size class's bar.
const BAR: u32 = 56;

/// Tables by size class, by grade, and by both.
pub(super) struct Packout {
    /// By size class.
    pub(super) rows: Vec<SizeRow>,
    pub(super) total: SizeRow,
    /// By grade.
    pub(super) grades: Vec<GradeRow>,
    /// By size class and grade: a row of cells in the order of the grades.
    pub(super) cells: Vec<(String, Vec<PriceCell>)>,
    /// `lb` or `box`: what the prices of the cells are for.
    pub(super) unit: &'static str,
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
    pub(super) boxes: String,
    pub(super) per_box: String,
    pub(super) per_pound: String,
    /// Over the class below; empty for the smallest.
    pub(super) premium: String,
}

/// One grade.
pub(super) struct GradeRow {
    pub(super) name: String,
    /// Share of the packed weight.
    pub(super) share: String,
    pub(super) boxes: String,
    /// Net to grower, to the cent.
    pub(super) net: String,
    pub(super) per_box: String,
    pub(super) per_pound: String,
    /// `invoiced`; `assumed` where some of it is not settled yet.
    pub(super) known: &'static str,
}

/// Fruit of one size class and grade; empty where none was packed.
#[derive(Default)]
pub(super) struct PriceCell {
    pub(super) price: String,
    /// `36%` of the packed weight, and `assumed` where the price is the list's.
    pub(super) about: String,
}

impl Packout {
    pub(super) fn of(packout: &PackoutSeason) -> Option<Self> {
        let boxes = packout.boxes.as_ref()?;
        let most = packout.sizes.iter().map(|size| size.share.value.get()).fold(0.0, f64::max);
        let by_pound = packout.net_per_pound.is_some();
        Some(Self {
            rows: packout.sizes.iter().map(|size| SizeRow::of(size, most)).collect(),
            total: SizeRow {
                name: "Packed".to_owned(),
                share: "100".to_owned(),
                bar: None,
                boxes: figures::exact(boxes.value, 0),
                per_box: price(packout.net_per_box.as_ref()),
                per_pound: price(packout.net_per_pound.as_ref()),
                premium: String::new(),
            },
            grades: packout.grades.iter().map(GradeRow::of).collect(),
            cells: packout.sizes.iter().map(|size| cells(packout, size, by_pound)).collect(),
            unit: if by_pound { "lb" } else { "box" },
            notes: notes(packout),
            culls: culls(packout),
            evidence: packout.net_per_pound.as_ref().map(evidence),
        })
    }
}

impl SizeRow {
    fn of(size: &PackoutCell, most: f64) -> Self {
        let premium = size.premium_per_pound.as_ref();
        Self {
            name: name(size.size_class.as_deref()),
            share: percent(size),
            bar: Bar::of(size.share.value.get(), most, BAR),
            boxes: figures::exact(size.boxes.value, 0),
            per_box: price(size.net_per_box.as_ref()),
            per_pound: price(size.net_per_pound.as_ref()),
            premium: premium.map(|premium| figures::signed_price(premium.value, 2)).unwrap_or_default(),
        }
    }
}

impl GradeRow {
    fn of(grade: &PackoutCell) -> Self {
        Self {
            name: name(grade.grade.as_deref()),
            share: percent(grade),
            boxes: figures::exact(grade.boxes.value, 0),
            net: shown(grade.net.as_ref().map(|net| figures::money(net.value))),
            per_box: price(grade.net_per_box.as_ref()),
            per_pound: price(grade.net_per_pound.as_ref()),
            known: grade.net.as_ref().map_or("", |net| net.evidence.word()),
        }
    }
}

/// The cells of a size class, one for each grade.
fn cells(packout: &PackoutSeason, size: &PackoutCell, by_pound: bool) -> (String, Vec<PriceCell>) {
    let in_grade = |grade: &PackoutCell| {
        let same = |cell: &&PackoutCell| cell.size_class == size.size_class && cell.grade == grade.grade;
        packout.cells.iter().find(same).map(|cell| price_cell(cell, by_pound)).unwrap_or_default()
    };
    (name(size.size_class.as_deref()), packout.grades.iter().map(in_grade).collect())
}

fn price_cell(cell: &PackoutCell, by_pound: bool) -> PriceCell {
    let listed = cell.net.as_ref().is_some_and(|net| net.evidence == Evidence::Assumed);
    PriceCell {
        price: if by_pound { price(cell.net_per_pound.as_ref()) } else { price(cell.net_per_box.as_ref()) },
        about: format!("{}%{}", percent(cell), if listed { ", assumed" } else { "" }),
    }
}

pub(crate) fn price<U>(each: Option<&Figure<UnitPrice<U>>>) -> String {
    shown(each.map(|each| figures::price(each.value, 2)))
}

pub(crate) fn name(given: Option<&str>) -> String {
    given.filter(|name| !name.trim().is_empty()).unwrap_or("not said").to_owned()
}

fn percent(cell: &PackoutCell) -> String {
    figures::quantity(cell.share.value)
}

fn notes(packout: &PackoutSeason) -> Vec<String> {
    let per_acre = packout.boxes_per_acre.as_ref().map(|each| {
        let tree = packout.weight_per_tree.as_ref();
        let tree = tree.map(|each| format!(", {} lb a tree", figures::quantity(each.value))).unwrap_or_default();
        format!("{} boxes an acre{tree}.", figures::quantity(each.value))
    });
    let from_trees = packout.picked.as_ref().map(|picked| format!("{} lb picked.", figures::exact(picked.value, 0)));
    [per_acre, from_trees, packed(packout), unpriced(packout)].into_iter().flatten().collect()
}

pub(crate) fn packed(packout: &PackoutSeason) -> Option<String> {
    let share = packout.packed_share.as_ref()?;
    Some(format!("{}% of the fruit run was packed.", figures::quantity(share.value)))
}

pub(crate) fn unpriced(packout: &PackoutSeason) -> Option<String> {
    let boxes = packout.boxes_without_price.as_ref().filter(|boxes| !boxes.value.is_zero())?;
    Some(format!(
        "{} boxes have neither a settlement nor a price and stand outside the prices.",
        figures::exact(boxes.value, 0)
    ))
}

fn culls(packout: &PackoutSeason) -> Vec<(String, String)> {
    let weight = |line: &reckon::season::CullLine| shown(line.weight.as_ref().map(|lb| figures::exact(lb.value, 0)));
    packout.culls.iter().map(|line| (line.cause.clone(), weight(line))).collect()
}
