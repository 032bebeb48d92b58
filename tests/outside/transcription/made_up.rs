//! A season made up from a number, and its files.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use chrono::{Days, NaiveDate};

use super::paper::{self, Day, Given, Mulch};

/// A small generator with a fixed seed (`SplitMix64`), so that a failure can be looked at again.
struct Chance(u64);

impl Chance {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        f64::from(u32::try_from((z ^ (z >> 31)) >> 32).unwrap()) / 4_294_967_296.0
    }

    /// With four decimals, as people write.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        four(low + self.unit() * (high - low))
    }

    fn whole(&mut self, low: f64, high: f64) -> f64 {
        self.between(low, high).round()
    }

    fn yes(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    fn maybe(&mut self, share: f64, low: f64, high: f64) -> Option<f64> {
        let value = self.between(low, high);
        self.yes(share).then_some(value)
    }
}

/// Four decimals: what a sum of two such numbers is written as.
fn four(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

/// A made-up season.
pub(super) struct MadeUp {
    pub(super) given: Given,
    pub(super) days: Vec<Day>,
    /// Reference ET from temperature, radiation, vapour pressure and wind, not from the station.
    pub(super) by_energy: bool,
    weather: String,
    canopy: String,
    irrigation: String,
}

const PLACE: (f64, f64) = (38.25, 1_210.0);

fn first_day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 2, 10).unwrap()
}

impl MadeUp {
    pub(super) fn of(seed: u64) -> Self {
        let mut chance = Chance(seed);
        let given = given(&mut chance);
        let by_energy = chance.yes(0.4);
        let canopy_by_day = chance.yes(0.3);
        let every = chance.whole(3.0, 14.0);
        let mut made = Self {
            given,
            days: Vec::new(),
            by_energy,
            weather: if by_energy {
                "date,tmax_c,tmin_c,vapour_pressure_kpa,solar_mj_m2,wind_m_s,rh_min_pct,rain_mm,runoff_mm".to_owned()
            } else {
                "date,eto_mm,wind_m_s,rh_min_pct,rain_mm,runoff_mm".to_owned()
            },
            canopy: "date,kcb,ground_cover".to_owned(),
            irrigation: "date,depth_in".to_owned(),
        };
        for n in 0..270_u32 {
            let date = first_day() + Days::new(u64::from(n));
            made.day(&mut chance, date, canopy_by_day, f64::from(n) % every < 0.5 && n > 40);
        }
        made
    }

    fn day(&mut self, chance: &mut Chance, date: NaiveDate, canopy_by_day: bool, irrigated: bool) {
        let u2 = chance.between(0.5, 7.0);
        let rh_min = chance.between(8.0, 90.0);
        let rain = if chance.yes(0.2) { chance.between(0.1, 45.0) } else { 0.0 };
        let rain = if chance.yes(0.1) { chance.between(0.0, 2.0) } else { rain };
        let runoff = if chance.yes(0.2) { (rain * chance.between(0.0, 0.5) * 1e4).floor() / 1e4 } else { 0.0 };
        let _ = write!(self.weather, "\n{date},");
        let eto = if self.by_energy {
            let t_min = chance.between(-6.0, 18.0);
            let t_max = four(t_min + chance.between(4.0, 20.0));
            let vapour = chance.between(0.2, 0.36);
            let solar = (paper::clear_sky(date, PLACE.0, PLACE.1) * chance.between(0.35, 0.98) * 1e4).floor() / 1e4;
            let _ = write!(self.weather, "{t_max},{t_min},{vapour},{solar},");
            paper::penman_monteith(date, PLACE, [t_max, t_min, vapour, solar, u2]).max(0.0)
        } else {
            let eto = chance.between(0.2, 10.0);
            let _ = write!(self.weather, "{eto},");
            eto
        };
        let _ = write!(self.weather, "{u2},{rh_min},{rain},{runoff}");
        let (kcb, fc) = if canopy_by_day {
            let (kcb, fc) = (chance.between(0.1, 1.1), chance.between(0.0, 0.9));
            let _ = write!(self.canopy, "\n{date},{kcb},{fc}");
            (Some(kcb), Some(fc))
        } else {
            (None, None)
        };
        let inches = if irrigated { chance.between(0.2, 3.0) } else { 0.0 };
        if irrigated {
            let _ = write!(self.irrigation, "\n{date},{inches}");
        }
        self.days.push(Day { date, eto, rain, runoff, u2, rh_min, gross: inches * 25.4, kcb, fc });
    }

