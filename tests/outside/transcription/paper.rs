//! The equations of the paper once more, written straight from it and sharing no code with the book.
//!
//! Source: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56, and its errata of
//! 2006; equation numbers beside each line. Functions are those of the standard library.

use chrono::{Datelike, NaiveDate};

/// Everything declared for a season. Depths in mm, lengths in m.
#[expect(clippy::struct_excessive_bools, reason = "each is a convention of its own")]
#[derive(Debug, Clone)]
pub(super) struct Given {
    pub(super) theta_fc: f64,
    pub(super) theta_wp: f64,
    pub(super) zr: (f64, f64),
    pub(super) height: (f64, f64),
    pub(super) p: f64,
    pub(super) p_follows: bool,
    pub(super) rew: f64,
    pub(super) tew: f64,
    pub(super) de_first: f64,
    pub(super) dr_first: f64,
    pub(super) fw_first: f64,
    pub(super) kcb: [f64; 3],
    pub(super) kcb_dormant: f64,
    pub(super) adjust: bool,
    pub(super) first_day: f64,
    pub(super) stages: [f64; 4],
    pub(super) start: (u32, u32),
    pub(super) cover: Option<[f64; 3]>,
    pub(super) kc_min: f64,
    pub(super) kc_max_base: f64,
    pub(super) fw: f64,
    pub(super) shaded: bool,
    pub(super) efficiency: f64,
    pub(super) rain_wets_all: f64,
    pub(super) light_rain: f64,
    pub(super) wet_early: bool,
    pub(super) erratum: bool,
    pub(super) capillary: f64,
    pub(super) trigger_mm: Option<f64>,
    pub(super) trigger_raw: Option<f64>,
    pub(super) trigger_taw: Option<f64>,
    pub(super) net: Option<f64>,
    pub(super) window: (u32, u32),
    pub(super) mulch: Mulch,
}

/// The one application of the season.
#[derive(Debug, Clone)]
pub(super) struct Mulch {
    pub(super) laid: NaiveDate,
    pub(super) plastic: bool,
    pub(super) share: f64,
    pub(super) depth_in: f64,
    pub(super) settling_in: f64,
    pub(super) full_depth_in: f64,
    pub(super) over_wetted: bool,
}

/// A day's weather and canopy as written down.
#[derive(Debug, Clone)]
pub(super) struct Day {
    pub(super) date: NaiveDate,
    pub(super) eto: f64,
    pub(super) rain: f64,
    pub(super) runoff: f64,
    pub(super) u2: f64,
    pub(super) rh_min: f64,
    pub(super) gross: f64,
    pub(super) kcb: Option<f64>,
    pub(super) fc: Option<f64>,
}

