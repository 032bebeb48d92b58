//! Whether two records say the same thing, whoever wrote them down and however they are spelt: the
//! same crew day entered on a phone and brought in once more from the office's time sheet.

use crate::block::folded;
use crate::crew;

use super::{
    Applied, Cost, FruitCount, LaborEntry, LineOutcome, MulchApplication, Observation, OwnSize, PackoutLine, Pay, Pick,
    PriceLine, Rate, Record, SettlementLine, Sold, ThinningTarget,
};

/// How much two records that look alike say the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likeness {
    /// Nothing differs that counts.
    Same,
    /// All but one thing, by name: "hours". A cell mended in a file that came before.
    AllBut(&'static str),
    /// Both say what holds from or on that day, and they differ.
    Instead {
        /// In this: "rate".
        what: &'static str,
        /// Which of several counts, whenever they were kept: "the higher".
        counts: &'static str,
    },
}

impl Record {
    /// Whether both say the same, both being of one place; and if not, whether all but one thing is the
    /// same. Notes do not count, nor do capitals, blanks and signs in names; what only one of them says
    /// is no difference where the rest is telling.
    pub fn likeness(&self, other: &Self) -> Option<Likeness> {
        if self.date() != other.date() {
            return None;
        }
        if self.looks_like(other) {
            return Some(Likeness::Same);
        }
        match (self, other) {
            (Self::Labor(a), Self::Labor(b)) => labor_but(a, b).map(Likeness::AllBut),
            (Self::FruitCount(a), Self::FruitCount(b)) => counts_but(a, b).map(Likeness::AllBut),
            (Self::Cost(a), Self::Cost(b)) => cost_but(a, b).map(Likeness::AllBut),
            (Self::Settlement(a), Self::Settlement(b)) => settlement_but(a, b).map(Likeness::AllBut),
            (Self::Rate(a), Self::Rate(b)) => (a.kind == b.kind).then(|| instead("rate", "the higher")),
            (Self::Price(a), Self::Price(b)) => same_goods(a, b).then(|| instead("price", "the lower")),
            (Self::ThinningTarget(a), Self::ThinningTarget(b)) => target_but(a, b),
            (Self::Size(a), Self::Size(b)) => same_size(a, b).then(|| instead("meaning", "the smaller size")),
            (Self::Weather(_), Self::Weather(_)) => Some(instead("weather", "the fuller, then the drier")),
            (Self::Canopy(a), Self::Canopy(b)) => a.differs_in(b).map(|(what, _)| instead(what, "the larger")),
            _ => None,
        }
    }

    fn looks_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Labor(a), Self::Labor(b)) => labor(a, b),
            (Self::FruitCount(a), Self::FruitCount(b)) => counts(a, b),
            (Self::Irrigation(a), Self::Irrigation(b)) => applied(&a.applied, &b.applied),
            (Self::Mulch(a), Self::Mulch(b)) => mulch(a, b),
            (Self::Pick(a), Self::Pick(b)) => picks(a, b),
            (Self::Packout(a), Self::Packout(b)) => packout(a, b),
            (Self::Settlement(a), Self::Settlement(b)) => settlement(a, b),
            (Self::Cost(a), Self::Cost(b)) => cost(a, b),
            (Self::Price(a), Self::Price(b)) => price(a, b),
            (Self::Rate(a), Self::Rate(b)) => rate(a, b),
            (Self::ThinningTarget(a), Self::ThinningTarget(b)) => target(a, b),
            (Self::Size(a), Self::Size(b)) => {
                same_size(a, b) && a.place == b.place && same_name_or_none(a.means.as_deref(), b.means.as_deref())
            }
            (Self::Observation(a), Self::Observation(b)) => observation(a, b),
            (Self::Tension(a), Self::Tension(b)) => {
                same_name(&a.place, &b.place) && (a.depth, a.tension) == (b.depth, b.tension)
            }
            (Self::Weather(_), Self::Weather(_)) | (Self::Canopy(_), Self::Canopy(_)) => {
                without_note(self) == without_note(other)
            }
            _ => false,
        }
    }
}

const fn instead(what: &'static str, counts: &'static str) -> Likeness {
    Likeness::Instead { what, counts }
}

