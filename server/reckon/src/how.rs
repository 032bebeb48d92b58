//! How each figure was reckoned: the formula in words and where it comes from.

use crate::season::HowReckoned;

const COST_STUDIES: &str = "University of California, Sample Costs (cost-and-return studies of 2000, 2003, 2016, 2017)";
const FAO56: &str = "Allen, Pereira, Raes, Smith: FAO Irrigation and Drainage Paper 56 (1998)";

/// Every explanation, in report order. The text says what the code does; change both together.
pub fn how() -> Vec<HowReckoned> {
    [&LABOR[..], &WATER[..], &MONEY[..]].concat().into_iter().map(explained).collect()
}

/// Every explanation of the book: those of a season, then what is reckoned over several blocks or seasons.
pub fn of_the_book() -> Vec<HowReckoned> {
    [how(), crate::compare::how(), crate::due::how(), crate::wages::how()].concat()
}

/// Figures that only some seasons have, and whose explanations the others do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Made {
    /// Capital recovery of something that lasts.
    pub recovery: bool,
    /// Interest, reckoned and not entered.
    pub interest: bool,
}

/// The explanations of a season.
pub fn of(made: Made) -> Vec<HowReckoned> {
    let needed = |how: &HowReckoned| match how.id {
        "capital-recovery" => made.recovery,
        "operating-interest" => made.interest,
        _ => true,
    };
    how().into_iter().filter(needed).collect()
}

type Entry = (&'static str, &'static str, &'static str, &'static str);

fn explained((id, title, formula, source): Entry) -> HowReckoned {
    HowReckoned { id, title, formula: formula.into(), source }
}

const LABOR: [Entry; 5] = [
    (
        "labor-cost",
        "Labor cost",
        "Hours × wage + overtime hours × wage × (multiplier − 1), or pieces × piece rate, or the contract sum; \
         then × (1 + payroll %) or × (1 + commission %). Overtime of piece work and of a \
         contract that names its hours: earnings ÷ all hours × (multiplier − 1) for each overtime hour. Wages and percentages are those of the entry, or those that \
         held on its day; a task's own wage goes before the general one. Each entry is rounded once, to the cent, \
         half away from zero. This is a cost and not a payroll: what is owed follows local wage law.",
        "Cost tables of the University of California cost studies; piece work: 29 CFR 778.111; job rates: 778.112",
    ),
    (
        "labor-per-tree",
        "Labor per tree",
        "Cost, or hours, ÷ trees treated, by one rule for every task. Trees are those of the entries, added up within a \
         method and pass; where an entry leaves them out, the block's bearing trees, marked assumed. Over several passes \
         a tree counts once: the largest pass. Entries that count more trees than the block has (two rounds of pruning) \
         count each of the block's once; where a single pass or entry counts more, the block's are taken, marked assumed, \
         and it is asked about. Cost per tree uses only entries whose cost is known, hours per tree only \
         entries that carry hours, each with their own trees. Hours are called metered \
         as they were entered from the crew's clock or tally sheet; the book cannot tell a clock from a typed day. \
         All labor together \
         is spread over the block's bearing trees. Hours say how many entries lack them. Per 1,000 fruit: only \
         for work that the counts before and after span: all thinning, a block's one pass of one method, or a method \
         counted on trees of its own in one pass.",
        "University of California cost studies (loaded labor per acre ÷ trees per acre)",
    ),
    (
        "removed-share",
        "Fruit taken off",
        "1 − fruit after ÷ fruit before, both summed over the trees and branches counted twice. A sample counted again \
         on a later day keeps its first count before and its last count after. Standard error: \
         √(Σ(after − r × before)² ÷ (n − 1) ÷ n) ÷ mean before, with r = Σafter ÷ Σbefore, the sample's own mean, \
         and no correction for a large sample. Fruit taken off the block: mean taken off a whole tree × bearing trees. \
         Spacing: shoot length ÷ fruit left. Methods of the first pass on trees of their own weigh by these trees. Fruit \
         left is of all trees counted after.",
        "Scheaffer, Mendenhall, Ott: Elementary Survey Sampling, chapter 6 (ratio estimate)",
    ),
    (
        "trees-to-count",
        "Trees to count",
        "The fewest n for which t(95%, n − 1) × spread ÷ √n is at most 10%, with the spread of the trees counted: standard \
         deviation ÷ mean of fruit left on a tree. By the normal distribution it is (1.95996 × spread ÷ 10%)²; t asks for a \
         few more, as the spread is estimated too. Standard error of a mean of trees: standard deviation ÷ √n; of the \
         block, that × bearing trees. Trees side by side are alike: spread the sample over the block. Where \
         each method has trees of its own no such number is given.",
        "Sample size of a mean, checked against 144 single peach trees: Strickland (1935), J. Agriculture, Victoria \
         33:408-416",
    ),
    (
        "fruit-wanted",
        "Fruit wanted",
        "The block's own number; else the operation's list, as it holds on the last day of thinning or counting: a crop \
         named goes before none, a span in which the block's ripening begins before none, then the later first day, then \
         the fewer fruit or the wider spacing. Fruit wanted on an acre × acres ÷ bearing trees. Left of what is wanted: mean left ÷ wanted; \
         spacing alike. Published guides stand beside a measured spacing where none is wanted; they disagree, and are \
         no target.",
        "The grower's own targets; guides as named on the page of the block",
    ),
];

