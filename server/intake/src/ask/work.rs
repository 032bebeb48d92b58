//! Questions about hours, pay and trees.

use reckon::block::Block;
use reckon::exact::Percent;
use reckon::records::{LaborEntry, Loading, Pay};
use rust_decimal::Decimal;

use super::{Question, number, question, too_many};

/// Dollars an hour.
const WAGE_USD: u32 = 200;
/// Dollars for one piece.
const PIECE_USD: u32 = 200;
/// Dollars an acre for one contract.
const CONTRACT_USD_PER_ACRE: u32 = 20_000;
/// Hours of one person in a day; more than 24 are refused.
const HOURS_EACH: u32 = 16;
/// Percent on top of pay.
const ON_TOP_PCT: u32 = 60;

pub(super) fn labor(entry: &LaborEntry, block: Option<&Block>) -> Vec<Question> {
    let asked = [pay(entry, block), hours(entry), overtime(entry), trees(entry, block), on_top(entry.loading)];
    asked.into_iter().flatten().collect()
}

fn pay(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    match entry.pay {
        Pay::Hourly(Some(wage)) if wage.decimal() > WAGE_USD.into() => Some(question(
            "wage_usd_per_hour",
            format!("The wage is {} dollars an hour. Is it so much?", number(wage.decimal())),
        )),
        Pay::Piece { rate, .. } if rate.decimal() > PIECE_USD.into() => {
            Some(question("piece_usd", format!("One piece is paid {} dollars. Is it so much?", number(rate.decimal()))))
        }
        Pay::Contract(sum) => too_many(sum.decimal(), block, CONTRACT_USD_PER_ACRE).map(|acres| {
            let said = format!(
                "The contract is {} dollars for a block of {acres} acres. Is it so much?",
                number(sum.decimal())
            );
            question("contract_usd", said)
        }),
        Pay::Hourly(_) | Pay::Piece { .. } => None,
    }
}

fn hours(entry: &LaborEntry) -> Option<Question> {
    let (hours, people) = (entry.hours?.decimal(), entry.people.filter(|people| *people > 0)?);
    let most = Decimal::from(people).checked_mul(HOURS_EACH.into())?;
    (hours > most).then(|| {
        let said = format!(
            "{} hours for {people} {} are more than {HOURS_EACH} hours for each in one day. Are both right?",
            number(hours),
            if people == 1 { "person" } else { "people" }
        );
        question("hours", said)
    })
}

fn overtime(entry: &LaborEntry) -> Option<Question> {
    let percent = entry.overtime_multiplier.filter(|_| entry.overtime_hours.is_zero())?;
    let said = format!(
        "Overtime pay is {} percent and there are no overtime hours, so nothing is paid by it. Are they missing?",
        number(percent.decimal())
    );
    Some(question("overtime_multiplier_pct", said))
}

/// One entry is one pass at most: every tree once.
fn trees(entry: &LaborEntry, block: Option<&Block>) -> Option<Question> {
    let (done, has) = (entry.trees_done?, block?.trees?);
    (done > has).then(|| {
        let said = format!(
            "{} trees done are more than the {} bearing trees of the block. Is the number right?",
            number(done.into()),
            number(has.into())
        );
        question("trees_done", said)
    })
}

fn on_top(loading: Loading) -> Option<Question> {
    let (column, percent): (_, Percent) = match loading {
        Loading::FromRates => return None,
        Loading::Payroll(percent) => ("payroll_pct", percent),
        Loading::Commission(percent) => ("commission_pct", percent),
    };
    (percent.decimal() > ON_TOP_PCT.into()).then(|| {
        question(column, format!("{} percent come on top of the pay. Is it so much?", number(percent.decimal())))
    })
}

#[cfg(test)]
mod tests {
    use reckon::exact::Acres;

    use super::super::Beside;
    use crate::{Context, FileKind, questions, read_form};
    use reckon::block::Block;

    /// Column and sentence of what is asked about a labor entry of 14 May 2026.
    fn asked(fields: &str, today: &str) -> Vec<(&'static str, String)> {
        let day = "date=2026-05-14, block=RB-1, task=thin, ".to_owned() + fields;
        let typed: Vec<(String, String)> = day
            .split(", ")
            .filter_map(|field| field.split_once('='))
            .map(|(name, text)| (name.to_owned(), text.to_owned()))
            .collect();
        let kind = FileKind::from_word("labor").unwrap();
        let (_, parsed) = read_form(kind, &typed, &Context::default()).unwrap();
        let block = Block { trees: Some(400), acres: Acres::whole(4).unwrap(), ..Block::default() };
        let beside = Beside { today: today.parse().unwrap(), block: Some(&block) };
        questions(&parsed, &beside).into_iter().map(|question| (question.column, question.sentence)).collect()
    }

    #[test]
    fn an_ordinary_day_is_not_asked_about() {
        assert!(asked("hours=48, overtime_hours=8, overtime_multiplier_pct=200", "2026-05-14").is_empty());
        assert!(asked("people=6, hours=48, wage_usd_per_hour=19.40, trees_done=400", "2026-05-14").is_empty());
    }

    #[test]
    fn a_slip_of_the_pen_is() {
        for (fields, column, sentence) in [
            (
                "hours=8, wage_usd_per_hour=1750",
                "wage_usd_per_hour",
                "The wage is 1,750 dollars an hour. Is it so much?",
            ),
            ("pieces=8, piece_usd=1850", "piece_usd", "One piece is paid 1,850 dollars. Is it so much?"),
            (
                "contract_usd=480000",
                "contract_usd",
                "The contract is 480,000 dollars for a block of 4 acres. Is it so much?",
            ),
            (
                "people=2, hours=40",
                "hours",
                "40 hours for 2 people are more than 16 hours for each in one day. Are both right?",
            ),
            (
                "people=1, hours=23.5",
                "hours",
                "23.5 hours for 1 person are more than 16 hours for each in one day. Are both right?",
            ),
            (
                "hours=8, trees_done=4000",
                "trees_done",
                "4,000 trees done are more than the 400 bearing trees of the block. Is the number right?",
            ),
            (
                "hours=8, overtime_multiplier_pct=200",
                "overtime_multiplier_pct",
                "Overtime pay is 200 percent and there are no overtime hours, so nothing is paid by it. Are they missing?",
            ),
            ("hours=8, payroll_pct=95", "payroll_pct", "95 percent come on top of the pay. Is it so much?"),
        ] {
            assert_eq!(asked(fields, "2026-05-14"), [(column, sentence.to_owned())], "{fields}");
        }
    }

    #[test]
    fn a_day_that_has_not_come() {
        let ahead = asked("hours=8", "2026-05-13");
        assert_eq!(ahead, [("date", "2026-05-14 lies after today, 2026-05-13. Has this happened already?".to_owned())]);
    }
}
