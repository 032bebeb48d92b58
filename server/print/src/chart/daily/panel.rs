//! One panel of the day chart: its scale, grid, bars and key.

use super::super::water::step;
use super::super::{SIZE, label};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font};

/// Room above each panel for its key.
pub(super) const HEAD: f64 = 15.0;

/// Length of dash and gap; `None` draws through.
pub(super) type Dash = Option<(f64, f64)>;

/// A plotting area and its scale from zero.
pub(super) struct Panel {
    top: f64,
    bottom: f64,
    most: f64,
    downward: bool,
}

/// Top and bottom of panels stacked over a height, by their shares of what the heads leave.
pub(super) fn stack(shares: &[f64], height: f64) -> Vec<(f64, f64)> {
    let heads = shares.iter().map(|_| HEAD).sum::<f64>();
    let mut top = 0.0;
    let place = |share: &f64| {
        let from = top + HEAD;
        top = from + share * (height - heads);
        (from, top)
    };
    shares.iter().map(place).collect()
}

impl Panel {
    /// Zero at the foot.
    pub(super) const fn upward((top, bottom): (f64, f64), most: f64) -> Self {
        Self { top, bottom, most, downward: false }
    }

    /// Zero at the head.
    pub(super) const fn downward((top, bottom): (f64, f64), most: f64) -> Self {
        Self { top, bottom, most, downward: true }
    }

    pub(super) fn y(&self, value: f64) -> f64 {
        let part = value / self.most * (self.bottom - self.top);
        if self.downward { self.top + part } else { self.bottom - part }
    }

    /// Baseline of the key.
    pub(super) fn head(&self) -> f64 {
        self.top - 5.0
    }

    /// Lines across with their numbers.
    pub(super) fn grid(&self, left: f64, right: f64) -> Vec<Mark> {
        let step = step(self.most);
        let places = usize::from(step < 1.0) + usize::from(step < 0.1);
        let mut marks = Vec::new();
        for n in 0..12_u32 {
            let value = f64::from(n) * step;
            if value > self.most {
                break;
            }
            let (y, ink) = (self.y(value), if n == 0 { Ink::Soft } else { Ink::Hairline });
            marks.push(Mark::Line { from: (left, y), to: (right, y), width: 0.4, ink });
            let text = figures::float(value, places);
            marks.push(label(left - 4.0, y + 2.5, Align::Right, Role::Axis, Ink::Soft, &text));
        }
        marks
    }

    /// A bar from one value to another; nothing where there is no height.
    pub(super) fn bar(
        &self,
        (x, width): (f64, f64),
        (from, to): (f64, f64),
        ink: Ink,
        outline: Option<Ink>,
    ) -> Option<Mark> {
        let (y, height) = (self.y(to), self.y(from) - self.y(to));
        (to > from).then_some(Mark::Rect { x, y, width, height, ink, outline })
    }
}

/// What stands before a name in the key.
pub(super) enum Sample {
    /// A fill with its outline.
    Fill(Ink, Option<Ink>),
    /// A line.
    Line(Ink, Dash),
}

/// Names of what is drawn, from left to right, as many as there is room for.
pub(super) fn key(left: f64, right: f64, y: f64, samples: &[(Sample, String)]) -> Vec<Mark> {
    let mut marks = Vec::new();
    let mut x = left;
    for (sample, name) in samples {
        let wide = if matches!(sample, Sample::Fill(..)) { 6.5 } else { 12.0 };
        let end = x + wide + 3.5 + font::width(Font::Regular, SIZE, name);
        if end > right {
            break;
        }
        marks.push(match *sample {
            Sample::Fill(ink, outline) => Mark::Rect { x, y: y - 6.0, width: wide, height: 6.5, ink, outline },
            Sample::Line(ink, dash) => {
                let points = vec![(x, y - 2.5), (x + wide, y - 2.5)];
                Mark::Polyline { points, width: 1.0, ink, dash }
            }
        });
        marks.push(label(x + wide + 3.5, y, Align::Left, Role::Label, Ink::Soft, name));
        x = end + 11.0;
    }
    marks
}

/// The same line without the points in the middle of a level stretch.
pub(super) fn without_level(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let level = |a: &(f64, f64), b: &(f64, f64)| (a.1 - b.1).abs() < 0.005;
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    let mut rest = points.iter().peekable();
    while let Some(point) = rest.next() {
        let between = kept.last().is_some_and(|before| level(before, point))
            && rest.peek().is_some_and(|after| level(point, after));
        if !between {
            kept.push(*point);
        }
    }
    kept
}

/// Least and most; `None` of nothing.
pub(super) fn range(mut values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let first = values.next()?;
    Some(values.fold((first, first), |(low, high), value| (low.min(value), high.max(value))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panels_fill_the_height_and_leave_room_for_their_keys() {
        let places = stack(&[0.5, 0.3, 0.2], 245.0);
        assert_eq!(places.len(), 3);
        assert!((places[2].1 - 245.0).abs() < 1e-9, "{places:?}");
        assert!((places[1].0 - places[0].1 - HEAD).abs() < 1e-9, "{places:?}");
        assert!((places[0].1 - places[0].0 - 100.0).abs() < 1e-9, "{places:?}");
    }

    #[test]
    fn a_level_line_is_its_two_ends() {
        let level: Vec<(f64, f64)> = (0..100).map(|n| (f64::from(n), 7.0)).collect();
        assert_eq!(without_level(&level), [(0.0, 7.0), (99.0, 7.0)]);
        let steps = vec![(0.0, 1.0), (1.0, 1.0), (2.0, 1.0), (3.0, 2.0), (4.0, 2.0)];
        assert_eq!(without_level(&steps), [(0.0, 1.0), (2.0, 1.0), (3.0, 2.0), (4.0, 2.0)]);
        assert!(without_level(&[]).is_empty());
    }

    #[test]
    fn depth_goes_down_and_amounts_go_up() {
        let (up, down) = (Panel::upward((10.0, 110.0), 5.0), Panel::downward((10.0, 110.0), 5.0));
        assert!((up.y(0.0) - 110.0).abs() < 1e-9 && (up.y(5.0) - 10.0).abs() < 1e-9);
        assert!((down.y(0.0) - 10.0).abs() < 1e-9 && (down.y(2.5) - 60.0).abs() < 1e-9);
        assert_eq!(up.bar((0.0, 1.0), (2.0, 2.0), Ink::Rain, None), None);
    }
}
