//! The four figures a block season is known by.

use reckon::exact::unit;
use reckon::figure::{Evidence, Figure};
use reckon::money::{Money, UnitPrice};
use reckon::season::{BlockSeason, Statement, StatementKey};
use reckon::units::{AcreInchesPerAcre, Measure};

use crate::figures;

/// One headline figure as it is printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Headline {
    /// What it is: "Thinning labor".
    pub label: &'static str,
    /// The number, or what stands in its place: `$8.42`, `bare`, `–`.
    pub number: String,
    /// The unit after it: "a tree"; empty where there is no number.
    pub unit: &'static str,
    /// How it is known; `None` where there is no figure.
    pub evidence: Option<Evidence>,
    /// Number of records behind it.
    pub n: usize,
    /// Why there is no figure, or only a part of one.
    pub lack: Lack,
}

/// Why a headline has no figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// It has one.
    Nothing,
    /// Records are missing.
    Records,
    /// The block has no mulch.
    Mulch,
    /// It has one, of costs alone: nothing is sold or priced.
    Unsold,
    /// The records come to more than money can hold.
    TooLarge,
}

/// Beside a return that has no sale in it yet.
pub const COSTS_ONLY: &str = "nothing sold yet: costs only";

/// Thinning labor, water kept by the mulch, price of all grades, return an acre.
pub fn headlines(season: &BlockSeason) -> [Headline; 4] {
    [thinning_line(season), kept_line(season), price_line(season), return_line(season)]
}

/// Thinning cost for each tree treated.
pub fn thinning(season: &BlockSeason) -> Option<&Figure<UnitPrice<unit::Tree>>> {
    season.labor.thinning.as_ref()?.cost_per_tree.as_ref()
}

/// Water kept by the mulch, on each acre.
pub fn kept(season: &BlockSeason) -> Option<&Figure<AcreInchesPerAcre>> {
    season.water.saving.as_ref().map(|saving| &saving.kept.acre_inches_per_acre)
}

/// Return over all costs for each acre.
pub fn return_per_acre(season: &BlockSeason) -> Option<Figure<UnitPrice<unit::Acre>>> {
    let line = season.statement.line(StatementKey::OverAll)?;
    line.per_acre.map(|price| line.amount.map(price))
}

fn thinning_line(season: &BlockSeason) -> Headline {
    let label = "Thinning labor";
    thinning(season).map_or_else(
        || Headline::absent(label, figures::NOT_KNOWN, Lack::Records),
        |price| Headline::price(label, price, 2, "a tree"),
    )
}

fn kept_line(season: &BlockSeason) -> Headline {
    let label = "Kept by the mulch";
    let bare = season.mulch.laid.is_empty();
    let (absent, lack) = if bare { ("bare", Lack::Mulch) } else { (figures::NOT_KNOWN, Lack::Records) };
    kept(season).map_or_else(
        || Headline::absent(label, absent, lack),
        |kept| Headline::known_figure(label, figures::quantity(kept.value), AcreInchesPerAcre::UNIT, kept),
    )
}

fn price_line(season: &BlockSeason) -> Headline {
    let label = "Price, all grades";
    match (&season.packout.net_per_pound, &season.packout.net_per_box) {
        (Some(price), _) => Headline::price(label, price, 2, "a lb"),
        (None, Some(price)) => Headline::price(label, price, 2, "a box"),
        (None, None) => Headline::absent(label, figures::NOT_KNOWN, Lack::Records),
    }
}

fn return_line(season: &BlockSeason) -> Headline {
    let label = "Return over all costs";
    return_per_acre(season).map_or_else(
        || Headline::absent(label, figures::NOT_KNOWN, Lack::Records),
        |price| Headline::price(label, &price, 0, "an acre").of(&season.statement),
    )
}

impl Headline {
    /// A return of this statement; where nothing is sold it is no return yet, and says so.
    pub(crate) fn of(self, statement: &Statement) -> Self {
        if statement.is_unsold() { Self { evidence: None, lack: Lack::Unsold, ..self } } else { self }
    }

    pub(crate) fn price<U>(label: &'static str, price: &Figure<UnitPrice<U>>, places: u32, unit: &'static str) -> Self {
        if price.value.is_beyond() {
            return Self::absent(label, figures::NOT_KNOWN, Lack::TooLarge);
        }
        Self::known_figure(label, figures::dollars(&figures::price(price.value, places)), unit, price)
    }

    /// Whole dollars.
    pub(crate) fn money(label: &'static str, amount: &Figure<Money>) -> Self {
        if amount.value.is_beyond() {
            return Self::absent(label, figures::NOT_KNOWN, Lack::TooLarge);
        }
        Self::known_figure(label, figures::dollars(&figures::whole_money(amount.value)), "", amount)
    }

    fn known_figure<T>(label: &'static str, number: String, unit: &'static str, figure: &Figure<T>) -> Self {
        Self { label, number, unit, evidence: Some(figure.evidence), n: figure.n(), lack: Lack::Nothing }
    }

    /// No figure, and why.
    pub(crate) fn absent(label: &'static str, stands_in: &str, lack: Lack) -> Self {
        Self { label, number: stands_in.to_owned(), unit: "", evidence: None, n: 0, lack }
    }

    /// How it is known, in words: "metered, 41 records".
    pub fn known(&self) -> String {
        match (self.evidence, self.lack) {
            (_, Lack::Unsold) => COSTS_ONLY.to_owned(),
            (Some(evidence), _) => crate::words::known(evidence, self.n),
            (None, Lack::TooLarge) => "too large to add up".to_owned(),
            (None, Lack::Mulch) => "no mulch recorded".to_owned(),
            (None, Lack::Nothing | Lack::Records) => "records are missing".to_owned(),
        }
    }
}