/// Letters and digits alone, small: "Valley Supply" and "valley-supply" are one payee.
pub(crate) fn plain(name: &str) -> String {
    name.chars().filter(|sign| sign.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

fn same_name(a: &str, b: &str) -> bool {
    plain(a) == plain(b)
}

/// One of the two may leave the name out.
fn no_other_name(a: &str, b: &str) -> bool {
    let (a, b) = (plain(a), plain(b));
    a.is_empty() || b.is_empty() || a == b
}

/// One of the two may leave the value out.
fn no_other<T: PartialEq>(a: Option<T>, b: Option<T>) -> bool {
    a.zip(b).is_none_or(|(a, b)| a == b)
}

fn same_name_or_none(a: Option<&str>, b: Option<&str>) -> bool {
    same_name(a.unwrap_or_default(), b.unwrap_or_default())
}

/// The work and how much of it. A wage that only one of the two names is no other work.
fn labor(a: &LaborEntry, b: &LaborEntry) -> bool {
    a.hours == b.hours && same_work(a, b) && same_pay(&a.pay, &b.pay)
}

fn same_work(a: &LaborEntry, b: &LaborEntry) -> bool {
    a.task == b.task
        && no_other(a.method, b.method)
        && no_other(a.pass, b.pass)
        && no_other_name(&crew::key(&a.crew), &crew::key(&b.crew))
        && no_other(a.people, b.people)
        && no_other(a.trees_done, b.trees_done)
        && no_other(a.rows_done, b.rows_done)
}

/// The one measure in which the work of one crew differs.
fn labor_but(a: &LaborEntry, b: &LaborEntry) -> Option<&'static str> {
    if !same_work(a, b) || crew::key(&a.crew) != crew::key(&b.crew) || a.people != b.people {
        return None;
    }
    let hours = a.hours != b.hours && a.hours.is_some() && b.hours.is_some();
    match (&a.pay, &b.pay) {
        _ if hours && same_pay(&a.pay, &b.pay) => Some("hours"),
        (Pay::Piece { .. }, Pay::Piece { .. }) if a.hours == b.hours => Some("pieces"),
        (Pay::Contract(_), Pay::Contract(_)) if a.hours == b.hours => Some("contract amount"),
        _ => None,
    }
}

fn same_pay(a: &Pay, b: &Pay) -> bool {
    match (a, b) {
        (Pay::Hourly(_), Pay::Hourly(_)) => true,
        (Pay::Piece { pieces: a, .. }, Pay::Piece { pieces: b, .. }) => a == b,
        (Pay::Contract(a), Pay::Contract(b)) => a == b,
        _ => false,
    }
}

fn counts(a: &FruitCount, b: &FruitCount) -> bool {
    same_name(&a.sample, &b.sample) && (a.branch, a.before, a.after) == (b.branch, b.before, b.after)
}

/// The same tree or branch counted otherwise on the same day: such a name is no name to the reckoning, and each
/// of its counts stands for another tree. A row that says only the fruit before and one that says only what was
/// left belong together.
fn counts_but(a: &FruitCount, b: &FruitCount) -> Option<&'static str> {
    let same_tree = folded(&a.sample) == folded(&b.sample) && a.branch == b.branch;
    let both_say = (a.before.is_some() && b.before.is_some()) || (a.after.is_some() && b.after.is_some());
    (same_tree && both_say).then_some("number of fruit")
}

/// Two meter readings are the same set by their registers alone; a runtime by its hours, where flow
/// and emitters do not differ.
fn applied(a: &Applied, b: &Applied) -> bool {
    match (a, b) {
        (
            Applied::Runtime { hours, flow, emitters },
            Applied::Runtime { hours: other_hours, flow: other_flow, emitters: other_emitters },
        ) => hours == other_hours && no_other(*flow, *other_flow) && no_other(*emitters, *other_emitters),
        _ => a == b,
    }
}

fn mulch(a: &MulchApplication, b: &MulchApplication) -> bool {
    same_name(&a.material, &b.material) && (a.kind, a.depth, a.shape) == (b.kind, b.depth, b.shape)
}

fn picks(a: &Pick, b: &Pick) -> bool {
    no_other(a.pick, b.pick) && (a.bins, a.lugs, a.weight) == (b.bins, b.lugs, b.weight)
}

fn packout(a: &PackoutLine, b: &PackoutLine) -> bool {
    let outcome = match (&a.outcome, &b.outcome) {
        (
            LineOutcome::Packed { size_class, grade, boxes },
            LineOutcome::Packed { size_class: other_size, grade: other_grade, boxes: other_boxes },
        ) => same_name(size_class, other_size) && same_name(grade, other_grade) && boxes == other_boxes,
        (LineOutcome::Culled { cause }, LineOutcome::Culled { cause: other }) => same_name(cause, other),
        _ => false,
    };
    outcome && no_other(a.weight, b.weight)
}

