//! One panel of the day chart: its scale, grid, bars and key.

use super::super::water::step;
use super::super::{SIZE, label, many};
use crate::sheet::{Align, Font, Ink, Mark, Role};
use crate::{figures, font};

/// Room above each panel for one line of its key, and a line's height.
pub(super) const HEAD: f64 = 24.0;
const LINE: f64 = 12.0;
/// From the key's last baseline to the panel: the number of its first grid line stands between.
const BELOW_KEY: f64 = 9.0;
/// From one name to the next.
const BETWEEN: f64 = 11.0;
/// From a sample to its name.
const AFTER_SAMPLE: f64 = 3.5;

/// Length of dash and gap; `None` draws through.
pub(super) type Dash = Option<(f64, f64)>;

/// A plotting area and its scale from zero.
pub(super) struct Panel {
    top: f64,
    bottom: f64,
    most: f64,
    downward: bool,
}

/// Top and bottom of panels stacked over a height: by their shares of what is left when each key has
/// its lines.
pub(super) fn stack(parts: &[(f64, usize)], height: f64) -> Vec<(f64, f64)> {
    let head = |lines: usize| HEAD + many(lines.saturating_sub(1)) * LINE;
    let heads = parts.iter().map(|(_, lines)| head(*lines)).sum::<f64>();
    let mut top = 0.0;
    let place = |(share, lines): &(f64, usize)| {
        let from = top + head(*lines);
        top = from + share * (height - heads);
        (from, top)
    };
    parts.iter().map(place).collect()
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

    /// Baseline of the key's last line.
    pub(super) fn head(&self) -> f64 {
        self.top - BELOW_KEY
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

/// Names of what is drawn, in lines from left to right: none is left out for want of room.
pub(super) struct Key {
    left: f64,
    /// Each with its line and its place in it.
    placed: Vec<(usize, f64, Sample, String)>,
}

impl Key {
    pub(super) fn new(left: f64, right: f64, samples: Vec<(Sample, String)>) -> Self {
        let (mut line, mut x) = (0, 0.0);
        let place = |(sample, name): (Sample, String)| {
            let wide = sample.width() + AFTER_SAMPLE + font::width(Font::Regular, SIZE, &name);
            if x > 0.0 && left + x + wide > right {
                (line, x) = (line + 1, 0.0);
            }
            let at = x;
            x += wide + BETWEEN;
            (line, at, sample, name)
        };
        Self { left, placed: samples.into_iter().map(place).collect() }
    }

    /// Lines it takes.
    pub(super) fn lines(&self) -> usize {
        self.placed.last().map_or(1, |(line, ..)| line + 1)
    }

    /// Drawn with its last line on a baseline.
    pub(super) fn draw(&self, baseline: f64) -> Vec<Mark> {
        let draw = |(line, x, sample, name): &(usize, f64, Sample, String)| {
            let y = baseline - many(self.lines() - 1 - line) * LINE;
            let x = self.left + x;
            let named = x + sample.width() + AFTER_SAMPLE;
            [sample.mark(x, y), label(named, y, Align::Left, Role::Label, Ink::Soft, name)]
        };
        self.placed.iter().flat_map(draw).collect()
    }
}

impl Sample {
    const fn width(&self) -> f64 {
        match self {
            Self::Fill(..) => 6.5,
            Self::Line(..) => 12.0,
        }
    }

    fn mark(&self, x: f64, y: f64) -> Mark {
        let width = self.width();
        match *self {
            Self::Fill(ink, outline) => Mark::Rect { x, y: y - 6.0, width, height: 6.5, ink, outline },
            Self::Line(ink, dash) => {
                Mark::Polyline { points: vec![(x, y - 2.5), (x + width, y - 2.5)], width: 1.0, ink, dash }
            }
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panels_fill_the_height_and_leave_room_for_their_keys() {
        let places = stack(&[(0.5, 1), (0.3, 1), (0.2, 2)], 284.0);
        assert_eq!(places.len(), 3);
        assert!((places[2].1 - 284.0).abs() < 1e-9, "{places:?}");
        assert!((places[1].0 - places[0].1 - HEAD).abs() < 1e-9, "{places:?}");
        assert!((places[2].0 - places[1].1 - HEAD - LINE).abs() < 1e-9, "{places:?}");
        assert!((places[0].1 - places[0].0 - 100.0).abs() < 1e-9, "{places:?}");
    }

    /// On a phone the depths of the instruments go to a second line; none is dropped.
    #[test]
    fn a_key_takes_as_many_lines_as_it_needs() {
        let samples = || [12, 24, 36, 48].map(|depth| (Sample::Line(Ink::Text, None), format!("at {depth} in")));
        let (wide, narrow) = (Key::new(22.0, 640.0, samples().into()), Key::new(22.0, 130.0, samples().into()));
        assert_eq!((wide.lines(), narrow.lines()), (1, 2));
        for key in [wide, narrow] {
            let marks = key.draw(50.0);
            let texts: Vec<_> = marks.iter().filter(|mark| matches!(mark, Mark::Text(_))).collect();
            assert_eq!(texts.len(), 4);
        }
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
