//! Mulch on the floor, day by day.

use chrono::NaiveDate;

use crate::records::{MulchApplication, MulchKind};
use crate::season::SeasonRecords;
use crate::{mulch, ties};

use super::daily::DayMulch;
use super::resolve::Resolved;
use super::setup::Setting;

/// One application, while it lives.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Layer {
    first: NaiveDate,
    last: NaiveDate,
    kind: MulchKind,
    /// Covered share of the surface.
    share: f64,
    /// Depth as laid, inches.
    depth: f64,
}

/// The layers of a season.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layers {
    /// By first and last day.
    laid: Vec<Layer>,
    /// Inches from which a layer has its full effect. The published rule knows no depth; in
    /// proportion below this, assumed.
    full_depth: f64,
    /// Inches that a layer loses in a year.
    settling: f64,
}

impl Layers {
    /// From the applications whose covered floor is known.
    pub(crate) fn of(records: &SeasonRecords, resolved: &Resolved) -> Self {
        let layer = |laid: &MulchApplication| {
            let share = mulch::cover(laid, &records.block).ok()?.share;
            let (first, last, depth) = (laid.date, mulch::last_day(laid), laid.depth.get());
            Some(Layer { first, last, kind: laid.kind, share, depth })
        };
        let mut layers: Vec<Layer> = records.mulch.iter().filter_map(|kept| layer(&kept.record)).collect();
        let laid = |layer: &Layer| [Some(layer.share), Some(layer.depth)];
        layers.sort_by(|a, b| {
            let spans = (a.first, a.last, a.kind).cmp(&(b.first, b.last, b.kind));
            spans.then_with(|| ties::values(laid(a), laid(b)))
        });
        Self {
            laid: layers,
            full_depth: resolved.number(Setting::MulchFullDepthIn).max(0.01),
            settling: resolved.number(Setting::MulchSettlingInPerYear),
        }
    }

    /// What lies on a day. What was laid on one day adds up; of layers from different dates the
    /// stronger one counts: a thin top-up takes nothing from what lies below it.
    pub(crate) fn on(&self, day: NaiveDate) -> DayMulch {
        let living = |layer: &Layer| layer.first <= day && day <= layer.last;
        let same_day = |a: &Layer, b: &Layer| (a.first, a.last) == (b.first, b.last);
        self.laid.chunk_by(same_day).filter(|group| group.first().is_some_and(living)).fold(
            DayMulch::default(),
            |strongest, group| {
                let own = group.iter().map(|layer| self.one(layer, day)).fold(DayMulch::default(), together);
                DayMulch {
                    organic: strongest.organic.max(own.organic),
                    plastic: strongest.plastic.max(own.plastic),
                    covered: strongest.covered.max(own.covered),
                }
            },
        )
    }

    fn one(&self, layer: &Layer, day: NaiveDate) -> DayMulch {
        let (organic, plastic) = match layer.kind {
            MulchKind::Organic => {
                let depth = mulch::settled(layer.depth, layer.first, day, self.settling);
                (layer.share * (depth / self.full_depth).min(1.0), 0.0)
            }
            MulchKind::Plastic => (0.0, layer.share),
        };
        DayMulch { organic, plastic, covered: layer.share }
    }

    /// Whether anything lies on some day from the first to the last.
    pub(crate) fn any_within(&self, first: NaiveDate, last: NaiveDate) -> bool {
        self.laid.iter().any(|layer| layer.first <= last && layer.last >= first && layer.share > 0.0)
    }
}

fn together(a: DayMulch, b: DayMulch) -> DayMulch {
    let sum = |a: f64, b: f64| (a + b).min(1.0);
    DayMulch {
        organic: sum(a.organic, b.organic),
        plastic: sum(a.plastic, b.plastic),
        covered: sum(a.covered, b.covered),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Years;
    use crate::records::MulchShape;
    use crate::testing::{date, kept, records};
    use crate::units::Inches;

    fn laid(day: NaiveDate, kind: MulchKind, depth: f64, share: f64) -> MulchApplication {
        MulchApplication {
            date: day,
            material: "straw".into(),
            kind,
            depth: Inches::of(depth),
            shape: MulchShape::SharePct(share),
            clear_radius: Inches::of(12.0),
            life: Years::whole(1).unwrap(),
            material_cost: None,
            delivery_cost: None,
            spreading_cost: None,
            note: String::new(),
        }
    }

    fn layers(laid: Vec<MulchApplication>) -> Layers {
        let mut records = records();
        records.mulch = kept(laid);
        Layers::of(&records, &Resolved::of(&records.block))
    }

    #[test]
    fn a_layer_settles_and_counts_less_once_it_is_thin() {
        let mut records = records();
        records.block.water.set(Setting::MulchSettlingInPerYear, Some(2.0));
        records.mulch = kept([laid(date(1, 1), MulchKind::Organic, 2.5, 40.0)]);
        let layers = Layers::of(&records, &Resolved::of(&records.block));
        let organic = |day| layers.on(day).organic;
        assert!((organic(date(1, 1)) - 0.4).abs() < 1e-12);
        assert!((organic(date(4, 1)) - 0.4).abs() < 1e-12, "2.0 in are left after a quarter");
        let depth = 2.5 - 2.0 * 273.0 / 365.25;
        assert!((organic(date(10, 1)) - 0.4 * depth / 2.0).abs() < 1e-12);
        assert!((layers.on(date(10, 1)).covered - 0.4).abs() < 1e-12, "the floor stays covered");
    }

    #[test]
    fn a_layer_counts_from_its_day_and_in_proportion_when_thin() {
        let layers = layers(vec![laid(date(4, 1), MulchKind::Organic, 1.0, 40.0)]);
        assert_eq!(layers.on(date(3, 31)), DayMulch::default());
        let mulch = layers.on(date(4, 1));
        assert!((mulch.organic - 0.2).abs() < 1e-12);
        assert!((mulch.covered - 0.4).abs() < 1e-12);
        assert!(layers.any_within(date(1, 1), date(4, 1)));
        assert!(!layers.any_within(date(1, 1), date(3, 31)));
    }

    #[test]
    fn one_day_adds_up_and_a_thin_top_up_takes_nothing_away() {
        let layers = layers(vec![
            laid(date(4, 1), MulchKind::Organic, 4.0, 30.0),
            laid(date(4, 1), MulchKind::Organic, 4.0, 20.0),
            laid(date(6, 1), MulchKind::Organic, 0.5, 50.0),
        ]);
        assert!((layers.on(date(5, 1)).organic - 0.5).abs() < 1e-12);
        assert!((layers.on(date(7, 1)).organic - 0.5).abs() < 1e-12);
    }

    #[test]
    fn plastic_goes_by_its_own_rule() {
        let layers = layers(vec![laid(date(4, 1), MulchKind::Plastic, 0.01, 60.0)]);
        let mulch = layers.on(date(4, 1));
        assert!(mulch.organic.abs() < 1e-12);
        assert!((mulch.plastic - 0.6).abs() < 1e-12);
    }
}
