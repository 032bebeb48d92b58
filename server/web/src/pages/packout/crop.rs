//! One crop: its tables by size class, grade and week.

use print::{chart, figures, words};
use reckon::figure::{Evidence, Figure, Gap};
use reckon::money::{Money, UnitPrice};
use reckon::season::{PackoutCell, PackoutSeason, PackoutWeek};

use store::BlockId;

use super::Crop;
use crate::display::{evidence, shown};
use crate::pages::block::packout::{name, packed, price, unpriced};
use crate::pages::capital;
use crate::routes::to;

/// Points of the chart's width.
const CHART_WIDTH: f64 = 220.0;

/// One crop as the page shows it.
pub(super) struct CropView {
    pub(super) id: String,
    pub(super) name: String,
    pub(super) blocks: Vec<(String, String)>,
    /// Sentences under the heading.
    pub(super) said: Vec<String>,
    /// Titles and drawings: by size class, the premium of each, by week.
    pub(super) charts: Vec<(String, String)>,
    /// What does not fit: the block, its page, the sentence and how to mend it.
    pub(super) doubts: Vec<Doubt>,
    pub(super) sizes: Vec<Row>,
    pub(super) grades: Vec<Row>,
    /// By published class, where an own list says what its words stand for.
    pub(super) classes: Vec<Row>,
    pub(super) cells: Vec<Row>,
    pub(super) weeks: Vec<Row>,
    pub(super) total: Option<Row>,
    pub(super) culls: Vec<(String, String)>,
}

/// Fruit of one size class, grade or week, or of both.
pub(super) struct Row {
    pub(super) name: String,
    pub(super) share: String,
    pub(super) boxes: String,
    pub(super) weight: String,
    pub(super) net: String,
    pub(super) per_box: String,
    pub(super) per_pound: String,
    pub(super) premium_box: String,
    pub(super) premium_pound: String,
    /// `assumed` where some of it is not settled yet.
    pub(super) known: &'static str,
}

impl CropView {
    pub(super) fn of(n: usize, year: i32, crop: &Crop) -> Self {
        let packout = &crop.packout;
        let id = format!("crop-{}", n.saturating_add(1));
        let name = if crop.name.is_empty() { "crop not said" } else { crop.name.as_str() };
        Self {
            name: capital(name),
            blocks: crop.blocks.iter().map(|(block, code)| (to::block(year, *block), code.clone())).collect(),
            said: said(crop),
            charts: charts(packout, &id),
            doubts: crop.gaps.iter().map(|(block, code, gap)| doubt(year, *block, code, gap)).collect(),
            classes: packout.classes.iter().map(|cell| row(size(cell), cell)).collect(),
            sizes: packout.sizes.iter().map(|cell| row(size(cell), cell)).collect(),
            grades: packout.grades.iter().map(|cell| row(grade(cell), cell)).collect(),
            cells: packout.cells.iter().map(|cell| row(format!("{}, {}", size(cell), grade(cell)), cell)).collect(),
            weeks: packout.weeks.iter().map(week).collect(),
            total: total(packout, crop),
            culls: packout.culls.iter().map(|line| (line.cause.clone(), pounds(line.weight.as_ref()))).collect(),
            id,
        }
    }
}

fn charts(packout: &PackoutSeason, id: &str) -> Vec<(String, String)> {
    let drawn = [
        (chart::price(packout, CHART_WIDTH), "price"),
        (chart::premium(packout, CHART_WIDTH), "premium"),
        (chart::by_week(packout, CHART_WIDTH).filter(|_| packout.weeks.len() > 1), "week"),
    ];
    let svg = |(drawing, name): (Option<chart::Drawing>, &str)| {
        let drawing = drawing?;
        Some((drawing.title.clone(), chart::svg::svg(&drawing, &format!("{id}-{name}"))))
    };
    drawn.into_iter().filter_map(svg).collect()
}

/// What does not fit in one block's records.
pub(super) struct Doubt {
    pub(super) block: (String, String),
    pub(super) what: String,
    pub(super) mend: String,
}

