//! Thinning and methods: which method cost least, which returned most, and how sure that is.

mod group;
mod wanted;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use actix_web::{HttpRequest, web};
use askama::Template;
use print::figures;
use reckon::compare::{self, Comparison, Facet, Observation};
use reckon::season::HowReckoned;
use store::Observed;

use crate::error::PageError;
use crate::extract::{Reading, SeasonAt};
use crate::pages::{Page, show};
use crate::routes::to;
use crate::shell::Shell;
use group::GroupView;
use wanted::WantedView;

/// What may be grouped by, besides the crop, in the order of the page.
const OFFERED: [(Facet, &str); 4] =
    [(Facet::Farm, "Farm"), (Facet::Variety, "Variety"), (Facet::Age, "Age of trees"), (Facet::Season, "Season")];

/// Methods compared.
#[derive(Template)]
#[template(path = "thinning/show.html")]
pub struct ThinningPage {
    shell: Shell,
    year: i32,
    said: String,
    asked: Asked,
    groups: Vec<GroupView>,
    wanted: WantedView,
    how: Vec<HowReckoned>,
}

impl ThinningPage {
    /// From a comparison and the blocks behind its units, and what is wanted of the season's blocks.
    pub fn of(shell: Shell, year: i32, asked: Asked, (compared, wanted): (&Compared, WantedView)) -> Self {
        let groups = compared.comparison.groups.iter().enumerate();
        let seasons = if asked.all_seasons { "all seasons".to_owned() } else { format!("the season of {year}") };
        let units: usize = compared.comparison.groups.iter().map(|group| group.units.len()).sum();
        Self {
            said: format!("{} of {seasons}", figures::counted(units, "block-season", "block-seasons")),
            groups: groups.map(|(n, group)| GroupView::of(n, group, &compared.places)).collect(),
            wanted,
            how: compare::how(),
            shell,
            year,
            asked,
        }
    }

    fn offered(&self) -> Vec<(&'static str, &'static str, bool)> {
        OFFERED.map(|(facet, words)| (facet.word(), words, self.asked.by.contains(&facet))).to_vec()
    }
}

/// GET /season/{year}/thinning: `?by=farm&by=variety` to group, `?seasons=all` for every season.
pub async fn thinning_page(reading: Reading, at: SeasonAt, shell: Shell, req: HttpRequest) -> Page {
    let asked = Asked::read(&req)?;
    let desk = reading.desk();
    desk.season(at.year).await?;
    let seen = desk.observed((!asked.all_seasons).then_some(at.year)).await?;
    let compared = Compared::of(&seen, &asked.by);
    let wanted = WantedView::of(at.year, &desk.whole_season(at.year).await?);
    show(&ThinningPage::of(shell, at.year, asked, (&compared, wanted)))
}

/// What was asked for.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    by: Vec<Facet>,
    all_seasons: bool,
}

impl Asked {
    fn read(req: &HttpRequest) -> Result<Self, PageError> {
        let pairs = web::Query::<Vec<(String, String)>>::from_query(req.query_string());
        Self::of(&pairs.map_err(|_| PageError::NotFound)?.into_inner()).ok_or(PageError::NotFound)
    }

    /// `None` for a word that is none of ours.
    fn of(pairs: &[(String, String)]) -> Option<Self> {
        let mut asked = Self::default();
        for (key, value) in pairs {
            match (key.as_str(), value.as_str()) {
                ("by", words) => {
                    for word in words.split(',').filter(|word| !word.is_empty()) {
                        asked.by.push(Facet::from_word(word)?);
                    }
                }
                ("seasons", "all") => asked.all_seasons = true,
                ("seasons", "" | "this") => {}
                ("seasons", _) => return None,
                _ => {}
            }
        }
        Some(asked)
    }
}

/// A comparison, and the page of each block-season in it.
pub struct Compared {
    comparison: Comparison,
    places: BTreeMap<String, String>,
}

impl Compared {
    /// Holds the methods of the block-seasons against each other.
    pub fn of(seen: &[Observed], by: &[Facet]) -> Self {
        let mut places = BTreeMap::new();
        let mut observations: Vec<Observation> = Vec::new();
        for one in seen {
            for observation in &one.observations {
                places.insert(observation.unit.clone(), to::block(one.year, one.block));
                observations.push(observation.clone());
            }
        }
        Self { comparison: compare::compare(&observations, by), places }
    }
}
