//! Water by day: what was applied and what fell against the need, what the roots lacked against
//! what they hold, and the tension readings, one panel under the other over the same days.

mod panel;

use chrono::{Datelike, NaiveDate};
use reckon::season::{TensionPoint, WaterSeason};
use reckon::units::{Inches, MM_PER_INCH};
use reckon::water::run::WaterDay;

use super::{Drawing, SIZE, label, many, range};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font, words};
use panel::{Dash, Key, Panel, Sample};

/// Room before the panels for their numbers.
const AXIS: f64 = 22.0;
/// Room below the last one for months.
const FOOTROOM: f64 = 13.0;
/// Dashes of the tension lines, by depth of the instrument, the shallowest drawn through.
const DASHES: [Dash; 4] = [None, Some((3.0, 2.0)), Some((1.0, 1.5)), Some((5.0, 1.5))];
/// Dashes of readily available water.
const RAW: Dash = Some((2.5, 2.0));
/// A day's width from which the outline of a light bar leaves some of its fill.
const OUTLINED: f64 = 3.0;

/// Day by day: applied, rain and need in inches; root-zone depletion against readily available (RAW)
/// and total available water (TAW); tension in kPa. `None` without a water balance.
pub fn water_daily(season: &WaterSeason, width: f64, height: f64) -> Option<Drawing> {
    let days = &season.runs.as_ref()?.as_irrigated;
    if days.is_empty() {
        return None;
    }
    let over = Over { days, left: AXIS, right: width, pitch: (width - AXIS) / many(days.len()) };
    let read: Vec<_> = season.tension.iter().filter_map(|point| over.at(point.date).map(|x| (x, point))).collect();
    let shares: &[f64] = if read.is_empty() { &[0.5, 0.5] } else { &[0.38, 0.36, 0.26] };
    let keys = [amounts_key(), depletion_key(), tension_key(&read)].map(|samples| Key::new(AXIS, width, samples));
    let parts: Vec<(f64, usize)> = shares.iter().zip(&keys).map(|(share, key)| (*share, key.lines())).collect();
    let places = panel::stack(&parts, height - FOOTROOM);
    let mut marks = over.months(height - FOOTROOM);
    for (n, (place, key)) in places.into_iter().zip(&keys).enumerate() {
        let (panel, drawn) = match n {
            0 => over.amounts(place),
            1 => over.depletion(place),
            _ => over.tension(place, &read),
        };
        marks.extend(drawn);
        marks.extend(key.draw(panel.head()));
    }
    let title = "Water, day by day".to_owned();
    Some(Drawing { width, height, title, description: description(days, &read), marks })
}

/// Readings, each with its place across.
type Read<'s> = [(f64, &'s TensionPoint)];

/// The days across the drawing.
struct Over<'s> {
    days: &'s [WaterDay],
    left: f64,
    right: f64,
    /// From one day to the next.
    pitch: f64,
}

impl Over<'_> {
    /// Middle of a day by its place.
    fn x(&self, n: usize) -> f64 {
        self.left + (many(n) + 0.5) * self.pitch
    }

    /// Middle of a date; `None` outside the balance. Its days follow one another.
    fn at(&self, date: NaiveDate) -> Option<f64> {
        let n = date.signed_duration_since(self.days.first()?.date).num_days();
        let n = usize::try_from(n).ok()?;
        (n < self.days.len()).then(|| self.x(n))
    }

    fn line(&self, panel: &Panel, of: fn(&WaterDay) -> f64, (width, ink, dash): (f64, Ink, Dash)) -> Mark {
        let points = self.days.iter().enumerate().map(|(n, day)| (self.x(n), panel.y(of(day) / MM_PER_INCH)));
        let points: Vec<(f64, f64)> = points.collect();
        Mark::Polyline { points: panel::without_level(&points), width, ink, dash }
    }

    fn most(&self, of: fn(&WaterDay) -> f64) -> f64 {
        self.days.iter().map(of).fold(0.0, f64::max) / MM_PER_INCH
    }

    /// Rain at the foot, irrigation on it, need as a line.
    fn amounts(&self, place: (f64, f64)) -> (Panel, Vec<Mark>) {
        let most = self.most(supplied).max(self.most(|day| day.etc_mm)).max(0.1);
        let panel = Panel::upward(place, most);
        let mut marks = panel.grid(self.left, self.right);
        let width = self.pitch * 0.84;
        for (n, day) in self.days.iter().enumerate() {
            let x = self.x(n) - width / 2.0;
            let rain = day.rain_mm / MM_PER_INCH;
            let outline = (self.pitch >= OUTLINED).then_some(Ink::Water);
            marks.extend(panel.bar((x, width), (0.0, rain), Ink::Rain, outline));
            marks.extend(panel.bar((x, width), (rain, supplied(day) / MM_PER_INCH), Ink::Water, None));
        }
        marks.push(self.line(&panel, |day| day.etc_mm, (0.9, Ink::Text, None)));
        (panel, marks)
    }

    /// What the roots lack, downward from full.
    fn depletion(&self, place: (f64, f64)) -> (Panel, Vec<Mark>) {
        let most = self.most(|day| day.taw_mm).max(self.most(|day| day.dr_end_mm)).max(0.1);
        let panel = Panel::downward(place, most);
        let mut marks = panel.grid(self.left, self.right);
        marks.push(self.line(&panel, |day| day.taw_mm, (0.8, Ink::Soft, None)));
        marks.push(self.line(&panel, |day| day.raw_mm, (0.8, Ink::Text, RAW)));
        marks.push(self.line(&panel, |day| day.dr_end_mm, (1.2, Ink::Water, None)));
        (panel, marks)
    }

    /// Readings as squares, those of one depth connected.
    fn tension(&self, place: (f64, f64), read: &Read<'_>) -> (Panel, Vec<Mark>) {
        let most = read.iter().map(|(_, point)| point.tension.get()).fold(0.0, f64::max).max(10.0);
        let panel = Panel::upward(place, most);
        let mut marks = panel.grid(self.left, self.right);
        for (depth, dash) in depths(read).into_iter().zip(DASHES.into_iter().cycle()) {
            let own = read.iter().filter(|(_, point)| same(point.depth, depth));
            let points: Vec<(f64, f64)> = own.map(|(x, point)| (*x, panel.y(point.tension.get()))).collect();
            marks.extend(points.iter().map(|(x, y)| square(*x, *y)));
            marks.push(Mark::Polyline { points, width: 0.7, ink: Ink::Text, dash });
        }
        (panel, marks)
    }

    /// A hairline where each month begins, with its name below.
    fn months(&self, bottom: f64) -> Vec<Mark> {
        let mut marks = Vec::new();
        let mut free_from = self.left;
        for (n, day) in self.days.iter().enumerate().filter(|(n, day)| *n == 0 || day.date.day() == 1) {
            let x = self.x(n) - self.pitch / 2.0;
            let name = words::month(day.date.month());
            let width = font::width(Font::Regular, SIZE, name);
            if n > 0 {
                let (from, to) = ((x, panel::HEAD), (x, bottom + 3.0));
                marks.push(Mark::Line { from, to, width: 0.3, ink: Ink::Hairline });
            }
            if x >= free_from && x + 2.0 + width <= self.right {
                marks.push(label(x + 2.0, bottom + 9.5, Align::Left, Role::Axis, Ink::Soft, name));
                free_from = x + width + 6.0;
            }
        }
        marks
    }
}

