//! What a blank form offers from the newest record of its kind in the same place, and which fields
//! stand in front: a crew lead in the field taps what changed and keeps it.

use reckon::figure::RecordKind;
use reckon::records::Task;

use crate::body::Form;

/// Columns taken over from the newest record: the column it is read from, and the one it fills.
pub(super) const fn taken_over(kind: RecordKind) -> &'static [(&'static str, &'static str)] {
    match kind {
        // The next work may be paid in another way.
        RecordKind::Labor => {
            &[("task", "task"), ("method", "method"), ("pass", "pass"), ("crew", "crew"), ("people", "people")]
        }
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
        RecordKind::Size | RecordKind::ThinningTarget => &[("crop", "crop")],
        RecordKind::Canopy | RecordKind::Price | RecordKind::Rate | RecordKind::Observation => &[],
    }
}

/// Ways of entering: what a way is known by, and what was offered for it and says nothing without that.
type Ways = &'static [(&'static [&'static str], &'static [&'static str])];

const fn ways(kind: RecordKind) -> Ways {
    match kind {
        RecordKind::Irrigation => &[
            (&["meter_end", "old_meter_end", "new_meter_start"], &["meter_start", "meter_unit", "meter_rolls_at"]),
            (&["run_hours"], &["emitter_flow_gph", "emitters"]),
            (&["depth_in", "depth_mm"], &[]),
        ],
        RecordKind::Packout => &[(&["boxes", "size_class"], &["lb_per_box"]), (&["cull_cause"], &[])],
        _ => &[],
    }
}

/// Fields that were offered for one way of entering, where another way was taken: a unit that was left
/// standing does not stand against it.
pub(super) fn left_over(kind: RecordKind, form: &Form) -> Vec<&'static str> {
    let taken = |known_by: &&[&str]| known_by.iter().any(|name| !form.get(name).trim().is_empty());
    let (taken, not_taken): (Vec<_>, Vec<_>) = ways(kind).iter().partition(|(known_by, _)| taken(known_by));
    if taken.is_empty() {
        return Vec::new();
    }
    not_taken.iter().flat_map(|(_, offered)| offered.iter().copied()).collect()
}

/// Charges by the box that stand as they were offered, or as they stood, beside a line that settles no
/// boxes. What was typed anew is not among them: it is money, and the form says that it has no boxes.
pub(super) fn without_boxes(kind: RecordKind, form: &Form, before: &[(String, String)]) -> Vec<&'static str> {
    const CHARGES: [&str; 3] = ["packing_usd_per_box", "cooling_usd_per_box", "freight_usd_per_box"];
    const OTHER_WAYS: [&str; 6] =
        ["weight_lb", "price_usd_per_lb", "weight_tons", "price_usd_per_ton", "adjustment_usd", "lump_charge_usd"];
    let filled = |name: &&str| !form.get(name).trim().is_empty();
    let by_box = ["boxes", "price_usd_per_box"].iter().any(filled);
    if kind != RecordKind::Settlement || by_box || !OTHER_WAYS.iter().any(filled) {
        return Vec::new();
    }
    let untouched = |name: &&str| before.iter().any(|(column, text)| column == name && text == form.get(name).trim());
    CHARGES.into_iter().filter(untouched).collect()
}

/// Method and pass of thinning that stand as they were offered, or as they stood, beside another task.
pub(super) fn of_thinning(kind: RecordKind, form: &Form, before: &[(String, String)]) -> Vec<&'static str> {
    let stood = |name: &str| before.iter().find(|(column, _)| column == name).map(|(_, text)| text.as_str());
    let thin = Task::Thin.word();
    if kind != RecordKind::Labor || stood("task") != Some(thin) || form.get("task").trim() == thin {
        return Vec::new();
    }
    ["method", "pass"].into_iter().filter(|name| stood(name) == Some(form.get(name).trim())).collect()
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
        | RecordKind::ThinningTarget
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
            let of_ways = ways(kind).iter().flat_map(|(known_by, offered)| known_by.iter().chain(*offered).copied());
            for name in taken.chain(of_ways).chain(in_front(kind).unwrap_or_default().iter().copied()) {
                assert!(names.contains(&name), "{}: {name}", kind.word());
            }
        }
    }

    #[test]
    fn what_was_offered_for_another_way_is_left_over() {
        let form = |fields: &[(&str, &str)]| {
            Form::of(fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect())
        };
        let offered = [("meter_start", "500"), ("meter_unit", "gal")];
        let with = |more: &[(&str, &str)]| left_over(RecordKind::Irrigation, &form(&[&offered[..], more].concat()));
        assert_eq!(with(&[("run_hours", "12")]), ["meter_start", "meter_unit", "meter_rolls_at"]);
        assert_eq!(with(&[("depth_in", "1.2")]).len(), 5);
        assert_eq!(with(&[("meter_end", "900")]), ["emitter_flow_gph", "emitters"]);
        // Nothing was taken, or both: the form says what is wrong.
        assert_eq!(with(&[]), Vec::<&str>::new());
        assert!(!with(&[("meter_end", "900"), ("run_hours", "12")]).contains(&"meter_unit"));
    }

    #[test]
    fn what_was_offered_for_thinning_falls_away_with_another_task() {
        let fields = |all: &[(&str, &str)]| -> Vec<(String, String)> {
            all.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
        };
        let before = fields(&[("task", "thin"), ("method", "by hand"), ("pass", "1")]);
        let with = |typed: &[(&str, &str)]| of_thinning(RecordKind::Labor, &Form::of(fields(typed)), &before);
        assert_eq!(with(&[("task", "prune"), ("method", "by hand"), ("pass", "1")]), ["method", "pass"]);
        assert_eq!(with(&[("task", "prune"), ("method", "chemical"), ("pass", "2")]), Vec::<&str>::new());
        assert_eq!(with(&[("task", "thin"), ("method", "by hand"), ("pass", "1")]), Vec::<&str>::new());
    }

    #[test]
    fn charges_by_the_box_fall_away_with_the_boxes_unless_they_were_typed() {
        let fields = |all: &[(&str, &str)]| -> Vec<(String, String)> {
            all.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
        };
        let before = fields(&[("packing_usd_per_box", "4.25"), ("freight_usd_per_box", "1.10")]);
        let with = |more: &[(&str, &str)]| {
            let typed = fields(&[&[("packing_usd_per_box", "4.25"), ("freight_usd_per_box", "1.20")], more].concat());
            without_boxes(RecordKind::Settlement, &Form::of(typed), &before)
        };
        for other in ["weight_tons", "weight_lb", "adjustment_usd", "lump_charge_usd"] {
            assert_eq!(with(&[(other, "5")]), ["packing_usd_per_box"], "{other}");
        }
        assert_eq!(with(&[("boxes", "100"), ("lump_charge_usd", "75")]), Vec::<&str>::new());
        assert_eq!(with(&[]), Vec::<&str>::new());
    }
}
