//! A block's settings with every hole filled, and where each value comes from.

use crate::block::Block;

use super::preset::{self, CropGroup, Floor, Origin};
use super::setup::{SETTINGS, Setting, SettingInfo, Soil};

/// Every setting that holds for a block.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// The soil whose table row fills what was not set.
    pub soil: Soil,
    /// Whether the soil was named or assumed.
    pub soil_origin: Origin,
    /// The crop's row of table 17.
    pub crop: CropGroup,
    /// In the order of [`SETTINGS`]; settings that hold nothing are left out.
    values: Vec<(Setting, f64, Origin)>,
}

impl Resolved {
    /// The settings of a block, presets and conventions filled in.
    pub fn of(block: &Block) -> Self {
        let soil = block.water.soil.unwrap_or(Soil::Loam);
        let soil_origin = if block.water.soil.is_some() { Origin::Preset } else { Origin::Assumed };
        let floor = Floor::of(block);
        let values = SETTINGS.iter().filter_map(|info| {
            let set = block.water.get(info.setting).map(|value| (value, Origin::Set));
            let (value, origin) = set.or_else(|| preset::default_of(info.setting, block, soil, floor))?;
            Some((info.setting, value, origin))
        });
        let mut resolved = Self { soil, soil_origin, crop: preset::crop_group(&block.crop), values: values.collect() };
        resolved.derive();
        resolved
    }

    /// Fills what follows from other settings.
    fn derive(&mut self) {
        let soil_changed = [Setting::FieldCapacity, Setting::WiltingPoint, Setting::SurfaceDepthM]
            .into_iter()
            .any(|setting| self.origin(setting) == Some(Origin::Set));
        if soil_changed && self.origin(Setting::TewMm) != Some(Origin::Set) {
            // Eq. 73 (p. 144) from the block's own soil values.
            let water = self.number(Setting::FieldCapacity) - 0.5 * self.number(Setting::WiltingPoint);
            self.put(Setting::TewMm, 1000.0 * water.max(0.001) * self.number(Setting::SurfaceDepthM), Origin::Preset);
        }
        if self.value(Setting::InitialDepletionMm).is_none() && self.value(Setting::InitialMoisture).is_none() {
            // Trees start the year on a profile filled by winter: nobody said otherwise.
            self.put(Setting::InitialDepletionMm, 0.0, Origin::Assumed);
        }
        if self.value(Setting::InitialSurfaceDepletionMm).is_none() {
            // P. 153: a long time since the last wetting.
            self.put(Setting::InitialSurfaceDepletionMm, self.number(Setting::TewMm), Origin::Assumed);
        }
        if self.origin(Setting::KcbDormant) != Some(Origin::Set) {
            let (dormant, ini) = (self.number(Setting::KcbDormant), self.number(Setting::KcbIni));
            let origin = self.origin(Setting::KcbDormant).unwrap_or(Origin::Assumed);
            self.put(Setting::KcbDormant, dormant.min(ini), origin);
        }
        let own_limit = [Setting::RuleDepletionMm, Setting::RuleDepletionOfTaw];
        if own_limit.into_iter().any(|setting| self.value(setting).is_some())
            && self.origin(Setting::RuleDepletionOfRaw) != Some(Origin::Set)
        {
            self.values.retain(|(setting, ..)| *setting != Setting::RuleDepletionOfRaw);
        }
    }

    fn put(&mut self, setting: Setting, value: f64, origin: Origin) {
        self.values.retain(|(s, ..)| *s != setting);
        self.values.push((setting, value, origin));
        self.values.sort_unstable_by_key(|(s, ..)| *s);
    }

    /// The value that holds; `None` where the setting is left out.
    pub fn value(&self, setting: Setting) -> Option<f64> {
        self.values.iter().find(|(s, ..)| *s == setting).map(|(_, value, _)| *value)
    }

    /// The value that holds, zero where the setting is left out.
    pub fn number(&self, setting: Setting) -> f64 {
        self.value(setting).unwrap_or(0.0)
    }

    /// Whether a switch is on.
    pub fn is_on(&self, setting: Setting) -> bool {
        on(self.number(setting))
    }

