//! From a cost's own words to a line of the form.

use super::Placing;
use crate::records::CostGroup;

/// Beginnings of words, the line, and what to look at. The first rule that fits decides, so what is
/// narrower stands first: "fuel tank repairs" are repairs.
type Rule = (&'static [&'static str], &'static str, &'static str);

const RULES: [Rule; 26] = [
    (&["depreciation"], "14", "Tax depreciation differs from capital recovery."),
    (&["pension", "profit-sharing"], "23", ""),
    (&["health"], "15", ""),
    (&["insur"], "20", ""),
    (&["payroll tax", "propert", "tax"], "29", ""),
    (&["mortgage"], "21a", ""),
    (&["interest"], "21b", "Interest that nobody is paid is not deductible."),
    (&["bee", "hive", "pollinat"], "32", "13 or 24b are used too: choose one and keep it."),
    (&["land rent", "rent of land", "land lease"], "24b", ""),
    (&["rent", "leas"], "24a", "Land goes to 24b."),
    (&["repair", "mainten", "parts"], "25", ""),
    (&["custom", "machine work"], "13", ""),
    (&["labor", "crew", "wage", "salar"], "22", CREW),
    (&["analys", "soil test", "advis", "consult", "account", "legal", "dues", "permit", "licen"], "32", ""),
    (&["assess", "market", "board", "inspect", "pack", "sell", "selling", "commission"], "32", SOLD_NET),
    (&["cool", "cold", "stor"], "27", ""),
    (&["haul", "freight", "truck"], "18", "With machine and operator: 13."),
    (&["mulch", "wood chip"], "28", "Mulch for several years may have to be capitalized: ask the bookkeeper."),
    (&["fertiliz", "lime", "zinc", "nitrogen", "compost", "manure"], "17", ""),
    (&["herbicid", "insecticid", "fungicid", "miticid", "chemical", "weed", "pest", "spray", "growth reg"], "11", ""),
    (&["fuel", "diesel", "gasoline", "lube", "lubric"], "19", "A car by the mile goes to 10."),
    (&["water", "irrigat", "pump", "electric", "power", "utilit", "phone", "internet"], "30", WATER),
    (
        &["replacement tree", "trees", "nursery", "rootstock", "seed", "plants"],
        "26",
        "A whole new orchard is capitalized.",
    ),
    (&["prun", "thin", "pick"], "22", CREW),
    (&["office", "sanit", "tool", "suppl", "bins", "lug", "twine", "glove", "ladder"], "28", ""),
    (&["conserv"], "12", ""),
];

pub(super) const SOLD_NET: &str = "Often kept back by the packer: gross sales go to line 2, not the check.";
pub(super) const WATER: &str = "District assessments may be a tax (29).";
pub(super) const CREW: &str = "A labor contractor's crew: 22 or 32, advisers differ.";
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
            ("lime", "17"),
            ("land rent", "24b"),
            ("equipment rent", "24a"),
            ("own land charge", "none"),
        ] {
            assert_eq!(number(CostGroup::Cultural, category), Some(line), "{category}");
        }
    }

    #[test]
    fn what_is_no_expense_is_left_out_and_what_says_nothing_is_asked() {
        assert_eq!(number(CostGroup::NonCashOverhead, "fuel tanks"), Some("none"));
        assert_eq!(number(CostGroup::CashOverhead, "materials"), None);
        assert_eq!(number(CostGroup::Assessment, "peach program"), Some("32a-32f"));
        assert_eq!(number(CostGroup::Cultural, "slime"), None, "lime is not slime");
    }
}
