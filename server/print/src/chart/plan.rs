//! Next season: the return over all costs by the share of the fruit taken off.

use reckon::estimate::{NextSeason, Outcome};

use super::{Drawing, SIZE, label, range};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font};

/// Room above the plot for the name of the plan.
const HEADROOM: f64 = 14.0;
/// Room below it for the shares and what they are.
const FOOTROOM: f64 = 24.0;
/// Room between a number and the plot.
const GAP: f64 = 5.0;
/// Side of the square at the plan.
const SQUARE: f64 = 6.0;
/// Half the width of the caps of the plan's range.
const CAP: f64 = 3.0;
/// Shares named below the plot, percent.
const NAMED: [f64; 5] = [0.0, 25.0, 50.0, 75.0, 100.0];

/// Dollars an acre over the percent taken off: solid within the loads of the block's own seasons,
/// dashed outside them, the plan as a square on the line from its low to its high.
pub fn plan(next: &NextSeason, width: f64, height: f64) -> Option<Drawing> {
    let plot = Plot::new(next, width, height)?;
    let mut marks = plot.grid();
    marks.extend(plot.shares());
    marks.push(Mark::Polyline {
        points: next.shares.iter().map(|share| plot.at(share)).collect(),
        width: 0.9,
        ink: Ink::Price,
        dash: Some((2.5, 2.0)),
    });
    let within = next.shares.iter().filter(|share| !next.is_outside(share));
    marks.push(Mark::Polyline {
        points: within.map(|share| plot.at(share)).collect(),
        width: 1.6,
        ink: Ink::Price,
        dash: None,
    });
    marks.extend(plot.planned(next));
    let title = "Return over all costs by the share taken off, $ an acre".to_owned();
    Some(Drawing { width, height, title, description: description(next), marks })
}

/// The plotting area and its scales.
struct Plot {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    /// Dollars at the foot and at the top, both on the grid.
    low: f64,
    high: f64,
    step: f64,
}

impl Plot {
    /// `None` without a share.
    fn new(next: &NextSeason, width: f64, height: f64) -> Option<Self> {
        let ends = [next.plan.low, next.plan.high, 0.0];
        let (least, most) = range(next.shares.iter().map(|share| share.net).chain(ends))?;
        let step = step(most - least);
        let (low, high) = ((least / step).floor() * step, (most / step).ceil() * step);
        let mut plot =
            Self { left: 0.0, right: width - GAP, top: HEADROOM, bottom: height - FOOTROOM, low, high, step };
        let widest = plot.lines().map(|dollars| font::width(Font::Regular, SIZE, &figures::float(dollars, 0)));
        plot.left = widest.fold(0.0, f64::max) + GAP;
        Some(plot)
    }

    /// Dollars at which lines run across.
    fn lines(&self) -> impl Iterator<Item = f64> + use<> {
        let (low, high, step) = (self.low, self.high, self.step);
        (0..=12_u32).map(move |n| low + f64::from(n) * step).filter(move |dollars| *dollars <= high + step / 2.0)
    }

    fn x(&self, percent: f64) -> f64 {
        self.left + percent / 100.0 * (self.right - self.left)
    }

    fn y(&self, dollars: f64) -> f64 {
        let share = if self.high > self.low { (dollars - self.low) / (self.high - self.low) } else { 0.5 };
        self.bottom - share * (self.bottom - self.top)
    }

    fn at(&self, share: &Outcome) -> (f64, f64) {
        (self.x(share.removed_percent()), self.y(share.net))
    }

    /// Lines across the plot with their dollars; the one at nothing is darker.
    fn grid(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for dollars in self.lines() {
            let y = self.y(dollars);
            let ink = if dollars.abs() < self.step / 2.0 { Ink::Soft } else { Ink::Hairline };
            marks.push(Mark::Line { from: (self.left, y), to: (self.right, y), width: 0.4, ink });
            let text = figures::float(dollars, 0);
            marks.push(label(self.left - GAP, y + 2.5, Align::Right, Role::Axis, Ink::Soft, &text));
        }
        marks
    }

    /// The shares below the plot, and what they are.
    fn shares(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        for percent in NAMED {
            let text = format!("{}%", figures::float(percent, 0));
            let half = font::width(Font::Regular, SIZE, &text) / 2.0;
            let x = self.x(percent).min(self.right + GAP - half);
            marks.push(label(x, self.bottom + 10.0, Align::Middle, Role::Axis, Ink::Soft, &text));
        }
        let middle = self.x(50.0);
        let key = "taken off; dashed outside the block's own seasons";
        marks.push(label(middle, self.bottom + 21.0, Align::Middle, Role::Label, Ink::Soft, key));
        marks
    }

    /// The plan: its range as a line with caps, a square where it is likely to end, and its name above.
    fn planned(&self, next: &NextSeason) -> Vec<Mark> {
        let (x, y) = self.at(&next.plan.likely);
        let (low, high) = (self.y(next.plan.low), self.y(next.plan.high));
        let line = |from, to| Mark::Line { from, to, width: 1.0, ink: Ink::Text };
        let (half, name) = (SQUARE / 2.0, "the plan, low to high");
        let reach = font::width(Font::Regular, SIZE, name) / 2.0;
        let middle = x.max(self.left + reach).min(self.right - reach);
        vec![
            line((x, low), (x, high)),
            line((x - CAP, low), (x + CAP, low)),
            line((x - CAP, high), (x + CAP, high)),
            Mark::Rect {
                x: x - half,
                y: y - half,
                width: SQUARE,
                height: SQUARE,
                ink: Ink::Price,
                outline: Some(Ink::Text),
            },
            label(middle, high - 4.0, Align::Middle, Role::Label, Ink::Text, name),
        ]
    }
}

/// A round distance between grid lines that gives three to seven of them.
fn step(span: f64) -> f64 {
    let mut decade = 1.0;
    loop {
        for each in [decade, 2.0 * decade, 5.0 * decade] {
            if span <= 6.0 * each || each > 1e12 {
                return each;
            }
        }
        decade *= 10.0;
    }
}

/// The chart in sentences.
fn description(next: &NextSeason) -> String {
    let share = |share: &Outcome| {
        format!(
            "{}% off: {}.",
            figures::float(share.removed_percent(), 0),
            figures::dollars(&figures::float(share.net, 0))
        )
    };
    let (low, high) = (figures::float(next.plan.low, 0), figures::float(next.plan.high, 0));
    let range = format!("The plan runs from {} to {}.", figures::dollars(&low), figures::dollars(&high));
    next.shares.iter().map(share).chain([range]).collect::<Vec<_>>().join(" ")
}
