//! What a blank form offers from the newest record of its kind in the same place, and which fields
//! stand in front: a crew lead in the field taps what changed and keeps it.

use reckon::figure::RecordKind;

/// Columns taken over from the newest record: the column it is read from, and the one it fills.
pub(super) const fn taken_over(kind: RecordKind) -> &'static [(&'static str, &'static str)] {
    match kind {
        RecordKind::Labor => &[
            ("task", "task"),
            ("method", "method"),
            ("pass", "pass"),
            ("crew", "crew"),
            ("people", "people"),
            ("wage_usd_per_hour", "wage_usd_per_hour"),
            ("piece_usd", "piece_usd"),
            ("payroll_pct", "payroll_pct"),
            ("commission_pct", "commission_pct"),
        ],
        RecordKind::FruitCount => &[("what", "what"), ("method", "method")],
        RecordKind::Irrigation => &[
            // The meter goes on where it stopped.
            ("meter_end", "meter_start"),
            ("meter_unit", "meter_unit"),
            ("meter_rolls_at", "meter_rolls_at"),
            ("emitter_flow_gph", "emitter_flow_gph"),
            ("emitters", "emitters"),
        ],
        RecordKind::Tension => &[("place", "place"), ("depth_in", "depth_in")],
        RecordKind::Weather => &[("station", "station"), ("wind_height_m", "wind_height_m")],
        RecordKind::Mulch => &[("material", "material"), ("kind", "kind")],
        RecordKind::Pick => &[("pick", "pick")],
        RecordKind::Packout => &[("lb_per_box", "lb_per_box")],
        RecordKind::Settlement => &[
            ("buyer", "buyer"),
            ("packing_usd_per_box", "packing_usd_per_box"),
            ("cooling_usd_per_box", "cooling_usd_per_box"),
            ("freight_usd_per_box", "freight_usd_per_box"),
            ("commission_pct", "commission_pct"),
        ],
        RecordKind::Cost => &[("group", "group"), ("shared_by", "shared_by")],
        RecordKind::Size => &[("crop", "crop")],
        RecordKind::Canopy | RecordKind::Price | RecordKind::Rate | RecordKind::Observation => &[],
    }
}

/// Columns that stand in front although they may stay empty; `None` where all do.
pub(super) const fn in_front(kind: RecordKind) -> Option<&'static [&'static str]> {
    match kind {
        RecordKind::Labor => Some(&["method", "pass", "crew", "people", "hours_each", "trees_done"]),
        RecordKind::FruitCount => Some(&["what", "fruit_before", "fruit_after", "method"]),
        RecordKind::Irrigation => Some(&["meter_start", "meter_end", "meter_unit", "run_hours", "depth_in"]),
        RecordKind::Weather => Some(&["station", "tmax_f", "tmin_f", "rain_in", "eto_in"]),
        RecordKind::Mulch => Some(&["kind", "strip_width_ft", "ring_radius_ft", "share_pct", "material_usd"]),
        RecordKind::Packout => Some(&["size_class", "grade", "boxes", "lb_per_box", "cull_cause", "weight_lb"]),
        RecordKind::Settlement => Some(&["buyer", "size_class", "grade", "boxes", "price_usd_per_box"]),
        RecordKind::Cost => Some(&["block", "farm", "payee", "shared_by"]),
        RecordKind::Tension
        | RecordKind::Canopy
        | RecordKind::Pick
        | RecordKind::Price
        | RecordKind::Rate
        | RecordKind::Size
        | RecordKind::Observation => None,
    }
}

#[cfg(test)]
mod tests {
    use intake::{FileKind, columns};

    use super::*;

    #[test]
    fn every_name_is_a_column_of_its_kind() {
        for kind in RecordKind::ALL {
            let names: Vec<&str> = columns(FileKind::Records(kind)).iter().map(|column| column.name).collect();
            let taken = taken_over(kind).iter().flat_map(|(from, to)| [*from, *to]);
            for name in taken.chain(in_front(kind).unwrap_or_default().iter().copied()) {
                assert!(names.contains(&name), "{}: {name}", kind.word());
            }
        }
    }
}
