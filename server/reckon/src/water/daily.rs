//! The daily run: surface layer and root zone, one day after another. Only arithmetic: everything
//! that needs a power or a record is prepared before.
//!
//! Source: FAO Irrigation and Drainage Paper 56 (1998), chapter 7 (p. 135-158), chapter 8
//! (p. 161-171) and chapter 10 (p. 195-198). All depths in mm.

use chrono::NaiveDate;

use super::rule::Profile;
pub use super::rule::Rule;
use super::run::WaterDay;

/// Smallest exposed and wetted share (eq. 75).
const LOWEST_FEW: f64 = 0.01;

/// Mulch lying on a day, as shares of the block's whole surface, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayMulch {
    /// Effective organic cover: share x depth in proportion below two inches.
    pub organic: f64,
    /// Plastic cover.
    pub plastic: f64,
    /// Covered share as measured on the floor, either kind.
    pub covered: f64,
}

/// What holds on a day, before the balance is run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayInput {
    /// The day.
    pub date: NaiveDate,
    /// Reference evapotranspiration.
    pub eto_mm: f64,
    /// Rain.
    pub rain_mm: f64,
    /// The part of it that ran off.
    pub runoff_mm: f64,
    /// Basal crop coefficient.
    pub kcb: f64,
    /// Upper limit of Kc from wind, humidity and height (eq. 72, first term).
    pub kc_max_climate: f64,
    /// Ground covered by canopy.
    pub fc: f64,
    /// Root depth, m.
    pub root_depth_m: f64,
    /// Irrigation recorded, gross.
    pub irrigation_gross_mm: f64,
    /// Mulch lying.
    pub mulch: DayMulch,
}

/// Order of wetting and evaporation within a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Evaporation and stress follow the evening before; rain and irrigation come after them.
    EvaporationFirst,
    /// Rain and irrigation come before evaporation, drainage before use (examples 35 and 38).
    WettingFirst,
}

/// Soil and conventions of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Params {
    /// Water between field capacity and wilting point, mm for each metre of roots.
    pub available_mm_per_m: f64,
    /// Depletion fraction at 5 mm a day.
    pub p: f64,
    /// Whether it follows the day's ETc (p. 162).
    pub p_follows_etc: bool,
    /// Total evaporable water.
    pub tew_mm: f64,
    /// Readily evaporable water.
    pub rew_mm: f64,
    /// Root-zone depletion on the first morning.
    pub initial_depletion_mm: f64,
    /// Surface-layer depletion on the first morning.
    pub initial_surface_depletion_mm: f64,
    /// Wetted share before the first wetting.
    pub initial_fw: f64,
    /// Wetted share under irrigation.
    pub fw: f64,
    /// Whether canopy shade cuts that share (drip, p. 147).
    pub fw_shaded: bool,
    /// Application efficiency, 0 to 1.
    pub efficiency: f64,
    /// Rain from which the whole surface is wet.
    pub rain_wets_all_mm: f64,
    /// Whether real rain on a day of irrigation wets the whole surface (2006 errata).
    pub rain_with_irrigation_wets_all: bool,
    /// Capillary rise a day.
    pub capillary_rise_mm: f64,
    /// Rain of a day below this share of its reference ET is left out (p. 153).
    pub light_rain_of_eto: f64,
    /// What mulch takes away.
    pub mulch: MulchRule,
    /// Order within a day.
    pub order: Order,
    /// The depletion rule.
    pub rule: Rule,
}

impl Params {
    /// The same with the evaporable water of the surface layer this many times as large. A layer that
    /// was dry on the first morning stays dry.
    #[must_use]
    pub fn with_evaporable(&self, times: f64) -> Self {
        let (tew_mm, rew_mm) = (self.tew_mm * times, self.rew_mm * times);
        let dry = self.initial_surface_depletion_mm >= self.tew_mm;
        let initial_surface_depletion_mm = if dry { tew_mm } else { self.initial_surface_depletion_mm.min(tew_mm) };
        Self { tew_mm, rew_mm, initial_surface_depletion_mm, ..*self }
    }
}

/// What mulch over the whole surface takes away, 0 to 1 (p. 197 and 198).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MulchRule {
    /// Of evaporation, organic: as published 5 % for each 10 % of the surface covered.
    pub organic: f64,
    /// Of Kcb, plastic: as published 5 to 15 %.
    pub plastic_kcb: f64,
    /// Whether organic mulch lies on the wetted strip first, so that its share counts over that.
    pub over_wetted_first: bool,
}