fn amounts_key() -> Vec<(Sample, String)> {
    vec![
        (Sample::Fill(Ink::Water, None), "irrigation, in a day".to_owned()),
        (Sample::Fill(Ink::Rain, Some(Ink::Water)), "rain".to_owned()),
        (Sample::Line(Ink::Text, None), "need".to_owned()),
    ]
}

fn depletion_key() -> Vec<(Sample, String)> {
    vec![
        (Sample::Line(Ink::Water, None), "depletion, in".to_owned()),
        (Sample::Line(Ink::Text, RAW), "readily available water".to_owned()),
        (Sample::Line(Ink::Soft, None), "total available water".to_owned()),
    ]
}

/// A line for each depth of the instruments; the first names the unit.
fn tension_key(read: &Read<'_>) -> Vec<(Sample, String)> {
    let names = std::iter::once("tension, kPa, at").chain(std::iter::repeat("at"));
    let lines = depths(read).into_iter().zip(DASHES.into_iter().cycle()).zip(names);
    let sample = |((depth, dash), name): ((Inches, Dash), &str)| {
        (Sample::Line(Ink::Text, dash), format!("{name} {} in", figures::shortest(depth.get())))
    };
    lines.map(sample).collect()
}

/// Irrigation and rain of a day, mm.
fn supplied(day: &WaterDay) -> f64 {
    day.rain_mm + day.irrigation_gross_mm
}

fn square(x: f64, y: f64) -> Mark {
    const SIDE: f64 = 2.2;
    Mark::Rect { x: x - SIDE / 2.0, y: y - SIDE / 2.0, width: SIDE, height: SIDE, ink: Ink::Text, outline: None }
}

/// Depths of the instruments, from the shallowest.
fn depths(read: &[(f64, &TensionPoint)]) -> Vec<Inches> {
    let mut depths: Vec<Inches> = read.iter().map(|(_, point)| point.depth).collect();
    depths.sort_by(|a, b| a.get().total_cmp(&b.get()));
    depths.dedup_by(|a, b| same(*a, *b));
    depths
}

/// Depths are entered to a part of an inch.
fn same(a: Inches, b: Inches) -> bool {
    (a.get() - b.get()).abs() < 0.01
}

/// The drawing in sentences.
fn description(days: &[WaterDay], read: &[(f64, &TensionPoint)]) -> String {
    let inches = |mm: f64| figures::float(mm / MM_PER_INCH, 1);
    let counted = |n: usize| figures::counted(n, "day", "days");
    let mut sentences = Vec::new();
    if let (Some(first), Some(last)) = (days.first(), days.last()) {
        sentences.push(format!("{} to {}.", words::full_day(first.date), words::full_day(last.date)));
    }
    let wet = days.iter().filter(|day| day.irrigation_gross_mm > 0.0).count();
    sentences.push(format!("Irrigated on {}.", counted(wet)));
    let deepest = days.iter().reduce(|deepest, day| if day.dr_end_mm > deepest.dr_end_mm { day } else { deepest });
    if let Some(day) = deepest {
        sentences.push(format!(
            "Deepest depletion {} inches on {}, with {} readily available of {} the roots hold.",
            inches(day.dr_end_mm),
            words::day(day.date),
            inches(day.raw_mm),
            inches(day.taw_mm)
        ));
    }
    let short = days.iter().filter(|day| day.dr_end_mm > day.raw_mm).count();
    sentences.push(format!("Deeper than readily available on {}.", counted(short)));
    let readings = read.iter().map(|(_, point)| point.tension.get());
    if let Some((low, high)) = range(readings) {
        let n = figures::counted(read.len(), "reading", "readings");
        sentences.push(format!("Tension {} to {} kPa in {n}.", figures::float(low, 0), figures::float(high, 0)));
    }
    sentences.join(" ")
}
