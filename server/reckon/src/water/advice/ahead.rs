//! What is left in the roots on the last day with weather, and when the rule would irrigate next.
//!
//! Advice from records: whoever acts on it looks at the soil first, and the words say so.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use crate::block::Block;
use crate::figure::{Evidence, Figure, RecordRef};
use crate::say;
use crate::season::TensionPoint;
use crate::units::{AcreInches, GallonsPerHour, GallonsUs, Inches, Share};

use super::super::daily::Params;
use super::super::rule::Profile;
use super::super::run::WaterDay;
use super::super::totals::inches;

/// The last sentence of the advice.
pub const CHECK_THE_SOIL: &str = "Advice from records; check the soil first.";
/// Days whose mean need stands for the days to come.
const LATELY: usize = 7;
/// Days ahead beyond which nothing is said.
const HORIZON: u32 = 60;
/// Days without a set after which trees in stress make one think of sets that nobody kept. Common
/// practice, no source.
const UNKEPT_AFTER: i64 = 14;

/// What the records advise on the last day with weather.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterAdvice {
    /// That day.
    pub on: NaiveDate,
    /// Water left in the roots above wilting point.
    pub left: Figure<Inches>,
    /// The same as a share of what the roots can hold.
    pub left_share: Figure<Share>,
    /// Water left before the trees feel it; zero once they do.
    pub before_stress: Figure<Inches>,
    /// Mean crop need of the last seven days, a day.
    pub daily_need: Figure<Inches>,
    /// The next set by the depletion rule; `None` where it calls for none within 60 days.
    pub next_set: Option<NextSet>,
    /// The same in sentences, in order; the last one is [`CHECK_THE_SOIL`].
    pub sentences: Vec<String>,
}

/// The next set if no rain comes and need stays as it was lately.
#[derive(Debug, Clone, PartialEq)]
pub struct NextSet {
    /// The day.
    pub date: NaiveDate,
    /// Depth into the root zone.
    pub net: Figure<Inches>,
    /// Depth at the emitters.
    pub gross: Figure<Inches>,
    /// Volume at the emitters, over the block.
    pub gallons: Figure<GallonsUs>,
    /// Hours to run the block's emitters; `None` where the block does not describe them.
    pub hours: Option<f64>,
}

/// What the advice rests on.
pub(crate) struct Ground<'g> {
    pub(crate) block: &'g Block,
    pub(crate) days: &'g [WaterDay],
    pub(crate) params: &'g Params,
    pub(crate) weather: &'g [RecordRef],
    pub(crate) tension: &'g [TensionPoint],
    /// Days of the sets recorded, whether their water is known or not.
    pub(crate) sets: &'g [NaiveDate],
}

