//! The estimate in words and figures, ready for the page.

use print::chart::{self, svg::svg};
use print::figures;
use reckon::estimate::{Input, NextSeason, Outcome, ounces};

/// A size class of the plan.
pub(super) struct Class {
    pub(super) name: String,
    pub(super) share: String,
    pub(super) boxes: String,
    pub(super) price: String,
    pub(super) net: String,
}

/// One share taken off, and what it comes to.
pub(super) struct Share {
    pub(super) removed: String,
    pub(super) left: String,
    pub(super) ounces: String,
    pub(super) boxes: String,
    pub(super) thinning: String,
    pub(super) net: String,
    /// The plan stands here.
    pub(super) planned: bool,
    /// Outside half the smallest and one and a half times the largest load of the own seasons.
    pub(super) outside: bool,
}

/// One line of what is left.
pub(super) struct Line {
    pub(super) label: &'static str,
    pub(super) amount: String,
    pub(super) class: &'static str,
}

/// What one input does.
pub(super) struct Swing {
    pub(super) input: &'static str,
    pub(super) by: String,
    pub(super) low: String,
    pub(super) high: String,
}

/// A figure at the top.
pub(super) struct Headline {
    pub(super) label: &'static str,
    pub(super) number: String,
    pub(super) unit: &'static str,
    pub(super) more: String,
    pub(super) how: &'static str,
}

/// The estimate on the page.
pub(super) struct View {
    pub(super) from: i32,
    /// Fruit set on a tree, and percent taken off, by the block's own counts; empty where none were made.
    pub(super) own_set: String,
    pub(super) own_removed: String,
    pub(super) headline: [Headline; 4],
    pub(super) said: Vec<String>,
    pub(super) own: Vec<(i32, String, String)>,
    pub(super) classes: Vec<Class>,
    pub(super) lines: Vec<Line>,
    pub(super) swings: Vec<Swing>,
    /// The shares as a picture: its name, and itself on a wide page and on a phone.
    pub(super) chart: Option<(String, [String; 2])>,
    pub(super) shares: Vec<Share>,
    pub(super) assumed: Vec<String>,
    pub(super) careful: Vec<String>,
}

impl View {
    pub(super) fn of(next: &NextSeason) -> Self {
        Self {
            from: next.from,
            own_set: next.own_set.map_or_else(String::new, whole),
            own_removed: next.own_removed_percent().map_or_else(String::new, whole),
            headline: headline(next),
            said: said(next),
            own: next
                .seasons
                .iter()
                .map(|own| (own.year, whole(own.past.fruit_per_tree), weight(own.past.mean_weight_g)))
                .collect(),
            classes: classes(next),
            lines: lines(next),
            swings: swings(next),
            chart: drawn(next),
            shares: next.shares.iter().map(|share| shares(share, next)).collect(),
            assumed: next.assumed.clone(),
            careful: next.careful.clone(),
        }
    }
}

/// Width and height of the picture in points, on a wide page and on a phone.
const CHART: [(f64, f64); 2] = [(330.0, 190.0), (230.0, 180.0)];

fn drawn(next: &NextSeason) -> Option<(String, [String; 2])> {
    let [wide, narrow] = CHART.map(|(width, height)| chart::plan(next, width, height));
    let (wide, narrow) = wide.zip(narrow)?;
    Some((wide.title.clone(), [svg(&wide, "shares"), svg(&narrow, "shares-narrow")]))
}

fn whole(value: f64) -> String {
    figures::float(value, 0)
}

/// Grams as ounces, one place.
fn weight(grams: f64) -> String {
    figures::float(ounces(grams), 1)
}

fn headline(next: &NextSeason) -> [Headline; 4] {
    let (plan, likely) = (&next.plan, &next.plan.likely);
    let dollars = |amount: f64| figures::dollars(&whole(amount));
    [
        Headline {
            label: "Return over all costs",
            number: dollars(likely.net),
            unit: "an acre",
            more: format!("{} to {}", dollars(plan.low), dollars(plan.high)),
            how: "how-next-return",
        },
        Headline {
            label: "Fruit left",
            number: whole(likely.left_per_tree),
            unit: "a tree",
            more: format!(
                "{} come off, {} harvested",
                whole(likely.removed_per_tree),
                whole(likely.harvested_per_tree)
            ),
            how: "how-next-load",
        },
        Headline {
            label: "Mean fruit",
            number: weight(likely.weight_g),
            unit: "oz",
            more: format!("{} to {} in four seasons of five", weight(plan.weight_g.0), weight(plan.weight_g.1)),
            how: "how-next-load",
        },
        Headline {
            label: "Boxes packed",
            number: whole(likely.boxes_per_acre()),
            unit: "an acre",
            more: format!("{} lb grown", whole(likely.lb_per_acre)),
            how: "how-next-sizes",
        },
    ]
}

/// The best share to two digits and no more, for its top is flat.
fn said(next: &NextSeason) -> Vec<String> {
    let (gain, removed) = (next.gain_of_best(), whole(next.plan.likely.removed_percent()));
    let best = if gain < FLAT {
        format!("Taking off {removed}% leaves about as much as any share would.")
    } else {
        format!(
            "About {}% off would leave most: {} more an acre than {removed}%. Shares near it leave almost as much.",
            whole(next.best.removed_percent()),
            figures::dollars(&whole(gain)),
        )
    };
    vec![best, format!("No thinning at all would leave {} an acre.", figures::dollars(&whole(next.without_thinning())))]
}

/// Dollars an acre within which shares are the same to a grower.
const FLAT: f64 = 50.0;

fn classes(next: &NextSeason) -> Vec<Class> {
    let price = |price: f64| if price > 0.0 { figures::float(price, 2) } else { figures::NOT_KNOWN.to_owned() };
    next.classes()
        .into_iter()
        .map(|class| Class {
            name: class.name.to_owned(),
            share: whole(class.weight_percent),
            boxes: whole(class.boxes),
            price: price(class.price_per_box),
            net: whole(class.net),
        })
        .collect()
}

fn lines(next: &NextSeason) -> Vec<Line> {
    let likely = &next.plan.likely;
    let line = |label, amount: f64, class| Line { label, amount: whole(amount), class };
    vec![
        line("Net to grower", likely.gross, "sub"),
        line("Thinning labor", -likely.thinning, ""),
        line("Picking and hauling", -likely.pick, ""),
        line("All other costs", -next.ground.costs.other_per_acre, ""),
        line("Return over all costs", likely.net, "sum"),
    ]
}

fn swings(next: &NextSeason) -> Vec<Swing> {
    let range = next.plan.weight_g;
    next.plan
        .swings
        .iter()
        .map(|swing| {
            let (input, by) = match swing.input {
                Input::Weight => ("Mean weight", format!("{} to {} oz", weight(range.0), weight(range.1))),
                Input::Evenness => ("Evenness of size", "spread ± 2% of the mean".to_owned()),
                Input::Price => ("Prices", "± 10%".to_owned()),
                Input::Hours => ("Hours of thinning", "± 20%".to_owned()),
                Input::Set => ("Fruit set", "± 10%".to_owned()),
            };
            Swing { input, by, low: whole(swing.low), high: whole(swing.high) }
        })
        .collect()
}

fn shares(share: &Outcome, next: &NextSeason) -> Share {
    Share {
        removed: whole(share.removed_percent()),
        left: whole(share.left_per_tree),
        ounces: weight(share.weight_g),
        boxes: whole(share.boxes_per_acre()),
        thinning: whole(share.thinning),
        net: whole(share.net),
        planned: next.is_planned(share),
        outside: next.is_outside(share),
    }
}
