//! Where a packing shed's sizes begin, in mm of diameter.
//!
//! Letter codes and plum counts are printed with their smallest diameter. A count of fruit in a
//! pound or in a box is a mean weight: the class then begins half-way, by ratio, to the next
//! smaller one. Weight and diameter are turned into each other by the same cube on the way in and
//! on the way out, so a wrong cube moves fruit number and not the boxes.

use super::sizes::PEACH_G_PER_MM3;
use crate::season::{BlockSeason, PackoutCell};
use crate::size_classes::mapping::{BuiltIn, built_in};
use crate::size_classes::{by_code, lists::CountSize};
use crate::units::MM_PER_INCH;

use super::plan::GRAMS_PER_POUND;

/// One size of a block's packout, small to large.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Class {
    /// As packed.
    pub(super) name: String,
    /// Smallest diameter, mm.
    pub(super) from_mm: f64,
    /// Packed weight, lb.
    pub(super) packed_lb: f64,
    /// Net to grower for a box, $.
    pub(super) net_per_box: Option<f64>,
}

/// What is printed of a class.
enum Printed {
    FromMm(f64),
    MeanGrams(f64),
}

/// The sizes packed, small to large; or the sizes nobody can place.
pub(super) fn classes(season: &BlockSeason) -> Result<Vec<Class>, Vec<String>> {
    let packout = &season.packout;
    let cells = if packout.classes.is_empty() { &packout.sizes } else { &packout.classes };
    let named = |cell: &PackoutCell| cell.size_class.clone().unwrap_or_default();
    let mut placed = Vec::new();
    let mut unknown = Vec::new();
    for cell in cells {
        match printed(&season.heading.block.crop, cell) {
            Some(printed) => placed.push((cell, printed)),
            None => unknown.push(named(cell)),
        }
    }
    if !unknown.is_empty() {
        return Err(unknown);
    }
    placed.sort_by(|(_, a), (_, b)| lower(a).total_cmp(&lower(b)));
    let lowers: Vec<f64> = placed.iter().map(|(_, printed)| lower(printed)).collect();
    Ok(placed
        .iter()
        .enumerate()
        .map(|(n, (cell, printed))| Class {
            name: named(cell),
            from_mm: match printed {
                Printed::FromMm(mm) => *mm,
                Printed::MeanGrams(_) => halfway(&lowers, n),
            },
            packed_lb: cell.weight.as_ref().map_or(0.0, |weight| weight.value.as_f64()),
            net_per_box: cell.net_per_box.as_ref().and_then(|net| super::dollars(net.value.decimal())),
        })
        .collect())
}

/// Diameter a class is sorted by: where it begins, or that of its mean fruit.
fn lower(printed: &Printed) -> f64 {
    match printed {
        Printed::FromMm(mm) => *mm,
        Printed::MeanGrams(grams) => libm::cbrt(grams / PEACH_G_PER_MM3),
    }
}

/// Between a class's mean fruit and the next smaller one's; the smallest reaches as far below.
fn halfway(means_mm: &[f64], n: usize) -> f64 {
    let own = means_mm.get(n).copied().unwrap_or_default();
    let smaller = n.checked_sub(1).and_then(|below| means_mm.get(below)).copied();
    match (smaller, means_mm.get(n + 1)) {
        (Some(smaller), _) => (own * smaller).sqrt(),
        (None, Some(larger)) => own / (larger / own).sqrt(),
        (None, None) => 0.9 * own,
    }
}

fn printed(crop: &str, cell: &PackoutCell) -> Option<Printed> {
    let words = cell.size_class.as_deref()?;
    if let Some(class) = by_code(words) {
        return Some(Printed::FromMm(f64::from(class.from_mm)));
    }
    match built_in(crop, words) {
        Some(BuiltIn::Class(class)) => Some(Printed::FromMm(f64::from(class.from_mm))),
        Some(BuiltIn::Plum(_, smallest)) => plum(smallest),
        Some(BuiltIn::Apricot(_, per_lb)) => Some(Printed::MeanGrams(GRAMS_PER_POUND / f64::from(per_lb))),
        Some(BuiltIn::Tray(..)) | None => count_to_the_box(words, cell),
    }
}

fn plum(smallest: &CountSize) -> Option<Printed> {
    (!smallest.misprint).then(|| Printed::FromMm(f64::from(smallest.diameter_sixteenths) / 16.0 * MM_PER_INCH))
}

/// "28": so many fruit in a box of known weight (common practice, no source).
fn count_to_the_box(words: &str, cell: &PackoutCell) -> Option<Printed> {
    let count = words.trim().parse::<u32>().ok().filter(|count| *count > 0)?;
    let boxes = cell.boxes.value.as_f64();
    let lb = cell.weight.as_ref()?.value.as_f64() / boxes;
    (lb.is_finite() && lb > 0.0).then(|| Printed::MeanGrams(lb * GRAMS_PER_POUND / f64::from(count)))
}
