//! Mulch on the floor, day by day.

use chrono::NaiveDate;

use crate::mulch;
use crate::records::MulchKind;
use crate::season::SeasonRecords;

use super::daily::DayMulch;

/// Inches from which a layer has its full effect. The published rule knows no depth; in proportion
/// below this, assumed.
const FULL_EFFECT_INCHES: f64 = 2.0;

/// Everything laid on one date, while it lives.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Layer {
    first: NaiveDate,
    last: NaiveDate,
    mulch: DayMulch,
}

/// The layers of a season.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Layers(Vec<Layer>);

impl Layers {
    /// From the applications whose covered floor is known. What was laid on one day adds up.
    pub(crate) fn of(records: &SeasonRecords) -> Self {
        let mut layers: Vec<Layer> = Vec::with_capacity(records.mulch.len());
        for laid in records.mulch.iter().map(|kept| &kept.record) {
            let Ok(cover) = mulch::cover(laid, &records.block) else { continue };
            let depth = (laid.depth.get() / FULL_EFFECT_INCHES).clamp(0.0, 1.0);
            let (organic, plastic) = match laid.kind {
                MulchKind::Organic => (cover.share * depth, 0.0),
                MulchKind::Plastic => (0.0, cover.share),
            };
            let mulch = DayMulch { organic, plastic, covered: cover.share };
            let last = mulch::last_day(laid);
            match layers.iter_mut().find(|layer| layer.first == laid.date && layer.last == last) {
                Some(layer) => layer.mulch = together(layer.mulch, mulch),
                None => layers.push(Layer { first: laid.date, last, mulch }),
            }
        }
        Self(layers)
    }

    /// What lies on a day. Of layers from different dates the stronger one counts: a thin top-up
    /// takes nothing from what lies below it.
    pub(crate) fn on(&self, day: NaiveDate) -> DayMulch {
        let living = self.0.iter().filter(|layer| layer.first <= day && day <= layer.last);
        living.fold(DayMulch::default(), |sum, layer| DayMulch {
            organic: sum.organic.max(layer.mulch.organic),
            plastic: sum.plastic.max(layer.mulch.plastic),
            covered: sum.covered.max(layer.mulch.covered),
        })
    }

    /// Whether anything lies on some day from the first to the last.
    pub(crate) fn any_within(&self, first: NaiveDate, last: NaiveDate) -> bool {
        self.0.iter().any(|layer| layer.first <= last && layer.last >= first && layer.mulch.covered > 0.0)
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
    use crate::money::Money;
    use crate::records::{MulchApplication, MulchShape};
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
            material_cost: Money::ZERO,
            delivery_cost: Money::ZERO,
            spreading_cost: Money::ZERO,
            note: String::new(),
        }
    }

    fn layers(laid: Vec<MulchApplication>) -> Layers {
        let mut records = records();
        records.mulch = kept(laid);
        Layers::of(&records)
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
