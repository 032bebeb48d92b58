//! Words of the records as sentences and tables use them.

use chrono::{Datelike, NaiveDate};
use reckon::figure::{Evidence, Figure, GapAbout, GapWeight};
use reckon::money::Money;
use reckon::records::{Task, ThinningMethod};
use reckon::season::{EtoSource, LaborMeasure, MulchSeason, TreesFrom};
use reckon::units::Share;
use reckon::wages::NoWage;
use reckon::water::metered::MeteredSaving;

use crate::figures;

/// With its first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A task as a row's name: "Thinning".
pub const fn task(task: Task) -> &'static str {
    match task {
        Task::Thin => "Thinning",
        Task::Prune => "Pruning",
        Task::Irrigate => "Irrigating",
        Task::Mulch => "Mulching",
        Task::Spray => "Spraying",
        Task::Weeds => "Weeds",
        Task::Fertilize => "Fertilizing",
        Task::Prop => "Propping",
        Task::Pick => "Picking",
        Task::Haul => "Hauling",
        Task::Other => "Other work",
    }
}

/// A pass and method as a row's name: "First pass, by hand".
pub fn pass_and_method(pass: Option<u8>, method: Option<ThinningMethod>) -> String {
    let pass = match pass {
        Some(1) => "First pass".to_owned(),
        Some(2) => "Second look".to_owned(),
        Some(3) => "Third look".to_owned(),
        Some(4) => "Fourth look".to_owned(),
        Some(5) => "Fifth look".to_owned(),
        Some(6) => "Sixth look".to_owned(),
        Some(n) => format!("Pass {n}"),
        None => "Pass not given".to_owned(),
    };
    format!("{pass}, {}", method.map_or("method not given", ThinningMethod::word))
}

/// How a figure is known: "metered, 41 records".
pub fn known(evidence: Evidence, n: usize) -> String {
    if n == 0 {
        return evidence.word().to_owned();
    }
    format!("{}, {}", evidence.word(), figures::counted(n, "record", "records"))
}

/// How a figure is known, and whether something is left out of it: "metered, 41 records, incomplete".
pub fn known_of<T>(figure: &Figure<T>) -> String {
    let known = known(figure.evidence, figure.n());
    if figure.lacks.is_empty() { known } else { format!("{known}, incomplete") }
}

/// How a price is known by the net it is made of; "no price" without one.
pub fn price_known(net: Option<&Figure<Money>>) -> String {
    net.map_or_else(|| "no price".to_owned(), known_of)
}

/// What is left out of a figure: "1 entry lacks a wage"; `None` where it is whole.
pub fn lacking<T>(figure: &Figure<T>) -> Option<String> {
    reckon::figure::lacking(&figure.lacks)
}

/// Which trees a figure for each tree is spread over: "the block's, each once; the entries count 4,178".
pub fn trees_from(from: TreesFrom) -> String {
    let counted = |n: u64| usize::try_from(n).map_or_else(|_| n.to_string(), figures::count);
    match from {
        TreesFrom::Entries => "those of the entries".to_owned(),
        TreesFrom::Rows(n) => {
            format!(
                "those of the entries; {} and no trees",
                figures::counted(n, "entry counts rows", "entries count rows")
            )
        }
        TreesFrom::LargestPass => "those of the largest pass, each once".to_owned(),
        TreesFrom::OnceEach(n) => format!("the block's, each once; the entries count {}", counted(n)),
        TreesFrom::LeftOut(n) => {
            format!("the block's; {} none", figures::counted(n, "entry counts", "entries count"))
        }
        TreesFrom::Doubtful(n) => format!("the block's and no more; the entries count {}", counted(n)),
        TreesFrom::Bearing => "the block's".to_owned(),
    }
}

