//! From a cost's own words to a line of the form.

use super::Placing;
use crate::records::CostGroup;

/// Beginnings of words, the line, and what to look at. The first rule that fits decides, so what is
/// narrower stands first: "fuel tank repairs" are repairs.
type Rule = (&'static [&'static str], &'static str, &'static str);

const RULES: [Rule; 27] = [
    (&["depreciation"], "14", "Tax depreciation differs from capital recovery."),
    (&["pension", "profit-sharing"], "23", ""),
    (&["health"], "15", ""),
    (&["insur"], "20", ""),
    (&["payroll tax", "tax"], "29", ""),
    (&["mortgage"], "21a", ""),
    (&["interest"], "21b", "Interest that nobody is paid is not deductible."),
    (&["bee", "hive", "pollinat"], "32", "13 or 24b are used too: choose one and keep it."),
    (&["land rent", "rent of land", "land lease", "property rent"], "24b", ""),
    (&["rent", "leas"], "24a", "Land goes to 24b."),
    (&["repair", "mainten", "parts"], "25", ""),
    (&["custom", "machine work"], "13", ""),
    (&["contractor", "crew"], "22", CREW),
    (&["labor", "wage", "salar"], "22", "Gross pay; own payroll taxes go to 29."),
    (&["analys", "soil test", "sampl", "advis", "consult", "account", "legal", "dues", "permit", "licen"], "32", ""),
    (&["assess", "market", "board", "inspect", "pack", "sell", "selling", "commission"], "32", SOLD_NET),
    (&["cool", "cold", "stor"], "27", ""),
    (&["haul", "freight", "truck"], "18", "With machine and operator: 13."),
    (&["mulch", "wood chip"], "28", "Mulch for several years may have to be capitalized: ask the bookkeeper."),
    (&["fertiliz", "lime", "zinc", "nitrogen", "compost", "manure"], "17", ""),
    (&["herbicid", "insecticid", "fungicid", "miticid", "chemical", "weed", "pest", "spray", "growth reg"], "11", ""),
    (&["fuel", "diesel", "gasoline", "propane", "oil for", "lube", "lubric"], "19", "A car by the mile goes to 10."),
    (&["water", "irrigat", "pump", "electric", "power", "utilit", "phone", "internet"], "30", WATER),
    (
        &["replacement tree", "trees", "nursery", "rootstock", "seed", "plants"],
        "26",
        "A whole new orchard is capitalized.",
    ),
    (&["prun", "thin", "pick"], "22", CREW),
    (&["office", "sanit", "tool", "suppl", "bins", "lug", "twine", "glove", "ladder", "props"], "28", ""),
    (&["conserv"], "12", ""),
];

pub(super) const SOLD_NET: &str = "Often kept back by the packer: gross sales go to line 2, not the check.";
pub(super) const WATER: &str = "District assessments may be a tax (29).";
pub(super) const CREW: &str = "A labor contractor's crew: 22 or 32, advisers differ.";
/// Part I, line 8, "Other income" (form of 2021). That a fuel tax refund belongs there is from memory.
pub(super) const FUEL_TAX: &str = "A fuel tax refund is other income of the form (Part I), not an expense.";
pub(super) const OWN_PAY: &str = "The owner's own pay is not labor hired: it is no expense on the form.";
pub(super) const ECONOMIC: &str =
    "An economic cost: capital recovery, own land and own management never go on the form.";

/// The line suggested for a cost in the user's words.
pub fn suggest(group: CostGroup, category: &str) -> Placing {
    if group == CostGroup::NonCashOverhead {
        return Placing::LeftOut(ECONOMIC);
    }
    let category = category.to_lowercase();
    let imputed = ["capital recovery", "own land", "own management", "imputed"];
    if imputed.iter().any(|words| category.contains(words)) {
        return Placing::LeftOut(ECONOMIC);
    }
    if category.contains("fuel tax") && ["refund", "credit"].iter().any(|words| category.contains(words)) {
        return Placing::LeftOut(FUEL_TAX);
    }
    // "Owner's draw", "own salary": nobody hires himself.
    let own = ["own salary", "own wage", "own labor", "owner's salary", "owner's wage", "owner's draw", "own draw"];
    if own.iter().any(|words| category.contains(words)) {
        return Placing::LeftOut(OWN_PAY);
    }
    let fits = |(beginnings, ..): &&Rule| beginnings.iter().any(|beginning| begins(&category, beginning));
    if let Some((_, number, comment)) = RULES.iter().find(fits) {
        return Placing::on(number, comment);
    }
    match group {
        CostGroup::Assessment => Placing::on("32", SOLD_NET),
        CostGroup::Interest => Placing::on("21b", "Interest that nobody is paid is not deductible."),
        _ => Placing::Choose,
    }
}

/// Some word of the text, or some words in a row, begin so.
fn begins(text: &str, beginning: &str) -> bool {
    text.match_indices(beginning).any(|(at, _)| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        before.is_none_or(|c| !c.is_alphanumeric())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(group: CostGroup, category: &str) -> Option<&'static str> {
        match suggest(group, category) {
            Placing::Line(line, _) => Some(line.number),
            Placing::LeftOut(_) => Some("none"),
            Placing::Choose => None,
        }
    }

    #[test]
    fn words_of_the_trade_find_their_line() {
        for (category, line) in [
            ("Fuel and lubricants", "19"),
            ("fuel tank repairs", "25"),
            ("irrigation labor", "22"),
            ("custom spraying", "13"),
            ("property insurance", "20"),
            ("property taxes", "29"),
            ("health plan", "15"),
            ("interest on operating loan", "21b"),
            ("mortgage interest", "21a"),
            ("haul to shed", "18"),
            ("bee hives", "32a-32f"),
            ("irrigation water", "30"),
            ("irrigation repairs", "25"),
            ("replacement trees", "26"),
            ("leaf analysis", "32a-32f"),
            ("leaf and soil samples", "32a-32f"),
            ("lime", "17"),
            ("land rent", "24b"),
            ("equipment rent", "24a"),
            ("own land charge", "none"),
            ("manager's salary, part for the orchard", "22"),
            ("owner's draw", "none"),
            ("payroll taxes", "29"),
            ("propane for the wind machine", "19"),
            ("property rent", "24b"),
            ("props", "28"),
            ("interest on the season's loan", "21b"),
            ("fuel tax refund", "none"),
            ("weed material", "11"),
            ("field sanitation", "28"),
            ("pest adviser", "32a-32f"),
            ("board assessment", "32a-32f"),
        ] {
            assert_eq!(number(CostGroup::Cultural, category), Some(line), "{category}");
        }
    }

    #[test]
    fn a_hired_managers_pay_is_not_called_a_contractors() {
        let note = |category| match suggest(CostGroup::CashOverhead, category) {
            Placing::Line(_, note) => note,
            other => panic!("{other:?}"),
        };
        assert_eq!(note("manager's salary"), "Gross pay; own payroll taxes go to 29.");
        assert_eq!(note("contract crew"), CREW);
    }

    #[test]
    fn what_is_no_expense_is_left_out_and_what_says_nothing_is_asked() {
        assert_eq!(number(CostGroup::NonCashOverhead, "fuel tanks"), Some("none"));
        assert_eq!(number(CostGroup::CashOverhead, "materials"), None);
        assert_eq!(number(CostGroup::Assessment, "peach program"), Some("32a-32f"));
        assert_eq!(number(CostGroup::Cultural, "slime"), None, "lime is not slime");
    }
}
