use reckon::block::Block;
use reckon::exact::{Boxes, Pounds};
use reckon::figure::{Evidence, Figure, RecordKind};
use reckon::money::{Money, UnitPrice};
use reckon::season::{CullLine, PackoutCell, PackoutSeason, PackoutWeek};
use reckon::units::{BoxesPerAcre, PoundsPerTree, Share};

use super::figure;

/// Boxes packed in all.
const BOXES: i64 = 11_920;
/// Tenths of a pound in a box.
const BOX_TENTHS: i64 = 145;

/// Percent of the boxes, and cents a pound.
type Packed = (i64, i64);
/// Size class, its first grade, its second grade.
type Size = (&'static str, Packed, Packed);

const SIZES: [Size; 6] = [
    ("D", (1, 42), (1, 30)),
    ("C", (5, 61), (2, 44)),
    ("B", (18, 86), (4, 60)),
    ("A", (31, 112), (3, 78)),
    ("AA", (25, 138), (2, 92)),
    ("AAA", (8, 152), (0, 0)),
];

pub(super) fn packout(block: &Block) -> PackoutSeason {
    let mut cells: Vec<PackoutCell> = SIZES
        .iter()
        .flat_map(|(size, first, second)| {
            [("First", first), ("Second", second)]
                .into_iter()
                .filter(|(_, (share, _))| *share > 0)
                .map(|(grade, (share, price))| cell(Some(size), Some(grade), *share, share * price))
        })
        .collect();
    let mut sizes: Vec<PackoutCell> =
        SIZES.iter().map(|(size, a, b)| cell(Some(size), None, a.0 + b.0, a.0 * a.1 + b.0 * b.1)).collect();
    let sum = |grade: fn(&Size) -> Packed| {
        SIZES.iter().map(grade).fold((0, 0), |sum, (share, price)| (sum.0 + share, sum.1 + share * price))
    };
    let (first, second) = (sum(|size| size.1), sum(|size| size.2));
    let all = cell(None, None, first.0 + second.0, first.1 + second.1);
    premiums(&mut cells);
    premiums(&mut sizes);
    let float_weight = all.weight.as_ref().map_or(0.0, |weight| weight.value.as_f64());
    PackoutSeason {
        boxes_per_acre: Some(all.boxes.map(BoxesPerAcre::of(all.boxes.value.as_f64() / block.acres.as_f64()))),
        weight_per_tree: Some(all.boxes.map(PoundsPerTree::of(float_weight / f64::from(block.trees.unwrap_or(1))))),
        picked: Some(figure(pounds(198_410), Evidence::Metered, RecordKind::Pick, 17)),
        packed_share: Some(figure(Share::of(89.4), Evidence::Metered, RecordKind::Packout, 42)),
        net_per_pound: all.net_per_pound,
        net_per_box: all.net_per_box,
        boxes: Some(all.boxes),
        priced_weight: all.weight.clone(),
        weight: all.weight,
        cells,
        sizes,
        grades: vec![cell(None, Some("First"), first.0, first.1), cell(None, Some("Second"), second.0, second.1)],
        classes: Vec::new(),
        weeks: weeks(),
        culls: vec![cull("split pit", 9_210), cull("undersize", 6_480), cull("soft", 4_740)],
        boxes_without_price: Some(figure(boxes(120), Evidence::Counted, RecordKind::Packout, 1)),
        boxes_unsettled: Some(figure(boxes(620), Evidence::Counted, RecordKind::Packout, 3)),
    }
}

/// A cell of so many percent; `worth` is percent times cents a pound.
fn cell(size: Option<&str>, grade: Option<&str>, share: i64, worth: i64) -> PackoutCell {
    let packed = |evidence| figure((), evidence, RecordKind::Packout, 42);
    let net = Money::from_cents(worth * BOXES * BOX_TENTHS / 1000);
    let settled: Figure<()> = figure((), Evidence::Invoiced, RecordKind::Settlement, 9);
    // Hundredths of a percent of the boxes, in millionths of a box and of a pound.
    let micro_boxes = share * BOXES * 10_000;
    let micro_pounds = micro_boxes * BOX_TENTHS / 10;
    let weight = Pounds::from_micros(micro_pounds);
    PackoutCell {
        size_class: size.map(str::to_owned),
        grade: grade.map(str::to_owned),
        boxes: packed(Evidence::Counted).map(Boxes::from_micros(micro_boxes)),
        weight: Some(packed(Evidence::Metered).map(weight)),
        share: packed(Evidence::Metered).map(Share::of(f64::from(i32::try_from(share).unwrap_or(0)))),
        net: Some(settled.map(net)),
        net_per_box: UnitPrice::spread(net.decimal(), Boxes::from_micros(micro_boxes).decimal())
            .map(|price| settled.map(price)),
        net_per_pound: UnitPrice::spread(net.decimal(), weight.decimal()).map(|price| settled.map(price)),
        premium_per_pound: None,
        premium_per_box: None,
    }
}

/// Each class over the one below in its grade.
fn premiums(cells: &mut [PackoutCell]) {
    let prices: Vec<_> =
        cells.iter().map(|cell| (cell.grade.clone(), cell.net_per_pound.clone(), cell.net_per_box.clone())).collect();
    for (n, cell) in cells.iter_mut().enumerate() {
        let below = prices.iter().take(n).rev().find(|(grade, ..)| *grade == cell.grade);
        let Some((_, pound, each_box)) = below else { continue };
        cell.premium_per_pound = over(pound.as_ref(), cell.net_per_pound.as_ref());
        cell.premium_per_box = over(each_box.as_ref(), cell.net_per_box.as_ref());
    }
}

fn over<U>(below: Option<&Figure<UnitPrice<U>>>, own: Option<&Figure<UnitPrice<U>>>) -> Option<Figure<UnitPrice<U>>> {
    let (below, own) = below.zip(own)?;
    Some(own.map(UnitPrice::from_micros(own.value.micros() - below.value.micros())))
}

/// The season's boxes over three weeks of packing, the price falling.
fn weeks() -> Vec<PackoutWeek> {
    let settled: Figure<()> = figure((), Evidence::Invoiced, RecordKind::Settlement, 9);
    let packed: Figure<()> = figure((), Evidence::Counted, RecordKind::Packout, 42);
    [(20, 30, 1_900), (27, 50, 1_750), (34, 20, 1_600)]
        .into_iter()
        .map(|(day_of_july, percent, cents_a_box)| {
            let boxes = Boxes::from_micros(percent * BOXES * 10_000);
            let weight = Pounds::from_micros(percent * BOXES * 1_000 * BOX_TENTHS);
            let net = Money::from_cents(percent * BOXES * cents_a_box / 100);
            PackoutWeek {
                starts: super::day(7, 1) + chrono::Days::new(day_of_july - 1),
                boxes: packed.map(boxes),
                weight: Some(packed.map(weight)),
                net: Some(settled.map(net)),
                net_per_box: UnitPrice::spread(net.decimal(), boxes.decimal()).map(|each| settled.map(each)),
                net_per_pound: UnitPrice::spread(net.decimal(), weight.decimal()).map(|each| settled.map(each)),
            }
        })
        .collect()
}

fn cull(cause: &str, weight: i64) -> CullLine {
    CullLine {
        cause: cause.to_owned(),
        weight: Some(figure(pounds(weight), Evidence::Metered, RecordKind::Packout, 3)),
    }
}

fn pounds(n: i64) -> Pounds {
    Pounds::from_micros(n * 1_000_000)
}

fn boxes(n: i64) -> Boxes {
    Boxes::from_micros(n * 1_000_000)
}
