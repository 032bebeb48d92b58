//! Effective rain of a month from a table of monthly totals: a second opinion on the daily balance.
//!
//! Source: USDA Soil Conservation Service, Technical Release 21, as in USDA-NRCS National
//! Engineering Handbook, part 623, chapter 2, section 623.0207 (coefficients read at second hand).
//! Monthly totals in inches.

use crate::units::Inches;

/// Storage from and to which the factor is held against the published values, inches.
const STORAGE: (f64, f64) = (0.75, 7.0);

/// Soil-water storage factor of a storage usable between sets; outside 0.75 to 7 in the nearer end
/// counts.
pub fn storage_factor(storage: Inches) -> f64 {
    let d = storage.get().clamp(STORAGE.0, STORAGE.1);
    0.531_747 + 0.295_164 * d - 0.057_697 * d * d + 0.003_804 * d * d * d
}

/// What the formula gives before its limits; it may be above the rain, or below zero.
pub fn formula(rain: Inches, need: Inches, storage: Inches) -> f64 {
    let by_rain = 0.709_17 * libm::pow(rain.get().max(0.0), 0.824_16) - 0.115_56;
    storage_factor(storage) * by_rain * libm::exp10(0.024_26 * need.get())
}

/// Rain of a calendar month that the crop could use, from the month's rain and crop need: never
/// below zero, nor above the rain or the need.
pub fn effective_rain_month(rain: Inches, need: Inches, storage: Inches) -> Inches {
    let most = rain.get().min(need.get()).max(0.0);
    Inches::of(formula(rain, need, storage).clamp(0.0, most))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn never_more_than_rain_or_need_nor_less_than_nothing() {
        let month = |rain, need| effective_rain_month(Inches::of(rain), Inches::of(need), Inches::of(3.0)).get();
        assert!(month(0.0, 6.0).abs() < 1e-12);
        assert!(month(0.05, 6.0).abs() < 1e-12, "a trace is below the formula's zero");
        assert!((month(1.0, 10.0) - 1.0).abs() < 1e-12);
        assert!((month(4.0, 1.0) - 1.0).abs() < 1e-12);
        assert!((month(2.0, 6.0) - 1.5950).abs() < 5e-5);
    }
}
