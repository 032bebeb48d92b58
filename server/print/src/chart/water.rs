//! Water by week: bars for what was applied and the rain kept, lines for what the crop needed.

use chrono::{Datelike, Days, NaiveDate};
use reckon::season::{WaterSeason, WaterWeek};

use super::{Drawing, SIZE, label, many};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font, words};

/// Room above the plot for the names of the lines.
const HEADROOM: f64 = 14.0;
/// Room below it for months and the key.
const FOOTROOM: f64 = 27.0;
/// Room before it for inches.
const AXIS: f64 = 18.0;

/// Inches a week over the block: applied, rain kept, need, and need had the soil been bare.
/// `None` without a water balance.
pub fn water(season: &WaterSeason, width: f64, height: f64) -> Option<Drawing> {
    if season.weeks.is_empty() {
        return None;
    }
    let plot = Plot::new(&season.weeks, width, height);
    let mulched = season.saving.is_some();
    let mut marks = plot.grid();
    marks.extend(plot.bars());
    marks.extend(plot.months());
    marks.extend(plot.key());
    if mulched {
        marks.push(plot.line(WaterWeek::bare, Some((2.5, 2.0))));
    }
    marks.push(plot.line(WaterWeek::mulched, None));
    marks.extend(plot.names(mulched));
    let title = "Water, inches a week".to_owned();
    Some(Drawing { width, height, title, description: description(season, mulched), marks })
}

/// What a week shows, as bare inches.
trait Shown {
    fn mulched(&self) -> f64;
    fn bare(&self) -> f64;
    fn stacked(&self) -> f64;
    fn top(&self) -> f64;
}

impl Shown for WaterWeek {
    fn mulched(&self) -> f64 {
        self.need.get()
    }
    fn bare(&self) -> f64 {
        self.need_bare.get()
    }
    fn stacked(&self) -> f64 {
        self.applied.get() + self.rain_kept.get()
    }
    fn top(&self) -> f64 {
        self.stacked().max(self.mulched()).max(self.bare())
    }
}

/// The plotting area and its scales.
struct Plot<'s> {
    weeks: &'s [WaterWeek],
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
    /// From one week to the next.
    pitch: f64,
    /// Inches at the top of the plot.
    most: f64,
    /// Inches between two lines of the grid.
    step: f64,
}

impl<'s> Plot<'s> {
    fn new(weeks: &'s [WaterWeek], width: f64, height: f64) -> Self {
        let most = weeks.iter().map(WaterWeek::top).fold(0.0, f64::max).max(0.1);
        let (left, right, top, bottom) = (AXIS, width, HEADROOM, height - FOOTROOM);
        Self { weeks, left, right, top, bottom, pitch: (right - left) / many(weeks.len()), most, step: step(most) }
    }

    fn x(&self, week: usize) -> f64 {
        self.left + (many(week) + 0.5) * self.pitch
    }

    fn y(&self, inches: f64) -> f64 {
        self.bottom - inches / self.most * (self.bottom - self.top)
    }

    /// Lines across the plot with their inches.
    fn grid(&self) -> Vec<Mark> {
        let places = usize::from(self.step < 1.0) + usize::from(self.step < 0.1);
        let mut marks = Vec::new();
        for n in 0..12_u32 {
            let inches = f64::from(n) * self.step;
            if inches > self.most {
                break;
            }
            let (y, ink) = (self.y(inches), if n == 0 { Ink::Soft } else { Ink::Hairline });
            marks.push(Mark::Line { from: (self.left, y), to: (self.right, y), width: 0.4, ink });
            let text = figures::float(inches, places);
            marks.push(label(self.left - 4.0, y + 2.5, Align::Right, Role::Axis, Ink::Soft, &text));
        }
        marks
    }

    /// Rain kept at the foot, irrigation on it.
    fn bars(&self) -> Vec<Mark> {
        let width = self.pitch * 0.78;
        let mut marks = Vec::new();
        for (n, week) in self.weeks.iter().enumerate() {
            let x = self.x(n) - width / 2.0;
            let mut bar = |from: f64, to: f64, ink, outline| {
                if to > from {
                    let (y, height) = (self.y(to), self.y(from) - self.y(to));
                    marks.push(Mark::Rect { x, y, width, height, ink, outline });
                }
            };
            bar(0.0, week.rain_kept.get(), Ink::Rain, Some(Ink::Water));
            bar(week.rain_kept.get(), week.stacked(), Ink::Water, None);
        }
        marks
    }

    /// Each month's name where it begins.
    fn months(&self) -> Vec<Mark> {
        let mut marks = Vec::new();
        let mut free_from = self.left;
        for (n, week) in self.weeks.iter().enumerate() {
            let Some(first) = first_of_month(week, n == 0) else { continue };
            let x = self.x(n) - self.pitch / 2.0;
            let name = words::month(first);
            let width = font::width(Font::Regular, SIZE, name);
            marks.push(Mark::Line { from: (x, self.bottom), to: (x, self.bottom + 3.0), width: 0.4, ink: Ink::Soft });
            if x >= free_from && x + 2.0 + width <= self.right {
                marks.push(label(x + 2.0, self.bottom + 9.0, Align::Left, Role::Axis, Ink::Soft, name));
                free_from = x + width + 6.0;
            }
        }
        marks
    }