    pub(super) fn files(&self) -> BTreeMap<String, Vec<u8>> {
        let mulch = &self.given.mulch;
        let kind = if mulch.plastic { "plastic" } else { "organic" };
        let laid = format!(
            "date,material,kind,depth_in,share_pct,life_years\n{},straw,{kind},{},{},5\n",
            mulch.laid,
            mulch.depth_in,
            (mulch.share * 100.0).round()
        );
        let mut files = BTreeMap::from([
            ("block.toml".to_owned(), self.block_toml()),
            ("weather.csv".to_owned(), self.weather.clone()),
            ("irrigation.csv".to_owned(), self.irrigation.clone()),
            ("mulch.csv".to_owned(), laid),
        ]);
        if self.days.iter().any(|day| day.kcb.is_some()) {
            files.insert("canopy.csv".to_owned(), self.canopy.clone());
        }
        files.into_iter().map(|(name, text)| (name, text.into_bytes())).collect()
    }

    fn block_toml(&self) -> String {
        let (latitude, elevation) = PLACE;
        let mut text = format!(
            "[farm]\nname = \"Station\"\nlatitude_deg = {latitude}\nelevation_m = {elevation}\n\n\
             [block]\nblock = \"M-1\"\ncrop = \"peach\"\nvariety = \"none\"\nacres = 12.5\ntrees = 1500\n\n\
             [season]\nyear = 2026\n\n[water]\n"
        );
        for (name, value) in settings(&self.given) {
            let _ = writeln!(text, "{name} = {value}");
        }
        text
    }
}

fn given(chance: &mut Chance) -> Given {
    let theta_wp = chance.between(0.03, 0.22);
    let rew = chance.between(2.0, 12.0);
    let tew = four(rew + chance.between(2.0, 20.0));
    let zr_max = chance.between(0.5, 2.2);
    let h_max = chance.between(1.0, 5.0);
    let kcb_ini = chance.between(0.15, 0.6);
    let kcb = [kcb_ini, four(kcb_ini + chance.between(0.2, 0.6)), chance.between(0.3, 0.9)];
    let flags: Vec<bool> = (0..8).map(|_| chance.yes(0.5)).collect();
    let on = |n: usize| flags[n];
    let trigger_mm = chance.maybe(0.5, 5.0, 50.0);
    let trigger_taw = chance.maybe(0.3, 0.1, 0.6);
    let own_limit = trigger_mm.is_some() || trigger_taw.is_some();
    Given {
        theta_fc: four(theta_wp + chance.between(0.05, 0.2)),
        theta_wp,
        zr: (if on(0) { four(zr_max * 0.5) } else { zr_max }, zr_max),
        height: (if on(1) { four(h_max * 0.5) } else { h_max }, h_max),
        p: chance.between(0.2, 0.7),
        p_follows: on(2),
        rew,
        tew,
        de_first: if on(3) { 0.0 } else { chance.between(0.0, tew) },
        dr_first: chance.between(0.0, 60.0),
        fw_first: chance.between(0.1, 1.0),
        kcb,
        kcb_dormant: chance.between(0.0, 0.5),
        adjust: on(4),
        first_day: chance.whole(0.0, 1.0),
        stages: [(5.0, 40.0), (10.0, 70.0), (20.0, 120.0), (10.0, 50.0)].map(|(low, high)| chance.whole(low, high)),
        start: (3, 5),
        cover: on(5).then(|| [chance.between(0.0, 0.3), chance.between(0.3, 0.9), chance.between(0.1, 0.6)]),
        kc_min: chance.between(0.0, 0.15),
        kc_max_base: chance.between(1.05, 1.25),
        fw: chance.maybe(0.7, 0.2, 0.9).unwrap_or(1.0),
        shaded: chance.yes(0.3),
        efficiency: chance.whole(50.0, 100.0) / 100.0,
        rain_wets_all: chance.between(0.0, 5.0),
        light_rain: chance.maybe(0.5, 0.05, 0.4).unwrap_or(0.0),
        wet_early: on(6),
        erratum: on(7),
        capillary: chance.maybe(0.3, 0.1, 3.0).unwrap_or(0.0),
        trigger_mm,
        trigger_taw,
        trigger_raw: chance.maybe(0.4, 0.3, 1.2).or((!own_limit).then_some(1.0)),
        net: chance.maybe(0.6, 5.0, 45.0),
        window: (415, 930),
        mulch: mulch(chance),
    }
}

fn mulch(chance: &mut Chance) -> Mulch {
    let share = chance.whole(1.0, 100.0) / 100.0;
    Mulch {
        laid: first_day() + Days::new(if chance.yes(0.5) { 0 } else { 60 }),
        plastic: chance.yes(0.25),
        share,
        depth_in: chance.between(0.5, 6.0),
        settling_in: chance.maybe(0.5, 0.2, 4.0).unwrap_or(0.0),
        full_depth_in: chance.between(1.0, 4.0),
        over_wetted: chance.yes(0.3),
    }
}