fn settlement(a: &SettlementLine, b: &SettlementLine) -> bool {
    let sold = match (a.sold, b.sold) {
        (Sold::Boxes { boxes, price }, Sold::Boxes { boxes: other, price: also }) => (boxes, price) == (other, also),
        (Sold::Weight { weight, price }, Sold::Weight { weight: other, price: also }) => {
            (weight, price) == (other, also)
        }
        (Sold::Adjustment(a), Sold::Adjustment(b)) => a == b,
        _ => false,
    };
    sold && no_other_name(&a.buyer, &b.buyer) && same_size_and_grade(a, b)
}

fn same_size_and_grade(a: &SettlementLine, b: &SettlementLine) -> bool {
    same_name_or_none(a.size_class.as_deref(), b.size_class.as_deref())
        && same_name_or_none(a.grade.as_deref(), b.grade.as_deref())
}

/// As much of the same fruit to the same buyer, at another price.
fn settlement_but(a: &SettlementLine, b: &SettlementLine) -> Option<&'static str> {
    let as_much = match (a.sold, b.sold) {
        (Sold::Boxes { boxes, .. }, Sold::Boxes { boxes: other, .. }) => boxes == other,
        (Sold::Weight { weight, .. }, Sold::Weight { weight: other, .. }) => weight == other,
        _ => false,
    };
    (as_much && same_name(&a.buyer, &b.buyer) && same_size_and_grade(a, b)).then_some("price")
}

fn cost(a: &Cost, b: &Cost) -> bool {
    a.amount == b.amount
        && same_name(&a.payee, &b.payee)
        && (!plain(&a.payee).is_empty() || same_name(&a.category, &b.category))
}

/// An invoice whose payee only one of the two names, or whose amount differs. Without a payee the note
/// must tell that it is the same.
fn cost_but(a: &Cost, b: &Cost) -> Option<&'static str> {
    if !same_name(&a.category, &b.category) || a.group != b.group {
        return None;
    }
    let (named, also) = (!plain(&a.payee).is_empty(), !plain(&b.payee).is_empty());
    if named != also {
        return (a.amount == b.amount).then_some("payee");
    }
    (same_name(&a.payee, &b.payee) && (named || a.note == b.note)).then_some("amount")
}

fn price(a: &PriceLine, b: &PriceLine) -> bool {
    same_goods(a, b) && a.net_price == b.net_price
}

fn same_goods(a: &PriceLine, b: &PriceLine) -> bool {
    same_name_or_none(a.crop.as_deref(), b.crop.as_deref())
        && same_name_or_none(a.size_class.as_deref(), b.size_class.as_deref())
        && same_name_or_none(a.grade.as_deref(), b.grade.as_deref())
}

fn rate(a: &Rate, b: &Rate) -> bool {
    (a.kind, a.micros) == (b.kind, b.micros)
}

fn target(a: &ThinningTarget, b: &ThinningTarget) -> bool {
    same_blocks(a, b) && (a.fruit, a.spacing) == (b.fruit, b.spacing)
}

fn same_blocks(a: &ThinningTarget, b: &ThinningTarget) -> bool {
    same_name_or_none(a.crop.as_deref(), b.crop.as_deref()) && a.ripening == b.ripening
}

/// What both say of the same blocks, each otherwise.
fn target_but(a: &ThinningTarget, b: &ThinningTarget) -> Option<Likeness> {
    let (fruit, spacing) = (!no_other(a.fruit, b.fruit), !no_other(a.spacing, b.spacing));
    let but = match (fruit, spacing) {
        (true, _) => instead("number of fruit", "the fewer"),
        (false, true) => instead("spacing", "the wider"),
        (false, false) => return None,
    };
    same_blocks(a, b).then_some(but)
}

/// The same words for fruit of one crop. Words differ by their signs too: 54-56 is not 5456.
fn same_size(a: &OwnSize, b: &OwnSize) -> bool {
    folded(&a.size_class) == folded(&b.size_class) && same_name_or_none(a.crop.as_deref(), b.crop.as_deref())
}

fn observation(a: &Observation, b: &Observation) -> bool {
    same_name(&a.what, &b.what) && no_other(a.share_pct, b.share_pct)
}

/// The same record, its note left out.
fn without_note(record: &Record) -> Record {
    let mut record = record.clone();
    match &mut record {
        Record::Weather(day) => day.note.clear(),
        Record::Canopy(day) => day.note.clear(),
        _ => {}
    }
    record
}

#[cfg(test)]
mod tests;
