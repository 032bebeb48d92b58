//! Methods held against each other: the mean of each as a square, its 95 % interval as a line.

use reckon::compare::{Measure, MethodMean, MethodTable};
use reckon::stats::Interval;

use super::{Drawing, SIZE, label, many};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font};

/// Distance from one method to the next.
const PITCH: f64 = 18.0;
/// Room below the methods for the axis.
const FOOTROOM: f64 = 14.0;
/// Room between name, plot and number.
const GAP: f64 = 8.0;
/// Side of the square at the mean.
const SQUARE: f64 = 6.0;
/// Half the height of the cap that ends an interval.
const CAP: f64 = 3.0;

/// A measure by method. One block has a hollow square and no line. An interval that leaves the
/// plot ends there without a cap; its ends stand in the description. `None` without a method.
pub fn methods(measure: Measure, table: &MethodTable, width: f64) -> Option<Drawing> {
    if table.methods.is_empty() {
        return None;
    }
    let plot = Plot::new(measure, table, width);
    let mut marks = plot.axis(measure);
    for (n, mean) in table.methods.iter().enumerate() {
        marks.extend(plot.method(measure, many(n) * PITCH + PITCH / 2.0, mean));
    }
    Some(Drawing {
        width,
        height: plot.bottom + FOOTROOM,
        title: format!("{}, {}", measure.label(), measure.unit()),
        description: table.methods.iter().map(|mean| said(measure, mean)).collect::<Vec<_>>().join(" "),
        marks,
    })
}

const fn ink(measure: Measure) -> Ink {
    match measure {
        Measure::CostPerTree | Measure::HoursPerTree | Measure::CostPerThousand => Ink::Labor,
        Measure::LargeShare | Measure::NetPerPound | Measure::ReturnPerAcre => Ink::Price,
    }
}

/// A value to the places of its measure.
pub(crate) fn number(measure: Measure, value: f64) -> String {
    figures::float(value, usize::try_from(measure.places()).unwrap_or_default())
}

/// "by hand: 5.02, 95 % interval 3.10 to 6.94, 4 block-seasons."
fn said(measure: Measure, mean: &MethodMean) -> String {
    let interval = mean.interval.as_ref().map_or_else(
        |_| "no interval".to_owned(),
        |ends| {
            let ends = measure.shown(*ends);
            format!("95% interval {} to {}", number(measure, ends.low), number(measure, ends.high))
        },
    );
    format!("{}: {}, {interval}, {}.", mean.method, number(measure, mean.sample.mean), mean.counted())
}

struct Plot {
    left: f64,
    right: f64,
    bottom: f64,
    low: f64,
    high: f64,
}

impl Plot {
    fn new(measure: Measure, table: &MethodTable, width: f64) -> Self {
        let widest = |texts: &mut dyn Iterator<Item = String>| {
            texts
                .map(|text| font::width(Font::Regular, SIZE, &font::printable(Font::Regular, &text)))
                .fold(0.0, f64::max)
        };
        let names = widest(&mut table.methods.iter().map(|mean| mean.method.clone())).min(width * 0.4);
        let numbers = widest(&mut table.methods.iter().map(|mean| number(measure, mean.sample.mean)));
        let (low, high) = ends(measure, table);
        let (left, right) = (names + GAP, (width - numbers - GAP).max(names + GAP + 1.0));
        Self { left, right, bottom: many(table.methods.len()) * PITCH, low, high }
    }

