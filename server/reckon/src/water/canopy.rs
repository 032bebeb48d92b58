//! Basal crop coefficient and ground cover by day of the season.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (1998), chapters 6 and 7; equation and page beside
//! each function.

use chrono::{Datelike, NaiveDate};

use crate::block::MonthDay;

/// Lengths of the four stages, days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stages {
    /// Initial.
    pub initial: f64,
    /// Development.
    pub development: f64,
    /// Mid season.
    pub mid: f64,
    /// Late season.
    pub late: f64,
}

/// The stages for whose climate coefficients are adjusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Mid season.
    Mid,
    /// Late season.
    Late,
}

impl Stages {
    /// A value on day `i` of the curve: level, rising, level, falling (eq. 66, p. 132); `None`
    /// before its first and after its last day.
    pub fn along(&self, i: f64, [ini, mid, end]: [f64; 3]) -> Option<f64> {
        let develops = i - self.initial;
        let late = i - self.initial - self.development - self.mid;
        if i < 0.0 || late > self.late {
            return None;
        }
        Some(if develops <= 0.0 {
            ini
        } else if develops < self.development {
            ini + develops / self.development * (mid - ini)
        } else if late <= 0.0 {
            mid
        } else {
            mid + late / self.late * (end - mid)
        })
    }

    /// The stage of day `i`, counted from 1, where it is one that climate adjusts.
    pub fn stage(&self, i: f64) -> Option<Stage> {
        let mid = i - self.initial - self.development;
        match () {
            () if mid <= 0.0 || mid > self.mid + self.late => None,
            () if mid <= self.mid => Some(Stage::Mid),
            () => Some(Stage::Late),
        }
    }

    /// Days from the first to the last.
    pub fn total(&self) -> f64 {
        self.initial + self.development + self.mid + self.late
    }
}

/// Days since the curve last started, 0 on its first day.
pub fn days_since(start: MonthDay, date: NaiveDate) -> Option<i64> {
    let since = |year: i32| Some(date.signed_duration_since(start.in_year(year)?).num_days());
    since(date.year()).filter(|days| *days >= 0).or_else(|| since(date.year().checked_sub(1)?))
}

/// The climatic term of eqs. 62, 70 and 72 (p. 123, 136, 143): what wind, humidity and height add
/// to a coefficient of the standard climate. Outside their limits the inputs count as the limit.
pub fn climate(wind: f64, rh_min: f64, height_m: f64) -> f64 {
    let dry_wind = 0.04 * (wind.clamp(1.0, 6.0) - 2.0) - 0.004 * (rh_min.clamp(20.0, 80.0) - 45.0);
    dry_wind * libm::pow(height_m.clamp(0.1, 10.0) / 3.0, 0.3)
}

/// Upper limit of Kc from the climate, before the limit of Kcb + 0.05 (eq. 72, p. 143). `base` is
/// its value in the standard climate: 1.2, or about 1.1 where the soil is wetted every day or two.
pub fn kc_max_climate(base: f64, wind: f64, rh_min: f64, height_m: f64) -> f64 {
    base + climate(wind, rh_min, height_m)
}

/// Something that grows with Kcb, roots or height (eq. 8-1, p. 279): from `least` at the initial
/// Kcb to `most` at that of the mid stage.
pub fn grown(kcb: f64, [ini, mid]: [f64; 2], [least, most]: [f64; 2]) -> f64 {
    let share = if mid > ini { ((kcb - ini) / (mid - ini)).clamp(0.0, 1.0) } else { 1.0 };
    least + share * (most - least)
}

/// A tabulated coefficient in this climate (eq. 70, p. 136): values under 0.45 stay as they are.
pub fn adjusted(tabulated: f64, climate: f64) -> f64 {
    if tabulated >= 0.45 { tabulated + climate } else { tabulated }
}

/// Ground covered by canopy, reckoned from Kcb (eq. 76, p. 149).
pub fn cover_from_kcb(kcb: f64, kc_min: f64, kc_max: f64, height_m: f64) -> f64 {
    let above = (kcb - kc_min).max(0.01);
    let share = (above / (kc_max - kc_min).max(0.01)).clamp(0.0, 1.0);
    libm::pow(share, 1.0 + 0.5 * height_m).clamp(0.0, 0.99)
}

#[cfg(test)]
mod tests {
    use super::*;

    const STAGES: Stages = Stages { initial: 20.0, development: 70.0, mid: 90.0, late: 30.0 };

    #[test]
    fn the_curve_ends_where_its_stages_end() {
        let kcb = |i: f64| STAGES.along(i, [0.35, 0.85, 0.6]);
        assert_eq!(kcb(-1.0), None);
        assert_eq!(kcb(0.0), Some(0.35));
        assert_eq!(kcb(20.0), Some(0.35));
        assert!((kcb(55.0).unwrap() - 0.6).abs() < 1e-12);
        assert_eq!(kcb(180.0), Some(0.85));
        assert!((kcb(210.0).unwrap() - 0.6).abs() < 1e-12);
        assert_eq!(kcb(211.0), None);
    }

    #[test]
    fn stages_of_no_length_are_stepped_over() {
        let steps = Stages { initial: 10.0, development: 0.0, mid: 10.0, late: 0.0 };
        assert_eq!(steps.along(10.0, [0.1, 0.9, 0.5]), Some(0.1));
        assert_eq!(steps.along(11.0, [0.1, 0.9, 0.5]), Some(0.9));
        assert_eq!(steps.along(20.0, [0.1, 0.9, 0.5]), Some(0.9));
        assert_eq!(steps.along(21.0, [0.1, 0.9, 0.5]), None);
    }

    #[test]
    fn mid_and_late_stage_are_counted_from_day_one() {
        assert_eq!(STAGES.stage(90.0), None);
        assert_eq!(STAGES.stage(91.0), Some(Stage::Mid));
        assert_eq!(STAGES.stage(180.0), Some(Stage::Mid));
        assert_eq!(STAGES.stage(181.0), Some(Stage::Late));
        assert_eq!(STAGES.stage(211.0), None);
    }

    #[test]
    fn the_curve_of_the_year_before_runs_on_until_its_new_start() {
        let start = MonthDay::new(9, 1).unwrap();
        let since = |y, m, d| days_since(start, NaiveDate::from_ymd_opt(y, m, d).unwrap());
        assert_eq!(since(2026, 9, 1), Some(0));
        assert_eq!(since(2027, 1, 1), Some(122));
        assert_eq!(since(2027, 8, 31), Some(364));
    }

    #[test]
    fn roots_grow_with_the_curve() {
        let roots = |kcb| grown(kcb, [0.35, 0.85], [0.4, 1.0]);
        assert!((roots(0.15) - 0.4).abs() < 1e-12);
        assert!((roots(0.60) - 0.7).abs() < 1e-12);
        assert!((roots(0.90) - 1.0).abs() < 1e-12);
        assert!((grown(0.5, [0.5, 0.5], [0.4, 1.0]) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn low_coefficients_are_not_adjusted() {
        assert!((adjusted(0.44, 0.1) - 0.44).abs() < 1e-12);
        assert!((adjusted(0.45, 0.1) - 0.55).abs() < 1e-12);
        assert!(climate(2.0, 45.0, 3.0).abs() < 1e-12);
        assert!((climate(9.0, 10.0, 3.0) - climate(6.0, 20.0, 3.0)).abs() < 1e-12);
    }
}