/// How each part of a row of labor is known: "hours metered; cost invoiced; trees counted, those of the
/// entries; fruit modelled".
pub fn labor_known(labor: &LaborMeasure) -> String {
    let trees = labor.trees.as_ref().zip(labor.trees_from);
    let parts = [
        labor.hours.as_ref().map(|hours| format!("hours {}{}", hours.evidence.word(), hours_lack(labor))),
        Some(format!("cost {}", if labor.is_costed() { labor.cost.evidence.word() } else { "not known" })),
        overtime_estimated(labor).map(str::to_owned),
        trees.map(|(trees, from)| format!("trees {}, {}", trees.evidence.word(), trees_from(from))),
        labor.cost_per_thousand.as_ref().map(|each| format!("1,000 fruit {}", each.evidence.word())),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// ", incomplete: 2 entries lack hours"; empty where every entry carries hours, or none.
fn hours_lack(labor: &LaborMeasure) -> String {
    let lacking = labor.hours.as_ref().and_then(lacking);
    lacking.map(|lacking| format!(", incomplete: {lacking}")).unwrap_or_default()
}

/// "overtime estimated", where hours of pieces or of a contract sum were overtime: no invoice names what they
/// add, and no other cost of labor is reckoned by a model.
pub fn overtime_estimated(labor: &LaborMeasure) -> Option<&'static str> {
    (labor.cost.evidence == Evidence::Modelled && labor.overtime.is_some()).then_some("overtime estimated")
}

/// What a metered saving is held against: "on 3 comparable bare blocks and in its own bare season of
/// 2025".
pub fn metered_against(saving: &MeteredSaving) -> String {
    let years: Vec<String> =
        saving.comparisons.iter().filter_map(|one| one.own_year).map(|year| year.to_string()).collect();
    let blocks = saving.comparisons.len() - years.len();
    let blocks = (blocks > 0)
        .then(|| format!("on {}", figures::counted(blocks, "comparable bare block", "comparable bare blocks")));
    let years = match years.as_slice() {
        [] => None,
        [one] => Some(format!("in its own bare season of {one}")),
        several => Some(format!("in its own bare seasons of {}", several.join(", "))),
    };
    blocks.into_iter().chain(years).collect::<Vec<_>>().join(" and ")
}

/// "11% less", "4% more": a minus before "less" would be read twice.
pub fn less(share: Share) -> String {
    less_or_more(&figures::quantity(share), "%")
}

/// "1.74 in less", "1.74 in more", of a number as written and its unit with the space before it.
pub fn less_or_more(written: &str, unit: &str) -> String {
    match written.strip_prefix(figures::MINUS) {
        Some(more) => format!("{more}{unit} more"),
        None => format!("{written}{unit} less"),
    }
}

/// Materials of the mulch laid: "wood chips, straw"; `None` where there is none.
pub fn materials(season: &MulchSeason) -> Option<String> {
    let mut materials: Vec<&str> = season.laid.iter().map(|laid| laid.material.as_str()).collect();
    materials.dedup();
    (!materials.is_empty()).then(|| materials.join(", "))
}

/// Money of a layer of mulch; "not given" where nobody gave any.
pub fn mulch_cost(amount: Option<&Figure<Money>>) -> String {
    amount.map_or_else(|| "not given".to_owned(), |amount| figures::money(amount.value))
}

/// The part of the season that a gap weakens.
pub const fn about(about: GapAbout) -> &'static str {
    match about {
        GapAbout::Block => "Block",
        GapAbout::Labor => "Labor",
        GapAbout::Thinning => "Thinning",
        GapAbout::Water => "Water",
        GapAbout::Mulch => "Mulch",
        GapAbout::Packout => "Packout",
        GapAbout::Price => "Price",
        GapAbout::Costs => "Costs",
    }
}

/// How much a gap weighs.
pub const fn weight(weight: GapWeight) -> &'static str {
    match weight {
        GapWeight::Missing => "missing",
        GapWeight::WorthALook => "worth a look",
    }
}

/// Where reference evapotranspiration came from.
pub const fn eto_source(source: EtoSource) -> &'static str {
    match source {
        EtoSource::Station => "as the station gives it",
        EtoSource::PenmanMonteith => "Penman-Monteith",
        EtoSource::PenmanMonteithFilled => "Penman-Monteith, partly estimated",
        EtoSource::Hargreaves => "Hargreaves",
    }
}

