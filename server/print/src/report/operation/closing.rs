//! What is missing in which block, cautions, and how the operation's own figures were reckoned.

use reckon::figure::{Gap, GapWeight};
use reckon::operation_season::OperationSeason;

use super::super::closing::{SMALL, lacking, or_nothing, reckoned};
use super::super::columns::{self, Paragraph};
use super::super::flow::{NOTE, STRONG_NOTE};
use crate::fingerprint::Fingerprint;
use crate::report::flow::Flow;
use crate::words;

/// What a reader of money, water and methods has to know.
const CAUTIONS: [&str; 4] = [
    "The labor figures are not a payroll: what people are owed follows the wage law of the place.",
    "Lines of the tax form are suggested; the bookkeeper decides, and the tax adviser before anything is filed.",
    "A method that returned more in one season need not be the cause of it: look at what else differed.",
    "Modelled water is an estimate: look at the soil and the trees before a set is cut. Local codes come first.",
];

pub(super) fn draw(flow: &mut Flow, season: &OperationSeason, fingerprint: Fingerprint) {
    let missing = gaps(season, GapWeight::Missing);
    columns::headed(flow, 2, "What is missing", &or_nothing(missing, "Nothing is missing."));
    let look = gaps(season, GapWeight::WorthALook);
    columns::headed(flow, 2, "Worth a look", &or_nothing(look, "Nothing stands out."));
    columns::headed(flow, 2, "Cautions", &CAUTIONS.map(|caution| vec![(NOTE, caution.to_owned())]));
    let mut how: Vec<Paragraph> = season.how.iter().map(|how| reckoned(how, &how.formula)).collect();
    how.push(vec![
        (STRONG_NOTE.sized(SMALL), "This report's fingerprint".to_owned()),
        (NOTE.sized(SMALL), told(fingerprint)),
    ]);
    columns::headed(flow, 3, "How it was reckoned", &how);
}

/// By block; the same gap of several blocks stands once, with all their codes.
fn gaps(season: &OperationSeason, weight: GapWeight) -> Vec<Paragraph> {
    let mut found: Vec<(&Gap, Vec<&str>)> = Vec::new();
    for block in &season.blocks {
        for gap in block.gaps.iter().filter(|gap| gap.weight == weight) {
            let same = |(other, _): &&mut (&Gap, Vec<&str>)| other.what == gap.what && other.mend == gap.mend;
            let code = block.heading.block.code.as_str();
            match found.iter_mut().find(same) {
                Some((_, codes)) => codes.push(code),
                None => found.push((gap, vec![code])),
            }
        }
    }
    found.iter().map(|(gap, codes)| paragraph(gap, codes)).collect()
}

fn paragraph(gap: &Gap, codes: &[&str]) -> Paragraph {
    lacking(gap, format!("{}, {}: {}", codes.join(", "), words::about(gap.about).to_lowercase(), gap.what))
}

fn told(fingerprint: Fingerprint) -> String {
    format!(
        "The fingerprint {} is made from every figure of the operation's season: the same records give the same one, and \
         any correction another. “Metered” was read from a meter, clock or scale; “counted” by a person; “invoiced” \
         stands on an invoice or settlement; “modelled” was reckoned from other records; “assumed” was taken from a \
         default or a list. A figure made of several carries the weakest. How a block's own figures are reckoned stands \
         on its report.",
        fingerprint.grouped(),
    )
}