/// The rules as published; the middle of the range for plastic.
pub const PUBLISHED_MULCH: MulchRule = MulchRule { organic: 0.5, plastic_kcb: 0.10, over_wetted_first: false };

/// Which floor the run sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Floor {
    /// No mulch, whatever was laid.
    Bare,
    /// Mulch as it lay, its effect times this (1 = the rule as published).
    Mulched(f64),
}

/// Who decides the sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Supply {
    /// The irrigation record.
    Recorded,
    /// The depletion rule.
    Rule,
}

/// Runs the balance over consecutive days.
pub fn run(days: &[DayInput], params: &Params, floor: Floor, supply: Supply) -> Vec<WaterDay> {
    let taw = days.first().map_or(0.0, |day| params.available_mm_per_m * day.root_depth_m);
    let mut evening = Evening {
        de: params.initial_surface_depletion_mm.clamp(0.0, params.tew_mm),
        dr: params.initial_depletion_mm,
        raw: params.p * taw,
        taw,
        fw: params.initial_fw,
    };
    let mut rows = Vec::with_capacity(days.len());
    for day in days {
        let row = evening.next(day, params, floor, supply);
        evening = Evening { de: row.de_end_mm, dr: row.dr_end_mm, raw: row.raw_mm, taw: row.taw_mm, fw: row.fw };
        rows.push(row);
    }
    rows
}

/// What is left of the day's water balance when every term is taken off; zero but for rounding.
pub fn imbalance_mm(depletion_before: f64, day: &WaterDay) -> f64 {
    let rain = day.rain_mm - day.runoff_mm - day.rain_left_out_mm;
    let came = rain + day.irrigation_gross_mm - day.irrigation_loss_mm + day.capillary_rise_mm;
    let went = day.eta_mm - day.unmet_mm + day.dp_mm;
    day.dr_end_mm - (depletion_before - came + went)
}

/// What one day hands to the next.
#[derive(Debug, Clone, Copy)]
struct Evening {
    de: f64,
    dr: f64,
    raw: f64,
    taw: f64,
    fw: f64,
}

/// The surface layer over a day.
struct Surface {
    few: f64,
    kr: f64,
    ke: f64,
    e: f64,
    dpe: f64,
    de_end: f64,
}

/// The root zone over a day.
struct Roots {
    ks: f64,
    eta: f64,
    dp: f64,
    rise: f64,
    unmet: f64,
    dr_end: f64,
}

impl Evening {
    fn next(&self, day: &DayInput, params: &Params, floor: Floor, supply: Supply) -> WaterDay {
        let gross = match supply {
            Supply::Recorded => day.irrigation_gross_mm,
            Supply::Rule => params.rule.net(day.date, &self.profile()) / params.efficiency,
        };
        let net = gross * params.efficiency;
        let light = day.rain_mm < params.light_rain_of_eto * day.eto_mm;
        let left_out = if light { day.rain_mm - day.runoff_mm } else { 0.0 };
        let rain = day.rain_mm - day.runoff_mm - left_out;
        let fw = self.wetted(day, params, gross > 0.0);
        let effect = Effect::of(floor, &day.mulch, &params.mulch, fw);
        let kcb = day.kcb * effect.kcb;
        let kc_max = day.kc_max_climate.max(kcb + 0.05);
        let surface = self.surface(day, params, &effect, Wetting { depth: rain + net / fw, fw }, (kcb, kc_max));
        let etc = (kcb + surface.ke) * day.eto_mm;
        let taw = params.available_mm_per_m * day.root_depth_m;
        let p = if params.p_follows_etc { (params.p + 0.04 * (5.0 - etc)).clamp(0.1, 0.8) } else { params.p };
        let roots = self.roots(params, Demand { kcb: kcb * day.eto_mm, e: surface.e, taw, p }, rain + net);
        WaterDay {
            date: day.date,
            eto_mm: day.eto_mm,
            kcb,
            kc_max,
            fc: day.fc,
            fw,
            few: surface.few,
            de_end_mm: surface.de_end,
            kr: surface.kr,
            ke: surface.ke,
            e_mm: surface.e,
            dpe_mm: surface.dpe,
            etc_mm: etc,
            taw_mm: taw,
            p,
            raw_mm: p * taw,
            ks: roots.ks,
            eta_mm: roots.eta,
            t_mm: roots.eta - surface.e,
            dp_mm: roots.dp,
            dr_end_mm: roots.dr_end,
            irrigation_gross_mm: gross,
            irrigation_loss_mm: gross - net,
            rain_mm: day.rain_mm,
            runoff_mm: day.runoff_mm,
            rain_left_out_mm: left_out,
            capillary_rise_mm: roots.rise,
            unmet_mm: roots.unmet,
            mulch_factor: effect.evaporation,
        }
    }