/// A short month: "May".
pub const fn month(month: u32) -> &'static str {
    match month {
        1 => "Jan",
        2 => "Feb",
        3 => "Mar",
        4 => "Apr",
        5 => "May",
        6 => "Jun",
        7 => "Jul",
        8 => "Aug",
        9 => "Sep",
        10 => "Oct",
        11 => "Nov",
        _ => "Dec",
    }
}

/// A day without its year: "14 May".
pub fn day(date: NaiveDate) -> String {
    format!("{} {}", date.day(), month(date.month()))
}

/// A day with its year: "14 May 2026".
pub fn full_day(date: NaiveDate) -> String {
    format!("{} {}", day(date), date.year())
}

/// From one day to another: "14 May to 2 Jun", or the one day.
pub fn days((first, last): (NaiveDate, NaiveDate)) -> String {
    if first == last { day(first) } else { format!("{} to {}", day(first), day(last)) }
}

/// Why a crew's week has no pay.
pub const fn no_wage(why: NoWage) -> &'static str {
    match why {
        NoWage::NoHours => "no hours",
        NoWage::TooMuchOvertime => "more overtime than hours",
        NoWage::NoRate => "no wage",
        NoWage::TooLarge => "too large",
    }
}

#[cfg(test)]
mod tests {
    use reckon::figure::{Lack, Lacks, RecordId, RecordKind, RecordRef};

    use super::*;
    use crate::samples;

    #[test]
    fn passes_read_as_growers_say_them() {
        assert_eq!(pass_and_method(Some(1), Some(ThinningMethod::ByHand)), "First pass, by hand");
        assert_eq!(pass_and_method(Some(2), Some(ThinningMethod::Pole)), "Second look, pole");
        assert_eq!(pass_and_method(None, None), "Pass not given, method not given");
    }

    #[test]
    fn what_is_left_out_is_said_by_what_it_lacks() {
        let lack = |what, line| Lack { what, record: RecordRef { kind: RecordKind::Labor, id: RecordId::Line(line) } };
        let whole = Figure::new((), Evidence::Metered, [lack(Lacks::Wage, 1).record]);
        assert_eq!((lacking(&whole), known_of(&whole).as_str()), (None, "metered, 1 record"));
        let one = whole.clone().without([lack(Lacks::Wage, 2)]);
        assert_eq!(lacking(&one).as_deref(), Some("1 entry lacks a wage"));
        assert_eq!(known_of(&one), "metered, 1 record, incomplete");
        let more = one.without([lack(Lacks::Hours, 4), lack(Lacks::Wage, 3)]);
        assert_eq!(lacking(&more).as_deref(), Some("2 entries lack a wage, 1 entry lacks hours"));
    }

    #[test]
    fn a_row_of_labor_says_whose_trees_it_counts() {
        let labor = samples::full().labor;
        assert_eq!(labor_known(&labor.all), "hours metered; cost metered; trees counted, those of the entries");
        assert!(labor_known(&labor.passes[0].measure).ends_with("; 1,000 fruit modelled"));
        assert_eq!(trees_from(TreesFrom::OnceEach(4_178)), "the block's, each once; the entries count 4,178");
        assert_eq!(trees_from(TreesFrom::LeftOut(1)), "the block's; 1 entry counts none");
    }

    #[test]
    fn more_is_said_without_a_minus() {
        assert_eq!(less(Share::of(-5.2)), format!("{}% more", figures::quantity(Share::of(5.2))));
        assert_eq!(less_or_more("\u{2212}1.74", " in"), "1.74 in more");
        assert_eq!(less_or_more("1.74", " in"), "1.74 in less");
    }

    #[test]
    fn days_are_short() {
        let day = |m, d| NaiveDate::from_ymd_opt(2026, m, d).unwrap();
        assert_eq!(days((day(5, 14), day(6, 2))), "14 May to 2 Jun");
        assert_eq!(days((day(5, 14), day(5, 14))), "14 May");
        assert_eq!(full_day(day(12, 1)), "1 Dec 2026");
    }
}
