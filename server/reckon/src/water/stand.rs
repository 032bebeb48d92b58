//! The trees through the season: coefficient, cover, height and roots of each day.

use chrono::NaiveDate;

use crate::block::MonthDay;
use crate::figure::Kept;
use crate::records::CanopyDay;

use super::air::Air;
use super::canopy::{self, Stage, Stages};
use super::params;
use super::preset;
use super::resolve::Resolved;
use super::setup::Setting;

/// The trees on a day, as the balance takes them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stand {
    pub(super) kcb: f64,
    pub(super) kc_max_climate: f64,
    pub(super) cover: f64,
    pub(super) root_depth_m: f64,
}

/// The trees on each day of the weather.
pub(super) fn stands(canopy: &[Kept<CanopyDay>], resolved: &Resolved, air: &[Air]) -> Vec<Stand> {
    let written = written(canopy, air);
    let height = |written: &Written| written.height_m.unwrap_or_else(|| resolved.number(Setting::HeightM));
    let mut curve = Curve::of(resolved);
    if resolved.is_on(Setting::KcbClimateAdjustment) {
        curve.adjust(air, written.iter().map(height));
    }
    let kc_max_base = resolved.number(Setting::KcMaxBase);
    let mut growing = Growing::of(resolved);
    let stand = |(day, written): (&Air, &Written)| {
        let of_curve = curve.kcb(day.date);
        let kcb = written.kcb.unwrap_or(of_curve);
        let grown = growing.on(&curve, of_curve, kcb);
        let height_m = written.height_m.unwrap_or(grown.height_m);
        let kc_max_climate = canopy::kc_max_climate(kc_max_base, day.wind, day.humidity, height_m);
        let kc_max = kc_max_climate.max(kcb + 0.05);
        let cover = written.cover.unwrap_or_else(|| curve.fc(day.date, kcb, kc_max, height_m));
        Stand { kcb, kc_max_climate, cover, root_depth_m: written.root_depth_m.unwrap_or(grown.root_depth_m) }
    };
    air.iter().zip(&written).map(stand).collect()
}

/// A day's canopy as somebody wrote it down.
#[derive(Debug, Clone, Copy, Default)]
struct Written {
    kcb: Option<f64>,
    cover: Option<f64>,
    height_m: Option<f64>,
    root_depth_m: Option<f64>,
}

/// Canopy of each day: the latest entry on or before it, field by field; of several of one day the
/// largest value.
fn written(canopy: &[Kept<CanopyDay>], air: &[Air]) -> Vec<Written> {
    let mut entries: Vec<&Kept<CanopyDay>> = canopy.iter().collect();
    entries.sort_by_key(|kept| kept.record.date);
    let mut rest = entries.chunk_by(|one, next| one.record.date == next.record.date).peekable();
    let mut stand = Written::default();
    let on_day = |day: &Air| {
        while let Some(own) = rest.next_if(|own| own.first().is_some_and(|kept| kept.record.date <= day.date)) {
            let largest =
                |of: fn(&CanopyDay) -> Option<f64>| own.iter().filter_map(|kept| of(&kept.record)).reduce(f64::max);
            stand.kcb = largest(|entry| entry.kcb).or(stand.kcb);
            stand.cover = largest(|entry| entry.ground_cover).or(stand.cover);
            stand.height_m = largest(|entry| entry.height_m).or(stand.height_m);
            stand.root_depth_m = largest(|entry| entry.root_depth_m).or(stand.root_depth_m);
        }
        stand
    };
    air.iter().map(on_day).collect()
}

/// Roots and height, which may grow with Kcb and never shrink.
#[derive(Clone, Copy)]
struct Growing {
    roots: [f64; 2],
    height: [f64; 2],
    root_depth_m: f64,
    height_m: f64,
}

impl Growing {
    fn of(resolved: &Resolved) -> Self {
        let range = |least, most| {
            let most = resolved.number(most);
            [resolved.value(least).unwrap_or(most).min(most), most]
        };
        let roots = range(Setting::RootDepthMinM, Setting::RootDepthM);
        let height = range(Setting::HeightMinM, Setting::HeightM);
        let ([root_depth_m, _], [height_m, _]) = (roots, height);
        Self { roots, height, root_depth_m, height_m }
    }