fn doubt(year: i32, block: BlockId, code: &str, gap: &Gap) -> Doubt {
    Doubt { block: (to::block(year, block), code.to_owned()), what: gap.what.clone(), mend: gap.mend.clone() }
}

fn size(cell: &PackoutCell) -> String {
    name(cell.size_class.as_deref())
}

fn grade(cell: &PackoutCell) -> String {
    name(cell.grade.as_deref())
}

fn pounds(weight: Option<&Figure<reckon::exact::Pounds>>) -> String {
    shown(weight.map(|weight| figures::exact(weight.value, 0)))
}

fn over<U>(premium: Option<&Figure<UnitPrice<U>>>) -> String {
    premium.map(|premium| figures::signed_price(premium.value, 2)).unwrap_or_default()
}

fn known(net: Option<&Figure<Money>>) -> &'static str {
    net.map_or("", |net| net.evidence.word())
}

fn row(name: String, cell: &PackoutCell) -> Row {
    Row {
        name,
        share: figures::float(cell.share.value.get(), 1),
        boxes: figures::exact(cell.boxes.value, 0),
        weight: pounds(cell.weight.as_ref()),
        net: shown(cell.net.as_ref().map(|net| figures::money(net.value))),
        per_box: price(cell.net_per_box.as_ref()),
        per_pound: price(cell.net_per_pound.as_ref()),
        premium_box: over(cell.premium_per_box.as_ref()),
        premium_pound: over(cell.premium_per_pound.as_ref()),
        known: known(cell.net.as_ref()),
    }
}

fn week(week: &PackoutWeek) -> Row {
    Row {
        name: words::day(week.starts),
        share: String::new(),
        boxes: figures::exact(week.boxes.value, 0),
        weight: pounds(week.weight.as_ref()),
        net: shown(week.net.as_ref().map(|net| figures::money(net.value))),
        per_box: price(week.net_per_box.as_ref()),
        per_pound: price(week.net_per_pound.as_ref()),
        premium_box: String::new(),
        premium_pound: String::new(),
        known: known(week.net.as_ref()),
    }
}

fn total(packout: &PackoutSeason, crop: &Crop) -> Option<Row> {
    let boxes = packout.boxes.as_ref()?;
    let assumed = crop.sales.unsettled.is_some();
    let known = if assumed { Evidence::Assumed } else { Evidence::Invoiced };
    Some(Row {
        name: "Packed".to_owned(),
        share: "100.0".to_owned(),
        boxes: figures::exact(boxes.value, 0),
        weight: pounds(packout.weight.as_ref()),
        net: shown(crop.sales.net().map(figures::money)),
        per_box: price(packout.net_per_box.as_ref()),
        per_pound: price(packout.net_per_pound.as_ref()),
        premium_box: String::new(),
        premium_pound: String::new(),
        known: packout.net_per_box.as_ref().map_or("", |_| known.word()),
    })
}

fn said(crop: &Crop) -> Vec<String> {
    let packout = &crop.packout;
    let dollars = |amount: &Figure<Money>| figures::dollars(&figures::money(amount.value));
    let gross = crop.sales.gross.as_ref().map(|gross| {
        let charges = crop
            .sales
            .charges
            .as_ref()
            .map(|kept| format!(", of which buyers and packers kept back {}", dollars(kept)));
        format!("Gross {}{}.", dollars(gross), charges.unwrap_or_default())
    });
    let unsettled = crop.sales.unsettled.as_ref().filter(|part| !part.value.is_zero()).map(|part| {
        format!("{} of it is not settled yet: assumed at the price list, and marked so below.", dollars(part))
    });
    let per_acre =
        packout.boxes_per_acre.as_ref().map(|each| format!("{} boxes an acre.", figures::quantity(each.value)));
    let known = packout.net_per_box.as_ref().map(|price| format!("Prices {}.", evidence(price)));
    [gross, unsettled, unpriced(packout), per_acre, packed(packout), known].into_iter().flatten().collect()
}
