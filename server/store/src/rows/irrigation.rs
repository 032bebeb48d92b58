//! Rows of irrigation sets.

use reckon::exact::Hours;
use reckon::records::{Applied, IrrigationSet, MeterUnit};
use reckon::units::{GallonsPerHour, Inches};

use crate::read::{Bad, count_or_none, given, measure, measure_or_none, number, number_or_none, word};

record_row! {
    Irrigation, IrrigationSet, "irrigation",
    place { block_id: Uuid, }
    fields {
        known_by: String,
        meter_start: Option<f64>,
        meter_end: Option<f64>,
        meter_rolls_at: Option<f64>,
        old_meter_end: Option<f64>,
        new_meter_start: Option<f64>,
        meter_unit: Option<String>,
        run_hours_micros: Option<i64>,
        emitters: Option<i64>,
        emitter_flow_gph: Option<f64>,
        depth_in: Option<f64>,
    }
}

impl Fields {
    fn bare(set: &IrrigationSet, known_by: &str) -> Self {
        Self {
            day: set.date,
            note: set.note.clone(),
            known_by: known_by.to_owned(),
            meter_start: None,
            meter_end: None,
            meter_rolls_at: None,
            old_meter_end: None,
            new_meter_start: None,
            meter_unit: None,
            run_hours_micros: None,
            emitters: None,
            emitter_flow_gph: None,
            depth_in: None,
        }
    }
}

impl From<&IrrigationSet> for Fields {
    fn from(set: &IrrigationSet) -> Self {
        match set.applied {
            Applied::Meter { start, end, unit, rolls_at, replaced } => Self {
                meter_start: Some(start),
                meter_end: Some(end),
                meter_rolls_at: rolls_at,
                old_meter_end: replaced.map(|(old, _)| old),
                new_meter_start: replaced.map(|(_, new)| new),
                meter_unit: Some(unit.word().to_owned()),
                ..Self::bare(set, "meter")
            },
            Applied::Runtime { hours, flow, emitters } => Self {
                run_hours_micros: Some(hours.micros()),
                emitters: emitters.map(i64::from),
                emitter_flow_gph: flow.map(GallonsPerHour::get),
                ..Self::bare(set, "runtime")
            },
            Applied::Depth(depth) => Self { depth_in: Some(depth.get()), ..Self::bare(set, "depth") },
        }
    }
}

impl TryFrom<Fields> for IrrigationSet {
    type Error = Bad;

    fn try_from(row: Fields) -> Result<Self, Bad> {
        let applied = match row.known_by.as_str() {
            "meter" => meter(&row)?,
            "runtime" => Applied::Runtime {
                hours: Hours::from_micros(given(row.run_hours_micros, "run_hours_micros")?),
                flow: measure_or_none(row.emitter_flow_gph, GallonsPerHour::new, "emitter_flow_gph")?,
                emitters: count_or_none(row.emitters, "emitters")?,
            },
            "depth" => Applied::Depth(measure(given(row.depth_in, "depth_in")?, Inches::new, "depth_in")?),
            _ => return Err(Bad("known_by")),
        };
        Ok(Self { date: row.day, applied, note: row.note })
    }
}

fn meter(row: &Fields) -> Result<Applied, Bad> {
    let replaced = match (row.old_meter_end, row.new_meter_start) {
        (None, None) => None,
        (old, new) => Some((
            number(given(old, "old_meter_end")?, "old_meter_end")?,
            number(given(new, "new_meter_start")?, "new_meter_start")?,
        )),
    };
    let unit = given(row.meter_unit.as_deref(), "meter_unit")?;
    Ok(Applied::Meter {
        start: number(given(row.meter_start, "meter_start")?, "meter_start")?,
        end: number(given(row.meter_end, "meter_end")?, "meter_end")?,
        unit: word(&MeterUnit::ALL, MeterUnit::word, unit, "meter_unit")?,
        rolls_at: number_or_none(row.meter_rolls_at, "meter_rolls_at")?,
        replaced,
    })
}