    /// Roots follow the curve, height the day's own Kcb.
    fn on(&mut self, curve: &Curve, of_curve: f64, kcb: f64) -> Self {
        let [ini, mid, _] = curve.kcb;
        self.root_depth_m = self.root_depth_m.max(canopy::grown(of_curve, [ini, mid], self.roots));
        self.height_m = self.height_m.max(canopy::grown(kcb, [ini, mid], self.height));
        *self
    }
}

/// Sums for the mean climate of a stage.
#[derive(Default)]
struct StageClimate {
    days: f64,
    wind: f64,
    humidity: f64,
    height: f64,
}

impl StageClimate {
    fn add(&mut self, day: &Air, height_m: f64) {
        self.days += 1.0;
        self.wind += day.wind;
        self.humidity += day.humidity;
        self.height += height_m;
    }

    /// The climatic term of the stage's means; none without a day in it.
    fn term(&self) -> f64 {
        if self.days < 1.0 {
            return 0.0;
        }
        canopy::climate(self.wind / self.days, self.humidity / self.days, self.height / self.days)
    }
}

/// The curve of a block with its climate-adjusted values.
struct Curve {
    stages: Stages,
    start: Option<MonthDay>,
    first_day: f64,
    kcb: [f64; 3],
    dormant: f64,
    cover: Option<[f64; 3]>,
    kc_min: f64,
}

impl Curve {
    fn of(resolved: &Resolved) -> Self {
        let number = |setting| resolved.number(setting);
        let kcb = [number(Setting::KcbIni), number(Setting::KcbMid), number(Setting::KcbEnd)];
        Self {
            stages: params::stages(resolved),
            start: params::growth_start(resolved),
            first_day: if resolved.is_on(Setting::CurveFirstDay) { 1.0 } else { 0.0 },
            kcb,
            dormant: number(Setting::KcbDormant),
            cover: cover(resolved),
            kc_min: number(Setting::KcMin),
        }
    }

    /// Days since the curve started, from 0.
    #[expect(clippy::cast_precision_loss, reason = "less than 366")]
    fn since(&self, date: NaiveDate) -> Option<f64> {
        canopy::days_since(self.start?, date).map(|days| days as f64)
    }

    fn adjust(&mut self, air: &[Air], heights: impl Iterator<Item = f64>) {
        let (mut mid, mut late) = (StageClimate::default(), StageClimate::default());
        for (day, height_m) in air.iter().zip(heights) {
            match self.since(day.date).and_then(|since| self.stages.stage(since + 1.0)) {
                Some(Stage::Mid) => mid.add(day, height_m),
                Some(Stage::Late) => late.add(day, height_m),
                None => {}
            }
        }
        let [ini, tab_mid, tab_end] = self.kcb;
        self.kcb = [ini, canopy::adjusted(tab_mid, mid.term()), canopy::adjusted(tab_end, late.term())];
    }

    fn kcb(&self, date: NaiveDate) -> f64 {
        let day = self.since(date).map(|since| since + self.first_day);
        day.and_then(|i| self.stages.along(i, self.kcb)).unwrap_or(self.dormant)
    }

    /// Cover of a day: the trapezoid on days counted from 1, the initial value outside it; or by
    /// eq. 76 where no cover is set.
    fn fc(&self, date: NaiveDate, kcb: f64, kc_max: f64, height_m: f64) -> f64 {
        let Some(cover) = self.cover else {
            return canopy::cover_from_kcb(kcb, self.kc_min, kc_max, height_m);
        };
        let [ini, ..] = cover;
        self.since(date).and_then(|since| self.stages.along(since + 1.0, cover)).unwrap_or(ini)
    }
}

/// The cover trapezoid, once any of its values is set; the others follow from it, assumed.
fn cover(resolved: &Resolved) -> Option<[f64; 3]> {
    let [ini, mid, end] =
        [Setting::CoverIni, Setting::CoverMid, Setting::CoverEnd].map(|setting| resolved.value(setting));
    let mid = mid.or(end).or(ini)?;
    let [(_, at_first), ..] = preset::COVER_BY_STAGE;
    Some([ini.unwrap_or(mid.min(at_first)), mid, end.unwrap_or(mid)])
}
