//! Soil and canopy of the balance: what somebody set, and what a preset fills in.

use reckon::block::Block;

/// What the balance rests on.
pub(super) struct Soil {
    /// `sandy loam`, or that nobody said.
    pub(super) texture: String,
    /// Whether the texture is taken for granted.
    pub(super) assumed: bool,
    /// Values set for this block: what, and the number as it was given.
    pub(super) set: Vec<(&'static str, String)>,
}

impl Soil {
    pub(super) fn of(block: &Block) -> Self {
        Self {
            texture: block.water.soil.map_or("loam", reckon::water::setup::Soil::word).to_owned(),
            assumed: block.water.soil.is_none(),
            set: block.water.values().map(|(info, value)| (info.about, value.to_string())).collect(),
        }
    }
}
