//! Questions about fruit counted before and after thinning. Limits are common practice, no source: fruit of a
//! thinning is between a pea and a nickel, and a peach at harvest is under 4 inches.

use reckon::records::FruitCount;
use reckon::units::Inches;

use super::{Question, number, question, whole};
use crate::row::plain;

/// Inches across one fruit: common practice, no source.
const DIAMETER_IN: f64 = 4.0;
/// Inches of all shoots of a tree, 2,000 feet: common practice, no source.
const TREE_SHOOT_IN: f64 = 24_000.0;
/// Inches of the shoots of a tagged branch: common practice, no source.
const BRANCH_SHOOT_IN: f64 = 600.0;
/// Fruit of a tree: common practice, no source.
const TREE_FRUIT: u32 = 20_000;
/// Fruit of a tagged branch: common practice, no source.
const BRANCH_FRUIT: u32 = 5_000;

pub(super) fn questions(count: &FruitCount) -> Vec<Question> {
    [many(count), none(count), shoot(count), diameter(count)].into_iter().flatten().collect()
}

const fn one(count: &FruitCount) -> &'static str {
    if count.branch { "branch" } else { "tree" }
}

fn many(count: &FruitCount) -> Option<Question> {
    let most = if count.branch { BRANCH_FRUIT } else { TREE_FRUIT };
    // Fruit left is no more than fruit before, so one question is enough.
    let of = |column, fruit: Option<u32>| {
        let fruit = fruit.filter(|fruit| *fruit > most)?;
        Some(question(column, format!("{} fruit on one {}. Is it so many?", number(fruit.into()), one(count))))
    };
    of("fruit_before", count.before).or_else(|| of("fruit_after", count.after))
}

fn none(count: &FruitCount) -> Option<Question> {
    (count.before == Some(0)).then(|| {
        question("fruit_before", format!("There was no fruit on the {} before thinning. Is that right?", one(count)))
    })
}

fn shoot(count: &FruitCount) -> Option<Question> {
    let most = if count.branch { BRANCH_SHOOT_IN } else { TREE_SHOOT_IN };
    let shoot = count.shoot.map(Inches::get).filter(|shoot| *shoot > most)?;
    let said = format!("The shoots of one {} are {} inches long. Is it so much?", one(count), whole(shoot));
    Some(question("shoot_in", said))
}

fn diameter(count: &FruitCount) -> Option<Question> {
    let across = count.fruit_diameter.map(Inches::get).filter(|across| *across > DIAMETER_IN)?;
    let across = plain((across * 10.0).round() / 10.0);
    Some(question("fruit_diameter_in", format!("The fruit is {across} inches across. Is it so large?")))
}

#[cfg(test)]
mod tests {
    use reckon::figure::RecordKind;

    use crate::{Beside, Context, FileKind, questions, read_form};

    fn asked(fields: &[(&str, &str)]) -> Vec<(&'static str, String)> {
        let day = [("date", "2026-05-14"), ("block", "RB-1"), ("sample", "t1")];
        let typed = day.iter().chain(fields).map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
        let kind = FileKind::Records(RecordKind::FruitCount);
        let (_, parsed) = read_form(kind, &typed.collect::<Vec<_>>(), &Context::default()).unwrap();
        let beside = Beside { today: "2026-07-01".parse().unwrap(), block: None };
        questions(&parsed, &beside).into_iter().map(|question| (question.column, question.sentence)).collect()
    }

    #[test]
    fn counts_of_an_orchard_are_not_asked_about() {
        let tree = [("fruit_before", "20000"), ("fruit_after", "0"), ("shoot_in", "24000"), ("fruit_diameter_in", "4")];
        assert_eq!(asked(&tree), []);
        let branch = [("what", "branch"), ("fruit_before", "5000"), ("fruit_after", "60"), ("shoot_in", "600")];
        assert_eq!(asked(&branch), []);
        assert_eq!(asked(&[("fruit_after", "300")]), []);
    }

    #[test]
    fn slips_of_the_pen_are() {
        let of = |fields: &[(&str, &str)], column: &'static str, sentence: &str| {
            assert_eq!(asked(fields), [(column, sentence.to_owned())]);
        };
        of(&[("fruit_before", "24000")], "fruit_before", "24,000 fruit on one tree. Is it so many?");
        of(&[("fruit_after", "24000")], "fruit_after", "24,000 fruit on one tree. Is it so many?");
        let branch = ("what", "branch");
        of(&[branch, ("fruit_before", "6000")], "fruit_before", "6,000 fruit on one branch. Is it so many?");
        let none = "There was no fruit on the tree before thinning. Is that right?";
        of(&[("fruit_before", "0"), ("fruit_after", "0")], "fruit_before", none);
        let left = ("fruit_after", "30");
        let long = "The shoots of one tree are 30,000 inches long. Is it so much?";
        of(&[left, ("shoot_in", "30000")], "shoot_in", long);
        let long = "The shoots of one branch are 1,900 inches long. Is it so much?";
        of(&[branch, left, ("shoot_in", "1900")], "shoot_in", long);
        of(&[left, ("fruit_diameter_in", "8")], "fruit_diameter_in", "The fruit is 8 inches across. Is it so large?");
        let metric = "The fruit is 7.9 inches across. Is it so large?";
        of(&[left, ("fruit_diameter_mm", "200")], "fruit_diameter_in", metric);
    }
}
