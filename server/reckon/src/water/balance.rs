//! The balance of a season: four runs, and the figures made from them.

use crate::figure::{Evidence, Figure, Gap, RecordKind, RecordRef};
use crate::money::Money;
use crate::season::{MulchSaving, Saving, SeasonRecords, WaterSeason};
use crate::units::{AcreInches, AcreInchesPerAcre, GallonsPerTree, Inches, Share};

use super::applied;
use super::daily::{DayInput, Floor, Params, Supply, run};
use super::layers::Layers;
use super::prepare::{Prepared, prepare};
use super::resolve::Resolved;
use super::run::WaterRuns;
use super::sets::KnownSet;
use super::setup::Setting;
use super::totals::{Totals, inches, weeks};
use super::{advice, months, sentence, tension};
use crate::rates::Rates;

/// Makes the balance, where the weather allows one, and fills in everything that rests on it.
pub(crate) fn fill(season: &mut WaterSeason, sets: &[KnownSet], records: &SeasonRecords, gaps: &mut Vec<Gap>) {
    let resolved = Resolved::of(&records.block);
    let layers = Layers::of(records, &resolved);
    let Some(prepared) = prepare(records, &resolved, sets, &layers, gaps) else { return };
    let (Some(first), Some(last)) = (prepared.days.first(), prepared.days.last()) else { return };
    let span = (first.date, last.date);
    let params = Params::of(&resolved, first.root_depth_m);
    let mulched = layers.any_within(span.0, span.1);
    let runs = four_runs(&prepared.days, &params, mulched);
    let own = Totals::of(&runs.as_irrigated);
    let how = advice::known(records, &resolved);
    figures(season, &own, &prepared, (params.efficiency, how), sets);
    season.span = Some(span);
    season.weeks = weeks(&runs.as_irrigated, &runs.as_irrigated_bare);
    season.months = months::months(&runs.as_irrigated, params.p);
    season.rain_check = months::check(&season.months, &prepared.weather);
    season.tension = tension::points(records, &runs.as_irrigated);
    let set_days: Vec<_> = records.irrigation.iter().map(|kept| kept.record.date).collect();
    let ground = advice::Ground {
        block: &records.block,
        days: &runs.as_irrigated,
        params: &params,
        weather: &prepared.weather,
        tension: &season.tension,
        sets: &set_days,
    };
    season.advice = ground.advice();
    if mulched {
        let view = View { records, resolved: &resolved, days: &prepared.days, params: &params, runs: &runs };
        season.saving = Some(view.saving(layers.on(span.1).covered));
    }
    gaps.extend(advice::assumptions(records, &resolved, &prepared));
    gaps.extend(advice::outside_span(records, sets, span));
    gaps.extend(advice::sets(records, sets, &runs));
    gaps.extend(tension::disagreement(records, &runs.as_irrigated));
    gaps.extend(advice::mulch(records, season.saving.as_ref()));
    season.runs = Some(runs);
}

fn four_runs(days: &[DayInput], params: &Params, mulched: bool) -> WaterRuns {
    let as_irrigated_bare = run(days, params, Floor::Bare, Supply::Recorded);
    let by_rule_bare = run(days, params, Floor::Bare, Supply::Rule);
    if !mulched {
        let (as_irrigated, by_rule) = (as_irrigated_bare.clone(), by_rule_bare.clone());
        return WaterRuns { as_irrigated, as_irrigated_bare, by_rule, by_rule_bare };
    }
    let as_irrigated = run(days, params, Floor::Mulched(1.0), Supply::Recorded);
    let by_rule = run(days, params, Floor::Mulched(1.0), Supply::Rule);
    WaterRuns { as_irrigated, as_irrigated_bare, by_rule, by_rule_bare }
}

/// Depths and shares over the span.
fn figures(
    season: &mut WaterSeason,
    own: &Totals,
    prepared: &Prepared,
    (efficiency, how): (f64, Evidence),
    sets: &[KnownSet],
) {
    let weather = &prepared.weather;
    let modelled = |mm: f64| Some(Figure::new(inches(mm), how, weather.iter().copied()));
    season.eto_sources.clone_from(&prepared.eto_sources);
    season.eto = Some(Figure::new(inches(own.eto), Evidence::Modelled, weather.iter().copied()));
    season.need = modelled(own.need);
    season.used = modelled(own.used);
    season.rain = Some(Figure::new(inches(own.rain), Evidence::Metered, weather.iter().copied()));
    season.rain_kept = modelled(own.rain_kept);
    season.drained = modelled(own.drained);
    let all = || weather.iter().copied().chain(sets.iter().map(|set| set.record));
    let share = |part: f64, whole: f64| (whole > 0.0).then(|| Figure::new(Share::of(part / whole * 100.0), how, all()));
    season.met = share(own.net + own.rain_kept, own.need);
    season.applied_of_need = share(own.gross, (own.need - own.rain_kept) / efficiency);
}

