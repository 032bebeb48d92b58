//! The operation's own sizes, small to large, and the published size each stands for.

use reckon::records::OwnSize;
use reckon::size_classes::mapping::built_in;

use crate::column::{Column, NOTE, day, number, text};
use crate::kinds::Printed;
use crate::row::{DateRule, Row, from};

/// Crops that have a published list.
const LISTED: [&str; 3] = ["peach", "plum", "apricot"];

pub(super) const COLUMNS: &[Column] = &[
    day("from", "From", "First day the size holds; it may be before the season."),
    text("crop", "Crop", "Crop it is for. Blank = all.", "peach"),
    text("size_class", "Size", "The size in the words of your packing shed, as the packing report has it.", "grand")
        .required(),
    number("place", "Place", "", "Its place among the sizes of the crop: 1 is the smallest.", "3").required(),
    text(
        "means",
        "Stands for",
        "The published size it stands for. Peaches and nectarines: D to AAAA, a diameter as 73 mm or 2 3/4 in, or a \
         tray count; plums: a count, 20 to 80; apricots: small to XX jumbo. Blank = none.",
        "AA",
    ),
    NOTE,
];

pub(super) fn read(row: &mut Row<'_>) -> Option<OwnSize> {
    let day = row.date("from", DateRule::NotAfterSeason);
    let place = row.whole("place", from(1.0).up_to(999.0));
    let (crop, means) = (row.maybe_text("crop"), row.maybe_text("means"));
    if means.as_deref().is_some_and(|means| !is_published(crop.as_deref(), means)) {
        let of = crop.as_deref().map_or_else(String::new, |crop| format!(" of {crop}"));
        let expected = format!(
            "a published size{of} (peaches and nectarines D to AAAA, a diameter or a tray count; plums a count; apricots \
             small to XX jumbo), or nothing"
        );
        row.problem_like("means", expected, example(crop.as_deref()));
        return None;
    }
    Some(OwnSize {
        from: day?,
        crop,
        size_class: row.maybe_text("size_class")?,
        place: place?,
        means,
        note: row.text("note"),
    })
}

fn example(crop: Option<&str>) -> &'static str {
    match crop.map(str::to_lowercase) {
        Some(crop) if crop.contains("apricot") => "jumbo",
        Some(crop) if crop.contains("plum") || crop.contains("pluot") => "40-45",
        _ => "AA",
    }
}

fn is_published(crop: Option<&str>, means: &str) -> bool {
    match crop {
        Some(crop) => built_in(crop, means).is_some(),
        None => LISTED.iter().any(|crop| built_in(crop, means).is_some()),
    }
}

pub(super) fn print(size: &OwnSize) -> Vec<(&'static str, String)> {
    Printed::default()
        .put("from", size.from)
        .maybe("crop", size.crop.as_ref())
        .text("size_class", &size.size_class)
        .put("place", size.place)
        .maybe("means", size.means.as_ref())
        .text("note", &size.note)
        .done()
}