const WATER: [Entry; 6] = [
    (
        "water-applied",
        "Water applied",
        "Meter difference (roll-over and replacement taken in), or run hours × emitter flow × emitters, or depth × area; \
         gross, before losses. 1 acre-inch = 6,272,640 ÷ 231 = 27,154.2857 gallons. \
         Cost: each set's volume at the water rate kept for its day, and known as the volume is known; the sets are added up exactly, and the block's \
         season is rounded once, to the cent.",
        "Definitions of the acre and the US gallon: NIST Handbook 44, appendix C; NIST SP 811",
    ),
    (
        "crop-need",
        "Crop need",
        "Daily: (Kcb + Ke) × reference evapotranspiration, without stress; mulch lowers Ke. Ke from a daily balance of \
         the surface layer, drainage and stress from a daily balance of the root zone. Reference evapotranspiration \
         is the station's own, else Penman-Monteith (humidity and wind estimated by rule where they were not measured), \
         else Hargreaves from temperatures alone; days of each are shown.",
        FAO56,
    ),
    (
        "mulch-avoided",
        "Evaporation avoided by mulch",
        "The season is run twice over the same weather, soil and the block's own irrigation, bare and with the mulch as it \
         lay: evaporation bare − evaporation mulched. An organic mulch cuts soil evaporation by 5% for each 10% of \
         the surface it covers; one thinner than 2 in counts in proportion, and it settles by the block's setting, both \
         assumptions.",
        "FAO Irrigation and Drainage Paper 56 (1998), chapter 10, mulches",
    ),
    (
        "mulch-kept",
        "Water kept by mulch",
        "Evaporation avoided − extra water drained below the roots because the sets were not cut: what the trees could \
         still use. Over a farm or the operation: over the acres of the mulched blocks alone, whose number stands beside \
         it. Worth: at the water rate that holds at the season's end. The range: the least and the most with the mulch rule and \
         its covered share, and the soil's evaporable water, each weaker and stronger by its stated uncertainty.",
        "Difference of two runs of the FAO-56 daily balance",
    ),
    (
        "mulch-not-needed",
        "Irrigation not needed thanks to mulch",
        "The two runs again with the depletion rule deciding each set: (net irrigation bare − mulched + soil water left \
         more + drained more under mulch) ÷ application efficiency. It may be more than the evaporation avoided: it is \
         water at the emitters, before what application loses, and the rule wets bare soil oftener, which evaporates \
         again. It may be less: under the rule neither block is wetted beyond its need.",
        "Difference of two runs of the FAO-56 daily balance",
    ),
    (
        "mulch-cost",
        "Mulch over its life",
        "(Material + delivery + spreading) ÷ years it is expected to last, straight line: each season of its life bears \
         the same, the last one what is left of a broken year. Mulch whose cost nobody gave has none here, and nothing to repay; 0 is mulch that was free. With an interest set for the block, capital recovery \
         P × i × (1 + i)ⁿ ÷ ((1 + i)ⁿ − 1) over n whole seasons instead. Cost over worth: season cost ÷ worth of the water kept. Seasons to repay: whole cost ÷ that \
         worth, in seasons that keep as much; where several layers lie, the worth goes out to them by the floor they \
         cover. Spreading already kept as labor is not entered here again.",
        "Straight-line spreading: common practice, no source",
    ),
];

