//! Basal coefficient of a young or widely spaced block from its cover.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (1998), chapter 9, p. 187-190.

/// Cover at noon of a row of crowns (box 18, p. 188): crown height over width, and the sine of the
/// sun's height at noon.
pub fn effective_cover(fc: f64, height_over_width: f64, noon_height_sine: f64) -> f64 {
    let cosine = (1.0 - noon_height_sine * noon_height_sine).max(0.0).sqrt();
    (fc * (1.0 + height_over_width * cosine / noon_height_sine.max(0.01))).min(1.0)
}

/// Kcb of full cover in the mid stage (eqs. 100 and 101, p. 189); `climate` is
/// [`super::canopy::climate`].
pub fn kcb_full(height_m: f64, climate: f64) -> f64 {
    (1.0 + 0.1 * height_m).min(1.2) + climate
}

/// Kcb of the mid stage under sparse cover (eq. 98, p. 187).
pub fn kcb_mid(kc_min: f64, kcb_full: f64, fc: f64, effective_cover: f64, height_m: f64) -> f64 {
    let share = (2.0 * fc).min(libm::pow(effective_cover, 1.0 / (1.0 + height_m))).min(1.0);
    kc_min + (kcb_full - kc_min) * share
}