    /// Where a value comes from.
    pub fn origin(&self, setting: Setting) -> Option<Origin> {
        self.values.iter().find(|(s, ..)| *s == setting).map(|(.., origin)| *origin)
    }

    /// Every value that holds, in the order of [`SETTINGS`].
    pub fn values(&self) -> impl Iterator<Item = (&'static SettingInfo, f64, Origin)> {
        SETTINGS.iter().filter_map(|info| Some((info, self.value(info.setting)?, self.origin(info.setting)?)))
    }
}

/// A switch is on from one half, so that 1 from any source reads as on.
pub(super) fn on(value: f64) -> bool {
    value >= 0.5
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::Emitter;

    fn block() -> Block {
        Block { crop: "peach".into(), emitter: Emitter::Drip, ..Block::default() }
    }

    fn close(a: Option<f64>, b: f64) {
        assert!((a.unwrap() - b).abs() < 1e-12, "{a:?} is not {b}");
    }

    #[test]
    fn what_is_set_goes_before_presets() {
        let mut block = block();
        block.water.soil = Some(Soil::SandyLoam);
        block.water.set(Setting::WettedFraction, Some(0.3));
        let resolved = Resolved::of(&block);
        close(resolved.value(Setting::WettedFraction), 0.3);
        assert_eq!(resolved.origin(Setting::WettedFraction), Some(Origin::Set));
        close(resolved.value(Setting::FieldCapacity), 0.23);
        assert_eq!(resolved.origin(Setting::FieldCapacity), Some(Origin::Preset));
        close(resolved.value(Setting::KcbMid), 0.85);
        close(resolved.value(Setting::ApplicationEfficiencyPct), 90.0);
    }

    #[test]
    fn what_nobody_knows_is_marked_assumed() {
        let resolved = Resolved::of(&Block { crop: "persimmon".into(), ..block() });
        assert_eq!(resolved.soil_origin, Origin::Assumed);
        assert_eq!(resolved.origin(Setting::TewMm), Some(Origin::Assumed));
        assert_eq!(resolved.origin(Setting::KcbMid), Some(Origin::Assumed));
        close(resolved.value(Setting::KcbMid), 0.85);
        close(resolved.value(Setting::InitialDepletionMm), 0.0);
        close(resolved.value(Setting::InitialSurfaceDepletionMm), 19.0);
        assert_eq!(resolved.value(Setting::CoverMid), None);
    }

    #[test]
    fn own_soil_values_give_their_own_evaporable_water() {
        let mut block = block();
        block.water.set(Setting::FieldCapacity, Some(0.23));
        block.water.set(Setting::WiltingPoint, Some(0.10));
        close(Resolved::of(&block).value(Setting::TewMm), 18.0);
        block.water.set(Setting::TewMm, Some(17.0));
        close(Resolved::of(&block).value(Setting::TewMm), 17.0);
    }

    #[test]
    fn another_limit_replaces_the_share_of_readily_available_water() {
        let block = block();
        close(Resolved::of(&block).value(Setting::RuleDepletionOfRaw), 1.0);
        for limit in [Setting::RuleDepletionMm, Setting::RuleDepletionOfTaw] {
            let mut block = block.clone();
            block.water.set(limit, Some(0.5));
            assert_eq!(Resolved::of(&block).value(Setting::RuleDepletionOfRaw), None);
            block.water.set(Setting::RuleDepletionOfRaw, Some(0.9));
            close(Resolved::of(&block).value(Setting::RuleDepletionOfRaw), 0.9);
        }
    }

    #[test]
    fn a_living_ground_cover_takes_its_own_row() {
        let mut block = block();
        block.water.set(Setting::GroundCover, Some(1.0));
        close(Resolved::of(&block).value(Setting::KcbMid), 1.10);
        close(Resolved::of(&block).value(Setting::KcbDormant), 0.45);
    }

    #[test]
    fn winters_without_frost_take_their_own_row() {
        let mut block = block();
        close(Resolved::of(&block).value(Setting::KcbIni), 0.35);
        block.water.set(Setting::KillingFrost, Some(0.0));
        close(Resolved::of(&block).value(Setting::KcbIni), 0.45);
    }
}