const MONEY: [Entry; 6] = [
    (
        "price-by-grade",
        "Price by size class and grade",
        "Net to grower ÷ boxes, or ÷ pounds, of the fruit that has a value; weighted by what was packed, never a mean of \
         prices. A settlement line for several sizes or grades goes out by the boxes (or weight) not settled yet, to \
         the cent. The earliest packed boxes are the settled ones; the rest takes the list price that held on the day \
         of packing, marked assumed. Shares are of packed weight (boxes where weight is missing), in tenths of a \
         percent that sum to 100.0 by largest remainder. By week: boxes of the week they were packed in; the earliest \
         settlement pays the earliest boxes. Premium: over the next smaller class of the same grade that has a price.",
        "Weighted means: arithmetic; size codes: Commission Regulation (EC) No 1580/2007, Annex I, Part 5",
    ),
    (
        "shared-costs",
        "Shared costs",
        "The invoice × the block's acres (or trees, boxes packed, weight packed, hours of labor, or its fixed percent) ÷ \
         those of all blocks it is shared among, in whole cents by largest remainder: the blocks' parts always sum to the \
         invoice. Where no block has any, nobody bears it, and a gap says so.",
        "Largest remainder (Hamilton's method), as in the apportionment of 1790",
    ),
    (
        "statement",
        "Return",
        "Gross − what buyers and packers kept back = net to grower; − growing, harvest, assessment and interest = return \
         over operating costs; − cash overhead = return over cash costs; − mulch over its life and other non-cash \
         overhead = return over all costs. Per acre, tree, box and pound from the block's cents, not from rounded figures; pounds \
         are those packed, or those sold where none were packed. Lines without a record are left out; subtotals are not. \
         A cost line above zero is a credit: more came back than was spent.",
        COST_STUDIES,
    ),
    (
        "capital-recovery",
        "What lasts",
        "(Price − salvage) × i ÷ (1 − (1 + i)⁻ⁿ) + salvage × i in each of its n seasons; at no interest \
         (price − salvage) ÷ n; land bears price × i. Tax books depreciate otherwise.",
        "Iowa State University Extension, Estimating Farm Machinery Costs (A3-29)",
    ),
    (
        "operating-interest",
        "Interest on operating capital",
        "As entered; else, where an interest rate is kept, each day's labor, water and invoices × rate ÷ 12 × months \
         from that month to the month of the last pick, both included. What comes after the harvest is paid from the \
         crop: discounted back, a month's rate for each month. December's dormant work is carried to the next harvest.",
        "Convention of ours; it prints the interest of three published cost studies within their rounding (2003, 2016, 2017)",
    ),
    (
        "break-even",
        "Break-even and ranging table",
        "Harvest labor and costs, assessments and charges follow the yield, a sales commission follows gross, everything \
         else stays. Break-even is the gross price, or the yield, that leaves nothing over; the table spans 70 to 130% \
         of the block's own.",
        COST_STUDIES,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_explanation_has_its_own_anchor() {
        let book = of_the_book();
        let mut ids: Vec<&str> = book.iter().map(|entry| entry.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), book.len());
        assert!(book.iter().all(|entry| !entry.formula.contains("  ") && !entry.source.is_empty()));
        let all = how().len();
        assert_eq!(of(Made::default()).len() + 2, all);
        assert!(how().iter().all(|entry| !entry.formula.contains("  ") && !entry.source.is_empty()));
    }

    #[test]
    fn every_line_of_a_statement_is_explained() {
        let ids: Vec<&str> = how().iter().map(|entry| entry.id).collect();
        for key in crate::returns::ORDER {
            assert!(ids.contains(&key.explained_by()), "{}", key.label());
        }
    }
}