/// What the savings are read from.
struct View<'v> {
    records: &'v SeasonRecords,
    resolved: &'v Resolved,
    days: &'v [DayInput],
    params: &'v Params,
    runs: &'v WaterRuns,
}

impl View<'_> {
    fn saving(&self, covered: f64) -> MulchSaving {
        let mulched = Totals::of(&self.runs.as_irrigated);
        let bare = Totals::of(&self.runs.as_irrigated_bare);
        let rule_mulched = Totals::of(&self.runs.by_rule);
        let rule_bare = Totals::of(&self.runs.by_rule_bare);
        let avoided = bare.evaporation - mulched.evaporation;
        let extra_drained = mulched.drained - bare.drained;
        // Less irrigation, and what is left in the profile or drained, as water at the emitter.
        let not_needed = (rule_bare.net - rule_mulched.net)
            + (rule_bare.depletion - rule_mulched.depletion)
            + (rule_mulched.drained - rule_bare.drained);
        MulchSaving {
            avoided: self.in_all_units(avoided, bare.need),
            kept: self.in_all_units(avoided - extra_drained, bare.need),
            kept_range: self.kept_range(avoided - extra_drained),
            range_of: (Share::of(100.0 * self.doubts().0), Share::of(100.0 * self.doubts().1)),
            not_needed: self.in_all_units(not_needed / self.params.efficiency, rule_bare.need),
            extra_drained: Figure::new(inches(extra_drained), self.known(), self.refs()),
            covered: Figure::new(Share::of(covered * 100.0), Evidence::Counted, self.mulch_refs()),
        }
    }

    /// The kept water had the mulch been weaker or stronger and the soil held less or more to
    /// evaporate, each by its uncertainty. A stronger mulch may keep less where the sets drain it, so
    /// the ends are the least and the most of the four and of the rule as published.
    fn kept_range(&self, as_published: f64) -> (Inches, Inches) {
        let (mulch, soil) = self.doubts();
        let mut range = (as_published, as_published);
        for evaporable in [1.0 - soil, 1.0 + soil] {
            let params = self.params.with_evaporable(evaporable);
            let totals = |floor| Totals::of(&run(self.days, &params, floor, Supply::Recorded));
            let bare = totals(Floor::Bare);
            for strength in [1.0 - mulch, 1.0 + mulch] {
                let other = totals(Floor::Mulched(strength));
                let kept = bare.evaporation - other.evaporation - (other.drained - bare.drained);
                range = (range.0.min(kept), range.1.max(kept));
            }
        }
        (inches(range.0), inches(range.1))
    }

    /// Uncertainty of the mulch rule and of the evaporable water, as fractions.
    fn doubts(&self) -> (f64, f64) {
        let doubt = |setting| self.resolved.number(setting) / 100.0;
        (doubt(Setting::MulchUncertaintyPct), doubt(Setting::EvaporationUncertaintyPct))
    }

    /// One saving in every unit the report prints.
    fn in_all_units(&self, mm: f64, bare_need_mm: f64) -> Saving {
        let depth = Figure::new(inches(mm), self.known(), self.refs());
        let volume = AcreInches::of(depth.value.get() * self.records.block.acres.as_f64());
        let gallons = volume.to_gallons();
        let trees = self.records.block.trees.filter(|trees| *trees > 0).map(f64::from);
        let worth = applied::worth(gallons, self.records.season.last_day, Rates::new(&self.records.rates));
        Saving {
            acre_inches_per_acre: depth.map(AcreInchesPerAcre::of(depth.value.get())),
            acre_inches: depth.map(volume),
            gallons: depth.map(gallons),
            gallons_per_tree: trees.map(|trees| depth.map(GallonsPerTree::of(gallons.get() / trees))),
            worth: worth.and_then(|exact| Money::round(exact).ok()).map(|money| depth.map(money)),
            share_of_need: (bare_need_mm > 0.0).then(|| depth.map(Share::of(mm / bare_need_mm * 100.0))),
            depth,
        }
    }

    fn known(&self) -> Evidence {
        advice::known(self.records, self.resolved)
    }

    fn mulch_refs(&self) -> impl Iterator<Item = RecordRef> {
        self.records.mulch.iter().map(|kept| RecordRef { kind: RecordKind::Mulch, id: kept.id })
    }

    /// Mulch and sets; the weather behind them is with the need.
    fn refs(&self) -> impl Iterator<Item = RecordRef> {
        self.mulch_refs().chain(self.records.irrigation.iter().map(sentence::set_ref))
    }
}
