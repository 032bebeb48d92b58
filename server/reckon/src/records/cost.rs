//! Costs: where they stand in the statement, how they are shared, and how long what was bought lasts.

use core::fmt;

use chrono::{Datelike, NaiveDate};

use crate::block::{Season, folded};
use crate::exact::Percent;
use crate::money::Money;

/// Where a cost stands in the statement (order of the published cost-and-return studies).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostGroup {
    /// Growing the crop.
    Cultural,
    /// Picking, hauling, packing, selling when invoiced apart from a settlement.
    Harvest,
    /// Marketing and board assessments.
    Assessment,
    /// Interest on operating capital.
    Interest,
    /// Office, insurance, taxes, repairs of investments.
    CashOverhead,
    /// Capital recovery of land, trees, buildings, equipment.
    NonCashOverhead,
}

impl CostGroup {
    /// Every group in statement order.
    pub const ALL: [Self; 6] =
        [Self::Cultural, Self::Harvest, Self::Assessment, Self::Interest, Self::CashOverhead, Self::NonCashOverhead];

    /// The words in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cultural => "cultural",
            Self::Harvest => "harvest",
            Self::Assessment => "assessment",
            Self::Interest => "interest",
            Self::CashOverhead => "cash overhead",
            Self::NonCashOverhead => "non-cash overhead",
        }
    }
}

/// How a cost for a farm or the whole operation goes out to blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SharedBasis {
    /// By acres.
    Acres,
    /// By trees.
    Trees,
    /// By boxes packed in the season.
    Boxes,
    /// By weight packed in the season.
    Weight,
    /// By hours of labor in the season.
    Hours,
    /// By percentages written beside the cost.
    Fixed,
}

impl SharedBasis {
    /// Every basis.
    pub const ALL: [Self; 6] = [Self::Acres, Self::Trees, Self::Boxes, Self::Weight, Self::Hours, Self::Fixed];

    /// The word in a CSV cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Acres => "acres",
            Self::Trees => "trees",
            Self::Boxes => "boxes",
            Self::Weight => "weight",
            Self::Hours => "hours",
            Self::Fixed => "fixed shares",
        }
    }

    /// Whether the weights come from records of the season, and not from the blocks themselves.
    pub const fn follows_records(self) -> bool {
        matches!(self, Self::Boxes | Self::Weight | Self::Hours)
    }
}

/// Percent of each block of a cost shared by [`SharedBasis::Fixed`]: `RB-1=40;RB-2=60`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shares(Vec<(String, Percent)>);

impl Shares {
    /// From block codes and percentages; sorted by code. `None` when a code is blank or stands
    /// twice, a share is below zero, or they do not sum to 100.
    pub fn new(mut parts: Vec<(String, Percent)>) -> Option<Self> {
        parts.sort();
        let twice = parts.iter().zip(parts.iter().skip(1)).any(|(a, b)| a.0 == b.0);
        let odd = parts.iter().any(|(code, share)| code.trim().is_empty() || share.micros() < 0);
        let whole: i64 = parts.iter().map(|(_, share)| share.micros()).fold(0, i64::saturating_add);
        (!twice && !odd && whole == 100_000_000).then_some(Self(parts))
    }

    /// From the text of a CSV cell: `RB-1=40;RB-2=60`. Blank is no shares at all.
    pub fn parse(text: &str) -> Option<Self> {
        if text.trim().is_empty() {
            return Some(Self::default());
        }
        let part = |text: &str| {
            let (code, share) = text.rsplit_once('=')?;
            let share = Percent::new(share.trim().trim_end_matches('%').trim().parse().ok()?).ok()?;
            Some((code.trim().to_owned(), share))
        };
        Self::new(text.trim().trim_end_matches(';').split(';').map(part).collect::<Option<Vec<_>>>()?)
    }

    /// Codes and percentages, by code.
    pub fn parts(&self) -> &[(String, Percent)] {
        &self.0
    }

    /// The percentage of a block, by its code as [`folded`]; zero where it is not named.
    pub fn of(&self, code: &str) -> Percent {
        let code = folded(code);
        let named = self.0.iter().filter(|(named, _)| folded(named) == code);
        named.map(|(_, share)| *share).sum()
    }

    /// Nothing is said.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// As a CSV cell holds it.
impl fmt::Display for Shares {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, (code, share)) in self.0.iter().enumerate() {
            let between = if n > 0 { ";" } else { "" };
            write!(f, "{between}{code}={share}")?;
        }
        Ok(())
    }
}

/// How long what was bought lasts, and at which interest: each season of its life bears its capital
/// recovery, never the whole price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lasting {
    /// Seasons it is used, the one of purchase first.
    pub life_years: u32,
    /// What it will be worth after them; the price itself for land.
    pub salvage: Money,
    /// Interest, percent a year.
    pub rate: Percent,
}

impl Lasting {
    /// Whether something bought on this day is within its life in a season.
    pub fn reaches(&self, bought: NaiveDate, season: &Season) -> bool {
        let years = season.last_day.year().saturating_sub(bought.year());
        let before = (season.last_day.month(), season.last_day.day()) < (bought.month(), bought.day());
        let whole = if before { years.saturating_sub(1) } else { years };
        bought <= season.last_day && i64::from(whole) < i64::from(self.life_years)
    }
}

/// An invoice or other cost. Negative amounts are credits.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Date of the invoice.
    pub date: NaiveDate,
    /// Who was paid; may be empty.
    pub payee: String,
    /// What for, in the user's words: "fuel", "materials", "custom work".
    pub category: String,
    /// Where it stands in the statement.
    pub group: CostGroup,
    /// Whole amount of the invoice; the purchase price of what lasts.
    pub amount: Money,
    /// How it is shared when it is for a farm or the operation.
    pub basis: SharedBasis,
    /// The percentages of [`SharedBasis::Fixed`]; empty otherwise.
    pub shares: Shares,
    /// For what is used over several seasons; `None` for what belongs to this one.
    pub lasting: Option<Lasting>,
    /// Free text.
    pub note: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_read_back_and_sum_to_a_hundred() {
        let shares = Shares::parse(" RB-2 = 59.5% ; RB-1=40.5;").unwrap();
        assert_eq!(shares.to_string(), "RB-1=40.5;RB-2=59.5");
        assert_eq!(Shares::parse(&shares.to_string()), Some(shares.clone()));
        assert_eq!(shares.of("RB-1").to_string(), "40.5");
        assert!(shares.of("RB-3").is_zero());
        assert_eq!(shares.of(" rb-1"), shares.of("RB-1"), "capitals do not matter");
        for wrong in ["RB-1=40;RB-2=50", "RB-1=50;RB-1=50", "=100", "RB-1", "RB-1=140;RB-2=-40", "RB-1=x"] {
            assert_eq!(Shares::parse(wrong), None, "{wrong}");
        }
        assert!(Shares::parse("  ").unwrap().is_empty());
    }

    #[test]
    fn a_life_of_n_years_is_n_seasons() {
        let lasting = Lasting { life_years: 3, salvage: Money::ZERO, rate: Percent::ZERO };
        let bought = NaiveDate::from_ymd_opt(2024, 6, 1).unwrap();
        let seasons: Vec<i32> =
            (2020..2030).filter(|year| lasting.reaches(bought, &Season::calendar_year(*year).unwrap())).collect();
        assert_eq!(seasons, [2024, 2025, 2026]);
    }
}
