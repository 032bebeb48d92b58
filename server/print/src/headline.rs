//! The four figures a block season is known by.

use reckon::exact::unit;
use reckon::figure::{Evidence, Figure};
use reckon::money::UnitPrice;
use reckon::season::{BlockSeason, StatementKey};
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
}

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
    thinning(season)
        .map_or_else(|| Headline::absent(label, figures::NOT_KNOWN), |price| Headline::price(label, price, 2, "a tree"))
}

fn kept_line(season: &BlockSeason) -> Headline {
    let label = "Kept by the mulch";
    let absent = if season.mulch.laid.is_empty() { "bare" } else { figures::NOT_KNOWN };
    kept(season).map_or_else(
        || Headline::absent(label, absent),
        |kept| Headline {
            label,
            number: figures::quantity(kept.value),
            unit: AcreInchesPerAcre::UNIT,
            evidence: Some(kept.evidence),
            n: kept.n(),
        },
    )
}

fn price_line(season: &BlockSeason) -> Headline {
    let label = "Price, all grades";
    match (&season.packout.net_per_pound, &season.packout.net_per_box) {
        (Some(price), _) => Headline::price(label, price, 2, "a lb"),
        (None, Some(price)) => Headline::price(label, price, 2, "a box"),
        (None, None) => Headline::absent(label, figures::NOT_KNOWN),
    }
}

fn return_line(season: &BlockSeason) -> Headline {
    let label = "Return over all costs";
    return_per_acre(season).map_or_else(
        || Headline::absent(label, figures::NOT_KNOWN),
        |price| Headline::price(label, &price, 0, "an acre"),
    )
}

impl Headline {
    fn price<U>(label: &'static str, price: &Figure<UnitPrice<U>>, places: u32, unit: &'static str) -> Self {
        let number = figures::dollars(&figures::price(price.value, places));
        Self { label, number, unit, evidence: Some(price.evidence), n: price.n() }
    }

    fn absent(label: &'static str, stands_in: &str) -> Self {
        Self { label, number: stands_in.to_owned(), unit: "", evidence: None, n: 0 }
    }

    /// How it is known, in words: "metered, 41 records".
    pub fn known(&self) -> String {
        match self.evidence {
            Some(evidence) => crate::words::known(evidence, self.n),
            None if self.number == figures::NOT_KNOWN => "records are missing".to_owned(),
            None => "no mulch recorded".to_owned(),
        }
    }
}
