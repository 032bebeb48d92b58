//! One planned thinning of a block: fruit, boxes, money an acre.

use super::response::Response;
use super::sizes::{Diameters, Part};

/// Grams in a pound, exact.
pub(super) const GRAMS_PER_POUND: f64 = 453.592_37;

/// A class of size a price is known for.
#[derive(Debug, Clone, PartialEq)]
pub struct PricedClass {
    /// Its name; the smallest is what falls below the scale.
    pub name: String,
    /// Smallest diameter, mm; `None` for what falls below the scale.
    pub from_mm: Option<f64>,
    /// Price of a box, $; zero is not packed and not paid.
    pub price_per_box: f64,
}

/// What is known about the block and the trade.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// Trees on an acre.
    pub trees_per_acre: f64,
    /// Fruit set on a tree before thinning.
    pub set_per_tree: f64,
    /// Share of the fruit left that is still there at picking, 0 to 1.
    pub survival: f64,
    /// How weight answers load.
    pub response: Response,
    /// Weight by diameter, g/mm3.
    pub k_g_per_mm3: f64,
    /// Spread of diameters over their mean.
    pub cv: f64,
    /// Classes, small to large.
    pub classes: Vec<PricedClass>,
    /// Net weight of a box, lb.
    pub box_lb: f64,
    /// Share of the fruit run that is culled, 0 to 1.
    pub culls: f64,
    /// What work and boxes cost.
    pub costs: Costs,
}

/// What work and boxes cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// Hours of thinning a tree takes however little is removed.
    pub hours_per_tree: f64,
    /// Hours of thinning for each 1,000 fruit removed.
    pub hours_per_1000: f64,
    /// Wage, $ an hour.
    pub wage_per_hour: f64,
    /// Payroll costs or commission on top of the wage, as a share.
    pub on_top: f64,
    /// Machine cost of thinning, $ an acre, when anything is removed.
    pub machine_per_acre: f64,
    /// Picking and hauling, $ a pound.
    pub pick_per_lb: f64,
    /// Packing, cooling, commission and freight, $ a box.
    pub pack_per_box: f64,
    /// Everything else, $ an acre.
    pub other_per_acre: f64,
}

/// Changes of one input, all else as likely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// Factor on the mean weight.
    pub weight: f64,
    /// Added to the spread of diameters.
    pub cv: f64,
    /// Factor on every price.
    pub price: f64,
    /// Factor on the hours of thinning.
    pub hours: f64,
    /// Factor on the fruit set.
    pub set: f64,
}

/// As likely.
pub const LIKELY: Shift = Shift { weight: 1.0, cv: 0.0, price: 1.0, hours: 1.0, set: 1.0 };

/// What a plan comes to. Floats, not money: an estimate goes into no account.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Share of the set taken off, 0 to 1.
    pub removed: f64,
    /// Fruit taken off a tree.
    pub removed_per_tree: f64,
    /// Fruit left on a tree.
    pub left_per_tree: f64,
    /// Fruit harvested from a tree.
    pub harvested_per_tree: f64,
    /// Hours of thinning a tree.
    pub hours_per_tree: f64,
    /// Cost of thinning, $ an acre.
    pub thinning: f64,
    /// Mean weight of a fruit, g.
    pub weight_g: f64,
    /// Diameters of the fruit.
    pub diameters: Diameters,
    /// Fruit grown, lb an acre.
    pub lb_per_acre: f64,
    /// Shares by class, in the order of the classes.
    pub parts: Vec<Part>,
    /// Boxes an acre by class, in the order of the classes.
    pub boxes: Vec<f64>,
    /// Gross, $ an acre.
    pub gross: f64,
    /// Picking and hauling, $ an acre.
    pub pick: f64,
    /// Packing and selling, $ an acre.
    pub pack: f64,
    /// What is left, $ an acre.
    pub net: f64,
}

impl Outcome {
    /// Boxes an acre.
    pub fn boxes_per_acre(&self) -> f64 {
        self.boxes.iter().sum()
    }

    /// Share of the set taken off, percent.
    pub fn removed_percent(&self) -> f64 {
        self.removed * 100.0
    }

    /// Mean weight of a fruit, oz.
    pub fn ounces(&self) -> f64 {
        ounces(self.weight_g)
    }
}

/// Grams as ounces.
pub fn ounces(grams: f64) -> f64 {
    grams / GRAMS_PER_POUND * 16.0
}

/// What comes of taking this share of the set off; `removed` from 0 to 1.
pub fn outcome(ground: &Ground, removed: f64, shift: Shift) -> Outcome {
    let set = ground.set_per_tree * shift.set;
    let (left, taken) = (set * (1.0 - removed), set * removed);
    let fruit = left * ground.survival;
    let weight_g = ground.response.weight_at(fruit) * shift.weight;
    let diameters = Diameters::of_weight(weight_g, ground.k_g_per_mm3, ground.cv + shift.cv);
    let edges: Vec<f64> = ground.classes.iter().filter_map(|class| class.from_mm).collect();
    let parts = diameters.parts(&edges);
    let lb = fruit * weight_g / GRAMS_PER_POUND * ground.trees_per_acre;
    let boxes = boxes(ground, lb * (1.0 - ground.culls), &parts);
    let packed: f64 = boxes.iter().sum();
    let gross: f64 =
        boxes.iter().zip(&ground.classes).map(|(boxes, class)| boxes * class.price_per_box).sum::<f64>() * shift.price;
    let (hours_per_tree, thinning) = thinning(ground, taken, shift.hours);
    let harvest = lb * ground.costs.pick_per_lb;
    let selling = packed * ground.costs.pack_per_box;
    Outcome {
        removed,
        removed_per_tree: taken,
        left_per_tree: left,
        harvested_per_tree: fruit,
        hours_per_tree,
        thinning,
        weight_g,
        diameters,
        lb_per_acre: lb,
        parts,
        boxes,
        gross,
        pick: harvest,
        pack: selling,
        net: gross - thinning - harvest - selling - ground.costs.other_per_acre,
    }
}

/// Boxes of each class; a class without a price is not packed.
fn boxes(ground: &Ground, sound_lb: f64, parts: &[Part]) -> Vec<f64> {
    parts
        .iter()
        .zip(&ground.classes)
        .map(|(part, class)| if class.price_per_box > 0.0 { sound_lb * part.of_weight / ground.box_lb } else { 0.0 })
        .collect()
}

/// Hours a tree and $ an acre. Nothing removed costs nothing.
fn thinning(ground: &Ground, taken_per_tree: f64, factor: f64) -> (f64, f64) {
    let costs = ground.costs;
    if taken_per_tree <= 0.0 {
        return (0.0, 0.0);
    }
    let hours = (costs.hours_per_tree + costs.hours_per_1000 * taken_per_tree / 1000.0) * factor;
    (hours, hours * ground.trees_per_acre * costs.wage_per_hour * (1.0 + costs.on_top) + costs.machine_per_acre)
}