/// The same as settings of `block.toml`.
fn settings(given: &Given) -> Vec<(&'static str, f64)> {
    let switch = |on: bool| if on { 1.0 } else { 0.0 };
    let [kcb_ini, kcb_mid, kcb_end] = given.kcb;
    let [initial, development, mid, late] = given.stages;
    let always = [
        ("field_capacity", given.theta_fc),
        ("wilting_point", given.theta_wp),
        ("root_depth_m", given.zr.1),
        ("root_depth_min_m", given.zr.0),
        ("height_m", given.height.1),
        ("height_min_m", given.height.0),
        ("depletion_fraction", given.p),
        ("depletion_fraction_follows_etc", switch(given.p_follows)),
        ("rew_mm", given.rew),
        ("tew_mm", given.tew),
        ("initial_surface_depletion_mm", given.de_first),
        ("initial_depletion_mm", given.dr_first),
        ("initial_wetted_fraction", given.fw_first),
        ("kcb_ini", kcb_ini),
        ("kcb_mid", kcb_mid),
        ("kcb_end", kcb_end),
        ("kcb_dormant", given.kcb_dormant),
        ("kcb_climate_adjustment", switch(given.adjust)),
        ("curve_first_day", given.first_day),
        ("initial_days", initial),
        ("development_days", development),
        ("mid_days", mid),
        ("late_days", late),
        ("growth_start_month", f64::from(given.start.0)),
        ("growth_start_day", f64::from(given.start.1)),
    ];
    always.into_iter().chain(conventions(given)).chain(sometimes(given)).collect()
}

fn conventions(given: &Given) -> [(&'static str, f64); 15] {
    let switch = |on: bool| if on { 1.0 } else { 0.0 };
    [
        ("kc_min", given.kc_min),
        ("kc_max_base", given.kc_max_base),
        ("wetted_fraction", given.fw),
        ("wetted_fraction_shaded", switch(given.shaded)),
        ("application_efficiency_pct", (given.efficiency * 100.0).round()),
        ("rain_wets_all_mm", given.rain_wets_all),
        ("light_rain_of_eto", given.light_rain),
        ("wetting_first", switch(given.wet_early)),
        ("rain_with_irrigation_wets_all", switch(given.erratum)),
        ("capillary_rise_mm", given.capillary),
        ("rule_first_month_day", f64::from(given.window.0)),
        ("rule_last_month_day", f64::from(given.window.1)),
        ("mulch_settling_in_per_year", given.mulch.settling_in),
        ("mulch_full_depth_in", given.mulch.full_depth_in),
        ("mulch_over_wetted_first", switch(given.mulch.over_wetted)),
    ]
}

fn sometimes(given: &Given) -> Vec<(&'static str, f64)> {
    let cover = given.cover.map(|cover| ["cover_ini", "cover_mid", "cover_end"].into_iter().zip(cover));
    let maybe = [
        ("rule_depletion_mm", given.trigger_mm),
        ("rule_depletion_of_raw", given.trigger_raw),
        ("rule_depletion_of_taw", given.trigger_taw),
        ("rule_net_mm", given.net),
    ];
    let maybe = maybe.into_iter().filter_map(|(name, value)| Some((name, value?)));
    maybe.chain(cover.into_iter().flatten()).collect()
}

/// Which corners the seasons went through: a test that never meets stress tests no stress.
#[derive(Default)]
pub(super) struct Seen {
    stress: usize,
    drained: usize,
    unmet: usize,
    growing: usize,
    early: usize,
    plastic: usize,
    by_rule: usize,
}

impl Seen {
    pub(super) fn add(&mut self, made_up: &MadeUp) {
        let given = &made_up.given;
        let rows = paper::run(given, &made_up.days, true, false);
        let any = |column: &str, test: fn(f64) -> bool| {
            usize::from(rows.iter().any(|(_, row)| row.iter().any(|(name, value)| *name == column && test(*value))))
        };
        self.stress += any("ks", |ks| ks < 0.9);
        self.drained += any("dp_mm", |mm| mm > 0.0);
        self.unmet += any("unmet_mm", |mm| mm > 0.0);
        self.growing += usize::from(given.zr.0 < given.zr.1);
        self.early += usize::from(given.wet_early);
        self.plastic += usize::from(given.mulch.plastic);
        let by_rule = paper::run(given, &made_up.days, false, true);
        let sets =
            by_rule.iter().any(|(_, row)| row.iter().any(|(name, mm)| *name == "irrigation_gross_mm" && *mm > 0.0));
        self.by_rule += usize::from(sets);
    }

    pub(super) fn check(&self) {
        for (what, n) in [
            ("stress", self.stress),
            ("drainage", self.drained),
            ("an empty root zone", self.unmet),
            ("growing roots", self.growing),
            ("wetting first", self.early),
            ("plastic", self.plastic),
            ("sets by the rule", self.by_rule),
        ] {
            println!("{what} in {n} seasons");
            assert!(n >= 5, "{what} in {n} seasons only");
        }
    }
}