/// A day's row, by the names of the daily CSV file.
pub(super) type Row = Vec<(&'static str, f64)>;

macro_rules! row {
    ($($name:ident = $value:expr),*) => { vec![$((stringify!($name), $value)),*] };
}

fn climate(u2: f64, rh_min: f64, h: f64) -> f64 {
    (0.04 * (u2.clamp(1.0, 6.0) - 2.0) - 0.004 * (rh_min.clamp(20.0, 80.0) - 45.0)) * (h / 3.0).powf(0.3)
}

/// Days since the curve's first day, which is 0.
fn since(given: &Given, date: NaiveDate) -> f64 {
    let start = |year| NaiveDate::from_ymd_opt(year, given.start.0, given.start.1).unwrap();
    let this = (date - start(date.year())).num_days();
    let days = if this >= 0 { this } else { (date - start(date.year() - 1)).num_days() };
    f64::from(i32::try_from(days).unwrap())
}

/// Eq. 66 on day i; outside the curve nothing.
fn eq66(given: &Given, i: f64, [ini, mid, end]: [f64; 3]) -> Option<f64> {
    let [l_ini, l_dev, l_mid, l_late] = given.stages;
    if i <= l_ini {
        Some(ini)
    } else if i <= l_ini + l_dev {
        Some(ini + (i - l_ini) / l_dev * (mid - ini))
    } else if i <= l_ini + l_dev + l_mid {
        Some(mid)
    } else if i <= l_ini + l_dev + l_mid + l_late {
        Some(mid + (i - l_ini - l_dev - l_mid) / l_late * (end - mid))
    } else {
        None
    }
}

/// Eq. 70 with the means of the stage; values under 0.45 stay.
fn adjusted(given: &Given, days: &[Day]) -> [f64; 3] {
    let [ini, mid, end] = given.kcb;
    if !given.adjust {
        return given.kcb;
    }
    let [l_ini, l_dev, l_mid, l_late] = given.stages;
    let term = |from: f64, to: f64| {
        let within: Vec<&Day> =
            days.iter().filter(|day| from < since(given, day.date) + 1.0 && since(given, day.date) < to).collect();
        if within.is_empty() {
            return 0.0;
        }
        let n = within.iter().map(|_| 1.0).sum::<f64>();
        let mean = |of: fn(&Day) -> f64| within.iter().map(|day| of(day)).sum::<f64>() / n;
        climate(mean(|day| day.u2), mean(|day| day.rh_min), given.height.1)
    };
    let late = l_ini + l_dev + l_mid;
    let value = |table: f64, term: f64| if table >= 0.45 { table + term } else { table };
    [ini, value(mid, term(l_ini + l_dev, late)), value(end, term(late, late + l_late))]
}

/// Kcb, fc, h and Zr of every day (eqs. 66, 76 and 8-1).
fn canopy(given: &Given, days: &[Day]) -> Vec<[f64; 4]> {
    let kcb = adjusted(given, days);
    let (mut zr, mut h) = (given.zr.0, given.height.0);
    let share = |k: f64| {
        if kcb[1] <= kcb[0] { 1.0 } else { ((k - kcb[0]) / (kcb[1] - kcb[0])).clamp(0.0, 1.0) }
    };
    let mut rows = Vec::new();
    for day in days {
        let n = since(given, day.date);
        let curve = eq66(given, n + given.first_day, kcb).unwrap_or(given.kcb_dormant);
        let own = day.kcb.unwrap_or(curve);
        zr = zr.max(given.zr.0 + share(curve) * (given.zr.1 - given.zr.0));
        h = h.max(given.height.0 + share(own) * (given.height.1 - given.height.0));
        let kc_max = (given.kc_max_base + climate(day.u2, day.rh_min, h)).max(own + 0.05);
        let eq76 = || {
            let above = (own - given.kc_min).max(0.01);
            (above / (kc_max - given.kc_min)).clamp(0.0, 1.0).powf(1.0 + 0.5 * h).clamp(0.0, 0.99)
        };
        let along = || given.cover.map(|cover| eq66(given, n + 1.0, cover).unwrap_or(cover[0]));
        let fc = day.fc.or_else(along).unwrap_or_else(eq76);
        rows.push([own, fc, h, zr]);
    }
    rows
}

/// What one evening hands to the next morning.
struct Evening {
    de: f64,
    dr: f64,
    fw: f64,
    taw: f64,
    raw: f64,
}

/// The season, bare or mulched, irrigated as recorded or by the rule.
pub(super) fn run(given: &Given, days: &[Day], mulched: bool, by_rule: bool) -> Vec<(NaiveDate, Row)> {
    let canopy = canopy(given, days);
    let taw = 1000.0 * (given.theta_fc - given.theta_wp) * canopy[0][3];
    let mut evening = Evening {
        de: given.de_first.min(given.tew),
        dr: given.dr_first.min(taw),
        fw: given.fw_first,
        taw,
        raw: given.p * taw,
    };
    let mut rows = Vec::new();
    for (day, canopy) in days.iter().zip(canopy) {
        let gross = if by_rule { called_for(given, day.date, &evening) } else { day.gross };
        rows.push((day.date, one_day(given, day, canopy, (mulched, gross), &mut evening)));
    }
    rows
}

/// The rule looks at the evening before; gross depth.
fn called_for(given: &Given, date: NaiveDate, evening: &Evening) -> f64 {
    let limits = [
        given.trigger_mm,
        given.trigger_raw.map(|share| share * evening.raw),
        given.trigger_taw.map(|share| share * evening.taw),
    ];
    let month_day = date.month() * 100 + date.day();
    let allowed = given.window.0 <= month_day && month_day <= given.window.1;
    let due = allowed && limits.into_iter().flatten().any(|limit| evening.dr > limit);
    if due { given.net.unwrap_or(evening.dr) / given.efficiency } else { 0.0 }
}

/// Page 149, and the errata.
fn wetted_share(given: &Given, day: &Day, gross: f64, fc: f64, before: f64) -> f64 {
    let real_rain = day.rain > 0.0 && day.rain >= given.rain_wets_all;
    let of_system = if given.shaded { given.fw * (1.0 - 2.0 / 3.0 * fc) } else { given.fw };
    match (gross > 0.0, real_rain) {
        (true, true) if given.erratum => 1.0,
        (true, _) => of_system.clamp(0.01, 1.0),
        (false, true) => 1.0,
        (false, false) => before,
    }
}

fn one_day(
    given: &Given,
    day: &Day,
    [kcb, fc, h, zr]: [f64; 4],
    (mulched, gross): (bool, f64),
    evening: &mut Evening,
) -> Row {
    let (de, dr) = (evening.de, evening.dr);
    let net = gross * given.efficiency;
    let left_out = if day.rain < given.light_rain * day.eto { day.rain - day.runoff } else { 0.0 };
    let rain = day.rain - day.runoff - left_out;
    let fw = wetted_share(given, day, gross, fc, evening.fw);
    let (factor, open, of_kcb) = floor(given, day.date, mulched, fw);
    let kcb = kcb * of_kcb;
    let kc_max = (given.kc_max_base + climate(day.u2, day.rh_min, h)).max(kcb + 0.05);
    // Eqs. 71 to 79.
    let few = (1.0 - fc).min(fw * open).clamp(0.01, 1.0);
    let wetting = rain + net / fw;
    let seen = if given.wet_early { (de - wetting).max(0.0) } else { de };
    let kr = if seen <= given.rew { 1.0 } else { ((given.tew - seen) / (given.tew - given.rew)).max(0.0) };
    let ke = factor * (kr * (kc_max - kcb)).min(few * kc_max);
    let e = ke * day.eto;
    let dpe = (wetting - de).max(0.0);
    let de = (de - wetting + e / few + dpe).clamp(0.0, given.tew);
    // Eqs. 80 to 88.
    let etc = (kcb + ke) * day.eto;
    let taw = 1000.0 * (given.theta_fc - given.theta_wp) * zr;
    let p = if given.p_follows { (given.p + 0.04 * (5.0 - etc)).clamp(0.1, 0.8) } else { given.p };
    let raw = p * taw;
    let seen = if given.wet_early { (dr - rain - net).max(0.0) } else { dr };
    let ks = if seen <= raw { 1.0 } else { ((taw - seen) / ((1.0 - p) * taw)).max(0.0) };
    let eta = (ks * kcb + ke) * day.eto;
    let dp = if given.wet_early { (rain + net - dr).max(0.0) } else { (rain + net - eta - dr).max(0.0) };
    let asked = (dr - rain - net + eta + dp).max(0.0);
    let rise = given.capillary.min(asked);
    let unmet = (asked - rise - taw).max(0.0);
    let dr = (asked - rise).min(taw);
    *evening = Evening { de, dr, fw, taw, raw };
    row![
        eto_mm = day.eto,
        kcb = kcb,
        kc_max = kc_max,
        fc = fc,
        fw = fw,
        few = few,
        de_end_mm = de,
        kr = kr,
        ke = ke,
        e_mm = e,
        dpe_mm = dpe,
        etc_mm = etc,
        mulch_factor = factor,
        taw_mm = taw,
        p = p,
        raw_mm = raw,
        ks = ks,
        eta_mm = eta,
        t_mm = ks * kcb * day.eto,
        dp_mm = dp,
        dr_end_mm = dr,
        capillary_rise_mm = rise,
        unmet_mm = unmet,
        irrigation_gross_mm = gross,
        irrigation_loss_mm = gross - net,
        rain_mm = day.rain,
        runoff_mm = day.runoff,
        rain_left_out_mm = left_out
    ]
}

/// Factor on evaporation, open share of the surface, factor on Kcb.
fn floor(given: &Given, date: NaiveDate, mulched: bool, fw: f64) -> (f64, f64, f64) {
    let mulch = &given.mulch;
    if !mulched || date < mulch.laid {
        return (1.0, 1.0, 1.0);
    }
    if mulch.plastic {
        return (1.0, 1.0 - mulch.share, 1.0 - 0.10 * mulch.share);
    }
    let years = f64::from(i32::try_from((date - mulch.laid).num_days()).unwrap()) / 365.25;
    let depth = (mulch.depth_in - mulch.settling_in * years).max(0.0);
    let cover = mulch.share * (depth / mulch.full_depth_in).min(1.0);
    let cover = if mulch.over_wetted { (cover / fw).min(1.0) } else { cover };
    (1.0 - 0.5 * cover, 1.0, 1.0)
}

/// Eq. 6 from the day's measurements; radiation already below a clear sky's.
pub(super) fn penman_monteith(date: NaiveDate, (latitude, z): (f64, f64), [t_max, t_min, ea, rs, u2]: [f64; 5]) -> f64 {
    let e0 = |t: f64| 0.6108 * (17.27 * t / (t + 237.3)).exp();
    let mean = f64::midpoint(t_max, t_min);
    let delta = 4098.0 * e0(mean) / (mean + 237.3).powi(2);
    let gamma = 0.665e-3 * 101.3 * ((293.0 - 0.0065 * z) / 293.0).powf(5.26);
    let es = f64::midpoint(e0(t_max), e0(t_min));
    let fourth = f64::midpoint((t_max + 273.16).powi(4), (t_min + 273.16).powi(4));
    let clear = clear_sky(date, latitude, z);
    let rnl = 4.903e-9 * fourth * (0.34 - 0.14 * ea.sqrt()) * (1.35 * (rs / clear).min(1.0) - 0.35);
    let rn = 0.77 * rs - rnl;
    (0.408 * delta * rn + gamma * 900.0 / (mean + 273.0) * u2 * (es - ea)) / (delta + gamma * (1.0 + 0.34 * u2))
}

/// Eqs. 21 to 25 and 37.
pub(super) fn clear_sky(date: NaiveDate, latitude: f64, z: f64) -> f64 {
    use core::f64::consts::PI;
    let (j, phi) = (f64::from(date.ordinal()), latitude * PI / 180.0);
    let dr = 1.0 + 0.033 * (2.0 * PI * j / 365.0).cos();
    let decl = 0.409 * (2.0 * PI * j / 365.0 - 1.39).sin();
    let ws = (-phi.tan() * decl.tan()).acos();
    let ra = 24.0 * 60.0 / PI * 0.0820 * dr * (ws * phi.sin() * decl.sin() + phi.cos() * decl.cos() * ws.sin());
    (0.75 + 2e-5 * z) * ra
}
