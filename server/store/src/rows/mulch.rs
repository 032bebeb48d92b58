//! Rows of mulch laid.

use chrono::{Days, NaiveDate};
use reckon::exact::Years;
use reckon::money::Money;
use reckon::records::{MulchApplication, MulchKind, MulchShape};
use reckon::units::{Feet, Inches};

use crate::read::{Bad, measure, number, word};

record_row! {
    Mulch, MulchApplication, "mulch",
    place { block_id: Uuid, }
    fields {
        material: String,
        mulch_kind: String,
        depth_in: f64,
        strip_width_ft: Option<f64>,
        ring_radius_ft: Option<f64>,
        share_pct: Option<f64>,
        clear_radius_in: f64,
        life_years_micros: i64,
        material_cents: Option<i64>,
        delivery_cents: Option<i64>,
        spreading_cents: Option<i64>,
    }
}

impl From<&MulchApplication> for Fields {
    fn from(mulch: &MulchApplication) -> Self {
        let (strip, ring, share) = match mulch.shape {
            MulchShape::Strip(width) => (Some(width.get()), None, None),
            MulchShape::Ring(radius) => (None, Some(radius.get()), None),
            MulchShape::SharePct(share) => (None, None, Some(share)),
        };
        Self {
            day: mulch.date,
            note: mulch.note.clone(),
            material: mulch.material.clone(),
            mulch_kind: mulch.kind.word().to_owned(),
            depth_in: mulch.depth.get(),
            strip_width_ft: strip,
            ring_radius_ft: ring,
            share_pct: share,
            clear_radius_in: mulch.clear_radius.get(),
            life_years_micros: mulch.life.micros(),
            material_cents: mulch.material_cost.map(Money::cents),
            delivery_cents: mulch.delivery_cost.map(Money::cents),
            spreading_cents: mulch.spreading_cost.map(Money::cents),
        }
    }
}

impl TryFrom<Fields> for MulchApplication {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let shape = match (row.strip_width_ft, row.ring_radius_ft, row.share_pct) {
            (Some(width), None, None) => MulchShape::Strip(measure(width, Feet::new, "strip_width_ft")?),
            (None, Some(radius), None) => MulchShape::Ring(measure(radius, Feet::new, "ring_radius_ft")?),
            (None, None, Some(share)) => MulchShape::SharePct(number(share, "share_pct")?),
            _ => return Err(Bad("strip_width_ft")),
        };
        Ok(Self {
            date: row.day,
            material: row.material,
            kind: word(&MulchKind::ALL, MulchKind::word, &row.mulch_kind, "mulch_kind")?,
            depth: measure(row.depth_in, Inches::new, "depth_in")?,
            shape,
            clear_radius: measure(row.clear_radius_in, Inches::new, "clear_radius_in")?,
            life: Years::from_micros(row.life_years_micros),
            material_cost: row.material_cents.map(Money::from_cents),
            delivery_cost: row.delivery_cents.map(Money::from_cents),
            spreading_cost: row.spreading_cents.map(Money::from_cents),
            note: row.note,
        })
    }
}

/// The last day on which an application can matter to a season: its life in years of 365.25 days,
/// rounded up. One year where no life is given, as reckoning takes it.
pub(crate) fn lasts_to(mulch: &MulchApplication) -> NaiveDate {
    const LONGEST: i128 = 36_525;
    let micros = if mulch.life.micros() > 0 { i128::from(mulch.life.micros()) } else { 1_000_000 };
    // 365.25 days for a million millionths of a year.
    let days = (micros * 36_525 + 99_999_999) / 100_000_000;
    let days = Days::new(u64::try_from(days.min(LONGEST)).unwrap_or_default());
    mulch.date.checked_add_days(days).unwrap_or(NaiveDate::MAX)
}
