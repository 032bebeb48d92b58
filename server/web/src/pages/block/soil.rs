//! Soil and canopy of the balance: what somebody set, and what a preset fills in.

use print::figures;
use reckon::block::Block;

/// What the balance rests on.
pub(super) struct Soil {
    /// `sandy loam`, or that nobody said.
    pub(super) texture: String,
    /// Whether the texture is taken for granted.
    pub(super) assumed: bool,
    /// Values set for this block: what, and the number.
    pub(super) set: Vec<(&'static str, String)>,
}

impl Soil {
    pub(super) fn of(block: &Block) -> Self {
        Self {
            texture: block.water.soil.map_or("loam", reckon::water::setup::Soil::word).to_owned(),
            assumed: block.water.soil.is_none(),
            set: block.water.values().map(|(info, value)| (info.about, figures::float(value, places(value)))).collect(),
        }
    }
}

/// As many places as the value was given with, three at most.
fn places(value: f64) -> usize {
    let text = value.to_string();
    text.split_once('.').map_or(0, |(_, fraction)| fraction.len().min(3))
}
