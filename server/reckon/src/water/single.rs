//! Mulch in single crop coefficients: the paper's shorter rules, beside the daily dual ones.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (1998), chapter 10, p. 195-198.

/// Single coefficient of the initial stage under plastic ("often as low as 0.10", p. 196).
pub const PLASTIC_KC_INI: f64 = 0.10;

/// Coefficients of the initial, mid and late stage under organic mulch on a share of the surface
/// (p. 197): the initial one less the reduction of evaporation, 5 % for each 10 % covered; the others
/// less that reduction of what they have above the basal coefficient.
pub fn organic(kc: [f64; 3], kcb: [f64; 3], covered: f64) -> [f64; 3] {
    let reduction = 0.5 * covered.clamp(0.0, 1.0);
    let ([ini, mid, end], [_, basal_mid, basal_end]) = (kc, kcb);
    [ini * (1.0 - reduction), mid - reduction * (mid - basal_mid), end - reduction * (end - basal_end)]
}

/// Coefficients under plastic (p. 196): the initial one [`PLASTIC_KC_INI`] at most, the others less
/// 10 to 30 %, the upper end under frequent drip.
pub fn plastic([ini, mid, end]: [f64; 3], reduction: f64) -> [f64; 3] {
    let less = 1.0 - reduction.clamp(0.0, 1.0);
    [ini.min(PLASTIC_KC_INI), mid * less, end * less]
}

/// Single coefficient of a sparse stand in its mid stage: the basal one and 0.05 to 0.10 by how often
/// the soil is wetted (example 41, p. 190).
pub fn of_sparse_stand(kcb_mid: f64) -> [f64; 2] {
    [kcb_mid + 0.05, kcb_mid + 0.10]
}
