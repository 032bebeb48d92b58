//! How every figure is reckoned: formula, source, and what the words beside a figure mean.

use askama::Template;
use print::figures;
use reckon::figure::Evidence;
use reckon::season::HowReckoned;
use reckon::water::setup::SETTINGS;

use crate::pages::{Page, show};
use crate::shell::Shell;

/// Every formula.
#[derive(Template)]
#[template(path = "how/show.html")]
pub struct HowPage {
    shell: Shell,
    words: Vec<(&'static str, &'static str)>,
    how: Vec<HowReckoned>,
    settings: Vec<SettingRow>,
}

/// One value of the water balance that can be set for a block.
struct SettingRow {
    name: &'static str,
    about: &'static str,
    low: String,
    high: String,
}

impl HowPage {
    /// From the reckoning's own descriptions.
    pub fn of(shell: Shell) -> Self {
        let settings = SETTINGS.iter().map(|info| SettingRow {
            name: info.name,
            about: info.about,
            low: plain(info.low),
            high: plain(info.high),
        });
        Self { shell, words: words(), how: every(), settings: settings.collect() }
    }
}

/// What every season has, and what only some have.
fn every() -> Vec<HowReckoned> {
    reckon::how::of_the_book().into_iter().chain(reckon::water::how::sometimes()).collect()
}

/// GET /how
pub async fn how_page(shell: Shell) -> Page {
    show(&HowPage::of(shell))
}

/// Strongest first; a figure made of several records carries the weakest of them.
fn words() -> Vec<(&'static str, &'static str)> {
    [
        (Evidence::Metered, "read from a meter, a clock or a scale"),
        (Evidence::Counted, "counted by a person"),
        (Evidence::Invoiced, "printed on an invoice or a settlement"),
        (Evidence::Modelled, "reckoned by a model from other records"),
        (Evidence::Assumed, "taken for granted, from a default or a list"),
    ]
    .map(|(evidence, meaning)| (evidence.word(), meaning))
    .to_vec()
}

fn plain(value: f64) -> String {
    let text = value.to_string();
    figures::float(value, text.split_once('.').map_or(0, |(_, fraction)| fraction.len()))
}
