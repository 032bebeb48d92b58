//! What the meters say that mulch saved: it stands beside the modelled saving.

use print::{figures, words};
use reckon::season::BlockSeason;
use reckon::units::Share;

use super::behind::how_anchor;
use crate::display::evidence;

/// The metered saving against comparable bare blocks.
pub(crate) struct Metered {
    /// This block, each bare block, their mean: name and percent of bare-soil need.
    pub(crate) shares: Vec<ShareRow>,
    /// `11% less`, or `4% more`.
    pub(crate) less: String,
    /// The same as depth: `1.74 in less`.
    pub(crate) depth: String,
    /// The same over the block: `47,250 gal more`.
    pub(crate) gallons: String,
    /// `on 2 comparable bare blocks and in its own bare season of 2025`.
    pub(crate) against: String,
    /// How the water itself is known.
    pub(crate) water_known: &'static str,
    pub(crate) evidence: String,
    pub(crate) how: String,
}

/// One block's water as a share of the need of bare soil.
pub(crate) struct ShareRow {
    pub(crate) name: String,
    pub(crate) share: String,
    pub(crate) class: &'static str,
}

impl Metered {
    pub(crate) fn of(season: &BlockSeason) -> Option<Self> {
        let saving = season.water.metered_saving.as_ref()?;
        let row = |name: String, share: Share, class| ShareRow { name, share: figures::quantity(share), class };
        let own = row(format!("{}, mulched", season.heading.block.code), saving.own.value, "sub");
        let others = saving.comparisons.iter().map(|bare| row(bare.label.clone(), bare.applied_of_need, ""));
        let mean = row("The bare ones together, mean".to_owned(), saving.bare.value, "sub");
        Some(Self {
            shares: std::iter::once(own).chain(others).chain([mean]).collect(),
            less: words::less(saving.less_applied.value),
            depth: words::less_or_more(&figures::quantity(saving.depth.value), " in"),
            gallons: words::less_or_more(&figures::quantity(saving.gallons.value), " gal"),
            against: words::metered_against(saving),
            water_known: saving.applied_evidence.word(),
            evidence: evidence(&saving.less_applied),
            how: how_anchor(season, "metered-saving"),
        })
    }
}