    const fn profile(&self) -> Profile {
        Profile { depletion: self.dr, raw: self.raw, taw: self.taw }
    }

    /// Wetted share of the day (p. 149; the errata of 2006 for rain on a day of irrigation).
    fn wetted(&self, day: &DayInput, params: &Params, irrigated: bool) -> f64 {
        let real_rain = day.rain_mm >= params.rain_wets_all_mm && day.rain_mm > 0.0;
        match (irrigated, real_rain) {
            (true, true) if params.rain_with_irrigation_wets_all => 1.0,
            (true, _) if params.fw_shaded => (params.fw * (1.0 - 2.0 / 3.0 * day.fc)).clamp(LOWEST_FEW, 1.0),
            (true, _) => params.fw.clamp(LOWEST_FEW, 1.0),
            (false, true) => 1.0,
            (false, false) => self.fw,
        }
    }

    /// Eqs. 71 and 74-79.
    fn surface(
        &self,
        day: &DayInput,
        params: &Params,
        effect: &Effect,
        wetting: Wetting,
        (kcb, kc_max): (f64, f64),
    ) -> Surface {
        let few = (1.0 - day.fc).min(wetting.fw * effect.open).clamp(LOWEST_FEW, 1.0);
        let dpe = (wetting.depth - self.de).max(0.0);
        let wetted = (self.de - wetting.depth).max(0.0);
        let seen = match params.order {
            Order::EvaporationFirst => self.de,
            Order::WettingFirst => wetted,
        };
        let kr = reduction(seen, params.tew_mm, params.rew_mm);
        let ke = effect.evaporation * (kr * (kc_max - kcb)).min(few * kc_max);
        let e = ke * day.eto_mm;
        Surface { few, kr, ke, e, dpe, de_end: (wetted + e / few).min(params.tew_mm) }
    }

    /// Eqs. 80 and 84-88. Depletion stays between zero and TAW: what is over drains, what is wanting
    /// is `unmet`, and water rises only into room that is there.
    fn roots(&self, params: &Params, demand: Demand, wetting: f64) -> Roots {
        let wetted = (self.dr - wetting).max(0.0);
        let seen = match params.order {
            Order::EvaporationFirst => self.dr,
            Order::WettingFirst => wetted,
        };
        let room = (1.0 - demand.p) * demand.taw;
        let ks = if room > 0.0 { ((demand.taw - seen) / room).clamp(0.0, 1.0) } else { 1.0 };
        let eta = ks * demand.kcb + demand.e;
        let dp = match params.order {
            Order::EvaporationFirst => (wetting - eta - self.dr).max(0.0),
            Order::WettingFirst => (wetting - self.dr).max(0.0),
        };
        let depletion = (self.dr - wetting + eta + dp).max(0.0);
        let rise = params.capillary_rise_mm.clamp(0.0, depletion);
        let asked = depletion - rise;
        let dr_end = asked.min(demand.taw);
        Roots { ks, eta, dp, rise, unmet: asked - dr_end, dr_end }
    }
}

/// Water reaching the wetted part of the surface.
#[derive(Clone, Copy)]
struct Wetting {
    depth: f64,
    fw: f64,
}

/// What the day asks of the root zone.
#[derive(Clone, Copy)]
struct Demand {
    kcb: f64,
    e: f64,
    taw: f64,
    p: f64,
}

/// What the floor does to evaporation, to the exposed surface and to Kcb; 1 = nothing.
struct Effect {
    evaporation: f64,
    open: f64,
    kcb: f64,
}

impl Effect {
    fn of(floor: Floor, mulch: &DayMulch, rule: &MulchRule, fw: f64) -> Self {
        let strength = match floor {
            Floor::Bare => 0.0,
            Floor::Mulched(strength) => strength,
        };
        let organic = if rule.over_wetted_first { (mulch.organic / fw).min(1.0) } else { mulch.organic };
        Self {
            evaporation: (1.0 - rule.organic * organic * strength).clamp(0.0, 1.0),
            open: (1.0 - mulch.plastic * strength).clamp(0.0, 1.0),
            kcb: (1.0 - rule.plastic_kcb * mulch.plastic * strength).clamp(0.0, 1.0),
        }
    }
}

/// Evaporation reduction coefficient (eq. 74).
pub fn reduction(depletion: f64, tew: f64, rew: f64) -> f64 {
    if depletion <= rew || tew <= rew {
        return if depletion < tew { 1.0 } else { 0.0 };
    }
    ((tew - depletion) / (tew - rew)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests;
