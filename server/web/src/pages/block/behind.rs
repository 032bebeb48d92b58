//! What stands behind the figures: gaps with the way to mend them, records, formulas.

use print::figures;
use reckon::figure::{Figure, Gap, GapAbout, GapWeight, RecordId, RecordKind, RecordRef};
use reckon::records::Attach;
use reckon::season::{BlockSeason, StatementKey};
use store::Right;
use uuid::Uuid;

use super::At;
use crate::display::{by_kind, evidence, kind_to_add, kind_words};
use crate::routes::to;
use crate::shell::Shell;

/// A gap: what was read, what would mend it, and the way there.
pub(crate) struct GapLine {
    pub(crate) about: &'static str,
    pub(crate) what: String,
    pub(crate) mend: String,
    /// To the entry, or to the list it stands in, with what it leads to.
    pub(crate) links: Vec<(String, String)>,
}

pub(crate) fn gap_lines(at: At, season: &BlockSeason, weight: GapWeight) -> Vec<GapLine> {
    season.gaps.iter().filter(|gap| gap.weight == weight).map(|gap| gap_line(at, gap)).collect()
}

/// The gaps of some parts of the season.
pub(crate) fn gap_lines_about(at: At, season: &BlockSeason, weight: GapWeight, about: &[GapAbout]) -> Vec<GapLine> {
    let gaps = season.gaps.iter().filter(|gap| gap.weight == weight && about.contains(&gap.about));
    gaps.map(|gap| gap_line(at, gap)).collect()
}

fn gap_line(at: At, gap: &Gap) -> GapLine {
    GapLine {
        about: print::words::about(gap.about),
        what: gap.what.clone(),
        mend: gap.mend.clone(),
        links: links(at, &gap.records),
    }
}

/// Of the record of its pollinizer, which stands with the block's own facts.
pub(super) fn pollinizer_line(what: String) -> GapLine {
    let mend = "Correct it on the block's page.".to_owned();
    GapLine { about: print::words::about(GapAbout::Block), what, mend, links: Vec::new() }
}

/// To the one entry, or to the list of each kind.
fn links(at: At, records: &[RecordRef]) -> Vec<(String, String)> {
    if let [only] = records
        && let (RecordId::Stored(id), Some(block)) = (only.id, list_block(at, only.kind))
    {
        return vec![(to::correct(at.year, Some(block), only.kind, Uuid::from_u128(id)), "The entry".to_owned())];
    }
    by_kind(records).into_iter().map(|(kind, n)| (list(at, kind), counted_kind(kind, n))).collect()
}

/// What a figure leaves out: "1 entry lacks a wage", and the way to the entry.
pub(crate) struct Lacking {
    pub(crate) words: String,
    pub(crate) link: String,
}

/// What a figure leaves out; `None` where it is whole.
pub(crate) fn lacking<T>(at: At, figure: &Figure<T>) -> Option<Lacking> {
    let words = print::words::lacking(figure)?;
    let records: Vec<RecordRef> = figure.lacks.iter().map(|lack| lack.record).collect();
    let (link, _) = links(at, &records).into_iter().next()?;
    Some(Lacking { words, link })
}

fn counted_kind(kind: RecordKind, n: usize) -> String {
    let (one, many) = kind_words(kind);
    figures::counted(n, one, many)
}

/// The block whose list a kind stands in; `None` for lists of the whole operation.
fn list_block(at: At, kind: RecordKind) -> Option<store::BlockId> {
    (kind.attach() == Attach::Block).then_some(at.block)
}

fn list(at: At, kind: RecordKind) -> String {
    to::records(at.year, list_block(at, kind), kind)
}

/// A figure, how it is known, and the lists of its records.
pub(crate) struct Known {
    pub(crate) name: &'static str,
    pub(crate) evidence: String,
    pub(crate) records: Vec<(String, String)>,
}

/// Every main figure that has records.
pub(crate) fn known(at: At, season: &BlockSeason) -> Vec<Known> {
    let packout = &season.packout;
    let water = &season.water;
    let over_all = season.statement.line(StatementKey::OverAll);
    let all = [
        (season.labor.entries > 0).then(|| one(at, "Labor", &season.labor.all.cost)),
        of(at, "Thinning labor a tree", season.labor.thinning.as_ref().and_then(|all| all.cost_per_tree.as_ref())),
        of(at, "Fruit taken off", season.thinning.removed.as_ref()),
        of(at, "Water applied", water.applied.as_ref()),
        of(at, "Crop need", water.need.as_ref()),
        of(at, "Kept by the mulch", water.saving.as_ref().map(|saving| &saving.kept.depth)),
        of(at, "Mulch over its life", season.mulch.season_cost.as_ref()),
        of(at, "Boxes packed", packout.boxes.as_ref()),
        of(at, "Fruit picked", packout.picked.as_ref()),
        of(at, "Price, net to grower", packout.net_per_pound.as_ref()),
        of(at, "Return over all costs", over_all.map(|line| &line.amount)),
    ];
    all.into_iter().flatten().collect()
}

fn of<T>(at: At, name: &'static str, figure: Option<&Figure<T>>) -> Option<Known> {
    figure.map(|figure| one(at, name, figure))
}

fn one<T>(at: At, name: &'static str, figure: &Figure<T>) -> Known {
    let records = by_kind(&figure.records).into_iter().map(|(kind, n)| (list(at, kind), counted_kind(kind, n)));
    Known { name, evidence: evidence(figure), records: records.collect() }
}

/// A formula with its source.
pub(crate) struct How {
    pub(crate) id: String,
    pub(crate) title: &'static str,
    pub(crate) formula: String,
    pub(crate) source: &'static str,
}

pub(crate) fn how(season: &BlockSeason) -> Vec<How> {
    let one = |how: &reckon::season::HowReckoned| How {
        id: format!("how-{}", how.id),
        title: how.title,
        formula: how.formula.clone(),
        source: how.source,
    };
    season.how.iter().map(one).collect()
}

/// To the explanation of a figure; to the list of them where the season has none for it.
pub(crate) fn how_anchor(season: &BlockSeason, id: &str) -> String {
    if season.how.iter().any(|how| how.id == id) { format!("#how-{id}") } else { "#how".to_owned() }
}

/// A link on the menu of records.
pub(crate) struct AddLink {
    pub(crate) link: String,
    pub(crate) words: &'static str,
}

/// What the person may add to this block, in the order of the record lists.
pub(crate) fn adds(at: At, shell: &Shell) -> Vec<AddLink> {
    let may = |kind: &RecordKind| shell.may(Right::to_keep(*kind));
    let link = |kind| AddLink { link: to::add(at.year, Some(at.block), kind), words: kind_to_add(kind) };
    RecordKind::ALL.into_iter().filter(|kind| of_block(*kind)).filter(may).map(link).collect()
}

/// The block's lists of records that the person may open.
pub(crate) fn lists(at: At, shell: &Shell) -> Vec<AddLink> {
    let may = |kind: &RecordKind| shell.may(Right::to_see(*kind));
    let link = |kind| AddLink { link: to::records(at.year, Some(at.block), kind), words: kind_words(kind).1 };
    RecordKind::ALL.into_iter().filter(|kind| of_block(*kind)).filter(may).map(link).collect()
}

/// A block has costs of its own, too.
fn of_block(kind: RecordKind) -> bool {
    matches!(kind.attach(), Attach::Block | Attach::Any)
}
