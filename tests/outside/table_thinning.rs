//! Rows of the table of checks that hold wages, statistics of methods, and thinning.

use reckon::compare::Measure;
use reckon::due::Settings;
use reckon::stats::{Test, samples_needed, student};
use reckon::thinning::guides::GUIDES;
use rust_decimal::prelude::ToPrimitive;

use crate::{stats, trial, wages};

/// Dollars of a week.
pub(crate) fn wage(rest: &str) -> Option<f64> {
    wages::ours(rest)?.to_f64()
}

/// `method-KIND-...`: differences of methods.
pub(crate) fn method(rest: &str) -> Option<f64> {
    let (kind, what) = rest.split_once('-')?;
    let test = match kind {
        "handbook" => stats::nist().differences.first()?.welch.ok()?,
        "sleep" => stats::sleep().welch.ok()?,
        "pairs" => stats::sleep().paired.ok()?.test,
        "covers" => {
            let (cover, what) = what.split_once('-')?;
            let table = stats::covers();
            return part(&table.difference(cover, "S")?.0.paired.ok()?.test, what);
        }
        "coverswelch" => {
            let (cover, what) = what.split_once('-')?;
            let table = stats::covers();
            return part(&table.difference(cover, "S")?.0.welch.ok()?, what);
        }
        _ => return None,
    };
    part(&test, what)
}

fn part(test: &Test, what: &str) -> Option<f64> {
    match what {
        "t" => Some(test.t),
        "df" => Some(test.df),
        "p" => Some(test.p),
        "low" => Some(test.interval.low),
        "high" => Some(test.interval.high),
        "difference" => Some(test.difference),
        _ => None,
    }
}

/// `sample-...`: means, spreads, numbers of trees, a line, a total.
pub(crate) fn sample(rest: &str) -> Option<f64> {
    let handbook = |n: usize| stats::nist().methods.get(n).map(|method| method.sample);
    match rest {
        "handbook-mean" => Some(handbook(0)?.mean),
        "handbook-sd" => handbook(0)?.sd,
        "large-mean" => Some(stats::large_numbers("numacc4").mean),
        "large-sd" => stats::large_numbers("numacc4").sd,
        "t-16" => Some(student::within(0.90, 16.0)),
        "t-1" => Some(student::within(0.95, 1.0)),
        "orchard-mean" => Some(stats::orchard().mean),
        "orchard-spread" => Some(stats::tree_spread() * 100.0),
        "trees-20" => Some(samples_needed(stats::tree_spread(), 0.2, 0.95)),
        "trees-10" => Some(samples_needed(stats::tree_spread(), 0.1, 0.95)),
        "line-slope" => Some(stats::crop_size().slope),
        "line-new-low" => stats::crop_size().at(30.0, 0.95).map(|fitted| fitted.of_new.low),
        "stand-total" => Some(stats::stand().total),
        "stand-bound" => stats::stand().total_error.map(|error| 2.0 * error),
        _ => None,
    }
}

/// `trial-T1`: canning value less thinning of a plot of the grower's trial, dollars an acre.
pub(crate) fn trial(rest: &str) -> f64 {
    trial::mean(rest, Measure::ReturnPerAcre)
}

/// `hectare-L01`: hours of a hectare as hours of an acre.
pub(crate) fn hectare(rest: &str) -> f64 {
    trial::hours_per_acre(rest)
}

/// `look-from`: days after a pass to the second look.
pub(crate) fn look(rest: &str) -> Option<f64> {
    let (from, to) = Settings::default().second_look;
    match rest {
        "from" => Some(f64::from(from)),
        "to" => Some(f64::from(to)),
        _ => None,
    }
}

/// `guide-G03-low`: an end of a published spacing, in inches.
pub(crate) fn guide(rest: &str) -> Option<f64> {
    let (id, end) = rest.split_once('-')?;
    let (low, high) = GUIDES.iter().find(|guide| guide.id == id)?.inches()?;
    match end {
        "low" => Some(low.get()),
        "high" => Some(high.get()),
        _ => None,
    }
}

/// `density-D1`: trees of an acre by the spacing.
pub(crate) fn density(rest: &str) -> f64 {
    trial::trees_of_an_acre(rest)
}

/// `safety-X04`: the number of a published rule, if a caution in both languages holds it.
pub(crate) fn safety(rest: &str) -> Option<f64> {
    trial::in_cautions(rest)
}