impl Ground<'_> {
    /// The advice; `None` without a day.
    #[expect(clippy::cast_precision_loss, reason = "seven days at most")]
    pub(crate) fn advice(&self) -> Option<WaterAdvice> {
        let last = self.days.last()?;
        let lately = self.days.iter().rev().take(LATELY);
        let need = lately.clone().map(|day| day.etc_mm).sum::<f64>() / lately.len() as f64;
        let left = (last.taw_mm - last.dr_end_mm).max(0.0);
        let share = if last.taw_mm > 0.0 { left / last.taw_mm * 100.0 } else { 0.0 };
        let mut advice = WaterAdvice {
            on: last.date,
            left: self.depth(left),
            left_share: self.depth(0.0).map(Share::of(share)),
            before_stress: self.depth((last.raw_mm - last.dr_end_mm).max(0.0)),
            daily_need: self.depth(need),
            next_set: self.next_set(last, need),
            sentences: Vec::new(),
        };
        advice.sentences = self.sentences(&advice, last);
        Some(advice)
    }

    fn depth(&self, mm: f64) -> Figure<Inches> {
        let lately = self.weather.iter().rev().take(LATELY).copied();
        Figure::new(inches(mm), Evidence::Modelled, lately)
    }

    /// Days until the evening's depletion passes the rule's limit on the eve of a day it may irrigate, then
    /// the set of that day.
    fn next_set(&self, last: &WaterDay, need: f64) -> Option<NextSet> {
        let rule = &self.params.rule;
        let evening = |n: u32| {
            let depletion = (last.dr_end_mm + f64::from(n) * need).min(last.taw_mm);
            Profile { depletion, raw: last.raw_mm, taw: last.taw_mm }
        };
        let after = |n: u32| last.date.checked_add_days(Days::new(u64::from(n) + 1));
        let net_of = |n| after(n).map(|date| (date, rule.net(date, &evening(n))));
        let (date, net) = (0..HORIZON).filter_map(net_of).find(|(_, net)| *net > 0.0)?;
        let gross = self.depth(net / self.params.efficiency);
        let gallons = AcreInches::of(gross.value.get() * self.block.acres.as_f64()).to_gallons();
        Some(NextSet {
            date,
            net: self.depth(net),
            gallons: gross.map(gallons),
            hours: self.block_flow().map(|flow| gallons.get() / flow),
            gross,
        })
    }

    /// Gallons an hour of all emitters of the block.
    fn block_flow(&self) -> Option<f64> {
        let each = self.block.emitter_flow.map(GallonsPerHour::get)? * self.block.emitters_per_tree?;
        Some(each * f64::from(self.block.trees?)).filter(|flow| *flow > 0.0)
    }

    fn sentences(&self, advice: &WaterAdvice, last: &WaterDay) -> Vec<String> {
        let stress = if last.dr_end_mm > last.raw_mm {
            "the trees have less than they take without stress".to_owned()
        } else {
            format!("{:.1} in of it before the trees feel it", advice.before_stress.value.get())
        };
        let left = format!(
            "On {} the balance has {:.1} in left in the roots, {:.0}% of what they hold; {stress}.",
            say::day(advice.on),
            advice.left.value.get(),
            advice.left_share.value.get(),
        );
        let ahead = self.ahead(advice, last);
        let reading = self.tension.iter().rfind(|point| point.date <= advice.on).map(|point| {
            format!(
                "The last tension reading, {} at {:.0} in, was {:.0} kPa: {}.",
                say::day(point.date),
                point.depth.get(),
                point.tension.get(),
                point.band.word()
            )
        });
        [Some(left), self.unkept(last), Some(ahead), reading, Some(CHECK_THE_SOIL.to_owned())]
            .into_iter()
            .flatten()
            .collect()
    }

    /// Trees in stress by the balance, and no set lately: whoever watered has not kept it.
    fn unkept(&self, last: &WaterDay) -> Option<String> {
        let latest = self.sets.iter().filter(|set| **set <= last.date).max();
        let lately = latest.is_some_and(|set| last.date.signed_duration_since(*set).num_days() < UNKEPT_AFTER);
        if lately || last.dr_end_mm <= last.raw_mm {
            return None;
        }
        let recorded = latest.map_or_else(
            || "No set of irrigation is recorded up to that day: if the block was watered".to_owned(),
            |set| format!("The last set recorded is of {}: if the block was watered since", say::day(*set)),
        );
        Some(format!("{recorded}, keep the sets first; its soil then holds more than this."))
    }

    fn ahead(&self, advice: &WaterAdvice, last: &WaterDay) -> String {
        let need = advice.daily_need.value.get();
        let lately = format!("The last {} took {need:.2} in a day", lately_words(self.days.len()));
        let Some(set) = &advice.next_set else {
            let tomorrow = last.date.succ_opt().unwrap_or(last.date);
            let why = if let Some(first) = self.params.rule.begins_after(tomorrow) {
                format!("the season of irrigation set for this block begins on {}", say::day(first))
            } else if self.params.rule.allows(tomorrow) {
                "the depletion rule calls for no set within the next 60 days".to_owned()
            } else {
                "the season of irrigation set for this block is over".to_owned()
            };
            return format!("{lately}; {why}.");
        };
        let hours = set.hours.map_or(String::new(), |hours| format!(", about {hours:.0} hours"));
        format!(
            "{lately}. If no rain comes, the next set is due on {}: {:.1} in into the roots, {:.1} in at the emitters ({} gal{hours}).",
            say::day(set.date),
            set.net.value.get(),
            set.gross.value.get(),
            say::number(hundreds(set.gallons.value)),
        )
    }
}

fn lately_words(days: usize) -> String {
    match days {
        0 | 1 => "day".to_owned(),
        n => format!("{} days", n.min(LATELY)),
    }
}

/// Gallons to the nearest hundred, as nobody opens a valve by the gallon.
#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates")]
fn hundreds(gallons: GallonsUs) -> Decimal {
    Decimal::from((libm::round(gallons.get() / 100.0) as i64).saturating_mul(100))
}

#[cfg(test)]
mod tests;