    fn x(&self, value: f64) -> f64 {
        let share = (value - self.low) / (self.high - self.low);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    fn line(&self, from: f64, to: f64, y: f64, ink: Ink) -> Mark {
        Mark::Line { from: (self.x(from), y), to: (self.x(to), y), width: 1.4, ink }
    }

    /// The ends of the plot with their numbers, and a line at zero where it lies within.
    fn axis(&self, measure: Measure) -> Vec<Mark> {
        let rule = |x: f64| Mark::Line { from: (x, 0.0), to: (x, self.bottom), width: 0.5, ink: Ink::Hairline };
        let foot = self.bottom + 10.0;
        let mut marks = vec![
            rule(self.left),
            rule(self.right),
            label(self.left, foot, Align::Left, Role::Label, Ink::Soft, &number(measure, self.low)),
            label(self.right, foot, Align::Right, Role::Label, Ink::Soft, &number(measure, self.high)),
        ];
        if self.low < 0.0 && self.high > 0.0 {
            marks.push(rule(self.x(0.0)));
            let zero = self.x(0.0);
            let room = (self.right - self.left) * 0.2;
            if zero - self.left > room && self.right - zero > room {
                marks.push(label(zero, foot, Align::Middle, Role::Label, Ink::Soft, "0"));
            }
        }
        marks
    }

    fn method(&self, measure: Measure, y: f64, mean: &MethodMean) -> Vec<Mark> {
        let ink = ink(measure);
        let name = font::printable(Font::Regular, &mean.method);
        let name = font::shortened(Font::Regular, SIZE, self.left - GAP, &name);
        let mut marks = vec![
            label(0.0, y + 2.6, Align::Left, Role::Label, Ink::Text, &name),
            label(self.right + GAP, y + 2.6, Align::Left, Role::Figure, Ink::Text, &number(measure, mean.sample.mean)),
        ];
        if let Ok(ends) = mean.interval {
            marks.extend(self.interval(measure.shown(ends), y, ink));
        }
        let (x, y) = (self.x(mean.sample.mean) - SQUARE / 2.0, y - SQUARE / 2.0);
        // One block is drawn hollow: in the colour of the rules, with an outline.
        let (fill, outline) = if mean.interval.is_ok() { (ink, None) } else { (Ink::Hairline, Some(Ink::Text)) };
        marks.push(Mark::Rect { x, y, width: SQUARE, height: SQUARE, ink: fill, outline });
        marks
    }

    fn interval(&self, ends: Interval, y: f64, ink: Ink) -> Vec<Mark> {
        let cap = |value: f64| {
            let x = self.x(value);
            Mark::Line { from: (x, y - CAP), to: (x, y + CAP), width: 1.0, ink }
        };
        let mut marks = vec![self.line(ends.low, ends.high, y, ink)];
        for value in [ends.low, ends.high] {
            if (self.low..=self.high).contains(&value) {
                marks.push(cap(value));
            } else {
                marks.extend(self.runs_on(value, y, ink));
            }
        }
        marks
    }

    /// The head of an arrow where an interval leaves the plot.
    fn runs_on(&self, value: f64, y: f64, ink: Ink) -> [Mark; 2] {
        let x = self.x(value.clamp(self.low, self.high));
        let back = if value > self.high { x - ARROW } else { x + ARROW };
        let stroke = |from, to| Mark::Line { from, to, width: 1.0, ink };
        [stroke((x, y), (back, y - ARROW)), stroke((back, y + ARROW), (x, y))]
    }
}

/// Length of an arrow's head each way.
const ARROW: f64 = 3.0;

/// What the plot spans: all means, and intervals of three and more blocks. Two have an
/// interval that would squeeze everything else into one spot. A quarter is left free on either side.
fn ends(measure: Measure, table: &MethodTable) -> (f64, f64) {
    let spread = table.methods.iter().filter(|mean| mean.sample.n > 2);
    let spread = spread.filter_map(|mean| Some(measure.shown(mean.interval.ok()?)));
    let values = table.methods.iter().map(|mean| mean.sample.mean).chain(spread.flat_map(|ends| [ends.low, ends.high]));
    let (low, high) =
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let room = if high > low { (high - low) / 4.0 } else { (low.abs() / 4.0).max(1.0) };
    // What cannot be below zero has no axis below it.
    let floor = if low >= 0.0 { 0.0 } else { f64::NEG_INFINITY };
    // Nor has a share an axis beyond the whole.
    let whole = if measure == Measure::LargeShare && high <= 100.0 { 100.0 } else { f64::INFINITY };
    ((low - room).max(floor), (high + room).min(whole))
}

#[cfg(test)]
mod tests {
    use reckon::compare::{Pairing, Value, methods as table};

    use super::*;

    fn values(all: &[(&str, &[f64])]) -> MethodTable {
        let value = |method: &str, n: usize, value: f64| Value {
            unit: format!("{method} {n}"),
            block: None,
            method: method.into(),
            value,
        };
        let values: Vec<Value> = all
            .iter()
            .flat_map(|(method, values)| values.iter().enumerate().map(move |(n, one)| value(method, n, *one)))
            .collect();
        table(&values, Pairing::WithinUnits)
    }

    fn chart() -> Drawing {
        let table = values(&[("by hand", &[5.0, 6.0, 7.0]), ("cuts", &[3.4]), ("cuts then by hand", &[4.0, 4.2])]);
        methods(Measure::CostPerTree, &table, 330.0).unwrap()
    }

    fn squares(chart: &Drawing) -> Vec<(f64, bool)> {
        let square = |mark: &Mark| match mark {
            Mark::Rect { x, outline, .. } => Some((x + SQUARE / 2.0, outline.is_some())),
            _ => None,
        };
        chart.marks.iter().filter_map(square).collect()
    }

    #[test]
    fn the_description_says_every_number_and_why_there_is_no_interval() {
        // Student's t for 2 degrees of freedom is 4.303: 6 ± 4.303 ÷ √3; for one, 12.706: 4.1 ± 12.706 × 0.1.
        let expected = "by hand: 6.00, 95% interval 3.52 to 8.48, 3 block-seasons. cuts: 3.40, no interval, \
                        1 block-season. cuts then by hand: 4.10, 95% interval 2.83 to 5.37, 2 block-seasons.";
        assert_eq!(chart().description, expected);
        assert_eq!(chart().title, "Cost per tree, $/tree");
    }

    #[test]
    fn means_lie_in_order_and_one_alone_is_hollow() {
        let squares = squares(&chart());
        let [(hand, filled), (cuts, hollow), (both, also_filled)] = squares[..] else { panic!("{squares:?}") };
        assert!(cuts < both && both < hand);
        assert_eq!((filled, hollow, also_filled), (false, true, false));
    }

    #[test]
    fn everything_lies_in_the_box_and_a_clipped_interval_has_no_cap() {
        let table = values(&[("by hand", &[10.0, 20.0]), ("cuts", &[12.0, 12.5, 13.0])]);
        let chart = methods(Measure::ReturnPerAcre, &table, 240.0).unwrap();
        for mark in &chart.marks {
            if let Mark::Line { from, to, .. } = mark {
                assert!(from.0 >= 0.0 && to.0 <= 240.0 && to.1 <= chart.height, "{mark:?}");
            }
        }
        let caps = |ink: Ink| {
            let cap =
                |mark: &&Mark| matches!(mark, Mark::Line { from, to, ink: own, .. } if *own == ink && from.1 < to.1);
            chart.marks.iter().filter(cap).count()
        };
        assert_eq!(caps(Ink::Price), 2, "those of the cuts; by hand runs out of the plot on both sides");
    }

    #[test]
    fn no_method_no_chart() {
        assert_eq!(methods(Measure::CostPerTree, &values(&[]), 240.0), None);
    }
}