    /// What the two fills mean.
    fn key(&self) -> Vec<Mark> {
        let y = self.bottom + 23.0;
        let mut marks = Vec::new();
        let mut x = self.left;
        for (ink, outline, name) in
            [(Ink::Water, None, "irrigation applied"), (Ink::Rain, Some(Ink::Water), "rain kept")]
        {
            marks.push(Mark::Rect { x, y: y - 6.0, width: 6.5, height: 6.5, ink, outline });
            marks.push(label(x + 10.0, y, Align::Left, Role::Label, Ink::Soft, name));
            x += 22.0 + font::width(Font::Regular, SIZE, name);
        }
        marks
    }

    fn line(&self, inches: fn(&WaterWeek) -> f64, dash: Option<(f64, f64)>) -> Mark {
        let points = self.weeks.iter().enumerate().map(|(n, week)| (self.x(n), self.y(inches(week)))).collect();
        Mark::Polyline { points, width: if dash.is_some() { 0.8 } else { 1.1 }, ink: Ink::Text, dash }
    }

    /// The names of the lines, above everything that is drawn below them.
    fn names(&self, mulched: bool) -> Vec<Mark> {
        let (peak, _) = self
            .weeks
            .iter()
            .enumerate()
            .fold((0, f64::MIN), |best, (n, week)| if week.bare() > best.1 { (n, week.bare()) } else { best });
        let (name, bare) = (if mulched { "need under mulch" } else { "need" }, "need if bare");
        let (name_width, bare_width) = (font::width(Font::Regular, SIZE, name), font::width(Font::Regular, SIZE, bare));
        let right = self.x(peak) + (3.0 * self.pitch).max(10.0);
        let mut marks = Vec::new();
        let mut bare_end = self.x(peak).max(self.left + bare_width);
        let mut begin = right;
        if right + name_width > self.right {
            // The season ends before the need falls: both names stand before the peak.
            bare_end = bare_end.min(self.right);
            begin = (bare_end - if mulched { bare_width + 12.0 } else { 0.0 } - name_width).max(self.left);
        }
        if mulched {
            let y = self.clear(bare_end - bare_width, bare_end);
            marks.push(label(bare_end, y, Align::Right, Role::Label, Ink::Text, bare));
        }
        let y = self.clear(begin, begin + name_width);
        marks.push(label(begin, y, Align::Left, Role::Label, Ink::Text, name));
        marks.push(self.leader(begin + 4.0, y + 2.0));
        marks
    }

    /// A baseline above everything between two places.
    fn clear(&self, from: f64, to: f64) -> f64 {
        let highest = self.weeks.iter().enumerate().filter(|(n, _)| {
            let x = self.x(*n);
            x + self.pitch > from && x - self.pitch < to
        });
        let top = highest.map(|(_, week)| week.top()).fold(0.0, f64::max);
        self.y(top) - 4.0
    }

    /// From a name down to the solid line.
    fn leader(&self, x: f64, from: f64) -> Mark {
        let place = (x - self.left) / self.pitch - 0.5;
        let at = |n: usize| self.weeks.get(n).map(WaterWeek::mulched);
        let before =
            self.weeks.iter().enumerate().filter(|(n, _)| many(*n) <= place).map(|(n, _)| n).next_back().unwrap_or(0);
        let low = at(before).unwrap_or(0.0);
        let high = at(before + 1).unwrap_or(low);
        let inches = low + (high - low) * (place - many(before)).clamp(0.0, 1.0);
        Mark::Line { from: (x, from), to: (x, self.y(inches)), width: 0.5, ink: Ink::Text }
    }
}

/// A round distance between grid lines that gives two to five of them.
pub(super) fn step(most: f64) -> f64 {
    const STEPS: [f64; 11] = [0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
    STEPS.into_iter().find(|step| most / step <= 5.0).unwrap_or(100.0)
}

/// The month that begins in this week, or in which the chart begins.
fn first_of_month(week: &WaterWeek, first: bool) -> Option<u32> {
    let begins = (0..u64::from(week.days.max(1)))
        .filter_map(|n| week.starts.checked_add_days(Days::new(n)))
        .find(|day: &NaiveDate| day.day() == 1);
    begins.or(first.then_some(week.starts)).map(|day| day.month())
}

/// The chart in sentences.
fn description(season: &WaterSeason, mulched: bool) -> String {
    let mut sentences = Vec::new();
    if let Some((first, last)) = season.span {
        sentences.push(format!("{} to {}.", words::full_day(first), words::full_day(last)));
    }
    let mut say = |what: &str, inches: Option<String>| {
        if let Some(inches) = inches {
            sentences.push(format!("{what} {inches} inches."));
        }
    };
    let total = |sum: fn(&WaterWeek) -> f64| figures::float(season.weeks.iter().map(sum).sum(), 1);
    say("Applied", season.applied_depth.as_ref().map(|depth| figures::float(depth.value.get(), 1)));
    say("Rain kept in the root zone", Some(total(|week| week.rain_kept.get())));
    say("Crop need", Some(total(WaterWeek::mulched)));
    if mulched {
        say("Crop need had the soil been bare", Some(total(WaterWeek::bare)));
    }
    sentences.join(" ")
}
