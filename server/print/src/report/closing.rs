//! The end of the report: what is missing, what was seen, how it was reckoned, cautions.

use reckon::figure::{Gap, GapWeight};
use reckon::records::Observation;
use reckon::season::{BlockSeason, HowReckoned, ThinningSeason};

use super::columns::{self, Paragraph};
use super::earnings::Extent;
use super::flow::{Flow, NOTE, SOFT_NOTE, STRONG_NOTE, Style};
use crate::fingerprint::Fingerprint;
use crate::sheet::Ink;
use crate::{figures, words};

/// One sentence each. Where work can hurt someone, local rules come first.
const CAUTIONS: [&str; 4] = [
    "Keep mulch a foot or more clear of the trunks: against the bark it brings rot and rodents, and dry it burns.",
    "The labor figures are not a payroll: what people are owed follows the wage law of the place.",
    "Modelled water is an estimate: look at the soil and the trees before a set is cut.",
    "Local codes come first, and a product's label is law.",
];

/// Size of what is looked up and not read through.
pub(super) const SMALL: f64 = 6.0;
/// Explanations of figures that the pages show and the report does not.
const ON_PAGES_ONLY: [&str; 3] = ["rain-check", "fruit-wanted", "trees-to-count"];

/// Where the formulas are whole, when only their first sentences are printed.
const IN_FULL: &str =
    " Formulas are cut to their first sentence here, to keep to three pages; the block's pages have them whole.";

/// `unprintable` counts the letters of this report that the faces do not have.
pub(super) fn draw(
    flow: &mut Flow,
    season: &BlockSeason,
    fingerprint: Fingerprint,
    (unprintable, extent): (usize, Extent),
) {
    let missing = gaps(season, GapWeight::Missing, "Nothing is missing.");
    let nothing = if unprintable == 0 { "Nothing stands out." } else { "" };
    let mut look = gaps(season, GapWeight::WorthALook, nothing);
    if unprintable > 0 {
        look.retain(|paragraph| paragraph.iter().any(|(_, text)| !text.is_empty()));
        look.push(not_printed(unprintable));
    }
    columns::beside(flow, [("What is missing", &missing), ("Worth a look", &look)]);
    let seen: Vec<Paragraph> = season.observations.iter().map(observation).collect();
    let cautions: [Paragraph; 1] = [vec![(NOTE, CAUTIONS.join(" "))]];
    columns::beside(flow, [("Seen in the block", &seen), ("Cautions", &cautions)]);
    let mut how: Vec<Paragraph> =
        season.how.iter().filter(|how| shown(how)).map(|how| explained(how, extent)).collect();
    how.extend(wanted(&season.thinning));
    how.push(vec![
        (STRONG_NOTE.sized(SMALL), "Records read, and this report's fingerprint".to_owned()),
        (NOTE.sized(SMALL), records(season, fingerprint, extent)),
    ]);
    columns::headed(flow, 3, "How it was reckoned", &how);
}

/// Where what is wanted on a tree stands, and the guides beside a measured spacing.
fn wanted(season: &ThinningSeason) -> Option<Paragraph> {
    let said: Vec<String> = season.wanted_says().into_iter().chain(season.guides_say()).collect();
    let title = || (STRONG_NOTE.sized(SMALL), "What is wanted on a tree".to_owned());
    (!said.is_empty()).then(|| vec![title(), (NOTE.sized(SMALL), said.join(" "))])
}

/// Whether an explanation is printed here.
pub(super) fn shown(how: &HowReckoned) -> bool {
    !ON_PAGES_ONLY.contains(&how.id)
}

fn gaps(season: &BlockSeason, weight: GapWeight, none: &str) -> Vec<Paragraph> {
    let found: Vec<Paragraph> = season.gaps.iter().filter(|gap| gap.weight == weight).map(gap).collect();
    or_nothing(found, none)
}

/// The paragraphs, or a sentence that there is none.
pub(super) fn or_nothing(found: Vec<Paragraph>, none: &str) -> Vec<Paragraph> {
    if found.is_empty() { vec![vec![(SOFT_NOTE, none.to_owned())]] } else { found }
}

/// The pages show every letter; paper carries those of three faces.
fn not_printed(letters: usize) -> Paragraph {
    let n = figures::counted(letters, "character", "characters");
    let sign = crate::font::REPLACEMENT;
    let what = format!("Text: {n} of the names and notes on this report cannot be printed in this font.");
    vec![(NOTE, what), (SOFT_NOTE, format!("{sign} stands for each. The block's page shows them."))]
}

fn explained(how: &HowReckoned, extent: Extent) -> Paragraph {
    let first = how.formula.split_inclusive(". ").next().unwrap_or_default().trim_end();
    reckoned(how, if extent.formulas() { how.formula.as_str() } else { first })
}

/// How a figure was reckoned, with so much of its formula.
pub(super) fn reckoned(how: &HowReckoned, formula: &str) -> Paragraph {
    vec![
        (STRONG_NOTE.sized(SMALL), how.title.to_owned()),
        (NOTE.sized(SMALL), format!("{formula} Source: {}.", how.source)),
    ]
}

fn gap(gap: &Gap) -> Paragraph {
    lacking(gap, format!("{}: {}", words::about(gap.about), gap.what))
}

/// A gap in these words, and how to mend it.
pub(super) fn lacking(gap: &Gap, said: String) -> Paragraph {
    let ink = if gap.weight == GapWeight::Missing { Ink::Accent } else { Ink::Text };
    let about = Style { ink, ..NOTE };
    vec![(about, said), (SOFT_NOTE, gap.mend.clone())]
}

fn observation(seen: &Observation) -> Paragraph {
    let share = seen.share_pct.map(|share| format!(", {}% of the crop", figures::shortest(share))).unwrap_or_default();
    let note = if seen.note.is_empty() { String::new() } else { format!(": {}", seen.note) };
    vec![(NOTE, format!("{}, {}{share}{note}.", words::day(seen.date), seen.what))]
}

fn records(season: &BlockSeason, fingerprint: Fingerprint, extent: Extent) -> String {
    let n = figures::counted(season.heading.records, "record was", "records were");
    let formulas = if extent.formulas() { "" } else { IN_FULL };
    format!(
        "{n} read. The fingerprint {} is made from every figure of this report: the same records give the same one, \
         and any correction another. Metered: read from a meter, clock or scale. Counted: by a person. Invoiced: on an \
         invoice or settlement. Modelled: reckoned from other records. Assumed: from a default or a list. A figure made \
         of several carries the weakest.{formulas}",
        fingerprint.grouped(),
    )
}
